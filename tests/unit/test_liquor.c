#include "t.h"

#include "core/bath/mdr_liquor.h"

static const struct {
    double ratio, retained, kept[7], needed;
} RINSES[] = {{5, 2.0, {0.40000, 0.16000, 0.06400, 0.02560, 0.01024, 0.00410, 0.00164}, 5.03},
              {5, 2.5, {0.50000, 0.25000, 0.12500, 0.06250, 0.03125, 0.01562, 0.00781}, 6.64},
              {5, 3.0, {0.60000, 0.36000, 0.21600, 0.12960, 0.07776, 0.04666, 0.02799}, 9.02},
              {5, 3.5, {0.70000, 0.49000, 0.34300, 0.24010, 0.16807, 0.11765, 0.08235}, 12.91},
              {6, 2.0, {0.33333, 0.11111, 0.03704, 0.01235, 0.00412, 0.00137, 0.00046}, 4.19},
              {6, 2.5, {0.41667, 0.17361, 0.07234, 0.03014, 0.01256, 0.00523, 0.00218}, 5.26},
              {6, 3.0, {0.50000, 0.25000, 0.12500, 0.06250, 0.03125, 0.01562, 0.00781}, 6.64},
              {6, 3.5, {0.58333, 0.34028, 0.19850, 0.11579, 0.06754, 0.03940, 0.02298}, 8.54},
              {8, 2.0, {0.25000, 0.06250, 0.01562, 0.00391, 0.00098, 0.00024, 0.00006}, 3.32},
              {8, 2.5, {0.31250, 0.09766, 0.03052, 0.00954, 0.00298, 0.00093, 0.00029}, 3.96},
              {8, 3.0, {0.37500, 0.14062, 0.05273, 0.01978, 0.00742, 0.00278, 0.00104}, 4.70},
              {8, 3.5, {0.43750, 0.19141, 0.08374, 0.03664, 0.01603, 0.00701, 0.00307}, 5.57},
              {10, 2.0, {0.20000, 0.04000, 0.00800, 0.00160, 0.00032, 0.00006, 0.00001}, 2.86},
              {10, 2.5, {0.25000, 0.06250, 0.01562, 0.00391, 0.00098, 0.00024, 0.00006}, 3.32},
              {10, 3.0, {0.30000, 0.09000, 0.02700, 0.00810, 0.00243, 0.00073, 0.00022}, 3.82},
              {10, 3.5, {0.35000, 0.12250, 0.04287, 0.01501, 0.00525, 0.00184, 0.00064}, 4.39},
              {15, 2.0, {0.13333, 0.01778, 0.00237, 0.00032, 0.00004, 0.00001, 0.00000}, 2.29},
              {15, 2.5, {0.16667, 0.02778, 0.00463, 0.00077, 0.00013, 0.00002, 0.00000}, 2.57},
              {15, 3.0, {0.20000, 0.04000, 0.00800, 0.00160, 0.00032, 0.00006, 0.00001}, 2.86},
              {15, 3.5, {0.23333, 0.05444, 0.01270, 0.00296, 0.00069, 0.00016, 0.00004}, 3.16},
              {20, 2.0, {0.10000, 0.01000, 0.00100, 0.00010, 0.00001, 0.00000, 0.00000}, 2.00},
              {20, 2.5, {0.12500, 0.01562, 0.00195, 0.00024, 0.00003, 0.00000, 0.00000}, 2.21},
              {20, 3.0, {0.15000, 0.02250, 0.00337, 0.00051, 0.00008, 0.00001, 0.00000}, 2.43},
              {20, 3.5, {0.17500, 0.03062, 0.00536, 0.00094, 0.00016, 0.00003, 0.00001}, 2.64}};

static void fill_and_drain_rinses(void **state)
{
    (void)state;
    const char *src = "D: rinse_fill_drain_dilution";
    for (size_t i = 0; i < N_OF(RINSES); i++) {
        const double r = RINSES[i].retained, lr = RINSES[i].ratio;
        double kept = 1;
        for (int n = 1; n <= 7; n++) {
            kept *= mdr_liquor_drain_kept(1000 * r, 1000 * lr);
            CHECK_NEAR(mdr_liquor_rinses_kept(r, lr, n), RINSES[i].kept[n - 1], 5.1e-6, src);
            CHECK_NEAR(kept, RINSES[i].kept[n - 1], 5.1e-6, "D: one drain after the other");
        }
        CHECK_NEAR(mdr_liquor_rinses_needed(r, lr, 0.01), RINSES[i].needed, 0.0051, src);
    }
    CHECK_NEAR(mdr_liquor_rinses_kept(2.5, 8, 3), 0.03052, 5e-6, "D: E18");
}

static void rinses_needed_is_inverse(void **state)
{
    (void)state;
    for (double kept = 0.9; kept > 1e-6; kept *= 0.6) {
        const double n = mdr_liquor_rinses_needed(2.7, 7.3, kept);
        CHECK_NEAR(mdr_liquor_rinses_kept(2.7, 7.3, n) / kept, 1, 1e-13, "D: inverse");
    }
}

static void overflow_rinse(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_liquor_overflow_kept(200, 20, 8000), 0.60653, 5e-6, "D: E19");
    CHECK_NEAR(mdr_liquor_overflow_kept(0, 20, 8000), 1, 0, "D: no flow, nothing leaves");
    CHECK_NEAR(mdr_liquor_overflow_kept(150, 12, 5000) * mdr_liquor_overflow_kept(150, 8, 5000),
               mdr_liquor_overflow_kept(150, 20, 5000), 1e-15, "D: two rinses are one long one");
    /* many small fill-and-drain rinses of the same water approach the overflow rinse */
    const double n = 1e6, water_l = 4000, volume_l = 8000;
    double kept = 1;
    for (int i = 0; i < (int)n; i++) {
        kept *= mdr_liquor_drain_kept(volume_l, volume_l + water_l / n);
    }
    CHECK_NEAR(mdr_liquor_overflow_kept(200, 20, volume_l), kept, 1e-6, "D: limit of small steps");
}

static void balance(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_liquor_wanted_l(1000, 8), 8000, 0, "D: E16");
    CHECK_NEAR(mdr_liquor_wanted_l(5, 10), 50, 0, "S: E03a, mL for g; textilecalculation 2015/01");
    CHECK_NEAR(mdr_liquor_ratio_l_per_kg(2400, 160), 15, 0, "S: E10, fibre2fashion 3528");
    CHECK_NEAR(mdr_liquor_ratio_l_per_kg(1000, 100), 10, 0, "S: E11, VFSTR lecture");
    CHECK_NEAR(mdr_liquor_retained_l(1000, 2.5), 2500, 0, "D: E28");
    CHECK_NEAR(mdr_liquor_fresh_fill_l(8000, 2500, 600), 4900, 0, "D: by hand");
    CHECK_NEAR(mdr_liquor_fresh_fill_l(50, 0, 2.5 + 10 + 5 + 7.5 + 10 + 2.5), 12.5, 1e-14,
               "S: E03h, textilecalculation 2015/01");
    CHECK_NEAR(mdr_liquor_fresh_fill_l(3000, 2500, 600), -100, 0,
               "contract: too much there is a negative fill, not 0");
    for (double kg = 10; kg < 2000; kg *= 1.9) {
        CHECK_NEAR(mdr_liquor_ratio_l_per_kg(mdr_liquor_wanted_l(kg, 6.7), kg), 6.7, 1e-14,
                   "D: inverse");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(fill_and_drain_rinses),
                                       cmocka_unit_test(rinses_needed_is_inverse),
                                       cmocka_unit_test(overflow_rinse), cmocka_unit_test(balance)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
