#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"

int mdr_cmd_new(mdr_cli *c)
{
    const bool demo = c->opts[MDR_OPT_DEMO] != NULL;
    if (c->args[0][0] == '\0') {
        return mdr_cli_misuse(c, "write: madder new FILE", "the file name is empty");
    }
    if (mdr_app_new(c->args[0], demo, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "file", c->args[0]);
        mdr_jout_bool(&j, "demo", demo);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else if (demo) {
        (void)printf("%s: made, with the demo mill (everything in it is invented)\n", c->args[0]);
    } else {
        (void)printf("%s: made, empty; fill it with `madder import`, `site` first\n", c->args[0]);
    }
    return MDR_EXIT_DONE;
}
