/*
 * mdr_cmd_hold.h - options of `madder hold`. Layer: cli, private to it.
 */
#ifndef MDR_CMD_HOLD_H
#define MDR_CMD_HOLD_H

#include "cli/mdr_cmd.h"

#define MDR_HOLD_ASK_ALL 1u

extern const mdr_own_opt mdr_hold_options[];

extern const mdr_command_more mdr_hold_more;

#endif
