#include "t.h"

#include <string.h>

#include "core/bath/mdr_drain_load.h"
#include "core/plan/mdr_records.h"

/* Molar masses and results as tabulated, three decimals. */
static void demand_of_formulas(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double c, h, n, o, molar_g_per_mol, cod_g_per_g;
    } ROWS[] = {
        {"D: acetic acid", 2, 4, 0, 2, 60.052, 1.066},
        {"D: formic acid", 1, 2, 0, 2, 46.025, 0.348},
        {"D: citric acid", 6, 8, 0, 7, 192.124, 0.749},
        {"D: oxalic acid", 2, 2, 0, 4, 90.034, 0.178},
        {"D: glucose", 6, 12, 0, 6, 180.156, 1.066},
        {"D: cellulose", 6, 10, 0, 5, 162.141, 1.184},
        {"D: EDTA acid, N to NH3", 10, 16, 2, 8, 292.243, 0.931},
        {"D: fatty alcohol, 7 ethylene oxide", 27, 56, 0, 8, 508.7, 2.327},
        {"D: wax ester", 32, 64, 0, 2, 480.85, 3.128},
        {"D: sodium acetate, Na for H", 2, 4, 0, 2, 82.034, 0.780},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(mdr_drain_cod_of_formula(ROWS[i].c, ROWS[i].h, ROWS[i].n, ROWS[i].o,
                                            ROWS[i].molar_g_per_mol),
                   ROWS[i].cod_g_per_g, 6e-4, ROWS[i].what);
    }
    CHECK_NEAR(mdr_drain_cod_of_oxygen(1.5, 174.11), 0.276, 5e-4, "D: dithionite to sulphate");
    CHECK_NEAR(mdr_drain_cod_of_oxygen(0.5, 126.04), 0.127, 5e-4, "D: sulphite to sulphate");
    CHECK_NEAR(mdr_drain_cod_of_oxygen(0.5, 34.0147), 0.470, 5e-4, "D: peroxide, false demand");
    CHECK_NEAR(mdr_drain_cod_of_formula(1, 0, 0, 2, 44.009), 0, 1e-15, "D: carbon dioxide");
}

static void demand_of_substances(void **state)
{
    (void)state;
    static const struct {
        int substance;
        double cod_g_per_g, solids;
    } ROWS[] = {
        {MDR_SUB_NAOH, 0, 1},       {MDR_SUB_NA2CO3, 0, 1},         {MDR_SUB_NAHCO3, 0, 1},
        {MDR_SUB_NACL, 0, 1},       {MDR_SUB_NA2SO4, 0, 1},         {MDR_SUB_H2SO4, 0, 1},
        {MDR_SUB_H2O2, 0, 0},       {MDR_SUB_HAC, 1.066, 0},        {MDR_SUB_FORMIC, 0.348, 0},
        {MDR_SUB_CITRIC, 0.749, 1}, {MDR_SUB_DITHIONITE, 0.276, 1},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        double got = -1;
        assert_true(mdr_drain_cod_g_per_g(ROWS[i].substance, &got));
        CHECK_NEAR(got, ROWS[i].cod_g_per_g, 6e-4, "D: oxygen of full oxidation");
        CHECK_NEAR(mdr_drain_solids_fraction(ROWS[i].substance), ROWS[i].solids, 0,
                   "contract: what stays when the water is boiled off");
    }
}

static void nothing_is_said_of_products(void **state)
{
    (void)state;
    static const int UNKNOWN[] = {
        MDR_SUB_OTHER, MDR_SUB_DYE, MDR_SUB_ENZYME, MDR_SUB_SEQUESTRANT, MDR_SUB_CATALASE, -1, 999};
    for (size_t i = 0; i < N_OF(UNKNOWN); i++) {
        double got = -7;
        assert_false(mdr_drain_cod_g_per_g(UNKNOWN[i], &got));
        CHECK_NEAR(got, -7, 0, "contract: untouched");
        CHECK_NEAR(mdr_drain_solids_fraction(UNKNOWN[i]), 0, 0, "contract: not counted");
    }
}

/* Every substance there is belongs to one of the two tests above. */
static void no_substance_is_forgotten(void **state)
{
    (void)state;
    int known = 0, all = 0;
    for (int s = 0; mdr_substance_id((mdr_substance)s) != NULL; s++) {
        double cod = 0;
        known += mdr_drain_cod_g_per_g(s, &cod);
        all++;
    }
    assert_int_equal(known, 11);
    assert_int_equal(all, 16);
}

static void means(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_drain_mean_mg_per_l(75.457, 60000), 1257.6, 0.1, "D: 75.457 kg in 60 m3");
    CHECK_NEAR(MDR_DRAIN_COTTON_COD_G_PER_KG, 0.04 * 1500, 1e-12, "P: 4 % at 1.5 g/g");
}

static void bands(void **state)
{
    (void)state;
    int n = 0;
    const mdr_band *band = mdr_drain_bands(&n);
    assert_int_equal(n, MDR_BAND_COUNT);
    for (int i = 0; i < n; i++) {
        assert_true(strlen(band[i].what) > 0 && strlen(band[i].unit) > 0);
        assert_true(0 < band[i].low && band[i].low < band[i].high);
        /* a number from memory of a law must say so */
        assert_int_equal(band[i].to_confirm, strcmp(band[i].source, "eu-bat-2022") == 0);
        assert_int_equal(mdr_drain_band_verdict(&band[i], band[i].low), MDR_BAND_WITHIN);
        assert_int_equal(mdr_drain_band_verdict(&band[i], band[i].high), MDR_BAND_WITHIN);
        assert_int_equal(mdr_drain_band_verdict(&band[i], band[i].low * 0.999), MDR_BAND_BELOW);
        assert_int_equal(mdr_drain_band_verdict(&band[i], band[i].high * 1.001), MDR_BAND_ABOVE);
    }
    static const struct {
        mdr_band_id id;
        double low, high;
        const char *src;
    } ROWS[] = {{MDR_BAND_WATER_BLEACH, 10, 32, "M: EU 2022/2508"},
                {MDR_BAND_WATER_SCOUR, 5, 15, "M: EU 2022/2508"},
                {MDR_BAND_WATER_DYE, 10, 150, "M: EU 2022/2508"},
                {MDR_BAND_WATER_LOT, 40, 100, "P: L/kg"},
                {MDR_BAND_STEAM_LOT, 4, 8, "P: kg/kg"},
                {MDR_BAND_POWER_LOT, 0.6, 1.2, "P: kWh/kg"},
                {MDR_BAND_COD_DISCHARGE, 40, 100, "M: EU 2022/2508"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(band[ROWS[i].id].low, ROWS[i].low, 0, ROWS[i].src);
        CHECK_NEAR(band[ROWS[i].id].high, ROWS[i].high, 0, ROWS[i].src);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(demand_of_formulas),
        cmocka_unit_test(demand_of_substances),
        cmocka_unit_test(nothing_is_said_of_products),
        cmocka_unit_test(no_substance_is_forgotten),
        cmocka_unit_test(means),
        cmocka_unit_test(bands),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
