/*
 * mdr_rope_mark_parts.h - how a dyeing takes up a trail and leaves its own; for the files of this folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-shorten.md#what-a-try-costs
 */
#ifndef MDR_ROPE_MARK_PARTS_H
#define MDR_ROPE_MARK_PARTS_H

#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_rope_mark.h"

/* Tables for a run that is being made, from one to the next so that they need not be found anew; NULL: none, or
 * none with room. */
typedef struct mdr_rope_tables {
    mdr_drift *drift;     /* [MDR_DRIFT_SETS][dye] */
    mdr_drift_heat *heat; /* [MDR_HEAT_SETS][dye] */
} mdr_rope_tables;
mdr_rope_tables mdr_rope_tables_of(const mdr_rope_trails *t, int dyes);

/* A run at its first sample goes on from the latest mark that fits, if there is one; its own trail begins. */
void mdr_rope_take_up(mdr_rope_trails *t, mdr_run *r);
/* Right after a sample: time for a mark? */
void mdr_rope_mark(mdr_rope_trails *t, const mdr_run *r);
/* The run is over, at its end or before: its trail can be taken up. */
void mdr_rope_leave(mdr_rope_trails *t, const mdr_run *r);

#endif
