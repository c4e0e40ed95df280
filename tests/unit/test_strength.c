#include "t.h"

#include <string.h>

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static double strength(int substance, double baume)
{
    double pct = -1, density = -1;
    assert_int_equal(mdr_strength_of_baume(substance, baume, &pct, &density, NULL), MDR_OK);
    CHECK_NEAR(density, mdr_strength_density_of_baume(baume), 0, "contract: the same density");
    return pct;
}

static const struct {
    double baume, sg, pct;
} NAOH[] = {{1, 1.0069, 0.60},   {2, 1.0140, 1.22},   {3, 1.0211, 1.85},   {4, 1.0284, 2.49},
            {5, 1.0357, 3.15},   {6, 1.0432, 3.81},   {7, 1.0507, 4.49},   {8, 1.0584, 5.18},
            {9, 1.0662, 5.88},   {10, 1.0741, 6.59},  {11, 1.0821, 7.31},  {12, 1.0902, 8.05},
            {13, 1.0985, 8.79},  {14, 1.1069, 9.55},  {15, 1.1154, 10.31}, {16, 1.1240, 11.09},
            {17, 1.1328, 11.88}, {18, 1.1417, 12.69}, {19, 1.1508, 13.50}, {20, 1.1600, 14.33},
            {21, 1.1694, 15.18}, {22, 1.1789, 16.04}, {23, 1.1885, 16.91}, {24, 1.1983, 17.80},
            {25, 1.2083, 18.70}, {26, 1.2185, 19.62}, {27, 1.2288, 20.55}, {28, 1.2393, 21.51},
            {29, 1.2500, 22.48}, {30, 1.2609, 23.47}, {31, 1.2719, 24.48}, {32, 1.2832, 25.50},
            {33, 1.2946, 26.55}, {34, 1.3063, 27.63}, {35, 1.3182, 28.73}, {36, 1.3303, 29.86},
            {37, 1.3426, 31.02}, {38, 1.3551, 32.21}, {39, 1.3679, 33.43}, {40, 1.3810, 34.70},
            {41, 1.3942, 36.00}, {42, 1.4078, 37.33}, {43, 1.4216, 38.70}, {44, 1.4356, 40.13},
            {45, 1.4500, 41.60}, {46, 1.4646, 43.13}, {47, 1.4796, 44.69}, {48, 1.4948, 46.28},
            {49, 1.5104, 47.91}, {50, 1.5263, 49.60}};

static void caustic_by_baume(void **state)
{
    (void)state;
    const char *src = "D: naoh_baume_to_conc, from Perry's densities by another interpolation";
    for (size_t i = 0; i < N_OF(NAOH); i++) {
        CHECK_NEAR(strength(MDR_SUB_NAOH, NAOH[i].baume), NAOH[i].pct, 0.026, src);
        CHECK_NEAR(mdr_strength_sg_of_baume(NAOH[i].baume), NAOH[i].sg, 5.1e-5, src);
    }
}

static const struct {
    double pct, baume, twaddell;
} PERRY[] = {{1, 1.65, 2.3},    {2, 3.24, 4.6},     {4, 6.28, 9.0},    {8, 11.94, 17.9},
             {12, 17.14, 26.8}, {16, 21.96, 35.7},  {20, 26.41, 44.5}, {24, 30.53, 53.3},
             {28, 34.34, 62.1}, {32, 37.83, 70.6},  {36, 41.00, 78.9}, {40, 43.91, 86.9},
             {44, 46.56, 94.6}, {48, 49.05, 102.2}, {50, 50.23, 106.0}};

static void caustic_rows_of_perry(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(PERRY); i++) {
        /* 0.005 degree of rounding in the degree printed is up to 0.008 % of caustic; one
         * degree Twaddell is printed to 0.1 */
        CHECK_NEAR(strength(MDR_SUB_NAOH, PERRY[i].baume), PERRY[i].pct, 0.012,
                   "M: Perry's NaOH densities, naoh_density_perry");
        CHECK_NEAR(mdr_strength_twaddell_of_sg(mdr_strength_sg_of_baume(PERRY[i].baume)),
                   PERRY[i].twaddell, 0.09, "M: Perry's NaOH densities, naoh_density_perry");
    }
    CHECK_NEAR(strength(MDR_SUB_NAOH, 40), 35, 0.5, "S: supplier's chart, 40 Be is about 35 %");
}

static const struct {
    double baume, nacl_pct, na2so4_pct;
} BRINE[] = {
    {1.0, 0.98, 0.76},    {1.5, 1.47, 1.15},    {2.0, 1.96, 1.53},    {2.5, 2.46, 1.92},
    {3.0, 2.95, 2.31},    {3.5, 3.45, 2.70},    {4.0, 3.95, 3.09},    {4.5, 4.45, 3.48},
    {5.0, 4.96, 3.88},    {5.5, 5.46, 4.28},    {6.0, 5.97, 4.68},    {6.5, 6.48, 5.08},
    {7.0, 6.99, 5.48},    {7.5, 7.50, 5.89},    {8.0, 8.02, 6.30},    {8.5, 8.54, 6.71},
    {9.0, 9.06, 7.12},    {9.5, 9.58, 7.53},    {10.0, 10.10, 7.95},  {10.5, 10.63, 8.36},
    {11.0, 11.16, 8.78},  {11.5, 11.69, 9.20},  {12.0, 12.22, 9.63},  {12.5, 12.75, 10.05},
    {13.0, 13.29, 10.48}, {13.5, 13.83, 10.91}, {14.0, 14.37, 11.34}, {14.5, 14.92, 11.78},
    {15.0, 15.46, 12.21}, {15.5, 16.01, 12.65}, {16.0, 16.56, 13.09}, {16.5, 17.12, 13.53},
    {17.0, 17.67, 13.98}, {17.5, 18.23, 14.43}, {18.0, 18.79, 14.88}, {18.5, 19.36, 15.33},
    {19.0, 19.92, 15.78}, {19.5, 20.49, 16.24}, {20.0, 21.07, 16.70}, {20.5, 21.64, 17.16},
    {21.0, 22.22, 17.62}, {21.5, 22.80, 18.09}, {22.0, 23.38, 18.56}, {22.5, 23.97, 19.03},
    {23.0, 24.56, 19.50}, {23.5, 25.15, 19.98}, {24.0, 25.75, 20.46}, {24.5, 26.35, 20.94}};

static void brine_by_baume(void **state)
{
    (void)state;
    const char *src = "D: nacl_brine_baume, Laliberte's model inverted at 60 F";
    for (size_t i = 0; i < N_OF(BRINE); i++) {
        /* 0.005 of rounding, and 0.0001 in SG of the table is up to 0.012 % */
        if (BRINE[i].baume <= mdr_strength_baume_max(MDR_SUB_NACL)) {
            CHECK_NEAR(strength(MDR_SUB_NACL, BRINE[i].baume), BRINE[i].nacl_pct, 0.015, src);
        }
        CHECK_NEAR(strength(MDR_SUB_NA2SO4, BRINE[i].baume), BRINE[i].na2so4_pct, 0.015, src);
    }
}

static const struct {
    double baume, kg_per_m3;
} DENSITY[] = {{5.04, 1035.0},  {9.90, 1072.2},  {14.58, 1110.7}, {19.07, 1150.3},
               {23.37, 1191.0}, {6.40, 1045.1},  {12.44, 1092.7}, {18.14, 1141.8},
               {23.52, 1192.5}, {28.61, 1244.6}, {33.43, 1298.3}};

static void density_at_60f(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(DENSITY); i++) {
        CHECK_NEAR(mdr_strength_density_of_baume(DENSITY[i].baume) * 1000, DENSITY[i].kg_per_m3,
                   0.12, "D: density_baume at 15.56 C; 0.005 degree is 0.06 kg/m3");
    }
    CHECK_NEAR(mdr_strength_density_of_baume(0), 0.99901, 0, "S: IF97, water at 15.56 C");
}

static void baume_is_inverse_of_sg(void **state)
{
    (void)state;
    for (double be = 0; be < 70; be += 0.37) {
        CHECK_NEAR(mdr_strength_baume_of_sg(mdr_strength_sg_of_baume(be)), be, 1e-13, "D: inverse");
    }
    CHECK_NEAR(mdr_strength_sg_of_baume(72.5), 2.0, 1e-15, "D: 145 - 145/2");
    CHECK_NEAR(mdr_strength_sg_of_baume(40), 1.381, 5e-4, "S: E14, sciencemadness 10262");
}

/* More degrees, more substance: no step backwards anywhere, on any table. */
static void strength_rises_with_baume(void **state)
{
    (void)state;
    static const int S[] = {MDR_SUB_NAOH, MDR_SUB_NACL, MDR_SUB_NA2SO4};
    for (size_t s = 0; s < N_OF(S); s++) {
        const double top = mdr_strength_baume_max(S[s]);
        double before = 0;
        for (int i = 1; i <= 2000; i++) {
            const double now = strength(S[s], top * i / 2001);
            assert_true(now > before);
            assert_true(now - before < 0.1); /* and no leaps */
            before = now;
        }
    }
}

static const struct {
    int substance;
    double baume;
    mdr_code code;
} BAD[] = {
    {MDR_SUB_NAOH, 0, MDR_E_RANGE},
    {MDR_SUB_NAOH, -1, MDR_E_RANGE},
    {MDR_SUB_NAOH, 50.3, MDR_E_RANGE},
    {MDR_SUB_NAOH, 145, MDR_E_RANGE},
    {MDR_SUB_NAOH, 1e9, MDR_E_RANGE},
    {MDR_SUB_NACL, 24.3, MDR_E_RANGE},
    {MDR_SUB_NA2SO4, 33.5, MDR_E_RANGE},
    {MDR_SUB_NA2CO3, 10, MDR_E_ARG},
    {MDR_SUB_HAC, 10, MDR_E_ARG},
    {MDR_SUB_OTHER, 10, MDR_E_ARG},
    {-1, 10, MDR_E_ARG},
    {99, 10, MDR_E_ARG},
};

static void out_of_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(BAD) + 1; i++) {
        const int last = i == N_OF(BAD);
        mdr_err err = {0};
        double pct = -7, density = -8;
        const mdr_code rc =
            mdr_strength_of_baume(last ? MDR_SUB_NAOH : BAD[i].substance,
                                  last ? (double)NAN : BAD[i].baume, &pct, &density, &err);
        assert_int_equal(rc, last ? MDR_E_RANGE : BAD[i].code);
        assert_int_equal(err.code, rc);
        assert_string_equal(err.place, "baume");
        assert_true(strlen(err.msg) > 0 && strlen(err.allowed) > 0 && strlen(err.remedy) > 0);
        CHECK_NEAR(pct, -7, 0, "contract: out untouched on failure");
        CHECK_NEAR(density, -8, 0, "contract: out untouched on failure");
    }
    CHECK_NEAR(mdr_strength_baume_max(MDR_SUB_HAC), 0, 0, "contract: no table");
}

static void delivered_and_active(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_strength_delivered(16, 50), 32, 1e-14, "D: E26, NaOH 50 %");
    CHECK_NEAR(mdr_strength_delivered(3.754, 80), 4.69, 0.005, "D: E28, acetic acid 80 %");
    CHECK_NEAR(mdr_strength_active(24, 50), 12, 1e-14, "D: E27, H2O2 50 %");
    CHECK_NEAR(mdr_strength_volume_l(32, 1.5253), 20.98, 0.005, "D: E26, Perry's density");
    CHECK_NEAR(480 * mdr_strength_decahydrate_factor(), 1088.8, 0.05, "D: E16, 480*322.20/142.04");
    CHECK_NEAR(mdr_strength_decahydrate_factor(), 2.2684, 5e-5, "D: 322.20/142.04");
    for (double pct = 0.5; pct <= 150; pct *= 1.3) {
        CHECK_NEAR(mdr_strength_active(mdr_strength_delivered(123.4, pct), pct), 123.4, 1e-12,
                   "D: inverse");
    }
}

static const struct {
    double pct, g_per_l, mol_per_l, vol;
} PEROXIDE[] = {{3, 30.3, 0.890, 10.0},     {6, 61.2, 1.800, 20.2},     {10, 103.5, 3.044, 34.1},
                {15, 158.1, 4.649, 52.1},   {20, 214.7, 6.311, 70.7},   {27.5, 303.2, 8.915, 99.9},
                {30, 333.8, 9.813, 110.0},  {35, 396.5, 11.656, 130.6}, {40, 461.4, 13.563, 152.0},
                {45, 528.5, 15.537, 174.1}, {50, 598.0, 17.580, 197.0}, {60, 744.4, 21.883, 245.2},
                {70, 901.3, 26.498, 297.0}};

static void peroxide_strengths(void **state)
{
    (void)state;
    const char *src = "D: h2o2_strength, Laliberte's densities";
    for (size_t i = 0; i < N_OF(PEROXIDE); i++) {
        const double g_per_l = mdr_strength_h2o2_g_per_l_of_pct(PEROXIDE[i].pct);
        CHECK_NEAR(g_per_l, PEROXIDE[i].g_per_l, 0.09, src);
        CHECK_NEAR(g_per_l / mdr_substance_molar_g_per_mol(MDR_SUB_H2O2), PEROXIDE[i].mol_per_l,
                   0.0025, src);
        CHECK_NEAR(mdr_strength_h2o2_vol_of_g_per_l(g_per_l), PEROXIDE[i].vol, 0.08, src);
    }
    CHECK_NEAR(mdr_strength_h2o2_g_per_l_of_vol(10), 30.3, 0.06,
               "S: E12, chemzipper.com, 30.3 g/L");
    CHECK_NEAR(mdr_strength_h2o2_g_per_l_of_vol(1), 3.035, 5e-4, "S: E12, g/L = vol x 3.035");
    CHECK_NEAR(mdr_strength_h2o2_g_per_l_of_vol(2), 6.1, 0.05, "S: vat oxidation, 2 vol = 6.1 g/L");
    CHECK_NEAR(24 / mdr_strength_h2o2_density_kg_per_l(50), 20.07, 0.005, "D: E27");
    CHECK_NEAR(mdr_strength_h2o2_vol_of_g_per_l(12000) / 1000, 3.954, 0.001,
               "D: E27, oxygen of 12 kg, m3");
}

static void peroxide_round_trips(void **state)
{
    (void)state;
    for (double pct = 0; pct <= 70; pct += 0.7) {
        CHECK_NEAR(mdr_strength_h2o2_pct_of_g_per_l(mdr_strength_h2o2_g_per_l_of_pct(pct)), pct,
                   1e-9, "D: inverse");
        CHECK_NEAR(mdr_strength_h2o2_g_per_l_of_vol(mdr_strength_h2o2_vol_of_g_per_l(pct)), pct,
                   1e-12, "D: inverse");
    }
}

static const struct {
    int substance;
    double alkali, acid, sodium;
    const char *src;
} MOLES[] = {
    {MDR_SUB_NAOH, 25.00188, 0, 25.00188, "D: 1000/39.997"},
    {MDR_SUB_NA2CO3, 18.87006, 0, 18.87006, "D: 2000/105.988"},
    {MDR_SUB_NAHCO3, 11.90377, 0, 11.90377, "D: 1000/84.007"},
    {MDR_SUB_NACL, 0, 0, 17.11069, "D: 1000/58.443"},
    {MDR_SUB_NA2SO4, 0, 0, 14.08054, "D: 2000/142.04"},
    {MDR_SUB_HAC, 0, 16.65223, 0, "D: 1000/60.052"},
    {MDR_SUB_FORMIC, 0, 21.72732, 0, "D: 1000/46.025"},
    {MDR_SUB_CITRIC, 0, 15.61491, 0, "D: 3000/192.124"},
    {MDR_SUB_DITHIONITE, 0, 0, 11.48699, "D: 2000/174.11"},
    {MDR_SUB_H2O2, 0, 0, 0, "D: neither"},
    {MDR_SUB_OTHER, 0, 0, 0, "contract"},
    {MDR_SUB_DYE, 0, 0, 0, "contract"},
    {MDR_SUB_ENZYME, 0, 0, 0, "contract"},
    {99, 0, 0, 0, "contract"},
};

static void equivalents(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(MOLES); i++) {
        const int s = MOLES[i].substance;
        CHECK_NEAR(mdr_substance_alkali_mol_per_kg(s), MOLES[i].alkali, 6e-6, MOLES[i].src);
        CHECK_NEAR(mdr_substance_acid_mol_per_kg(s), MOLES[i].acid, 6e-6, MOLES[i].src);
        CHECK_NEAR(mdr_substance_sodium_mol_per_kg(s), MOLES[i].sodium, 6e-6, MOLES[i].src);
    }
    CHECK_NEAR(mdr_substance_sodium_mol_per_kg(MDR_SUB_NACL) /
                   mdr_substance_sodium_mol_per_kg(MDR_SUB_NA2SO4),
               1.215, 5e-4,
               "D: (1/58.44)/(2/142.04): 1 g NaCl brings the sodium of 1.215 g Na2SO4");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(caustic_by_baume),
                                       cmocka_unit_test(caustic_rows_of_perry),
                                       cmocka_unit_test(brine_by_baume),

                                       cmocka_unit_test(density_at_60f),
                                       cmocka_unit_test(baume_is_inverse_of_sg),
                                       cmocka_unit_test(strength_rises_with_baume),
                                       cmocka_unit_test(out_of_table),
                                       cmocka_unit_test(delivered_and_active),
                                       cmocka_unit_test(peroxide_strengths),
                                       cmocka_unit_test(peroxide_round_trips),
                                       cmocka_unit_test(equivalents)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
