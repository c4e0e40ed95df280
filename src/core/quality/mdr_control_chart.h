/*
 * mdr_control_chart.h - control charts of what a mill's lots show: centre and limits from a base
 * period, and which points are out by which standard rule.
 *
 * Layer: core/quality (pure). Methods: docs/methods/quality-charts.md
 *
 * Four charts: single values, exponentially weighted means, the part of the
 * lots of a week, counts. Limits stand three standard deviations from the centre, those of values
 * estimated from moving ranges, so that a slow drift in the base does not widen them. A chart of
 * lots that are few (`thin`) is judged by exact probabilities: one bad lot of one is no signal.
 *
 * Sources (keys of docs/sources.md)
 *   [nist-handbook]     charts, limits, worked examples; section 6.3
 *   [western-electric]  rules on zones and on eight points
 *   [nelson-1984]       rules of nine, six, fourteen, fifteen and eight points
 *   [champ-woodall]     false alarms of the zone rules, in the test
 *   [definition]        exact probabilities in place of the normal ones
 *   [common-practice]   twenty points of a base period
 *
 * Symbols: z deviate from the centre in standard deviations; weight of the newest value in (0, 1].
 */
#ifndef MDR_CONTROL_CHART_H
#define MDR_CONTROL_CHART_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

/* X(enumerator, id, words, points it looks at, source). The way is that from the centre to a limit. */
#define MDR_CHART_RULES(X)                                                                        \
    X(MDR_CHART_BEYOND, "beyond", "one point beyond a limit", 1, "western-electric")              \
    X(MDR_CHART_TWO_OF_THREE, "two_of_three", "two of three beyond 2/3 of the way, same side", 3, \
      "western-electric")                                                                         \
    X(MDR_CHART_FOUR_OF_FIVE, "four_of_five", "four of five beyond 1/3 of the way, same side", 5, \
      "western-electric")                                                                         \
    X(MDR_CHART_EIGHT_ONE_SIDE, "eight_one_side", "eight in a row on one side of the centre", 8,  \
      "western-electric")                                                                         \
    X(MDR_CHART_NINE_ONE_SIDE, "nine_one_side", "nine in a row on one side of the centre", 9,     \
      "nelson-1984")                                                                              \
    X(MDR_CHART_SIX_TREND, "six_trend", "six in a row, each above (below) the last", 6,           \
      "nelson-1984")                                                                              \
    X(MDR_CHART_FOURTEEN_ZIGZAG, "fourteen_zigzag", "fourteen in a row, up and down in turn", 14, \
      "nelson-1984")                                                                              \
    X(MDR_CHART_FIFTEEN_CLOSE, "fifteen_close", "fifteen in a row within 1/3 of the way", 15,     \
      "nelson-1984")                                                                              \
    X(MDR_CHART_EIGHT_APART, "eight_apart", "eight in a row, none within 1/3 of the way", 8,      \
      "nelson-1984")

#define MDR_CHART_RULE_MEMBER(name, ...) name,
typedef enum mdr_chart_rule {
    MDR_CHART_RULES(MDR_CHART_RULE_MEMBER) MDR_CHART_RULE_COUNT
} mdr_chart_rule;
#undef MDR_CHART_RULE_MEMBER

const char *mdr_chart_rule_id(mdr_chart_rule r);
const char *mdr_chart_rule_words(mdr_chart_rule r);
int mdr_chart_rule_points(mdr_chart_rule r);
const char *mdr_chart_rule_source(mdr_chart_rule r);

/* Rules that are asked for, a bit each. */
#define MDR_CHART_BIT(rule) (1U << (unsigned)(rule))
/* The first four: a false alarm every 92 points. */
#define MDR_CHART_SHORT_LIST 0x00FU
/* The eight of one list, nine points in place of eight. */
#define MDR_CHART_LONG_LIST 0x1F7U

/* X(enumerator, id, words) */
#define MDR_CHART_KINDS(X)                                   \
    X(MDR_CHART_INDIVIDUALS, "individuals", "single values") \
    X(MDR_CHART_EWMA, "ewma", "exponentially weighted mean") \
    X(MDR_CHART_FRACTION, "fraction", "part of the lots")    \
    X(MDR_CHART_COUNTS, "counts", "counts")

#define MDR_CHART_KIND_MEMBER(name, ...) name,
typedef enum mdr_chart_kind {
    MDR_CHART_KINDS(MDR_CHART_KIND_MEMBER) MDR_CHART_KIND_COUNT
} mdr_chart_kind;
#undef MDR_CHART_KIND_MEMBER

const char *mdr_chart_kind_id(mdr_chart_kind k);
const char *mdr_chart_kind_words(mdr_chart_kind k);

/* X(enumerator, id, words) */
#define MDR_CHART_STATES(X)                                                \
    X(MDR_CHART_STEADY, "steady", "no point is out: no cause to look for") \
    X(MDR_CHART_OUT, "out", "points are out: look for their cause")        \
    X(MDR_CHART_NO_SPREAD, "no_spread", "the base period does not vary: no limits can be drawn")

#define MDR_CHART_STATE_MEMBER(name, ...) name,
typedef enum mdr_chart_state {
    MDR_CHART_STATES(MDR_CHART_STATE_MEMBER) MDR_CHART_STATE_COUNT
} mdr_chart_state;
#undef MDR_CHART_STATE_MEMBER

const char *mdr_chart_state_id(mdr_chart_state s);
const char *mdr_chart_state_words(mdr_chart_state s);

enum {
    MDR_CHART_POINTS_MAX = 5000,
    MDR_CHART_SPAN_MIN = 2,
    MDR_CHART_SPAN_MAX = 10,
    MDR_CHART_BASE_ENOUGH = 20 /* common practice: fewer give limits for the time being */
};

/* Constants of groups of n normal values with standard deviation 1. */
typedef struct mdr_shewhart {
    double d2, d3; /* mean and standard deviation of the range */
    double c4;     /* mean of the standard deviation */
    double a2, a3, range_low, range_high, sd_low, sd_high; /* factors of the limits */
} mdr_shewhart;

/* n MDR_CHART_SPAN_MIN .. _MAX; any other stops the program. */
mdr_shewhart mdr_shewhart_of(int n);

/* What the centre and the limits come from. */
typedef struct mdr_chart_base {
    int n_points;         /* the first so many; 0: all */
    const bool *left_out; /* by point, or NULL: points with a known cause. They do not count for the
                             base, no rule looks at them, and no run or range goes across them. */
    bool given;           /* centre and sigma are given; then no base is needed */
    double centre, sigma; /* sigma: of the fraction and counts unused, it follows from the centre */
    int span;             /* values a moving range is taken of; 0: 2 */
} mdr_chart_base;

typedef struct mdr_chart_point {
    double value, lower, upper; /* limits where there are any */
    double z;                   /* deviate the rules see */
    unsigned rules;             /* that this point completes, a bit each */
    int of;                     /* lots that the part is one of; 0 on the other charts */
    bool has_lower, has_upper;
    bool has_value; /* false: the first moving ranges have none */
    bool in_base, left_out;
    bool thin; /* too few for the normal limits: z is that of the exact probability */
} mdr_chart_point;

typedef struct mdr_chart {
    mdr_chart_kind kind;
    mdr_chart_state state;
    mdr_chart_point *points;
    double centre, sigma; /* sigma of one value; of the fraction that of one lot */
    int n, n_base, n_out; /* points; those the base rests on; those that complete a rule */
    unsigned rules;       /* that were asked for and suit the chart */
    bool provisional;     /* n_base below MDR_CHART_BASE_ENOUGH, and nothing was given */
} mdr_chart;

/*
 * Single values.
 *   rules   bits of the rules to apply; MDR_CHART_BEYOND always
 *   errors  MDR_E_ARG    n not 1 .. MDR_CHART_POINTS_MAX (place "n"), base.n_points (more than n, or
 *                        fewer than two values left), base.span
 *           MDR_E_RANGE  a value, centre or sigma is not finite, |value| > 1e12, sigma <= 0
 *                        (places "values[i]", "base.centre", "base.sigma")
 *           MDR_E_NOMEM
 *   cost    O(n)
 */
mdr_code mdr_chart_individuals(const double *values, int n, const mdr_chart_base *base,
                               unsigned rules, mdr_arena *arena, mdr_chart *out,
                               mdr_err *err) MDR_MUST_CHECK;
/* The weighted mean that begins at the centre, with the exact variance of every point; a point left
 * out moves nothing. Only MDR_CHART_BEYOND applies. Errors as above; "weight" not in (0, 1]. */
mdr_code mdr_chart_ewma(const double *values, int n, const mdr_chart_base *base, double weight,
                        mdr_arena *arena, mdr_chart *out, mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_chart_part {
    int hits, of;
} mdr_chart_part;

/*
 * Parts hits/of, `of` varying. Of the rules those on zones and sides apply (the first four of the
 * list and the nine). A week without lots (of = 0) is as if left out.
 *   errors  as above; MDR_E_RANGE place "parts[i]": not 0 <= hits <= of <= 100000; base.centre not
 *           in (0, 1)
 */
mdr_code mdr_chart_fraction(const mdr_chart_part *parts, int n, const mdr_chart_base *base,
                            unsigned rules, mdr_arena *arena, mdr_chart *out,
                            mdr_err *err) MDR_MUST_CHECK;
/* Counts per like unit; place "counts[i]": 0 .. 100000. Rules as of the fraction. */
mdr_code mdr_chart_counts(const int *counts, int n, const mdr_chart_base *base, unsigned rules,
                          mdr_arena *arena, mdr_chart *out, mdr_err *err) MDR_MUST_CHECK;

#endif
