/*
 * mdr_bulk_work.h - the lots of a dye while its factors are learned. Layer: core/quality, inside only.
 */
#ifndef MDR_BULK_WORK_H
#define MDR_BULK_WORK_H

#include "core/quality/mdr_bulk_factor.h"
#include "core/quality/mdr_pool.h"

typedef struct mdr_bulk_item {
    double key;
    int at;
} mdr_bulk_item;

/* A cell while it is worked on: its lots are by_cell[first] .. [first + lots - 1]. */
typedef struct mdr_bulk_cell_work {
    int first, lots, kept;
    double mean, squares; /* of y of the lots kept, and their sum of squares round it */
} mdr_bulk_cell_work;

typedef struct mdr_bulk_work {
    const mdr_bulk_lot *lots;
    int n;
    mdr_bulk_item *by_cell, *scratch;
    double *y;
    mdr_bulk_cell_work *cells;
    mdr_pool_in *pool; /* of cells */
    int *order;        /* lots of the groups in which odd ones are looked for */
    mdr_bulk_cell_work *groups;
    mdr_bulk *b;
} mdr_bulk_work;

/* errors: as of mdr_bulk_of, but for memory. */
mdr_code mdr_bulk_check(const mdr_bulk_lot *lots, int n, const mdr_bulk_prior *prior,
                        mdr_err *err) MDR_MUST_CHECK;
/* Lots in the order of their cells, and the cells. */
void mdr_bulk_into_cells(mdr_bulk_work *w);
/* Marks the lots that do not belong, and drops cells that have no other; see docs/methods/laboratory-to-bulk.md#odd-lots. */
void mdr_bulk_leave_out_odd(mdr_bulk_work *w);

#endif
