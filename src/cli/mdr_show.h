/*
 * mdr_show.h - a plan as text on a terminal. Layer: cli.
 */
#ifndef MDR_SHOW_H
#define MDR_SHOW_H

#include "cli/mdr_term.h"
#include "core/plan/mdr_plan.h"

/* Everything: headline, warnings, curve, baths, totals. */
void mdr_show_plan(const mdr_plan *plan, const mdr_term *t);
/* One bath with its liquor balance and steps. */
void mdr_show_bath(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_term *t);
/* Bath temperature over the time of the lot. */
void mdr_show_curve(const mdr_plan *plan, const mdr_term *t);
/* A figure, its rule and source, and below it, indented, what it rests on. */
void mdr_show_why(const mdr_plan *plan, mdr_fig_id id, mdr_arena *arena, const mdr_term *t);

#endif
