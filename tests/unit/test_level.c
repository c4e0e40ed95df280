#include "t.h"

#include "core/colour/mdr_level.h"

static const mdr_difference_spec PLAIN = {MDR_DE_76, 1, 1, 1};
static const mdr_level_limits NO_LIMITS = {0, 0, 0, 0};

static mdr_level of(const mdr_level_reading *r, int n, const mdr_level_limits *limits)
{
    mdr_level v;
    mdr_err err;
    if (mdr_level_of(r, n, &PLAIN, limits, &v, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return v;
}

/* Lightness 50 + number; two at the beginning, one on the way, two at the end. D. */
static const mdr_level_reading ROPE[] = {
    {{50.0, 0, 0}, 0, MDR_SIDE_LEFT, true, true},    {{50.4, 0, 0}, 0, MDR_SIDE_RIGHT, true, true},
    {{50.2, 0, 0}, 60, MDR_SIDE_CENTRE, true, true}, {{51.0, 0, 0}, 120, MDR_SIDE_LEFT, true, true},
    {{50.9, 0, 0}, 120, MDR_SIDE_RIGHT, true, true},
};

static void by_hand(void **state)
{
    (void)state;
    const mdr_level v = of(ROPE, 5, &NO_LIMITS);
    CHECK_NEAR(v.mean.l, 50.5, 1e-12, "D");
    CHECK_NEAR(v.spread_de, 0.5, 1e-12, "D");
    assert_true(v.furthest == 0 || v.furthest == 3);
    CHECK_NEAR(v.mean_de, (0.5 + 0.1 + 0.3 + 0.5 + 0.4) / 5, 1e-12, "D");
    CHECK_NEAR(v.pair_de, 1.0, 1e-12, "D");
    assert_int_equal(v.pair_first, 0);
    assert_int_equal(v.pair_second, 3);
    assert_true(v.has_ends && v.has_sides);
    CHECK_NEAR(v.end_de, 50.95 - 50.2, 1e-12, "D: means of two");
    CHECK_NEAR(v.side_de, 50.65 - 50.2, 1e-12, "D: right against centre");
    assert_int_equal(v.side_first, MDR_SIDE_CENTRE);
    assert_int_equal(v.side_second, MDR_SIDE_RIGHT);
    assert_true(v.level);
}

static void limits(void **state)
{
    (void)state;
    static const struct {
        mdr_level_limits limits;
        bool spread, pair, end, side;
    } ROWS[] = {
        {{0.5, 1.0, 0.75, 0.45}, false, false, false, false}, /* the limit itself passes */
        {{0.49, 1.0, 0.75, 0.45}, true, false, false, false},
        {{0.5, 0.99, 0.75, 0.45}, false, true, false, false},
        {{0.5, 1.0, 0.74, 0.45}, false, false, true, false},
        {{0.5, 1.0, 0.75, 0.44}, false, false, false, true},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_level v = of(ROPE, 5, &ROWS[i].limits);
        assert_int_equal(v.over_spread, ROWS[i].spread);
        assert_int_equal(v.over_pair, ROWS[i].pair);
        assert_int_equal(v.over_end, ROWS[i].end);
        assert_int_equal(v.over_side, ROWS[i].side);
        assert_int_equal(v.level, i == 0);
    }
}

/* Without places or sides there is nothing to say about them, whatever the limit. */
static void not_known(void **state)
{
    (void)state;
    const mdr_level_limits tight = {100, 100, 0.001, 0.001};
    const mdr_level_reading bare[2] = {{.lab = {50, 0, 0}}, {.lab = {55, 0, 0}}};
    mdr_level v = of(bare, 2, &tight);
    assert_false(v.has_ends || v.has_sides);
    assert_true(v.level);
    const mdr_level_reading here[2] = {{{50, 0, 0}, 10, MDR_SIDE_LEFT, true, true},
                                       {{55, 0, 0}, 10, MDR_SIDE_LEFT, true, true}};
    v = of(here, 2, &tight);
    assert_false(v.has_ends || v.has_sides); /* one place, one side */
}

/* CMC: the mean of both ways. */
static void no_favourite(void **state)
{
    (void)state;
    const mdr_difference_spec cmc = {MDR_DE_CMC, 2, 1, 1};
    const mdr_lab p = {40, 20, 5}, q = {44, 26, 9};
    const double there = mdr_difference_cmc(p, q, 2, 1), back = mdr_difference_cmc(q, p, 2, 1);
    assert_true(fabs(there - back) > 0.1);
    CHECK_NEAR(mdr_difference_both_ways(p, q, &cmc), 0.5 * (there + back), 1e-12, "D");
    CHECK_NEAR(mdr_difference_both_ways(q, p, &cmc), 0.5 * (there + back), 1e-12, "D");
}

static void refused(void **state)
{
    (void)state;
    mdr_level v = {.n = 77};
    mdr_err err;
    mdr_level_reading bad[2] = {{.lab = {50, 0, 0}}, {.lab = {55, (double)NAN, 0}}};
    assert_int_equal(mdr_level_of(bad, 1, &PLAIN, &NO_LIMITS, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "n");
    assert_int_equal(mdr_level_of(bad, 2, &PLAIN, &NO_LIMITS, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "readings[1]");
    bad[1] = (mdr_level_reading){{50, 0, 0}, (double)INFINITY, MDR_SIDE_LEFT, true, false};
    assert_int_equal(mdr_level_of(bad, 2, &PLAIN, &NO_LIMITS, &v, &err), MDR_E_RANGE);
    const mdr_level_limits negative = {0, 0, -1, 0};
    assert_int_equal(mdr_level_of(ROPE, 5, &PLAIN, &negative, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "limits.end_de");
    assert_int_equal(v.n, 77);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(by_hand), cmocka_unit_test(limits),
                                       cmocka_unit_test(not_known), cmocka_unit_test(no_favourite),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
