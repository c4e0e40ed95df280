#define _POSIX_C_SOURCE 200809L
#include "chart_kit.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "core/quality/mdr_tail.h"

#define NIST "S: NIST/SEMATECH e-Handbook, section "

static const double NIST_SINGLE[] = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

static void single_values(void **state)
{
    (void)state;
    const mdr_chart c = individuals(NIST_SINGLE, 10, &ALL, MDR_CHART_SHORT_LIST);
    CHECK_NEAR(c.centre, 50.81, 1e-9, NIST "6.3.2.2");
    const double range = c.sigma * mdr_shewhart_of(2).d2;
    CHECK_NEAR(range, 1.8778, 5e-5, NIST "6.3.2.2");
    /* printed with d2 = 1.128 */
    CHECK_NEAR(c.centre + 3 * range / 1.128, 55.8041, 5e-5, NIST "6.3.2.2");
    CHECK_NEAR(c.points[0].upper, 55.8041, 2e-3, NIST "6.3.2.2, d2 rounded there");
    CHECK_NEAR(c.points[9].lower, 45.8159, 2e-3, NIST "6.3.2.2, d2 rounded there");
    assert_int_equal(c.n_out, 0);
    assert_int_equal(c.state, MDR_CHART_STEADY);
    assert_int_equal(c.n_base, 10);
    assert_true(c.provisional);
    const mdr_chart_base given = {.given = true, .centre = 50.0, .sigma = 0.5};
    const mdr_chart g = individuals(NIST_SINGLE, 10, &given, 0U);
    assert_false(g.provisional);
    CHECK_NEAR(g.points[8].z, 7.2, 1e-9, "D: (53.6 - 50)/0.5");
    assert_int_equal(g.state, MDR_CHART_OUT);
    /* by hand, |z| > 3: 47.6, 47.8, 52.6, 52.4, 53.6, 52.1 */
    assert_int_equal(g.n_out, 6);
    assert_true(g.points[1].rules == MDR_CHART_BIT(MDR_CHART_BEYOND) && g.points[3].rules == 0U);
}

static void weighted_means(void **state)
{
    (void)state;
    static const double x[] = {52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
                               49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    static const double z[] = {50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75,
                               49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05,
                               49.38, 49.92, 50.73, 51.23, 51.94, 51.99};
    const mdr_chart_base target = {.given = true, .centre = 50, .sigma = 2.0539};
    mdr_chart c;
    mdr_err err = {0};
    ok(mdr_chart_ewma(x, 20, &target, 0.3, arena, &c, &err), &err);
    for (int i = 0; i < 20; i++) {
        CHECK_NEAR(c.points[i].value, z[i], 0.00501, NIST "6.3.2.4");
    }
    CHECK_NEAR(c.points[19].upper, 52.5884, 1e-4, NIST "6.3.2.4, limits at their end");
    CHECK_NEAR(c.points[19].lower, 47.4115, 2e-4, NIST "6.3.2.4");
    CHECK_NEAR(c.points[0].upper - 50, 3 * 0.3 * 2.0539, 1e-9,
               "D: variance w^2 sigma^2 of the first");
    CHECK_NEAR(c.points[1].upper - 50, 3 * 2.0539 * 0.3 * sqrt(1 + 0.49), 1e-9,
               "D: w^2 (1 + (1 - w)^2)");
    assert_int_equal(c.state, MDR_CHART_STEADY);
    /* one that is left out moves nothing and narrows nothing */
    bool out[20] = {false};
    out[1] = true;
    const mdr_chart_base without = {.given = true, .centre = 50, .sigma = 2.0539, .left_out = out};
    mdr_chart d;
    ok(mdr_chart_ewma(x, 20, &without, 0.3, arena, &d, &err), &err);
    CHECK_NEAR(d.points[2].value, 0.3 * 53 + 0.7 * 50.6, 1e-9, "D");
    CHECK_NEAR(d.points[2].upper, c.points[1].upper, 1e-12, "D: the second that counts");
    /* with all the weight on the newest it is the chart of single values */
    ok(mdr_chart_ewma(x, 20, &target, 1.0, arena, &d, &err), &err);
    const mdr_chart single = individuals(x, 20, &target, 0U);
    for (int i = 0; i < 20; i++) {
        CHECK_NEAR(d.points[i].z, single.points[i].z, 1e-12, "D: weight 1");
    }
}

static void parts(void **state)
{
    (void)state;
    static const int bad[] = {12, 15, 8, 10, 4,  7,  16, 9,  14, 10, 5,  6, 17, 12, 22,
                              8,  10, 5, 13, 11, 20, 18, 24, 15, 9,  12, 7, 13, 9,  6};
    mdr_chart_part part[30];
    for (int i = 0; i < 30; i++) {
        part[i] = (mdr_chart_part){bad[i], 50};
    }
    mdr_chart c;
    mdr_err err = {0};
    ok(mdr_chart_fraction(part, 30, &ALL, 0U, arena, &c, &err), &err);
    CHECK_NEAR(c.centre, 0.2313, 5e-5, NIST "6.3.3.2");
    CHECK_NEAR(c.points[0].upper, 0.4102, 5e-5, NIST "6.3.3.2");
    CHECK_NEAR(c.points[0].lower, 0.0524, 5e-5, NIST "6.3.3.2");
    /* printed: samples 15 and 23 are outside */
    assert_int_equal(c.n_out, 2);
    assert_true(c.points[14].rules != 0U && c.points[22].rules != 0U);
    assert_false(c.provisional || c.points[0].thin);
    /* four times the lots, half the width */
    part[29] = (mdr_chart_part){24, 200};
    const mdr_chart_base first = {.n_points = 29};
    ok(mdr_chart_fraction(part, 30, &first, 0U, arena, &c, &err), &err);
    CHECK_NEAR(c.points[29].upper - c.centre, (c.points[0].upper - c.centre) / 2, 1e-12,
               "D: root of n");
    /* limits that are near nought are drawn all the same: printed at 0.0524 */
    assert_true(c.points[0].has_lower);
    mdr_chart_part zigzag[20];
    for (int i = 0; i < 20; i++) {
        zigzag[i] = (mdr_chart_part){20 + i % 2, 50};
    }
    mdr_chart zig;
    ok(mdr_chart_fraction(zigzag, 20, &ALL, MDR_CHART_LONG_LIST, arena, &zig, &err), &err);
    assert_int_equal(zig.n_out, 0); /* rules on differences are not for counts */
    /* a week without lots is no week */
    part[3] = (mdr_chart_part){0, 0};
    ok(mdr_chart_fraction(part, 30, &first, 0U, arena, &c, &err), &err);
    assert_false(c.points[3].has_value || c.points[3].in_base);
    assert_int_equal(c.n_base, 28);
}

static void counts(void **state)
{
    (void)state;
    static const int n[] = {16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14,
                            16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13};
    mdr_chart c;
    mdr_err err = {0};
    ok(mdr_chart_counts(n, 25, &ALL, 0U, arena, &c, &err), &err);
    CHECK_NEAR(c.centre, 16, 1e-12, NIST "6.3.3.1");
    CHECK_NEAR(c.points[0].upper, 28, 1e-12, NIST "6.3.3.1");
    CHECK_NEAR(c.points[0].lower, 4, 1e-12, NIST "6.3.3.1");
    assert_true(c.points[0].has_lower);
    assert_int_equal(c.n_out, 1); /* 31; 28 lies on the limit */
    assert_int_equal(c.points[23].rules, MDR_CHART_BIT(MDR_CHART_BEYOND));
    static const int few[] = {7, 6, 8, 7, 5, 9};
    ok(mdr_chart_counts(few, 6, &ALL, 0U, arena, &c, &err), &err);
    CHECK_NEAR(c.points[0].upper, 7 + 3 * sqrt(7.0), 1e-12, "D: mean and three of its roots");
    assert_true(c.points[0].has_upper && !c.points[0].has_lower); /* 7 - 7.9: no count is so low */
}

/* One bad lot in a week of one stands far beyond the normal limits and says nothing. */
static void few_lots(void **state)
{
    (void)state;
    const mdr_chart_base five_pct = {.given = true, .centre = 0.05, .sigma = 1};
    const mdr_chart_part week[] = {{1, 1}, {1, 3}, {3, 3}, {0, 4}, {2, 20}, {5, 100}, {100, 100}};
    mdr_chart c;
    mdr_err err = {0};
    ok(mdr_chart_fraction(week, 7, &five_pct, 0U, arena, &c, &err), &err);
    assert_true(c.points[0].value > c.centre + 3 * c.sigma); /* beyond, by the normal limits */
    assert_true(c.points[0].thin && c.points[0].rules == 0U);
    CHECK_NEAR(mdr_tail_normal(c.points[0].z), 0.05, 1e-9, "D: one of one, 5 %");
    CHECK_NEAR(mdr_tail_normal(c.points[1].z), 1 - 0.95 * 0.95 * 0.95, 1e-9, "D");
    CHECK_NEAR(mdr_tail_normal(c.points[2].z), 0.05 * 0.05 * 0.05, 1e-12, "D: all three");
    assert_int_equal(c.points[2].rules, MDR_CHART_BIT(MDR_CHART_BEYOND)); /* 1 in 8000 */
    CHECK_NEAR(c.points[3].z, 0, 0, "D: none of four is no surprise, 0.81");
    assert_true(c.points[4].thin);
    assert_false(c.points[5].thin || c.points[6].thin);
    assert_true(c.points[6].rules != 0U);
    assert_true(c.points[4].has_upper && !c.points[4].has_lower && !c.points[0].has_lower);
    /* as few that go wrong among many right ones: also thin, and no limit above one */
    const mdr_chart_base most = {.given = true, .centre = 0.95, .sigma = 1};
    const mdr_chart_part right[] = {{18, 20}, {2, 4}};
    ok(mdr_chart_fraction(right, 2, &most, 0U, arena, &c, &err), &err);
    assert_true(c.points[0].thin && c.points[0].has_lower && !c.points[0].has_upper);
    CHECK_NEAR(mdr_tail_normal(-c.points[1].z), 1 - pow(0.95, 4) - 4 * 0.05 * pow(0.95, 3), 1e-9,
               "D: at most two right of four");
    const int spots[] = {0, 6, 7};
    const mdr_chart_base two = {.given = true, .centre = 1.5, .sigma = 1};
    ok(mdr_chart_counts(spots, 3, &two, 0U, arena, &c, &err), &err);
    double sum = 0, term = exp(-1.5);
    for (int k = 0; k < 6; k++) {
        sum += term;
        term *= 1.5 / (k + 1);
    }
    CHECK_NEAR(mdr_tail_normal(c.points[1].z), 1 - sum, 1e-12, "D: six and more of 1.5");
    assert_int_equal(c.points[1].rules, 0U); /* 0.0045 */
    assert_true(c.points[2].rules != 0U);    /* 0.0009 */
}

/* Another zero and another unit change nothing that is judged. */
static void shift_and_scale(void **state)
{
    (void)state;
    uint64_t seed = 3;
    double x[60], y[60];
    for (int round = 0; round < 50; round++) {
        for (int i = 0; i < 60; i++) {
            x[i] = normal(&seed) + (i > 40 ? 1.5 : 0);
            y[i] = 1024 + 16 * x[i];
        }
        const mdr_chart_base base = {.n_points = 40};
        const mdr_chart a = individuals(x, 60, &base, MDR_CHART_LONG_LIST);
        const mdr_chart b = individuals(y, 60, &base, MDR_CHART_LONG_LIST);
        mdr_chart ea, eb;
        mdr_err err = {0};
        ok(mdr_chart_ewma(x, 60, &base, 0.2, arena, &ea, &err), &err);
        ok(mdr_chart_ewma(y, 60, &base, 0.2, arena, &eb, &err), &err);
        for (int i = 0; i < 60; i++) {
            CHECK_NEAR(b.points[i].z, a.points[i].z, 1e-9, "D: invariance");
            assert_int_equal(b.points[i].rules, a.points[i].rules);
            CHECK_NEAR(eb.points[i].z, ea.points[i].z, 1e-9, "D: invariance");
            CHECK_NEAR(b.points[i].upper, 1024 + 16 * a.points[i].upper, 1e-9, "D");
        }
    }
}

static void no_spread(void **state)
{
    (void)state;
    const double same[] = {0.1, 0.1, 0.1, 0.1, 0.7};
    const mdr_chart_base four = {.n_points = 4};
    const mdr_chart c = individuals(same, 5, &four, MDR_CHART_SHORT_LIST);
    assert_int_equal(c.state, MDR_CHART_NO_SPREAD);
    assert_int_equal(c.n_out, 0);
    assert_false(c.points[4].has_upper || c.points[4].has_lower);
    const mdr_chart_part all_right[] = {{0, 5}, {0, 7}, {0, 3}};
    mdr_chart d;
    mdr_err err = {0};
    ok(mdr_chart_fraction(all_right, 3, &ALL, 0U, arena, &d, &err), &err);
    assert_int_equal(d.state, MDR_CHART_NO_SPREAD);
    assert_false(d.points[1].has_lower);
    const mdr_chart_base widest = {.given = true, .sigma = 1e12};
    assert_int_equal(individuals(same, 5, &widest, 0U).n_out, 0);
    const int none[] = {0, 0};
    ok(mdr_chart_counts(none, 2, &ALL, 0U, arena, &d, &err), &err);
    assert_int_equal(d.state, MDR_CHART_NO_SPREAD);
}

/* The table hangs together: every factor from d2, d3 and c4. */
static void constants(void **state)
{
    (void)state;
    for (int n = 2; n <= 10; n++) {
        const mdr_shewhart k = mdr_shewhart_of(n);
        const double root = sqrt(n), s = sqrt(1 - k.c4 * k.c4);
        CHECK_NEAR(k.a2, 3 / (k.d2 * root), 6e-4, "D: definition of A2");
        CHECK_NEAR(k.a3, 3 / (k.c4 * root), 6e-4, "D: definition of A3");
        CHECK_NEAR(k.range_high, 1 + 3 * k.d3 / k.d2, 6e-4, "D: definition of D4");
        CHECK_NEAR(k.range_low, fmax(0, 1 - 3 * k.d3 / k.d2), 6e-4, "D: definition of D3");
        CHECK_NEAR(k.sd_high, 1 + 3 * s / k.c4, 1e-3, "D: definition of B4");
        CHECK_NEAR(k.sd_low, fmax(0, 1 - 3 * s / k.c4), 1e-3, "D: definition of B3");
        CHECK_NEAR(k.c4, sqrt(2.0 / (n - 1)) * exp(lgamma(n / 2.0) - lgamma((n - 1) / 2.0)), 6e-5,
                   "D: closed form of c4");
    }
    CHECK_NEAR(mdr_shewhart_of(2).d2, 2 / sqrt(3.14159265358979), 6e-5, "D: closed form of two");
    CHECK_NEAR(mdr_shewhart_of(5).a2, 0.577, 1e-9, "S: any table");
    CHECK_NEAR(mdr_shewhart_of(5).range_high, 2.115, 1.1e-3, "S: any table, 2.114 or 2.115");
}

/* Contract: the constants of no other number of readings are made up. */
static void no_other_constants(void **state)
{
    (void)state;
    static const int NONE[] = {-1, 0, 1, 11, 26};
    for (size_t i = 0; i < N_OF(NONE); i++) {
        int status = 0;
        const pid_t child = fork();
        if (child == 0) {
            (void)signal(SIGILL, SIG_DFL);
            _exit(mdr_shewhart_of(NONE[i]).d2 > 0.0 ? 0 : 1);
        }
        assert_true(child > 0 && waitpid(child, &status, 0) == child);
        assert_true(WIFSIGNALED(status));
    }
}

#define REFUSED(call, code_, place_)             \
    do {                                         \
        mdr_err e_ = {0};                        \
        mdr_err *err = &e_;                      \
        assert_int_equal((call), (code_));       \
        assert_string_equal(e_.place, (place_)); \
    } while (0)

static void refusals(void **state)
{
    (void)state;
    mdr_chart c = {.n = -7};
    const double good[] = {1, 2, 3}, nan_at_1[] = {1, (double)NAN, 3}, huge[] = {1, 2, 1e13};
    const mdr_chart_base four = {.n_points = 4}, one = {.n_points = 1}, wide = {.span = 11},
                         flat = {.given = true, .centre = 1},
                         nowhere = {.given = true, .centre = (double)NAN, .sigma = 1},
                         sure = {.given = true, .centre = 1, .sigma = 1};
    bool out[] = {false, true, false};
    const mdr_chart_base gap = {.left_out = out};
    REFUSED(mdr_chart_individuals(good, 0, &ALL, 0U, arena, &c, err), MDR_E_ARG, "n");
    REFUSED(mdr_chart_individuals(good, 5001, &ALL, 0U, arena, &c, err), MDR_E_ARG, "n");
    REFUSED(mdr_chart_individuals(nan_at_1, 3, &ALL, 0U, arena, &c, err), MDR_E_RANGE, "values[1]");
    REFUSED(mdr_chart_individuals(huge, 3, &ALL, 0U, arena, &c, err), MDR_E_RANGE, "values[2]");
    REFUSED(mdr_chart_individuals(good, 3, &four, 0U, arena, &c, err), MDR_E_ARG, "base.n_points");
    REFUSED(mdr_chart_individuals(good, 3, &one, 0U, arena, &c, err), MDR_E_ARG, "base.n_points");
    REFUSED(mdr_chart_individuals(good, 3, &gap, 0U, arena, &c, err), MDR_E_ARG, "base.n_points");
    REFUSED(mdr_chart_individuals(good, 3, &wide, 0U, arena, &c, err), MDR_E_ARG, "base.span");
    REFUSED(mdr_chart_individuals(good, 3, &flat, 0U, arena, &c, err), MDR_E_RANGE, "base.sigma");
    REFUSED(mdr_chart_ewma(good, 3, &nowhere, 0.3, arena, &c, err), MDR_E_RANGE, "base.centre");
    REFUSED(mdr_chart_ewma(good, 3, &ALL, 0.0, arena, &c, err), MDR_E_RANGE, "weight");
    REFUSED(mdr_chart_ewma(good, 3, &ALL, 1.1, arena, &c, err), MDR_E_RANGE, "weight");
    const mdr_chart_part part[] = {{1, 2}, {3, 2}}, none[] = {{0, 0}, {0, 0}};
    REFUSED(mdr_chart_fraction(part, 2, &ALL, 0U, arena, &c, err), MDR_E_RANGE, "parts[1]");
    REFUSED(mdr_chart_fraction(none, 2, &ALL, 0U, arena, &c, err), MDR_E_ARG, "base.n_points");
    REFUSED(mdr_chart_fraction(part, 1, &sure, 0U, arena, &c, err), MDR_E_RANGE, "base.centre");
    const int counted[] = {1, -1};
    REFUSED(mdr_chart_counts(counted, 2, &ALL, 0U, arena, &c, err), MDR_E_RANGE, "counts[1]");
    REFUSED(mdr_chart_counts(counted, 1, &nowhere, 0U, arena, &c, err), MDR_E_RANGE, "base.centre");
    mdr_arena *small = mdr_arena_new(64);
    REFUSED(mdr_chart_individuals(good, 3, &ALL, 0U, small, &c, err), MDR_E_NOMEM, "");
    mdr_arena_free(small);
    assert_int_equal(c.n, -7); /* written only on success */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(single_values), cmocka_unit_test(weighted_means),
        cmocka_unit_test(parts),         cmocka_unit_test(counts),
        cmocka_unit_test(few_lots),      cmocka_unit_test(shift_and_scale),
        cmocka_unit_test(no_spread),     cmocka_unit_test(constants),
        cmocka_unit_test(refusals),      cmocka_unit_test(no_other_constants),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
