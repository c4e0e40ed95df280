#include "core/recipe/mdr_kernel.h"

#include <math.h>
#include <string.h>

enum { KNOTS = MDR_COMBO_MAX * MDR_KNOTS_MAX, DYES_MAX = 64 };
static const double TIE_LEAST = 1e-5, TIE_MOST = 1.0; /* invented: below, ties stay unbroken */
static const double FACTOR_LEAST = 0.1, FACTOR_MOST = 10.0, SHARE_MOST = 100.0; /* invented */
static const double PERCENT = 100.0;

mdr_dye mdr_dye_of(const mdr_ladder *ladder)
{
    return (mdr_dye){.ladder = {ladder}, .strength_factor = {1.0}, .share = {1.0}, .parts = 1};
}

static mdr_code range(const char *place, double value, const char *allowed, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "outside what can be searched with");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static bool between(double value, double low, double high)
{
    return value >= low && value <= high; /* false for NaN too */
}

static mdr_code check_part(const mdr_dye *dye, int p, mdr_err *err)
{
    if (dye->ladder[p] == NULL) {
        return MDR_FAIL(err, MDR_E_ARG, "ladder", "a dye without dyed samples");
    }
    if (!between(dye->strength_factor[p], FACTOR_LEAST, FACTOR_MOST)) {
        return range("strength_factor", dye->strength_factor[p], "0.1 to 10", err);
    }
    if (!between(dye->share[p], 1.0 / SHARE_MOST, SHARE_MOST) ||
        (p == 0 && (dye->share[0] < 1.0 || dye->share[0] > 1.0))) {
        return range("share", dye->share[p], "1 for the first, 0.01 to 100 for the others", err);
    }
    return MDR_OK;
}

static mdr_code check_dye(const mdr_dye *dye, mdr_err *err)
{
    if (dye->parts < 1 || dye->parts > MDR_COMBO_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "parts", "dyes in a fixed ratio");
        mdr_err_allowed(err, "1 to %d", MDR_COMBO_MAX);
        return rc;
    }
    for (int p = 0; p < dye->parts; p++) {
        MDR_TRY(check_part(dye, p, err));
    }
    return between(dye->limit_pct_owf, 0.0, MDR_DEPTH_MAX_PCT_OWF)
               ? MDR_OK
               : range("limit_pct_owf", dye->limit_pct_owf, "0 (the ladder's own) to 30", err);
}

static mdr_code check_lights(const mdr_target *s, mdr_err *err)
{
    double sum = 0.0;
    if (s->lights < 1 || s->lights > MDR_LIGHTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "lights", "lights to judge under");
        mdr_err_allowed(err, "1 to %d", MDR_LIGHTS_MAX);
        return rc;
    }
    for (int j = 1; j < s->lights; j++) {
        if (!between(s->light_weight[j], 0.0, 1e6)) {
            return range("light_weight", s->light_weight[j], "0 or more", err);
        }
        sum += s->light_weight[j];
    }
    if (s->lights > 1 && !(sum > 0.0)) {
        return range("light_weight", sum, "one of the other lights above 0", err);
    }
    return between(s->tie_weight, TIE_LEAST, TIE_MOST)
               ? MDR_OK
               : range("tie_weight", s->tie_weight, "0.00001 to 1", err);
}

static mdr_code check_shade(const mdr_target *s, mdr_err *err)
{
    MDR_TRY(check_lights(s, err));
    const mdr_code rc = mdr_difference_check(&s->formula, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "formula");
        return rc;
    }
    for (int b = 0; b < MDR_BANDS; b++) {
        if (!(s->standard.v[b] > 0.0 && s->standard.v[b] <= MDR_REFLECTANCE_MOST)) {
            const mdr_code bad = range("", s->standard.v[b], "more than 0, up to 1.5", err);
            mdr_err_within(err, "standard.%dnm", mdr_km_band_nm(b));
            return bad;
        }
    }
    return MDR_OK;
}

/* Value and derivatives of a ladder's piece at a depth, as coefficients of a cubic from there. */
static void add_taylor(const mdr_ladder *l, double depth, double scale, double *coef)
{
    const int last = l->knots - 1;
    int k = 0;
    while (k < last && l->depth_pct_owf[k + 1] <= depth) {
        k++;
    }
    const double t = depth - l->depth_pct_owf[k];
    for (int b = 0; b < MDR_BANDS; b++) {
        const double c0 = l->ks[k][b], c1 = l->slope[k][b];
        double c2 = 0.0, c3 = 0.0;
        if (k < last) {
            const double h = l->depth_pct_owf[k + 1] - l->depth_pct_owf[k];
            const double chord = (l->ks[k + 1][b] - c0) / h;
            c2 = (3.0 * chord - 2.0 * c1 - l->slope[k + 1][b]) / h;
            c3 = (c1 + l->slope[k + 1][b] - 2.0 * chord) / (h * h);
        }
        coef[b] += c0 + t * (c1 + t * (c2 + t * c3));
        coef[MDR_LANES + b] += scale * (c1 + t * (2.0 * c2 + 3.0 * t * c3));
        coef[2 * MDR_LANES + b] += scale * scale * (c2 + 3.0 * t * c3);
        coef[3 * MDR_LANES + b] += scale * scale * scale * c3;
    }
}

/* Where any part's piece begins, rising, each once. A part's depth is c x share x strength. */
static int breaks_of(const mdr_dye *dye, double at[KNOTS])
{
    int n = 0;
    for (int p = 0; p < dye->parts; p++) {
        for (int k = 0; k < dye->ladder[p]->knots; k++) {
            const double x =
                dye->ladder[p]->depth_pct_owf[k] / (dye->share[p] * dye->strength_factor[p]);
            int i = n;
            while (i > 0 && at[i - 1] > x) {
                i--;
            }
            if (i > 0 && at[i - 1] >= x) {
                continue;
            }
            memmove(&at[i + 1], &at[i], (size_t)(n - i) * sizeof *at);
            at[i] = x;
            n++;
        }
    }
    return n;
}

static mdr_code tabulate(const mdr_dye *dye, mdr_arena *arena, mdr_kernel_dye *out, mdr_err *err)
{
    double at[KNOTS + 1];
    const int pieces = breaks_of(dye, at);
    double *from = MDR_NEW_N(arena, double, (size_t)pieces);
    double *coef = MDR_NEW_N(arena, double, (size_t)pieces * 4 * MDR_LANES);
    if (from == NULL || coef == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "dyes", "too many dyes for the memory allowed");
    }
    double limit = dye->limit_pct_owf > 0.0 ? dye->limit_pct_owf : (double)INFINITY;
    for (int p = 0; p < dye->parts; p++) {
        const double scale = dye->share[p] * dye->strength_factor[p];
        limit = fmin(limit, dye->ladder[p]->limit_pct_owf / scale);
        for (int i = 0; i < pieces; i++) {
            /* a break stands for itself: rounding must not put it into the piece before */
            const double depth = at[i] * scale * (1.0 + 4e-16);
            add_taylor(dye->ladder[p], depth, scale, coef + (size_t)i * 4 * MDR_LANES);
        }
    }
    memcpy(from, at, (size_t)pieces * sizeof *from);
    *out = (mdr_kernel_dye){from, coef, pieces, limit};
    return MDR_OK;
}

static void set_lights(const mdr_target *s, mdr_kernel *k)
{
    double sum = 0.0;
    k->spectrum = s->tie == MDR_TIE_SPECTRUM;
    k->lights = k->spectrum ? 1 : s->lights;
    for (int j = 1; j < s->lights; j++) {
        sum += s->light_weight[j];
    }
    for (int j = 0; j < k->lights; j++) {
        const mdr_weights *w = s->light[j];
        memcpy(k->weight[j][0], w->x, sizeof w->x);
        memcpy(k->weight[j][1], w->y, sizeof w->y);
        memcpy(k->weight[j][2], w->z, sizeof w->z);
        k->over_white[j][0] = 1.0 / w->white_x;
        k->over_white[j][1] = 1.0 / w->white_y;
        k->over_white[j][2] = 1.0 / w->white_z;
        k->from[j] = mdr_residual_from_standard(mdr_lab_of_curve(&s->standard, w), &s->formula);
        k->light_scale[j] = j == 0 ? 1.0 : s->tie_weight * s->light_weight[j] / sum;
    }
    for (int b = 0; k->spectrum && b < MDR_BANDS; b++) {
        k->band_scale[b] = PERCENT * PERCENT * s->tie_weight / MDR_BANDS;
    }
}

mdr_code mdr_kernel_make(const mdr_cloth *cloth, const mdr_target *shade, const mdr_dye *dyes,
                         int n, mdr_arena *arena, mdr_kernel **out, mdr_err *err)
{
    MDR_TRY(check_shade(shade, err));
    if (n < 1 || n > DYES_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "dyes", "dyes to choose from");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "1 to %d", DYES_MAX);
        return rc;
    }
    mdr_kernel *k = MDR_NEW(arena, mdr_kernel);
    mdr_kernel_dye *table = MDR_NEW_N(arena, mdr_kernel_dye, (size_t)n);
    if (k == NULL || table == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "dyes", "no memory for the search");
    }
    for (int i = 0; i < n; i++) {
        mdr_code rc = check_dye(&dyes[i], err);
        if (rc == MDR_OK) {
            rc = tabulate(&dyes[i], arena, &table[i], err);
        }
        if (rc != MDR_OK) {
            mdr_err_within(err, "dyes[%d]", i);
            return rc;
        }
    }
    memcpy(k->cloth_ks, cloth->ks.v, sizeof cloth->ks.v);
    memcpy(k->standard, shade->standard.v, sizeof shade->standard.v);
    k->cloth_ks[MDR_LANES - 1] = 1.0; /* padding: anything finite */
    k->surface = cloth->surface;
    k->tie_weight = shade->tie_weight;
    k->dyes = table;
    k->n_dyes = n;
    set_lights(shade, k);
    *out = k;
    return MDR_OK;
}

void mdr_kernel_pull_on_ks(const mdr_kernel_point *p, double pull[MDR_LANES])
{
    for (int i = 0; i < MDR_LANES; i++) {
        pull[i] = p->pull[i] * p->slope[i];
    }
}

double mdr_kernel_first_drop(const mdr_kernel *k, int dye, const double pull[MDR_LANES])
{
    const double *first = k->dyes[dye].coef + MDR_LANES;
    double sum[4] = {0};
    for (int i = 0; i < MDR_LANES; i += 4) {
        for (int l = 0; l < 4; l++) {
            sum[l] += pull[i + l] * first[i + l];
        }
    }
    return (sum[0] + sum[2]) + (sum[1] + sum[3]);
}
