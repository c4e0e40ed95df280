#include "dye_kit.h"
#include "t.h"

#include <string.h>

static mdr_rung rungs[MDR_RUNGS_MAX];
static mdr_ladder ladder;

static void make(const mdr_rung *r, int n)
{
    const mdr_ladder_in in = kit_ladder_in(r, n);
    mdr_err err = {0};
    if (mdr_ladder_make(&in, &ladder, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
}

static double ks_at(double depth, int band)
{
    double ks[MDR_BANDS];
    mdr_ladder_ks(&ladder, depth, ks, NULL);
    return ks[band];
}

static void through_every_rung(void **state)
{
    (void)state;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        kit_rungs(dye, rungs);
        make(rungs, KIT_RUNGS);
        assert_int_equal(ladder.knots, KIT_RUNGS + 1);
        assert_int_equal(ladder.pooled, 0);
        for (int b = 0; b < MDR_BANDS; b++) {
            CHECK_NEAR(ks_at(0, b), 0, 0, "contract: no dye, nothing added");
            for (int i = 0; i < KIT_RUNGS; i++) {
                const double want = kit_fixed(dye, KIT_DEPTHS[i]) * kit_unit_ks(dye, b);
                CHECK_NEAR(ks_at(KIT_DEPTHS[i], b), want, 1e-10 * (1 + want), "I: the dye itself");
            }
        }
    }
}

/* Rungs whose added K/S is y in every band, on a black-free cloth without a surface. */
static mdr_ladder_in plain(const double *depth, const double *y, int n)
{
    mdr_ladder_in in = {.rungs = rungs, .n = n, .beyond = 1.25};
    for (int b = 0; b < MDR_BANDS; b++) {
        in.substrate.v[b] = mdr_km_r_of_ks(0.1);
        for (int i = 0; i < n; i++) {
            rungs[i].curve.v[b] = mdr_km_r_of_ks(0.1 + y[i]);
        }
    }
    for (int i = 0; i < n; i++) {
        rungs[i].depth_pct_owf = depth[i];
    }
    return in;
}

static const struct {
    double depth, ks, slope;
} PCHIP[] = {{0.1, 0.373474048442907, 3.67965397923875},
             {0.25, 0.9, 3.28858131487889},
             {0.6, 2.00264481744067, 2.98808322780641},
             {1.5, 4.24787180641141, 2.11217717925639},
             {1.999, 5.19831537708257, 1.6850873703178},
             {3, 6.7585396039604, 1.3914603960396},
             {4, 7.9, 0.85},
             {5, 8.75, 0.85}};

static void as_another_program(void **state)
{
    (void)state;
    const double depth[] = {0.25, 1, 2, 4}, y[] = {0.9, 3.1, 5.2, 7.9};
    const mdr_ladder_in in = plain(depth, y, 4);
    assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
    for (size_t i = 0; i < N_OF(PCHIP); i++) {
        double ks[MDR_BANDS], slope[MDR_BANDS];
        mdr_ladder_ks(&ladder, PCHIP[i].depth, ks, slope);
        const char *src = "O: scipy 1.10.1 PchipInterpolator([0, .25, 1, 2, 4], [0, .9, 3.1, 5.2, "
                          "7.9]); the last row continues its end";
        CHECK_NEAR(ks[7], PCHIP[i].ks, 1e-12, src);
        CHECK_NEAR(slope[7], PCHIP[i].slope, 1e-11, src);
    }
    CHECK_NEAR(ladder.limit_pct_owf, 5, 1e-15, "contract: 1.25 x 4");
    assert_true(mdr_ladder_is_beyond(&ladder, 4.001) && !mdr_ladder_is_beyond(&ladder, 4));
}

static void more_dye_never_less_colour(void **state)
{
    (void)state;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        kit_rungs(dye, rungs);
        make(rungs, KIT_RUNGS);
        for (int i = 0; i < 300; i++) {
            double low[MDR_BANDS], high[MDR_BANDS], slope[MDR_BANDS];
            const double depth = 0.02 * i, step = 1e-6;
            mdr_ladder_ks(&ladder, depth, low, slope);
            mdr_ladder_ks(&ladder, depth + step, high, NULL);
            for (int b = 0; b < MDR_BANDS; b++) {
                assert_true(slope[b] >= 0 && high[b] >= low[b]);
                CHECK_NEAR((high[b] - low[b]) / step, slope[b], 1e-4 * (1 + slope[b]),
                           "D: forward difference");
            }
        }
    }
}

/* Half the curve of the true law between the rungs: how far off is the cubic? */
static void between_the_rungs(void **state)
{
    (void)state;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        kit_rungs(dye, rungs);
        make(rungs, KIT_RUNGS);
        for (int i = 1; i <= 50; i++) {
            const double depth = 0.1 * i, want = kit_fixed(dye, depth);
            CHECK_NEAR(ks_at(depth, 10) / (want * kit_unit_ks(dye, 10)), 1, 0.004,
                       "I: the dye's own law; 0.4 % is far below what a dyeing repeats to");
        }
    }
}

static void order_and_doubles(void **state)
{
    (void)state;
    const double depth[] = {2, 0.5, 1, 0.5, 0.5}, y[] = {4, 1.1, 2, 0.7, 1.2};
    const mdr_ladder_in in = plain(depth, y, 5);
    assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
    assert_int_equal(ladder.knots, 4);
    assert_int_equal(ladder.merged, 2);
    CHECK_NEAR(ks_at(0.5, 0), 1.0, 1e-12, "D: mean of 1.1, 0.7 and 1.2");
    CHECK_NEAR(ks_at(1, 0), 2.0, 1e-12, "D");
    CHECK_NEAR(ks_at(2, 0), 4.0, 1e-12, "D");
    CHECK_NEAR(ks_at(1.3, 5), 2.6, 1e-12, "D: all on one line");
    /* a paler rung comes between two of the same depth: their mean remembers how many it is of */
    const double late[] = {2, 2, 1, 2}, of[] = {4.0, 4.4, 2.0, 3.3};
    const mdr_ladder_in again = plain(late, of, 4);
    assert_int_equal(mdr_ladder_make(&again, &ladder, NULL), MDR_OK);
    CHECK_NEAR(ks_at(2, 0), 3.9, 1e-12, "D: mean of 4.0, 4.4 and 3.3");
    CHECK_NEAR(ks_at(1, 0), 2.0, 1e-12, "D");
}

static void colour_in_one_band(void **state)
{
    (void)state;
    for (int band = 0; band < MDR_BANDS; band += MDR_BANDS - 1) {
        const double depth[] = {1}, y[] = {0};
        const mdr_ladder_in in = plain(depth, y, 1);
        rungs[0].curve.v[band] = mdr_km_r_of_ks(0.6);
        assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
        CHECK_NEAR(ks_at(1, band), 0.5, 1e-12, "D: 0.6 - 0.1");
    }
}

static void one_rung_is_a_line(void **state)
{
    (void)state;
    const double depth[] = {2}, y[] = {5};
    const mdr_ladder_in in = plain(depth, y, 1);
    assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
    assert_true(mdr_ladder_is_line(&ladder));
    CHECK_NEAR(ks_at(0.4, 3), 1.0, 1e-12, "D: a fifth of 5");
    CHECK_NEAR(ks_at(2.4, 3), 6.0, 1e-12, "D: beyond");
}

static const struct {
    double given[5], want[5];
} POOLED[] = {
    {{1, 3, 2, 4, 5}, {1, 2.5, 2.5, 4, 5}},
    {{1, 2, 3, 2, 1}, {1, 2, 2, 2, 2}},
    {{-0.1, 0.2, 0.1, 0.3, 0.4}, {0, 0.15, 0.15, 0.3, 0.4}},
    {{-0.05, -0.02, 1, 2, 3}, {0, 0, 1, 2, 3}},
};

static void backward_readings_are_pooled(void **state)
{
    (void)state;
    const double depth[] = {1, 2, 3, 4, 5};
    for (size_t i = 0; i < N_OF(POOLED); i++) {
        const mdr_ladder_in in = plain(depth, POOLED[i].given, 5);
        assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
        assert_true(ladder.pooled >= 2 * MDR_BANDS && ladder.pooled_most_pct > 0);
        for (int k = 0; k < 5; k++) {
            CHECK_NEAR(ks_at(depth[k], 11), POOLED[i].want[k], 1e-12, "D: pools by hand");
        }
    }
}

static void first_drop_counts(void **state)
{
    (void)state;
    /* so steep a second step gives the end formula a slope of 0 at the origin */
    const double depth[] = {1, 2}, y[] = {0.5, 4};
    const mdr_ladder_in in = plain(depth, y, 2);
    assert_int_equal(mdr_ladder_make(&in, &ladder, NULL), MDR_OK);
    CHECK_NEAR(ladder.slope[0][0], 0.5 / 3, 1e-12, "contract: a third of the first chord");
}

static void bad(mdr_ladder_in in, mdr_code code, const char *place)
{
    mdr_err err = {0};
    ladder.knots = -7;
    assert_int_equal(mdr_ladder_make(&in, &ladder, &err), code);
    assert_int_equal(err.code, code);
    assert_string_equal(err.place, place);
    assert_int_equal(ladder.knots, -7);
}

static void refused(void **state)
{
    (void)state;
    kit_rungs(3, rungs);
    mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
    in.n = 0;
    bad(in, MDR_E_ARG, "rungs");
    in.n = MDR_RUNGS_MAX + 1;
    bad(in, MDR_E_ARG, "rungs");
    in = kit_ladder_in(rungs, KIT_RUNGS);
    in.beyond = 0.9;
    bad(in, MDR_E_RANGE, "beyond");
    in.beyond = (double)NAN;
    bad(in, MDR_E_RANGE, "beyond");
    in = kit_ladder_in(rungs, KIT_RUNGS);
    in.substrate.v[2] = 1.3;
    bad(in, MDR_E_RANGE, "substrate.420nm");
    in = kit_ladder_in(rungs, KIT_RUNGS);
    in.surface.k1 = 0.5;
    bad(in, MDR_E_RANGE, "substrate.surface.k1");
    rungs[4].curve.v[5] = 0.02;
    bad(kit_ladder_in(rungs, KIT_RUNGS), MDR_E_RANGE, "rungs[4].450nm");
    rungs[2].depth_pct_owf = 0;
    bad(kit_ladder_in(rungs, KIT_RUNGS), MDR_E_RANGE, "rungs[2].depth_pct_owf");
    rungs[0].depth_pct_owf = 31;
    bad(kit_ladder_in(rungs, KIT_RUNGS), MDR_E_RANGE, "rungs[0].depth_pct_owf");
    kit_rungs(3, rungs);
    rungs[0].curve = kit_cloth();
    bad(kit_ladder_in(rungs, 1), MDR_E_INFEAS, "rungs");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(through_every_rung),
                                       cmocka_unit_test(as_another_program),
                                       cmocka_unit_test(more_dye_never_less_colour),
                                       cmocka_unit_test(between_the_rungs),
                                       cmocka_unit_test(order_and_doubles),
                                       cmocka_unit_test(colour_in_one_band),
                                       cmocka_unit_test(one_rung_is_a_line),
                                       cmocka_unit_test(backward_readings_are_pooled),
                                       cmocka_unit_test(first_drop_counts),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
