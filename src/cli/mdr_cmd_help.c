#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"
#include "cli/mdr_term.h"
#include "http/mdr_http.h"

/* Help is read on whatever screen there is: 80 columns, as the oldest of them has. */
enum { WIDTH = 80, OPTION = 18, COMMAND = 22 };

/* What it is called, and its words beside it; below it where it is longer than its column. */
static void put_line(const char *left, int column, const char *words)
{
    const int indent = column + 4;
    (void)printf("  %-*s", column, left);
    if (mdr_text_columns(left) > column) {
        (void)printf("\n%*s", indent, "");
    } else {
        (void)printf("  ");
    }
    mdr_text_wrap(words, indent, WIDTH - indent);
}

static void line_of(const char *name, const char *value, const char *words)
{
    char left[48];
    (void)snprintf(left, sizeof left, "--%s%s%s", name, value != NULL ? " " : "",
                   value != NULL ? value : "");
    put_line(left, OPTION, words);
}

static void option_line(mdr_opt opt)
{
    line_of(mdr_opt_name(opt), mdr_opt_value_name(opt), mdr_opt_words(opt));
}

enum { HELP_MAN, HELP_COMPLETION, HELP_API };
const mdr_own_opt mdr_help_options[] = {
    [HELP_MAN] = {"man", NULL, "the manual page of all commands, for `man -l -`", NULL, 1u, false},
    [HELP_COMPLETION] = {"completion", "SHELL", "what a shell completes: bash or fish", NULL, 1u,
                         true},
    [HELP_API] = {"api", NULL, "what the server answers, who may ask, how much it takes: as JSON",
                  NULL, 1u, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *command_name(int i)
{
    return i < mdr_commands_count ? mdr_commands[i].name : NULL;
}

const mdr_command_more mdr_help_more = {NULL, command_name};

static const char *table_name(int i)
{
    const char *name = mdr_app_table_name(i);
    if (name == NULL && (i == 0 || mdr_app_table_name(i - 1) != NULL)) {
        return "route";
    }
    return name;
}

static void tables(void)
{
    (void)puts("\nTables, in the order in which they can be imported:");
    for (int i = 0; mdr_app_table_name(i) != NULL; i++) {
        (void)printf("  %-18s  %s\n", mdr_app_table_name(i), mdr_app_table_title(i));
    }
    (void)puts("  route               Routes, as JSON");
}

const mdr_command_more mdr_tables_more = {tables, table_name};

static void one(const mdr_command *m)
{
    (void)printf("madder %s%s%s\n\n  ", m->name, m->synopsis[0] != '\0' ? " " : "", m->synopsis);
    mdr_text_wrap(m->words, 2, WIDTH - 2);
    (void)puts("\nOptions:");
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if ((m->opts & MDR_OPT_BIT(i)) != 0) {
            option_line((mdr_opt)i);
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(m, &place)) != NULL; place++) {
        line_of(o->name, o->value, o->words);
    }
    option_line(MDR_OPT_JSON);
    option_line(MDR_OPT_HELP);
    if (m->more != NULL && m->more->notes != NULL) {
        m->more->notes();
    }
}

static void all(void)
{
    (void)puts("madder - plans the dyeing of cotton knits, and can say why\n\n"
               "  madder COMMAND [ARGUMENTS] [OPTIONS]     options may stand anywhere\n\n"
               "Commands:");
    for (int i = 0; i < mdr_commands_count; i++) {
        char left[80];
        const mdr_command *m = &mdr_commands[i];
        size_t shown = strcspn(m->synopsis, "|");
        if (m->synopsis[shown] != '\0' || strlen(m->name) + 1 + shown > COMMAND) {
            shown = strcspn(m->synopsis, "["); /* the rest is in its own help */
        }
        (void)snprintf(left, sizeof left, "%s %.*s", m->name, (int)shown, m->synopsis);
        put_line(left, COMMAND, m->words);
    }
    (void)puts("\nEvery command:");
    option_line(MDR_OPT_MILL);
    option_line(MDR_OPT_JSON);
    option_line(MDR_OPT_HELP);
    (void)puts("\nStatus: 0 done, 1 failed or something bad was found, 2 wrong use.\n"
               "Begin with:  madder new demo.mill --demo && madder lots --mill demo.mill");
}

static void json_command(mdr_jout *j, const mdr_command *m)
{
    mdr_jout_begin(j, NULL, '{');
    mdr_jout_text(j, "name", m->name);
    mdr_jout_text(j, "arguments", m->synopsis);
    mdr_jout_text(j, "words", m->words);
    mdr_jout_begin(j, "options", '[');
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if ((m->opts & MDR_OPT_BIT(i)) != 0) {
            mdr_jout_text(j, NULL, mdr_opt_name((mdr_opt)i));
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(m, &place)) != NULL; place++) {
        mdr_jout_text(j, NULL, o->name);
    }
    mdr_jout_end(j, ']');
    mdr_jout_end(j, '}');
}

static void json_help(const mdr_command *only)
{
    mdr_jout j = {.to = stdout};
    mdr_jout_begin(&j, NULL, '{');
    mdr_jout_begin(&j, "commands", '[');
    for (int i = 0; i < mdr_commands_count; i++) {
        if (only == NULL || only == &mdr_commands[i]) {
            json_command(&j, &mdr_commands[i]);
        }
    }
    mdr_jout_end(&j, ']');
    mdr_jout_end(&j, '}');
    (void)fputc('\n', stdout);
}

/* --api: the rows that docs/api.md is headed by. */
static void put_api(void)
{
    mdr_jout j = {.to = stdout};
    mdr_http_row row;
    mdr_jout_begin(&j, NULL, '{');
    mdr_jout_begin(&j, "endpoints", '[');
    for (int i = 0; mdr_http_row_at(i, &row); i++) {
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "method", row.method);
        mdr_jout_text(&j, "pattern", row.pattern);
        mdr_jout_text(&j, "action", row.action);
        mdr_jout_text(&j, "what", row.what);
        mdr_jout_text(&j, "body_type", row.body_type != NULL ? row.body_type : "");
        mdr_jout_number(&j, "body_most_bytes", (double)row.body_most);
        mdr_jout_end(&j, '}');
    }
    mdr_jout_end(&j, ']');
    mdr_jout_end(&j, '}');
    (void)fputc('\n', stdout);
}

/* --man, --completion, --api: for the shell and for tools, not for a person. */
static int for_tools(mdr_cli *c)
{
    const char *shell = c->own[HELP_COMPLETION];
    const int asked = (shell != NULL) + (c->own[HELP_MAN] != NULL) + (c->own[HELP_API] != NULL);
    if (asked > 1) {
        return mdr_cli_misuse(c, "leave all but one of them out",
                              "--man, --completion and --api do not go together");
    }
    if (c->n_args > 0 || c->json) {
        return mdr_cli_misuse(c, "leave out COMMAND and --json",
                              "--man, --completion and --api are of the whole program");
    }
    if (c->own[HELP_API] != NULL) {
        put_api();
    } else if (shell == NULL) {
        mdr_put_manual();
    } else if (!mdr_put_completion(shell)) {
        return mdr_cli_misuse(c, "bash or fish; zsh takes that of bash after `bashcompinit`",
                              "--completion: no shell %s", shell);
    }
    return MDR_EXIT_DONE;
}

static bool is_for_tools(const mdr_cli *c)
{
    return c->own[HELP_MAN] != NULL || c->own[HELP_COMPLETION] != NULL || c->own[HELP_API] != NULL;
}

int mdr_cmd_help(mdr_cli *c)
{
    const mdr_command *m = c->command;
    const bool asked = m != NULL && m->run == mdr_cmd_help;
    if (asked && is_for_tools(c)) {
        return for_tools(c);
    }
    if (m != NULL && m->run == mdr_cmd_help && c->n_args > 0) {
        m = mdr_command_find(c->args[0]);
        if (m == NULL) {
            const char *near = mdr_command_near(c->args[0]);
            char remedy[80] = "`madder help` lists the commands";
            if (near != NULL) {
                (void)snprintf(remedy, sizeof remedy, "did you mean `madder help %s`?", near);
            }
            return mdr_cli_misuse(c, remedy, "unknown command %s", c->args[0]);
        }
    } else if (m != NULL && m->run == mdr_cmd_help) {
        m = NULL;
    }
    if (c->json) {
        json_help(m);
    } else if (m != NULL) {
        one(m);
    } else {
        all();
    }
    return MDR_EXIT_DONE;
}

int mdr_cmd_version(mdr_cli *c)
{
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "madder", MDR_VERSION);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else {
        (void)puts("madder " MDR_VERSION);
    }
    return MDR_EXIT_DONE;
}
