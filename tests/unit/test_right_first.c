#include "t.h"

#include <string.h>

#include "core/quality/mdr_right_first.h"
#include "core/quality/mdr_tail.h"
#include "dye_kit.h"

static mdr_arena *arena;

static int open_arena(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)64 << 20);
    return arena == NULL;
}

static int close_arena(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_rft rft(const mdr_rft_count *counts, int n)
{
    mdr_rft a;
    mdr_err err = {0};
    if (mdr_rft_of(counts, n, arena, &a, &err) != MDR_OK) {
        fail_msg("%s at %s", err.msg, err.place);
    }
    return a;
}

static const mdr_rft_group *group(const mdr_rft *a, const char *id)
{
    for (int i = 0; i < a->n; i++) {
        if (strcmp(a->groups[i].id, id) == 0) {
            return &a->groups[i];
        }
    }
    fail_msg("no group %s", id);
    return NULL;
}

static void wilson(void **state)
{
    (void)state;
    static const struct {
        int right, lots;
        double low, high;
    } rows[] = {{81, 263, 0.2553, 0.3662},
                {15, 148, 0.0624, 0.1605},
                {0, 20, 0, 0.1611},
                {1, 29, 0.0061, 0.1718}};
    const char *src = "M: Newcombe, Stat. Med. 17 (1998) 857-872, table I, method 3";
    for (size_t i = 0; i < N_OF(rows); i++) {
        const mdr_rate_range w = mdr_rate_wilson(rows[i].right, rows[i].lots, MDR_NORMAL_95);
        CHECK_NEAR(w.low, rows[i].low, 5.1e-5, src);
        CHECK_NEAR(w.high, rows[i].high, 5.1e-5, src);
        const mdr_rate_range m =
            mdr_rate_wilson(rows[i].lots - rows[i].right, rows[i].lots, MDR_NORMAL_95);
        CHECK_NEAR(m.low, 1 - w.high, 1e-14, "D: mirror image");
    }
    for (int n = 1; n < 400; n++) { /* where it is p itself that lies on the border */
        const mdr_rate_range w = mdr_rate_wilson(n / 3 + 1, n + 1, 1.5);
        const double p = (n / 3 + 1.0) / (n + 1.0);
        CHECK_NEAR((p - w.low) * (p - w.low), 2.25 * w.low * (1 - w.low) / (n + 1), 1e-12,
                   "D: definition");
        const mdr_rate_range none = mdr_rate_wilson(0, n, 1.5), all = mdr_rate_wilson(n, n, 1.5);
        assert_true(none.low >= 0 && none.low <= 0 && all.high <= 1 && all.high >= 1);
        assert_true(all.low < 1 && none.high > 0);
    }
}

/* Eighteen batters after 45 turns each, and how they did in the rest of the season. */
static const int HITS[18] = {18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7};
static const double LATER[18] = {.346, .298, .276, .222, .273, .270, .263, .210, .269,
                                 .230, .264, .256, .303, .264, .226, .285, .316, .200};

static void batters(void **state)
{
    (void)state;
    static const char *const names[18] = {"a", "b", "c", "d", "e", "f", "g", "h", "i",
                                          "j", "k", "l", "m", "n", "o", "p", "q", "r"};
    mdr_rft_count counts[18];
    for (int i = 0; i < 18; i++) {
        counts[i] = (mdr_rft_count){names[i], 45, HITS[i]};
    }
    const mdr_rft a = rft(counts, 18);
    const char *src = "S: Efron and Morris, Scientific American 236 (1977) no. 5, 119-127";
    CHECK_NEAR(a.rate, 0.265, 5e-4, src);
    /* their shrinking factor is 1 - (k - 3)/chi^2 = 0.212 */
    CHECK_NEAR(1 - 15 / a.chi_square, 0.212, 1e-3, src);
    double raw = 0, drawn = 0;
    for (int i = 0; i < 18; i++) {
        const mdr_rft_group *g = group(&a, names[i]);
        raw += (g->rate - LATER[i]) * (g->rate - LATER[i]);
        drawn += (g->expected_rate - LATER[i]) * (g->expected_rate - LATER[i]);
    }
    CHECK_NEAR(raw, 0.077, 2e-3, "M: 0.077 in the same paper; averages of three digits");
    assert_true(drawn < 0.025); /* theirs 0.022 */
    CHECK_NEAR(group(&a, "a")->own_weight, 45 / (45 + a.worth_lots), 1e-12, "D");
}

/* Two unlucky lots against a bad habit. */
static void few_do_not_lead(void **state)
{
    (void)state;
    const mdr_rft_count counts[] = {{"navy", 2, 0},    {"black", 40, 16}, {"white", 60, 57},
                                    {"beige", 50, 46}, {"red", 30, 26},   {"once", 1, 1}};
    const mdr_rft a = rft(counts, 6);
    assert_false(a.alike);
    assert_string_equal(a.groups[0].id, "black");
    assert_int_equal(a.groups[0].verdict, MDR_RFT_WORSE);
    assert_int_equal(a.groups[0].rank, 1);
    const mdr_rft_group *navy = group(&a, "navy"), *once = group(&a, "once");
    assert_int_equal(navy->rank, 2);
    CHECK_NEAR(navy->lost_lots, 2 * (a.rate - navy->expected_rate), 1e-12, "D");
    assert_true(a.groups[5].lost_lots < 0 && a.groups[5].rank == 6);
    CHECK_NEAR(navy->rate, 0, 0, "D");
    assert_true(navy->expected_rate > 0.2 && navy->own_weight < 0.7);
    /* 0 of 2 can still be 66 % (Wilson), 1 of 1 as little as 21 % */
    assert_int_equal(navy->verdict, MDR_RFT_WORSE);
    assert_int_equal(once->verdict, MDR_RFT_CHANCE);
    assert_int_equal(group(&a, "white")->verdict, MDR_RFT_BETTER);
    assert_true(once->expected_rate < group(&a, "white")->expected_rate);
    for (int i = 0; i < 6; i++) { /* between its own rate and the mill's */
        const mdr_rft_group *g = &a.groups[i];
        assert_true((g->expected_rate - g->rate) * (g->expected_rate - a.rate) <= 0);
    }
    assert_int_equal(a.lots, 183);
    assert_int_equal(a.right, 146);
}

static void by_moments(void **state)
{
    (void)state;
    /* by hand: p = 0.5, squares 10 x 0.09 x 2 = 1.8, over 0.25 = 7.2; room 20 - 10 - 1 = 9 */
    const mdr_rft_count two[] = {{"a", 10, 8}, {"b", 10, 2}};
    const mdr_rft a = rft(two, 2);
    CHECK_NEAR(a.chi_square, 7.2, 1e-12, "D");
    CHECK_NEAR(a.worth_lots, 9 / 6.2 - 1, 1e-12, "D");
    assert_string_equal(a.groups[0].id, "b");
    /* as different as can be: a group's own lots are everything */
    const mdr_rft_count sure[] = {{"a", 10, 10}, {"b", 10, 0}};
    const mdr_rft s = rft(sure, 2);
    CHECK_NEAR(s.worth_lots, 0, 1e-12, "D");
    CHECK_NEAR(s.groups[0].expected_rate, 0, 1e-12, "D");
}

static void alike(void **state)
{
    (void)state;
    const mdr_rft_count same[] = {{"a", 10, 8}, {"b", 20, 16}, {"c", 5, 4}};
    mdr_rft a = rft(same, 3);
    assert_true(a.alike);
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(a.groups[i].expected_rate, 0.8, 1e-12, "D");
        assert_int_equal(a.groups[i].rank, 1);
    }
    assert_string_equal(a.groups[0].id, "b"); /* the most lots first among equals */
    const mdr_rft_count ones[] = {{"a", 1, 1}, {"b", 1, 0}, {"c", 1, 1}};
    assert_true(rft(ones, 3).alike); /* groups of one lot tell nothing of groups */
    const mdr_rft_count all[] = {{"a", 4, 4}, {"b", 9, 9}};
    a = rft(all, 2);
    assert_true(a.alike);
    CHECK_NEAR(a.chi_square, 0, 0, "contract");
    const mdr_rft_count single[] = {{"a", 4, 3}};
    a = rft(single, 1);
    assert_true(a.alike);
    assert_int_equal(a.groups[0].verdict, MDR_RFT_CHANCE);
}

/* Mills drawn at random, groups worth 12 lots: the worth is found again, and the drawn rates are
 * nearer to the truth than the groups' own. */
static void found_again(void **state)
{
    (void)state;
    uint64_t seed = 11;
    double r_sum = 0, raw = 0, drawn = 0;
    enum { MILLS = 300, GROUPS = 40 };
    for (int m = 0; m < MILLS; m++) {
        mdr_rft_count counts[GROUPS];
        double truth[GROUPS];
        for (int g = 0; g < GROUPS; g++) {
            /* beta(9, 3) as the third smallest of eleven turned round */
            double u[11];
            for (int i = 0; i < 11; i++) {
                u[i] = kit_uniform(&seed);
                for (int k = i; k > 0 && u[k] < u[k - 1]; k--) {
                    const double keep = u[k];
                    u[k] = u[k - 1];
                    u[k - 1] = keep;
                }
            }
            truth[g] = u[8];
            const int lots = 2 + g;
            int right = 0;
            for (int i = 0; i < lots; i++) {
                right += kit_uniform(&seed) < truth[g];
            }
            counts[g] = (mdr_rft_count){(const char *)&truth[g], lots, right};
        }
        const mdr_arena_mark here = mdr_arena_here(arena);
        const mdr_rft a = rft(counts, GROUPS);
        r_sum += a.alike ? 0 : 1 / (a.worth_lots + 1);
        for (int i = 0; i < GROUPS; i++) {
            const double *want = (const double *)(const void *)a.groups[i].id;
            raw += (a.groups[i].rate - *want) * (a.groups[i].rate - *want);
            drawn += (a.groups[i].expected_rate - *want) * (a.groups[i].expected_rate - *want);
        }
        mdr_arena_back(arena, here);
    }
    CHECK_NEAR(r_sum / MILLS, 1.0 / 13, 0.004, "D: r = 1/(12 + 1); five standard errors");
    assert_true(drawn < 0.75 * raw);
}

static void weeks(void **state)
{
    (void)state;
    const int64_t hour = 3600000, day = 24 * hour;
    /* Thursday 1 January 1970; Monday the 5th */
    const mdr_rft_lot lots[] = {{4 * day, false},  {0, true},        {4 * day - 1, false},
                                {25 * day, false}, {24 * day, true}, {4 * day + hour, true}};
    mdr_rft_weeks w;
    mdr_err err = {0};
    assert_int_equal(mdr_rft_by_week(lots, 6, 0, arena, &w, &err), MDR_OK);
    assert_int_equal(w.n, 5);
    assert_int_equal(w.first_utc_ms, -3 * day);
    const int want[5][2] = {{1, 2}, {1, 2}, {0, 0}, {0, 1}, {1, 1}};
    for (int i = 0; i < 5; i++) {
        assert_int_equal(w.parts[i].hits, want[i][0]);
        assert_int_equal(w.parts[i].of, want[i][1]);
    }
    /* two hours ahead, Sunday's last hour is Monday already */
    assert_int_equal(mdr_rft_by_week(lots, 6, 120, arena, &w, &err), MDR_OK);
    assert_int_equal(w.parts[0].of, 1);
    assert_int_equal(w.parts[1].of, 3);
    assert_int_equal(w.first_utc_ms, -3 * day - 2 * hour);
    assert_int_equal(mdr_rft_by_week(lots, 6, -840, arena, &w, &err), MDR_OK);
    assert_int_equal(w.parts[0].of, 4);
    /* a Monday of this century: 2 November 2026 */
    const mdr_rft_lot now[] = {{1793577600000, true}, {1793577600000 - 1, false}};
    assert_int_equal(mdr_rft_by_week(now, 2, 0, arena, &w, &err), MDR_OK);
    assert_int_equal(w.n, 2);
    assert_int_equal(w.parts[0].hits, 1);
    assert_int_equal(w.first_utc_ms + 7 * day, 1793577600000);
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
    mdr_rft a = {.n = -7};
    mdr_rft_weeks w = {.n = -7};
    const mdr_rft_count counts[] = {{"a", 3, 3}, {"b", 3, 4}, {"c", 0, 0}};
    REFUSED(mdr_rft_of(counts, 0, arena, &a, err), MDR_E_ARG, "n");
    REFUSED(mdr_rft_of(counts, 2, arena, &a, err), MDR_E_RANGE, "counts[1]");
    REFUSED(mdr_rft_of(counts + 2, 1, arena, &a, err), MDR_E_RANGE, "counts[0]");
    const mdr_rft_lot lots[] = {{0, true}, {-1, true}}, far[] = {{0, true}, {7258118399999, true}};
    REFUSED(mdr_rft_by_week(lots, 2, 0, arena, &w, err), MDR_E_RANGE, "lots[1].ended_utc_ms");
    REFUSED(mdr_rft_by_week(lots, 0, 0, arena, &w, err), MDR_E_ARG, "n");
    REFUSED(mdr_rft_by_week(lots, 1, 841, arena, &w, err), MDR_E_ARG, "offset_min");
    REFUSED(mdr_rft_by_week(far, 2, 0, arena, &w, err), MDR_E_ARG, "lots");
    mdr_arena *small = mdr_arena_new(32);
    REFUSED(mdr_rft_of(counts, 1, small, &a, err), MDR_E_NOMEM, "");
    const mdr_rft_lot years[] = {{0, true}, {86400000000, true}};
    REFUSED(mdr_rft_by_week(years, 2, 0, small, &w, err), MDR_E_NOMEM, "");
    mdr_arena_free(small);
    assert_true(a.n == -7 && w.n == -7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wilson),     cmocka_unit_test(batters),  cmocka_unit_test(few_do_not_lead),
        cmocka_unit_test(by_moments), cmocka_unit_test(alike),    cmocka_unit_test(found_again),
        cmocka_unit_test(weeks),      cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
