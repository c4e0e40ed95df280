/* What brings a bath to a pH, how far off that may be, and which baths cannot be asked about. */
#include "t.h"

#include <stdio.h>

#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static mdr_mix with(double temp_c, int substance, double g_per_kg)
{
    mdr_mix mix = {.temp_c = temp_c};
    mdr_mix_add(&mix, substance, g_per_kg);
    return mix;
}

/* Whatever way it was found: so much brings the bath there, and a little less does not. */
static void the_need_gets_there(void **state)
{
    (void)state;
    static const struct {
        int in, by;
        double temp_c, g_per_kg, ph;
    } ROWS[] = {
        {MDR_SUB_NA2CO3, MDR_SUB_HAC, 25, 15, 6.5},   {MDR_SUB_NA2CO3, MDR_SUB_HAC, 60, 5, 8.0},
        {MDR_SUB_NAOH, MDR_SUB_HAC, 40, 2, 7.0},      {MDR_SUB_NAOH, MDR_SUB_FORMIC, 50, 3, 5.0},
        {MDR_SUB_NAOH, MDR_SUB_H2SO4, 30, 2, 4.0},    {MDR_SUB_NAHCO3, MDR_SUB_CITRIC, 25, 4, 6.0},
        {MDR_SUB_NACL, MDR_SUB_NA2CO3, 60, 50, 10.8}, {MDR_SUB_NA2SO4, MDR_SUB_NAOH, 60, 60, 11.5},
        {MDR_SUB_HAC, MDR_SUB_NAOH, 25, 1, 9.0},      {MDR_SUB_HAC, MDR_SUB_NA2CO3, 80, 1, 7.5},
        {MDR_SUB_NAHCO3, MDR_SUB_NAOH, 95, 10, 10.5},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_mix bath = with(ROWS[i].temp_c, ROWS[i].in, ROWS[i].g_per_kg);
        double need = -1;
        mdr_err err = {0};
        if (mdr_equil_need(&bath, ROWS[i].by, ROWS[i].ph, 100, &need, &err) != MDR_OK) {
            fail_msg("row %zu: %s: %s", i, err.place, err.msg);
        }
        mdr_mix less = bath;
        mdr_mix_add(&bath, ROWS[i].by, need);
        CHECK_NEAR(mdr_equil_ph(&bath), ROWS[i].ph, 1e-4, "D: that is what was asked");
        mdr_mix_add(&less, ROWS[i].by, need * 0.99);
        assert_true(need > 0);
        assert_true(fabs(mdr_equil_ph(&less) - ROWS[i].ph) > 1e-4);
    }
}

static void nothing_is_needed_beyond(void **state)
{
    (void)state;
    const mdr_mix soda = with(60, MDR_SUB_NA2CO3, 10);
    double need = -1;
    mdr_err err = {0};
    assert_int_equal(mdr_equil_need(&soda, MDR_SUB_NAOH, 8, 100, &need, &err), MDR_OK);
    CHECK_NEAR(need, 0, 0, "D: soda is above 8 by itself");
    need = -1;
    assert_int_equal(mdr_equil_need(&soda, MDR_SUB_HAC, 13, 100, &need, &err), MDR_OK);
    CHECK_NEAR(need, 0, 0, "D: and below 13");
}

static void what_cannot_be_reached(void **state)
{
    (void)state;
    const mdr_mix soda = with(25, MDR_SUB_NA2CO3, 20);
    double need = -1;
    mdr_err err = {0};
    assert_int_equal(mdr_equil_need(&soda, MDR_SUB_HAC, 5, 1, &need, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "target_ph");
    mdr_mix most = soda;
    char words[64];
    mdr_mix_add(&most, MDR_SUB_HAC, 1);
    (void)snprintf(words, sizeof words, "pH %.2f at 1 g/L", mdr_equil_ph(&most));
    assert_string_equal(err.value, words);
    assert_int_equal(mdr_equil_need(&soda, MDR_SUB_NACL, 5, 100, &need, &err), MDR_E_ARG);
    assert_string_equal(err.place, "substance");
    CHECK_NEAR(need, -1, 0, "contract: left alone");
}

static void baths_that_are_none(void **state)
{
    (void)state;
    static const struct {
        double temp_c;
        int total;
        double mol_per_kg;
        const char *place;
    } ROWS[] = {
        {-0.1, MDR_TOTAL_NA, 0.1, "temp_c"},
        {100.1, MDR_TOTAL_NA, 0.1, "temp_c"},
        {(double)NAN, MDR_TOTAL_NA, 0.1, "temp_c"},
        {25, MDR_TOTAL_NA, -1e-9, "sodium"},
        {25, MDR_TOTAL_ACETATE, (double)NAN, "acetate"},
        {25, MDR_TOTAL_SO4, 100, "ionic strength"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_mix mix = {.temp_c = ROWS[i].temp_c};
        double need = -1;
        mdr_err err = {0};
        mix.mol_per_kg[ROWS[i].total] = ROWS[i].mol_per_kg;
        assert_int_equal(mdr_mix_check(&mix, &err), MDR_E_RANGE);
        assert_string_equal(err.place, ROWS[i].place);
        assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
        assert_false(mdr_mix_valid(&mix));
        assert_false(mdr_mix_known(&mix));
        assert_int_equal(mdr_equil_need(&mix, MDR_SUB_HAC, 5, 1, &need, &err), MDR_E_RANGE);
    }
    mdr_err err = {0};
    const mdr_mix edges[] = {with(0, MDR_SUB_NA2CO3, 10), with(100, MDR_SUB_NA2CO3, 10)};
    for (size_t i = 0; i < N_OF(edges); i++) {
        assert_int_equal(mdr_mix_check(&edges[i], &err), MDR_OK);
        assert_true(mdr_mix_valid(&edges[i]) && mdr_mix_known(&edges[i]));
    }
    const mdr_mix water = with(25, MDR_SUB_NACL, 0.0001);
    assert_true(mdr_mix_valid(&water) && !mdr_mix_known(&water));
}

/* D: from the shares of the header; half of the carbonate as hydrogen carbonate is half way. */
static void how_far_off(void **state)
{
    (void)state;
    const double soda_g = mdr_substance_molar_g_per_mol(MDR_SUB_NA2CO3) * 0.1;
    const double bicarbonate_g = mdr_substance_molar_g_per_mol(MDR_SUB_NAHCO3) * 0.1;
    mdr_mix mix = with(60, MDR_SUB_NA2CO3, soda_g);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), 0.03, 1e-9, "D: soda");
    mdr_mix_add(&mix, MDR_SUB_NAHCO3, bicarbonate_g);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), 0.0575, 1e-9, "D: half and half");
    mix = with(60, MDR_SUB_NAHCO3, bicarbonate_g);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), 0.085, 1e-9, "D: hydrogen carbonate");
    mdr_mix_add(&mix, MDR_SUB_NACL, mdr_substance_molar_g_per_mol(MDR_SUB_NACL) * 0.0001);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), 0.085, 1e-3, "D: hardly any salt with it");
    mix = (mdr_mix){.temp_c = 60};
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), 0.03, 1e-9, "D: water, as caustic");
    const mdr_mix salt = with(60, MDR_SUB_NACL, mdr_substance_molar_g_per_mol(MDR_SUB_NACL) * 0.1);
    mix.mol_per_kg[MDR_TOTAL_CL] = 0.1; /* of an acid: no more than all of it is chloride */
    CHECK_NEAR(mdr_equil_uncertainty_ph(&mix), mdr_equil_uncertainty_ph(&salt), 1e-12,
               "D: as the salt");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_need_gets_there),
        cmocka_unit_test(nothing_is_needed_beyond),
        cmocka_unit_test(what_cannot_be_reached),
        cmocka_unit_test(baths_that_are_none),
        cmocka_unit_test(how_far_off),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
