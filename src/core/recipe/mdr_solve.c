#include <math.h>
#include <string.h>

#include "core/recipe/mdr_kernel.h"

enum { N = MDR_COMBO_MAX, EVALUATIONS_MAX = 100 };
static const double DAMP_START = 0.0, DAMP_LEAST = 1e-9, DAMP_RISEN = 1e-3, DAMP_MOST = 1e6;
static const double DAMP_CALM = 1e-3; /* damped more than this, a small step proves nothing */
static const double PIVOT_LEAST = 1e-12;
enum { EXCURSION_MAX = 2, CALM_MAX = 3 };
static const double EXCURSION_SQUARE = 25.0; /* F^2 by which a step may go astray */

/* A model of F^2 around a point: half gradient and half second derivative, damping in it. */
typedef struct model {
    double g[N], h[N][N];
} model;

static void model_of(const mdr_kernel_point *at, int n, double damp, bool bend, model *m)
{
    for (int i = 0; i < n; i++) {
        m->g[i] = at->gradient[i];
        for (int j = 0; j < n; j++) {
            m->h[i][j] = at->matrix[i][j] + (bend ? at->bend[i][j] : 0.0);
        }
        m->h[i][i] += damp * at->matrix[i][i];
    }
}

/* h = l d l' of the first k, with ones on the diagonal of l; `over` gets 1/d. False when h is not
 * positive definite. */
static bool factor(double h[N][N], int k, double l[N][N], double *over)
{
    double trace = 0.0;
    for (int a = 0; a < k; a++) {
        trace += h[a][a];
    }
    for (int a = 0; a < k; a++) {
        double d = h[a][a];
        for (int b = 0; b < a; b++) {
            double v = h[a][b];
            for (int c = 0; c < b; c++) {
                v -= l[b][c] * l[a][c]; /* l[a][c] still holds l d */
            }
            l[a][b] = v;
        }
        for (int b = 0; b < a; b++) {
            const double v = l[a][b];
            l[a][b] = v * over[b];
            d -= v * l[a][b];
        }
        if (!(d > PIVOT_LEAST * trace)) {
            return false;
        }
        over[a] = 1.0 / d;
    }
    return true;
}

static void substitute(double l[N][N], const double *over, int k, double *x)
{
    for (int a = 0; a < k; a++) {
        for (int c = 0; c < a; c++) {
            x[a] -= l[a][c] * x[c];
        }
    }
    for (int a = k - 1; a >= 0; a--) {
        x[a] *= over[a];
        for (int c = a + 1; c < k; c++) {
            x[a] -= l[c][a] * x[c];
        }
    }
}

/* Solves the free part of h p = -g; fixed ones keep their p. */
static bool solve_free(const model *m, const bool *fixed, int n, double *p)
{
    double h[N][N] = {{0}}, l[N][N] = {{0}}, x[N] = {0}, over[N] = {0};
    int id[N] = {0}, k = 0;
    for (int i = 0; i < n; i++) {
        if (!fixed[i]) {
            id[k++] = i;
        }
    }
    for (int a = 0; a < k; a++) {
        const double *row = m->h[id[a]];
        x[a] = -m->g[id[a]];
        for (int b = 0; b <= a; b++) {
            h[a][b] = row[id[b]];
        }
        for (int i = 0; k < n && i < n; i++) {
            x[a] -= fixed[i] ? row[i] * p[i] : 0.0;
        }
    }
    if (!factor(h, k, l, over)) {
        return false;
    }
    substitute(l, over, k, x);
    for (int a = 0; a < k; a++) {
        p[id[a]] = x[a];
    }
    return true;
}

/* How far outside its limits a dose would come; *held gets the step that ends on the limit. */
static double outside(double depth, double step, double limit, double *held)
{
    const double to = depth + step;
    if (to < 0.0) {
        *held = -depth;
        return -to;
    }
    if (to > limit) {
        *held = limit - depth;
        return to - limit;
    }
    return 0.0;
}

/* A step within the limits: doses that push outwards stay, one that would leave ends on its limit
 * and the others are solved again. False: the model has no lowest point. */
static bool bounded_step(const model *m, const double *depth, const double *limit, int n, double *p)
{
    bool fixed[N] = {false};
    for (int i = 0; i < n; i++) {
        p[i] = 0.0;
        fixed[i] = (depth[i] <= 0.0 && m->g[i] >= 0.0) || (depth[i] >= limit[i] && m->g[i] <= 0.0);
    }
    for (int round = 0; round <= n; round++) {
        int worst = -1;
        double most = 0.0, held = 0.0;
        if (!solve_free(m, fixed, n, p)) {
            return false;
        }
        for (int i = 0; i < n; i++) {
            double step = 0.0;
            const double out = fixed[i] ? 0.0 : outside(depth[i], p[i], limit[i], &step) / limit[i];
            if (out > most) {
                most = out;
                worst = i;
                held = step;
            }
        }
        if (worst < 0) {
            break;
        }
        p[worst] = held;
        fixed[worst] = true;
    }
    return true;
}

static double promised(const model *m, const double *p, int n)
{
    double fall = 0.0;
    for (int i = 0; i < n; i++) {
        fall -= 2.0 * m->g[i] * p[i];
        for (int j = 0; j < n; j++) {
            fall -= m->h[i][j] * p[i] * p[j];
        }
    }
    return fall;
}

static double small_enough(double square)
{
    return fmax(MDR_SOLVE_ABSOLUTE, MDR_SOLVE_STEP * sqrt(square));
}

static void go(const double *from, const double *p, const double *limit, int n, double *to)
{
    for (int i = 0; i < n; i++) {
        to[i] = fmin(fmax(from[i] + p[i], 0.0), limit[i]);
    }
}

typedef struct place {
    double depth[N];
    mdr_kernel_point at;
} place;

/* The step from a place and what it promises: by the full second derivative where that has a lowest
 * point, else by its part that always has one, damped the more the longer nothing helps. */
static double next_step(const place *from, const double *limit, int n, double damp, double *p)
{
    model m;
    model_of(&from->at, n, damp, true, &m);
    if (!bounded_step(&m, from->depth, limit, n, p)) {
        model_of(&from->at, n, fmax(damp, 1e-6), false, &m);
        if (!bounded_step(&m, from->depth, limit, n, p)) {
            return 0.0;
        }
    }
    return promised(&m, p, n);
}

/* Where the descent stands. */
typedef struct descent {
    place here, best;
    double damp;
    int astray, calm;
} descent;

/* A step has been taken to `next`. */
static void judge_step(descent *d, const place *next)
{
    const double got = d->best.at.square - next->at.square;
    if (got > 0.0) {
        d->calm = got < small_enough(d->best.at.square) ? d->calm + 1 : 0;
        d->best = d->here = *next;
        d->astray = 0;
        d->damp = d->damp > DAMP_LEAST ? d->damp * 0.1 : 0.0;
    } else if (d->damp <= DAMP_RISEN && d->astray < EXCURSION_MAX && got > -EXCURSION_SQUARE) {
        d->here = *next;
        d->astray++;
    } else {
        d->here = d->best;
        d->astray = 0;
        d->damp = fmax(d->damp * 10.0, DAMP_RISEN);
    }
}

void mdr_solve_from(const mdr_kernel *k, mdr_kernel_eval *eval, const int *dyes, int n,
                    mdr_solve *io, mdr_kernel_point *at)
{
    double limit[N];
    descent d = {.damp = DAMP_START};
    for (int i = 0; i < n; i++) {
        limit[i] = k->dyes[dyes[i]].limit_pct_owf;
        d.here.depth[i] = io->depth_pct_owf[i];
    }
    eval(k, dyes, d.here.depth, n, &d.here.at);
    d.best = d.here;
    io->evaluations = 1;
    io->converged = false;
    /* at an edge of the formula (a neutral sample) steps promise what no step keeps */
    while (io->evaluations < EVALUATIONS_MAX && d.calm < CALM_MAX && d.damp < DAMP_MOST) {
        double p[N];
        place next = d.here;
        const double fall = next_step(&d.here, limit, n, d.damp, p);
        const bool flat = d.astray == 0 && fall <= small_enough(d.here.at.square);
        if (flat && d.damp <= DAMP_CALM) {
            break;
        }
        if (flat) {
            d.damp *= 0.1;
            continue;
        }
        go(d.here.depth, p, limit, n, next.depth);
        eval(k, dyes, next.depth, n, &next.at);
        io->evaluations++;
        judge_step(&d, &next);
    }
    io->converged = io->evaluations < EVALUATIONS_MAX;
    memcpy(io->depth_pct_owf, d.best.depth, (size_t)n * sizeof *d.best.depth);
    *at = d.best.at;
}

/* Unit K/S of a dye as the rough solution takes it: the chord up to a third of its limit. */
static void unit_ks(const mdr_kernel_dye *dye, double *unit)
{
    const double depth = dye->limit_pct_owf / 3.0;
    int piece = 0;
    while (piece + 1 < dye->pieces && dye->from_pct_owf[piece + 1] <= depth) {
        piece++;
    }
    const double t = depth - dye->from_pct_owf[piece];
    const double *c = dye->coef + (size_t)piece * 4 * MDR_LANES;
    for (int i = 0; i < MDR_BANDS; i++) {
        unit[i] = (c[i] +
                   t * (c[MDR_LANES + i] + t * (c[2 * MDR_LANES + i] + t * c[3 * MDR_LANES + i]))) /
                  depth;
    }
}

/* What X, Y, Z over their white must gain, and what a unit of each dye adds to them, both by the
 * slope of reflectance at the standard. False where the standard has no K/S. */
typedef struct rough {
    double slope[MDR_BANDS], wanted[MDR_BANDS];
} rough;

static bool rough_of(const mdr_kernel *k, rough *out)
{
    for (int b = 0; b < MDR_BANDS; b++) {
        const double inside = mdr_surface_inside(&k->surface, k->standard[b]);
        if (!(inside > 0.0 && inside < 1.0)) {
            return false;
        }
        const double inner = 1.0 - k->surface.k2 * inside;
        out->slope[b] = k->surface.gain / (inner * inner) * mdr_km_slope(inside);
        out->wanted[b] = mdr_km_ks_of_r(inside) - k->cloth_ks[b];
    }
    return true;
}

static double gain_of(const mdr_kernel *k, int axis, const rough *r, const double *ks)
{
    double sum = 0.0;
    for (int b = 0; b < MDR_BANDS; b++) {
        sum += k->weight[0][axis][b] * r->slope[b] * ks[b];
    }
    return sum * k->over_white[0][axis];
}

/* Least squares, with a trace of damping for four dyes in three equations. */
bool mdr_solve_start(const mdr_kernel *k, const int *dyes, int n, double depth[MDR_COMBO_MAX])
{
    static const bool FREE[N] = {false};
    static const double NOWHERE[N] = {0}, TRACE = 1e-9;
    double limit[N] = {0}, unit[MDR_BANDS], moves[3][N] = {{0}}, found[N] = {0};
    model m = {{0}, {{0}}};
    rough r;
    if (!rough_of(k, &r)) {
        return false;
    }
    for (int i = 0; i < n; i++) {
        limit[i] = k->dyes[dyes[i]].limit_pct_owf;
        unit_ks(&k->dyes[dyes[i]], unit);
        for (int a = 0; a < 3; a++) {
            moves[a][i] = gain_of(k, a, &r, unit);
            m.g[i] -= gain_of(k, a, &r, r.wanted) * moves[a][i];
        }
        for (int j = 0; j <= i; j++) {
            m.h[i][j] = m.h[j][i] =
                moves[0][i] * moves[0][j] + moves[1][i] * moves[1][j] + moves[2][i] * moves[2][j];
        }
        m.h[i][i] *= 1.0 + TRACE;
    }
    if (!solve_free(&m, FREE, n, found)) {
        return false;
    }
    go(NOWHERE, found, limit, n, depth);
    return true;
}
