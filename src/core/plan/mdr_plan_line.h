/*
 * mdr_plan_line.h - what the rooms of the finishing line share (mdr_plan_finish.c, mdr_plan_settings.c,
 * mdr_plan_behind.c). Layer: core/plan, not for callers.
 */
#ifndef MDR_PLAN_LINE_H
#define MDR_PLAN_LINE_H

#include "core/finish/mdr_settle.h"
#include "core/plan/mdr_planner.h"

#define MDR_PLAN_PCT  100.0
#define MDR_PLAN_HAIR 1e-9 /* rounding is no miss */

typedef struct mdr_plan_line {
    mdr_plan_finish *f;
    mdr_pass_kind kind[MDR_ROUTE_PASSES_MAX];
    int grip, compactor; /* the passes whose settings are solved for; -1: there is none */
    int done;            /* passes that were run and read; their settings are past */
    mdr_fig_id read_courses_per_cm; /* behind the last of them */
} mdr_plan_line;

/* mdr_plan_settings.c */
/* The machine's own usual setting, or the usual one of its kind. */
mdr_fig_id mdr_plan_usual(mdr_planner *p, const mdr_plan_pass *pass, double own, double common,
                          const char *unit, const char *label, const char *field);
mdr_fig_id mdr_plan_usual_change(mdr_planner *p, const mdr_plan_line *l, int i);
/* The width the last gripping pass has to give, so that later passes end at the aim. */
void mdr_plan_settle_width(mdr_planner *p, mdr_plan_line *l);
/* The compactor takes its usual share, the gripping pass the rest; what its limit leaves over, the
 * compactor takes. */
void mdr_plan_settle_length(mdr_planner *p, mdr_plan_line *l);

/* mdr_plan_behind.c: the fabric behind pass `i`, as it should be and as it was read. */
mdr_plan_web mdr_plan_behind(mdr_planner *p, const mdr_plan_line *l, int i, mdr_plan_web in);
/* Width and courses as read, the rest from what cannot have changed; the scale is the check. */
mdr_plan_web mdr_plan_read_behind(mdr_planner *p, mdr_plan_line *l, int i);

#endif
