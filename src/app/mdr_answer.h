/*
 * mdr_answer.h - the answer to a question that needs no mill: results, a table, what they rest on,
 * notes. One form for the desks of bath and fabric, for the command line and for JSON.
 *
 * Layer: app.
 */
#ifndef MDR_ANSWER_H
#define MDR_ANSWER_H

#include <stdbool.h>

#include "app/mdr_app.h"

typedef enum mdr_answer_kind {
    MDR_ANSWER_NUMBER,
    MDR_ANSWER_TEXT,
    MDR_ANSWER_NONE
} mdr_answer_kind;

/* One result. Lines of one group follow one another. */
typedef struct mdr_answer_line {
    const char *group, *group_label; /* key and words of the object they stand in, or NULL */
    const char *key;                 /* ends in the unit */
    const char *label, *unit;
    mdr_answer_kind kind; /* NONE: there is no such number, and a note says why */
    double value;
    const char *text, *words; /* TEXT: as in the document, and for people */
} mdr_answer_line;

typedef struct mdr_answer_column {
    const char *key, *label, *unit;
} mdr_answer_column;

enum { MDR_ANSWER_COLUMNS = 7, MDR_ANSWER_LINES = 160, MDR_ANSWER_WHYS = 8, MDR_ANSWER_NOTES = 8 };

/* A cell of a table that is a word: as in the document, and for people. */
typedef struct mdr_answer_word {
    const char *text, *words;
} mdr_answer_word;

/* Rows of numbers, one after the other. */
typedef struct mdr_answer_table {
    const char *key, *label;
    mdr_answer_column columns[MDR_ANSWER_COLUMNS];
    int n_columns, n_rows;
    double *cells;
    mdr_answer_word *texts; /* like cells; where text is not NULL it stands for the number. NULL:
                               numbers all over */
} mdr_answer_table;

/* What a number rests on; `anchor` below docs/methods. */
typedef struct mdr_answer_why {
    const char *label, *words, *source, *anchor;
} mdr_answer_why;

struct mdr_json;

typedef struct mdr_answer {
    const char *question, *words;
    mdr_answer_line lines[MDR_ANSWER_LINES];
    int n_lines;
    mdr_answer_table table; /* n_columns 0: none */
    bool has_uncertainty;
    double uncertainty_ph;
    const mdr_answer_why *whys[MDR_ANSWER_WHYS];
    int n_whys;
    const char *notes[MDR_ANSWER_NOTES];
    int n_notes;
    /* A member of the document for which lines and a table do not do; NULL: none. */
    void (*put_more)(struct mdr_json *j, const void *more);
    const void *more;
} mdr_answer;

/* As JSON: {"do", "result", "why", "notes"}. Fails for want of memory only. */
mdr_code mdr_answer_json(const mdr_answer *a, mdr_arena *arena, mdr_blob *out,
                         mdr_err *err) MDR_MUST_CHECK;

#endif
