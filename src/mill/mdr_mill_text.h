/*
 * mdr_mill_text.h - a text that grows in an arena: SQL statements, CSV out.
 *
 * Layer: mill, inside only. Failure sticks: check `failed` once, at the end.
 */
#ifndef MDR_MILL_TEXT_H
#define MDR_MILL_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"

typedef struct mdr_mill_text {
    mdr_arena *arena;
    char *bytes; /* always terminated once something was added */
    size_t len, room;
    bool failed; /* no memory */
} mdr_mill_text;

void mdr_mill_text_add(mdr_mill_text *t, const char *text);
void mdr_mill_text_add_n(mdr_mill_text *t, const char *text, size_t n);
/* "name" in double quotes: every identifier, so that "group" and "order" are none of SQL's. */
void mdr_mill_text_name(mdr_mill_text *t, const char *name);
/* The text, or NULL after a failure. */
const char *mdr_mill_text_get(const mdr_mill_text *t);

#endif
