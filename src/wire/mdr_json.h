/*
 * mdr_json.h - writes JSON text, in order, into an arena; nothing is built up in between.
 *
 * Layer: wire. A plan has some thousand figures and must be on its way in milliseconds, so its
 * document is written straight from the records. Commas and indents come by themselves; keys are
 * literals of ours and are not escaped, texts are. Memory that runs out, and a number that is not
 * finite (JSON has none), spoil the document: mdr_json_done says so once, the calls in between
 * need no check.
 */
#ifndef MDR_JSON_H
#define MDR_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/mdr_arena.h"

typedef struct mdr_json {
    mdr_arena *arena;
    char *text;
    size_t len, room;
    int depth;   /* open objects and arrays */
    int flat;    /* depth from which everything stands in one line; 0: none */
    bool indent; /* one member a line; else no blanks at all */
    bool exact;  /* numbers come back to the last bit when read */
    bool comma;  /* a member stands before the next one */
    bool no_memory, not_finite;
} mdr_json;

/* `size_hint` bytes are taken at once. */
mdr_json mdr_json_make(mdr_arena *arena, size_t size_hint, bool indent);
/* The text, terminated. errors: MDR_E_NOMEM; MDR_E_RANGE a number was not finite */
mdr_code mdr_json_done(mdr_json *j, char **text, size_t *len, mdr_err *err) MDR_MUST_CHECK;

/* `key` is NULL inside an array and at the top. */
void mdr_json_object(mdr_json *j, const char *key);
void mdr_json_array(mdr_json *j, const char *key);
/* In one line even when the document is indented. */
void mdr_json_flat_object(mdr_json *j, const char *key);
void mdr_json_end_object(mdr_json *j);
void mdr_json_end_array(mdr_json *j);

void mdr_json_text(mdr_json *j, const char *key, const char *value); /* NULL is written as null */
void mdr_json_number(mdr_json *j, const char *key,
                     double value); /* 15 significant digits, or exact */
void mdr_json_int(mdr_json *j, const char *key, int64_t value);
void mdr_json_bool(mdr_json *j, const char *key, bool value);
void mdr_json_null(mdr_json *j, const char *key);
/* "2026-12-15" */
void mdr_json_date(mdr_json *j, const char *key, int64_t utc_ms);

#endif
