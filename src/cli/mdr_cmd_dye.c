/* dye: what a dye does in the bath. */
#include "app/mdr_app_dye.h"
#include "cli/mdr_cmd.h"
#include "cli/mdr_show_sheet.h"

int mdr_cmd_dye(mdr_cli *c)
{
    const mdr_sheet *sheet = NULL;
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (c->json) {
        mdr_blob out = {0};
        if (mdr_app_dye_json(c->app, c->args[0], c->arena, &out, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
        return mdr_cli_put_json(c, out);
    }
    if (mdr_app_dye(c->app, c->args[0], c->arena, &sheet, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_sheet(sheet, &term);
    return MDR_EXIT_DONE;
}
