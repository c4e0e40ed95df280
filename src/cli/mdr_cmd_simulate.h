/*
 * mdr_cmd_simulate.h - simulate: a lot's dyeing reckoned through. Layer: cli.
 */
#ifndef MDR_CMD_SIMULATE_H
#define MDR_CMD_SIMULATE_H

#include "cli/mdr_cmd.h"
#include "cli/mdr_term.h"
#include "wire/mdr_dyeing_out.h"

#define MDR_SIMULATE_ASK_ALL 1u
extern const mdr_own_opt mdr_simulate_options[];

int mdr_cmd_simulate(mdr_cli *c);
/* The dyeing as text. */
void mdr_show_dyeing(const mdr_dyeing_out *o, const mdr_term *t);

#endif
