/*
 * mdr_plan_time.h - what the two rooms of the time pass share (mdr_plan_step.c, mdr_plan_ramp.c).
 * Layer: core/plan, not for callers.
 */
#ifndef MDR_PLAN_TIME_H
#define MDR_PLAN_TIME_H

#include "core/plan/mdr_planner.h"

void mdr_plan_point_add(mdr_planner *p, double t_min, double temp_c, double liquor_l);
/* Begins a step: the curve gets its left corner. */
void mdr_plan_step_open(mdr_planner *p, mdr_plan_step *step);
/* Ends it `minutes` later at `temp`, with the liquor as p->liquor says by then. */
void mdr_plan_step_close(mdr_planner *p, mdr_plan_step *step, mdr_where at, mdr_fig_id minutes,
                         mdr_fig_id temp);
/* Heat to warm fabric, steel and the liquor that is there now. */
mdr_fig_id mdr_plan_capacity(mdr_planner *p, mdr_qty qty, mdr_where at);
/* More liquor is in the machine from here on. */
void mdr_plan_liquor_add(mdr_planner *p, mdr_fig_id volume, mdr_where at);

/* mdr_plan_ramp.c */
void mdr_plan_heat_or_cool(mdr_planner *p, mdr_plan_step *step, mdr_where at);
void mdr_plan_fill(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at);

#endif
