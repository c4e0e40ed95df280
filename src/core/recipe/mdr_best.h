/*
 * mdr_best.h - the best few of many, kept in a heap with the worst of them on top.
 *
 * Layer: core/recipe (pure). Best is: fewest faults, then least score, then smallest number, so that
 * the order hangs on nothing else.
 */
#ifndef MDR_BEST_H
#define MDR_BEST_H

#include <stdbool.h>

typedef struct mdr_best {
    double score;
    int faults, number;
} mdr_best;

bool mdr_best_is_worse(const mdr_best *a, const mdr_best *b);
/* Offers one more; the heap holds n of at most `room` >= 1. Returns the new n. */
int mdr_best_offer(mdr_best *heap, int n, int room, mdr_best one);

#endif
