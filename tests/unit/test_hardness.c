#include "t.h"

#include "core/units/mdr_hardness.h"

static const struct {
    mdr_hardness_unit unit;
    double ppm, mmol; /* of one unit; printed digits */
    double ppm_tol, mmol_tol;
} UNITS[] = {
    {MDR_HARD_DH, 17.85, 0.1783, 0.005, 5e-5},
    {MDR_HARD_FH, 10.00, 0.0999, 0.005, 5e-5},
    {MDR_HARD_CLARK, 14.25, 0.1424, 0.005, 5e-5},
    {MDR_HARD_US_GR_PER_GAL, 17.12, 0.1710, 0.005, 5e-5},
    {MDR_HARD_MMOL_PER_L, 100.09, 1.0, 0.005, 0},
    {MDR_HARD_MG_CA_PER_L, 2.497, 0.02495, 5e-4, 5e-6},
    {MDR_HARD_MG_MG_PER_L, 4.118, 0.04114, 5e-4, 5e-6},
    {MDR_HARD_PPM_CACO3, 1.0, 0.00999, 1e-12, 5e-6},
};

static void table_of_units(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(UNITS); i++) {
        const mdr_hardness one = mdr_hardness_of(1, UNITS[i].unit);
        CHECK_NEAR(mdr_hardness_in(one, MDR_HARD_PPM_CACO3), UNITS[i].ppm, UNITS[i].ppm_tol,
                   "D: hardness_units");
        CHECK_NEAR(one.mmol_per_l, UNITS[i].mmol, UNITS[i].mmol_tol, "D: hardness_units");
    }
}

static void cotton_brings_its_own_hardness(void **state)
{
    (void)state;
    const double ca = mdr_hardness_of(100, MDR_HARD_MG_CA_PER_L).mmol_per_l;
    const double mg = mdr_hardness_of(100, MDR_HARD_MG_MG_PER_L).mmol_per_l;
    const mdr_hardness sum = {ca + mg};
    CHECK_NEAR(mdr_hardness_in((mdr_hardness){ca}, MDR_HARD_PPM_CACO3), 249.7, 0.05, "D: E22");
    CHECK_NEAR(mdr_hardness_in((mdr_hardness){mg}, MDR_HARD_PPM_CACO3), 411.8, 0.05, "D: E22");
    CHECK_NEAR(mdr_hardness_in(sum, MDR_HARD_PPM_CACO3), 661.5, 0.06, "D: E22");
    CHECK_NEAR(mdr_hardness_in(sum, MDR_HARD_DH), 37.1, 0.05, "D: E22");
}

static void round_trip(void **state)
{
    (void)state;
    for (int u = MDR_HARD_MMOL_PER_L; u <= MDR_HARD_MG_MG_PER_L; u++) {
        const mdr_hardness_unit unit = (mdr_hardness_unit)u;
        for (double v = 0.01; v < 1e4; v *= 1.9) {
            CHECK_NEAR(mdr_hardness_in(mdr_hardness_of(v, unit), unit) / v, 1, 4e-16, "D: inverse");
        }
        CHECK_NEAR(mdr_hardness_of(0, unit).mmol_per_l, 0, 0, "D: none is none");
    }
}

static void words(void **state)
{
    (void)state;
    assert_string_equal(mdr_hardness_unit_words(MDR_HARD_DH), "dH");
    for (int u = MDR_HARD_MMOL_PER_L; u <= MDR_HARD_MG_MG_PER_L; u++) {
        for (int v = u + 1; v <= MDR_HARD_MG_MG_PER_L; v++) {
            assert_string_not_equal(mdr_hardness_unit_words((mdr_hardness_unit)u),
                                    mdr_hardness_unit_words((mdr_hardness_unit)v));
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(table_of_units),
                                       cmocka_unit_test(cotton_brings_its_own_hardness),
                                       cmocka_unit_test(round_trip), cmocka_unit_test(words)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
