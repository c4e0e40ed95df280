#include "dye_kit.h"
#include "t.h"

#include <string.h>

#include "core/colour/mdr_difference.h"
#include "core/recipe/mdr_mixture.h"

static mdr_ladder ladders[KIT_DYES];
static mdr_cloth cloth;
static mdr_weights d65;

static int setup(void **state)
{
    (void)state;
    const mdr_curve bare = kit_cloth();
    d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    for (int d = 0; d < KIT_DYES; d++) {
        mdr_rung rungs[KIT_RUNGS];
        kit_rungs(d, rungs);
        const mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
        if (mdr_ladder_make(&in, &ladders[d], NULL) != MDR_OK) {
            return 1;
        }
    }
    return mdr_cloth_make(&bare, &KIT_SURFACE, &cloth, NULL) == MDR_OK ? 0 : 1;
}

static void no_dye_is_the_cloth(void **state)
{
    (void)state;
    mdr_mixture m;
    const mdr_curve bare = kit_cloth();
    assert_int_equal(mdr_mixture_of(&cloth, NULL, 0, &m, NULL), MDR_OK);
    for (int b = 0; b < MDR_BANDS; b++) {
        CHECK_NEAR(m.curve.v[b], bare.v[b], 1e-14, "D: nothing added");
    }
}

/* The ladder knows the dyes only from single dyeings; the mill mixes them. */
static void mixtures_of_the_invented_mill(void **state)
{
    (void)state;
    uint64_t seed = 20260101;
    double worst = 0;
    for (int trial = 0; trial < 300; trial++) {
        int dyes[3];
        double depth[3];
        mdr_part parts[3];
        for (int i = 0; i < 3; i++) {
            dyes[i] = (int)(kit_uniform(&seed) * 10) + 10 * i;
            depth[i] = 0.02 + 2.5 * kit_uniform(&seed);
            parts[i] = (mdr_part){&ladders[dyes[i]], depth[i], 1};
        }
        mdr_mixture m;
        assert_int_equal(mdr_mixture_of(&cloth, parts, 3, &m, NULL), MDR_OK);
        const mdr_curve truth = kit_dyed(dyes, depth, 3);
        worst = fmax(worst, mdr_difference_cmc(mdr_lab_of_curve(&truth, &d65),
                                               mdr_lab_of_curve(&m.curve, &d65), 2, 1));
    }
    CHECK_NEAR(worst, 0, 0.08, "I: mixtures add in K/S here, so only interpolation is left");
    assert_true(worst > 1e-4); /* else the comparison is with itself */
}

static void slopes(void **state)
{
    (void)state;
    const double step = 1e-6;
    mdr_part parts[] = {{&ladders[2], 0.37, 1}, {&ladders[11], 1.2, 0.8}, {&ladders[20], 5.5, 1.1}};
    mdr_mixture at, low, high;
    assert_int_equal(mdr_mixture_of(&cloth, parts, 3, &at, NULL), MDR_OK);
    assert_true(!at.beyond[0] && !at.beyond[1] && at.beyond[2] && at.any_beyond);
    for (int i = 0; i < 3; i++) {
        parts[i].depth_pct_owf -= step;
        assert_int_equal(mdr_mixture_of(&cloth, parts, 3, &low, NULL), MDR_OK);
        parts[i].depth_pct_owf += 2 * step;
        assert_int_equal(mdr_mixture_of(&cloth, parts, 3, &high, NULL), MDR_OK);
        parts[i].depth_pct_owf -= step;
        for (int b = 0; b < MDR_BANDS; b++) {
            CHECK_NEAR((high.curve.v[b] - low.curve.v[b]) / (2 * step), at.slope[i][b], 1e-8,
                       "D: central difference");
        }
    }
}

static void strength_is_depth(void **state)
{
    (void)state;
    const mdr_part weak[] = {{&ladders[4], 2.0, 0.75}}, full[] = {{&ladders[4], 1.5, 1}};
    mdr_mixture a, b;
    assert_int_equal(mdr_mixture_of(&cloth, weak, 1, &a, NULL), MDR_OK);
    assert_int_equal(mdr_mixture_of(&cloth, full, 1, &b, NULL), MDR_OK);
    for (int i = 0; i < MDR_BANDS; i++) {
        CHECK_NEAR(a.curve.v[i], b.curve.v[i], 1e-15, "D: 2.0 x 0.75 = 1.5");
        CHECK_NEAR(a.slope[0][i], 0.75 * b.slope[0][i], 1e-15, "D: chain rule");
    }
}

/* Another cloth in place of the ladder's. */
static void other_cloth(void **state)
{
    (void)state;
    mdr_curve ks = kit_cloth_ks();
    for (int b = 0; b < MDR_BANDS; b++) {
        ks.v[b] += 0.08; /* a greyer cloth */
    }
    mdr_cloth grey;
    mdr_mixture m;
    const mdr_curve bare = kit_measured(&ks);
    const mdr_part parts[] = {{&ladders[7], 0.8, 1}}; /* a rung: no interpolation */
    assert_int_equal(mdr_cloth_make(&bare, &KIT_SURFACE, &grey, NULL), MDR_OK);
    assert_int_equal(mdr_mixture_of(&grey, parts, 1, &m, NULL), MDR_OK);
    for (int b = 0; b < MDR_BANDS; b++) {
        ks.v[b] += kit_fixed(7, 0.8) * kit_unit_ks(7, b);
    }
    const mdr_curve truth = kit_measured(&ks);
    for (int b = 0; b < MDR_BANDS; b++) {
        CHECK_NEAR(m.curve.v[b], truth.v[b], 1e-12, "I: K/S of this cloth and the dye");
    }
}

static void bad(const mdr_part *parts, int n, mdr_code code, const char *place)
{
    mdr_err err = {0};
    mdr_mixture m = {.curve = {.v = {-7}}};
    assert_int_equal(mdr_mixture_of(&cloth, parts, n, &m, &err), code);
    assert_string_equal(err.place, place);
    CHECK_NEAR(m.curve.v[0], -7, 0, "contract: out untouched on failure");
}

static void refused(void **state)
{
    (void)state;
    const mdr_part none[] = {{&ladders[0], 1, 1}, {NULL, 1, 1}};
    const mdr_part deep[] = {{&ladders[0], 6.3, 1}}, back[] = {{&ladders[0], -0.01, 1}};
    const mdr_part weak[] = {{&ladders[0], 1, 0.05}}, nan[] = {{&ladders[0], (double)NAN, 1}};
    const mdr_part strong[] = {{&ladders[0], 6.0, 1.1}};
    bad(none, 2, MDR_E_ARG, "parts[1].ladder");
    bad(none, 9, MDR_E_ARG, "parts");
    bad(none, -1, MDR_E_ARG, "parts");
    bad(deep, 1, MDR_E_RANGE, "parts[0].depth_pct_owf");
    bad(strong, 1, MDR_E_RANGE, "parts[0].depth_pct_owf");
    bad(back, 1, MDR_E_RANGE, "parts[0].depth_pct_owf");
    bad(nan, 1, MDR_E_RANGE, "parts[0].depth_pct_owf");
    bad(weak, 1, MDR_E_RANGE, "parts[0].strength_factor");
    mdr_curve white = kit_cloth();
    mdr_err err = {0};
    mdr_cloth got;
    white.v[3] = 1.0;
    assert_int_equal(mdr_cloth_make(&white, &KIT_SURFACE, &got, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "substrate.430nm");
    assert_non_null(strstr(err.remedy, "measure the cloth"));
    white.v[3] = 1.2;
    assert_int_equal(mdr_cloth_make(&white, &KIT_SURFACE, &got, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "substrate.430nm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_dye_is_the_cloth),
                                       cmocka_unit_test(mixtures_of_the_invented_mill),
                                       cmocka_unit_test(slopes),
                                       cmocka_unit_test(strength_is_depth),
                                       cmocka_unit_test(other_cloth),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, NULL);
}
