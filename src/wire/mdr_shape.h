/*
 * mdr_shape.h - reads a JSON object into a record by a table of its fields.
 *
 * Layer: wire. A field says its key, what it holds and where in the record it goes; unknown keys,
 * missing keys, wrong types and wrong words are all reported with their place. Ranges are the
 * business of whoever knows what the numbers mean, except that an integer must fit.
 */
#ifndef MDR_SHAPE_H
#define MDR_SHAPE_H

#include <jansson.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/mdr_arena.h"
#include "base/mdr_list.h"

typedef struct mdr_words {
    const char *const *ids; /* in the order of the enum */
    int n;
} mdr_words;

/* NULL for a value outside the list. */
const char *mdr_words_id(const mdr_words *words, int i);

typedef enum mdr_field_kind {
    MDR_FIELD_TEXT,    /* const char *; "" when absent */
    MDR_FIELD_NUMBER,  /* double, finite */
    MDR_FIELD_INT,     /* int */
    MDR_FIELD_LONG,    /* int64_t, within what a double counts: 2^53 */
    MDR_FIELD_BOOL,    /* bool */
    MDR_FIELD_WORD,    /* enum, one of `words` */
    MDR_FIELD_SET,     /* uint32_t, a bit for each of `words` in an array of them */
    MDR_FIELD_EXACT,   /* must be the text `exact`; not stored */
    MDR_FIELD_OBJECT,  /* an object whose fields go into this record, or one inside it */
    MDR_FIELD_NUMBERS, /* array of numbers, as LIST: pointer to double, count; at most `most` */
    MDR_FIELD_LIST     /* array of objects: pointer at `offset`, int count at `count` */
} mdr_field_kind;

#define MDR_FIELD_ALWAYS UINT32_MAX

typedef struct mdr_shape mdr_shape;

typedef struct mdr_field {
    const char *key;
    mdr_field_kind kind;
    int most;           /* NUMBERS: read at most */
    uint32_t may, must; /* for which words of shape->by; MDR_FIELD_ALWAYS */
    size_t offset;
    size_t has;   /* a bool that becomes true when given; 0: none (no record begins with
                           such a bool) */
    size_t count; /* LIST, NUMBERS */
    const mdr_words *words;
    const char *exact;
    const mdr_shape *shape; /* OBJECT, LIST */
} mdr_field;

struct mdr_shape {
    const char *what; /* "a stage" */
    const mdr_field *fields;
    int n_fields;
    const char *by;     /* key of the WORD that decides which fields may and must be there */
    size_t size;        /* of the record */
    const void *absent; /* what a record holds before reading, or NULL: zeros */
    int most;           /* LIST: elements read */
    bool null_is_absent;
};

typedef struct mdr_reader {
    mdr_arena *arena;
    mdr_err_list *found; /* may be NULL */
    mdr_err first;
    int count; /* faults */
    bool no_memory;
    char place[128];
    size_t place_len;
} mdr_reader;

/* The document's object, or NULL; duplicate keys, numbers that do not fit a double and anything
 * behind the document are refused with place "line:column". Free with json_decref. */
json_t *mdr_reader_parse(mdr_reader *r, const char *text, size_t len, size_t most);
/* Fills the record; faults are added to r. */
void mdr_reader_fill(mdr_reader *r, json_t *object, const mdr_shape *shape, void *record);
/* A fault at the place reached, and below it when `key` is given. `e` holds the message. */
void mdr_reader_fault(mdr_reader *r, const char *key, mdr_err *e);
/* The same for a message (MDR_E_PARSE) that needs no value. */
void mdr_reader_say(mdr_reader *r, const char *key, const char *message, const char *remedy);
/* MDR_OK without faults; else the first one, or MDR_E_NOMEM. */
mdr_code mdr_reader_done(const mdr_reader *r, mdr_err *err) MDR_MUST_CHECK;

#endif
