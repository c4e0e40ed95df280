/*
 * mdr_mill_import_in.h - an import under way: shared by its rooms (header, rows).
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_IMPORT_IN_H
#define MDR_MILL_IMPORT_IN_H

#include "base/mdr_csv.h"
#include "mill/mdr_mill_cell.h"
#include "mill/mdr_mill_in.h"
#include "mill/mdr_mill_keys.h"

typedef struct mdr_mill_import_run {
    mdr_mill *mill;
    const mdr_table *table;
    mdr_arena *arena;
    mdr_csv csv;
    int col_of[MDR_CSV_CELLS_MAX];          /* header cell -> column, -1: unknown */
    bool missing[MDR_MILL_COLS_MAX];        /* column without header cell */
    mdr_mill_cell cells[MDR_MILL_COLS_MAX]; /* of the row, by column */
    int line;                               /* of the row */
    mdr_mill_keys keys, parents;
    sqlite3_stmt *upsert, *clear, *other; /* other: the id among dyes or chemicals */
    sqlite3_stmt *refs[MDR_MILL_COLS_MAX];
    mdr_err_list *found; /* may be NULL */
    mdr_err first;
    long faults;
    int rows;
} mdr_mill_import_run;

/* Notes a fault of the file; its place becomes "FILE:LINE:COLUMN" when it names a column. */
void mdr_mill_import_note(mdr_mill_import_run *run, int line, const char *column, mdr_err *fault);

/* Fills col_of and missing; notes unknown, doubled and missing columns. */
void mdr_mill_import_header(mdr_mill_import_run *run);
/* Reads, checks and (while the file is without fault) stores the row in run->csv.
 * errors: those of the store; faults of the row are noted */
mdr_code mdr_mill_import_row(mdr_mill_import_run *run, mdr_err *err) MDR_MUST_CHECK;

#endif
