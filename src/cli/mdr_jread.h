/*
 * mdr_jread.h - picks members out of a JSON text that app has made, for lists on a terminal.
 * Layer: cli. Not a validating parser: what app writes is well formed; anything else gives "no
 * such member", never a read beyond the end.
 */
#ifndef MDR_JREAD_H
#define MDR_JREAD_H

#include "base/mdr_arena.h"

/* First element of the array that `text` is, or that is a member of the object it is; NULL when
 * there is none. */
const char *mdr_jread_first(const char *text);
/* The element behind `element`, or NULL. */
const char *mdr_jread_next(const char *element);
/* The member `key` of the object at `object`, or NULL. */
const char *mdr_jread_member(const char *object, const char *key);
/* A text without its quotes and escapes, a number as it stands, "yes"/"no"; "" for null or NULL;
 * NULL when memory is short. */
const char *mdr_jread_shown(const char *value, mdr_arena *arena);

#endif
