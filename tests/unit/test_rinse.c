#include "t.h"

#include <string.h>

#include "core/bath/mdr_rinse.h"

/* 500 kg of drained rope after a dyeing, 60 g/L of salt in the liquor it keeps. */
static const mdr_rinse_in PLAIN = {.load_kg = 500,
                                   .ratio_l_per_kg = 8,
                                   .retained_l_per_kg = 2.5,
                                   .start_g_per_l = 60,
                                   .target_g_per_l = 1,
                                   .flow_l_per_min = 200,
                                   .fill_l_per_min = 500,
                                   .drain_l_per_min = 1000,
                                   .run_min = 10};

static const struct {
    double ratio, retained, kept[7], for_1_pct;
} TABLE[] = {
    {5, 2.0, {0.40000, 0.16000, 0.06400, 0.02560, 0.01024, 0.00410, 0.00164}, 5.03},
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
    {20, 3.5, {0.17500, 0.03062, 0.00536, 0.00094, 0.00016, 0.00003, 0.00001}, 2.64},
};

static mdr_rinse_in row_in(size_t row)
{
    mdr_rinse_in in = PLAIN;
    in.ratio_l_per_kg = TABLE[row].ratio;
    in.retained_l_per_kg = TABLE[row].retained;
    in.start_g_per_l = 100;
    in.target_g_per_l = 1;
    return in;
}

static void fill_and_drain_table(void **state)
{
    (void)state;
    const char *src = "D: rinse_fill_drain_dilution";
    for (size_t r = 0; r < N_OF(TABLE); r++) {
        mdr_rinse_in in = row_in(r);
        const mdr_rinse_way one_pct = mdr_rinse_fill_drain(&in);
        /* LR 20, R 2 needs 2.00 and must not be given a third */
        CHECK_NEAR(one_pct.baths, ceil(TABLE[r].for_1_pct), 0, src);
        for (int n = 1; n <= 7; n++) {
            in.target_g_per_l = in.start_g_per_l * pow(in.retained_l_per_kg / in.ratio_l_per_kg, n);
            const mdr_rinse_way way = mdr_rinse_fill_drain(&in);
            CHECK_NEAR(way.baths, n, 0, src);
            CHECK_NEAR(way.end_g_per_l / in.start_g_per_l, TABLE[r].kept[n - 1], 5.1e-6, src);
            CHECK_NEAR(way.water_l, n * (in.ratio_l_per_kg - in.retained_l_per_kg) * 500, 1e-9,
                       "D: fresh fill = (LR - R) kg");
        }
    }
}

static void fill_and_drain_by_hand(void **state)
{
    (void)state;
    const mdr_rinse_way way = mdr_rinse_fill_drain(&PLAIN);
    CHECK_NEAR(way.baths, 4, 0, "D: ln(1/60)/ln(2.5/8) = 3.52");
    CHECK_NEAR(way.end_g_per_l, 0.572205, 5e-7, "D: 60 x 0.3125^4");
    CHECK_NEAR(way.water_l, 11000, 1e-9, "D: 4 x 5.5 x 500");
    CHECK_NEAR(way.water_l_per_kg, 22, 1e-12, "D: 4 x 5.5");
    CHECK_NEAR(way.minutes, 4 * (5.5 + 10 + 2.75), 1e-9, "D: 2750 L at 500 and 1000 L/min");
    mdr_rinse_in in = PLAIN;
    in.target_g_per_l = 59;
    CHECK_NEAR(mdr_rinse_fill_drain(&in).baths, 1, 0, "D: less than one rinse is one");
    in.target_g_per_l = 60 * 0.3125 * 1.000001;
    CHECK_NEAR(mdr_rinse_fill_drain(&in).baths, 1, 0, "D: just met");
    in.target_g_per_l = 60 * 0.3125 * 0.999999;
    CHECK_NEAR(mdr_rinse_fill_drain(&in).baths, 2, 0, "D: just missed");
}

/* One bath fewer would have missed the target. */
static void fill_and_drain_is_least(void **state)
{
    (void)state;
    mdr_rinse_in in = PLAIN;
    for (in.ratio_l_per_kg = 3; in.ratio_l_per_kg < 25; in.ratio_l_per_kg *= 1.17) {
        for (in.target_g_per_l = 0.003; in.target_g_per_l < 60; in.target_g_per_l *= 1.9) {
            const mdr_rinse_way way = mdr_rinse_fill_drain(&in);
            assert_true(way.end_g_per_l <= in.target_g_per_l * (1 + 1e-8));
            assert_true(way.end_g_per_l * in.ratio_l_per_kg / in.retained_l_per_kg >
                        in.target_g_per_l);
        }
    }
}

static void overflow_by_hand(void **state)
{
    (void)state;
    const mdr_rinse_way way = mdr_rinse_overflow(&PLAIN);
    /* the fill leaves 18.75 g/L; 4000 L / 200 L/min x ln(18.75) */
    CHECK_NEAR(way.end_g_per_l, 1, 1e-14, "D: the time is solved for the target");
    CHECK_NEAR(way.minutes, 5.5 + 58.623875 + 2.75, 5e-6, "D: 20 ln 18.75 = 58.623875");
    CHECK_NEAR(way.water_l, 2750 + 11724.775, 5e-4, "D: fill + 200 L/min");
    CHECK_NEAR(way.water_l_per_kg, 28.949550, 5e-7, "D: over 500 kg");
    CHECK_NEAR(way.baths, 1, 0, "D: one bath");

    mdr_rinse_in in = PLAIN;
    in.target_g_per_l = 20; /* the fill alone reaches 18.75 */
    const mdr_rinse_way fill = mdr_rinse_overflow(&in);
    CHECK_NEAR(fill.end_g_per_l, 18.75, 1e-14, "D: 60 x 2.5/8");
    CHECK_NEAR(fill.water_l, 2750, 0, "D: nothing flows");
    CHECK_NEAR(fill.minutes, 5.5 + 10 + 2.75, 1e-12, "contract: it runs all the same");

    in.target_g_per_l = 18.75 * exp(-200 * 4.0 / 4000); /* 4 min of flow, less than the run */
    const mdr_rinse_way brief = mdr_rinse_overflow(&in);
    CHECK_NEAR(brief.water_l, 2750 + 800, 1e-9, "D: E19's formula backwards");
    CHECK_NEAR(brief.minutes, 5.5 + 10 + 2.75, 1e-12, "contract: at least the run");
}

/* E19: 8000 L, 200 L/min, 20 min leave 0.60653. */
static void overflow_of_the_worked_example(void **state)
{
    (void)state;
    mdr_rinse_in in = PLAIN;
    in.load_kg = 1000;
    in.run_min = 1;
    in.target_g_per_l = 18.75 * 0.60653066;
    const mdr_rinse_way way = mdr_rinse_overflow(&in);
    CHECK_NEAR(way.minutes, 11 + 20 + 5.5, 1e-6, "D: E19");
    CHECK_NEAR(way.water_l, 5500 + 4000, 1e-4, "D: E19");
}

/* The same end by both ways: past the first bath the overflow takes more water, always. */
static void overflow_takes_more_water(void **state)
{
    (void)state;
    for (size_t r = 0; r < N_OF(TABLE); r++) {
        mdr_rinse_in in = row_in(r);
        for (int n = 1; n <= 7; n++) {
            in.target_g_per_l = in.start_g_per_l * pow(in.retained_l_per_kg / in.ratio_l_per_kg, n);
            const double bath_l = mdr_rinse_fill_drain(&in).water_l;
            const double flow_l = mdr_rinse_overflow(&in).water_l;
            if (n == 1) {
                CHECK_NEAR(flow_l, bath_l, 1e-6, "D: both are one fill");
            } else {
                assert_true(flow_l > bath_l * 1.01);
            }
        }
    }
}

static const struct {
    size_t at;
    const char *field;
} FIELDS[] = {{offsetof(mdr_rinse_in, load_kg), "load_kg"},
              {offsetof(mdr_rinse_in, ratio_l_per_kg), "ratio_l_per_kg"},
              {offsetof(mdr_rinse_in, retained_l_per_kg), "retained_l_per_kg"},
              {offsetof(mdr_rinse_in, start_g_per_l), "start_g_per_l"},
              {offsetof(mdr_rinse_in, target_g_per_l), "target_g_per_l"},
              {offsetof(mdr_rinse_in, flow_l_per_min), "flow_l_per_min"},
              {offsetof(mdr_rinse_in, fill_l_per_min), "fill_l_per_min"},
              {offsetof(mdr_rinse_in, drain_l_per_min), "drain_l_per_min"},
              {offsetof(mdr_rinse_in, run_min), "run_min"}};

static void refused(const mdr_rinse_in *in, const char *field)
{
    mdr_err err = {0};
    assert_int_equal(mdr_rinse_check(in, &err), MDR_E_RANGE);
    assert_int_equal(err.code, MDR_E_RANGE);
    assert_string_equal(err.place, field);
    assert_true(strlen(err.msg) > 0 && strlen(err.value) > 0 && strlen(err.allowed) > 0 &&
                strlen(err.remedy) > 0);
    assert_int_equal(mdr_rinse_check(in, NULL), MDR_E_RANGE);
}

static void check_refuses(void **state)
{
    (void)state;
    mdr_err err = {0};
    assert_int_equal(mdr_rinse_check(&PLAIN, &err), MDR_OK);
    assert_int_equal(err.msg[0], '\0');
    assert_int_equal(mdr_rinse_check(&PLAIN, NULL), MDR_OK);
    static const double BAD[] = {0, -1, (double)NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t f = 0; f < N_OF(FIELDS); f++) {
        for (size_t b = 0; b < N_OF(BAD); b++) {
            mdr_rinse_in in = PLAIN;
            memcpy((char *)&in + FIELDS[f].at, &BAD[b], sizeof(double));
            refused(&in, FIELDS[f].field);
        }
    }
    mdr_rinse_in in = PLAIN;
    in.retained_l_per_kg = 8;
    refused(&in, "retained_l_per_kg");
    in.retained_l_per_kg = 9;
    refused(&in, "retained_l_per_kg");
    in = PLAIN;
    in.target_g_per_l = 60;
    refused(&in, "target_g_per_l");
    in.target_g_per_l = 61;
    refused(&in, "target_g_per_l");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fill_and_drain_table),
        cmocka_unit_test(fill_and_drain_by_hand),
        cmocka_unit_test(fill_and_drain_is_least),
        cmocka_unit_test(overflow_by_hand),
        cmocka_unit_test(overflow_of_the_worked_example),
        cmocka_unit_test(overflow_takes_more_water),
        cmocka_unit_test(check_refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
