/* Random lots on random machines by random routes, the same ones everywhere, and their plans. Include after t.h. */
#ifndef PLAN_TRIAL_KIT_H
#define PLAN_TRIAL_KIT_H

#include <string.h>

#include "plan_kit.h"

enum { ROUNDS = 1000, BATHS = 12, STEPS = 14 };

/* Deterministic: the same thousand everywhere. Numerical Recipes' quick generator. */
static uint32_t seed = 20261125u;
static inline double draw(double low, double high)
{
    seed = seed * 1664525u + 1013904223u;
    return low + (high - low) * ((double)(seed >> 8) / 16777216.0);
}
static inline int pick(int n)
{
    return (int)draw(0, n) % n;
}

/* A random case with everything it points at. */
typedef struct trial {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_route_item items[BATHS * STEPS];
    int n_items;
    mdr_route_step steps[BATHS][STEPS];
    mdr_route_bath baths[BATHS];
    mdr_route_stage stage;
    mdr_route route;
} trial;

static inline void random_machine(trial *t)
{
    mdr_machine *m = &t->machine;
    *m = kit_machine();
    m->tubes = 1 + pick(8);
    m->liquor_min_l = draw(500, 9000);
    m->liquor_max_l = m->liquor_min_l + draw(100, 9000);
    m->ratio_min_l_per_kg = draw(3, 12);
    m->temp_max_c = draw(90, 140);
    m->drain_temp_max_c = draw(60, 100);
    m->exchanger_kw_per_k = draw(2, 60);
    m->circulation_l_per_min = pick(2) ? draw(500, 6000) : 0.0;
    m->steam_max_kg_per_h = draw(300, 6000);
    m->heat_max_c_per_min = draw(0.5, 5);
    m->cool_max_c_per_min = draw(0.5, 5);
    m->tank_l = draw(50, 1500);
    m->tank_water = pick(2);
    m->speed_max_m_per_min = draw(150, 400);
    t->site = kit_site();
    t->site.hot_water_c = pick(3) ? draw(40, 80) : 0.0;
    t->site.hardness_dh = draw(0, 25);
    t->site.alkalinity_mmol_per_l = pick(4) ? draw(0.2, 6) : 0.0;
}

static inline mdr_route_step random_dose(trial *t)
{
    static const char *const IDS[] = {
        "salt", "glauber10",  "soda", "caustic", "caustic38be", "peroxide", "acid",
        "soap", "dithionite", "nacl", "formic",  "seq",         "catalase"};
    mdr_route_item *item = &t->items[t->n_items++];
    const char *id = IDS[pick((int)N_OF(IDS))];
    *item = kit_item(id, MDR_BASIS_G_PER_L, draw(0.1, 30));
    switch (pick(10)) {
    case 0:
        *item = kit_item(id, MDR_BASIS_PCT_OWF, draw(0.1, 5));
        break;
    case 1:
        *item = kit_item("acid", MDR_BASIS_NEUTRALISE, draw(0.5, 1.2));
        break;
    case 2:
        *item = kit_item("", MDR_BASIS_RECIPE, 1.0);
        break;
    case 3:
        *item = kit_item("soda", MDR_BASIS_DYE_TABLE, 1.0);
        item->dye_table = MDR_DYE_TABLE_ALKALI;
        break;
    case 4:
        *item = kit_item("caustic", MDR_BASIS_ML_PER_L, draw(0.2, 4));
        break;
    case 5:
        *item = kit_item("seq", MDR_BASIS_SEQUESTER, draw(0.5, 1.2));
        break;
    case 6:
        *item = kit_item("catalase", MDR_BASIS_CATALASE, draw(0.5, 1.2));
        break;
    case 7:
        *item = kit_item("peroxide", MDR_BASIS_OXIDISE, draw(0.5, 1.2));
        break;
    default:
        item->of_active = pick(2) == 1;
        break;
    }
    mdr_route_step dose = kit_dose(item, draw(1, 60));
    const bool need = item->basis == MDR_BASIS_NEUTRALISE || item->basis == MDR_BASIS_SEQUESTER ||
                      item->basis == MDR_BASIS_CATALASE || item->basis == MDR_BASIS_OXIDISE;
    dose.share_pct = need || pick(2) ? 100 : draw(10, 60);
    dose.with_next = pick(5) == 0;
    return dose;
}

static inline mdr_route_step random_step(trial *t)
{
    switch (pick(6)) {
    case 0:
        return kit_heat(draw(30, 130), pick(2) ? draw(0.5, 4) : 0);
    case 1:
        return kit_cool(draw(25, 90), pick(2) ? draw(0.5, 4) : 0);
    case 2:
        return kit_hold(draw(1, 60));
    case 3:
        return kit_rinse(draw(2, 30), pick(2) ? draw(50, 600) : 0);
    default:
        return random_dose(t);
    }
}

static inline void random_route(trial *t)
{
    const int n_baths = 1 + pick(BATHS);
    t->n_items = 0;
    for (int b = 0; b < n_baths; b++) {
        const int inner = 1 + pick(STEPS - 3);
        int n = 0;
        const bool goes_on =
            b > 0 && t->baths[b - 1].steps[t->baths[b - 1].n_steps - 1].kind != MDR_STEP_DRAIN;
        if (!goes_on) {
            t->steps[b][n] = kit_fill(pick(2) ? draw(20, 130) : 0);
            t->steps[b][n].ratio_l_per_kg = pick(3) == 0 ? draw(4, 14) : 0.0;
            n++;
        }
        for (int i = 0; i < inner; i++) {
            t->steps[b][n++] = random_step(t);
        }
        t->steps[b][n++] = kit_hold(1); /* a dose that runs beside has something to run beside */
        if (b == n_baths - 1 || pick(5) > 0) {
            t->steps[b][n++] = kit_drain();
        }
        t->baths[b] = (mdr_route_bath){.name = "Random bath", .steps = t->steps[b], .n_steps = n};
    }
    t->stage = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                 .name = "Random",
                                 .from_route = "",
                                 .from_stage = "",
                                 .baths = t->baths,
                                 .n_baths = n_baths};
    t->route = (mdr_route){.route_id = "R1",
                           .name = "Random",
                           .purpose = "",
                           .version = 1,
                           .dye_class = MDR_CLASS_REACTIVE,
                           .stages = &t->stage,
                           .n_stages = 1};
}

static inline const mdr_plan *plan_of(trial *t, mdr_arena *arena)
{
    random_machine(t);
    random_route(t);
    kit_lot_make(&t->lot, draw(40, 1500), draw(3, 14), false);
    const mdr_plan_in in = {.lot = &t->lot.lot,
                            .machine = &t->machine,
                            .route = &t->route,
                            .site = &t->site,
                            .materials = kit_materials,
                            .n_materials = kit_materials_count,
                            .tables = kit_tables,
                            .n_tables = kit_tables_count};
    const mdr_plan *plan = NULL;
    mdr_err err = {0};
    if (mdr_plan_make(&in, arena, &plan, &err) != MDR_OK) {
        fail_msg("%s (%s)", err.msg, err.place);
    }
    return plan;
}

static inline double val(const mdr_plan *p, mdr_fig_id id)
{
    return mdr_fig_value(&p->figs, id);
}

#endif
