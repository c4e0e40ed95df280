/*
 * mdr_right_first.h - right first time: which part of the lots came out without an addition or a
 * second dyeing, by shade, machine, dye set, article or month, and which group to look at first.
 *
 * Layer: core/quality (pure). Methods: docs/methods/right-first-time.md
 *
 * A rate of few lots is hardly known. Each group gets the interval its lots allow, and a rate drawn
 * towards that of the mill by as many lots as the groups' differences are worth. Groups are ranked
 * by the lots they lose against the mill's rate by the latter: two unlucky lots do not top the list.
 *
 * Sources (keys of docs/sources.md)
 *   [wilson-1927]       interval of a proportion
 *   [kleinman-1973]     beta-binomial by moments
 *   [definition]        weeks, verdicts
 *
 * Symbols: rates are parts of 1, right lots of all lots.
 */
#ifndef MDR_RIGHT_FIRST_H
#define MDR_RIGHT_FIRST_H

#include <stdbool.h>
#include <stdint.h>

#include "core/quality/mdr_control_chart.h"

enum { MDR_RFT_GROUPS_MAX = 5000, MDR_RFT_LOTS_MAX = 100000 };

typedef struct mdr_rate_range {
    double low, high;
} mdr_rate_range;

/* Interval of a proportion, 0 <= right <= lots, lots >= 1; z the deviate, MDR_NORMAL_95 for 95 %. */
mdr_rate_range mdr_rate_wilson(int right, int lots, double z);

typedef struct mdr_rft_count {
    const char *id; /* handed on */
    int lots, right;
} mdr_rft_count;

/* X(enumerator, id, words) */
#define MDR_RFT_VERDICTS(X)                                                       \
    X(MDR_RFT_CHANCE, "chance", "no different from the mill by more than chance") \
    X(MDR_RFT_WORSE, "worse", "worse than the mill by more than chance")          \
    X(MDR_RFT_BETTER, "better", "better than the mill by more than chance")

#define MDR_RFT_MEMBER(name, ...) name,
typedef enum mdr_rft_verdict {
    MDR_RFT_VERDICTS(MDR_RFT_MEMBER) MDR_RFT_VERDICT_COUNT
} mdr_rft_verdict;
#undef MDR_RFT_MEMBER

const char *mdr_rft_verdict_id(mdr_rft_verdict v);
const char *mdr_rft_verdict_words(mdr_rft_verdict v);

typedef struct mdr_rft_group {
    const char *id;
    double rate;           /* of its own lots */
    mdr_rate_range range;  /* 95 % of them */
    double expected_rate;  /* drawn to the mill's: what its next lot can be expected to do */
    double own_weight;     /* of its own lots in that, 0 .. 1 */
    double lost_lots;      /* of so many, that the mill's rate would have brought right; below 0:
                              it did better */
    int lots, right, rank; /* rank 1 is the worst; equals share it */
    mdr_rft_verdict verdict;
} mdr_rft_group;

typedef struct mdr_rft {
    mdr_rft_group *groups; /* by lost_lots, more lots first among equals */
    double rate;           /* of all lots */
    mdr_rate_range range;
    double chi_square; /* of the groups' differences, n - 1 degrees of freedom; 0 when all lots
                          came out alike */
    double worth_lots; /* lots that the mill's rate is worth against a group's own; 0 when alike */
    int n, lots, right;
    bool alike; /* the groups differ by no more than chance: every expected_rate is the mill's */
} mdr_rft;

/*
 *   errors  MDR_E_ARG    n not 1 .. MDR_RFT_GROUPS_MAX (place "n")
 *           MDR_E_RANGE  place "counts[i]": not 0 <= right <= lots, lots 1 .. MDR_RFT_LOTS_MAX
 *           MDR_E_NOMEM
 *   cost    O(n^2) at worst, O(n) for counts already in order
 */
mdr_code mdr_rft_of(const mdr_rft_count *counts, int n, mdr_arena *arena, mdr_rft *out,
                    mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_rft_lot {
    int64_t ended_utc_ms;
    bool right;
} mdr_rft_lot;

/* Lots that went wrong by week, Monday to Sunday, ready for mdr_chart_fraction. */
typedef struct mdr_rft_weeks {
    mdr_chart_part *parts; /* weeks without lots too */
    int64_t first_utc_ms;  /* Monday 00:00 of the first week, at the mill's clock, in UTC */
    int n;
} mdr_rft_weeks;

/*
 *   lots        in any order
 *   offset_min  the mill's clock ahead of UTC, -840 .. 840; one offset for all lots
 *   errors      MDR_E_ARG    n not 1 .. MDR_RFT_LOTS_MAX (place "n"), offset_min
 *               MDR_E_RANGE  place "lots[i].ended_utc_ms": not of the years 1970 to 2199
 *               MDR_E_ARG    place "lots": more than MDR_CHART_POINTS_MAX weeks from first to last
 *               MDR_E_NOMEM
 */
mdr_code mdr_rft_by_week(const mdr_rft_lot *lots, int n, int offset_min, mdr_arena *arena,
                         mdr_rft_weeks *out, mdr_err *err) MDR_MUST_CHECK;

#endif
