#include "core/quality/mdr_control_chart.h"

#include <math.h>
#include <stddef.h>

#include "core/quality/mdr_chart_rules.h"
#include "core/quality/mdr_tail.h"

/* data/quality/shewhart_constants.csv */
enum { GROUP_N, D2, D3, C4, A2, A3, RANGE_LOW, RANGE_HIGH, SD_LOW, SD_HIGH, SHEWHART_COLS };
extern const double shewhart_constants[][SHEWHART_COLS];
extern const int shewhart_constants_rows;

static const double VALUE_MOST =
    1e12; /* invented: a wrong unit, and nothing that is squared is lost */
static const int COUNT_MOST = 100000; /* invented */
/* The normal limits want this many of both kinds; common practice. */
static const double EXPECTED_ENOUGH = 5.0;
enum { SPAN_USUAL = 2 };

static const struct {
    const char *id, *words;
} KINDS[MDR_CHART_KIND_COUNT] =
    {
#define X(name, id, words) {id, words},
        MDR_CHART_KINDS(X)
#undef X
},
  STATES[MDR_CHART_STATE_COUNT] = {
#define X(name, id, words) {id, words},
      MDR_CHART_STATES(X)
#undef X
};

const char *mdr_chart_kind_id(mdr_chart_kind k)
{
    return KINDS[k].id;
}

const char *mdr_chart_kind_words(mdr_chart_kind k)
{
    return KINDS[k].words;
}

const char *mdr_chart_state_id(mdr_chart_state s)
{
    return STATES[s].id;
}

const char *mdr_chart_state_words(mdr_chart_state s)
{
    return STATES[s].words;
}

mdr_shewhart mdr_shewhart_of(int n)
{
    if (n < MDR_CHART_SPAN_MIN || n > MDR_CHART_SPAN_MAX || n - 2 >= shewhart_constants_rows) {
        MDR_UNREACHABLE();
    }
    const double *r = shewhart_constants[n - 2];
    return (mdr_shewhart){.d2 = r[D2],
                          .d3 = r[D3],
                          .c4 = r[C4],
                          .a2 = r[A2],
                          .a3 = r[A3],
                          .range_low = r[RANGE_LOW],
                          .range_high = r[RANGE_HIGH],
                          .sd_low = r[SD_LOW],
                          .sd_high = r[SD_HIGH]};
}

/* -- what is asked -- */

static int span_of(const mdr_chart_base *base)
{
    return base->span == 0 ? SPAN_USUAL : base->span;
}

static mdr_code refuse(mdr_err *err, mdr_code code, const char *place, double value,
                       const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, code, place, "no chart can be drawn with this");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static mdr_code refuse_at(mdr_err *err, const char *list, int i, double value, const char *allowed)
{
    const mdr_code rc = refuse(err, MDR_E_RANGE, "", value, allowed);
    mdr_err_within(err, "%s[%d]", list, i);
    return rc;
}

static mdr_code check_base(const mdr_chart_base *base, int n, mdr_err *err)
{
    if (n < 1 || n > MDR_CHART_POINTS_MAX) {
        return refuse(err, MDR_E_ARG, "n", n, "1 to 5000 points");
    }
    if (base->n_points < 0 || base->n_points > n) {
        return refuse(err, MDR_E_ARG, "base.n_points", base->n_points, "no more than there are");
    }
    const int span = span_of(base);
    if (span < MDR_CHART_SPAN_MIN || span > MDR_CHART_SPAN_MAX) {
        return refuse(err, MDR_E_ARG, "base.span", span, "2 to 10");
    }
    if (base->given && !(fabs(base->centre) <= VALUE_MOST)) {
        return refuse(err, MDR_E_RANGE, "base.centre", base->centre, "-1e12 to 1e12");
    }
    return MDR_OK;
}

static mdr_code check_values(const double *values, int n, const mdr_chart_base *base, mdr_err *err)
{
    MDR_TRY(check_base(base, n, err));
    for (int i = 0; i < n; i++) {
        if (!(fabs(values[i]) <= VALUE_MOST)) {
            return refuse_at(err, "values", i, values[i], "-1e12 to 1e12");
        }
    }
    if (base->given && !(base->sigma > 0.0 && base->sigma <= VALUE_MOST)) {
        return refuse(err, MDR_E_RANGE, "base.sigma", base->sigma, "more than 0, up to 1e12");
    }
    return MDR_OK;
}

/* -- the chart -- */

/* Points with their values and what is left out. */
static mdr_code open_chart(mdr_chart *c, mdr_chart_kind kind, int n, const mdr_chart_base *base,
                           mdr_arena *arena, mdr_err *err)
{
    *c = (mdr_chart){.kind = kind, .n = n, .points = MDR_NEW_N(arena, mdr_chart_point, (size_t)n)};
    if (c->points == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "the chart has too many points");
    }
    const int in_base = base->given ? 0 : base->n_points == 0 ? n : base->n_points;
    for (int i = 0; i < n; i++) {
        mdr_chart_point *p = &c->points[i];
        p->has_value = true;
        p->left_out = base->left_out != NULL && base->left_out[i];
        p->in_base = i < in_base && !p->left_out;
        c->n_base += p->in_base;
    }
    return MDR_OK;
}

/* Range of the `span` values up to i, none of them left out; below 0: there are not so many. */
static double range_up_to(const mdr_chart *c, const double *values, int i, int span)
{
    if (i + 1 < span) {
        return -1.0;
    }
    double low = values[i], high = values[i];
    for (int k = i - span + 1; k <= i; k++) {
        if (c->points[k].left_out) {
            return -1.0;
        }
        low = fmin(low, values[k]);
        high = fmax(high, values[k]);
    }
    return high - low;
}

/* Centre and sigma of single values: given, or mean and mean moving range / d2 of the base. */
static mdr_code estimate(mdr_chart *c, const double *values, const mdr_chart_base *base,
                         mdr_err *err)
{
    if (base->given) {
        c->centre = base->centre;
        c->sigma = base->sigma;
        return MDR_OK;
    }
    const int span = span_of(base);
    double sum = 0.0, ranges = 0.0;
    int n_ranges = 0;
    for (int i = 0; i < c->n; i++) {
        if (c->points[i].in_base) {
            const double range = range_up_to(c, values, i, span);
            sum += values[i];
            ranges += range >= 0.0 ? range : 0.0;
            n_ranges += range >= 0.0;
        }
    }
    if (n_ranges == 0) {
        return refuse(err, MDR_E_ARG, "base.n_points", c->n_base,
                      "enough neighbouring points for a moving range");
    }
    c->centre = sum / c->n_base;
    c->sigma = ranges / n_ranges / mdr_shewhart_of(span).d2;
    return MDR_OK;
}

/* Without spread there are no limits and no rules; the values stay to be seen. */
static void finish(mdr_chart *c, const mdr_chart_base *base, unsigned rules, bool spread)
{
    c->rules = spread ? rules | MDR_CHART_BIT(MDR_CHART_BEYOND) : 0U;
    c->provisional = !base->given && c->n_base < MDR_CHART_BASE_ENOUGH;
    for (int i = 0; !spread && i < c->n; i++) {
        mdr_chart_point *p = &c->points[i];
        p->has_lower = p->has_upper = p->thin = false;
        p->lower = p->upper = p->z = 0.0;
    }
    mdr_chart_apply_rules(c);
    c->state = !spread ? MDR_CHART_NO_SPREAD : c->n_out > 0 ? MDR_CHART_OUT : MDR_CHART_STEADY;
}

static void limits_both(const mdr_chart *c, mdr_chart_point *p, double sd)
{
    p->lower = c->centre - MDR_CHART_LIMIT * sd;
    p->upper = c->centre + MDR_CHART_LIMIT * sd;
    p->has_lower = p->has_upper = true;
    p->z = sd > 0.0 ? (p->value - c->centre) / sd : 0.0;
}

mdr_code mdr_chart_individuals(const double *values, int n, const mdr_chart_base *base,
                               unsigned rules, mdr_arena *arena, mdr_chart *out, mdr_err *err)
{
    mdr_chart c;
    MDR_TRY(check_values(values, n, base, err));
    MDR_TRY(open_chart(&c, MDR_CHART_INDIVIDUALS, n, base, arena, err));
    MDR_TRY(estimate(&c, values, base, err));
    for (int i = 0; i < n; i++) {
        c.points[i].value = values[i];
        limits_both(&c, &c.points[i], c.sigma);
    }
    finish(&c, base, rules, c.sigma > 0.0);
    *out = c;
    return MDR_OK;
}

/* [nist-handbook] 6.3.2.4: z_i = w x_i + (1 - w) z_(i-1); variance w/(2 - w) (1 - (1 - w)^2i). */
mdr_code mdr_chart_ewma(const double *values, int n, const mdr_chart_base *base, double weight,
                        mdr_arena *arena, mdr_chart *out, mdr_err *err)
{
    mdr_chart c;
    if (!(weight > 0.0 && weight <= 1.0)) {
        return refuse(err, MDR_E_RANGE, "weight", weight, "more than 0, up to 1");
    }
    MDR_TRY(check_values(values, n, base, err));
    MDR_TRY(open_chart(&c, MDR_CHART_EWMA, n, base, arena, err));
    MDR_TRY(estimate(&c, values, base, err));
    double mean = c.centre, left = 1.0; /* of the first centre, squared */
    for (int i = 0; i < n; i++) {
        mdr_chart_point *p = &c.points[i];
        if (!p->left_out) {
            mean = weight * values[i] + (1.0 - weight) * mean;
            left *= (1.0 - weight) * (1.0 - weight);
        }
        p->value = mean;
        limits_both(&c, p, c.sigma * sqrt(weight / (2.0 - weight) * (1.0 - left)));
    }
    finish(&c, base, 0U, c.sigma > 0.0);
    *out = c;
    return MDR_OK;
}

/* -- counts -- */

static const unsigned RULES_OF_COUNTS =
    MDR_CHART_SHORT_LIST |
    MDR_CHART_BIT(MDR_CHART_NINE_ONE_SIDE); /* counts repeat themselves, and the
                                                                   other rules rest on differences */

/* Where the counts expected are few, the deviate is that of the exact probability. */
static void few(mdr_chart_point *p, double tail_up, double tail_down, double side)
{
    p->thin = true;
    p->z = side > 0.0 ? mdr_tail_deviate(tail_up) : side < 0.0 ? -mdr_tail_deviate(tail_down) : 0.0;
}

static void place_part(mdr_chart *c, int i, mdr_chart_part part)
{
    mdr_chart_point *p = &c->points[i];
    const double centre = c->centre;
    p->of = part.of;
    p->has_value = part.of > 0;
    if (!p->has_value) {
        return;
    }
    p->value = (double)part.hits / part.of;
    limits_both(c, p, sqrt(centre * (1.0 - centre) / part.of));
    p->has_lower = p->lower > 0.0;
    p->has_upper = p->upper < 1.0;
    if (c->sigma > 0.0 && part.of * fmin(centre, 1.0 - centre) < EXPECTED_ENOUGH) {
        few(p, mdr_tail_binomial(part.hits, part.of, centre, true),
            mdr_tail_binomial(part.hits, part.of, centre, false), p->value - centre);
    }
}

static mdr_code check_parts(const mdr_chart_part *parts, int n, const mdr_chart_base *base,
                            mdr_err *err)
{
    MDR_TRY(check_base(base, n, err));
    for (int i = 0; i < n; i++) {
        if (parts[i].hits < 0 || parts[i].hits > parts[i].of || parts[i].of > COUNT_MOST) {
            return refuse_at(err, "parts", i, parts[i].hits, "0 to all of them, at most 100000");
        }
    }
    if (base->given && !(base->centre > 0.0 && base->centre < 1.0)) {
        return refuse(err, MDR_E_RANGE, "base.centre", base->centre, "between 0 and 1");
    }
    return MDR_OK;
}

mdr_code mdr_chart_fraction(const mdr_chart_part *parts, int n, const mdr_chart_base *base,
                            unsigned rules, mdr_arena *arena, mdr_chart *out, mdr_err *err)
{
    mdr_chart c;
    MDR_TRY(check_parts(parts, n, base, err));
    MDR_TRY(open_chart(&c, MDR_CHART_FRACTION, n, base, arena, err));
    double hits = 0.0, of = 0.0;
    for (int i = 0; i < n; i++) {
        mdr_chart_point *p = &c.points[i];
        if (p->in_base && parts[i].of == 0) {
            p->in_base = false;
            c.n_base--;
        }
        hits += p->in_base ? parts[i].hits : 0;
        of += p->in_base ? parts[i].of : 0;
    }
    if (!base->given && of <= 0.0) {
        return refuse(err, MDR_E_ARG, "base.n_points", c.n_base, "at least one with lots");
    }
    c.centre = base->given ? base->centre : hits / of;
    c.sigma = sqrt(c.centre * (1.0 - c.centre));
    for (int i = 0; i < n; i++) {
        place_part(&c, i, parts[i]);
    }
    finish(&c, base, rules & RULES_OF_COUNTS, c.sigma > 0.0);
    *out = c;
    return MDR_OK;
}

static mdr_code check_counts(const int *counts, int n, const mdr_chart_base *base, mdr_err *err)
{
    MDR_TRY(check_base(base, n, err));
    for (int i = 0; i < n; i++) {
        if (counts[i] < 0 || counts[i] > COUNT_MOST) {
            return refuse_at(err, "counts", i, counts[i], "0 to 100000");
        }
    }
    if (base->given && !(base->centre > 0.0 && base->centre <= COUNT_MOST)) {
        return refuse(err, MDR_E_RANGE, "base.centre", base->centre, "more than 0, up to 100000");
    }
    return MDR_OK;
}

mdr_code mdr_chart_counts(const int *counts, int n, const mdr_chart_base *base, unsigned rules,
                          mdr_arena *arena, mdr_chart *out, mdr_err *err)
{
    mdr_chart c;
    MDR_TRY(check_counts(counts, n, base, err));
    MDR_TRY(open_chart(&c, MDR_CHART_COUNTS, n, base, arena, err));
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        sum += c.points[i].in_base ? counts[i] : 0;
    }
    if (!base->given && c.n_base == 0) {
        return refuse(err, MDR_E_ARG, "base.n_points", c.n_base, "at least one");
    }
    c.centre = base->given ? base->centre : sum / c.n_base;
    c.sigma = sqrt(c.centre);
    for (int i = 0; i < n; i++) {
        mdr_chart_point *p = &c.points[i];
        p->value = counts[i];
        limits_both(&c, p, c.sigma);
        p->has_lower = p->lower > 0.0;
        if (c.sigma > 0.0 && c.centre < EXPECTED_ENOUGH) {
            few(p, mdr_tail_poisson(counts[i], c.centre, true),
                mdr_tail_poisson(counts[i], c.centre, false), counts[i] - c.centre);
        }
    }
    finish(&c, base, rules & RULES_OF_COUNTS, c.sigma > 0.0);
    *out = c;
    return MDR_OK;
}
