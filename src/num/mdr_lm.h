/*
 * mdr_lm.h - damped least squares for a handful of unknowns between limits, and what the answer is
 * worth: the covariance from the slopes.
 *
 * Layer: num (pure, no allocation: fixed arrays). Methods: docs/methods/exhaust-rates.md#fit
 *
 * Source (key of docs/sources.md): [levenberg-marquardt]
 *
 * Symbols: x the unknowns, r(x) what is to become small, J = dr/dx by forward differences.
 */
#ifndef MDR_LM_H
#define MDR_LM_H

#include <stdbool.h>

#include "base/mdr_err.h"

enum { MDR_LM_UNKNOWNS_MAX = 12, MDR_LM_ROWS_MAX = 24 };

/* r at x; an error ends the search and is handed on. */
typedef mdr_code (*mdr_lm_of)(void *context, const double *x, double *r, mdr_err *err);

typedef struct mdr_lm {
    mdr_lm_of of;
    void *context;
    int unknowns, rows;         /* 1..MDR_LM_UNKNOWNS_MAX, 1..MDR_LM_ROWS_MAX */
    const double *least, *most; /* limits of x; least[i] = most[i] holds x[i] */
    const double *nudge;        /* of each x for the slope, > 0; turned round at the limit */
    double small;               /* settled when a step promises less than this of sum r^2 */
    int calls_max;              /* of r, those for slopes too */
} mdr_lm;

typedef struct mdr_lm_answer {
    double x[MDR_LM_UNKNOWNS_MAX];
    double r[MDR_LM_ROWS_MAX];
    double slope[MDR_LM_ROWS_MAX][MDR_LM_UNKNOWNS_MAX]; /* J at x; 0 for what is held */
    double square;                                      /* sum r^2 */
    int calls;
    bool settled; /* false: calls_max was reached first */
} mdr_lm_answer;

/*
 * From `start` (within the limits) downhill to a lowest point of sum r^2 near it; never above where
 * it started. A lowest point need not be the lowest.
 *   errors  those of p->of; MDR_E_CONVERGE when r is not finite at the start (place "start")
 */
mdr_code mdr_lm_solve(const mdr_lm *p, const double *start, mdr_lm_answer *out,
                      mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_lm_covariance {
    double of[MDR_LM_UNKNOWNS_MAX][MDR_LM_UNKNOWNS_MAX];
} mdr_lm_covariance;

/* Inverse of J'J at an answer, over the unknowns that some row sees; the others get 0. False when
 * J'J is singular: the rows do not tell the unknowns apart. */
bool mdr_lm_covariance_of(const mdr_lm_answer *a, int rows, int unknowns, mdr_lm_covariance *out);

#endif
