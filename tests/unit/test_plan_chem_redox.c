/* The chemistry of the plan, peroxide, catalase and dithionite: worked numbers by hand beside it. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/bath/mdr_equil.h"
#include "plan_chem_kit.h"

/* 60 min at 98 degC leave 35 %; what is left is carried, and catalase takes it to 1 mg/L. */
static void peroxide_and_catalase(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step at_once = pure("peroxide", 2);
    mdr_route_step catalase = give("catalase", MDR_BASIS_CATALASE, 1);
    at_once.minutes = catalase.minutes = 1e-6;
    BATH(&b, kit_fill(98), kit_hold(30), at_once, kit_hold(60), kit_drain());
    BATH(&b, kit_fill(50), catalase, kit_hold(5), kit_check(MDR_CHECK_PEROXIDE, -1, 5),
         kit_drain());
    run(&b);
    const mdr_plan_bath *bath = b.plan->baths;
    const double left = 2000 * exp(-0.0175 * 60);
    CHECK_NEAR(left / 2000, 0.35, 1e-3, "P: 35 % after an hour at 98 degC");
    CHECK_NEAR(val(&b, bath[0].peroxide_mg_per_l), left, 1e-3, "P: from when it is given");
    CHECK_NEAR(val(&b, bath[0].steps[2].dissolved_kg[MDR_IN_H2O2]), 16, 1e-5, "D: 2 g/L");
    CHECK_NEAR(val(&b, bath[0].steps[3].dissolved_kg[MDR_IN_H2O2]), left * 8e-3, 1e-5,
               "D: at the end of the hold");
    const double start = left * 2500 / 8000;
    CHECK_NEAR(val(&b, bath[1].start_g_per_l[MDR_IN_H2O2]) * 1000, start, 1e-3, "D: thinned");
    CHECK_NEAR(val(&b, bath[1].steps[1].items[0].mass_kg), (start - 1) * 8000 / 1500 / 1000, 1e-6,
               "D: down to 1 mg/L at 1500 mg/g");
    const double then = exp(-0.0175 * exp2(-4.8) * 8); /* 5 and 3 min at 50 degC */
    CHECK_NEAR(val(&b, bath[1].steps[3].peroxide_mg_per_l), then, 1e-3, "D: what the check reads");
    const mdr_plan_mass *m = NULL;
    for (int i = 0; i < bath[1].n_masses; i++) {
        m = bath[1].masses[i].material == kit_material("peroxide") ? &bath[1].masses[i] : m;
    }
    assert_non_null(m);
    CHECK_NEAR(m->consumed_kg, (start - then) * 8e-3, 1e-5, "D: by catalase and time");
    kit_bench_free(&b);
}

/* The same heat on a ramp: by the exact integral. */
static void peroxide_on_a_ramp(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step at_once = pure("peroxide", 2);
    at_once.minutes = 1e-6;
    BATH(&b, kit_fill(78), at_once, kit_heat(98, 0.5), kit_drain());
    run(&b);
    const double equivalent = 20 / 0.5 * (1 - 0.25) / (2 * log(2)); /* 2^-2 to 2^0 */
    CHECK_NEAR(val(&b, b.plan->baths[0].peroxide_mg_per_l), 2000 * exp(-0.0175 * equivalent), 0.01,
               "D: integral of 2^((T - 98)/10) over the ramp");
    kit_bench_free(&b);
}

/* The vat: water and dye take theirs at once, air and heat over the time. */
static void vat_reserve(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.machine.air_g_o2_per_kg_h = 6;
    mdr_route_step at_once = pure("dithionite", 6);
    at_once.minutes = 1e-6;
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), at_once, kit_hold(40), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    const double per_o2 = DITHIONITE / O2;
    const double water = 10.08e-3 * per_o2; /* oxygen at 15 degC, [oxygen-saturation] */
    const double by_dye = 2.5 * 0.105;      /* 20 kg in 8000 L, 0.35 x 0.30 g/g */
    const double start = 6 - water - by_dye;
    const double a = 6.0 * 1000 / 8000 / 60 * per_o2, k = 0.05 / 60; /* at 60 degC */
    const double held = start * exp(-k * 40) - a * (1 - exp(-k * 40)) / k;
    CHECK_NEAR(val(&b, bath->steps[3].dithionite_g_per_l), start, 2e-3, "D: taken at once");
    CHECK_NEAR(val(&b, bath->steps[4].dithionite_g_per_l), held, 2e-3, "D: dD/dt = -a - k D");
    assert_true(bath->steps[2].dithionite_g_per_l == MDR_FIG_NONE);
    CHECK_NEAR(val(&b, bath->dithionite_g_per_l), held, 2e-3, "D: at the end of the bath");
    /* oxygen of water and air leaves one sulphuric acid each, the dye two, heat half a one */
    const double heat = start - held - a * 40;
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_H2SO4]),
               (water + a * 40 + 2 * by_dye + 0.5 * heat) * 98.078 / DITHIONITE, 2e-3,
               "D: docs/methods/vat.md");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_NA2SO4]), (6 - held) * NA2SO4 / DITHIONITE, 2e-3,
               "D: one sulphate each");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_NAOH]), 5, 1e-9, "D: as given");
    mdr_mix mix = {.temp_c = 60};
    mdr_mix_add(&mix, MDR_SUB_NAOH, 5);
    mdr_mix_add(&mix, MDR_SUB_H2SO4,
                (water + a * 40 + 2 * by_dye + 0.5 * heat) * 98.078 / DITHIONITE);
    mdr_mix_add(&mix, MDR_SUB_NA2SO4, (6 - held) * NA2SO4 / DITHIONITE);
    mdr_mix_add(&mix, MDR_SUB_DITHIONITE, held);
    CHECK_NEAR(val(&b, bath->steps[4].ph), mdr_equil_ph(&mix), 1e-3, "D: of all that is there");
    kit_bench_free(&b);
}

/* A second dithionite meets the dye no more; without a figure the kind of machine says the air. */
static void vat_in_parts(void **state)
{
    (void)state;
    const struct {
        int kind;
        double air;
    } kinds[] = {{MDR_MACHINE_WINCH, 7}, {MDR_MACHINE_JET, 3.5}, {MDR_MACHINE_AIRFLOW, 12}};
    for (size_t i = 0; i < N_OF(kinds); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.kind = kinds[i].kind;
        mdr_route_step first = pure("dithionite", 3), second = pure("dithionite", 2);
        first.minutes = second.minutes = 1e-6;
        BATH(&b, kit_fill(60), dye(), pure("caustic", 5), first, kit_hold(10), second, kit_hold(5),
             kit_drain());
        run(&b);
        const mdr_plan_step *s = b.plan->baths[0].steps;
        const double a = kinds[i].air * 1000 / 8000 / 60 * DITHIONITE / O2, k = 0.05 / 60;
        const double before = val(&b, s[3].dithionite_g_per_l);
        CHECK_NEAR(before, 3 - 10.08e-3 * DITHIONITE / O2 - 2.5 * 0.105, 2e-3,
                   "D: the first meets");
        CHECK_NEAR(val(&b, s[5].dithionite_g_per_l),
                   before * exp(-k * 10) - a * (1 - exp(-k * 10)) / k + 2, 2e-3,
                   "I: air by kind; D: the second meets neither water nor dye");
        kit_bench_free(&b);
    }
}

/* Dithionite that is carried in meets the oxygen of the fill; a rinse thins it like everything. */
static void dithionite_is_rinsed(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.machine.air_g_o2_per_kg_h = 1e-9;
    BATH(&b, kit_fill(40), pure("caustic", 5), pure("dithionite", 8), kit_drain());
    BATH(&b, kit_fill(0), kit_rinse(20, 300), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    const double start = val(&b, bath->start_g_per_l[MDR_IN_DITHIONITE]);
    const double water = 5500.0 / 8000 * 10.08e-3 * DITHIONITE / O2;
    CHECK_NEAR(val(&b, bath->steps[0].dithionite_g_per_l), start - water, 5e-3, "D: of the fill");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_DITHIONITE]), (start - water) * exp(-6000.0 / 8000),
               0.01, "D: 6000 L through 8000 L");
    kit_bench_free(&b);
}

static void oxidising(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    kit_bench_stage(&b, MDR_STAGE_DYEING);
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), pure("dithionite", 6), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 1), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    const double carried_kg = val(&b, bath->start_kg[MDR_IN_DITHIONITE]);
    assert_true(carried_kg > 1);
    const double met_kg = carried_kg - 5.5 * 10.08e-3 * DITHIONITE / O2; /* oxygen of the fill */
    CHECK_NEAR(val(&b, bath->steps[1].items[0].active_kg),
               2 * (20 * 0.105 * H2O2 / DITHIONITE + met_kg * 3 * H2O2 / DITHIONITE), 1e-3,
               "D: docs/methods/vat.md#oxidation, 20 kg of dye");
    kit_bench_free(&b);
}

/* Little dye still gets what a dilute bath needs to work. */
static void oxidising_at_least(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    BATH(&b, kit_fill(60), dye(), kit_drain());
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 0.5), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[1].steps[1].items[0].active_kg), 0.5 * 8, 1e-9,
               "P: 1 g/L, and the route's factor");
    kit_bench_free(&b);
}

/* Peroxide by the whiteness: 1.75 g/L of 100 % for W10 65 by the table, in parts as well. */
static void whitening(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        mdr_route_step dose = give(i == 2 ? "soda" : "peroxide", MDR_BASIS_WHITEN, 1.2);
        pool[(n_pool - 1) % 64].to_whiteness = i == 1 ? 86 : 65;
        dose.share_pct = 50;
        BATH(&b, kit_fill(60), dose, kit_drain());
        const mdr_code rc = kit_bench_run(&b);
        if (i == 0) {
            assert_int_equal(rc, MDR_OK);
            CHECK_NEAR(val(&b, b.plan->baths[0].steps[1].items[0].active_kg), 1.75 * 8 * 1.2 / 2,
                       1e-9, "P: 3.5 g/L of 50 %");
        } else {
            assert_int_equal(rc, i == 1 ? MDR_E_RANGE : MDR_E_CONFLICT);
            assert_string_equal(b.err.place, i == 1
                                                 ? "bath 1 \"Bath\", step 2, item 1.target_w10"
                                                 : "bath 1 \"Bath\", step 2, item 1, material_id");
        }
        kit_bench_free(&b);
    }
}

/* Minutes at 98 degC that a straight ramp counts for. */
static double equivalent_min(double minutes, double from_c, double to_c)
{
    const double x = log(2) * (to_c - from_c) / 10;
    return minutes * exp2((from_c - 98) / 10) * (fabs(x) > 1e-9 ? (exp(x) - 1) / x : 1);
}

/* A rinse thins and its minutes count; a dose beside a hold has no minutes of its own. */
static void peroxide_in_rinse_and_beside(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.site.hot_water_c = 85;
    mdr_route_step beside = pure("peroxide", 2), hot_rinse = kit_rinse(30, 100);
    beside.with_next = true;
    hot_rinse.has_temp = true;
    hot_rinse.temp_c = 85;
    BATH(&b, kit_fill(85), beside, kit_hold(30), hot_rinse, kit_drain());
    run(&b);
    const mdr_plan_step *s = b.plan->baths[0].steps;
    const double held = 16 * exp(-0.0175 * equivalent_min(30, 85, 85));
    CHECK_NEAR(val(&b, s[2].dissolved_kg[MDR_IN_H2O2]), held, 1e-6, "P: half an hour at 85 degC");
    const double minutes = equivalent_min(30, val(&b, s[3].temp_start_c), val(&b, s[3].temp_end_c));
    CHECK_NEAR(val(&b, s[3].dissolved_kg[MDR_IN_H2O2]),
               held * exp(-3000.0 / 8000) * exp(-0.0175 * minutes), 1e-6, "D: thinned and decayed");
    kit_bench_free(&b);
}

/* Dithionite meets the oxygen that the fill brought, however late it comes, and no dye but vat dyes. */
static void what_dithionite_meets(void **state)
{
    (void)state;
    for (int at_once_filled = 0; at_once_filled < 2; at_once_filled++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        b.machine.air_g_o2_per_kg_h = 1e-9;
        mdr_route_step at_once = pure("dithionite", 3);
        at_once.minutes = 1e-6;
        if (at_once_filled == 1) {
            BATH(&b, kit_fill(40), dye(), pure("caustic", 3), at_once, kit_drain());
        } else {
            BATH(&b, kit_fill(40), dye(), pure("caustic", 3));
            BATH(&b, at_once, kit_drain());
        }
        run(&b);
        const mdr_plan_bath *last = &b.plan->baths[b.plan->n_baths - 1];
        CHECK_NEAR(val(&b, last->dithionite_g_per_l), 3 - 10.08e-3 * DITHIONITE / O2, 2e-3,
                   "D: oxygen at 15 degC");
        kit_bench_free(&b);
    }
}

/* Peroxide meets dithionite first, then the reduced dye, both portions of it. */
static void peroxide_meets(void **state)
{
    (void)state;
    const double per_dye = 0.105 * H2O2 / DITHIONITE, per_dithionite = 3 * H2O2 / DITHIONITE;
    for (int enough = 0; enough < 2; enough++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 1e-9;
        mdr_route_step half = dye();
        half.share_pct = 50;
        mdr_route_step acts = pure("peroxide", enough == 1 ? 0.3 : 0.05);
        acts.minutes = 1e-6;
        BATH(&b, kit_fill(20), half, pure("caustic", 5), pure("dithionite", 1), half,
             pure("dithionite", 1), kit_drain());
        BATH(&b, kit_fill(20), kit_hold(1), acts, kit_drain());
        run(&b);
        const mdr_plan_step *s = b.plan->baths[1].steps;
        const double there_kg = val(&b, s[1].dissolved_kg[MDR_IN_DITHIONITE]);
        const double left_kg = val(&b, s[2].dissolved_kg[MDR_IN_DITHIONITE]);
        const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_NOT_OXIDISED);
        assert_true(there_kg > 1.5);
        assert_non_null(w);
        if (enough == 1) {
            const double over_kg = 2.4 - there_kg * per_dithionite;
            assert_true(over_kg > 0.05 && over_kg < 20 * per_dye);
            CHECK_NEAR(left_kg, 0, 1e-12, "D: the dithionite is gone");
            CHECK_NEAR(w->args[0].number, 20 - over_kg / per_dye, 0.01, "D: the rest of 20 kg");
            CHECK_NEAR(val(&b, s[2].dissolved_kg[MDR_IN_H2O2]), 0, 1e-12, "D: and the peroxide");
        } else {
            CHECK_NEAR(left_kg, there_kg - 0.4 / per_dithionite, 2e-3, "D: three for one");
            CHECK_NEAR(w->args[0].number, 20, 1e-9, "D: the dye has not been reached");
        }
        kit_bench_free(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(peroxide_and_catalase),
                                       cmocka_unit_test(peroxide_on_a_ramp),
                                       cmocka_unit_test(vat_reserve),
                                       cmocka_unit_test(vat_in_parts),
                                       cmocka_unit_test(dithionite_is_rinsed),
                                       cmocka_unit_test(oxidising),
                                       cmocka_unit_test(oxidising_at_least),
                                       cmocka_unit_test(whitening),
                                       cmocka_unit_test(peroxide_in_rinse_and_beside),
                                       cmocka_unit_test(what_dithionite_meets),
                                       cmocka_unit_test(peroxide_meets)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
