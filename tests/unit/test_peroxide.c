#include "t.h"

#include "core/bath/mdr_peroxide.h"
#include "core/units/mdr_strength.h"

static void decay(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_peroxide_rate_per_min(98), 0.0175, 1e-15, "P: rate at 98 degC");
    CHECK_NEAR(mdr_peroxide_rate_per_min(88), 0.00875, 1e-15, "D: half of it 10 K below");
    CHECK_NEAR(mdr_peroxide_rate_per_min(108), 0.035, 1e-15, "D: twice of it 10 K above");
    CHECK_NEAR(mdr_peroxide_left_fraction(60), 0.35, 5e-4, "P: 35 % left after 60 min at 98 degC");
    CHECK_NEAR(mdr_peroxide_left_fraction(0), 1, 0, "D: nothing gone yet");
    CHECK_NEAR(mdr_peroxide_left_fraction(25) * mdr_peroxide_left_fraction(35),
               mdr_peroxide_left_fraction(60), 1e-15, "D: minutes add up");
}

/* Simpson's rule over the rate along the ramp. */
static double by_quadrature(double minutes, double start_c, double end_c)
{
    enum { PARTS = 2000 };
    double sum = 0;
    for (int i = 0; i <= PARTS; i++) {
        const double temp_c = start_c + (end_c - start_c) * i / PARTS;
        const double weight = i == 0 || i == PARTS ? 1 : (i % 2 == 1 ? 4 : 2);
        sum += weight * mdr_peroxide_rate_per_min(temp_c);
    }
    return sum * minutes / PARTS / 3 / mdr_peroxide_rate_per_min(98);
}

static void ramps_against_quadrature(void **state)
{
    (void)state;
    static const double ROWS[][3] = {{60, 98, 98},  {24, 50, 98},  {12, 98, 70},       {5, 20, 20},
                                     {90, 20, 110}, {40, 110, 60}, {30, 98, 98.000001}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double want = by_quadrature(ROWS[i][0], ROWS[i][1], ROWS[i][2]);
        CHECK_NEAR(mdr_peroxide_equivalent_min(ROWS[i][0], ROWS[i][1], ROWS[i][2]), want,
                   1e-10 * want, "D: Simpson, 2000 parts");
    }
    CHECK_NEAR(mdr_peroxide_equivalent_min(30, 88, 98), 30 * 0.5 / log(2), 1e-12,
               "D: (2 - 1)/ln 2 of half the speed");
    CHECK_NEAR(mdr_peroxide_equivalent_min(0, 20, 98), 0, 0, "D: no time");
}

/* The ramp of no slope is a rest, and nothing jumps on the way there. */
static void smooth_where_start_meets_end(void **state)
{
    (void)state;
    const double rest = mdr_peroxide_equivalent_min(60, 80, 80);
    CHECK_NEAR(rest, 60 * exp2(-1.8), 1e-13, "D: 60 min x 2^(-18/10)");
    static const double STEP[] = {1e-12, 1e-9, 1e-6, 1e-4, 1e-2};
    for (size_t i = 0; i < N_OF(STEP); i++) {
        /* first order: half the step, at ln 2/10 a degree; the rest is second order */
        const double slope = rest * log(2) / 20, room = 1e-12 + rest * STEP[i] * STEP[i] * 0.01;
        CHECK_NEAR(mdr_peroxide_equivalent_min(60, 80, 80 + STEP[i]), rest + slope * STEP[i], room,
                   "D: series of (e^x - 1)/x");
        CHECK_NEAR(mdr_peroxide_equivalent_min(60, 80, 80 - STEP[i]), rest - slope * STEP[i], room,
                   "D: series of (e^x - 1)/x");
    }
    CHECK_NEAR(mdr_peroxide_equivalent_min(20, 60, 95), mdr_peroxide_equivalent_min(20, 95, 60),
               1e-12, "D: up and down alike");
    CHECK_NEAR(mdr_peroxide_equivalent_min(10, 60, 75) + mdr_peroxide_equivalent_min(10, 75, 90),
               mdr_peroxide_equivalent_min(20, 60, 90), 1e-12, "D: two halves are the whole");
}

static void whiteness(void **state)
{
    (void)state;
    static const struct {
        double w10, of_50_pct_g_per_l;
    } ROWS[] = {{45, 1.5}, {65, 3.5}, {80, 8}, {40, 1}, {85, 10}, {55, 2.5}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        double got = 0;
        assert_int_equal(mdr_peroxide_for_whiteness(ROWS[i].w10, &got, NULL), MDR_OK);
        CHECK_NEAR(mdr_strength_delivered(got, 50), ROWS[i].of_50_pct_g_per_l, 1e-12,
                   "P: g/L of 50 % peroxide, middle or end of its range");
    }
    double last = 0;
    for (int w10 = 40; w10 <= 85; w10++) {
        double got = 0;
        assert_int_equal(mdr_peroxide_for_whiteness(w10, &got, NULL), MDR_OK);
        if (got <= last) {
            fail_msg("whiter takes more: W10 %d gives %g after %g", w10, got, last);
        }
        last = got;
    }
}

static void whiteness_out_of_range(void **state)
{
    (void)state;
    static const double BAD[] = {39.999, 85.001, 130, -1, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        double got = -7;
        mdr_err err = {0};
        assert_int_equal(mdr_peroxide_for_whiteness(BAD[i], &got, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "target_w10");
        assert_string_equal(err.allowed, "40 to 85");
        CHECK_NEAR(got, -7, 0, "contract: untouched on error");
    }
}

static void catalase(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_peroxide_catalase_kg(300, 0, 8000, 1500), 1.6, 1e-12,
               "D: 2400 g H2O2 over 1.5 g/g");
    CHECK_NEAR(mdr_peroxide_catalase_kg(300, 0, 8000, 1500) * 1000 / 8000, 0.2, 1e-12,
               "P: 0.2 to 0.6 g/L of product are usual");
    CHECK_NEAR(mdr_peroxide_after_catalase_mg_per_l(300, 1.6, 8000, 1500), 0, 1e-10,
               "D: there and back");
    CHECK_NEAR(mdr_peroxide_after_catalase_mg_per_l(300, 0.8, 8000, 1500), 150, 1e-10,
               "D: half the enzyme");
    CHECK_NEAR(mdr_peroxide_after_catalase_mg_per_l(300, 5, 8000, 1500), 0, 0,
               "contract: never negative");
    CHECK_NEAR(mdr_peroxide_extra_kg(25, 8000, 1500), 0.128, 1e-12, "D: 24 mg/L x 8000 L / 1.5");
    CHECK_NEAR(
        mdr_peroxide_after_catalase_mg_per_l(25, mdr_peroxide_extra_kg(25, 8000, 1500), 8000, 1500),
        MDR_PEROXIDE_AIM_MG_PER_L, 1e-12, "D: lands on the aim");
    CHECK_NEAR(mdr_peroxide_extra_kg(0.5, 8000, 1500), 0, 0, "contract: nothing below the aim");
}

static void windows(void **state)
{
    (void)state;
    assert_true(mdr_peroxide_passes(0) && mdr_peroxide_passes(5));
    assert_false(mdr_peroxide_passes(5.001) || mdr_peroxide_passes((double)NAN));
    assert_true(mdr_peroxide_catalase_ph_fits(6) && mdr_peroxide_catalase_ph_fits(8));
    assert_false(mdr_peroxide_catalase_ph_fits(5.99) || mdr_peroxide_catalase_ph_fits(8.01));
    assert_false(mdr_peroxide_catalase_ph_fits((double)NAN));
    assert_true(mdr_peroxide_catalase_temp_fits(30) && mdr_peroxide_catalase_temp_fits(55));
    assert_false(mdr_peroxide_catalase_temp_fits(29.9) || mdr_peroxide_catalase_temp_fits(55.1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decay),
        cmocka_unit_test(ramps_against_quadrature),
        cmocka_unit_test(smooth_where_start_meets_end),
        cmocka_unit_test(whiteness),
        cmocka_unit_test(whiteness_out_of_range),
        cmocka_unit_test(catalase),
        cmocka_unit_test(windows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
