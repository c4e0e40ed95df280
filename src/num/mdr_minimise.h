/*
 * mdr_minimise.h - the least value of a smooth function of a few numbers within limits and under
 * conditions, where only values can be had: slopes are taken by differences.
 *
 * Layer: num; the only place that sees NLopt. Method: sequential quadratic programming (SLSQP),
 * started once more from where it stopped as long as that helps. What it gives back is the best
 * point of all it tried, judged again here, never just where the method ended.
 *
 * Sources (keys of docs/sources.md): [kraft-slsqp], [nlopt]
 */
#ifndef MDR_MINIMISE_H
#define MDR_MINIMISE_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

enum { MDR_MINIMISE_X_MAX = 40, MDR_MINIMISE_G_MAX = 200 };

typedef struct mdr_minimise_problem {
    int n;                    /* numbers, 1 .. MDR_MINIMISE_X_MAX */
    int m;                    /* conditions g[j] <= 0, 0 .. MDR_MINIMISE_G_MAX */
    const double *low, *high; /* low <= high; equal ones stay as they are */
    double difference;        /* step of the slopes, of high - low, (0, 0.5) */
    double within;            /* a condition counts as kept up to this, >= 0 */
    int values_max;           /* calls of `value` */
    /* f and g at x; false: stop, there is no value. Finite numbers. */
    bool (*value)(void *about, const double *x, double *f, double *g);
    void *about;
} mdr_minimise_problem;

typedef struct mdr_minimise_result {
    double f;
    double worst; /* largest g; 0 without conditions */
    bool kept;    /* worst <= within */
    int values;   /* calls that were made */
} mdr_minimise_result;

/*
 * x: the start on the way in (moved within the limits), the best point on the way out: of those that
 * keep the conditions the least f, or else the one that comes nearest to keeping them.
 * The arena is for the work.
 *   errors  MDR_E_ARG    n, m, difference, values_max ("n", ...), limits that cross ("low")
 *           MDR_E_RANGE  no value at the start ("x")
 *           MDR_E_NOMEM
 */
mdr_code mdr_minimise(const mdr_minimise_problem *p, mdr_arena *arena, double *x,
                      mdr_minimise_result *out, mdr_err *err) MDR_MUST_CHECK;

#endif
