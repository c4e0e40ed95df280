/*
 * mdr_batch_in.h - what the fold and the rules of a batch share.
 * Layer: core/run, inside only.
 */
#ifndef MDR_BATCH_IN_H
#define MDR_BATCH_IN_H

#include "core/run/mdr_batch.h"

/* Done or left out. */
bool mdr_step_over(const mdr_batch_step *s);
/* mdr_batch_may for what is recorded already: what was let in by an older rule is read as it was. */
mdr_code mdr_batch_stands(const mdr_batch *b, const mdr_event *e, mdr_err *err) MDR_MUST_CHECK;

#endif
