#include "core/recipe/mdr_ladder.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

static const double BEYOND_MAX = 3.0; /* invented: a straight line three times as deep is a guess */
/* Of the first chord: a dye whose first drop does nothing cannot be found by any slope. Invented. */
static const double FIRST_SLOPE_LEAST = 1.0 / 3.0;
static const double STEEPEST = 3.0; /* [fritsch-carlson]: no steeper than three chords */

static mdr_code refuse_count(int n, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "rungs", "a ladder needs dyed samples");
    mdr_err_value(err, "%d", n);
    mdr_err_allowed(err, "1 to %d", MDR_RUNGS_MAX);
    mdr_err_remedy(err, "four to six depths from the palest to the deepest that is dyed");
    return rc;
}

static mdr_code check_depths(const mdr_ladder_in *in, mdr_err *err)
{
    if (!(in->beyond >= 1.0 && in->beyond <= BEYOND_MAX)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "beyond", "too far beyond the last rung");
        mdr_err_value(err, "%g", in->beyond);
        mdr_err_allowed(err, "1 to %g", BEYOND_MAX);
        return rc;
    }
    for (int i = 0; i < in->n; i++) {
        const double depth = in->rungs[i].depth_pct_owf;
        if (!(depth > 0.0 && depth <= MDR_DEPTH_MAX_PCT_OWF)) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, "depth_pct_owf", "depth of a rung cannot be right");
            mdr_err_within(err, "rungs[%d]", i);
            mdr_err_value(err, "%g", depth);
            mdr_err_allowed(err, "more than 0, up to %g %% owf", MDR_DEPTH_MAX_PCT_OWF);
            mdr_err_remedy(err, "the undyed cloth is the substrate, not a rung");
            return rc;
        }
    }
    return MDR_OK;
}

/* Puts one rung's K/S at its place among the knots, or onto the knot of the same depth. */
static void insert(mdr_ladder *l, int *shared, double depth_pct_owf, const double *added)
{
    int at = l->knots;
    while (at > 1 && l->depth_pct_owf[at - 1] >= depth_pct_owf) {
        at--;
    }
    if (at < l->knots && l->depth_pct_owf[at] <= depth_pct_owf) {
        for (int b = 0; b < MDR_BANDS; b++) {
            l->ks[at][b] += (added[b] - l->ks[at][b]) / (shared[at] + 1);
        }
        shared[at]++;
        l->merged++;
        return;
    }
    for (int k = l->knots; k > at; k--) {
        memcpy(l->ks[k], l->ks[k - 1], sizeof l->ks[k]);
        l->depth_pct_owf[k] = l->depth_pct_owf[k - 1];
        shared[k] = shared[k - 1];
    }
    memcpy(l->ks[at], added, sizeof l->ks[at]);
    l->depth_pct_owf[at] = depth_pct_owf;
    shared[at] = 1;
    l->knots++;
}

static mdr_code read_rungs(const mdr_ladder_in *in, mdr_ladder *l, mdr_err *err)
{
    mdr_curve cloth, dyed;
    int shared[MDR_KNOTS_MAX] = {1};
    mdr_code rc = mdr_km_ks(&in->substrate, &in->surface, &cloth, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "substrate");
        return rc;
    }
    l->knots = 1;
    for (int i = 0; i < in->n; i++) {
        rc = mdr_km_ks(&in->rungs[i].curve, &in->surface, &dyed, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "rungs[%d]", i);
            return rc;
        }
        for (int b = 0; b < MDR_BANDS; b++) {
            dyed.v[b] -= cloth.v[b];
        }
        insert(l, shared, in->rungs[i].depth_pct_owf, dyed.v);
    }
    return MDR_OK;
}

/* Nearest sequence that does not fall and is nowhere below 0: pools of neighbours take their mean
 * [isotonic]; cutting the pools at 0 afterwards is still the nearest. */
static void pool(double *y, int n)
{
    double mean[MDR_KNOTS_MAX];
    int count[MDR_KNOTS_MAX], pools = 0;
    for (int i = 0; i < n; i++) {
        mean[pools] = y[i];
        count[pools] = 1;
        while (pools > 0 && mean[pools - 1] > mean[pools]) {
            const int both = count[pools - 1] + count[pools];
            mean[pools - 1] =
                (mean[pools - 1] * count[pools - 1] + mean[pools] * count[pools]) / both;
            count[pools - 1] = both;
            pools--;
        }
        pools++;
    }
    for (int p = 0, i = 0; p < pools; p++) {
        for (int k = 0; k < count[p]; k++, i++) {
            y[i] = mean[p] > 0.0 ? mean[p] : 0.0;
        }
    }
}

static void make_monotone(mdr_ladder *l)
{
    double strongest[MDR_KNOTS_MAX] = {0};
    for (int k = 1; k < l->knots; k++) {
        for (int b = 0; b < MDR_BANDS; b++) {
            strongest[k] = fmax(strongest[k], l->ks[k][b]);
        }
    }
    const double deepest = strongest[l->knots - 1];
    for (int b = 0; b < MDR_BANDS; b++) {
        double y[MDR_KNOTS_MAX] = {0};
        for (int k = 1; k < l->knots; k++) {
            y[k - 1] = l->ks[k][b];
        }
        pool(y, l->knots - 1);
        for (int k = 1; k < l->knots; k++) {
            const double move = fabs(y[k - 1] - l->ks[k][b]);
            if (move > 0.0) {
                /* a rung without any colour of its own is held against the deepest */
                const double all = strongest[k] > 0.0 ? strongest[k] : deepest;
                l->pooled++;
                l->pooled_most_pct = fmax(l->pooled_most_pct, 100.0 * move / all);
            }
            l->ks[k][b] = y[k - 1];
        }
    }
}

/* One-sided three-point slope at an end, kept between 0 and three chords. */
static double end_slope(double h_near, double h_far, double chord_near, double chord_far)
{
    const double slope =
        ((2.0 * h_near + h_far) * chord_near - h_near * chord_far) / (h_near + h_far);
    return fmin(fmax(slope, 0.0), STEEPEST * chord_near);
}

static double inner_slope(double h_before, double h_after, double chord_before, double chord_after)
{
    if (!(chord_before > 0.0 && chord_after > 0.0)) {
        return 0.0;
    }
    const double w_before = 2.0 * h_after + h_before, w_after = h_after + 2.0 * h_before;
    return (w_before + w_after) / (w_before / chord_before + w_after / chord_after);
}

static void find_slopes(mdr_ladder *l)
{
    const int last = l->knots - 1;
    double h[MDR_KNOTS_MAX] = {0};
    for (int k = 0; k < last; k++) {
        h[k] = l->depth_pct_owf[k + 1] - l->depth_pct_owf[k];
    }
    for (int b = 0; b < MDR_BANDS; b++) {
        double chord[MDR_KNOTS_MAX] = {0};
        for (int k = 0; k < last; k++) {
            chord[k] = (l->ks[k + 1][b] - l->ks[k][b]) / h[k];
        }
        if (last == 1) {
            l->slope[0][b] = l->slope[1][b] = chord[0];
            continue;
        }
        l->slope[0][b] =
            fmax(end_slope(h[0], h[1], chord[0], chord[1]), FIRST_SLOPE_LEAST * chord[0]);
        for (int k = 1; k < last; k++) {
            l->slope[k][b] = inner_slope(h[k - 1], h[k], chord[k - 1], chord[k]);
        }
        l->slope[last][b] = end_slope(h[last - 1], h[last - 2], chord[last - 1], chord[last - 2]);
    }
}

mdr_code mdr_ladder_make(const mdr_ladder_in *in, mdr_ladder *out, mdr_err *err)
{
    if (in->n < 1 || in->n > MDR_RUNGS_MAX) {
        return refuse_count(in->n, err);
    }
    MDR_TRY(check_depths(in, err));
    mdr_ladder l = {0};
    MDR_TRY(read_rungs(in, &l, err));
    double most = 0.0;
    for (int b = 0; b < MDR_BANDS; b++) {
        most = fmax(most, l.ks[l.knots - 1][b]);
    }
    if (!(most > 0.0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_INFEAS, "rungs", "the samples add no colour at all");
        mdr_err_remedy(err, "check whether substrate and samples were mixed up");
        return rc;
    }
    make_monotone(&l);
    find_slopes(&l);
    l.limit_pct_owf = in->beyond * l.depth_pct_owf[l.knots - 1];
    *out = l;
    return MDR_OK;
}

void mdr_ladder_ks(const mdr_ladder *l, double depth_pct_owf, double ks[MDR_BANDS],
                   double slope[MDR_BANDS])
{
    const int last = l->knots - 1;
    int k = 0;
    while (k < last && l->depth_pct_owf[k + 1] <= depth_pct_owf) {
        k++;
    }
    if (k == last) {
        const double more = depth_pct_owf - l->depth_pct_owf[last];
        for (int b = 0; b < MDR_BANDS; b++) {
            ks[b] = l->ks[last][b] + l->slope[last][b] * more;
        }
        if (slope != NULL) {
            memcpy(slope, l->slope[last], sizeof l->slope[last]);
        }
        return;
    }
    const double h = l->depth_pct_owf[k + 1] - l->depth_pct_owf[k];
    const double t = depth_pct_owf - l->depth_pct_owf[k];
    for (int b = 0; b < MDR_BANDS; b++) {
        const double chord = (l->ks[k + 1][b] - l->ks[k][b]) / h;
        const double c2 = (3.0 * chord - 2.0 * l->slope[k][b] - l->slope[k + 1][b]) / h;
        const double c3 = (l->slope[k][b] + l->slope[k + 1][b] - 2.0 * chord) / (h * h);
        ks[b] = l->ks[k][b] + t * (l->slope[k][b] + t * (c2 + t * c3));
        if (slope != NULL) {
            slope[b] = l->slope[k][b] + t * (2.0 * c2 + 3.0 * t * c3);
        }
    }
}

bool mdr_ladder_is_beyond(const mdr_ladder *l, double depth_pct_owf)
{
    return depth_pct_owf > l->depth_pct_owf[l->knots - 1];
}

bool mdr_ladder_is_line(const mdr_ladder *l)
{
    return l->knots == 2;
}
