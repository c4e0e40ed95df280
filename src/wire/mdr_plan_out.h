/*
 * mdr_plan_out.h - what the files share that write a plan as JSON. Layer: wire.
 */
#ifndef MDR_PLAN_OUT_H
#define MDR_PLAN_OUT_H

#include "core/plan/mdr_plan.h"
#include "wire/mdr_json.h"

typedef struct mdr_plan_out {
    mdr_json j;
    const mdr_plan *plan;
    const char **keys; /* of every figure, made once: each is named many times */
    mdr_fig_id *first; /* the figure under whose name this one is written: itself, or an input
                            that was read before from the same field */
    bool *wanted;      /* figures to be written; NULL: all */
    bool *rules;       /* rules met so far */
    uint32_t cautions; /* and cautions */
} mdr_plan_out;

/* errors: MDR_E_NOMEM */
mdr_code mdr_plan_out_make(const mdr_plan *plan, mdr_arena *arena, size_t size_hint,
                           mdr_plan_out *out, mdr_err *err) MDR_MUST_CHECK;

/* {"value", "unit", "figure"}, or null for MDR_FIG_NONE. */
void mdr_out_quantity(mdr_plan_out *o, const char *key, mdr_fig_id id);
/* Ids of a set of 1u << mdr_caution; remembers them. */
void mdr_out_cautions(mdr_plan_out *o, uint32_t set);
/* A check of the route under "check"; `expected`: what the plan foresees, or MDR_FIG_NONE. */
void mdr_out_check(mdr_plan_out *o, const mdr_route_check *c, mdr_fig_id expected);
/* The members of one figure but its inputs. */
void mdr_out_figure(mdr_plan_out *o, mdr_fig_id id);
/* "figures": all of them, by key. */
void mdr_out_figures(mdr_plan_out *o);
/* "rules" and "cautions" that were met. */
void mdr_out_rules(mdr_plan_out *o);
void mdr_out_caution_texts(mdr_plan_out *o);
/* "baths" */
void mdr_out_baths(mdr_plan_out *o);
/* "footprint" */
void mdr_out_footprint(mdr_plan_out *o);
/* "lot" */
void mdr_out_lot(mdr_plan_out *o, int revision);
/* "warnings": all, or those of the finishing alone */
void mdr_out_warnings(mdr_plan_out *o, bool of_finishing);
/* "finish": null when there is nothing to finish */
void mdr_out_finish(mdr_plan_out *o);

#endif
