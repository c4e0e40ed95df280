/*
 * mdr_cmd_fabric.h - options of `madder fabric`.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_FABRIC_H
#define MDR_CMD_FABRIC_H

#include "cli/mdr_cmd.h"

/* Places of the questions in the bits of mdr_own_opt.of. */
enum {
    MDR_FABRIC_ASK_KNITTED,
    MDR_FABRIC_ASK_WASHED,
    MDR_FABRIC_ASK_CONSTANTS,
    MDR_FABRIC_ASK_COUNT
};
#define MDR_FABRIC_ASK_ALL ((1u << MDR_FABRIC_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_fabric_options[];

extern const mdr_command_more mdr_fabric_more;

#endif
