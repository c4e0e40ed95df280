#include "t.h"

#include <string.h>

#include "core/recipe/mdr_km.h"

static const mdr_surface NONE = {.kind = MDR_SURFACE_NONE};
static const mdr_surface COTTON = {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.04, .k2 = 0.5};

static const struct {
    double inside, ks;
} PAIRS[] = {{1.0, 0},      {0.5, 0.25},   {0.2, 1.6},         {0.1, 4.05},
             {0.05, 9.025}, {0.02, 24.01}, {0.0191, 25.18756}, {0.9, 0.0055555556}};

static void formula_by_hand(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(PAIRS); i++) {
        CHECK_NEAR(mdr_km_ks_of_r(PAIRS[i].inside), PAIRS[i].ks, 2e-6 * (1 + PAIRS[i].ks),
                   "D: (1 - R)^2 / 2R by hand");
        CHECK_NEAR(mdr_km_r_of_ks(PAIRS[i].ks), PAIRS[i].inside, 1e-7, "D: the same backwards");
    }
}

static void there_and_back(void **state)
{
    (void)state;
    for (double ks = 1e-9; ks < 1e6; ks *= 1.7) {
        const double r = mdr_km_r_of_ks(ks);
        /* near R = 1 the last digit of R is worth sqrt(ks) of K/S */
        CHECK_NEAR(mdr_km_ks_of_r(r) / ks, 1, 1e-12 / sqrt(ks) + 1e-12, "D: inverse");
        const double h = 1e-5 * ks;
        const double slope = (mdr_km_r_of_ks(ks + h) - mdr_km_r_of_ks(ks - h)) / (2 * h);
        CHECK_NEAR(mdr_km_slope(r) / slope, 1, 2e-6, "D: central difference");
    }
}

static void surface_of_the_paints(void **state)
{
    (void)state;
    const mdr_surface paint = {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.03, .k2 = 0.65};
    const mdr_surface_form form = mdr_surface_form_of(&paint);
    /* printed form with these constants: (0.53 - 0.03)/(1 - 0.03 - 0.65 + 0.65*0.53) */
    CHECK_NEAR(mdr_surface_inside(&form, 0.53), 0.5 / 0.6645, 1e-15,
               "S: Saunderson's form with K1 0.03, K2 0.65 of the set of paints");
    CHECK_NEAR(mdr_surface_inside(&form, 0.03), 0, 0, "D: the surface alone");
    CHECK_NEAR(mdr_surface_measured(&form, 1.0), 1.0, 1e-15, "D: nothing is lost inside");
}

static void surface_there_and_back(void **state)
{
    (void)state;
    const mdr_surface all[] = {NONE, COTTON, {.kind = MDR_SURFACE_LIMIT, .k1 = 0.02, .k2 = 7}};
    for (size_t s = 0; s < N_OF(all); s++) {
        const mdr_surface_form form = mdr_surface_form_of(&all[s]);
        for (int i = 0; i <= 100; i++) {
            const double inside = i / 100.0;
            CHECK_NEAR(mdr_surface_inside(&form, mdr_surface_measured(&form, inside)), inside,
                       1e-14, "D: inverse");
        }
    }
    const mdr_surface_form limit = mdr_surface_form_of(&all[2]);
    CHECK_NEAR(mdr_surface_inside(&limit, 0.32), 0.30, 1e-15, "D: Rm - R0");
}

static void curves(void **state)
{
    (void)state;
    mdr_curve measured, ks, again;
    for (int b = 0; b < MDR_BANDS; b++) {
        measured.v[b] = 0.05 + 0.03 * b;
    }
    assert_int_equal(mdr_km_ks(&measured, &COTTON, &ks, NULL), MDR_OK);
    const mdr_surface_form form = mdr_surface_form_of(&COTTON);
    CHECK_NEAR(ks.v[3], mdr_km_ks_of_r((0.14 - 0.04) / (1 - 0.04 - 0.5 + 0.5 * 0.14)), 1e-14,
               "S: Saunderson's form, then Kubelka-Munk");
    mdr_km_measured(&ks, &form, &again);
    for (int b = 0; b < MDR_BANDS; b++) {
        CHECK_NEAR(again.v[b], measured.v[b], 1e-13, "D: inverse");
    }
    assert_int_equal(mdr_km_band_nm(0), 400);
    assert_int_equal(mdr_km_band_nm(30), 700);
}

static const struct {
    int band;
    double value;
    mdr_surface surface;
    const char *place;
} BAD[] = {
    {4, 0.04, {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.04, .k2 = 0.5}, "440nm"},
    {4, 0.01, {.kind = MDR_SURFACE_LIMIT, .k1 = 0.02}, "440nm"},
    {0, 0.0, {.kind = MDR_SURFACE_NONE}, "400nm"},
    {1, 1.04, {.kind = MDR_SURFACE_NONE}, "410nm"},
    {2, 1.0001, {.kind = MDR_SURFACE_NONE}, "420nm"},
    {30, (double)NAN, {.kind = MDR_SURFACE_NONE}, "700nm"},
    {30, (double)INFINITY, {.kind = MDR_SURFACE_NONE}, "700nm"},
    {0, 0.5, {.kind = MDR_SURFACE_SAUNDERSON, .k1 = -0.01, .k2 = 0.5}, "surface.k1"},
    {0, 0.5, {.kind = MDR_SURFACE_LIMIT, .k1 = 0.21}, "surface.k1"},
    {0, 0.5, {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.04, .k2 = 0.91}, "surface.k2"},
    {0, 0.5, {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.04, .k2 = (double)NAN}, "surface.k2"},
    {0, 0.5, {.kind = (mdr_surface_kind)3}, "surface.kind"},
};

static void refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(BAD); i++) {
        mdr_err err = {0};
        mdr_curve measured, ks = {.v = {-7}};
        for (int b = 0; b < MDR_BANDS; b++) {
            measured.v[b] = 0.5;
        }
        measured.v[BAD[i].band] = BAD[i].value;
        assert_int_equal(mdr_km_ks(&measured, &BAD[i].surface, &ks, &err), MDR_E_RANGE);
        assert_string_equal(err.place, BAD[i].place);
        assert_true(strlen(err.msg) > 0);
        CHECK_NEAR(ks.v[0], -7, 0, "contract: out untouched on failure");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(formula_by_hand),
                                       cmocka_unit_test(there_and_back),
                                       cmocka_unit_test(surface_of_the_paints),
                                       cmocka_unit_test(surface_there_and_back),
                                       cmocka_unit_test(curves),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
