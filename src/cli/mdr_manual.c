/* The manual page madder(1), from the table of commands. */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd.h"

/* Text for troff: a hyphen that stays one when copied, and nothing taken for a request. */
static void put(const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '-') {
            (void)fputs("\\-", stdout);
        } else if (*text == '\\') {
            (void)fputs("\\e", stdout);
        } else if (*text == '\'' || *text == '.') {
            (void)printf("\\&%c", *text);
        } else {
            (void)putchar(*text);
        }
    }
}

static void put_option(const char *name, const char *value, const char *words)
{
    (void)fputs(".TP\n.B \\-\\-", stdout);
    put(name);
    if (value != NULL) {
        (void)fputs(" \\fI", stdout);
        put(value);
        (void)fputs("\\fR", stdout);
    }
    (void)putchar('\n');
    put(words);
    (void)putchar('\n');
}

static void put_command(const mdr_command *m)
{
    (void)printf(".SS ");
    put(m->name);
    if (m->synopsis[0] != '\0') {
        (void)putchar(' ');
        put(m->synopsis);
    }
    (void)putchar('\n');
    (void)printf("%c", toupper((unsigned char)m->words[0]));
    put(m->words + 1);
    (void)fputs(".\n", stdout);
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if ((m->opts & MDR_OPT_BIT(i)) != 0 && i != MDR_OPT_MILL) {
            put_option(mdr_opt_name((mdr_opt)i), mdr_opt_value_name((mdr_opt)i),
                       mdr_opt_words((mdr_opt)i));
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(m, &place)) != NULL; place++) {
        put_option(o->name, o->value, o->words);
    }
    if (m->more != NULL && m->more->notes != NULL) {
        (void)puts(".PP\n.nf");
        m->more->notes();
        (void)puts(".fi");
    }
}

void mdr_put_manual(void)
{
    (void)puts(
        ".TH MADDER 1 \"\" \"madder " MDR_VERSION "\"\n"
        ".SH NAME\n"
        "madder \\- plans the dyeing and finishing of cotton knits, runs the lots, and can say "
        "why\n"
        ".SH SYNOPSIS\n"
        ".B madder\n"
        "\\fICOMMAND\\fR [\\fIARGUMENTS\\fR] [\\fIOPTIONS\\fR]\n"
        ".SH DESCRIPTION\n"
        "Turns an order, a grey lot and the machines at hand into a plan, a batch card and a\n"
        "record of what was done. Options may stand anywhere on the line.\n"
        ".SH OPTIONS\n"
        "Every command takes these; those without a mill do without \\-\\-mill.");
    for (mdr_opt i = MDR_OPT_MILL; i <= MDR_OPT_HELP; i++) {
        put_option(mdr_opt_name(i), mdr_opt_value_name(i), mdr_opt_words(i));
    }
    (void)puts(".SH COMMANDS");
    for (int i = 0; i < mdr_commands_count; i++) {
        put_command(&mdr_commands[i]);
    }
    (void)puts(
        ".SH ENVIRONMENT\n.TP\n.B MADDER_MILL\nThe mill file, where \\-\\-mill is not given.\n"
        ".TP\n.B NO_COLOR\nWhen set, no colours on the terminal.\n"
        ".SH EXIT STATUS\n0 done; 1 failed, or something bad was found; 2 wrong use.\n"
        ".SH CAUTIONS\n"
        "It advises and records; it never drives a machine. Caustic, peroxide, hydrosulphite,\n"
        "acids, dye dust, hot liquor, pressure and rotating reels can hurt: safety data sheets,\n"
        "the machine\\(aqs manual, local codes and licensed practice decide.\n"
        ".SH EXAMPLES\n.nf\nmadder new demo.mill \\-\\-demo\n"
        "madder lots \\-\\-mill demo.mill\nmadder plan L26\\-0107 \\-\\-mill demo.mill\n.fi");
}
