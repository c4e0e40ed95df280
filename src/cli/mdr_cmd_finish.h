/*
 * mdr_cmd_finish.h - finish: how to set the finishing line for a lot. Layer: cli.
 */
#ifndef MDR_CMD_FINISH_H
#define MDR_CMD_FINISH_H

#include "cli/mdr_cmd.h"

#define MDR_FINISH_ASK_ALL 1u

extern const mdr_own_opt mdr_finish_options[];

int mdr_cmd_finish(mdr_cli *c);

#endif
