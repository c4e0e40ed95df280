/* Remedies of what is in the bath beside its pH: peroxide, hardness, salt. */
#include "t.h"

#include "core/bath/mdr_peroxide.h"
#include "core/bath/mdr_rinse.h"
#include "hold_kit.h"

/* -- peroxide -- */

static void catalase_by_the_reading(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PEROXIDE, 45, 25);
    hold_kit_limits(&k, HOLD_NONE, 5);
    hold_kit_judge(&k);
    const mdr_remedy *r = &k.hold->remedies[0];
    assert_int_equal(r->kind, MDR_REMEDY_CATALASE);
    CHECK_NEAR(hold_kit_kg(r, "CATALASE"), 0.128, 1e-6, "D: 24 mg/L x 8000 L / 1500 mg/g");
    CHECK_NEAR(r->expected, 1, 1e-3, "P: 1 mg/L is the aim");
    assert_int_equal(hold_kit_steps(r, MDR_STEP_COOL), 0);
    assert_int_equal(r->steps[0].kind, MDR_STEP_DOSE);
    k.in.n_failed = 2;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_CATALASE));
    mdr_arena_free(k.arena);
}

/* What no balance shows is not offered. */
static void less_than_a_milligram(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PEROXIDE, 45, 6);
    hold_kit_limits(&k, HOLD_NONE, 5);
    k.state.load_kg = 0.01;
    k.state.liquor_l = 0.1;
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_CATALASE));
    assert_non_null(strstr(k.hold->missing[0], "less than 1 mg of CATALASE"));
    mdr_arena_free(k.arena);
}

/* Hot and alkaline kills the enzyme: cooled and neutralised first, in this order. */
static void window_first(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PEROXIDE, 75, 40);
    hold_kit_limits(&k, HOLD_NONE, 5);
    k.in.ph = 10.2;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_CATALASE);
    assert_non_null(r);
    static const mdr_step_kind ORDER[] = {MDR_STEP_COOL,  MDR_STEP_DOSE, MDR_STEP_HOLD,
                                          MDR_STEP_CHECK, MDR_STEP_DOSE, MDR_STEP_HOLD};
    assert_int_equal(r->n_steps, N_OF(ORDER));
    for (size_t i = 0; i < N_OF(ORDER); i++) {
        assert_int_equal(r->steps[i].kind, ORDER[i]);
    }
    assert_true(mdr_peroxide_catalase_temp_fits(r->steps[4].temp_start_c));
    assert_true(hold_kit_kg(r, "ACETIC") > 0.0);
    const mdr_control_state *there = r->steps[3].state; /* the check between may fail, too */
    hold_vessel bath = {.liquor_l = there->liquor_l};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        bath.dissolved_kg[i] = there->dissolved_kg[i];
    }
    CHECK_NEAR(hold_vessel_ph(&bath, 50), 7.0, 0.01, "contract: the bath at that check");
    k.in.ph = 7.2;
    hold_kit_judge(&k);
    CHECK_NEAR(hold_kit_kg(hold_kit_remedy(&k, MDR_REMEDY_CATALASE), "ACETIC"), 0, 0,
               "P: pH 6 to 8 is the window");
    mdr_arena_free(k.arena);
}

static void rinse_without_catalase(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PEROXIDE, 45, 50);
    hold_kit_limits(&k, HOLD_NONE, 5);
    hold_kit_lack(&k, "CATALASE");
    hold_kit_judge(&k);
    assert_int_equal(k.hold->n_remedies, 1);
    const mdr_remedy *r = &k.hold->remedies[0];
    assert_int_equal(r->kind, MDR_REMEDY_RINSE);
    const mdr_rinse_in in = {.load_kg = 1000,
                             .ratio_l_per_kg = 8,
                             .retained_l_per_kg = 2.5,
                             .start_g_per_l = 50,
                             .target_g_per_l = 2.5,
                             .flow_l_per_min = 1,
                             .fill_l_per_min = 800,
                             .drain_l_per_min = 1000,
                             .run_min = 5};
    const mdr_rinse_way way = mdr_rinse_fill_drain(&in);
    CHECK_NEAR(hold_kit_steps(r, MDR_STEP_FILL), way.baths, 0, "D: fill and drain");
    CHECK_NEAR(r->expected, way.end_g_per_l, 1e-9, "D: (2.5 / 8)^n");
    CHECK_NEAR(r->water_l, way.baths * 5500, 1e-6, "D: 8000 - 2500 L each");
    k.state.dyebath = true;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k.hold->n_missing, 2);
    mdr_arena_free(k.arena);
}

/* -- hardness and salt -- */

static void hardness(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_HARDNESS, 40, 9);
    hold_kit_limits(&k, HOLD_NONE, 5);
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_SEQUESTER);
    assert_non_null(r);
    CHECK_NEAR(hold_kit_kg(r, "SEQ"), 6.5 * 17.848 * 8000 / 120 / 1000, 2e-3,
               "D: (9 - 2.5) dH x 17.848 mg CaCO3/L x 8000 L / 120 mg/g");
    assert_true(r->expected < 2.5 + 1e-9 && r->expected > 2.4);
    assert_non_null(hold_kit_remedy(&k, MDR_REMEDY_DEMINERALISE));
    CHECK_NEAR(hold_kit_remedy(&k, MDR_REMEDY_DEMINERALISE)->expected, 0.3125 * 9 + 0.6875 * 3,
               1e-9, "D: 2500 L of the old, 5500 L of 3 dH");
    k.state.dyed = true;
    hold_kit_lack(&k, "SEQ");
    hold_kit_lack(&k, "DEMIN");
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k.hold->n_remedies, 0);
    mdr_arena_free(k.arena);
}

/* D: of 8000 L the rope keeps 2500; soft water beside 16 dH leaves 5 dH, which is just enough. */
static void hardness_at_its_limit(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_HARDNESS, 50, 16);
    hold_kit_limits(&k, HOLD_NONE, 5);
    k.site.hardness_dh = 0;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_DEMINERALISE);
    assert_non_null(r);
    CHECK_NEAR(r->expected, 5, 1e-12, "D: 2500 / 8000 of 16");
    k.machine.exchanger_kw_per_k = 0; /* nothing is known of it but how fast it heats */
    k.machine.heat_max_c_per_min = 4;
    hold_kit_judge(&k);
    r = hold_kit_remedy(&k, MDR_REMEDY_DEMINERALISE);
    assert_int_equal(hold_kit_steps(r, MDR_STEP_HEAT), 1);
    for (int i = 0; i < r->n_steps; i++) {
        if (r->steps[i].kind == MDR_STEP_HEAT) {
            CHECK_NEAR(r->steps[i].minutes, (r->steps[i].temp_end_c - 50) / 4, 1e-9, "D: 4 K/min");
        }
    }
    hold_kit_limits(&k, HOLD_NONE, 4.9);
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_DEMINERALISE));
    mdr_arena_free(k.arena);
}

static void salt_that_is_missing(void **state)
{
    (void)state;
    static const int TANKS[] = {MDR_TANK_BATH, MDR_TANK_FRESH};
    for (size_t i = 0; i < N_OF(TANKS); i++) {
        hold_kit k;
        hold_kit_open(&k, MDR_CHECK_SALT, 40, 44);
        hold_kit_limits(&k, 50, 100);
        k.check.has_expected = true;
        k.check.expected = 60;
        k.machine.tank_water = TANKS[i];
        k.state.dissolved_kg[MDR_IN_NA2SO4] = 8 * 60;
        hold_kit_judge(&k);
        const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_SALT);
        const double end_l = r->steps[r->n_steps - 1].liquor_l;
        const double active = hold_kit_kg(r, "GLAUBER") * 0.99;
        CHECK_NEAR((44 * 8 + active) * 1000 / end_l, 60, 1e-4, "D: mass over liquor");
        CHECK_NEAR(r->expected, 60, 1e-4, "D: mass over liquor");
        if (TANKS[i] == MDR_TANK_BATH) {
            CHECK_NEAR(active, 128, 1e-4, "D: 16 g/L x 8000 L");
        } else {
            assert_true(end_l > 8300 && active > 140);
        }
        mdr_arena_free(k.arena);
    }
}

static void salt_that_is_too_much(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_SALT, 40, 110);
    hold_kit_limits(&k, 50, 100);
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_DILUTE);
    assert_non_null(r);
    CHECK_NEAR(r->water_l, 800, 1e-9, "D: 8000 L x (110 / 100 - 1)");
    CHECK_NEAR(r->expected, 100, 1e-9, "D: thinned to the limit");
    k.machine.liquor_max_l = 8500;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_non_null(strstr(k.hold->missing[0], "300 L more than the 8500 L the machine holds"));
    mdr_arena_free(k.arena);
}

/* A vessel filled to the brim: the tank takes the bath's own liquor; then not even that. */
static void full_vessel(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_SALT, 40, 44);
    hold_kit_limits(&k, 60, 100);
    k.machine.liquor_max_l = 8000;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_SALT);
    assert_non_null(r);
    assert_non_null(strstr(r->steps[0].note, "liquor of the bath"));
    CHECK_NEAR(r->steps[r->n_steps - 1].liquor_l, 8000, 1e-9, "contract: no litre more");
    mdr_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(catalase_by_the_reading),
        cmocka_unit_test(less_than_a_milligram),
        cmocka_unit_test(window_first),
        cmocka_unit_test(rinse_without_catalase),
        cmocka_unit_test(hardness),
        cmocka_unit_test(hardness_at_its_limit),
        cmocka_unit_test(salt_that_is_missing),
        cmocka_unit_test(salt_that_is_too_much),
        cmocka_unit_test(full_vessel),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
