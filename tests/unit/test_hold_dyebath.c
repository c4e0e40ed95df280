/* Remedies in and after the dyebath: levelness, vat, wash-off. */
#include "t.h"

#include "core/bath/mdr_reduction.h"
#include "hold_kit.h"

/* -- levelness -- */

static void level_before_the_alkali(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_LEVEL, 60, 0.9);
    hold_kit_limits(&k, HOLD_NONE, 0.5);
    k.state.dyed = k.state.dyebath = true;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->n_remedies, 2);
    const mdr_remedy *r = &k.hold->remedies[0];
    assert_int_equal(r->kind, MDR_REMEDY_LEVEL_HEAT);
    CHECK_NEAR(hottest(r), 80, 1e-9, "S: 80 degC, 20 to 30 min, THEN alkali");
    CHECK_NEAR(r->steps[1].minutes, 25, 1e-9, "S: 80 degC, 20 to 30 min");
    CHECK_NEAR(r->steps[r->n_steps - 1].temp_end_c, 60, 1e-9, "contract: back to where it was");
    assert_true(r->steps[0].minutes >= 20.0 - 1e-9); /* 1 degC/min */
    CHECK_NEAR(hold_kit_kg(must(&k, MDR_REMEDY_LEVEL_AGENT), "LEVEL"), 8, 1e-6, "P: 1 g/L");
    k.in.n_failed = 1; /* heat alone did not do */
    hold_kit_judge(&k);
    assert_int_equal(k.hold->remedies[0].kind, MDR_REMEDY_LEVEL_AGENT);
    assert_int_equal(k.hold->n_remedies, 1);
    k.in.n_failed = 2;
    is_stop(&k, 1);
    mdr_arena_free(k.arena);
}

static void nothing_levels_after_the_alkali(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_LEVEL, 60, 0.9);
    hold_kit_limits(&k, HOLD_NONE, 0.5);
    k.state.dyed = k.state.dyebath = k.state.fixing = true;
    is_stop(&k, 0);
    k.state.fixing = false;
    k.state.dyebath = false; /* washed already */
    is_stop(&k, 0);
    k.state.dyebath = true;
    k.state.dye_class = MDR_CLASS_VAT;
    is_stop(&k, 0);
    k.state.dye_class = MDR_CLASS_DIRECT;
    hold_kit_judge(&k);
    CHECK_NEAR(hottest(&k.hold->remedies[0]), 95, 1e-9, "P: a direct dye at the boil");
    k.machine.temp_max_c = 90; /* too cold a machine: not offered, and said why */
    is_stop(&k, 0);
    assert_non_null(strstr(k.hold->missing[0], "the machine reaches 90 degC"));
    mdr_arena_free(k.arena);
}

/* -- vat -- */

static void reserve_of_the_vat(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_REDOX, 60, -640);
    hold_kit_limits(&k, HOLD_NONE, -750);
    k.state.dyed = k.state.dyebath = true;
    k.state.dye_class = MDR_CLASS_VAT;
    k.state.minutes_left = 45;
    k.machine.tank_water = MDR_TANK_BATH;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_REDUCER);
    const double air = mdr_reduction_air_loss_g_per_l_min(
        mdr_reduction_air_g_o2_per_kg_h(MDR_MACHINE_WINCH), 1000, 8000);
    const double given = hold_kit_kg(r, "DITHIONITE") * 0.88 / 8;
    CHECK_NEAR(mdr_reduction_left_g_per_l(given, air, mdr_reduction_heat_per_min(60), 45), 1.0,
               0.03, "D: 1 g/L is left when it ends; the caustic has made it a little more liquor");
    CHECK_NEAR(hold_kit_kg(r, "CAUSTIC") * 0.5 / 8, given * 160.0 / 174.1, 0.03,
               "D: 4 NaOH a dithionite");
    assert_int_equal(r->approve,
                     MDR_HOLD_BY_TECHNOLOGIST); /* D: what leaves 1 g/L is more than 1 */
    k.in.reading = -900;                        /* over-reduced */
    hold_kit_limits(&k, -850, -750);
    hold_kit_judge(&k);
    assert_int_equal(k.hold->remedies[0].kind, MDR_REMEDY_RUN_ON);
    mdr_arena_free(k.arena);
}

static void reduction_strip_both_ways(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_REDUCTION, 48, 2);
    hold_kit_limits(&k, 4, HOLD_NONE);
    k.state.dye_class = MDR_CLASS_VAT;
    hold_kit_judge(&k);
    (void)must(&k, MDR_REMEDY_REDUCER);
    hold_kit_limits(&k, HOLD_NONE, 1); /* before the oxidation none may be left */
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_RINSE);
    assert_int_equal(hold_kit_steps(r, MDR_STEP_FILL), 1);
    CHECK_NEAR(r->water_l, 5500, 1e-9, "D: 8000 - 2500 L");
    hold_kit_limits(&k, 4, HOLD_NONE);
    hold_kit_lack(&k, "DITHIONITE");
    is_stop(&k, 0);
    mdr_arena_free(k.arena);
}

/* -- wash-off -- */

static void hot_baths_by_the_model(void **state)
{
    (void)state;
    static const struct {
        double loose, baths;
        const char *words;
    } ROWS[] = {{0, 1, "does not know"},
                {200, 1, "200 mg/kg loose by the plan, 100 after 1"},
                {500, 2, "500 mg/kg loose by the plan, 125 after 2"},
                {5000, 3, "5000 mg/kg loose by the plan, 625 after 3"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        hold_kit k;
        hold_kit_open(&k, MDR_CHECK_WASH_OFF, 50, 3);
        hold_kit_limits(&k, 4, HOLD_NONE);
        k.state.dyed = true;
        k.state.loose_mg_per_kg = ROWS[i].loose;
        hold_kit_judge(&k);
        const mdr_remedy *r = must(&k, MDR_REMEDY_HOT_BATHS);
        CHECK_NEAR(hold_kit_steps(r, MDR_STEP_FILL), ROWS[i].baths, 0,
                   "D: halved each, down to 150 mg/kg, one to three");
        assert_non_null(strstr(r->why[0].working, ROWS[i].words));
        CHECK_NEAR(hottest(r), 95, 1e-9, "P: 95 degC");
        CHECK_NEAR(r->water_l, ROWS[i].baths * 5500, 1e-6, "D: 8000 - 2500 L each");
        assert_int_equal(k.hold->n_remedies, 1);
        mdr_arena_free(k.arena);
    }
}

static void fixing_agent_when_baths_do_not_do(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_WASH_OFF, 50, 3);
    hold_kit_limits(&k, 4, HOLD_NONE);
    k.in.n_failed = 1;
    k.site.alkalinity_mmol_per_l = 2;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_FIXING);
    CHECK_NEAR(hold_kit_kg(r, "FIX"), 10, 1e-6, "P: 1 % of 1000 kg");
    assert_int_equal(r->approve, MDR_HOLD_BY_QUALITY);
    assert_int_equal(r->steps[r->n_steps - 1].kind, MDR_STEP_HOLD);
    CHECK_NEAR(r->steps[r->n_steps - 1].minutes, 20, 1e-9, "P: 20 min with the agent");
    hold_vessel bath = {.liquor_l = 8000};
    hold_vessel_run(&bath, r, &k.site);
    CHECK_NEAR(hold_vessel_ph(&bath, 40), 5.5, 0.02, "D: steps run on a second model");
    k.in.n_failed = 3;
    is_stop(&k, 2);
    mdr_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(level_before_the_alkali),
        cmocka_unit_test(nothing_levels_after_the_alkali),
        cmocka_unit_test(reserve_of_the_vat),
        cmocka_unit_test(reduction_strip_both_ways),
        cmocka_unit_test(hot_baths_by_the_model),
        cmocka_unit_test(fixing_agent_when_baths_do_not_do),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
