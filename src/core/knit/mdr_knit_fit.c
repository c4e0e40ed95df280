#include "core/knit/mdr_knit_fit.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* [student-t] two-sided 95 %, df 1 .. 30 */
static const double T95[] = {12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
                             2.201,  2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
                             2.080,  2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042};
enum { DF_MAX = sizeof T95 / sizeof T95[0] };

/* [dixon-q] r10, two-sided 95 %, n 3 .. 10 */
static const double DIXON95[] = {0.970, 0.829, 0.710, 0.625, 0.568, 0.526, 0.493, 0.466};
enum { DIXON_MIN = 3, DIXON_MAX = 10 };

/* [modified-z] */
static const double MAD_TO_SD = 0.6745, MODIFIED_Z_MAX = 3.5;

static const double READING_FRAC = 0.02; /* common practice: what a count can be off by */

double mdr_knit_t95(int df)
{
    if (df < 1 || df > (int)DF_MAX) {
        MDR_UNREACHABLE();
    }
    return T95[df - 1];
}

/* Indices of v in increasing order. */
static void sort(const double *v, int n, int *order)
{
    for (int i = 0; i < n; i++) {
        int at = i;
        for (; at > 0 && v[order[at - 1]] > v[i]; at--) {
            order[at] = order[at - 1];
        }
        order[at] = i;
    }
}

static double median(const double *v, int n)
{
    int order[MDR_KNIT_SAMPLES_MAX] = {0};
    sort(v, n, order);
    return 0.5 * (v[order[(n - 1) / 2]] + v[order[n / 2]]);
}

static int dixon(const double *v, int n, double mean)
{
    int order[MDR_KNIT_SAMPLES_MAX] = {0};
    sort(v, n, order);
    const double low_gap = v[order[1]] - v[order[0]];
    const double high_gap = v[order[n - 1]] - v[order[n - 2]];
    const double range = v[order[n - 1]] - v[order[0]];
    const bool at_low = low_gap > high_gap;
    const double gap = at_low ? low_gap : high_gap;
    const bool stands_out = gap > DIXON95[n - DIXON_MIN] * range && gap >= READING_FRAC * mean;
    return stands_out ? order[at_low ? 0 : n - 1] : -1;
}

static int modified_z(const double *v, int n, double mean)
{
    double away[MDR_KNIT_SAMPLES_MAX] = {0};
    const double middle = median(v, n);
    int farthest = 0;
    for (int i = 0; i < n; i++) {
        away[i] = fabs(v[i] - middle);
        farthest = away[i] > away[farthest] ? i : farthest;
    }
    const bool stands_out = MAD_TO_SD * away[farthest] > MODIFIED_Z_MAX * median(away, n) &&
                            away[farthest] >= READING_FRAC * mean;
    return stands_out ? farthest : -1;
}

static int outlier(const double *v, int n, double mean)
{
    if (n < DIXON_MIN) {
        return -1;
    }
    return n <= DIXON_MAX ? dixon(v, n, mean) : modified_z(v, n, mean);
}

static mdr_knit_stat stat_of(const double *v, int n)
{
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < n; i++) {
        sum += v[i];
    }
    const double mean = sum / n;
    for (int i = 0; i < n; i++) {
        squares += (v[i] - mean) * (v[i] - mean);
    }
    const double sd = sqrt(squares / (n - 1)), se = sd / sqrt(n);
    const double half = mdr_knit_t95(n - 1) * se;
    return (mdr_knit_stat){.mean = mean,
                           .sd = sd,
                           .se = se,
                           .low = mean - half,
                           .high = mean + half,
                           .cv_pct = 100.0 * sd / mean,
                           .outlier = outlier(v, n, mean)};
}

static mdr_code check_sample(const mdr_knit_sample *s, mdr_err *err)
{
    /* invented: wider than any cotton knit, to catch a wrong unit */
    const struct {
        const char *place;
        double value, least, most;
        const char *unit;
    } fields[] = {{"loop_cm", s->loop_cm, 0.05, 2.0, "cm"},
                  {"yarn", s->yarn.g_per_km, 1.0, 500.0, "tex"},
                  {"courses_per_cm", s->courses_per_cm, 1.0, 100.0, "per cm"},
                  {"wales_per_cm", s->wales_per_cm, 1.0, 100.0, "per cm"},
                  {"gsm", s->gsm, 10.0, 2000.0, "g/m2"}};
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        const double v = fields[i].value;
        if (!(v >= fields[i].least && v <= fields[i].most)) { /* true for NaN too */
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, fields[i].place, "not a possible washed sample");
            mdr_err_value(err, "%g", v);
            mdr_err_allowed(err, "%g to %g %s", fields[i].least, fields[i].most, fields[i].unit);
            mdr_err_remedy(err, "check the unit, or measure the sample again");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check(const mdr_knit_sample *samples, int n, double beds, mdr_err *err)
{
    if (n < MDR_KNIT_SAMPLES_MIN || n > MDR_KNIT_SAMPLES_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "samples", "too few or too many samples");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "%d to %d", MDR_KNIT_SAMPLES_MIN, MDR_KNIT_SAMPLES_MAX);
        mdr_err_remedy(err, "one sample says nothing about its own scatter: wash three");
        return rc;
    }
    if (beds != 1.0 && beds != 2.0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "beds", "a knit has one bed or two");
        mdr_err_value(err, "%g", beds);
        mdr_err_allowed(err, "1 or 2");
        mdr_err_remedy(err, "2 for rib and interlock, 1 for the others");
        return rc;
    }
    for (int i = 0; i < n; i++) {
        const mdr_code rc = check_sample(&samples[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "samples[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

mdr_code mdr_knit_fit_samples(const mdr_knit_sample *samples, int n, double beds, mdr_knit_fit *out,
                              mdr_err *err)
{
    MDR_TRY(check(samples, n, beds, err));
    double kc_cm[MDR_KNIT_SAMPLES_MAX] = {0}, kw_cm[MDR_KNIT_SAMPLES_MAX] = {0};
    double ks_eff[MDR_KNIT_SAMPLES_MAX] = {0}, factor[MDR_KNIT_SAMPLES_MAX] = {0};
    for (int i = 0; i < n; i++) {
        const mdr_knit_sample *s = &samples[i];
        const mdr_knit k = {.yarn = s->yarn, .loop_cm = s->loop_cm};
        kc_cm[i] = s->courses_per_cm * s->loop_cm;
        kw_cm[i] = s->wales_per_cm * s->loop_cm;
        const mdr_knit_constants bare = {.kc_cm = kc_cm[i],
                                         .kw_cm = kw_cm[i],
                                         .beds = beds,
                                         .gsm_factor = 1.0,
                                         .length_factor = 1.0,
                                         .width_factor = 1.0};
        ks_eff[i] = mdr_knit_ks_of_gsm(&k, &bare, s->gsm);
        factor[i] = ks_eff[i] / mdr_knit_ks_eff(&bare);
    }
    *out = (mdr_knit_fit){.n = n,
                          .kc_cm = stat_of(kc_cm, n),
                          .kw_cm = stat_of(kw_cm, n),
                          .ks_eff = stat_of(ks_eff, n),
                          .gsm_factor = stat_of(factor, n)};
    return MDR_OK;
}

mdr_knit_constants mdr_knit_fit_constants(const mdr_knit_fit *fit, double beds)
{
    return (mdr_knit_constants){.kc_cm = fit->kc_cm.mean,
                                .kw_cm = fit->kw_cm.mean,
                                .beds = beds,
                                .gsm_factor =
                                    fit->ks_eff.mean / (fit->kc_cm.mean * fit->kw_cm.mean * beds),
                                .length_factor = 1.0,
                                .width_factor = 1.0,
                                .grade = MDR_KNIT_OWN};
}
