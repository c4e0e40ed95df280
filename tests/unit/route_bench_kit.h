/*
 * route_bench_kit.h - a route in order, in pieces that a case may spoil.
 */
#ifndef ROUTE_BENCH_KIT_H
#define ROUTE_BENCH_KIT_H

#include "t.h"

#include <stdio.h>
#include <string.h>

#include "base/mdr_list.h"
#include "core/plan/mdr_route.h"
#include "plan_kit.h"

enum { STEPS = 8, ARENA = 1 << 20 };

/* A route in order, in pieces that a case may spoil: fill, dose, heat, hold, check, rinse, drain
 * and, in a second bath, unload. */
typedef struct bench {
    mdr_route_item items[MDR_ROUTE_ITEMS_MAX + 1];
    mdr_route_step steps[STEPS], last[2];
    mdr_route_bath baths[2];
    mdr_route_stage stages[2];
    mdr_route_pass passes[MDR_ROUTE_PASSES_MAX + 1];
    mdr_route route;
} bench;

enum { FILL, DOSE, HEAT, HOLD, CHECK, RINSE, MORE, DRAIN };

static void set_up_bench(bench *b)
{
    *b = (bench){.route = {.dye_class = MDR_CLASS_REACTIVE}};
    for (size_t i = 0; i < N_OF(b->items); i++) {
        b->items[i] = kit_item("salt", MDR_BASIS_G_PER_L, 5.0 + (double)i);
    }
    b->steps[FILL] = kit_fill(40);
    b->steps[DOSE] = kit_dose(b->items, 10);
    b->steps[HEAT] = kit_heat(60, 2);
    b->steps[HOLD] = kit_hold(20);
    b->steps[CHECK] = (mdr_route_step){.kind = MDR_STEP_CHECK,
                                       .note = "",
                                       .minutes = 3,
                                       .check = {.kind = MDR_CHECK_PH,
                                                 .has_low = true,
                                                 .has_high = true,
                                                 .low = 6,
                                                 .high = 6.5,
                                                 .method = "meter",
                                                 .on_fail = MDR_FAIL_CORRECT,
                                                 .remedy = "acid"}};
    b->steps[RINSE] = kit_rinse(5, 0);
    b->steps[MORE] = kit_hold(5);
    b->steps[DRAIN] = kit_drain();
    b->last[0] = (mdr_route_step){.kind = MDR_STEP_UNLOAD, .note = "", .share_pct = 100};
    b->baths[0] = (mdr_route_bath){.name = "One", .steps = b->steps, .n_steps = STEPS};
    b->baths[1] = (mdr_route_bath){.name = "Two", .steps = b->last, .n_steps = 1};
    for (int i = 0; i < 2; i++) {
        b->stages[i] = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                         .name = i == 0 ? "First" : "Second",
                                         .from_route = "",
                                         .from_stage = "",
                                         .baths = &b->baths[i],
                                         .n_baths = 1};
    }
    for (size_t i = 0; i < N_OF(b->passes); i++) {
        b->passes[i] = (mdr_route_pass){.kind = MDR_ROUTE_PASS_SLIT, .note = ""};
    }
    b->route.route_id = "R";
    b->route.name = "N";
    b->route.purpose = "";
    b->route.version = 1;
    b->route.stages = b->stages;
    b->route.n_stages = 2;
    b->route.passes = b->passes;
    b->route.n_passes = 1;
}

#endif
