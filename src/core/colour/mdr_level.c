#include "core/colour/mdr_level.h"

#include <math.h>
#include <stddef.h>

#include "core/colour/mdr_verdict.h"

double mdr_difference_both_ways(mdr_lab one, mdr_lab other, const mdr_difference_spec *spec)
{
    return 0.5 * (mdr_difference_of(one, other, spec).de + mdr_difference_of(other, one, spec).de);
}

static mdr_code check_limits(const mdr_level_limits *l, mdr_err *err)
{
    const double values[4] = {l->spread_de, l->pair_de, l->end_de, l->side_de};
    static const char *const PLACES[4] = {"limits.spread_de", "limits.pair_de", "limits.end_de",
                                          "limits.side_de"};
    for (int i = 0; i < 4; i++) {
        if (!(values[i] >= 0.0 && values[i] <= 1000.0)) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, PLACES[i], "no limit of a colour difference");
            mdr_err_value(err, "%g", values[i]);
            mdr_err_allowed(err, "0 (not looked at) to 1000");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_readings(const mdr_level_reading *r, int n, mdr_err *err)
{
    if (n < 2 || n > MDR_LEVEL_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "n", "one reading says nothing about level");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "2 to 2000");
        return rc;
    }
    for (int i = 0; i < n; i++) {
        if (!isfinite(r[i].lab.l) || !isfinite(r[i].lab.a) || !isfinite(r[i].lab.b) ||
            (r[i].has_place && !isfinite(r[i].at_m))) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "a reading is not a number");
            mdr_err_within(err, "readings[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

/* A mean that grows by one reading at a time. */
typedef struct mean {
    mdr_lab sum;
    int n;
} mean;

static void add(mean *m, mdr_lab lab)
{
    m->sum.l += lab.l;
    m->sum.a += lab.a;
    m->sum.b += lab.b;
    m->n++;
}

static mdr_lab value(const mean *m)
{
    return (mdr_lab){m->sum.l / m->n, m->sum.a / m->n, m->sum.b / m->n};
}

static void spread(const mdr_level_reading *r, const mdr_difference_spec *spec, mdr_level *out)
{
    mean all = {.n = 0};
    for (int i = 0; i < out->n; i++) {
        add(&all, r[i].lab);
    }
    out->mean = value(&all);
    for (int i = 0; i < out->n; i++) {
        const double de = mdr_difference_of(out->mean, r[i].lab, spec).de;
        out->mean_de += de / out->n;
        if (de > out->spread_de) {
            out->spread_de = de;
            out->furthest = i;
        }
    }
}

static void worst_pair(const mdr_level_reading *r, const mdr_difference_spec *spec, mdr_level *out)
{
    out->pair_second = 1;
    for (int i = 1; i < out->n; i++) {
        for (int k = 0; k < i; k++) {
            const double de = mdr_difference_both_ways(r[k].lab, r[i].lab, spec);
            if (de > out->pair_de) {
                out->pair_de = de;
                out->pair_first = k;
                out->pair_second = i;
            }
        }
    }
}

static void ends(const mdr_level_reading *r, const mdr_difference_spec *spec, mdr_level *out)
{
    double first_m = HUGE_VAL, last_m = -HUGE_VAL;
    for (int i = 0; i < out->n; i++) {
        if (r[i].has_place) {
            first_m = fmin(first_m, r[i].at_m);
            last_m = fmax(last_m, r[i].at_m);
        }
    }
    if (!(first_m < last_m)) {
        return;
    }
    mean beginning = {.n = 0}, end = {.n = 0};
    for (int i = 0; i < out->n; i++) {
        if (r[i].has_place && r[i].at_m == first_m) {
            add(&beginning, r[i].lab);
        }
        if (r[i].has_place && r[i].at_m == last_m) {
            add(&end, r[i].lab);
        }
    }
    out->has_ends = true;
    out->end_de = mdr_difference_both_ways(value(&beginning), value(&end), spec);
}

static void sides(const mdr_level_reading *r, const mdr_difference_spec *spec, mdr_level *out)
{
    mean of[MDR_SIDE_COUNT] = {{.n = 0}};
    for (int i = 0; i < out->n; i++) {
        if (r[i].has_side) {
            add(&of[r[i].side], r[i].lab);
        }
    }
    for (int a = 0; a < MDR_SIDE_COUNT; a++) {
        for (int b = a + 1; b < MDR_SIDE_COUNT; b++) {
            if (of[a].n == 0 || of[b].n == 0) {
                continue;
            }
            const double de = mdr_difference_both_ways(value(&of[a]), value(&of[b]), spec);
            if (!out->has_sides || de > out->side_de) {
                out->has_sides = true;
                out->side_de = de;
                out->side_first = (mdr_side)a;
                out->side_second = (mdr_side)b;
            }
        }
    }
}

static bool over(double de, double limit_de)
{
    return limit_de > 0.0 && de > limit_de + MDR_LIMIT_SLACK;
}

mdr_code mdr_level_of(const mdr_level_reading *readings, int n, const mdr_difference_spec *spec,
                      const mdr_level_limits *limits, mdr_level *out, mdr_err *err)
{
    MDR_TRY(mdr_difference_check(spec, err));
    MDR_TRY(check_limits(limits, err));
    MDR_TRY(check_readings(readings, n, err));
    mdr_level v = {.n = n};
    spread(readings, spec, &v);
    worst_pair(readings, spec, &v);
    ends(readings, spec, &v);
    sides(readings, spec, &v);
    v.over_spread = over(v.spread_de, limits->spread_de);
    v.over_pair = over(v.pair_de, limits->pair_de);
    v.over_end = v.has_ends && over(v.end_de, limits->end_de);
    v.over_side = v.has_sides && over(v.side_de, limits->side_de);
    v.level = !v.over_spread && !v.over_pair && !v.over_end && !v.over_side;
    *out = v;
    return MDR_OK;
}
