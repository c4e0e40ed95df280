#include "t.h"

#include "core/bath/mdr_titrate.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

typedef mdr_code (*method)(const mdr_titrate_in *, double *, mdr_err *);

static double result(method f, double sample_ml, double titrant_ml, double eq_per_l)
{
    const mdr_titrate_in in = {sample_ml, titrant_ml, eq_per_l};
    double got = 0;
    assert_int_equal(f(&in, &got, NULL), MDR_OK);
    return got;
}

static double alkali(int substance, double sample_ml, double titrant_ml, double eq_per_l)
{
    const mdr_titrate_in in = {sample_ml, titrant_ml, eq_per_l};
    double got = 0;
    assert_int_equal(mdr_titrate_alkali_g_per_l(&in, substance, &got, NULL), MDR_OK);
    return got;
}

static void peroxide(void **state)
{
    (void)state;
    CHECK_NEAR(result(mdr_titrate_peroxide_mg_per_l, 0.125, 21.75, 0.1), 295922, 20,
               "D: E09, 29.6 g in 100 mL");
    CHECK_NEAR(result(mdr_titrate_peroxide_mg_per_l, 1, 1, 0.588), 10000, 1,
               "S: AATCC 102, 1 mL of 0.588 N is 10.0 mg");
    CHECK_NEAR(result(mdr_titrate_peroxide_mg_per_l, 1, 1, 1), 17007, 0.5,
               "D: 17.007 mg an equivalent");
    CHECK_NEAR(result(mdr_titrate_peroxide_mg_per_l, 100, 0.3, 0.01), 0.51, 1e-3,
               "D: 0.3 x 0.01 x 17.007/0.1 L");
    CHECK_NEAR(result(mdr_titrate_peroxide_mg_per_l, 100, 0, 0.1), 0, 0,
               "D: the first drop stays pink");
}

static void one_alkali(void **state)
{
    (void)state;
    CHECK_NEAR(alkali(MDR_SUB_NAOH, 1, 1, 1), 40.00, 0.005, "M: 40.00 mg an equivalent");
    CHECK_NEAR(alkali(MDR_SUB_NA2CO3, 1, 1, 1), 53.00, 0.01, "M: 53.00 mg, methyl orange");
    CHECK_NEAR(alkali(MDR_SUB_NAHCO3, 1, 1, 1), 84.007, 5e-4, "D: molar mass");
    CHECK_NEAR(alkali(MDR_SUB_NAOH, 25, 12.5, 0.1), 1.99985, 1e-5, "D: 0.05 eq/L x 39.997");
    CHECK_NEAR(result(mdr_titrate_eq_per_l, 25, 12.5, 0.1), 0.05, 1e-15, "D: V N / S");
    static const int NO_ALKALI[] = {MDR_SUB_NACL, MDR_SUB_HAC, MDR_SUB_OTHER, -3, 999};
    for (size_t i = 0; i < N_OF(NO_ALKALI); i++) {
        const mdr_titrate_in in = {25, 12.5, 0.1};
        double got = -7;
        mdr_err err = {0};
        assert_int_equal(mdr_titrate_alkali_g_per_l(&in, NO_ALKALI[i], &got, &err), MDR_E_ARG);
        assert_string_equal(err.place, "substance");
        CHECK_NEAR(got, -7, 0, "contract: untouched on error");
    }
}

static void reducer_and_salt(void **state)
{
    (void)state;
    CHECK_NEAR(result(mdr_titrate_dithionite_g_per_l, 1, 1, 0.1), 4.353, 1e-3,
               "M: 1 mL of 0.1 N is 4.353 mg");
    CHECK_NEAR(result(mdr_titrate_dithionite_g_per_l, 25, 28.7, 0.1), 4.997, 1e-3,
               "D: 28.7 x 4.353/25");
    CHECK_NEAR(result(mdr_titrate_salt_g_per_l, 5, 42.8, 0.1), 50.03, 5e-3, "D: 42.8 x 5.8443/5");
}

static mdr_titrate_alkalis two(double p_ml, double m_ml)
{
    const mdr_titrate_two in = {20, p_ml, m_ml, 0.1};
    mdr_titrate_alkalis out = {-1, -1, -1};
    assert_int_equal(mdr_titrate_two_alkalis(&in, &out, NULL), MDR_OK);
    return out;
}

static void two_alkalis(void **state)
{
    (void)state;
    static const struct {
        double p_ml, m_ml, naoh_eq_ml, soda_eq_ml, bicarbonate_eq_ml;
    } ROWS[] = {{15, 20, 10, 10, 0}, {20, 20, 20, 0, 0}, {10, 20, 0, 20, 0},
                {5, 20, 0, 10, 10},  {0, 20, 0, 0, 20},  {0, 0, 0, 0, 0}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_titrate_alkalis got = two(ROWS[i].p_ml, ROWS[i].m_ml);
        const double eq_per_l = 0.1 / 20;
        const char *src = "D: P and M rules by hand";
        CHECK_NEAR(got.naoh_g_per_l, ROWS[i].naoh_eq_ml * eq_per_l * 39.997, 1e-10, src);
        CHECK_NEAR(got.na2co3_g_per_l, ROWS[i].soda_eq_ml * eq_per_l * 52.994, 1e-10, src);
        CHECK_NEAR(got.nahco3_g_per_l, ROWS[i].bicarbonate_eq_ml * eq_per_l * 84.007, 1e-10, src);
    }
}

/* Mix a bath, work out both end points from the definition of them, and get the bath back. */
static void two_alkalis_there_and_back(void **state)
{
    (void)state;
    static const struct {
        double naoh_g, na2co3_g, nahco3_g; /* per litre */
    } BATHS[] = {{0.5, 5, 0}, {2, 0.1, 0}, {0, 10, 3}, {0, 0.2, 8}, {1e-4, 20, 0}, {0, 20, 1e-4}};
    for (size_t i = 0; i < N_OF(BATHS); i++) {
        const double naoh = BATHS[i].naoh_g / 39.997, soda = BATHS[i].na2co3_g / 105.988;
        const double ml_per_mol_per_l = 25 / 0.5;
        const mdr_titrate_two in = {
            25, (naoh + soda) * ml_per_mol_per_l,
            (naoh + 2 * soda + BATHS[i].nahco3_g / 84.007) * ml_per_mol_per_l, 0.5};
        mdr_titrate_alkalis out = {-1, -1, -1};
        assert_int_equal(mdr_titrate_two_alkalis(&in, &out, NULL), MDR_OK);
        CHECK_NEAR(out.naoh_g_per_l, BATHS[i].naoh_g, 1e-10, "D: round trip");
        CHECK_NEAR(out.na2co3_g_per_l, BATHS[i].na2co3_g, 1e-10, "D: round trip");
        CHECK_NEAR(out.nahco3_g_per_l, BATHS[i].nahco3_g, 1e-10, "D: round trip");
    }
}

static void acid(void **state)
{
    (void)state;
    const double acetic = mdr_substance_acid_mol_per_kg(MDR_SUB_HAC);
    double kg = 0;
    assert_int_equal(
        mdr_titrate_acid_kg(result(mdr_titrate_eq_per_l, 100, 25.00, 0.1), 2500, acetic, &kg, NULL),
        MDR_OK);
    CHECK_NEAR(kg, 3.753, 1e-3, "D: 62.5 eq x 60.052/1000; E28 in equivalents");
    assert_int_equal(mdr_titrate_acid_kg(0, 2500, acetic, &kg, NULL), MDR_OK);
    CHECK_NEAR(kg, 0, 0, "D: nothing to neutralise");
    assert_int_equal(mdr_titrate_acid_kg(0.01, 1000, 3.0, &kg, NULL), MDR_OK);
    CHECK_NEAR(kg, 10.0 / 3, 1e-12, "D: 10 eq over 3 mol/kg");
    assert_int_equal(mdr_titrate_acid_kg(0.01, 0, 3.0, &kg, NULL), MDR_OK);
    CHECK_NEAR(kg, 0, 0, "D: no liquor");
}

static void acid_refusals(void **state)
{
    (void)state;
    static const struct {
        double eq_per_l, liquor_l, mol_per_kg;
        mdr_code code;
        const char *place;
    } ROWS[] = {{-0.1, 1, 1, MDR_E_RANGE, "eq_per_l"},
                {(double)NAN, 1, 1, MDR_E_RANGE, "eq_per_l"},
                {0.1, -1, 1, MDR_E_RANGE, "liquor_l"},
                {0.1, (double)INFINITY, 1, MDR_E_RANGE, "liquor_l"},
                {0.1, 1, 0, MDR_E_ARG, "acid_mol_per_kg"},
                {0.1, 1, (double)NAN, MDR_E_ARG, "acid_mol_per_kg"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        double kg = -7;
        mdr_err err = {0};
        assert_int_equal(
            mdr_titrate_acid_kg(ROWS[i].eq_per_l, ROWS[i].liquor_l, ROWS[i].mol_per_kg, &kg, &err),
            ROWS[i].code);
        assert_string_equal(err.place, ROWS[i].place);
        CHECK_NEAR(kg, -7, 0, "contract: untouched on error");
    }
}

static void readings_refused(void **state)
{
    (void)state;
    static const method METHODS[] = {mdr_titrate_eq_per_l, mdr_titrate_peroxide_mg_per_l,
                                     mdr_titrate_dithionite_g_per_l, mdr_titrate_salt_g_per_l};
    static const struct {
        mdr_titrate_in in;
        const char *place;
    } ROWS[] = {{{0, 1, 0.1}, "sample_ml"},
                {{-5, 1, 0.1}, "sample_ml"},
                {{10001, 1, 0.1}, "sample_ml"},
                {{(double)NAN, 1, 0.1}, "sample_ml"},
                {{25, -0.1, 0.1}, "titrant_ml"},
                {{25, 1001, 0.1}, "titrant_ml"},
                {{25, (double)NAN, 0.1}, "titrant_ml"},
                {{25, 1, 0}, "titrant_eq_per_l"},
                {{25, 1, 20.1}, "titrant_eq_per_l"},
                {{25, 1, (double)INFINITY}, "titrant_eq_per_l"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        for (size_t j = 0; j < N_OF(METHODS); j++) {
            double got = -7;
            mdr_err err = {0};
            assert_int_equal(METHODS[j](&ROWS[i].in, &got, &err), MDR_E_RANGE);
            assert_string_equal(err.place, ROWS[i].place);
            assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
            CHECK_NEAR(got, -7, 0, "contract: untouched on error");
        }
    }
}

static void two_readings_refused(void **state)
{
    (void)state;
    static const struct {
        mdr_titrate_two in;
        const char *place;
    } ROWS[] = {{{20, 15, 14.9, 0.1}, "phenolphthalein_ml"},
                {{20, -1, 14.9, 0.1}, "phenolphthalein_ml"},
                {{20, 1, (double)NAN, 0.1}, "methyl_orange_ml"},
                {{20, (double)NAN, 1, 0.1}, "phenolphthalein_ml"},
                {{0, 1, 2, 0.1}, "sample_ml"},
                {{20, 1, 2, -1}, "titrant_eq_per_l"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_titrate_alkalis out = {-7, -7, -7};
        mdr_err err = {0};
        assert_int_equal(mdr_titrate_two_alkalis(&ROWS[i].in, &out, &err), MDR_E_RANGE);
        assert_string_equal(err.place, ROWS[i].place);
        CHECK_NEAR(out.naoh_g_per_l, -7, 0, "contract: untouched on error");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(peroxide),
        cmocka_unit_test(one_alkali),
        cmocka_unit_test(reducer_and_salt),
        cmocka_unit_test(two_alkalis),
        cmocka_unit_test(two_alkalis_there_and_back),
        cmocka_unit_test(acid),
        cmocka_unit_test(acid_refusals),
        cmocka_unit_test(readings_refused),
        cmocka_unit_test(two_readings_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
