#include "t.h"

#include "core/units/mdr_steam.h"

static void if97_verification_values(void **state)
{
    (void)state;
    static const struct {
        double temp_k, pressure_mpa;
    } P[] = {{300, 0.353658941e-2}, {500, 0.263889776e1}, {600, 0.123443146e2}};
    for (size_t i = 0; i < N_OF(P); i++) {
        CHECK_NEAR(mdr_steam_if97_pressure_mpa(P[i].temp_k) / P[i].pressure_mpa, 1, 2e-9,
                   "S: IAPWS R7-97(2012) table 35");
    }
    static const struct {
        double pressure_mpa, temp_k;
    } T[] = {{0.1, 0.372755919e3}, {1, 0.453035632e3}, {10, 0.584149488e3}};
    for (size_t i = 0; i < N_OF(T); i++) {
        CHECK_NEAR(mdr_steam_if97_temp_k(T[i].pressure_mpa), T[i].temp_k, 5.1e-7,
                   "S: IAPWS R7-97(2012) table 36");
    }
}

static void pressure_and_temperature_are_inverse(void **state)
{
    (void)state;
    for (double t = 274; t < 640; t += 3.1) {
        CHECK_NEAR(mdr_steam_if97_temp_k(mdr_steam_if97_pressure_mpa(t)), t, 1e-8,
                   "S: IAPWS R7-97: both come from one equation");
    }
}

static const struct {
    double barg, temp_c, hfg, vf, vg;
} ROWS[] = {{0, 99.974, 2256.54, 0.0010434, 1.67330},
            {0.5, 111.614, 2225.31, 0.0010529, 1.14986},
            {1, 120.420, 2200.97, 0.0010607, 0.88028},
            {1.5, 127.588, 2180.65, 0.0010674, 0.71515},
            {2, 133.676, 2163.00, 0.0010733, 0.60329},
            {2.5, 138.994, 2147.26, 0.0010787, 0.52234},
            {3, 143.732, 2132.97, 0.0010837, 0.46096},
            {3.5, 148.017, 2119.83, 0.0010883, 0.41276},
            {4, 151.936, 2107.61, 0.0010927, 0.37387},
            {5, 158.919, 2085.36, 0.0011007, 0.31492},
            {6, 165.029, 2065.35, 0.0011081, 0.27228},
            {7, 170.482, 2047.05, 0.0011149, 0.23995},
            {8, 175.420, 2030.10, 0.0011213, 0.21457},
            {9, 179.943, 2014.23, 0.0011273, 0.19410},
            {10, 184.123, 1999.28, 0.0011331, 0.17723},
            {12, 191.660, 1971.55, 0.0011439, 0.15103},
            {1.98675, 133.525, 2163.44, 0.0010732, 0.60579},
            {2.98675, 143.613, 2133.33, 0.0010836, 0.46239},
            {3.98675, 151.836, 2107.92, 0.0010926, 0.37480},
            {4.98675, 158.832, 2085.64, 0.0011006, 0.31558},
            {5.98675, 164.953, 2065.61, 0.0011080, 0.27276},
            {6.98675, 170.414, 2047.28, 0.0011148, 0.24033},
            {8.98675, 179.886, 2014.44, 0.0011272, 0.19435}};

static void rows_of_the_steam_table(void **state)
{
    (void)state;
    const char *src = "D: steam_saturation, computed from IAPWS R7-97";
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(mdr_steam_sat_temp_c(ROWS[i].barg), ROWS[i].temp_c, 5.1e-4, src);
        CHECK_NEAR(mdr_steam_hfg_kj_per_kg(ROWS[i].barg), ROWS[i].hfg, 0.02, src);
    }
    CHECK_NEAR(mdr_steam_sat_temp_c(4), 151.94, 0.005,
               "D: computed from IAPWS R7-97 by another program");
    CHECK_NEAR(mdr_steam_hfg_kj_per_kg(4), 2107.6, 0.05, "D: E20");
}

/* Clapeyron: the heat of condensation must agree with slope of the saturation line and volumes,
 * which come from other equations than the heat. */
static void heat_agrees_with_clapeyron(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double t = ROWS[i].temp_c + 273.15, h = 1e-3;
        const double slope_kpa_per_k =
            (mdr_steam_if97_pressure_mpa(t + h) - mdr_steam_if97_pressure_mpa(t - h)) / (2 * h) *
            1000;
        CHECK_NEAR(t * (ROWS[i].vg - ROWS[i].vf) * slope_kpa_per_k, ROWS[i].hfg,
                   0.0005 * ROWS[i].hfg, "D: Clapeyron, dp/dT = hfg/(T (vg - vf))");
    }
}

static void heat_falls_and_temperature_rises(void **state)
{
    (void)state;
    double hfg = 1e9, temp = -1e9;
    for (int i = 0; i <= 1200; i++) {
        const double barg = i == 1200 ? MDR_STEAM_BARG_MAX : i * 0.01;
        assert_true(mdr_steam_hfg_kj_per_kg(barg) < hfg);
        assert_true(mdr_steam_sat_temp_c(barg) > temp);
        hfg = mdr_steam_hfg_kj_per_kg(barg);
        temp = mdr_steam_sat_temp_c(barg);
    }
    CHECK_NEAR(hfg, 1971.55, 1e-9, "D: the last row itself, at the very end of the range");
}

static void vapour_above_the_bath(void **state)
{
    (void)state;
    static const struct {
        double temp_c, bara;
    } V[] = {{80, 0.47415}, {98, 0.9439}, {110, 1.43376}, {130, 2.70260}};
    for (size_t i = 0; i < N_OF(V); i++) {
        CHECK_NEAR(mdr_steam_vapour_bara(V[i].temp_c), V[i].bara, 6e-5,
                   "D: water_props, computed from IAPWS R7-97; 98 C: region 4 by hand");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(if97_verification_values),
                                       cmocka_unit_test(pressure_and_temperature_are_inverse),
                                       cmocka_unit_test(rows_of_the_steam_table),
                                       cmocka_unit_test(heat_agrees_with_clapeyron),
                                       cmocka_unit_test(heat_falls_and_temperature_rises),
                                       cmocka_unit_test(vapour_above_the_bath)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
