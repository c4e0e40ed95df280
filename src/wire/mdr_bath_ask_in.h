/*
 * mdr_bath_ask_in.h - the two halves of reading a question to the bath desk.
 * Layer: wire, inside only.
 */
#ifndef MDR_BATH_ASK_IN_H
#define MDR_BATH_ASK_IN_H

#include "wire/mdr_bath_ask.h"
#include "wire/mdr_shape.h"

/* What must fit together; fills in the exponent of a curve. */
void mdr_bath_ask_together(mdr_reader *r, const json_t *doc, mdr_bath_ask *q);

#endif
