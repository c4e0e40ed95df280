#include "core/quality/mdr_right_first.h"

#include <math.h>
#include <stddef.h>

#include "core/quality/mdr_tail.h"

static const int64_t DAY_MS = 86400000, MIN_MS = 60000, WEEK_DAYS = 7;
static const int64_t MONDAY_DAYS = 3;             /* 1 January 1970 was three days past a Monday */
static const int64_t UTC_MOST_MS = 7258118400000; /* 1 January 2200 */
enum { OFFSET_MOST_MIN = 840 };

static const struct {
    const char *id, *words;
} VERDICTS[MDR_RFT_VERDICT_COUNT] = {
#define X(name, id, words) {id, words},
    MDR_RFT_VERDICTS(X)
#undef X
};

const char *mdr_rft_verdict_id(mdr_rft_verdict v)
{
    return VERDICTS[v].id;
}

const char *mdr_rft_verdict_words(mdr_rft_verdict v)
{
    return VERDICTS[v].words;
}

/* [wilson-1927]: all rates p with |right/lots - p| <= z sqrt(p (1 - p)/lots). */
mdr_rate_range mdr_rate_wilson(int right, int lots, double z)
{
    const double p = (double)right / lots, share = z * z / lots;
    const double centre = (p + 0.5 * share) / (1.0 + share);
    const double half = z / (1.0 + share) * sqrt(p * (1.0 - p) / lots + 0.25 * share / lots);
    /* at either end the two terms are the same number; rounding must not cross it */
    return (mdr_rate_range){right == 0 ? 0.0 : centre - half, right == lots ? 1.0 : centre + half};
}

/* -- groups -- */

static mdr_code refuse(mdr_err *err, mdr_code code, const char *place, double value,
                       const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, code, place, "lots cannot be counted like this");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static mdr_code check_counts(const mdr_rft_count *counts, int n, mdr_err *err)
{
    if (n < 1 || n > MDR_RFT_GROUPS_MAX) {
        return refuse(err, MDR_E_ARG, "n", n, "1 to 5000 groups");
    }
    for (int i = 0; i < n; i++) {
        const mdr_rft_count *c = &counts[i];
        if (c->lots < 1 || c->lots > MDR_RFT_LOTS_MAX || c->right < 0 || c->right > c->lots) {
            const mdr_code rc =
                refuse(err, MDR_E_RANGE, "", c->right, "0 to all lots, 1 to 100000 lots");
            mdr_err_within(err, "counts[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

/*
 * [kleinman-1973] Rates of the groups scatter as a beta distribution worth M lots round the mill's
 * rate p, so that of n lots the variance is p q/n (1 + (n - 1) r), r = 1/(M + 1). The weighted sum of
 * squares over p q then has the mean (k - 1) + r (N - sum n^2/N - (k - 1)).
 */
static void spread_of(mdr_rft *a)
{
    const double pq = a->rate * (1.0 - a->rate);
    double squares = 0.0, sum_n2 = 0.0;
    for (int i = 0; i < a->n; i++) {
        const mdr_rft_group *g = &a->groups[i];
        squares += g->lots * (g->rate - a->rate) * (g->rate - a->rate);
        sum_n2 += (double)g->lots * g->lots;
    }
    const double df = a->n - 1.0;
    const double room = a->lots - sum_n2 / a->lots - df; /* 0: one group, or groups of one lot */
    a->chi_square = pq > 0.0 ? squares / pq : 0.0;
    a->alike = !(a->chi_square > df && room > 0.5);
    if (!a->alike) {
        a->worth_lots = fmax(room / (a->chi_square - df) - 1.0, 0.0);
    }
}

static bool comes_before(const mdr_rft_group *a, const mdr_rft_group *b)
{
    return a->lost_lots > b->lost_lots || (a->lost_lots >= b->lost_lots && a->lots > b->lots);
}

static void rank(mdr_rft *a)
{
    for (int i = 1; i < a->n; i++) {
        const mdr_rft_group g = a->groups[i];
        int k = i;
        for (; k > 0 && comes_before(&g, &a->groups[k - 1]); k--) {
            a->groups[k] = a->groups[k - 1];
        }
        a->groups[k] = g;
    }
    for (int i = 0; i < a->n; i++) {
        const bool equal = i > 0 && a->groups[i].lost_lots >= a->groups[i - 1].lost_lots;
        a->groups[i].rank = equal ? a->groups[i - 1].rank : i + 1;
    }
}

static void judge(const mdr_rft *a, mdr_rft_group *g)
{
    g->own_weight = a->alike ? 0.0 : g->lots / (g->lots + a->worth_lots);
    g->expected_rate = a->rate + g->own_weight * (g->rate - a->rate);
    g->lost_lots = g->lots * (a->rate - g->expected_rate);
    g->verdict = g->range.high < a->rate  ? MDR_RFT_WORSE
                 : g->range.low > a->rate ? MDR_RFT_BETTER
                                          : MDR_RFT_CHANCE;
}

mdr_code mdr_rft_of(const mdr_rft_count *counts, int n, mdr_arena *arena, mdr_rft *out,
                    mdr_err *err)
{
    MDR_TRY(check_counts(counts, n, err));
    mdr_rft a = {.n = n, .groups = MDR_NEW_N(arena, mdr_rft_group, (size_t)n)};
    if (a.groups == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many groups");
    }
    for (int i = 0; i < n; i++) {
        const mdr_rft_count *c = &counts[i];
        a.groups[i] = (mdr_rft_group){.id = c->id,
                                      .lots = c->lots,
                                      .right = c->right,
                                      .rate = (double)c->right / c->lots,
                                      .range = mdr_rate_wilson(c->right, c->lots, MDR_NORMAL_95)};
        a.lots += c->lots;
        a.right += c->right;
    }
    a.rate = (double)a.right / a.lots;
    a.range = mdr_rate_wilson(a.right, a.lots, MDR_NORMAL_95);
    spread_of(&a);
    for (int i = 0; i < n; i++) {
        judge(&a, &a.groups[i]);
    }
    rank(&a);
    *out = a;
    return MDR_OK;
}

/* -- weeks -- */

/* Weeks since the Monday before 1970 at the mill's clock. A day is added before the division and
 * taken off behind it: a clock behind UTC has 1969 in its first hours. */
static int64_t week_of(int64_t utc_ms, int offset_min)
{
    return ((utc_ms + offset_min * MIN_MS) + (MONDAY_DAYS + WEEK_DAYS) * DAY_MS) /
               (WEEK_DAYS * DAY_MS) -
           1;
}

static mdr_code check_lots(const mdr_rft_lot *lots, int n, int offset_min, mdr_err *err)
{
    if (n < 1 || n > MDR_RFT_LOTS_MAX) {
        return refuse(err, MDR_E_ARG, "n", n, "1 to 100000 lots");
    }
    if (offset_min < -OFFSET_MOST_MIN || offset_min > OFFSET_MOST_MIN) {
        return refuse(err, MDR_E_ARG, "offset_min", offset_min, "-840 to 840");
    }
    for (int i = 0; i < n; i++) {
        if (lots[i].ended_utc_ms < 0 || lots[i].ended_utc_ms >= UTC_MOST_MS) {
            const mdr_code rc = refuse(err, MDR_E_RANGE, "", (double)lots[i].ended_utc_ms,
                                       "milliseconds of the years 1970 to 2199");
            mdr_err_within(err, "lots[%d].ended_utc_ms", i);
            return rc;
        }
    }
    return MDR_OK;
}

mdr_code mdr_rft_by_week(const mdr_rft_lot *lots, int n, int offset_min, mdr_arena *arena,
                         mdr_rft_weeks *out, mdr_err *err)
{
    MDR_TRY(check_lots(lots, n, offset_min, err));
    int64_t first = week_of(lots[0].ended_utc_ms, offset_min), last = first;
    for (int i = 1; i < n; i++) {
        const int64_t week = week_of(lots[i].ended_utc_ms, offset_min);
        first = week < first ? week : first;
        last = week > last ? week : last;
    }
    const int64_t weeks = last - first + 1;
    if (weeks > MDR_CHART_POINTS_MAX) {
        const mdr_code rc = refuse(err, MDR_E_ARG, "lots", (double)weeks, "at most 5000 weeks");
        mdr_err_remedy(err, "look for a lot whose date is wrong");
        return rc;
    }
    mdr_rft_weeks w = {.n = (int)weeks,
                       .first_utc_ms =
                           (first * WEEK_DAYS - MONDAY_DAYS) * DAY_MS - offset_min * MIN_MS,
                       .parts = MDR_NEW_N(arena, mdr_chart_part, (size_t)weeks)};
    if (w.parts == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many weeks");
    }
    for (int i = 0; i < n; i++) {
        mdr_chart_part *p = &w.parts[week_of(lots[i].ended_utc_ms, offset_min) - first];
        p->of++;
        p->hits += !lots[i].right;
    }
    *out = w;
    return MDR_OK;
}
