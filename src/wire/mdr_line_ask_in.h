/*
 * mdr_line_ask_in.h - the two halves of reading a question to the finishing desk.
 * Layer: wire, inside only.
 */
#ifndef MDR_LINE_ASK_IN_H
#define MDR_LINE_ASK_IN_H

#include "wire/mdr_line_ask.h"
#include "wire/mdr_shape.h"

typedef struct mdr_line_width_keys {
    const char *width, *layflat;
} mdr_line_width_keys;
/* By mdr_line_width. */
extern const mdr_line_width_keys mdr_line_width_keys_of[MDR_WIDTH_COUNT];

/* What must go together, of a document without faults; fills in the widths of tubes. */
void mdr_line_ask_together(mdr_reader *r, mdr_line_ask *q);

#endif
