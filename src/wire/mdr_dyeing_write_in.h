/*
 * mdr_dyeing_write_in.h - what the files share that write a dyeing. Layer: wire, inside only.
 */
#ifndef MDR_DYEING_WRITE_IN_H
#define MDR_DYEING_WRITE_IN_H

#include "wire/mdr_dyeing_out.h"
#include "wire/mdr_json.h"

typedef struct mdr_dyeing_writer {
    mdr_json *j;
    const mdr_dyeing_out *o;
} mdr_dyeing_writer;

/* A number rounded to six digits: curves are looked at, not reckoned with. */
void mdr_dyeing_put(const mdr_dyeing_writer *w, const char *key, double v);
void mdr_dyeing_put_or_null(const mdr_dyeing_writer *w, const char *key, bool known, double v);

/* From "dyes" to "map". False: no memory for the map. */
bool mdr_dyeing_put_answers(const mdr_dyeing_writer *w, mdr_arena *arena);

#endif
