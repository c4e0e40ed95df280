#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_cmd_bath.h"
#include "cli/mdr_cmd_colour.h"
#include "cli/mdr_cmd_fabric.h"
#include "cli/mdr_cmd_hold.h"
#include "cli/mdr_cmd_lab.h"
#include "cli/mdr_cmd_line.h"
#include "cli/mdr_cmd_people.h"
#include "cli/mdr_cmd_recipe.h"
#include "cli/mdr_cmd_weigh.h"
#include "cli/mdr_jout.h"

static void line_of(const char *name, const char *value, const char *words)
{
    char left[48];
    (void)snprintf(left, sizeof left, "--%s%s%s", name, value != NULL ? " " : "",
                   value != NULL ? value : "");
    (void)printf("  %-18s  %s\n", left, words);
}

static void option_line(mdr_opt opt)
{
    line_of(mdr_opt_name(opt), mdr_opt_value_name(opt), mdr_opt_words(opt));
}

static void tables(void)
{
    (void)puts("\nTables, in the order in which they can be imported:");
    for (int i = 0; mdr_app_table_name(i) != NULL; i++) {
        (void)printf("  %-18s  %s\n", mdr_app_table_name(i), mdr_app_table_title(i));
    }
    (void)puts("  route               Routes, as JSON");
}

static void one(const mdr_command *m)
{
    (void)printf("madder %s%s%s\n\n  %s\n\nOptions:\n", m->name, m->synopsis[0] != '\0' ? " " : "",
                 m->synopsis, m->words);
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
    if (m->run == mdr_cmd_bath) {
        mdr_cmd_bath_questions();
    }
    if (m->run == mdr_cmd_hold) {
        mdr_cmd_hold_kinds();
    }
    if (m->run == mdr_cmd_colour) {
        mdr_cmd_colour_questions();
    }
    if (m->run == mdr_cmd_fabric) {
        mdr_cmd_fabric_questions();
    }
    if (m->run == mdr_cmd_line) {
        mdr_cmd_line_questions();
    }
    if (m->run == mdr_cmd_recipe) {
        mdr_cmd_recipe_questions();
    }
    if (m->run == mdr_cmd_lab) {
        mdr_cmd_lab_questions();
    }
    if (m->run == mdr_cmd_weigh) {
        mdr_cmd_weigh_questions();
    }
    if (m->run == mdr_cmd_people) {
        mdr_cmd_people_questions();
    }
    if (strcmp(m->name, "import") == 0 || strcmp(m->name, "export") == 0) {
        tables();
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
        const size_t shown = strcspn(m->synopsis, "|");
        (void)snprintf(left, sizeof left, "%s %.*s", m->name, (int)shown, m->synopsis);
        (void)printf("  %-22s  %s\n", left, m->words);
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

int mdr_cmd_help(mdr_cli *c)
{
    const mdr_command *m = c->command;
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
