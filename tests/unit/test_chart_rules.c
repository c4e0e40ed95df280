#include "chart_kit.h"

#include <stdlib.h>
#include <string.h>

typedef struct pattern {
    const char *what;
    double z[20];
    int n;
    mdr_chart_rule rule;
    int from; /* first point that completes it; 0: none does */
} pattern;

static const pattern PATTERNS[] = {
    {"beyond", {0, 0, 3.01}, 3, MDR_CHART_BEYOND, 3},
    {"on the limit", {0, 0, 3.0, -3.0}, 4, MDR_CHART_BEYOND, 0},
    {"two of three", {0, 2.1, 0, -1, 2.1, 0.5, 2.1}, 7, MDR_CHART_TWO_OF_THREE, 7},
    {"at once", {2.1, 2.1}, 2, MDR_CHART_TWO_OF_THREE, 2},
    {"other side", {2.1, -2.1, 0, -2.1, 2.1}, 5, MDR_CHART_TWO_OF_THREE, 4},
    {"too far apart", {2.1, 0, 0, 2.1}, 4, MDR_CHART_TWO_OF_THREE, 0},
    {"with one between", {0, 2.1, 0, 2.1, 0}, 5, MDR_CHART_TWO_OF_THREE, 4},
    {"four of five", {-1.1, -1.1, 0.3, -1.1, -1.1}, 5, MDR_CHART_FOUR_OF_FIVE, 5},
    {"three of five", {-1.1, -1.1, 0.3, -1.1, -0.9, 0, 0}, 7, MDR_CHART_FOUR_OF_FIVE, 0},
    {"eight", {0.1, 0.1, 0.2, 0.1, 0.1, 0.2, 0.1, 0.1}, 8, MDR_CHART_EIGHT_ONE_SIDE, 8},
    {"seven", {-0.1, 0.1, 0.2, 0.1, 0.1, 0.2, 0.1, 0.1}, 8, MDR_CHART_EIGHT_ONE_SIDE, 0},
    {"on the centre", {0.1, 0.1, 0.2, 0.0, 0.1, 0.2, 0.1, 0.1, 1}, 9, MDR_CHART_EIGHT_ONE_SIDE, 0},
    {"nine", {-1, -1, -2, -1, -1, -2, -1, -1, -1}, 9, MDR_CHART_NINE_ONE_SIDE, 9},
    {"six up", {0, -1, -0.5, 0, 0.5, 1, 1.5}, 7, MDR_CHART_SIX_TREND, 7},
    {"six down", {2, 1, 0.5, 0, -0.5, -1}, 6, MDR_CHART_SIX_TREND, 6},
    {"a tie", {-1, -0.5, 0, 0, 0.5, 1}, 6, MDR_CHART_SIX_TREND, 0},
    {"zigzag", {0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1}, 14, MDR_CHART_FOURTEEN_ZIGZAG, 14},
    {"zigzag, one step too few",
     {0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1},
     15,
     MDR_CHART_FOURTEEN_ZIGZAG,
     0},
    {"close",
     {0.5, -0.5, 0.9, -0.9, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0, 0, 0},
     15,
     MDR_CHART_FIFTEEN_CLOSE,
     15},
    {"one not close",
     {0.5, -0.5, 0.9, -1.0, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0, 0, 0, 0},
     16,
     MDR_CHART_FIFTEEN_CLOSE,
     0},
    {"apart", {1.1, -1.1, 1.5, -1.2, 1.1, 2, -1.1, -1.0}, 8, MDR_CHART_EIGHT_APART, 8},
    {"one close", {1.1, -1.1, 1.5, -0.9, 1.1, 2, -1.1, -1.1}, 8, MDR_CHART_EIGHT_APART, 0},
};

/* The first point that completes the rule of this pattern, counted from 1; 0: none. */
static int first_completed(const pattern *p, double sign)
{
    double z[20];
    for (int k = 0; k < p->n; k++) {
        z[k] = sign * p->z[k];
    }
    const mdr_chart c = individuals(z, p->n, &UNIT, MDR_CHART_BIT(p->rule));
    for (int k = 0; k < p->n; k++) {
        if ((c.points[k].rules & MDR_CHART_BIT(p->rule)) != 0U) {
            return k + 1;
        }
    }
    return 0;
}

static void patterns(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(PATTERNS); i++) {
        const pattern *p = &PATTERNS[i];
        for (int mirror = 0; mirror < 2; mirror++) {
            const double sign = mirror != 0 ? -1 : 1;
            if (first_completed(p, sign) != p->from) {
                fail_msg("%s (D: by the words of the rule): completed at %d, want %d", p->what,
                         first_completed(p, sign), p->from);
            }
        }
    }
    const double z[] = {2.1, 2.1, 0.5};
    const mdr_chart c = individuals(z, 3, &UNIT, MDR_CHART_SHORT_LIST);
    assert_int_equal(c.points[2].rules, 0U); /* no part of the pattern itself */
}

/* What is left out ends a run and is itself never out. */
static void left_out(void **state)
{
    (void)state;
    const double z[] = {0.1, 0.1, 0.1, 0.1, 9, 0.1, 0.1, 0.1, 0.1, 2.5, -9, 2.5};
    bool out[12] = {false};
    mdr_chart_base base = UNIT;
    base.left_out = out;
    out[4] = true;
    mdr_chart c = individuals(z, 10, &base, MDR_CHART_SHORT_LIST);
    assert_int_equal(c.n_out, 0);
    out[10] = true;
    c = individuals(z, 12, &base, MDR_CHART_SHORT_LIST);
    assert_int_equal(c.n_out, 0);
    /* nor does it count for the base */
    const double x[] = {1, 3, 100, 1, 3};
    bool third[] = {false, false, true, false, false};
    const mdr_chart_base with = {.left_out = third};
    c = individuals(x, 5, &with, 0U);
    CHECK_NEAR(c.centre, 2, 1e-12, "D");
    CHECK_NEAR(c.sigma, 2 / mdr_shewhart_of(2).d2, 1e-12, "D: two ranges of 2, none across");
    assert_int_equal(c.n_base, 4);
}

/* Points until the first false alarm, on average over `runs` series. */
static double false_alarm_every(unsigned rules, int runs, int length, uint64_t seed)
{
    double *z = calloc((size_t)length, sizeof *z), sum = 0;
    assert_non_null(z);
    const mdr_arena_mark here = mdr_arena_here(arena);
    for (int r = 0; r < runs; r++) {
        for (int i = 0; i < length; i++) {
            z[i] = normal(&seed);
        }
        const mdr_chart c = individuals(z, length, &UNIT, rules);
        int i = 0;
        while (i < length && c.points[i].rules == 0U) {
            i++;
        }
        sum += i + 1;
        mdr_arena_back(arena, here);
    }
    free(z);
    return sum / runs;
}

static void false_alarms(void **state)
{
    (void)state;
    /* exact values; the width is four standard errors of a run length that is nearly geometric */
    static const struct {
        unsigned rules;
        double every;
        const char *src;
    } rows[] = {
        {MDR_CHART_SHORT_LIST, 91.75, "S: Champ and Woodall 1987, all four"},
        {MDR_CHART_BIT(MDR_CHART_TWO_OF_THREE), 225.44, "M: Champ and Woodall 1987"},
        {MDR_CHART_BIT(MDR_CHART_FOUR_OF_FIVE), 166.05, "M: Champ and Woodall 1987"},
        {MDR_CHART_BIT(MDR_CHART_EIGHT_ONE_SIDE), 152.73, "M: Champ and Woodall 1987"},
    };
    for (size_t i = 0; i < N_OF(rows); i++) {
        const int runs = i == 0 ? 6000 : 2500;
        CHECK_NEAR(false_alarm_every(rows[i].rules, runs, i == 0 ? 1000 : 1800, 7 + i),
                   rows[i].every, 4 * rows[i].every / sqrt(runs), rows[i].src);
    }
}

static void rules_are_told_apart(void **state)
{
    (void)state;
    unsigned short_list = 0;
    for (int r = 0; r < MDR_CHART_RULE_COUNT; r++) {
        const mdr_chart_rule rule = (mdr_chart_rule)r;
        assert_true(strlen(mdr_chart_rule_words(rule)) > 0 && mdr_chart_rule_points(rule) > 0);
        short_list |=
            strcmp(mdr_chart_rule_source(rule), "western-electric") == 0 ? MDR_CHART_BIT(r) : 0U;
        for (int other = 0; other < r; other++) {
            assert_string_not_equal(mdr_chart_rule_id(rule),
                                    mdr_chart_rule_id((mdr_chart_rule)other));
        }
    }
    assert_int_equal(short_list, MDR_CHART_SHORT_LIST);
    assert_int_equal(MDR_CHART_LONG_LIST & MDR_CHART_BIT(MDR_CHART_EIGHT_ONE_SIDE), 0U);
    assert_int_equal(MDR_CHART_LONG_LIST | MDR_CHART_BIT(MDR_CHART_EIGHT_ONE_SIDE),
                     MDR_CHART_BIT(MDR_CHART_RULE_COUNT) - 1U);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(patterns),
        cmocka_unit_test(left_out),
        cmocka_unit_test(false_alarms),
        cmocka_unit_test(rules_are_told_apart),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
