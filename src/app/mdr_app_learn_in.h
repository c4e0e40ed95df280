/*
 * mdr_app_learn_in.h - what the files of mdr_app_learn share. Layer: app, inside only.
 */
#ifndef MDR_APP_LEARN_IN_H
#define MDR_APP_LEARN_IN_H

#include "app/mdr_app_bulk.h"

typedef enum mdr_learn_why {
    MDR_LEARN_WHY_RATE,
    MDR_LEARN_WHY_EXPECTED,
    MDR_LEARN_WHY_CHARTS,
    MDR_LEARN_WHY_RULES,
    MDR_LEARN_WHY_FEW,
    MDR_LEARN_WHY_FACTORS,
    MDR_LEARN_WHY_USE,
    MDR_LEARN_WHY_COUNT
} mdr_learn_why;

typedef struct mdr_learn_desk {
    const mdr_learn_in *in;
    const mdr_learn_lot **by_end; /* lots as they ended */
    mdr_arena *arena;
    mdr_sheet *sheet;
    bool more; /* a table has rows behind those that are told */
} mdr_learn_desk;

/* Rows of a table that are told: [first, last). */
typedef struct mdr_learn_slice {
    int first, last;
} mdr_learn_slice;
mdr_learn_slice mdr_learn_slice_of(mdr_learn_desk *d, int n);
/* The same counted from the end. */
mdr_learn_slice mdr_learn_newest_of(mdr_learn_desk *d, int n);
/* Cuts a table that is filled. */
void mdr_learn_cut(mdr_learn_desk *d, mdr_sheet_table *t);

void mdr_learn_because(mdr_learn_desk *d, mdr_learn_why why);

/* Put their tables into the sheet; there is at least one lot. */
mdr_code mdr_learn_groups(mdr_learn_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_learn_charts(mdr_learn_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_learn_factors(mdr_learn_desk *d, mdr_err *err) MDR_MUST_CHECK;

/* What the lots taught of each dye for this shade and machine; the sheet takes what was noticed. */
mdr_code mdr_learn_offers(mdr_learn_desk *d, mdr_bulk_offers *out, mdr_err *err) MDR_MUST_CHECK;
/* Order of the lots and faults of them. */
mdr_code mdr_learn_check(const mdr_learn_in *in, mdr_err *err) MDR_MUST_CHECK;
/* The mill's lots: the list is in the arena, its texts stay until the mill is asked again. */
mdr_code mdr_learn_gather(mdr_app *app, mdr_arena *arena, mdr_learn_in *out,
                          mdr_err *err) MDR_MUST_CHECK;

/* "2026-11-25", in the sheet's arena. */
const char *mdr_learn_day(mdr_learn_desk *d, int64_t local_ms);

#endif
