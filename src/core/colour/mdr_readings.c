#include "core/colour/mdr_readings.h"

#include <math.h>
#include <stddef.h>

/* [student-t] by SciPy 1.10: two-sided 5 %/n at n - 2 degrees of freedom, n = 3 .. 30; more readings take the last */
static const double T_LEAST[] = {38.1885, 8.8602, 5.8409, 4.8510, 4.3818, 4.1152, 3.9467,
                                 3.8325,  3.7513, 3.6915, 3.6462, 3.6112, 3.5838, 3.5621,
                                 3.5447,  3.5306, 3.5193, 3.5101, 3.5027, 3.4966, 3.4918,
                                 3.4880,  3.4850, 3.4827, 3.4809, 3.4797, 3.4790, 3.4786};
enum { T_FIRST = 3, T_LAST = 30 };

static const double T_MOST = 1e6, TINY = 1e-30; /* invented */
static const double GRID_SLACK = 1e-9;          /* invented: nm */

static mdr_code check_one(const mdr_reading *all, int i, mdr_err *err)
{
    const mdr_spectrum *s = all[i].spectrum;
    const mdr_spectrum *first = all[0].spectrum;
    if (mdr_spectrum_check(s, err) != MDR_OK) {
        mdr_err_within(err, "readings[%d]", i);
        return MDR_E_RANGE;
    }
    if (s->n != first->n || fabs(s->start_nm - first->start_nm) > GRID_SLACK ||
        fabs(s->step_nm - first->step_nm) > GRID_SLACK) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_CONFLICT, "", "readings on different wavelengths have no mean");
        mdr_err_within(err, "readings[%d]", i);
        mdr_err_value(err, "%d values from %g nm, every %g", s->n, s->start_nm, s->step_nm);
        mdr_err_allowed(err, "%d values from %g nm, every %g", first->n, first->start_nm,
                        first->step_nm);
        return rc;
    }
    if (all[i].specular != all[0].specular) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "specular",
                                     "readings with and without mirror reflection have no mean");
        mdr_err_within(err, "readings[%d]", i);
        mdr_err_remedy(err, "average each kind separately");
        return rc;
    }
    return MDR_OK;
}

/* The mean of all but one; `without` -1: of all. */
static void mean_spectrum(const mdr_reading *all, int n, int without, mdr_spectrum *out)
{
    const mdr_spectrum *first = all[0].spectrum;
    out->start_nm = first->start_nm;
    out->step_nm = first->step_nm;
    out->n = first->n;
    const int kept = without < 0 ? n : n - 1;
    for (int k = 0; k < first->n; k++) {
        double sum = 0.0;
        for (int i = 0; i < n; i++) {
            sum += i == without ? 0.0 : all[i].spectrum->v[k];
        }
        out->v[k] = sum / kept;
    }
}

static mdr_lab mean_lab(const mdr_lab *labs, int n, int without)
{
    mdr_lab sum = {0.0, 0.0, 0.0};
    const int kept = without < 0 ? n : n - 1;
    for (int i = 0; i < n; i++) {
        if (i != without) {
            sum.l += labs[i].l;
            sum.a += labs[i].a;
            sum.b += labs[i].b;
        }
    }
    return (mdr_lab){sum.l / kept, sum.a / kept, sum.b / kept};
}

static void scatter(const mdr_lab *labs, mdr_readings *r)
{
    const mdr_lab mean = mean_lab(labs, r->n, -1);
    double l = 0.0, a = 0.0, b = 0.0;
    for (int i = 0; i < r->n; i++) {
        l += (labs[i].l - mean.l) * (labs[i].l - mean.l);
        a += (labs[i].a - mean.a) * (labs[i].a - mean.a);
        b += (labs[i].b - mean.b) * (labs[i].b - mean.b);
    }
    const double f = r->n > 1 ? r->n - 1.0 : 1.0;
    r->sd_l = sqrt(l / f);
    r->sd_a = sqrt(a / f);
    r->sd_b = sqrt(b / f);
}

static void distances(const mdr_lab *labs, const mdr_difference_spec *spec, double *de,
                      mdr_readings *r)
{
    for (int i = 0; i < r->n; i++) {
        de[i] = mdr_difference_of(r->lab, labs[i], spec).de;
        r->mean_de += de[i] / r->n;
        r->worst_de = fmax(r->worst_de, de[i]);
        for (int k = 0; k < i; k++) {
            const double pair = mdr_difference_of(labs[k], labs[i], spec).de;
            if (pair > r->pair_de) {
                r->pair_de = pair;
                r->pair_first = k;
                r->pair_second = i;
            }
        }
    }
    r->de = de;
}

/* t of reading i against the others, and its distance from their mean. */
static double apart(const mdr_lab *labs, int n, int i, double *de)
{
    const mdr_lab others = mean_lab(labs, n, i);
    double squares = 0.0;
    for (int k = 0; k < n; k++) {
        const double d = mdr_difference_76(others, labs[k]);
        squares += k == i ? 0.0 : d * d;
    }
    *de = mdr_difference_76(others, labs[i]);
    const double own = *de * sqrt((n - 1.0) / n);
    /* others that agree to the last digit leave no scale: as far apart as a number should say */
    return fmin(own / fmax(sqrt(squares / (n - 2.0)), TINY), T_MOST);
}

static void find_outlier(const mdr_lab *labs, mdr_readings *r)
{
    r->outlier = -1;
    if (r->n < T_FIRST) {
        return;
    }
    const double least = T_LEAST[(r->n < T_LAST ? r->n : T_LAST) - T_FIRST];
    for (int i = 0; i < r->n; i++) {
        double de = 0.0;
        const double t = apart(labs, r->n, i, &de);
        if (t > least && de > MDR_READINGS_NOISE_DE && (r->outlier < 0 || t > r->outlier_t)) {
            r->outlier = i;
            r->outlier_t = t;
            r->outlier_de = de;
        }
    }
}

static mdr_lab lab_under(const mdr_spectrum *s, const mdr_grid_weights *w)
{
    double x = 0.0, y = 0.0, z = 0.0;
    for (int i = 0; i < s->n; i++) {
        x += s->v[i] * w->x[i];
        y += s->v[i] * w->y[i];
        z += s->v[i] * w->z[i];
    }
    return mdr_lab_of_xyz((mdr_xyz){x, y, z}, mdr_white_of_grid(w));
}

mdr_code mdr_readings_of(const mdr_reading *readings, int n, const mdr_reading_light *light,
                         mdr_arena *arena, const mdr_readings **out, mdr_err *err)
{
    if (n < 1 || n > MDR_READINGS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "n", "a mean needs readings");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "1 to 1000");
        return rc;
    }
    for (int i = 0; i < n; i++) {
        MDR_TRY(check_one(readings, i, err));
    }
    mdr_readings *r = MDR_NEW(arena, mdr_readings);
    mdr_lab *labs = MDR_NEW_N(arena, mdr_lab, (size_t)n);
    double *de = MDR_NEW_N(arena, double, (size_t)n);
    mdr_spectrum *without = MDR_NEW(arena, mdr_spectrum);
    mdr_grid_weights *w = MDR_NEW(arena, mdr_grid_weights);
    if (r == NULL || labs == NULL || de == NULL || without == NULL || w == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d readings", n);
    }
    mdr_grid_weights_of(light->illuminant, light->observer, readings[0].spectrum, w);
    for (int i = 0; i < n; i++) {
        labs[i] = lab_under(readings[i].spectrum, w);
    }
    r->n = n;
    r->specular = readings[0].specular;
    mean_spectrum(readings, n, -1, &r->mean);
    r->lab = lab_under(&r->mean, w);
    scatter(labs, r);
    distances(labs, &light->spec, de, r);
    find_outlier(labs, r);
    if (r->outlier >= 0) {
        mean_spectrum(readings, n, r->outlier, without);
        r->mean_without = without;
    }
    *out = r;
    return MDR_OK;
}
