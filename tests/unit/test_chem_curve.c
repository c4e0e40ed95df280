/* The curve of the baths against the plan it is drawn from, for every lot of the demo mill and some
 * baths made for it: at the end of each step it meets the figures of the plan. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/plan/mdr_chem_curve.h"
#include "core/units/mdr_strength.h"
#include "demo_kit.h"
#include "plan_kit.h"

enum { DOSE_POINTS = 13, RAMP_POINTS = 7, OTHER_POINTS = 2 };

static double val(const mdr_plan *p, mdr_fig_id id)
{
    return mdr_fig_value(&p->figs, id);
}

static mdr_chem_curve curve_of(const mdr_plan *p, mdr_arena *arena)
{
    mdr_chem_curve c = {0};
    mdr_err err = {0};
    assert_int_equal(mdr_chem_curve_make(p, arena, &c, &err), MDR_OK);
    return c;
}

/* How many points a step has; 0 when it is not drawn by itself. */
static int points_of(const mdr_plan_step *step)
{
    const mdr_step_kind kind = step->asked->kind;
    if (kind == MDR_STEP_LOAD || kind == MDR_STEP_UNLOAD || step->beside) {
        return 0;
    }
    if (kind == MDR_STEP_DOSE) {
        return DOSE_POINTS;
    }
    return kind == MDR_STEP_HEAT || kind == MDR_STEP_COOL || kind == MDR_STEP_RINSE ||
                   kind == MDR_STEP_HOLD
               ? RAMP_POINTS
               : OTHER_POINTS;
}

static bool runs_beside(const mdr_plan *p, const mdr_plan_bath *bath, double t_min)
{
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].beside && val(p, bath->steps[i].end_min) > t_min + 1e-9) {
            return true;
        }
    }
    return false;
}

static double there_g_per_l(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                            mdr_dissolved what)
{
    return val(p, step->dissolved_kg[what]) * 1000.0 / val(p, bath->liquor_l);
}

/* Equivalents per litre of a substance. */
static double eq(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                 mdr_dissolved what)
{
    const int substance = (int)mdr_dissolved_substance(what);
    return there_g_per_l(p, bath, step, what) *
           (mdr_substance_acid_mol_per_kg(substance) + mdr_substance_alkali_mol_per_kg(substance));
}

/* What is left when acid and alkali have met: caustic first, then soda. */
static void acid_and_alkali(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                            const mdr_chem_point *at)
{
    static const mdr_dissolved ACIDS[] = {MDR_IN_HAC, MDR_IN_FORMIC, MDR_IN_CITRIC, MDR_IN_H2SO4};
    double acid = 0, acid_g = 0;
    for (size_t i = 0; i < N_OF(ACIDS); i++) {
        acid += eq(p, bath, step, ACIDS[i]);
        acid_g += there_g_per_l(p, bath, step, ACIDS[i]);
    }
    const double caustic = eq(p, bath, step, MDR_IN_NAOH);
    const double soda = eq(p, bath, step, MDR_IN_NA2CO3) + eq(p, bath, step, MDR_IN_NAHCO3);
    const double soda_g =
        there_g_per_l(p, bath, step, MDR_IN_NA2CO3) + there_g_per_l(p, bath, step, MDR_IN_NAHCO3);
    const double on_caustic = fmin(acid, caustic), on_soda = fmin(acid - on_caustic, soda);
    CHECK_NEAR(at->caustic_g_per_l,
               there_g_per_l(p, bath, step, MDR_IN_NAOH) -
                   on_caustic / mdr_substance_alkali_mol_per_kg(MDR_SUB_NAOH),
               1e-9, "D: caustic that acid has left");
    CHECK_NEAR(at->soda_g_per_l, soda > 0 ? soda_g * (1 - on_soda / soda) : 0, 1e-9,
               "D: soda and hydrogen carbonate, in equal parts");
    CHECK_NEAR(at->acid_g_per_l, acid > 0 ? acid_g * (1 - (on_caustic + on_soda) / acid) : 0, 1e-9,
               "D: acids that alkali has left");
}

/* The last point of a step against its figures. */
static void end_of_step(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                        const mdr_chem_point *at)
{
    CHECK_NEAR(at->t_min, val(p, step->end_min), 1e-9, "D: the step ends there");
    CHECK_NEAR(at->temp_c, val(p, step->temp_end_c), 1e-9, "D: and at this temperature");
    if (step->dithionite_g_per_l != MDR_FIG_NONE) {
        CHECK_NEAR(at->dithionite_g_per_l, val(p, step->dithionite_g_per_l), 1e-12,
                   "D: dithionite of the step");
    }
    if (runs_beside(p, bath, at->t_min)) {
        return;
    }
    CHECK_NEAR(at->salt_g_per_l,
               there_g_per_l(p, bath, step, MDR_IN_NACL) +
                   there_g_per_l(p, bath, step, MDR_IN_NA2SO4),
               1e-9, "D: both salts");
    CHECK_NEAR(at->peroxide_g_per_l, there_g_per_l(p, bath, step, MDR_IN_H2O2), 1e-9,
               "D: peroxide");
    acid_and_alkali(p, bath, step, at);
}

static int n_ph; /* compared */

static bool had_catalase(const mdr_plan_bath *bath, int index)
{
    for (int s = 0; s <= index; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            if (bath->steps[s].items[i].material->substance == MDR_SUB_CATALASE) {
                return true;
            }
        }
    }
    return false;
}

static void ph_of_step(const mdr_plan *p, const mdr_plan_bath *bath, int index,
                       const mdr_chem_point *at)
{
    const mdr_plan_step *step = &bath->steps[index];
    if (step->ph == MDR_FIG_NONE || runs_beside(p, bath, at->t_min)) {
        return;
    }
    assert_true(at->ph_known);
    n_ph++;
    if (had_catalase(bath, index)) { /* it works within a step whose pH is that before */
        CHECK_NEAR(at->ph, val(p, step->ph), 1e-3, "D: pH of the step");
    } else {
        CHECK_NEAR(at->ph, val(p, step->ph), 1e-9, "D: pH of the step");
        CHECK_NEAR(at->ph_uncertainty, step->ph_uncertainty, 1e-12, "D: and its doubt");
    }
}

static void one_bath(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_chem_curve *c, int *k)
{
    const mdr_chem_point *last = NULL;
    double dithionite_g_per_l = val(p, bath->start_g_per_l[MDR_IN_DITHIONITE]);
    for (int s = 0; s < bath->n_steps; s++) {
        const int n = points_of(&bath->steps[s]);
        for (int i = 0; i < n; i++) {
            assert_true(*k < c->n);
            last = &c->points[(*k)++];
            assert_int_equal(last->bath, bath->number);
            CHECK_NEAR(last->hardness_dh, val(p, bath->hardness_dh), 1e-12, "D: of the bath");
        }
        if (n > 0) {
            CHECK_NEAR(c->points[*k - n].t_min, val(p, bath->steps[s].start_min), 1e-9,
                       "D: the step begins there");
            if (bath->steps[s].dithionite_g_per_l != MDR_FIG_NONE) {
                CHECK_NEAR(c->points[*k - n].dithionite_g_per_l, dithionite_g_per_l, 1e-12,
                           "D: it begins where the step before ended");
            }
            end_of_step(p, bath, &bath->steps[s], last);
            ph_of_step(p, bath, s, last);
        }
        if (bath->steps[s].dithionite_g_per_l != MDR_FIG_NONE) {
            dithionite_g_per_l = val(p, bath->steps[s].dithionite_g_per_l);
        }
    }
    if (last != NULL && bath->peroxide_mg_per_l != MDR_FIG_NONE) {
        CHECK_NEAR(last->peroxide_g_per_l * 1000.0, val(p, bath->peroxide_mg_per_l), 1e-9,
                   "D: peroxide at the end of the bath");
    }
    if (last != NULL && bath->dithionite_g_per_l != MDR_FIG_NONE) {
        CHECK_NEAR(last->dithionite_g_per_l, val(p, bath->dithionite_g_per_l), 1e-12,
                   "D: dithionite at the end of the bath");
    }
}

static void is_sound(const mdr_chem_curve *c)
{
    assert_true(c->n > 0);
    for (int i = 0; i < c->n; i++) {
        const mdr_chem_point *q = &c->points[i];
        assert_true(i == 0 || q->t_min >= q[-1].t_min - 1e-9);
        assert_true(!q->ph_known || (q->ph > 1 && q->ph < 14.5 && q->ph_uncertainty > 0.0 &&
                                     q->ph_uncertainty < 0.5));
        const double all[] = {q->temp_c,          q->salt_g_per_l,      q->soda_g_per_l,
                              q->caustic_g_per_l, q->acid_g_per_l,      q->peroxide_g_per_l,
                              q->hardness_dh,     q->dithionite_g_per_l};
        for (size_t k = 0; k < N_OF(all); k++) {
            assert_true(isfinite(all[k]) && all[k] >= 0.0);
        }
    }
}

static void meets(const mdr_plan *p, mdr_arena *arena)
{
    const mdr_chem_curve c = curve_of(p, arena);
    int k = 0;
    is_sound(&c);
    for (int b = 0; b < p->n_baths; b++) {
        if (val(p, p->baths[b].liquor_l) > 0) {
            one_bath(p, &p->baths[b], &c, &k);
        }
    }
    assert_int_equal(k, c.n);
}

static void meets_lot(const kit_desk *d)
{
    meets(d->plan, d->arena);
}

static void every_demo_lot(void **state)
{
    (void)state;
    n_ph = 0;
    assert_int_equal(kit_each_lot(meets_lot), 24); /* all but the one without rolls */
    assert_true(n_ph > 1500);
}

/* -- baths made for it -- */

static void run(kit_bench *b)
{
    if (kit_bench_run(b) != MDR_OK) {
        fail_msg("%s (%s)", b->err.msg, b->err.place);
    }
}

/* Peroxide and caustic in one bath, dithionite in the next. */
static void peroxide_and_vat(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_VAT);
    b.site.alkalinity_mmol_per_l = 2;
    const mdr_route_item caustic = kit_item("caustic", MDR_BASIS_G_PER_L, 4);
    const mdr_route_item perox = kit_item("peroxide", MDR_BASIS_G_PER_L, 3);
    const mdr_route_item dith = kit_item("dithionite", MDR_BASIS_G_PER_L, 6);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    const mdr_route_step bleach[] = {kit_fill(50),    kit_dose(&caustic, 10), kit_dose(&perox, 10),
                                     kit_heat(98, 2), kit_hold(60),           kit_cool(70, 2),
                                     kit_drain()};
    const mdr_route_step vat[] = {kit_fill(50),        kit_dose(&dye, 20), kit_dose(&caustic, 10),
                                  kit_dose(&dith, 10), kit_heat(60, 2),    kit_hold(30),
                                  kit_drain()};
    kit_bench_bath(&b, bleach, 7);
    kit_bench_bath(&b, vat, 7);
    run(&b);
    meets(b.plan, b.arena);
    kit_bench_free(&b);
}

/* What is in by a quarter of the time is what the curve of the dose says. */
static void dose_follows_its_curve(void **state)
{
    (void)state;
    const struct {
        mdr_curve_kind curve;
        double exponent;
        int portions;
        double by_quarter, by_half;
    } rows[] = {{MDR_CURVE_LINEAR, 0, 0, 0.25, 0.5},
                {MDR_CURVE_PROGRESSIVE, 2, 0, 0.0625, 0.25},
                {MDR_CURVE_DEGRESSIVE, 0.5, 0, 0.5, 0.70710678118654752}};
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 40);
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
        mdr_route_step dose = kit_dose(&salt, 24);
        dose.curve = rows[i].curve;
        dose.exponent = rows[i].exponent;
        dose.portions = rows[i].portions;
        const mdr_route_step steps[] = {kit_fill(0), dose, kit_drain()};
        kit_bench_bath(&b, steps, 3);
        run(&b);
        const mdr_chem_curve c = curve_of(b.plan, b.arena);
        const mdr_chem_point *dosed = &c.points[OTHER_POINTS];
        CHECK_NEAR(dosed[0].salt_g_per_l, 0, 1e-12, "D: nothing yet");
        CHECK_NEAR(dosed[3].salt_g_per_l, 40 * rows[i].by_quarter, 1e-9, "D: t^exponent");
        CHECK_NEAR(dosed[6].salt_g_per_l, 40 * rows[i].by_half, 1e-9, "D: t^exponent");
        CHECK_NEAR(dosed[12].salt_g_per_l, 40, 1e-9, "D: all of it");
        CHECK_NEAR(dosed[3].t_min - dosed[0].t_min, 6, 1e-9, "D: a quarter of 24 min");
        kit_bench_free(&b);
    }
}

/* Portions make steps: no more heights than portions, and flat between. */
static void portions_are_steps(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 40);
    mdr_route_step dose = kit_dose(&salt, 24);
    dose.curve = MDR_CURVE_PORTIONS;
    dose.portions = 4;
    const mdr_route_step steps[] = {kit_fill(0), dose, kit_drain()};
    kit_bench_bath(&b, steps, 3);
    run(&b);
    const mdr_chem_curve c = curve_of(b.plan, b.arena);
    int rises = 0, flat = 0;
    for (int i = 1; i < DOSE_POINTS; i++) {
        const double step =
            c.points[OTHER_POINTS + i].salt_g_per_l - c.points[OTHER_POINTS + i - 1].salt_g_per_l;
        assert_true(fabs(step) < 1e-9 || fabs(step - 10) < 1e-9);
        rises += step > 1 ? 1 : 0;
        flat += step > 1 ? 0 : 1;
    }
    assert_true(rises >= 3 && rises <= 4 && flat >= 8);
    kit_bench_free(&b);
}

/* A dose beside the heating is in as far as its own time has run, and all of it in the end. */
static void beside(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_item soda = kit_item("soda", MDR_BASIS_G_PER_L, 10);
    mdr_route_step dose = kit_dose(&soda, 20);
    dose.with_next = true;
    dose.offset_min = 5;
    const mdr_route_step steps[] = {kit_fill(40), dose,         kit_hold(10),
                                    kit_hold(10), kit_hold(20), kit_drain()};
    kit_bench_bath(&b, steps, 6);
    run(&b);
    const mdr_chem_curve c = curve_of(b.plan, b.arena);
    /* points: fill 2, hold 7, hold 7, hold 7, drain 2 */
    const mdr_chem_point *q = &c.points[OTHER_POINTS];
    CHECK_NEAR(q[0].soda_g_per_l, 0, 1e-12, "D: it has not begun");
    CHECK_NEAR(q[RAMP_POINTS - 1].soda_g_per_l, 2.5, 1e-9, "D: 5 of its 20 min");
    CHECK_NEAR(q[2 * RAMP_POINTS - 1].soda_g_per_l, 7.5, 1e-9, "D: 15 of its 20 min");
    CHECK_NEAR(q[3 * RAMP_POINTS - 1].soda_g_per_l, 10, 1e-9, "D: all of it");
    assert_true(q[RAMP_POINTS - 1].ph < q[2 * RAMP_POINTS - 1].ph &&
                q[2 * RAMP_POINTS - 1].ph < q[3 * RAMP_POINTS - 1].ph);
    meets(b.plan, b.arena);
    kit_bench_free(&b);
}

/* Peroxide that is given beside the heating decays like any other. */
static void peroxide_beside(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_item perox = kit_item("peroxide", MDR_BASIS_G_PER_L, 3);
    const mdr_route_item caustic = kit_item("caustic", MDR_BASIS_G_PER_L, 4);
    mdr_route_step dose = kit_dose(&perox, 10);
    dose.with_next = true;
    const mdr_route_step steps[] = {kit_fill(50),    kit_dose(&caustic, 10), dose,
                                    kit_heat(98, 2), kit_hold(60),           kit_drain()};
    kit_bench_bath(&b, steps, 6);
    run(&b);
    meets(b.plan, b.arena);
    kit_bench_free(&b);
}

/* Acid in water without alkalinity: no sodium, and yet a pH. */
static void acid_alone(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_item acid = kit_item("acid", MDR_BASIS_G_PER_L, 1);
    const mdr_route_step steps[] = {kit_fill(40), kit_dose(&acid, 10), kit_drain()};
    kit_bench_bath(&b, steps, 3);
    run(&b);
    meets(b.plan, b.arena);
    kit_bench_free(&b);
}

/* What was carried in decays from the first minute; the bath's own peroxide from when it is given. */
static void carried_peroxide(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_item perox = kit_item("peroxide", MDR_BASIS_G_PER_L, 4);
    const mdr_route_item soda = kit_item("soda", MDR_BASIS_G_PER_L, 2);
    const mdr_route_step bleach[] = {kit_fill(90), kit_dose(&soda, 10), kit_hold(30),
                                     kit_dose(&perox, 10), kit_drain()};
    const mdr_route_step wash[] = {kit_fill(90), kit_hold(30), kit_drain()};
    kit_bench_bath(&b, bleach, 5);
    kit_bench_bath(&b, wash, 3);
    run(&b);
    const mdr_chem_curve c = curve_of(b.plan, b.arena);
    const mdr_plan_bath *washing = &b.plan->baths[1];
    const double start = val(b.plan, washing->start_g_per_l[MDR_IN_H2O2]);
    const int first = OTHER_POINTS + DOSE_POINTS + RAMP_POINTS + DOSE_POINTS + OTHER_POINTS;
    const mdr_chem_point *hold = &c.points[first + OTHER_POINTS];
    CHECK_NEAR(c.points[first].peroxide_g_per_l, start, 1e-12, "D: as it comes");
    const double half = exp(-0.0175 * exp2((90 - 98) / 10.0) * 15);
    CHECK_NEAR(hold[3].peroxide_g_per_l / hold[0].peroxide_g_per_l, half, 1e-9,
               "P: 0.0175/min at 98 degC, half of it every 10 K; 15 min");
    CHECK_NEAR(hold[6].peroxide_g_per_l / hold[0].peroxide_g_per_l, half * half, 1e-9, "P: 30 min");
    meets(b.plan, b.arena);
    kit_bench_free(&b);
}

static void memory(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    const mdr_route_step steps[] = {kit_fill(0), kit_drain()};
    kit_bench_bath(&b, steps, 2);
    run(&b);
    mdr_chem_curve c;
    mdr_arena *small = mdr_arena_new(64);
    assert_int_equal(mdr_chem_curve_make(b.plan, small, &c, &b.err), MDR_E_NOMEM);
    assert_true(b.err.msg[0] != '\0' && b.err.remedy[0] != '\0');
    mdr_arena_free(small);
    kit_bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_demo_lot),
                                       cmocka_unit_test(peroxide_and_vat),
                                       cmocka_unit_test(dose_follows_its_curve),
                                       cmocka_unit_test(portions_are_steps),
                                       cmocka_unit_test(beside),
                                       cmocka_unit_test(peroxide_beside),
                                       cmocka_unit_test(acid_alone),
                                       cmocka_unit_test(carried_peroxide),
                                       cmocka_unit_test(memory)};
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
