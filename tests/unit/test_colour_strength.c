#include "t.h"

#include "core/colour/mdr_colour_strength.h"

/* A dyeing like a band of Gauss at `peak_nm` over a substrate. */
static mdr_curve dyed(double depth, double peak_nm, double under)
{
    mdr_curve c;
    for (int i = 0; i < MDR_BANDS; i++) {
        const double t = (400 + 10 * i - peak_nm) / 60;
        c.v[i] = mdr_colour_reflectance(under + depth * exp(-t * t));
    }
    return c;
}

static void there_and_back(void **state)
{
    (void)state;
    for (int i = 0; i <= 300; i++) {
        const double ks = pow(10, -6 + i * 0.03);
        const double r = mdr_colour_reflectance(ks);
        CHECK_NEAR(r, 1 + ks - sqrt(ks * ks + 2 * ks), 1e-9, "D: the usual form");
        CHECK_NEAR(mdr_colour_ks(r) / ks, 1, 2e-10 / sqrt(fmin(ks, 1.0)), "D: inverse");
    }
    CHECK_NEAR(mdr_colour_ks(0.5), 0.25, 1e-15, "D: 0.25/1");
    CHECK_NEAR(mdr_colour_ks(1), 0, 0, "D");
    CHECK_NEAR(mdr_colour_reflectance(0), 1, 0, "D");
}

/* The same dye at another depth: net of the substrate all three agree; gross they do not. */
static void same_dye(void **state)
{
    (void)state;
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_curve white = dyed(0, 540, 0.02);
    const mdr_curve standard = dyed(2, 540, 0.02), sample = dyed(2.5, 540, 0.02);
    mdr_colour_strength s;
    assert_int_equal(mdr_colour_strength_of(&standard, &sample, &white, &d65, &s, NULL), MDR_OK);
    for (int k = 0; k < MDR_STRENGTH_COUNT; k++) {
        CHECK_NEAR(s.pct[k], 125, 1e-9, "D: K/S in proportion");
    }
    CHECK_NEAR(s.peak_nm, 540, 0, "D");
    CHECK_NEAR(s.ks_standard, 2, 1e-12, "D");
    CHECK_NEAR(s.ks_sample, 2.5, 1e-12, "D");
    assert_int_equal(mdr_colour_strength_of(&standard, &sample, NULL, &d65, &s, NULL), MDR_OK);
    CHECK_NEAR(s.pct[MDR_STRENGTH_PEAK], 100 * 2.52 / 2.02, 1e-9, "D");
    assert_true(s.pct[MDR_STRENGTH_SUM] < s.pct[MDR_STRENGTH_PEAK]);
}

/* D: computed apart in NumPy from the definitions and table 5 of ASTM E308. */
static void three_definitions(void **state)
{
    (void)state;
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    mdr_curve standard, sample, white;
    for (int i = 0; i < MDR_BANDS; i++) {
        const double nm = 400 + 10 * i;
        standard.v[i] = 0.1 + 0.4 / (1 + exp(-(nm - 560) / 25));
        sample.v[i] = standard.v[i] + 0.06 * sin((nm - 400) / 300 * 6 * 3.14159265358979323846) *
                                          exp(-((nm - 550) / 100) * ((nm - 550) / 100));
        white.v[i] = 0.85;
    }
    mdr_colour_strength s;
    assert_int_equal(mdr_colour_strength_of(&standard, &sample, NULL, &d65, &s, NULL), MDR_OK);
    CHECK_NEAR(s.pct[MDR_STRENGTH_PEAK], 100, 1e-9, "O: NumPy");
    CHECK_NEAR(s.pct[MDR_STRENGTH_SUM], 103.9969148995802, 1e-9, "O: NumPy");
    CHECK_NEAR(s.pct[MDR_STRENGTH_WEIGHTED], 106.29669594000153, 1e-9, "O: NumPy");
    CHECK_NEAR(s.peak_nm, 400, 0, "O: NumPy");
    assert_int_equal(mdr_colour_strength_of(&standard, &sample, &white, &d65, &s, NULL), MDR_OK);
    CHECK_NEAR(s.pct[MDR_STRENGTH_SUM], 104.02727940818369, 1e-9, "O: NumPy");
    CHECK_NEAR(s.pct[MDR_STRENGTH_WEIGHTED], 106.33579202881384, 1e-9, "O: NumPy");
}

static void at_the_same_strength(void **state)
{
    (void)state;
    const mdr_curve white = dyed(0, 540, 0.02);
    const mdr_curve standard = dyed(2, 540, 0.02), sample = dyed(2.5, 540, 0.02);
    mdr_curve c;
    assert_int_equal(mdr_colour_at_strength(&sample, &white, 125, &c, NULL), MDR_OK);
    for (int i = 0; i < MDR_BANDS; i++) {
        CHECK_NEAR(c.v[i], standard.v[i], 1e-12, "D: the standard again");
    }
    assert_int_equal(mdr_colour_at_strength(&sample, NULL, 50, &c, NULL), MDR_OK);
    CHECK_NEAR(mdr_colour_ks(c.v[14]), 2 * 2.52, 1e-12, "D: half as strong, so doubled");
    /* paler than what lies under it: nothing is reflected beyond all */
    assert_int_equal(mdr_colour_at_strength(&white, &standard, 1, &c, NULL), MDR_OK);
    CHECK_NEAR(c.v[14], 1, 0, "contract");
}

static void refused(void **state)
{
    (void)state;
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_curve good = dyed(2, 540, 0.02);
    mdr_colour_strength s = {.peak_nm = 7};
    mdr_curve bad = good, c = {.v = {7}};
    mdr_err err;
    static const double VALUES[] = {0, -0.1, 1.01, (double)NAN};
    for (size_t i = 0; i < N_OF(VALUES); i++) {
        bad.v[3] = VALUES[i];
        assert_int_equal(mdr_colour_strength_of(&bad, &good, NULL, &d65, &s, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "standard.v[3]");
        assert_int_equal(mdr_colour_strength_of(&good, &bad, NULL, &d65, &s, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "sample.v[3]");
        assert_int_equal(mdr_colour_strength_of(&good, &good, &bad, &d65, &s, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "substrate.v[3]");
    }
    assert_int_equal(mdr_colour_strength_of(&good, &good, &good, &d65, &s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "standard");
    CHECK_NEAR(s.peak_nm, 7, 0, "contract");
    static const double STRENGTHS[] = {0, -1, 1e7, (double)NAN};
    for (size_t i = 0; i < N_OF(STRENGTHS); i++) {
        assert_int_equal(mdr_colour_at_strength(&good, NULL, STRENGTHS[i], &c, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "strength_pct");
        assert_true(err.value[0] != '\0' && err.allowed[0] != '\0');
    }
    CHECK_NEAR(c.v[0], 7, 0, "contract");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(there_and_back),    cmocka_unit_test(same_dye),
        cmocka_unit_test(three_definitions), cmocka_unit_test(at_the_same_strength),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
