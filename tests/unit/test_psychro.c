#include "t.h"

#include "core/finish/mdr_psychro.h"

static const char *const CHECK = "S: ASHRAE tables as used in a public library's unit tests";
static const char *const OWN = "D: Hyland and Wexler's formula computed apart";

static double psat(double temp_c)
{
    double out = 0;
    assert_int_equal(mdr_psychro_saturation_pa(temp_c, &out, NULL), MDR_OK);
    return out;
}
static double ratio(double temp_c, double rh)
{
    double out = 0;
    assert_int_equal(mdr_psychro_of_rh(temp_c, rh, MDR_PSYCHRO_ATM_PA, &out, NULL), MDR_OK);
    return out;
}
static double bulb(double temp_c, double w)
{
    double out = 0;
    assert_int_equal(mdr_psychro_wet_bulb_c(temp_c, w, MDR_PSYCHRO_ATM_PA, &out, NULL), MDR_OK);
    return out;
}
static double dew(double w)
{
    double out = 0;
    assert_int_equal(mdr_psychro_dew_point_c(w, MDR_PSYCHRO_ATM_PA, &out, NULL), MDR_OK);
    return out;
}

static void saturation(void **state)
{
    (void)state;
    static const struct {
        double temp_c, pa;
    } ROWS[] = {{5, 872.6}, {25, 3169.7}, {50, 12351.3}, {100, 101418.0}, {150, 476101.4}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(psat(ROWS[i].temp_c), ROWS[i].pa, 3e-4 * ROWS[i].pa, CHECK);
    }
    CHECK_NEAR(psat(25), 3169.2, 0.05, OWN);
    CHECK_NEAR(psat(50), 12349.9, 0.05, OWN);
    CHECK_NEAR(psat(100), 101418.7, 0.05, OWN);
    CHECK_NEAR(psat(150), 476197.9, 0.05, OWN);
    CHECK_NEAR(psat(0), 611.21, 0.02, "M: 611.21 Pa over water at 0 C");
    CHECK_NEAR(psat(200), 1.5549e6, 1e-3 * 1.5549e6, "M: steam tables");
}

static void humidity(void **state)
{
    (void)state;
    CHECK_NEAR(ratio(5, 1), 0.005425, 5e-3 * 0.005425, CHECK);
    CHECK_NEAR(ratio(25, 1), 0.020173, 5e-3 * 0.020173, CHECK);
    CHECK_NEAR(ratio(50, 1), 0.086863, 1e-2 * 0.086863, CHECK);
    CHECK_NEAR(ratio(25, 1), 0.02008, 5e-6, OWN);
    CHECK_NEAR(ratio(50, 1), 0.08633, 5e-6, OWN);
    CHECK_NEAR(ratio(20, 0.65), 0.00947, 6e-6, OWN);
    CHECK_NEAR(mdr_psychro_enthalpy_kj_per_kg(30, 0.02), 81.316, 3e-4 * 81.3, CHECK);
    CHECK_NEAR(mdr_psychro_volume_m3_per_kg(30, 0.02, 95461), 0.94085537, 3e-4 * 0.94, CHECK);
    CHECK_NEAR(mdr_psychro_vapour_vol_pct(0.05), 7.4, 0.05, OWN);
    CHECK_NEAR(mdr_psychro_vapour_vol_pct(0.10), 13.9, 0.06, OWN);
    CHECK_NEAR(mdr_psychro_vapour_vol_pct(0.15), 19.4, 0.05, OWN);
    CHECK_NEAR(mdr_psychro_latent_kj_per_kg(60), 2357.7, 5, "M: steam tables, 60 C");
    CHECK_NEAR(mdr_psychro_latent_kj_per_kg(25), 2441.7, 3, "M: steam tables, 25 C");
    for (double w = 0.0; w < 1; w += 0.07) {
        CHECK_NEAR(mdr_psychro_kg_per_kg(mdr_psychro_vapour_pa(w, 9e4), 9e4), w, 1e-14,
                   "D: inverse");
    }
}

static void bulb_and_dew(void **state)
{
    (void)state;
    static const struct {
        double w, bulb_c, dew_c;
    } ROWS[] = {{0.05, 51.8, 40.4}, {0.10, 59.2, 52.6}, {0.15, 64.4, 59.7}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(bulb(150, ROWS[i].w), ROWS[i].bulb_c, 0.051, OWN);
        CHECK_NEAR(dew(ROWS[i].w), ROWS[i].dew_c, 0.051, OWN);
    }
    for (double t = 5; t < 98; t += 3.1) { /* saturated: bulb, dew and air are one */
        const double w = ratio(t, 1);
        CHECK_NEAR(bulb(t, w), t, 1e-9, "D: saturated air");
        CHECK_NEAR(dew(w), t, 1e-9, "D: saturated air");
        const double half = ratio(t, 0.5);
        if (t > 20) {
            assert_true(dew(half) < bulb(t, half) && bulb(t, half) < t);
        }
    }
    /* the equation itself, put back in */
    const double b = bulb(120, 0.08), ws = ratio(b, 1);
    CHECK_NEAR(((2501 - 2.326 * b) * ws - 1.006 * (120 - b)) / (2501 + 1.86 * 120 - 4.186 * b),
               0.08, 1e-12, "D: the wet bulb equation");
    double thin = 0;
    assert_int_equal(mdr_psychro_wet_bulb_c(150, 0.10, 80000, &thin, NULL), MDR_OK);
    assert_true(thin < bulb(150, 0.10)); /* high up water boils cooler */
    assert_true(bulb(200, 8.0) < 100.0);
}

static void refused(void **state)
{
    (void)state;
    const double atm = MDR_PSYCHRO_ATM_PA;
    double out = 4711;
    mdr_err err;
    assert_int_equal(mdr_psychro_saturation_pa(-0.01, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "temp_c");
    assert_int_equal(mdr_psychro_saturation_pa(200.01, &out, &err), MDR_E_RANGE);
    assert_int_equal(mdr_psychro_saturation_pa((double)NAN, &out, &err), MDR_E_RANGE);
    assert_int_equal(mdr_psychro_of_rh(20, 65, atm, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "rh_fraction");
    assert_int_equal(mdr_psychro_of_rh(20, 0.65, 101, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "pressure_pa");
    assert_int_equal(mdr_psychro_of_rh(150, 0.5, atm, &out, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "rh_fraction");
    assert_int_equal(mdr_psychro_dew_point_c(0.003, atm, &out, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "kg_per_kg");
    assert_int_equal(mdr_psychro_dew_point_c(-0.1, atm, &out, &err), MDR_E_RANGE);
    assert_int_equal(mdr_psychro_dew_point_c(0.1, 2e5, &out, &err), MDR_E_RANGE);
    assert_int_equal(mdr_psychro_wet_bulb_c(5, 0.0, atm, &out, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "kg_per_kg");
    assert_true(err.value[0] != '\0' && err.remedy[0] != '\0');
    assert_int_equal(mdr_psychro_wet_bulb_c(30, 0.05, atm, &out, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "kg_per_kg");
    assert_true(err.allowed[0] != '\0');
    assert_int_equal(mdr_psychro_wet_bulb_c(201, 0.05, atm, &out, &err), MDR_E_RANGE);
    CHECK_NEAR(out, 4711, 0, "contract: untouched");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(saturation),
        cmocka_unit_test(humidity),
        cmocka_unit_test(bulb_and_dew),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
