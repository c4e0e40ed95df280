/*
 * plan_bath_kit.h - one bath of these steps, planned. Everything invented.
 */
#ifndef PLAN_BATH_KIT_H
#define PLAN_BATH_KIT_H

#include "t.h"

#include <string.h>

#include "core/plan/mdr_say.h"
#include "plan_kit.h"

/* One bath of these steps, planned. */
typedef struct bench {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_route_bath baths[4];
    mdr_route_stage stage;
    mdr_route route;
    mdr_arena *arena;
    const mdr_plan *plan;
    mdr_err err;
} bench;

static inline void ready(bench *b, double kg, double ratio, bool white)
{
    memset(b, 0, sizeof *b);
    b->machine = kit_machine();
    b->site = kit_site();
    kit_lot_make(&b->lot, kg, ratio, white);
    b->stage = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                 .name = "Test",
                                 .from_route = "",
                                 .from_stage = "",
                                 .baths = b->baths};
    b->route = (mdr_route){.route_id = "R1",
                           .name = "Test",
                           .purpose = "",
                           .version = 1,
                           .dye_class = white ? MDR_CLASS_NONE : MDR_CLASS_REACTIVE,
                           .stages = &b->stage,
                           .n_stages = 1};
    b->arena = mdr_arena_new(8u << 20);
}

static inline void add(bench *b, const mdr_route_step *steps, int n)
{
    b->baths[b->stage.n_baths++] = (mdr_route_bath){.name = "Bath", .steps = steps, .n_steps = n};
}

static inline mdr_code run(bench *b)
{
    const mdr_plan_in in = {.lot = &b->lot.lot,
                            .machine = &b->machine,
                            .route = &b->route,
                            .site = &b->site,
                            .materials = kit_materials,
                            .n_materials = kit_materials_count,
                            .tables = kit_tables,
                            .n_tables = kit_tables_count};
    return mdr_plan_make(&in, b->arena, &b->plan, &b->err);
}

static inline double val(const bench *b, mdr_fig_id id)
{
    return mdr_fig_value(&b->plan->figs, id);
}

static inline const mdr_warn *warned(const bench *b, mdr_warn_id id)
{
    for (int i = 0; i < b->plan->n_warns; i++) {
        if (b->plan->warns[i].id == id) {
            return &b->plan->warns[i];
        }
    }
    return NULL;
}

#define PLAN(b) assert_int_equal(run(&(b)), MDR_OK)

#endif
