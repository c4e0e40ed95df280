/*
 * mdr_cmd_learn.h - what the lots teach: the command and its options. Layer: cli, private to it.
 */
#ifndef MDR_CMD_LEARN_H
#define MDR_CMD_LEARN_H

#include "cli/mdr_cmd.h"

#define MDR_LEARN_ASK_ALL 1u

extern const mdr_own_opt mdr_learn_options[];

int mdr_cmd_learn(mdr_cli *c);

#endif
