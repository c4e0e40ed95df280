/*
 * mdr_bound.h - numbers held against their allowed range, one error record for all of the
 * finishing line.
 *
 * Layer: core/finish (pure).
 */
#ifndef MDR_BOUND_H
#define MDR_BOUND_H

#include "base/mdr_err.h"

typedef struct mdr_bound {
    const char *field; /* becomes the place of the error */
    double value, low, high;
} mdr_bound;

/* All of them finite and within low .. high, ends included; else MDR_E_RANGE for the first that is
 * not, with `msg` as the message and its field as the place. */
mdr_code mdr_bound_check(const mdr_bound *all, int n, const char *msg, mdr_err *err) MDR_MUST_CHECK;

#endif
