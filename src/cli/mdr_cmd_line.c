/* The finishing line. */
#include "cli/mdr_cmd_line.h"

#include "app/mdr_app_line.h"
#include "cli/mdr_cmd_ask.h"

static const char *const PLACES[MDR_LINE_ASK_COUNT] = {
    [MDR_LINE_ASK_SETTINGS] = "settings", [MDR_LINE_ASK_READ] = "read",
    [MDR_LINE_ASK_DRY] = "dry",           [MDR_LINE_ASK_FIT] = "fit",
    [MDR_LINE_ASK_PAD] = "pad",           [MDR_LINE_ASK_RESULT] = "result",
    [MDR_LINE_ASK_INSPECT] = "inspect",   [MDR_LINE_ASK_GREY] = "grey",
};

static const mdr_ask_desk DESK = {.command = "line",
                                  .places = PLACES,
                                  .n_places = MDR_LINE_ASK_COUNT,
                                  .options = mdr_line_options,
                                  .answer = mdr_app_line,
                                  .json = mdr_app_line_json};

int mdr_cmd_line(mdr_cli *c)
{
    return mdr_cmd_ask_named(c, &DESK);
}
