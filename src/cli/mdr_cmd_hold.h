/*
 * mdr_cmd_hold.h - options of `madder hold`. Layer: cli, private to it.
 */
#ifndef MDR_CMD_HOLD_H
#define MDR_CMD_HOLD_H

#include "cli/mdr_cmd.h"

#define MDR_HOLD_ASK_ALL 1u

extern const mdr_own_opt mdr_hold_options[];

/* Prints the kinds of checks with their usual limits, for the help. */
void mdr_cmd_hold_kinds(void);

#endif
