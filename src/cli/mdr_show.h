/*
 * mdr_show.h - a plan as text on a terminal. Layer: cli.
 */
#ifndef MDR_SHOW_H
#define MDR_SHOW_H

#include "cli/mdr_term.h"
#include "core/plan/mdr_plan.h"

/* Sentences are made in `arena`. Everything: headline, warnings, curve, baths, totals. */
void mdr_show_plan(const mdr_plan *plan, mdr_arena *arena, const mdr_term *t);
/* One bath with its liquor balance and steps. */
void mdr_show_bath(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_term *t);
/* What the chemistry of the plan predicts, as one line, "" where there is nothing to say: of a bath
 * from its fill to its end; at the end of a step, or for the reading of a check. */
void mdr_show_bath_chemistry(const mdr_plan *plan, const mdr_plan_bath *bath, char *out,
                             size_t size);
void mdr_show_step_chemistry(const mdr_plan *plan, const mdr_plan_bath *bath,
                             const mdr_plan_step *step, char *out, size_t size);
/* Bath temperature over the time of the lot. */
void mdr_show_curve(const mdr_plan *plan, const mdr_term *t);
/* Worst first; all, or those of the finishing alone. */
void mdr_show_warnings(const mdr_plan *plan, bool of_finishing, mdr_arena *arena,
                       const mdr_term *t);
/* Settings and measures of the finishing line; nothing when the plan has none. */
void mdr_show_finish(const mdr_plan *plan, const mdr_term *t);
/* The same with its warnings, without the rest of the plan. */
void mdr_show_finish_alone(const mdr_plan *plan, mdr_arena *arena, const mdr_term *t);
/* A figure, its rule and source, and below it, indented, what it rests on. */
void mdr_show_why(const mdr_plan *plan, mdr_fig_id id, mdr_arena *arena, const mdr_term *t);

#endif
