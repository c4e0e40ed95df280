/*
 * mdr_cmd_simulate.h - simulate: a lot's dyeing reckoned through; shorten: the shortest that stays
 * safe. Layer: cli.
 */
#ifndef MDR_CMD_SIMULATE_H
#define MDR_CMD_SIMULATE_H

#include "app/mdr_app_shorten.h"
#include "cli/mdr_cmd.h"
#include "cli/mdr_term.h"

#define MDR_SIMULATE_ASK_ALL 1u
#define MDR_SHORTEN_ASK_ALL  2u
extern const mdr_own_opt mdr_simulate_options[];

int mdr_cmd_simulate(mdr_cli *c);
int mdr_cmd_shorten(mdr_cli *c);
/* As text. */
void mdr_show_dyeing(const mdr_dyeing_out *o, const mdr_term *t);
void mdr_show_shorten(const mdr_shorten_answer *a, const mdr_term *t);

#endif
