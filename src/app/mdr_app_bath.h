/*
 * mdr_app_bath.h - questions about a bath that need no mill: pH, doses of alkali, probe readings,
 * neutralising, titration, hardness, salts, vats, rinsing.
 *
 * Layer: app. For the technologist's desk and the laboratory: command line and HTTP ask with the
 * same JSON document (docs/api.md, POST /api/bath) and get the same answer. Pure: no mill, no file,
 * no clock. The numbers come from core/bath; every answer says by which rules.
 */
#ifndef MDR_APP_BATH_H
#define MDR_APP_BATH_H

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

enum { MDR_ANSWER_COLUMNS = 6, MDR_ANSWER_LINES = 48, MDR_ANSWER_WHYS = 8, MDR_ANSWER_NOTES = 8 };

/* Rows of numbers, one after the other. */
typedef struct mdr_answer_table {
    const char *key, *label;
    mdr_answer_column columns[MDR_ANSWER_COLUMNS];
    int n_columns, n_rows;
    double *cells;
} mdr_answer_table;

/* What a number rests on; `anchor` below docs/methods. */
typedef struct mdr_answer_why {
    const char *label, *words, *source, *anchor;
} mdr_answer_why;

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
} mdr_answer;

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document.
 *   errors  MDR_E_PARSE   not the document that is expected
 *           MDR_E_RANGE   a number, or what numbers give together, outside what is known
 *           MDR_E_INFEAS  no amount gives the pH asked for
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_bath(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON: {"do", "result", "why", "notes"}. */
mdr_code mdr_app_bath_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_bath_whys(int *n);

#endif
