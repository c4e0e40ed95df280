#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"
#include "cli/mdr_term.h"

enum { LABEL = 11 }; /* columns of "  where    " */

static void json_found(const mdr_err_list *found)
{
    mdr_jout j = {.to = stdout};
    mdr_jout_begin(&j, NULL, '{');
    mdr_jout_number(&j, "total", (double)found->total);
    mdr_jout_begin(&j, "found", '[');
    for (int i = 0; i < found->count; i++) {
        const mdr_err *e = &found->items[i];
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "code", mdr_code_id(e->code));
        mdr_jout_text(&j, "message", e->msg);
        mdr_jout_text(&j, "place", e->place);
        mdr_jout_text(&j, "value", e->value);
        mdr_jout_text(&j, "allowed", e->allowed);
        mdr_jout_text(&j, "remedy", e->remedy);
        mdr_jout_end(&j, '}');
    }
    mdr_jout_end(&j, ']');
    mdr_jout_end(&j, '}');
    (void)fputc('\n', stdout);
}

static void put_line(const char *label, const char *text)
{
    if (text[0] != '\0') {
        (void)printf("  %-9s", label);
        mdr_text_wrap(text, LABEL, MDR_TERM_WIDTH - LABEL);
    }
}

static void put_finding(const mdr_err *found)
{
    const mdr_err e = mdr_cli_tamed(found);
    mdr_text_wrap(e.msg, 2, MDR_TERM_WIDTH - 2);
    put_line("where", e.place);
    put_line("value", e.value);
    put_line("allowed", e.allowed);
    put_line("remedy", e.remedy);
}

int mdr_cmd_check(mdr_cli *c)
{
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (mdr_app_check(c->app, &c->found, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        json_found(&c->found);
        return c->found.total == 0 ? MDR_EXIT_DONE : MDR_EXIT_BAD;
    }
    for (int i = 0; i < c->found.count; i++) {
        put_finding(&c->found.items[i]);
    }
    if (c->found.total > c->found.count) {
        (void)printf("... and %ld more\n", c->found.total - c->found.count);
    }
    if (c->found.total == 0) {
        (void)puts("nothing inconsistent found");
        return MDR_EXIT_DONE;
    }
    (void)printf("%ld finding%s\n", c->found.total, c->found.total == 1 ? "" : "s");
    return MDR_EXIT_BAD;
}
