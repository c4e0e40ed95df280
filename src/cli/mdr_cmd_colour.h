/*
 * mdr_cmd_colour.h - questions about measured cloth: the command and its options. Layer: cli,
 * private to it.
 */
#ifndef MDR_CMD_COLOUR_H
#define MDR_CMD_COLOUR_H

#include "app/mdr_app_colour.h"
#include "cli/mdr_cmd.h"

enum { MDR_COLOUR_ASK_ALL = (1 << MDR_COLOUR_QUESTION_COUNT) - 1 };

/* Words first, then numbers, then switches, each in the order of app; --illuminant behind them is
 * --illuminants once more. */
enum {
    MDR_COLOUR_OPT_NUMBERS = MDR_COLOUR_WORD_COUNT,
    MDR_COLOUR_OPT_SWITCHES = MDR_COLOUR_OPT_NUMBERS + MDR_COLOUR_NUMBER_COUNT,
    MDR_COLOUR_OPT_ILLUMINANT = MDR_COLOUR_OPT_SWITCHES + MDR_COLOUR_SWITCH_COUNT,
    MDR_COLOUR_OPT_COUNT
};
extern const mdr_own_opt mdr_colour_options[];

int mdr_cmd_colour(mdr_cli *c);
extern const mdr_command_more mdr_colour_more;

#endif
