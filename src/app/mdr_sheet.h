/*
 * mdr_sheet.h - an answer of several tables: results, rows of samples, what they rest on, what was
 * noticed. One form for the terminal and for JSON.
 *
 * As mdr_answer.h, for questions over many samples: more tables, wider, with cells that are missing.
 * Memory that runs out spoils the sheet: mdr_sheet_done says so once, the calls in between need no
 * check.
 * Layer: app.
 */
#ifndef MDR_SHEET_H
#define MDR_SHEET_H

#include <stdbool.h>

#include "app/mdr_answer.h"
#include "base/mdr_list.h"

typedef enum mdr_cell_kind {
    MDR_CELL_NONE, /* there is no such number: null */
    MDR_CELL_NUMBER,
    MDR_CELL_TEXT,
    MDR_CELL_FLAG
} mdr_cell_kind;

typedef struct mdr_cell {
    double value;      /* NUMBER; FLAG: 0 or 1 */
    const char *text;  /* TEXT: as in the document */
    const char *words; /* TEXT, FLAG: for people */
    mdr_cell_kind kind;
} mdr_cell;

typedef struct mdr_sheet_column {
    const char *key, *label; /* label NULL: in the document only */
    int decimals;            /* on the terminal */
} mdr_sheet_column;

typedef struct mdr_sheet_table {
    const char *key, *label; /* label NULL: in the document only */
    const mdr_sheet_column *columns;
    mdr_cell *cells; /* row after row */
    int n_columns, n_rows;
    int at; /* the next cell to be written */
} mdr_sheet_table;

typedef struct mdr_sheet_line {
    const char *key, *label, *unit; /* label NULL: in the document only */
    mdr_cell cell;
    int decimals;
} mdr_sheet_line;

enum { MDR_SHEET_LINES = 24, MDR_SHEET_TABLES = 8 };

typedef struct mdr_sheet {
    mdr_arena *arena;
    const char *question, *words;
    const char *caption; /* under which light, for which eye, by which formula */
    mdr_sheet_line lines[MDR_SHEET_LINES];
    mdr_sheet_table tables[MDR_SHEET_TABLES];
    const mdr_answer_why *whys[MDR_ANSWER_WHYS];
    const char *notes[MDR_ANSWER_NOTES];
    mdr_err_list notices; /* records with code MDR_OK: what was noticed, and where */
    int n_lines, n_tables, n_whys, n_notes;
    bool no_memory;
} mdr_sheet;

mdr_code mdr_sheet_new(mdr_arena *arena, const char *question, const char *words, mdr_sheet **out,
                       mdr_err *err) MDR_MUST_CHECK;

mdr_cell mdr_cell_number(double value);
mdr_cell mdr_cell_text(const char *text, const char *words);
/* `yes` and `no` are for people. */
mdr_cell mdr_cell_flag(bool value, const char *yes, const char *no);
mdr_cell mdr_cell_none(void);

void mdr_sheet_line_put(mdr_sheet *s, const char *key, const char *label, const char *unit,
                        int decimals, mdr_cell cell);
/* printf into the sheet's arena; "" without memory. */
const char *mdr_sheet_text(mdr_sheet *s, const char *fmt, ...) MDR_PRINTF(2, 3);
/* Room for n_rows, which may be 0; written row by row. `columns` must live as long as the sheet.
 * Never NULL; without memory what is put into it is lost. */
mdr_sheet_table *mdr_sheet_table_open(mdr_sheet *s, const mdr_sheet_table *like);
void mdr_sheet_cell_put(mdr_sheet_table *t, mdr_cell cell);
void mdr_sheet_because(mdr_sheet *s, const mdr_answer_why *why);
/* Said once, however often it is found. */
void mdr_sheet_note(mdr_sheet *s, const char *note);

/* Whether it is whole.   errors: MDR_E_NOMEM */
mdr_code mdr_sheet_done(const mdr_sheet *s, mdr_err *err) MDR_MUST_CHECK;

/* {"do", "caption", "result", "why", "notes", "notices"}. Fails for want of memory only. */
mdr_code mdr_sheet_json(const mdr_sheet *s, mdr_arena *arena, mdr_blob *out,
                        mdr_err *err) MDR_MUST_CHECK;

#endif
