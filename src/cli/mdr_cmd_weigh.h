/*
 * mdr_cmd_weigh.h - the command for the weigh room.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_WEIGH_H
#define MDR_CMD_WEIGH_H

#include "cli/mdr_cmd.h"

/* Bits of mdr_own_opt.of, in the order of the works. */
enum {
    MDR_WEIGH_ASK_LIST,
    MDR_WEIGH_ASK_JUDGE,
    MDR_WEIGH_ASK_SCAN,
    MDR_WEIGH_ASK_LABEL,
    MDR_WEIGH_ASK_COUNT
};
#define MDR_WEIGH_ASK_ALL ((1u << MDR_WEIGH_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_weigh_options[];

int mdr_cmd_weigh(mdr_cli *c);
extern const mdr_command_more mdr_weigh_more;

#endif
