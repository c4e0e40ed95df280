/* What a shell completes, from the table of commands. */
#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd.h"

/* As it is typed: a question's name has no underscores there. */
static void put_word(const char *word)
{
    for (; *word != '\0'; word++) {
        (void)putchar(*word == '_' ? '-' : *word);
    }
}

static bool takes_file(const char *value)
{
    return value != NULL && strstr(value, "FILE") != NULL;
}

/* -- bash -- */

static void bash_options(const mdr_command *m)
{
    (void)printf("--json --help");
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if ((m->opts & MDR_OPT_BIT(i)) != 0) {
            (void)printf(" --%s", mdr_opt_name((mdr_opt)i));
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(m, &place)) != NULL; place++) {
        (void)printf(" --%s", o->name);
    }
}

static void bash_command(const mdr_command *m)
{
    (void)printf("        %s)\n            options=\"", m->name);
    bash_options(m);
    (void)fputs("\"\n", stdout);
    if (m->more != NULL && m->more->first != NULL) {
        (void)fputs("            words=\"", stdout);
        for (int i = 0; m->more->first(i) != NULL; i++) {
            (void)fputs(i > 0 ? " " : "", stdout);
            put_word(m->more->first(i));
        }
        (void)fputs("\"\n", stdout);
    }
    (void)puts("            ;;");
}

static void bash(void)
{
    (void)puts("# bash completion of madder, by `madder help --completion bash`\n"
               "_madder() {\n"
               "    local now=${COMP_WORDS[COMP_CWORD]} command=${COMP_WORDS[1]} options= words=\n"
               "    COMPREPLY=()\n"
               "    if [ \"$COMP_CWORD\" -eq 1 ]; then");
    (void)fputs("        COMPREPLY=($(compgen -W \"", stdout);
    for (int i = 0; i < mdr_commands_count; i++) {
        (void)printf("%s%s", i > 0 ? " " : "", mdr_commands[i].name);
    }
    (void)puts("\" -- \"$now\"))\n        return\n    fi\n    case $command in");
    for (int i = 0; i < mdr_commands_count; i++) {
        bash_command(&mdr_commands[i]);
    }
    (void)puts("    esac\n"
               "    case $now in\n"
               "        -*) COMPREPLY=($(compgen -W \"$options\" -- \"$now\")) ;;\n"
               "        *) [ \"$COMP_CWORD\" -gt 2 ] || COMPREPLY=($(compgen -W \"$words\" -- "
               "\"$now\")) ;;\n"
               "    esac\n"
               "}\n"
               "complete -o default -F _madder madder");
}

/* -- fish -- */

/* In single quotes. */
static void fish_quoted(const char *text)
{
    (void)putchar('\'');
    for (; *text != '\0'; text++) {
        (void)fputs(*text == '\'' || *text == '\\' ? "\\" : "", stdout);
        (void)putchar(*text);
    }
    (void)putchar('\'');
}

static void fish_option(const char *command, const char *name, const char *value, const char *words)
{
    (void)printf("complete -c madder -n '__fish_seen_subcommand_from %s' -l %s%s -d ", command,
                 name,
                 value == NULL       ? ""
                 : takes_file(value) ? " -r"
                                     : " -x");
    fish_quoted(words);
    (void)putchar('\n');
}

static void fish_command(const mdr_command *m)
{
    (void)printf("complete -c madder -n __fish_use_subcommand -f -a %s -d ", m->name);
    fish_quoted(m->words);
    (void)putchar('\n');
    for (int i = 0; m->more != NULL && m->more->first != NULL && m->more->first(i) != NULL; i++) {
        (void)printf("complete -c madder -n '__fish_seen_subcommand_from %s' -a ", m->name);
        put_word(m->more->first(i));
        (void)putchar('\n');
    }
    const uint32_t opts =
        m->opts | MDR_OPT_BIT(MDR_OPT_JSON) | MDR_OPT_BIT(MDR_OPT_HELP); /* every command's */
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if ((opts & MDR_OPT_BIT(i)) != 0) {
            fish_option(m->name, mdr_opt_name((mdr_opt)i), mdr_opt_value_name((mdr_opt)i),
                        mdr_opt_words((mdr_opt)i));
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(m, &place)) != NULL; place++) {
        fish_option(m->name, o->name, o->value, o->words);
    }
}

bool mdr_put_completion(const char *shell)
{
    if (strcmp(shell, "bash") == 0) {
        bash();
        return true;
    }
    if (strcmp(shell, "fish") == 0) {
        (void)puts("# fish completion of madder, by `madder help --completion fish`");
        for (int i = 0; i < mdr_commands_count; i++) {
            fish_command(&mdr_commands[i]);
        }
        return true;
    }
    return false;
}
