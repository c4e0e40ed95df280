#include "core/recipe/mdr_apparent.h"

#include <math.h>
#include <string.h>

enum { U = MDR_UNKNOWNS, STEPS_MAX = 60, HALVINGS = 20 };
static const double STEP_MOST = 0.5;   /* of a logarithm: strengths double at most in two steps */
static const double STEP_LEAST = 1e-9; /* far below what any balance tells */
static const double PERCENT = 100.0;

/* The model at a set of logarithms: K/S, its slope with each, and the curve. */
typedef struct state {
    mdr_curve ks, curve;
    double slope[U][MDR_BANDS]; /* of the measured curve */
    double badness;             /* sum of squares over their standard deviations */
} state;

static double sd_at(const mdr_correct_in *in, int b)
{
    const double fixed = in->measure_sd_pct / PERCENT;
    const double part = in->measure_sd_part * in->sample.v[b];
    return sqrt(fixed * fixed + part * part);
}

static double prior_sd(const mdr_correct_in *in, int u)
{
    return u < in->n ? in->strength_sd : in->cloth_sd;
}

static void evaluate(const mdr_correct_in *in, const double *log_factor, state *s)
{
    const double cloth = exp(log_factor[in->n]);
    for (int b = 0; b < MDR_BANDS; b++) {
        s->ks.v[b] = s->slope[in->n][b] = cloth * in->cloth->ks.v[b];
    }
    for (int i = 0; i < in->n; i++) {
        const mdr_part *p = &in->parts[i];
        const double depth = p->depth_pct_owf * p->strength_factor * exp(log_factor[i]);
        double added[MDR_BANDS];
        mdr_ladder_ks(p->ladder, depth, added, s->slope[i]);
        for (int b = 0; b < MDR_BANDS; b++) {
            s->ks.v[b] += added[b];
            s->slope[i][b] *= depth; /* with the logarithm */
        }
    }
    mdr_km_measured(&s->ks, &in->cloth->surface, &s->curve);
    s->badness = 0.0;
    for (int b = 0; b < MDR_BANDS; b++) {
        const double inside = mdr_km_r_of_ks(s->ks.v[b]);
        const double inner = 1.0 - in->cloth->surface.k2 * inside;
        const double down = in->cloth->surface.gain / (inner * inner) * mdr_km_slope(inside);
        const double miss = (s->curve.v[b] - in->sample.v[b]) / sd_at(in, b);
        for (int u = 0; u <= in->n; u++) {
            s->slope[u][b] *= down;
        }
        s->badness += miss * miss;
    }
    for (int u = 0; u <= in->n; u++) {
        const double off = log_factor[u] / prior_sd(in, u);
        s->badness += off * off;
    }
}

/* Normal equations: information and pull of the measurement and of what is usual. */
static void normal(const mdr_correct_in *in, const double *log_factor, const state *s,
                   double a[U][U], double *g)
{
    const int n = in->n + 1;
    for (int i = 0; i < n; i++) {
        const double sd = prior_sd(in, i);
        g[i] = -log_factor[i] / (sd * sd);
        for (int k = 0; k < n; k++) {
            a[i][k] = i == k ? 1.0 / (sd * sd) : 0.0;
        }
    }
    for (int b = 0; b < MDR_BANDS; b++) {
        const double sd = sd_at(in, b), weight = 1.0 / (sd * sd);
        for (int i = 0; i < n; i++) {
            g[i] -= weight * s->slope[i][b] * (s->curve.v[b] - in->sample.v[b]);
            for (int k = 0; k < n; k++) {
                a[i][k] += weight * s->slope[i][b] * s->slope[k][b];
            }
        }
    }
}

/* Inverse in place by elimination; positive definite, for what is usual stands on its diagonal. */
static void invert(double a[U][U], int n)
{
    for (int k = 0; k < n; k++) {
        const double over = 1.0 / a[k][k];
        a[k][k] = 1.0;
        for (int j = 0; j < n; j++) {
            a[k][j] *= over;
        }
        for (int i = 0; i < n; i++) {
            const double f = a[i][k];
            if (i == k) {
                continue;
            }
            a[i][k] = 0.0;
            for (int j = 0; j < n; j++) {
                a[i][j] -= f * a[k][j];
            }
        }
    }
}

/* Tries the step, then half of it and so on; false when none of it helps. */
static bool take_step(const mdr_correct_in *in, const double *step, double *log_factor, state *s)
{
    double part = 1.0;
    for (int i = 0; i <= in->n; i++) {
        part = fmin(part, STEP_MOST / fmax(fabs(step[i]), STEP_LEAST));
    }
    for (int halving = 0; halving < HALVINGS; halving++) {
        double to[U] = {0};
        state next;
        for (int i = 0; i <= in->n; i++) {
            to[i] = log_factor[i] + part * step[i];
        }
        part *= 0.5;
        evaluate(in, to, &next);
        if (next.badness < s->badness) {
            memcpy(log_factor, to, sizeof to);
            *s = next;
            return true;
        }
    }
    return false;
}

void mdr_apparent_find(const mdr_correct_in *in, mdr_apparent_fit *out)
{
    const int n = in->n + 1;
    double log_factor[U] = {0}, a[U][U] = {{0}}, g[U] = {0};
    state s;
    evaluate(in, log_factor, &s);
    for (int it = 0; it < STEPS_MAX; it++) {
        double step[U] = {0}, most = 0.0;
        normal(in, log_factor, &s, a, g);
        invert(a, n);
        for (int i = 0; i < n; i++) {
            for (int k = 0; k < n; k++) {
                step[i] += a[i][k] * g[k];
            }
            most = fmax(most, fabs(step[i]));
        }
        if (most < STEP_LEAST || !take_step(in, step, log_factor, &s)) {
            break;
        }
    }
    normal(in, log_factor, &s, a, g);
    invert(a, n);
    memcpy(out->log, log_factor, sizeof out->log);
    memcpy(out->covariance, a, sizeof out->covariance);
    out->ks = s.ks;
}
