#include "num/mdr_lm.h"

#include <math.h>
#include <string.h>

enum { N = MDR_LM_UNKNOWNS_MAX, M = MDR_LM_ROWS_MAX };

/* Marquardt's damping: how it starts, grows, shrinks, and when no step is worth trying. Common
 * practice. */
static const double DAMP_START = 1e-3, DAMP_WORSE = 10.0, DAMP_BETTER = 0.1, DAMP_MOST = 1e8;
static const double PIVOT_LEAST = 1e-13; /* of the diagonal as it stood: singular below */

static double square_of(const double *r, int rows)
{
    double sum = 0.0;
    for (int i = 0; i < rows; i++) {
        sum += r[i] * r[i];
    }
    return sum;
}

/* Cholesky in the lower half of h; false when h is not positive definite. */
static bool factor(double h[N][N], int n)
{
    for (int i = 0; i < n; i++) {
        const double whole = h[i][i];
        for (int j = 0; j <= i; j++) {
            double v = h[i][j];
            for (int k = 0; k < j; k++) {
                v -= h[i][k] * h[j][k];
            }
            if (j < i) {
                h[i][j] = v / h[j][j];
            } else if (v > PIVOT_LEAST * whole) {
                h[i][i] = sqrt(v);
            } else {
                return false;
            }
        }
    }
    return true;
}

static void substitute(double l[N][N], int n, double *x)
{
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++) {
            x[i] -= l[i][k] * x[k];
        }
        x[i] /= l[i][i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++) {
            x[i] -= l[k][i] * x[k];
        }
        x[i] /= l[i][i];
    }
}

/* J'J of the unknowns that are listed. */
static void normal_of(const mdr_lm_answer *at, int rows, const int *id, int n, double h[N][N])
{
    for (int a = 0; a < n; a++) {
        for (int b = 0; b < n; b++) {
            h[a][b] = 0.0;
            for (int i = 0; i < rows; i++) {
                h[a][b] += at->slope[i][id[a]] * at->slope[i][id[b]];
            }
        }
    }
}

static mdr_code slopes(const mdr_lm *p, mdr_lm_answer *at, mdr_err *err)
{
    for (int j = 0; j < p->unknowns; j++) {
        double x[N], r[M];
        memcpy(x, at->x, sizeof x);
        const bool held = !(p->most[j] > p->least[j]);
        const double to = x[j] + p->nudge[j] <= p->most[j] ? x[j] + p->nudge[j]
                                                           : fmax(x[j] - p->nudge[j], p->least[j]);
        const double moved = to - x[j];
        x[j] = to;
        if (!held) {
            MDR_TRY(p->of(p->context, x, r, err));
            at->calls++;
        }
        for (int i = 0; i < p->rows; i++) {
            at->slope[i][j] = held ? 0.0 : (r[i] - at->r[i]) / moved;
        }
    }
    return MDR_OK;
}

/* The damped step over the unknowns that are free to go downhill, cut at the limits, and what it
 * promises; 0 when there is none. */
static double step_of(const mdr_lm *p, const mdr_lm_answer *at, double damp, double *to)
{
    double h[N][N], g[N] = {0}, down[N] = {0}, promise = 0.0;
    int id[N] = {0}, n = 0;
    memcpy(to, at->x, N * sizeof *to);
    for (int j = 0; j < p->unknowns; j++) {
        double along = 0.0, steep = 0.0;
        for (int i = 0; i < p->rows; i++) {
            along -= at->slope[i][j] * at->r[i];
            steep += at->slope[i][j] * at->slope[i][j];
        }
        const bool stuck =
            (at->x[j] >= p->most[j] && along >= 0.0) || (at->x[j] <= p->least[j] && along <= 0.0);
        if (!stuck && steep > 0.0) {
            down[n] = g[n] = along;
            id[n++] = j;
        }
    }
    normal_of(at, p->rows, id, n, h);
    for (int a = 0; a < n; a++) {
        h[a][a] *= 1.0 + damp;
    }
    if (n == 0 || !factor(h, n)) {
        return 0.0;
    }
    substitute(h, n, g);
    for (int a = 0; a < n; a++) {
        const int j = id[a];
        to[j] = fmin(fmax(at->x[j] + g[a], p->least[j]), p->most[j]);
        promise += down[a] * g[a];
    }
    return promise;
}

/* One step that lowers the square, with as much damping as that takes; *done when there is none. */
static mdr_code descend(const mdr_lm *p, mdr_lm_answer *at, double *damp, bool *done, mdr_err *err)
{
    while (at->calls < p->calls_max) {
        double to[N], r[M];
        const double promise = step_of(p, at, *damp, to);
        if (promise < p->small && (*damp <= 1.0 || promise <= 0.0)) {
            *done = true;
            return MDR_OK;
        }
        MDR_TRY(p->of(p->context, to, r, err));
        at->calls++;
        const double square = square_of(r, p->rows);
        if (square < at->square) { /* false for NaN: such a step is a bad one */
            *done = at->square - square < p->small && *damp <= 1.0;
            memcpy(at->x, to, sizeof at->x);
            memcpy(at->r, r, sizeof at->r);
            at->square = square;
            *damp *= DAMP_BETTER;
            return MDR_OK;
        }
        *damp *= DAMP_WORSE;
        if (*damp > DAMP_MOST) {
            *done = true;
            return MDR_OK;
        }
    }
    return MDR_OK;
}

mdr_code mdr_lm_solve(const mdr_lm *p, const double *start, mdr_lm_answer *out, mdr_err *err)
{
    mdr_lm_answer at = {.calls = 1};
    double damp = DAMP_START;
    memcpy(at.x, start, (size_t)p->unknowns * sizeof *start);
    MDR_TRY(p->of(p->context, at.x, at.r, err));
    at.square = square_of(at.r, p->rows);
    if (!isfinite(at.square)) {
        return MDR_FAIL(err, MDR_E_CONVERGE, "start", "nothing to compare where the search starts");
    }
    while (!at.settled && at.calls < p->calls_max) {
        MDR_TRY(slopes(p, &at, err));
        MDR_TRY(descend(p, &at, &damp, &at.settled, err));
    }
    MDR_TRY(slopes(p, &at, err));
    *out = at;
    return MDR_OK;
}

bool mdr_lm_covariance_of(const mdr_lm_answer *at, int rows, int unknowns, mdr_lm_covariance *out)
{
    double h[N][N];
    int id[N] = {0}, n = 0;
    memset(out, 0, sizeof *out);
    for (int j = 0; j < unknowns; j++) {
        double steep = 0.0;
        for (int i = 0; i < rows; i++) {
            steep += at->slope[i][j] * at->slope[i][j];
        }
        if (steep > 0.0) {
            id[n++] = j;
        }
    }
    normal_of(at, rows, id, n, h);
    if (!factor(h, n)) {
        return false;
    }
    for (int a = 0; a < n; a++) {
        double e[N] = {0};
        e[a] = 1.0;
        substitute(h, n, e);
        for (int b = 0; b < n; b++) {
            out->of[id[b]][id[a]] = e[b];
        }
    }
    return true;
}
