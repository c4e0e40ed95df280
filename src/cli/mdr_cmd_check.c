#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"

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
        char text[1024];
        (void)mdr_err_format(&c->found.items[i], text, (int)sizeof text);
        (void)puts(text);
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
