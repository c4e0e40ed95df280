/*
 * mdr_cmd_line.h - options of `madder line`.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_LINE_H
#define MDR_CMD_LINE_H

#include "cli/mdr_cmd.h"

/* Places of the questions in the bits of mdr_own_opt.of. */
typedef enum mdr_line_place {
    MDR_LINE_ASK_SETTINGS,
    MDR_LINE_ASK_READ,
    MDR_LINE_ASK_DRY,
    MDR_LINE_ASK_FIT,
    MDR_LINE_ASK_PAD,
    MDR_LINE_ASK_RESULT,
    MDR_LINE_ASK_INSPECT,
    MDR_LINE_ASK_GREY,
    MDR_LINE_ASK_COUNT
} mdr_line_place;
#define MDR_LINE_ASK_ALL ((1u << MDR_LINE_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_line_options[];

extern const mdr_command_more mdr_line_more;

#endif
