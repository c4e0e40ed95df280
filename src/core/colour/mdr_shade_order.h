/*
 * mdr_shade_order.h - the order of rolls in which neighbours are most alike, for laying up and
 * cutting: what is sewn together comes from neighbouring plies.
 *
 * The path through all rolls with the smallest sum of steps. Up to MDR_ORDER_EXACT rolls every order
 * is considered (Held and Karp); beyond, a path is built from every roll to its nearest left over and
 * mended (turning a stretch round, moving up to three rolls) until no mending helps. The shortest
 * tree that joins all rolls is a bound: no path is shorter.
 *
 * Layer: core/colour (pure). Methods: docs/methods/shade.md#order-for-cutting
 * Source (key of docs/sources.md): [held-karp]
 */
#ifndef MDR_SHADE_ORDER_H
#define MDR_SHADE_ORDER_H

#include <stdbool.h>

#include "core/colour/mdr_shade_matrix.h"

enum { MDR_ORDER_EXACT = 12, MDR_ORDER_MAX = 400 };

typedef struct mdr_shade_order {
    int n;
    const int *roll;  /* the rolls, from one end to the other; the smaller end number comes first */
    double total_de;  /* sum of the steps */
    double widest_de; /* the largest step, from `widest` to the next; 0 for one roll */
    int widest;
    double least_de; /* no order has a smaller sum */
    bool proven;     /* total_de is the smallest possible */
} mdr_shade_order;

/* errors: MDR_E_RANGE "n" above 400; MDR_E_NOMEM.   cost: n^2 2^n up to 12 rolls, some n^3 beyond */
mdr_code mdr_shade_order_of(const mdr_shade_matrix *m, mdr_arena *arena,
                            const mdr_shade_order **out, mdr_err *err) MDR_MUST_CHECK;

#endif
