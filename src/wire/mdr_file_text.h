/*
 * mdr_file_text.h - a file inside a JSON document: {"name": "samples.csv", "text": "..."}.
 * Layer: wire.
 */
#ifndef MDR_FILE_TEXT_H
#define MDR_FILE_TEXT_H

#include "wire/mdr_shape.h"

enum { MDR_FILE_NAME_MAX = 120, MDR_FILE_POST_MAX = 1 << 20 };

typedef struct mdr_file_text {
    const char *name; /* NULL: not given */
    const char *text;
} mdr_file_text;

extern const mdr_shape mdr_file_text_shape;

/* A file named nothing is called by its key, for faults need a place; a half read one is taken
 * away; a name of more than MDR_FILE_NAME_MAX bytes is a fault (MDR_E_RANGE) at files.KEY.name. */
void mdr_file_text_check(mdr_reader *r, const char *key, mdr_file_text *f);

#endif
