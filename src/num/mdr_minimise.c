#include "num/mdr_minimise.h"

#include <math.h>
#include <nlopt.h>
#include <string.h>

enum { N = MDR_MINIMISE_X_MAX, M = MDR_MINIMISE_G_MAX, ROUNDS_MAX = 6 };
static const double GAIN_LEAST = 1e-3; /* of f: less is not worth another round; invented */
static const double STEP_END = 1e-6;   /* of the distance of the limits; invented */

/* The limits are mapped to 0 .. 1; numbers that cannot move are left out. */
typedef struct run {
    const mdr_minimise_problem *p;
    int moving[N], n;
    double fixed[N];       /* all numbers, for those that stay */
    double at[N], f, g[M]; /* the last value taken */
    double slope_at[N], slope_f[N], slope_g[M][N];
    bool have_value, have_slope, stopped;
    double best[N], best_f, best_worst;
    bool have_best;
    nlopt_opt opt;
    int values;
} run;

static void real_x(const run *r, const double *u, double *x)
{
    memcpy(x, r->fixed, sizeof r->fixed);
    for (int i = 0; i < r->n; i++) {
        const int k = r->moving[i];
        x[k] = r->p->low[k] + u[i] * (r->p->high[k] - r->p->low[k]);
    }
}

static double worst_of(const run *r, const double *g)
{
    double worst = r->p->m > 0 ? g[0] : 0.0;
    for (int j = 1; j < r->p->m; j++) {
        worst = fmax(worst, g[j]);
    }
    return worst;
}

static void remember(run *r, const double *x, double f, double worst)
{
    const bool kept = worst <= r->p->within;
    const bool best_kept = r->best_worst <= r->p->within;
    const bool better = !r->have_best || (kept && !best_kept) ||
                        (kept == best_kept && (kept ? f < r->best_f : worst < r->best_worst));
    if (better) {
        memcpy(r->best, x, sizeof r->best);
        r->best_f = f;
        r->best_worst = worst;
        r->have_best = true;
    }
}

static bool value_at(run *r, const double *u, double *f, double *g)
{
    double x[N];
    if (r->stopped || r->values >= r->p->values_max) {
        r->stopped = true;
        return false;
    }
    real_x(r, u, x);
    r->values++;
    if (!r->p->value(r->p->about, x, f, g)) {
        r->stopped = true;
        return false;
    }
    remember(r, x, *f, worst_of(r, g));
    return true;
}

static bool need_value(run *r, const double *u)
{
    const size_t size = (size_t)r->n * sizeof *u;
    if (!r->have_value || memcmp(u, r->at, size) != 0) {
        r->have_value = value_at(r, u, &r->f, r->g);
        memcpy(r->at, u, size);
    }
    return r->have_value;
}

/* Inwards where the step would leave the limits. */
static bool need_slope(run *r, const double *u)
{
    const size_t size = (size_t)r->n * sizeof *u;
    double moved[N] = {0.0}, f, g[M];
    if (!need_value(r, u)) {
        return false;
    }
    if (r->have_slope && memcmp(u, r->slope_at, size) == 0) {
        return true;
    }
    for (int i = 0; i < r->n; i++) {
        const double step = u[i] + r->p->difference > 1.0 ? -r->p->difference : r->p->difference;
        memcpy(moved, u, size);
        moved[i] += step;
        if (!value_at(r, moved, &f, g)) {
            return false;
        }
        r->slope_f[i] = (f - r->f) / step;
        for (int j = 0; j < r->p->m; j++) {
            r->slope_g[j][i] = (g[j] - r->g[j]) / step;
        }
    }
    memcpy(r->slope_at, u, size);
    return r->have_slope = true;
}

static double objective(unsigned n, const double *u, double *slope, void *about)
{
    run *r = about;
    if (!need_value(r, u) || (slope != NULL && !need_slope(r, u))) {
        (void)nlopt_force_stop(r->opt);
        return r->have_value ? r->f : 0.0;
    }
    if (slope != NULL) {
        memcpy(slope, r->slope_f, n * sizeof *slope);
    }
    return r->f;
}

static void conditions(unsigned m, double *g, unsigned n, const double *u, double *slope,
                       void *about)
{
    run *r = about;
    memset(g, 0, m * sizeof *g);
    if (!need_value(r, u) || (slope != NULL && !need_slope(r, u))) {
        (void)nlopt_force_stop(r->opt);
        return;
    }
    memcpy(g, r->g, m * sizeof *g);
    for (unsigned j = 0; slope != NULL && j < m; j++) {
        memcpy(slope + (size_t)j * n, r->slope_g[j], n * sizeof *slope);
    }
}

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "n", "no memory for the search");
}

static mdr_code one_round(run *r, double *u, mdr_err *err)
{
    double f = 0.0, tolerance[M];
    for (int j = 0; j < M; j++) {
        tolerance[j] = r->p->within;
    }
    r->opt = nlopt_create(NLOPT_LD_SLSQP, (unsigned)r->n);
    if (r->opt == NULL) {
        return no_memory(err);
    }
    bool ready = nlopt_set_min_objective(r->opt, objective, r) > 0 &&
                 nlopt_set_lower_bounds1(r->opt, 0.0) > 0 &&
                 nlopt_set_upper_bounds1(r->opt, 1.0) > 0 &&
                 nlopt_set_xtol_abs1(r->opt, STEP_END) > 0;
    if (ready && r->p->m > 0) {
        ready = nlopt_add_inequality_mconstraint(r->opt, (unsigned)r->p->m, conditions, r,
                                                 tolerance) > 0;
    }
    if (ready) { /* how it ended says nothing that the values do not say better */
        (void)nlopt_optimize(r->opt, u, &f);
    }
    nlopt_destroy(r->opt);
    return ready ? MDR_OK : no_memory(err);
}

static mdr_code check(const mdr_minimise_problem *p, mdr_err *err)
{
    if (p->n < 1 || p->n > N) {
        return MDR_FAIL(err, MDR_E_ARG, "n", "too few or too many numbers to move");
    }
    if (p->m < 0 || p->m > M) {
        return MDR_FAIL(err, MDR_E_ARG, "m", "too many conditions");
    }
    if (!(p->difference > 0.0 && p->difference < 0.5)) {
        return MDR_FAIL(err, MDR_E_ARG, "difference", "no step for slopes");
    }
    if (p->values_max < 1) {
        return MDR_FAIL(err, MDR_E_ARG, "values_max", "no value can be taken");
    }
    for (int i = 0; i < p->n; i++) {
        if (!(p->low[i] <= p->high[i]) || !isfinite(p->low[i]) || !isfinite(p->high[i])) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_ARG, "low", "a lower limit above the upper one");
            mdr_err_value(err, "%d", i);
            return rc;
        }
    }
    return MDR_OK;
}

static void begin(run *r, const mdr_minimise_problem *p, const double *x, double *u)
{
    r->p = p;
    for (int i = 0; i < p->n; i++) {
        r->fixed[i] = fmin(fmax(x[i], p->low[i]), p->high[i]);
        if (p->high[i] > p->low[i]) {
            u[r->n] = (r->fixed[i] - p->low[i]) / (p->high[i] - p->low[i]);
            r->moving[r->n++] = i;
        }
    }
}

mdr_code mdr_minimise(const mdr_minimise_problem *p, mdr_arena *arena, double *x,
                      mdr_minimise_result *out, mdr_err *err)
{
    double u[N] = {0};
    MDR_TRY(check(p, err));
    run *r = MDR_NEW(arena, run);
    if (r == NULL) {
        return no_memory(err);
    }
    begin(r, p, x, u);
    if (!need_value(r, u)) {
        return MDR_FAIL(err, MDR_E_RANGE, "x", "there is no value at the start");
    }
    for (int round = 0; round < ROUNDS_MAX && r->n > 0 && !r->stopped; round++) {
        const double f = r->best_f, worst = r->best_worst;
        for (int i = 0; i < r->n; i++) {
            const int k = r->moving[i];
            u[i] = (r->best[k] - p->low[k]) / (p->high[k] - p->low[k]);
        }
        MDR_TRY(one_round(r, u, err));
        const bool gained = r->best_f < f - GAIN_LEAST * fmax(fabs(f), 1e-9) ||
                            (worst > p->within && r->best_worst < worst);
        if (!gained) {
            break;
        }
    }
    memcpy(x, r->best, (size_t)p->n * sizeof *x);
    *out = (mdr_minimise_result){r->best_f, r->best_worst, r->best_worst <= p->within, r->values};
    return MDR_OK;
}
