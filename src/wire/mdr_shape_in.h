/*
 * mdr_shape_in.h - the two halves of reading by a table: the fields (mdr_shape.c), and what is said of
 * them (mdr_shape_fault.c). Layer: wire, inside only.
 */
#ifndef MDR_SHAPE_IN_H
#define MDR_SHAPE_IN_H

#include "wire/mdr_shape.h"

/* Appends to the place; returns the length to go back to. Index below 0: none. */
size_t mdr_shape_enter(mdr_reader *r, const char *key, int index);
void mdr_shape_leave(mdr_reader *r, size_t back);
void mdr_shape_show_value(mdr_err *e, const json_t *v);
/* `key` NULL: of the place reached. */
void mdr_shape_wrong_type(mdr_reader *r, const char *key, const json_t *v, const char *wanted);
void mdr_shape_wrong_word(mdr_reader *r, const mdr_field *f, const char *word);
/* `word`: the one that decides which keys there are, or NULL. */
void mdr_shape_unknown_key(mdr_reader *r, const mdr_shape *s, uint32_t mask, const char *word,
                           const char *key);
void mdr_shape_missing_key(mdr_reader *r, const mdr_shape *s, const mdr_field *f);

#endif
