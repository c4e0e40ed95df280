/*
 * card_fixture.h - a plan to draw, put together by hand: the documents are tested without the
 * planner. All of it is invented; only its shape (kinds of steps, number of baths, long and
 * foreign names) matters.
 */
#ifndef CARD_FIXTURE_H
#define CARD_FIXTURE_H

#include <string.h>

#include "base/mdr_arena.h"
#include "card/mdr_card.h"
#include "core/plan/mdr_plan.h"

enum { FX_STEPS = 24, FX_BATHS = 10, FX_POINTS = 600, FX_TOTALS = 12 };

typedef struct fixture {
    mdr_arena *arena;
    mdr_plan plan;
    mdr_lot lot;
    mdr_machine machine;
    mdr_article article;
    mdr_shade shade;
    mdr_site site;
    mdr_route route;
    mdr_route_stage stage;
    mdr_roll rolls[48];
    mdr_plan_bath baths[FX_BATHS];
    mdr_route_bath asked_baths[FX_BATHS];
    mdr_plan_step steps[FX_BATHS][FX_STEPS];
    mdr_route_step asked[FX_BATHS][FX_STEPS];
    mdr_plan_point points[FX_POINTS];
    mdr_plan_total totals[FX_TOTALS];
    mdr_warn warns[4];
    double t_min, temp_c, liquor_l;
} fixture;

static const mdr_material FX_MATERIALS[] = {
    {.material_id = "WET-1",
     .name = "Wetting and scouring agent",
     .form = MDR_FORM_LIQUID,
     .cautions = 1u << MDR_CAUTION_IRRITANT},
    {.material_id = "CAUSTIC",
     .name = "Caustic soda flakes",
     .form = MDR_FORM_GRANULE,
     .cautions = 1u << MDR_CAUTION_CORROSIVE_ALKALI},
    {.material_id = "H2O2-50",
     .name = "Hydrogen peroxide 50 %",
     .form = MDR_FORM_LIQUID,
     .cautions = 1u << MDR_CAUTION_OXIDISER | 1u << MDR_CAUTION_CORROSIVE_ACID},
    {.material_id = "SALT", .name = "Glauber's salt, anhydrous", .form = MDR_FORM_POWDER},
    {.material_id = "R-RED-1",
     .name = "Reactive red, group 2",
     .is_dye = true,
     .form = MDR_FORM_POWDER,
     .cautions = 1u << MDR_CAUTION_DUST | 1u << MDR_CAUTION_SENSITISER},
    {.material_id = "SODA",
     .name = "Soda ash",
     .form = MDR_FORM_POWDER,
     .cautions = 1u << MDR_CAUTION_IRRITANT},
};
enum { WET, CAUSTIC, PEROXIDE, SALT, RED, SODA };

static inline mdr_fig_id fx_fig(fixture *f, double value, const char *unit)
{
    return mdr_fig_input(&f->plan.figs, value, unit, "fixture",
                         (mdr_fig_source){"const", "invented", "fixture", {0, 0, 0}});
}

static inline void fx_point(fixture *f)
{
    assert_true(f->plan.n_points < FX_POINTS);
    f->points[f->plan.n_points++] = (mdr_plan_point){f->t_min, f->temp_c, f->liquor_l};
}

static inline void fx_bath(fixture *f, const char *name)
{
    mdr_plan_bath *bath = &f->baths[f->plan.n_baths];
    *bath = (mdr_plan_bath){.stage = &f->stage,
                            .number = f->plan.n_baths + 1,
                            .asked = &f->asked_baths[f->plan.n_baths],
                            .steps = f->steps[f->plan.n_baths]};
    f->asked_baths[f->plan.n_baths] = (mdr_route_bath){.name = name};
    bath->start_min = fx_fig(f, f->t_min, "min");
    bath->fill_l = fx_fig(f, 5210.0, "L");
    bath->carried_l = fx_fig(f, 2455.0, "L");
    bath->additions_l = fx_fig(f, 335.5, "L");
    bath->final_l = fx_fig(f, 8000.5, "L");
    bath->drained_l = fx_fig(f, 5545.5, "L");
    bath->ratio_l_per_kg = fx_fig(f, 8.15, "L/kg");
    f->plan.n_baths++;
}

/* A step of the bath begun last, taking `minutes`, ending at temp_c with liquor_l. */
static inline mdr_plan_step *fx_step(fixture *f, mdr_step_kind kind, double minutes, double temp_c,
                                     double liquor_l)
{
    mdr_plan_bath *bath = &f->baths[f->plan.n_baths - 1];
    const int n = bath->n_steps++;
    assert_true(n < FX_STEPS);
    mdr_route_step *asked = &f->asked[f->plan.n_baths - 1][n];
    mdr_plan_step *step = &bath->steps[n];
    *asked = (mdr_route_step){.kind = kind,
                              .note = "",
                              .has_temp = true,
                              .temp_c = temp_c,
                              .minutes = minutes,
                              .share_pct = 100.0,
                              .exponent = 1.0};
    asked->check.method = asked->check.remedy = "";
    *step = (mdr_plan_step){.asked = asked,
                            .water_temp_c = MDR_FIG_NONE,
                            .steam_kg = MDR_FIG_NONE,
                            .tank_water_l = MDR_FIG_NONE,
                            .tank_loads = MDR_FIG_NONE,
                            .cycles = MDR_FIG_NONE,
                            .volume_l = MDR_FIG_NONE};
    step->start_min = fx_fig(f, f->t_min, "min");
    step->minutes = fx_fig(f, minutes, "min");
    step->temp_start_c = fx_fig(f, f->temp_c, "degC");
    step->temp_end_c = fx_fig(f, temp_c, "degC");
    step->volume_l = fx_fig(f, kind == MDR_STEP_DRAIN ? f->liquor_l - liquor_l : liquor_l, "L");
    fx_point(f);
    f->t_min += minutes;
    f->temp_c = temp_c;
    f->liquor_l = liquor_l;
    fx_point(f);
    step->end_min = fx_fig(f, f->t_min, "min");
    bath->end_min = step->end_min;
    bath->minutes = fx_fig(f, f->t_min - mdr_fig_value(&f->plan.figs, bath->start_min), "min");
    return step;
}

static inline mdr_route_step *fx_asked(fixture *f)
{
    return &f->asked[f->plan.n_baths - 1][f->baths[f->plan.n_baths - 1].n_steps - 1];
}

static inline void fx_item(fixture *f, mdr_plan_step *step, int material, mdr_basis basis,
                           double amount, double mass_kg)
{
    mdr_route_item *asked = MDR_NEW(f->arena, mdr_route_item);
    assert_non_null(asked);
    *asked = (mdr_route_item){.material_id = FX_MATERIALS[material].material_id,
                              .basis = basis,
                              .amount = amount,
                              .table_id = ""};
    if (step->items == NULL) {
        step->items = MDR_NEW_N(f->arena, mdr_plan_item, MDR_ROUTE_ITEMS_MAX);
        assert_non_null(step->items);
    }
    mdr_plan_item *item = &step->items[step->n_items++];
    *item = (mdr_plan_item){.material = &FX_MATERIALS[material], .asked = asked};
    item->amount = fx_fig(f, amount, basis == MDR_BASIS_PCT_OWF ? "% owf" : "g/L");
    item->mass_kg = fx_fig(f, mass_kg, "kg");
    item->active_kg = item->mass_kg;
    item->volume_l = FX_MATERIALS[material].form == MDR_FORM_LIQUID ? fx_fig(f, mass_kg / 1.19, "L")
                                                                    : MDR_FIG_NONE;
    item->conc_g_per_l = item->cost_minor = MDR_FIG_NONE;
    step->volume_l = fx_fig(f, 340.0, "L");
    step->tank_loads = fx_fig(f, 2.0, "");
    step->tank_water_l = fx_fig(f, 320.0, "L");
    step->cycles = fx_fig(f, 5.4, "");
    step->cautions |= FX_MATERIALS[material].cautions;
}

static inline mdr_plan_step *fx_dose(fixture *f, mdr_curve_kind curve, double minutes,
                                     double temp_c)
{
    mdr_plan_step *step = fx_step(f, MDR_STEP_DOSE, minutes, temp_c, f->liquor_l + 160.0);
    mdr_route_step *asked = fx_asked(f);
    asked->curve = curve;
    asked->exponent = curve == MDR_CURVE_PROGRESSIVE ? 2.0 : 0.5;
    asked->portions = curve == MDR_CURVE_PORTIONS ? 3 : 0;
    return step;
}

static inline void fx_check(fixture *f, mdr_check_kind kind, double low, double high,
                            mdr_on_fail on_fail)
{
    (void)fx_step(f, MDR_STEP_CHECK, 3.0, f->temp_c, f->liquor_l);
    mdr_route_check *check = &fx_asked(f)->check;
    *check = (mdr_route_check){.kind = kind,
                               .has_low = low > 0.0,
                               .has_high = true,
                               .low = low,
                               .high = high,
                               .on_fail = on_fail,
                               .method = "Sample from the tap, cooled, with the calibrated meter",
                               .remedy = "Add 0.2 g/L of acid in two parts, wait one rope cycle."};
}

static inline void fx_prepare(fixture *f)
{
    fx_bath(f, "Scour and bleach");
    (void)fx_step(f, MDR_STEP_LOAD, 20.0, 25.0, 0.0);
    mdr_plan_step *fill = fx_step(f, MDR_STEP_FILL, 9.0, 40.0, 7200.0);
    fill->water_temp_c = fx_fig(f, 43.0, "degC");
    mdr_plan_step *dose = fx_dose(f, MDR_CURVE_LINEAR, 5.0, 40.0);
    fx_item(f, dose, WET, MDR_BASIS_G_PER_L, 1.0, 8.0);
    (void)fx_step(f, MDR_STEP_HEAT, 10.0, 60.0, f->liquor_l);
    fx_asked(f)->rate_c_per_min = 2.0;
    dose = fx_dose(f, MDR_CURVE_PORTIONS, 9.0, 60.0);
    fx_item(f, dose, CAUSTIC, MDR_BASIS_G_PER_L, 2.5, 20.0);
    (void)fx_step(f, MDR_STEP_HEAT, 5.0, 70.0, f->liquor_l);
    dose = fx_dose(f, MDR_CURVE_PROGRESSIVE, 8.0, 70.0);
    fx_item(f, dose, PEROXIDE, MDR_BASIS_ML_PER_L, 3.0, 28.72);
    (void)fx_step(f, MDR_STEP_HEAT, 14.0, 98.0, f->liquor_l);
    fx_asked(f)->rate_c_per_min = 2.0;
    mdr_plan_step *hold = fx_step(f, MDR_STEP_HOLD, 60.0, 98.0, f->liquor_l);
    hold->cautions = 1u << MDR_CAUTION_HOT_LIQUOR;
    (void)fx_step(f, MDR_STEP_COOL, 13.0, 78.0, f->liquor_l);
    fx_asked(f)->rate_c_per_min = 1.5;
    fx_check(f, MDR_CHECK_WHITENESS, 62.0, 75.0, MDR_FAIL_STOP);
    (void)fx_step(f, MDR_STEP_DRAIN, 7.0, 78.0, 2455.0);
}

static inline void fx_wash(fixture *f, const char *name, double temp_c)
{
    fx_bath(f, name);
    (void)fx_step(f, MDR_STEP_FILL, 8.0, temp_c - 15.0, 8000.0);
    (void)fx_step(f, MDR_STEP_HEAT, 6.0, temp_c, f->liquor_l);
    fx_asked(f)->note = "\u09ac\u09be\u09b7\u09cd\u09aa \u09a7\u09c0\u09b0\u09c7 "
                        "\u0996\u09c1\u09b2\u09c1\u09a8"; /* Bengali: open the steam slowly */
    (void)fx_step(f, MDR_STEP_HOLD, 10.0, temp_c, f->liquor_l);
    (void)fx_step(f, MDR_STEP_RINSE, 6.0, temp_c - 20.0, f->liquor_l);
    fx_check(f, MDR_CHECK_PEROXIDE, 0.0, 5.0, MDR_FAIL_REPEAT);
    (void)fx_step(f, MDR_STEP_DRAIN, 7.0, temp_c - 20.0, 2455.0);
}

static inline void fx_dye(fixture *f)
{
    fx_bath(f, "Dyeing at 60 \u00b0C");
    (void)fx_step(f, MDR_STEP_FILL, 9.0, 50.0, 7000.0);
    fx_check(f, MDR_CHECK_PH, 6.0, 6.5, MDR_FAIL_CORRECT);
    mdr_plan_step *dose = fx_dose(f, MDR_CURVE_LINEAR, 10.0, 50.0);
    fx_item(f, dose, SALT, MDR_BASIS_DYE_TABLE, 40.0, 320.0);
    (void)fx_step(f, MDR_STEP_HOLD, 10.0, 50.0, f->liquor_l);
    dose = fx_dose(f, MDR_CURVE_DEGRESSIVE, 30.0, 50.0);
    for (int i = 0; i < 3; i++) {
        fx_item(f, dose, RED, MDR_BASIS_PCT_OWF, i == 2 ? 0.00123 : 1.25 - 0.5 * i,
                i == 2 ? 0.0121 : 12.3 - 5.0 * i);
    }
    (void)fx_step(f, MDR_STEP_HOLD, 20.0, 50.0, f->liquor_l);
    (void)fx_step(f, MDR_STEP_HEAT, 10.0, 60.0, f->liquor_l);
    dose = fx_dose(f, MDR_CURVE_PROGRESSIVE, 15.0, 60.0);
    fx_asked(f)->share_pct = 40.0;
    fx_item(f, dose, SODA, MDR_BASIS_G_PER_L, 12.0, 38.4);
    (void)fx_step(f, MDR_STEP_HOLD, 15.0, 60.0, f->liquor_l);
    dose = fx_dose(f, MDR_CURVE_PROGRESSIVE, 20.0, 60.0);
    fx_asked(f)->share_pct = 60.0;
    fx_item(f, dose, SODA, MDR_BASIS_G_PER_L, 12.0, 57.6);
    (void)fx_step(f, MDR_STEP_HOLD, 45.0, 60.0, f->liquor_l);
    fx_check(f, MDR_CHECK_SHADE, 0.0, 0.8, MDR_FAIL_STOP);
    (void)fx_step(f, MDR_STEP_DRAIN, 7.0, 60.0, 2455.0);
}

static inline void fx_masters(fixture *f)
{
    static const char *const ROLL_IDS[] = {"G-4101", "G-4102", "G-4103", "G-4104"};
    static const mdr_route_pass PASSES[] = {{MDR_PASS_SLIT, "over-feed by hand"},
                                            {MDR_PASS_STENTER, ""},
                                            {MDR_PASS_COMPACT, "check residual shrinkage"}};
    f->article = (mdr_article){.article_id = "SJ-30",
                               .name = "Single jersey Ne 30",
                               .construction = MDR_KNIT_SINGLE_JERSEY,
                               .finished_gsm = 160.0,
                               .finished_width_cm = 185.0};
    f->shade = (mdr_shade){.shade_id = "S-118",
                           .name = "Madder root",
                           .lab_l = 38.0,
                           .lab_a = 46.0,
                           .lab_b = 22.0,
                           .dye_class = MDR_CLASS_REACTIVE,
                           .n_dyes = 3};
    for (int i = 0; i < 48; i++) {
        f->rolls[i] = (mdr_roll){ROLL_IDS[i % 4], 20.4};
    }
    f->lot = (mdr_lot){.lot_id = "L26-0412",
                       .order_id = "O-26-118",
                       .customer = "Northshore Knit (invented)",
                       .article = &f->article,
                       .shade = &f->shade,
                       .rolls = f->rolls,
                       .n_rolls = 48,
                       .due_utc_ms = 1796083200000};
    f->machine = (mdr_machine){.machine_id = "M-04", .name = "Overflow, four tubes", .tubes = 4};
    f->site = (mdr_site){.name = "Demo mill", .currency = "EUR", .invented = true};
    f->stage = (mdr_route_stage){.name = "Preparation", .from_route = "", .from_stage = ""};
    f->route = (mdr_route){.route_id = "R-60",
                           .name = "Reactive 60 \u00b0C, medium",
                           .purpose = "",
                           .version = 3,
                           .passes = PASSES,
                           .n_passes = 3};
}

static inline void fx_totals(fixture *f)
{
    static const double KG[] = {8.0, 20.0, 28.72, 320.0, 19.6121, 96.0};
    for (int i = 0; i < (int)N_OF(FX_MATERIALS); i++) {
        f->totals[i] = (mdr_plan_total){&FX_MATERIALS[i], fx_fig(f, KG[i], "kg"), MDR_FIG_NONE};
    }
    f->plan.n_totals = (int)N_OF(FX_MATERIALS);
}

/* Everything lives in the fixture or in its arena; free the arena in the end. */
static inline fixture *fixture_make(mdr_arena *arena)
{
    fixture *f = MDR_NEW(arena, fixture);
    assert_non_null(f);
    f->arena = arena;
    fx_masters(f);
    f->plan = (mdr_plan){.lot = &f->lot,
                         .machine = &f->machine,
                         .route = &f->route,
                         .site = &f->site,
                         .baths = f->baths,
                         .curve = f->points,
                         .totals = f->totals,
                         .warns = f->warns,
                         .figs = mdr_figs_make(arena)};
    f->temp_c = 25.0;
    fx_prepare(f);
    fx_wash(f, "Hot wash", 80.0);
    fx_wash(f, "Peroxide removal", 50.0);
    fx_dye(f);
    fx_wash(f, "Rinse", 50.0);
    fx_wash(f, "Soaping", 95.0);
    fx_wash(f, "Soften", 45.0);
    mdr_plan *p = &f->plan;
    p->load_kg = fx_fig(f, 982.0, "kg");
    p->ratio_l_per_kg = fx_fig(f, 8.15, "L/kg");
    p->liquor_l = p->liquor_nominal_l = fx_fig(f, 8000.5, "L");
    p->fabric_m = fx_fig(f, 3317.0, "m");
    p->rope_m = fx_fig(f, 829.0, "m");
    p->speed_m_per_min = fx_fig(f, 300.0, "m/min");
    p->cycle_min = fx_fig(f, 2.76, "min");
    p->total_min = fx_fig(f, f->t_min, "min");
    p->water_l = fx_fig(f, 61234.0, "L");
    p->steam_kg = fx_fig(f, 2345.0, "kg");
    p->chemicals_kg = fx_fig(f, 492.3, "kg");
    p->depth_pct_owf = fx_fig(f, 2.001, "% owf");
    fx_totals(f);
    f->warns[0] = (mdr_warn){.id = MDR_WARN_TANK_MANY,
                             .at = {1, 5, 0},
                             .fig = MDR_FIG_NONE,
                             .args = {{NULL, 14, 0}, {NULL, 600, 0}},
                             .n_args = 2};
    f->warns[1] = (mdr_warn){.id = MDR_WARN_RATIO_RAISED,
                             .fig = MDR_FIG_NONE,
                             .args = {{NULL, 8000, 0}, {NULL, 8.15, 2}, {NULL, 8, 0}},
                             .n_args = 3};
    f->warns[2] = (mdr_warn){.id = MDR_WARN_DOSE_OUTLIVES,
                             .at = {4, 5, 0},
                             .fig = MDR_FIG_NONE,
                             .args = {{NULL, 12, 0}},
                             .n_args = 1};
    p->n_warns = 3;
    assert_false(p->figs.failed);
    return f;
}

#endif
