/* Moisture behind the dryer: how long, how fast and how hot again, and what brings moisture back. */
#include "t.h"

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_psychro.h"
#include "hold_kit.h"

/* I: 400 kg bone dry, 1300 m, six chambers of 3 m, 25 m/min, from 75 % to 7 %. */
static void open_kit(hold_kit *k, double reading)
{
    hold_kit_open(k, MDR_CHECK_MOISTURE, 25, reading);
    hold_kit_limits(k, 6, 9);
    k->check.has_expected = true;
    k->check.expected = 7;
    k->state.liquor_l = 0; /* the vessel has long been empty */
    k->state.drying = (mdr_control_drying){.dry_kg = 400,
                                           .length_m = 1300,
                                           .in_pct = 75,
                                           .out_pct = 7,
                                           .speed_m_per_min = 25,
                                           .speed_max_m_per_min = 60,
                                           .oven_m = 18,
                                           .air_c = 150,
                                           .air_kg_per_kg = 0.08,
                                           .mj_per_kg = 4.47,
                                           .steams = true};
}

static bool says(const mdr_remedy *r, mdr_hold_rule rule, const char *what)
{
    for (int i = 0; i < r->n_why; i++) {
        if (strcmp(r->why[i].id, mdr_hold_rule_of(rule)->id) == 0 &&
            strstr(r->why[i].working, what) != NULL) {
            return true;
        }
    }
    return false;
}

static void within_goes_on(void **state)
{
    (void)state;
    for (int pct = 6; pct <= 9; pct++) {
        hold_kit k;
        open_kit(&k, pct);
        hold_kit_judge(&k);
        assert_int_equal(k.hold->verdict, MDR_HOLD_PASS);
        mdr_arena_free(k.arena);
    }
}

/* D: 0.75 to 0.12 takes 0.50 + 0.24 ln(0.24/0.11) = 0.6872 kg/kg of 40.2 s; 0.12 to 0.07 takes
 * 0.24 ln(0.11/0.06) = 0.1455, so 8.51 s and 3 s to warm: 93.8 m/min. At the 60 of the machine it
 * would be 15 s and 0.2565 kg/kg: 56.7 % of the drive, which is cooler air. */
static void dry_again(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 12);
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
    assert_int_equal(k.hold->remedies[0].kind, MDR_REMEDY_DRY_AGAIN);
    const mdr_remedy *r = &k.hold->remedies[0];
    assert_int_equal(r->approve, MDR_HOLD_BY_OPERATOR);
    assert_int_equal(r->n_steps, 1);
    CHECK_NEAR(r->minutes, 1300.0 / 60.0, 1e-9, "D: the lot at the fastest");
    CHECK_NEAR(r->expected, 7, 1e-9, "D: what the plan foresees");
    assert_true(says(r, MDR_HOLD_RULE_DRY_WATER, "= 20.0 kg, 89 MJ")); /* 400 x 0.05; x 4.47 */
    assert_true(says(r, MDR_HOLD_RULE_DRY_SPEED, "93.8 m/min"));
    mdr_arena_free(k.arena);
}

/* What 0.12 to 0.07 takes, and what 15 s of this oven give. */
static double need(void)
{
    return 0.24 * log(0.11 / 0.06);
}

static double took(void)
{
    return 0.5 + 0.24 * log(0.24 / 0.11);
}

static double over_wet_bulb(double air_c)
{
    double bulb_c = 0.0;
    assert_int_equal(mdr_psychro_wet_bulb_c(air_c, 0.08, MDR_PSYCHRO_ATM_PA, &bulb_c, NULL),
                     MDR_OK);
    return air_c - bulb_c;
}

static void in_cooler_air(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 12);
    hold_kit_judge(&k);
    const double air_c = must(&k, MDR_REMEDY_DRY_AGAIN)->steps[0].temp_end_c;
    CHECK_NEAR(over_wet_bulb(air_c) / over_wet_bulb(150), need() / (took() * 15.0 / 40.2), 1e-6,
               "D: 56.7 % of the drive");
    assert_true(air_c > 95 && air_c < 120);
    mdr_arena_free(k.arena);
}

/* No greatest speed is known: no limit, and no need of cooler air. */
static void as_fast_as_it_takes(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 12);
    k.state.drying.speed_max_m_per_min = 0;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_DRY_AGAIN);
    CHECK_NEAR(r->steps[0].temp_end_c, 150, 1e-9, "D: as hot as before");
    CHECK_NEAR(r->minutes, 1300.0 / (1080.0 / (40.2 * need() / took() + 3)), 1e-9, "D: by hand");
    mdr_arena_free(k.arena);
}

/* Its air is not known: it comes too dry, and that is said. */
static void air_not_known(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 12);
    k.state.drying.air_kg_per_kg = 0;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_DRY_AGAIN);
    CHECK_NEAR(r->expected, 1 + 11 * exp(-took() * 15.0 / 40.2 / 0.24), 1e-9, "D: 4.8 %");
    assert_true(r->n_cautions >= 2);
    mdr_arena_free(k.arena);
}

/* O: an oven of the drying model dries the lot at 25 m/min to what is read; the speeds that the
 * remedies say, run through the same oven, must bring it to 7 %. */
static double through(const mdr_drying_in *oven, double m_per_min)
{
    double after = 0.0;
    assert_int_equal(mdr_drying_moisture_after(oven, 60 * 18 / m_per_min - 3, &after, NULL),
                     MDR_OK);
    return 100 * after;
}

static void run_again(const hold_kit *k, mdr_drying_in *oven, double read_pct)
{
    const mdr_remedy *r = must(k, MDR_REMEDY_DRY_AGAIN);
    oven->moisture_in_kg_per_kg = read_pct / 100;
    oven->air_c = r->steps[0].temp_end_c;
    const double after = through(oven, 1300 / r->minutes);
    /* cooler air evaporates at another heat: 1 % of it */
    CHECK_NEAR(after, 7, 0.15, "O: through it again");
    assert_true(after > r->expected_low && after < r->expected_high);
}

static void speeds_do_what_they_promise(void **state)
{
    (void)state;
    int again = 0;
    for (int h = 36; h <= 54; h += 3) {
        mdr_drying_in oven = {.dry_gsm = 166,
                              .moisture_in_kg_per_kg = 0.75,
                              .critical_kg_per_kg = MDR_DRYING_CRITICAL_KG_PER_KG,
                              .equilibrium_kg_per_kg = MDR_DRYING_EQUILIBRIUM_KG_PER_KG,
                              .air_c = 150,
                              .air_kg_per_kg = 0.08,
                              .pressure_pa = MDR_PSYCHRO_ATM_PA,
                              .h_w_per_m2_k = h};
        const double read_pct = through(&oven, 25);
        hold_kit k;
        open_kit(&k, read_pct);
        hold_kit_limits(&k, 6.99, 7.01);
        hold_kit_judge(&k);
        assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
        CHECK_NEAR(through(&oven, 1300 / must(&k, MDR_REMEDY_DRY_SPEED)->minutes), 7, 1e-6,
                   "O: at the other speed");
        if (read_pct > 7.01) {
            run_again(&k, &oven, read_pct);
            again++;
        }
        mdr_arena_free(k.arena);
    }
    assert_true(again > 1 && again < 7);
}

/* Neither the oven nor its speed is known: the water is, the speed is the reading's at the exit. */
static void little_is_known(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 12);
    k.state.drying.oven_m = 0; /* times go as one over the speed */
    hold_kit_judge(&k);
    CHECK_NEAR(must(&k, MDR_REMEDY_DRY_SPEED)->minutes,
               1300 / (25 * took() / (0.5 + 0.24 * log(4))), 1e-9, "D: 21.9 m/min");
    k.state.drying.speed_m_per_min = 0;
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_DRY_SPEED));
    const mdr_remedy *r = must(&k, MDR_REMEDY_DRY_AGAIN);
    assert_false(r->has_expected);
    assert_true(says(r, MDR_HOLD_RULE_DRY_WATER, "= 20.0 kg"));
    mdr_arena_free(k.arena);
}

/* D: 7.5 - 3.5/16 after four hours, 13.1 kg more; the speed for the rest is faster, not slower. */
static void too_dry(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 4);
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
    const mdr_remedy *lie = &k.hold->remedies[0];
    assert_int_equal(lie->kind, MDR_REMEDY_TAKE_MOISTURE);
    CHECK_NEAR(lie->minutes, 240, 1e-9, "I: four hours");
    CHECK_NEAR(lie->expected, 7.5 - 3.5 / 16, 1e-9, "D");
    CHECK_NEAR(lie->expected_low, 7 - 3.0 / 16, 1e-9, "D");
    CHECK_NEAR(lie->expected_high, 8 - 4.0 / 16, 1e-9, "D");
    assert_non_null(strstr(lie->cautions[0], "13.1 kg more and 3.2 %")); /* 3.28/104 */
    mdr_arena_free(k.arena);
}

static void by_steam_or_faster(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 4);
    hold_kit_judge(&k);
    const mdr_remedy *steam = must(&k, MDR_REMEDY_STEAM);
    CHECK_NEAR(steam->expected, 7, 1e-9, "D: 12 kg onto 400 kg");
    assert_true(says(steam, MDR_HOLD_RULE_STEAM, "= 12.0 kg; at most 5.0 %"));
    /* 0.75 to 0.04: 0.50 + 0.24 ln 8 = 0.9991 in 40.2 s; to 0.07 0.8327: 33.5 s, 29.6 m/min */
    CHECK_NEAR(must(&k, MDR_REMEDY_DRY_SPEED)->minutes,
               1300 / (1080 / (40.2 * (0.5 + 0.24 * log(4)) / (0.5 + 0.24 * log(8)) + 3)), 1e-9,
               "D: faster");
    mdr_arena_free(k.arena);
}

static void no_steam_box(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 4);
    k.state.drying.steams = false;
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_STEAM));
    assert_true(k.hold->n_missing > 0);
    mdr_arena_free(k.arena);
}

/* No oven of this model makes it so dry: nothing is said of the oven. */
static void drier_than_the_air(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 0.5);
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_DRY_SPEED));
    CHECK_NEAR(must(&k, MDR_REMEDY_STEAM)->expected, 0.5 + 4.5006, 2e-3,
               "D: 75 K x (1.34 + 0.0209) / 2268 kJ/kg");
    mdr_arena_free(k.arena);
}

/* The air of the hall gives no more than it has. */
static void nearly_dry_enough(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 7.2);
    hold_kit_limits(&k, 7.4, 9);
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_TAKE_MOISTURE));
    mdr_arena_free(k.arena);
}

static void stops(void **state)
{
    (void)state;
    hold_kit k;
    open_kit(&k, 75); /* nothing was dried */
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k.hold->n_remedies, 0);

    k.in.reading = 12;
    k.in.n_failed = 1; /* what it came with is not the plan's any more: no speed */
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
    assert_int_equal(k.hold->remedies[0].approve, MDR_HOLD_BY_TECHNOLOGIST);
    assert_false(k.hold->remedies[0].has_expected);
    k.in.n_failed = 2;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k.hold->n_remedies, 1);
    mdr_arena_free(k.arena);
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        size_t at;
        double value;
        const char *place;
    } ROWS[] = {
#define AT(m) offsetof(mdr_control_drying, m)
        {AT(dry_kg), 0, "state.drying.dry_kg"},
        {AT(in_pct), -1, "state.drying.in_pct"},
        {AT(speed_m_per_min), (double)NAN, "state.drying.speed_m_per_min"},
        {AT(oven_m), 101, "state.drying.oven_m"},
        {AT(air_c), 201, "state.drying.air_c"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        hold_kit k;
        mdr_err err = {0};
        open_kit(&k, 12);
        memcpy((char *)&k.state.drying + ROWS[i].at, &ROWS[i].value, sizeof(double));
        assert_int_equal(hold_kit_ask(&k, &err), MDR_E_RANGE);
        assert_string_equal(err.place, ROWS[i].place);
        mdr_arena_free(k.arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_goes_on),
        cmocka_unit_test(dry_again),
        cmocka_unit_test(in_cooler_air),
        cmocka_unit_test(as_fast_as_it_takes),
        cmocka_unit_test(air_not_known),
        cmocka_unit_test(speeds_do_what_they_promise),
        cmocka_unit_test(little_is_known),
        cmocka_unit_test(too_dry),
        cmocka_unit_test(by_steam_or_faster),
        cmocka_unit_test(no_steam_box),
        cmocka_unit_test(drier_than_the_air),
        cmocka_unit_test(nearly_dry_enough),
        cmocka_unit_test(stops),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
