#include "core/finish/mdr_settle.h"

#include <stddef.h>

#include "core/finish/mdr_bound.h"

/* a setting that misses its limit by rounding only is within it */
static const double HAIR = 1e-13;

static mdr_line line_of(const mdr_pass_kind *kinds, int n, double width_cm)
{
    mdr_line line = {.n = n};
    for (int i = 0; i < n; i++) {
        line.passes[i] = mdr_pass_with_usual(kinds[i], width_cm);
    }
    return line;
}

mdr_line mdr_line_open(double width_cm)
{
    static const mdr_pass_kind KINDS[] = {MDR_PASS_DEWATER, MDR_PASS_PAD, MDR_PASS_STENTER,
                                          MDR_PASS_COMPACT};
    return line_of(KINDS, (int)(sizeof KINDS / sizeof KINDS[0]), width_cm);
}

mdr_line mdr_line_tubular(double width_cm)
{
    static const mdr_pass_kind KINDS[] = {MDR_PASS_BALLOON, MDR_PASS_PAD, MDR_PASS_SPREAD,
                                          MDR_PASS_RELAX_DRY, MDR_PASS_TUBE_COMPACT};
    return line_of(KINDS, (int)(sizeof KINDS / sizeof KINDS[0]), width_cm);
}

mdr_line mdr_line_rest(const mdr_line *line, int done)
{
    mdr_line rest = {.n = line->n - done};
    for (int i = 0; i < rest.n; i++) {
        rest.passes[i] = line->passes[done + i];
    }
    return rest;
}

static mdr_code check_order(const char *field, double low, double high, mdr_err *err)
{
    if (low <= high) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, field, "the least is above the most");
    mdr_err_value(err, "%g", low);
    mdr_err_allowed(err, "at most %g", high);
    mdr_err_remedy(err, "swap the two limits");
    return rc;
}

/* The fields that will be filled in need not be in order yet. */
static mdr_code check_line(const mdr_line *line, const mdr_line_limits *l, mdr_err *err)
{
    for (int i = 0; i < line->n; i++) {
        mdr_pass pass = line->passes[i];
        if (mdr_pass_grips(pass.kind)) {
            pass.width_cm = l->width_min_cm;
        }
        const mdr_code rc = mdr_pass_check(&pass, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "passes[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_goal(const mdr_web *start, const mdr_line *line, const mdr_goal *goal,
                           const mdr_line_limits *l, mdr_err *err)
{
    MDR_TRY(mdr_web_check(start, err));
    const mdr_bound all[] = {
        {"n", line->n, 1, MDR_LINE_MAX},
        {"relaxed.courses_per_cm", goal->relaxed.courses_per_cm, 0.5, 100.0},
        {"relaxed.wales_per_cm", goal->relaxed.wales_per_cm, 0.5, 100.0},
        {"residual.length_fraction", goal->residual.length_fraction, -0.3, 0.6},
        {"residual.width_fraction", goal->residual.width_fraction, -0.3, 0.6},
        {"limits.width_min_cm", l->width_min_cm, 1.0, 1000.0},
        {"limits.width_max_cm", l->width_max_cm, 1.0, 1000.0},
        {"limits.overfeed_min_fraction", l->overfeed_min_fraction, -0.5, 1.0},
        {"limits.overfeed_max_fraction", l->overfeed_max_fraction, -0.5, 1.0},
        {"limits.compact_min_fraction", l->compact_min_fraction, -0.5, 1.0},
        {"limits.compact_max_fraction", l->compact_max_fraction, -0.5, 1.0},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]),
                            "the line cannot be set with this", err));
    MDR_TRY(check_order("limits.width_min_cm", l->width_min_cm, l->width_max_cm, err));
    MDR_TRY(check_order("limits.overfeed_min_fraction", l->overfeed_min_fraction,
                        l->overfeed_max_fraction, err));
    MDR_TRY(check_order("limits.compact_min_fraction", l->compact_min_fraction,
                        l->compact_max_fraction, err));
    const mdr_bound share = {"compact_fraction", goal->compact_fraction, l->compact_min_fraction,
                             l->compact_max_fraction};
    MDR_TRY(
        mdr_bound_check(&share, 1, "the compactor is asked for more or less than it can do", err));
    return check_line(line, l, err);
}

/* Index of the last pass of this sort, or -1. */
static int last_of(const mdr_line *line, bool (*sort)(mdr_pass_kind))
{
    int found = -1;
    for (int i = 0; i < line->n; i++) {
        if (sort(line->passes[i].kind)) {
            found = i;
        }
    }
    return found;
}

/* Puts the width on the gripping pass; what later passes change comes off beforehand. */
static mdr_miss settle_width(mdr_line *line, int grip, double finished_cm, const mdr_line_limits *l)
{
    if (grip < 0) {
        return (mdr_miss){.limit = MDR_LIMIT_NONE}; /* judged by what comes out */
    }
    double change = 1.0;
    for (int i = grip + 1; i < line->n; i++) {
        change *= 1.0 + line->passes[i].width_change_fraction;
    }
    const double wanted_cm = finished_cm / change;
    mdr_miss miss = {.limit = MDR_LIMIT_NONE};
    double set_cm = wanted_cm;
    if (wanted_cm > l->width_max_cm * (1.0 + HAIR)) {
        set_cm = l->width_max_cm;
        miss = (mdr_miss){MDR_LIMIT_WIDTH_MAX, wanted_cm, set_cm, 0.0};
    } else if (wanted_cm < l->width_min_cm * (1.0 - HAIR)) {
        set_cm = l->width_min_cm;
        miss = (mdr_miss){MDR_LIMIT_WIDTH_MIN, wanted_cm, set_cm, 0.0};
    }
    line->passes[grip].width_cm = set_cm;
    return miss;
}

typedef struct overfeed {
    double low, high;
    mdr_line_limit at_low, at_high;
} overfeed;

/* The setting, or the limit nearest to it. */
static mdr_miss within(double wanted, overfeed of, double *set)
{
    *set = wanted;
    if (wanted > of.high + HAIR) {
        *set = of.high;
        return (mdr_miss){of.at_high, wanted, of.high, 0.0};
    }
    if (wanted < of.low - HAIR) {
        *set = of.low;
        return (mdr_miss){of.at_low, wanted, of.low, 0.0};
    }
    return (mdr_miss){.limit = MDR_LIMIT_NONE};
}

/* `times`: how many times as many courses per cm the two overfeeds have to make together. */
static mdr_miss settle_length(mdr_line *line, int grip, int compactor, double times,
                              const mdr_goal *goal, const mdr_line_limits *l)
{
    const overfeed gripped = {l->overfeed_min_fraction, l->overfeed_max_fraction,
                              MDR_LIMIT_OVERFEED_MIN, MDR_LIMIT_OVERFEED_MAX};
    const overfeed compacted = {l->compact_min_fraction, l->compact_max_fraction,
                                MDR_LIMIT_COMPACT_MIN, MDR_LIMIT_COMPACT_MAX};
    mdr_miss miss = {.limit = MDR_LIMIT_NONE};
    if (grip >= 0) {
        const double share = compactor >= 0 ? goal->compact_fraction : 0.0;
        miss = within(times / (1.0 + share) - 1.0, gripped, &line->passes[grip].overfeed_fraction);
        times /= 1.0 + line->passes[grip].overfeed_fraction;
    }
    if (compactor >= 0) {
        miss = within(times - 1.0, compacted, &line->passes[compactor].overfeed_fraction);
    }
    return miss;
}

/* Courses per cm times so much through the passes whose overfeed is not ours to set. */
static double fixed_gain(const mdr_line *line, int grip, int compactor)
{
    double gain = 1.0;
    for (int i = 0; i < line->n; i++) {
        if (i != grip && i != compactor) {
            gain *= 1.0 + line->passes[i].overfeed_fraction;
        }
    }
    return gain;
}

/* Names the miss of a direction that nothing on the line could set, and its size. */
static void judge(mdr_miss *miss, bool unset, mdr_line_limit limit, double off_fraction)
{
    const double same = 1e-12; /* the accuracy promised */
    if (unset && (off_fraction > same || off_fraction < -same)) {
        miss->limit = limit;
    }
    if (miss->limit != MDR_LIMIT_NONE) {
        miss->off_fraction = off_fraction;
    }
}

static void judge_both(mdr_settled *s, const mdr_goal *goal, bool no_grip, bool no_length)
{
    const mdr_web *end = &s->after[s->line.n - 1];
    s->reached = mdr_web_residual(end, &goal->relaxed);
    judge(&s->width, no_grip, MDR_LIMIT_WIDTH_UNSET,
          s->reached.width_fraction - goal->residual.width_fraction);
    judge(&s->length, no_length, MDR_LIMIT_LENGTH_UNSET,
          s->reached.length_fraction - goal->residual.length_fraction);
    if (s->width.limit == MDR_LIMIT_WIDTH_UNSET) {
        s->width.wanted = s->goal.width_cm;
        s->width.allowed = end->width_cm;
    }
    if (s->length.limit == MDR_LIMIT_LENGTH_UNSET) {
        s->length.wanted = s->goal.courses_per_cm;
        s->length.allowed = end->courses_per_cm;
    }
    s->met = s->width.limit == MDR_LIMIT_NONE && s->length.limit == MDR_LIMIT_NONE;
}

mdr_code mdr_line_settle(const mdr_web *start, const mdr_line *line, const mdr_goal *goal,
                         const mdr_line_limits *limits, mdr_settled *out, mdr_err *err)
{
    MDR_TRY(check_goal(start, line, goal, limits, err));
    const int grip = last_of(line, mdr_pass_grips);
    const int compactor = last_of(line, mdr_pass_compacts);
    mdr_settled s = {.line = *line, .compact_entry_kg_per_kg = -1.0};
    const mdr_web wanted = mdr_web_with_residual(start, &goal->relaxed, goal->residual);
    s.width = settle_width(&s.line, grip, wanted.width_cm, limits);
    const double gain = fixed_gain(line, grip, compactor);
    s.length = settle_length(&s.line, grip, compactor,
                             wanted.courses_per_cm / (start->courses_per_cm * gain), goal, limits);
    MDR_TRY(mdr_pass_run(start, s.line.passes, s.line.n, s.after, err));
    s.goal = wanted;
    const mdr_web *end = &s.after[s.line.n - 1];
    s.goal.moisture_kg_per_kg = end->moisture_kg_per_kg;
    s.goal.temp_c = end->temp_c;
    s.goal.speed_m_per_min = end->speed_m_per_min;
    if (compactor >= 0) {
        s.compact_entry_kg_per_kg =
            compactor == 0 ? start->moisture_kg_per_kg : s.after[compactor - 1].moisture_kg_per_kg;
    }
    judge_both(&s, goal, grip < 0, grip < 0 && compactor < 0);
    *out = s;
    return MDR_OK;
}
