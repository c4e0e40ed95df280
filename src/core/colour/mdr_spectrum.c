#include "core/colour/mdr_spectrum.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

static const double GRID_SLACK = 1e-9; /* invented: rounding of (nm - start) / step */

static double last_nm(const mdr_spectrum *s)
{
    return s->start_nm + s->step_nm * (s->n - 1);
}

static mdr_code wrong(mdr_err *err, const char *place, double value, const char *why,
                      const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "%s", why);
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static mdr_code check_values(const double *v, int n, mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        if (!(v[i] >= 0.0 && v[i] <= MDR_REFLECTANCE_MOST)) {
            const mdr_code rc = wrong(err, "", v[i], "this is no reflectance factor", "0 to 1.5");
            mdr_err_within(err, "v[%d]", i);
            mdr_err_remedy(err, "give fractions (0.35, not 35), and calibrate black and white again"
                                " if a dark sample measures below 0");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_grid(double start_nm, double step_nm, int n, mdr_err *err)
{
    if (!(step_nm >= MDR_SPECTRUM_STEP_LEAST_NM && step_nm <= MDR_SPECTRUM_STEP_MOST_NM)) {
        return wrong(err, "step_nm", step_nm, "steps of this width cannot be used", "1 to 20 nm");
    }
    if (n < 2 || n > MDR_SPECTRUM_MAX) {
        return wrong(err, "n", n, "a spectrum cannot have this many values", "2 to 491");
    }
    const double end_nm = start_nm + step_nm * (n - 1);
    if (!(start_nm >= MDR_SPECTRUM_LEAST_NM && start_nm <= MDR_SPECTRUM_FROM_NM)) {
        return wrong(err, "start_nm", start_nm, "the spectrum cannot begin here", "340 to 420 nm");
    }
    if (!(end_nm >= MDR_SPECTRUM_TO_NM && end_nm <= MDR_SPECTRUM_MOST_NM + GRID_SLACK)) {
        return wrong(err, "n", end_nm, "the spectrum cannot end here", "660 to 830 nm");
    }
    return MDR_OK;
}

mdr_code mdr_spectrum_check(const mdr_spectrum *s, mdr_err *err)
{
    MDR_TRY(check_grid(s->start_nm, s->step_nm, s->n, err));
    return check_values(s->v, s->n, err);
}

mdr_code mdr_curve_check(const mdr_curve *c, mdr_err *err)
{
    return check_values(c->v, MDR_BANDS, err);
}

mdr_code mdr_spectrum_make(double start_nm, double step_nm, const double *v, int n,
                           mdr_spectrum *out, mdr_err *err)
{
    MDR_TRY(check_grid(start_nm, step_nm, n, err));
    MDR_TRY(check_values(v, n, err));
    out->start_nm = start_nm;
    out->step_nm = step_nm;
    out->n = n;
    memset(out->v, 0, sizeof out->v);
    memcpy(out->v, v, (size_t)n * sizeof *v);
    return MDR_OK;
}

/* Lagrange's weights of the m points at x[0..m-1] for the place `at`. */
static void lagrange(const double *x, int m, double at, double *w)
{
    for (int i = 0; i < m; i++) {
        w[i] = 1.0;
        for (int k = 0; k < m; k++) {
            if (k != i) {
                w[i] *= (at - x[k]) / (x[i] - x[k]);
            }
        }
    }
}

int mdr_lagrange_weights(double p, int n, double w[4])
{
    const int interval = (int)fmin(fmax(floor(p), 0.0), n - 2.0);
    const bool at_low_end = interval == 0;
    const bool at_end = at_low_end || interval == n - 2;
    const int first = at_low_end ? 0 : interval - 1;
    const double x[4] = {first, first + 1.0, first + 2.0, first + 3.0};
    w[3] = 0.0;
    lagrange(x, at_end ? 3 : 4, p, w);
    return first;
}

double mdr_spectrum_at(const mdr_spectrum *s, double wavelength_nm)
{
    const double p = (wavelength_nm - s->start_nm) / s->step_nm;
    if (p <= 0.0) {
        return s->v[0];
    }
    if (p >= s->n - 1.0) {
        return s->v[s->n - 1];
    }
    const double nearest = round(p);
    if (fabs(p - nearest) < GRID_SLACK) {
        return s->v[(int)nearest];
    }
    double w[4], sum = 0.0;
    const int first = mdr_lagrange_weights(p, s->n, w);
    for (int k = 0; k < 4 && first + k < s->n; k++) {
        sum += w[k] * s->v[first + k];
    }
    return sum;
}

mdr_curve mdr_curve_of_spectrum(const mdr_spectrum *s, mdr_curve_notes *notes)
{
    mdr_curve c;
    mdr_curve_notes n = {
        .held_low = s->start_nm > MDR_BAND_START_NM + GRID_SLACK,
        .held_high =
            last_nm(s) < MDR_BAND_START_NM + MDR_BAND_STEP_NM * (MDR_BANDS - 1) - GRID_SLACK,
    };
    for (int i = 0; i < MDR_BANDS; i++) {
        const double v = mdr_spectrum_at(s, MDR_BAND_START_NM + MDR_BAND_STEP_NM * i);
        n.cut += v < 0.0;
        c.v[i] = fmax(v, 0.0);
    }
    if (notes != NULL) {
        *notes = n;
    }
    return c;
}

mdr_spectrum mdr_spectrum_of_curve(const mdr_curve *c)
{
    mdr_spectrum s = {.start_nm = MDR_BAND_START_NM, .step_nm = MDR_BAND_STEP_NM, .n = MDR_BANDS};
    memcpy(s.v, c->v, sizeof c->v);
    return s;
}

/* Shell's sort: few lines, and fast enough for the few hundred points a curve has. */
static void sort_points(mdr_spectral_point *p, int n)
{
    for (int gap = n / 2; gap > 0; gap /= 2) {
        for (int i = gap; i < n; i++) {
            const mdr_spectral_point moving = p[i];
            int k = i;
            for (; k >= gap && p[k - gap].wavelength_nm > moving.wavelength_nm; k -= gap) {
                p[k] = p[k - gap];
            }
            p[k] = moving;
        }
    }
}

static mdr_code check_point(const mdr_spectral_point *p, int i, mdr_err *err)
{
    if (!(p->wavelength_nm >= MDR_SPECTRUM_LEAST_NM && p->wavelength_nm <= MDR_SPECTRUM_MOST_NM)) {
        const mdr_code rc = wrong(err, "wavelength_nm", p->wavelength_nm,
                                  "this is no wavelength of a reflectance", "340 to 830 nm");
        mdr_err_within(err, "points[%d]", i);
        return rc;
    }
    if (!(p->v >= 0.0 && p->v <= MDR_REFLECTANCE_MOST)) {
        const mdr_code rc = wrong(err, "v", p->v, "this is no reflectance factor", "0 to 1.5");
        mdr_err_within(err, "points[%d]", i);
        return rc;
    }
    return MDR_OK;
}

/* Both tests on points in order of wavelength. */
static mdr_code check_gaps(const mdr_spectral_point *p, int n, mdr_err *err)
{
    for (int i = 1; i < n; i++) {
        const double gap_nm = p[i].wavelength_nm - p[i - 1].wavelength_nm;
        if (gap_nm <= 0.0) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "wavelength_nm",
                                         "the same wavelength is there twice");
            mdr_err_value(err, "%g", p[i].wavelength_nm);
            mdr_err_remedy(err, "keep one of the two values, or their mean");
            return rc;
        }
        if (gap_nm > MDR_SPECTRUM_STEP_MOST_NM + MDR_SPECTRUM_REGULAR_WITH_NM) {
            const mdr_code rc = wrong(err, "wavelength_nm", gap_nm,
                                      "too wide a gap between two wavelengths", "at most 20 nm");
            mdr_err_remedy(err, "the gap begins at %g nm: measure the range between as well",
                           p[i - 1].wavelength_nm);
            return rc;
        }
    }
    return MDR_OK;
}

static bool is_regular(const mdr_spectral_point *p, int n, double step_nm)
{
    for (int i = 0; i < n; i++) {
        const double want_nm = p[0].wavelength_nm + step_nm * i;
        if (fabs(p[i].wavelength_nm - want_nm) > MDR_SPECTRUM_REGULAR_WITH_NM) {
            return false;
        }
    }
    return step_nm >= MDR_SPECTRUM_STEP_LEAST_NM;
}

static double nice_step_nm(double mean_nm)
{
    static const double STEPS_NM[] = {20.0, 10.0, 5.0, 2.0, 1.0};
    for (size_t i = 0; i < sizeof STEPS_NM / sizeof STEPS_NM[0]; i++) {
        if (STEPS_NM[i] <= mean_nm * (1.0 + GRID_SLACK)) {
            return STEPS_NM[i];
        }
    }
    return 1.0;
}

/* The value at `at_nm` by the cubic through the points; *hint is an interval at or before it. */
static double value_at(const mdr_spectral_point *p, int n, double at_nm, int *hint)
{
    while (*hint < n - 2 && p[*hint + 1].wavelength_nm <= at_nm) {
        (*hint)++;
    }
    const int interval = *hint;
    const int first = interval == 0 ? 0 : interval - 1;
    const int m = interval == 0 || interval == n - 2 ? 3 : 4;
    double x[4], w[4], sum = 0.0;
    for (int k = 0; k < m; k++) {
        x[k] = p[first + k].wavelength_nm;
    }
    lagrange(x, m, at_nm, w);
    for (int k = 0; k < m; k++) {
        sum += w[k] * p[first + k].v;
    }
    return sum;
}

static mdr_code resample(const mdr_spectral_point *p, int n, double mean_nm, mdr_spectrum *out,
                         mdr_err *err)
{
    const double step_nm = nice_step_nm(mean_nm);
    const double start_nm = step_nm * ceil(p[0].wavelength_nm / step_nm - GRID_SLACK);
    const int count = 1 + (int)floor((p[n - 1].wavelength_nm - start_nm) / step_nm + GRID_SLACK);
    MDR_TRY(check_grid(start_nm, step_nm, count, err));
    mdr_spectrum s = {.start_nm = start_nm, .step_nm = step_nm, .n = count};
    int hint = 0;
    for (int i = 0; i < count; i++) {
        /* between measured points a cubic may swing below 0; no cloth reflects less than nothing */
        s.v[i] = fmax(value_at(p, n, start_nm + step_nm * i, &hint), 0.0);
    }
    MDR_TRY(check_values(s.v, count, err));
    *out = s;
    return MDR_OK;
}

/* Regular points as they are; a step of 9.9999 is a 10 with its digits cut off. */
static mdr_code take_over(const mdr_spectral_point *p, int n, double mean_nm, mdr_spectrum *out,
                          mdr_err *err)
{
    MDR_TRY(check_grid(p[0].wavelength_nm, mean_nm, n, err));
    const double tidy_nm = round(mean_nm);
    out->start_nm = p[0].wavelength_nm;
    out->step_nm = is_regular(p, n, tidy_nm) ? tidy_nm : mean_nm;
    out->n = n;
    memset(out->v, 0, sizeof out->v);
    for (int i = 0; i < n; i++) {
        out->v[i] = p[i].v;
    }
    return MDR_OK;
}

static mdr_code check_points(const mdr_spectral_point *points, int n, mdr_err *err)
{
    if (n < 4) {
        return wrong(err, "n", n, "too few points for a spectrum", "4 or more");
    }
    for (int i = 0; i < n; i++) {
        MDR_TRY(check_point(&points[i], i, err));
    }
    return MDR_OK;
}

mdr_code mdr_spectrum_of_points(const mdr_spectral_point *points, int n, mdr_arena *arena,
                                mdr_spectrum *out, bool *resampled, mdr_err *err)
{
    MDR_TRY(check_points(points, n, err));
    mdr_spectral_point *p = MDR_NEW_N(arena, mdr_spectral_point, (size_t)n);
    if (p == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d points", n);
    }
    memcpy(p, points, (size_t)n * sizeof *p);
    sort_points(p, n);
    MDR_TRY(check_gaps(p, n, err));
    const double mean_nm = (p[n - 1].wavelength_nm - p[0].wavelength_nm) / (n - 1);
    const bool regular = is_regular(p, n, mean_nm);
    MDR_TRY(regular ? take_over(p, n, mean_nm, out, err) : resample(p, n, mean_nm, out, err));
    *resampled = !regular;
    return MDR_OK;
}
