/*
 * mdr_mill_cell.h - one value of one column, between CSV text, database and record.
 *
 * Layer: mill, inside only. What a column allows stands in its descriptor (mdr_table.h); here is
 * the one place that applies it, in both directions.
 */
#ifndef MDR_MILL_CELL_H
#define MDR_MILL_CELL_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "mill/mdr_mill_text.h"
#include "mill/mdr_table.h"

typedef struct mdr_mill_cell {
    bool given;       /* false: empty, NULL in the database, 0 or "" in the record */
    bool bad;         /* could not be read: rules between columns pass over it */
    int64_t number;   /* QUANTITY in database units, COUNT, ENUM index, BOOL, DATE, SET bits */
    const char *text; /* ID, REF, TEXT; not terminated */
    size_t len;
} mdr_mill_cell;

/* From a CSV cell. errors: MDR_E_PARSE, MDR_E_RANGE; `place` stays empty. */
mdr_code mdr_mill_cell_read(const mdr_col *col, const char *text, size_t len, mdr_mill_cell *out,
                            mdr_err *err) MDR_MUST_CHECK;
/* From column `at` of a row; the text lives until the next step. Numbers, words and
 * dates are checked again: a file that another program wrote may hold anything. */
mdr_code mdr_mill_cell_fetch(const mdr_col *col, sqlite3_stmt *stmt, int at, mdr_mill_cell *out,
                             mdr_err *err) MDR_MUST_CHECK;
/* Checks a number that came from elsewhere than a cell, in the column's unit.
 * errors: MDR_E_RANGE with `place` the column's name */
mdr_code mdr_mill_cell_number(const mdr_col *col, double value, mdr_mill_cell *out,
                              mdr_err *err) MDR_MUST_CHECK;

/* SQLite's result code. */
int mdr_mill_cell_bind(const mdr_col *col, const mdr_mill_cell *cell, sqlite3_stmt *stmt, int at);
/* As a CSV cell, quoted where needed. */
void mdr_mill_cell_write(const mdr_col *col, const mdr_mill_cell *cell, mdr_mill_text *out);
/* Into the field of the record; false when memory is short. */
bool mdr_mill_cell_store(const mdr_col *col, const mdr_mill_cell *cell, mdr_arena *arena,
                         void *record);

/* What the last words of a column's name mean: "kilograms" for "load_max_kg"; "" when it names
 * no unit. */
const char *mdr_mill_unit_words(const mdr_col *col);
/* Index of a text id in "winch|overflow|jet", or -1; and the other way round (NULL). */
int mdr_mill_choice_index(const char *choices, const char *text, size_t len);
const char *mdr_mill_choice_text(const char *choices, int index, size_t *len);

#endif
