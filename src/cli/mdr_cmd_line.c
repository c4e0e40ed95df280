/* The finishing line. */
#include "cli/mdr_cmd_line.h"

#include <stdio.h>

#include "app/mdr_app_line.h"
#include "cli/mdr_cmd_ask.h"

static const char *const PLACES[MDR_LINE_ASK_COUNT] = {
    [MDR_LINE_ASK_SETTINGS] = "settings", [MDR_LINE_ASK_READ] = "read",
    [MDR_LINE_ASK_DRY] = "dry",           [MDR_LINE_ASK_FIT] = "fit",
    [MDR_LINE_ASK_PAD] = "pad",           [MDR_LINE_ASK_RESULT] = "result",
    [MDR_LINE_ASK_INSPECT] = "inspect",   [MDR_LINE_ASK_GREY] = "grey",
};

static void notes(void)
{
    (void)puts("\nQuestions, and what each needs at least:\n"
               "  settings      --line --relaxed-gsm --relaxed-courses --relaxed-width,\n"
               "                and the goal: --gsm --width --length-shrink --width-shrink, or\n"
               "                both residuals\n"
               "  read          the same, --pass --read-width --read-courses --read-moisture\n"
               "  dry           --width --gsm --moisture-in --oven --h: speed, heat,\n"
               "                what would save\n"
               "  fit           --gsm --moisture-in --moisture-out --air-temp --air-humidity\n"
               "                --oven --speed\n"
               "  pad           --add-on --pickup-out --fabric: trough and feed\n"
               "  result        --gsm --width --length-shrink --width-shrink and what was\n"
               "                measured\n"
               "  inspect       --length-m --width and points or defects: four-point system\n"
               "  grey          --finished --loss, or --roll --lot-max\n"
               "Several numbers with commas between: --length-after 33.5,33.7,33.6\n"
               "Example:  madder line settings --line open-width --relaxed-gsm 180 \\\n"
               "              --relaxed-courses 20 --relaxed-width 150 --gsm 160 --width 160 \\\n"
               "              --length-shrink 5 --width-shrink 7");
}

static const char *first(int i)
{
    return i < MDR_LINE_ASK_COUNT ? PLACES[i] : NULL;
}

const mdr_command_more mdr_line_more = {notes, first};

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
