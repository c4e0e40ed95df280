#include "core/knit/mdr_spec.h"

#include <math.h>

/* The demands in logarithms: width and width_shrink bound a = ln(1 - sW), length_shrink bounds
 * b = ln(1 - sL), gsm bounds a + b. */
typedef struct logs {
    mdr_spec_range width, width_shrink, length_shrink, gsm;
} logs;

static mdr_spec_range shrink_logs(double min_frac, double max_frac)
{
    return (mdr_spec_range){log1p(-max_frac), log1p(-min_frac)};
}

static logs logs_of(const mdr_spec_in *in)
{
    const mdr_spec_demand *d = &in->demand;
    const mdr_spec_window box = mdr_spec_box(d);
    const mdr_spec_range w = box.width_cm, g = box.gsm;
    const double width_r = in->relaxed.width_cm, gsm_r = in->relaxed.gsm;
    return (logs){.width = {log(width_r / w.high), log(width_r / w.low)},
                  .width_shrink = shrink_logs(d->width_shrink_min_frac, d->width_shrink_max_frac),
                  .length_shrink =
                      shrink_logs(d->length_shrink_min_frac, d->length_shrink_max_frac),
                  .gsm = {log(g.low / gsm_r), log(g.high / gsm_r)}};
}

static mdr_spec_range sum(mdr_spec_range x, mdr_spec_range y)
{
    return (mdr_spec_range){x.low + y.low, x.high + y.high};
}

/* All x - y */
static mdr_spec_range difference(mdr_spec_range x, mdr_spec_range y)
{
    return (mdr_spec_range){x.low - y.high, x.high - y.low};
}

/* How far apart; 0 or less: they meet. */
static double gap(mdr_spec_range x, mdr_spec_range y)
{
    return fmax(x.low - y.high, y.low - x.high);
}

/* What both hold; ranges that only touch can come out reversed by rounding: then one point. */
static mdr_spec_range both(mdr_spec_range x, mdr_spec_range y)
{
    const mdr_spec_range r = {fmax(x.low, y.low), fmin(x.high, y.high)};
    const double middle = 0.5 * (r.low + r.high);
    return r.low <= r.high ? r : (mdr_spec_range){middle, middle};
}

static mdr_spec_range scaled(mdr_spec_range x, double strain)
{
    const double middle = 0.5 * (x.low + x.high), half = 0.5 * (x.high - x.low) * strain;
    return (mdr_spec_range){middle - half, middle + half};
}

/* The strain at which two ranges that grow about their middles just meet. One of them has a width:
 * mdr_spec_check has seen to it. */
static double meeting_strain(mdr_spec_range x, mdr_spec_range y)
{
    const double apart = 0.5 * fabs(x.low + x.high - y.low - y.high);
    return apart / (0.5 * (x.high - x.low + y.high - y.low));
}

static mdr_spec_point point_of(mdr_spec_relaxed r, double a, double b)
{
    return mdr_spec_at_shrink(r, -expm1(a), -expm1(b));
}

/* Every demand's range shrinks (or grows) about its middle by the same part until one point is
 * left: the largest of the three pairwise strains, since only three sets of demands can clash. */
static void find_best(const mdr_spec_in *in, const logs *l, mdr_spec_answer *out)
{
    const mdr_spec_range by_width = sum(l->width, l->length_shrink);
    const mdr_spec_range by_shrink = sum(l->width_shrink, l->length_shrink);
    const double strain =
        fmax(meeting_strain(l->width, l->width_shrink),
             fmax(meeting_strain(l->gsm, by_width), meeting_strain(l->gsm, by_shrink)));
    const mdr_spec_range a_range = both(scaled(l->width, strain), scaled(l->width_shrink, strain));
    const mdr_spec_range b_range = scaled(l->length_shrink, strain);
    const mdr_spec_range c_range = scaled(l->gsm, strain);
    const mdr_spec_range a_left = both(a_range, difference(c_range, b_range));
    const double a = 0.5 * (a_left.low + a_left.high);
    const mdr_spec_range b_left =
        both(b_range, (mdr_spec_range){c_range.low - a, c_range.high - a});
    out->strain = strain;
    out->best = point_of(in->relaxed, a, 0.5 * (b_left.low + b_left.high));
}

static void find_clashes(const logs *l, mdr_spec_answer *out)
{
    const double gaps[MDR_SPEC_CLASHES] = {
        [MDR_SPEC_WIDTH_AGAINST_SHRINK] = gap(l->width, l->width_shrink),
        [MDR_SPEC_GSM_AGAINST_WIDTH] = gap(l->gsm, sum(l->width, l->length_shrink)),
        [MDR_SPEC_GSM_AGAINST_SHRINKAGE] = gap(l->gsm, sum(l->width_shrink, l->length_shrink))};
    out->feasible = true;
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        const bool met = gaps[i] <= MDR_SPEC_MET_FRAC;
        out->clash_frac[i] = met ? 0.0 : expm1(gaps[i]);
        out->feasible = out->feasible && met;
    }
}

static mdr_spec_range shrink_range(mdr_spec_range log_range)
{
    return (mdr_spec_range){-expm1(log_range.high), -expm1(log_range.low)};
}

static void find_ranges(const mdr_spec_in *in, const logs *l, mdr_spec_answer *out)
{
    if (!out->feasible) {
        const mdr_spec_point *p = &out->best;
        out->width_shrink_frac = (mdr_spec_range){p->width_shrink_frac, p->width_shrink_frac};
        out->length_shrink_frac = (mdr_spec_range){p->length_shrink_frac, p->length_shrink_frac};
        out->width_cm = (mdr_spec_range){p->width_cm, p->width_cm};
        out->gsm = (mdr_spec_range){p->gsm, p->gsm};
        return;
    }
    const mdr_spec_range a =
        both(both(l->width, l->width_shrink), difference(l->gsm, l->length_shrink));
    const mdr_spec_range b = both(l->length_shrink, difference(l->gsm, a));
    const mdr_spec_range c = both(l->gsm, sum(a, b));
    out->width_shrink_frac = shrink_range(a);
    out->length_shrink_frac = shrink_range(b);
    out->width_cm =
        (mdr_spec_range){in->relaxed.width_cm * exp(-a.high), in->relaxed.width_cm * exp(-a.low)};
    out->gsm = (mdr_spec_range){in->relaxed.gsm * exp(c.low), in->relaxed.gsm * exp(c.high)};
}

typedef struct corner {
    double a, b;
} corner;

/* The polygon's part with sign (a + b) <= limit; returns the new number of corners, at most one
 * more. What lies on the line but for rounding belongs to it. */
static int cut(const corner *from, int n, double sign, double limit, corner *to)
{
    int kept = 0;
    for (int i = 0; i < n; i++) {
        const corner p = from[i], q = from[(i + 1) % n];
        const double over_p = sign * (p.a + p.b) - limit, over_q = sign * (q.a + q.b) - limit;
        const bool p_in = over_p <= MDR_SPEC_MET_FRAC, q_in = over_q <= MDR_SPEC_MET_FRAC;
        if (p_in) {
            to[kept++] = p;
        }
        if (p_in != q_in) {
            const double part = over_p / (over_p - over_q);
            to[kept++] = (corner){p.a + part * (q.a - p.a), p.b + part * (q.b - p.b)};
        }
    }
    return kept;
}

static bool same(corner p, corner q)
{
    return fabs(p.a - q.a) <= MDR_SPEC_MET_FRAC && fabs(p.b - q.b) <= MDR_SPEC_MET_FRAC;
}

static void find_corners(const mdr_spec_in *in, const logs *l, mdr_spec_answer *out)
{
    out->n_corners = 0;
    if (!out->feasible) {
        return;
    }
    const mdr_spec_range a = both(l->width, l->width_shrink), b = l->length_shrink;
    const corner box[4] = {{a.low, b.low}, {a.high, b.low}, {a.high, b.high}, {a.low, b.high}};
    corner half[MDR_SPEC_CORNERS_MAX] = {{0, 0}}, found[MDR_SPEC_CORNERS_MAX] = {{0, 0}};
    const int n_half = cut(box, 4, 1.0, l->gsm.high, half);
    const int n = cut(half, n_half, -1.0, -l->gsm.low, found);
    int kept[MDR_SPEC_CORNERS_MAX] = {0};
    for (int i = 0; i < n; i++) {
        /* a tolerance of nothing, or a limit through a corner, gives the same one twice */
        const bool again = out->n_corners > 0 && (same(found[i], found[kept[out->n_corners - 1]]) ||
                                                  same(found[i], found[kept[0]]));
        if (!again) {
            kept[out->n_corners] = i;
            out->corners[out->n_corners++] = point_of(in->relaxed, found[i].a, found[i].b);
        }
    }
}

/* What the others leave: `mine` has to reach into it. `rising`: the demand's own number rises with
 * its logarithm (g/m2); width and shrinkages fall. */
typedef struct left_over {
    bool any;
    mdr_spec_range mine, others;
    bool rising;
} left_over;

static left_over left_to(const logs *l, mdr_spec_which which)
{
    const mdr_spec_range by_gsm = difference(l->gsm, l->length_shrink);
    const mdr_spec_range a = both(l->width, l->width_shrink);
    const bool a_any = gap(l->width, l->width_shrink) <= MDR_SPEC_MET_FRAC;
    switch (which) {
    case MDR_SPEC_GSM:
        return (left_over){a_any, l->gsm, sum(a, l->length_shrink), true};
    case MDR_SPEC_LENGTH_SHRINK:
        return (left_over){a_any, l->length_shrink, difference(l->gsm, a), false};
    case MDR_SPEC_WIDTH:
        return (left_over){gap(l->width_shrink, by_gsm) <= MDR_SPEC_MET_FRAC, l->width,
                           both(l->width_shrink, by_gsm), false};
    case MDR_SPEC_WIDTH_SHRINK:
        return (left_over){gap(l->width, by_gsm) <= MDR_SPEC_MET_FRAC, l->width_shrink,
                           both(l->width, by_gsm), false};
    case MDR_SPEC_DEMANDS:
        break;
    }
    MDR_UNREACHABLE();
}

/* The demand's own number at this logarithm. */
static double own_number(const mdr_spec_relaxed *r, mdr_spec_which which, double log_value)
{
    switch (which) {
    case MDR_SPEC_GSM:
        return r->gsm * exp(log_value);
    case MDR_SPEC_WIDTH:
        return r->width_cm * exp(-log_value);
    case MDR_SPEC_LENGTH_SHRINK:
    case MDR_SPEC_WIDTH_SHRINK:
        return -expm1(log_value);
    case MDR_SPEC_DEMANDS:
        break;
    }
    MDR_UNREACHABLE();
}

static mdr_spec_give give_way(const mdr_spec_in *in, const logs *l, mdr_spec_which which)
{
    const left_over left = left_to(l, which);
    if (!left.any) {
        return (mdr_spec_give){.cures = false};
    }
    const double too_low = left.others.low - left.mine.high;  /* mine must reach up */
    const double too_high = left.mine.low - left.others.high; /* mine must reach down */
    const bool up = too_low > too_high;
    const bool met = fmax(too_low, too_high) <= MDR_SPEC_MET_FRAC;
    const double from = up ? left.mine.high : left.mine.low;
    const double to = up ? left.others.low : left.others.high;
    const double limit = own_number(&in->relaxed, which, met ? from : to);
    const double by = met ? 0.0 : fabs(limit - own_number(&in->relaxed, which, from));
    return (mdr_spec_give){.cures = true, .upper = up == left.rising, .limit = limit, .by = by};
}

/* How the ranges move with z = ln(factor). */
typedef struct moves {
    double width, gsm;
} moves;

static moves moves_of(mdr_spec_change what)
{
    switch (what) {
    case MDR_SPEC_LOOP:
        return (moves){1.0, 1.0};
    case MDR_SPEC_YARN:
        return (moves){0.0, -1.0};
    case MDR_SPEC_NEEDLES:
        return (moves){1.0, 0.0};
    case MDR_SPEC_CHANGES:
        break;
    }
    MDR_UNREACHABLE();
}

/* All z at which x + rate z meets y, rate -1, 0 or 1. Reversed: none. */
static mdr_spec_range meeting(mdr_spec_range x, double rate, mdr_spec_range y)
{
    if (rate > 0.0) {
        return difference(y, x);
    }
    if (rate < 0.0) {
        return difference(x, y);
    }
    return gap(x, y) <= MDR_SPEC_MET_FRAC ? (mdr_spec_range){-HUGE_VAL, HUGE_VAL}
                                          : (mdr_spec_range){HUGE_VAL, -HUGE_VAL};
}

static mdr_spec_cure cure_by(const logs *l, mdr_spec_change what)
{
    const moves m = moves_of(what);
    const mdr_spec_range by_width = sum(l->width, l->length_shrink);
    const mdr_spec_range by_shrink = sum(l->width_shrink, l->length_shrink);
    const mdr_spec_range ways[MDR_SPEC_CLASHES] = {
        meeting(l->width, m.width, l->width_shrink),
        meeting(l->gsm, m.gsm - m.width, by_width),
        meeting(l->gsm, m.gsm, by_shrink),
    };
    double low = -HUGE_VAL, high = HUGE_VAL;
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        low = fmax(low, ways[i].low);
        high = fmin(high, ways[i].high);
    }
    if (low - high > MDR_SPEC_MET_FRAC) {
        return (mdr_spec_cure){.cures = false};
    }
    const double nearest = low > MDR_SPEC_MET_FRAC ? low : (high < -MDR_SPEC_MET_FRAC ? high : 0.0);
    return (mdr_spec_cure){
        .cures = true, .factor = exp(nearest), .change_pct = 100.0 * expm1(nearest)};
}

mdr_spec_answer mdr_spec_answer_of(const mdr_spec_in *in)
{
    const logs l = logs_of(in);
    mdr_spec_answer out = {.feasible = false};
    find_clashes(&l, &out);
    find_best(in, &l, &out);
    find_ranges(in, &l, &out);
    find_corners(in, &l, &out);
    for (int i = 0; i < MDR_SPEC_DEMANDS; i++) {
        out.give[i] = give_way(in, &l, (mdr_spec_which)i);
    }
    for (int i = 0; i < MDR_SPEC_CHANGES; i++) {
        out.cure[i] = cure_by(&l, (mdr_spec_change)i);
    }
    return out;
}
