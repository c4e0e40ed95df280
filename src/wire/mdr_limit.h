/*
 * mdr_limit.h - ranges of the numbers of a record that mdr_shape.h has read.
 *
 * Layer: wire.
 */
#ifndef MDR_LIMIT_H
#define MDR_LIMIT_H

#include "wire/mdr_shape.h"

typedef struct mdr_limit {
    const char *key;
    size_t offset; /* of a double */
    double least, most;
    const char *unit;
    bool over; /* more than least */
} mdr_limit;

/* Adds a fault for each number of the document that lies outside; of a list of numbers for each of
 * them, `offset` not being looked at. */
void mdr_limits_check(mdr_reader *r, const json_t *doc, const void *record, const mdr_limit *limits,
                      int n);
/* One such fault. */
void mdr_limit_fault(mdr_reader *r, const char *key, double value, const char *allowed);

#endif
