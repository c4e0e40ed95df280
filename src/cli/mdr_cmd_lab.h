/*
 * mdr_cmd_lab.h - the command for the laboratory of the mill.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_LAB_H
#define MDR_CMD_LAB_H

#include "cli/mdr_cmd.h"

/* Bits of mdr_own_opt.of, in the order of the works. */
enum {
    MDR_LAB_ASK_LIST,
    MDR_LAB_ASK_ADD,
    MDR_LAB_ASK_DIP,
    MDR_LAB_ASK_SUBMIT,
    MDR_LAB_ASK_APPROVE,
    MDR_LAB_ASK_REJECT,
    MDR_LAB_ASK_PICK,
    MDR_LAB_ASK_COUNT
};
#define MDR_LAB_ASK_ALL ((1u << MDR_LAB_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_lab_options[];

int mdr_cmd_lab(mdr_cli *c);
extern const mdr_command_more mdr_lab_more;

#endif
