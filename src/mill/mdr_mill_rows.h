/*
 * mdr_mill_rows.h - SQL of a table, made from its descriptor, and rows into records.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_ROWS_H
#define MDR_MILL_ROWS_H

#include "mill/mdr_mill_cell.h"
#include "mill/mdr_mill_in.h"

/* Which rows: all, or those whose column `where` (SQL name) equals a text, or is one of a JSON array
 * of texts. Sorted by key, texts by their bytes (PostgreSQL: COLLATE "C"). */
typedef struct mdr_mill_query {
    const mdr_table *table;
    const char *where, *equals, *one_of;
} mdr_mill_query;

typedef struct mdr_mill_rows {
    void *items; /* array of the table's records, NULL when there is none */
    int count;
} mdr_mill_rows;

/* The statement, bound and ready to step; columns in the order of the descriptor.
 * Finalise it with sqlite3_finalize, also after an error. */
mdr_code mdr_mill_select(mdr_mill *mill, const mdr_mill_query *q, sqlite3_stmt **out,
                         mdr_err *err) MDR_MUST_CHECK;
/* INSERT ... ON CONFLICT DO UPDATE of one row. */
mdr_code mdr_mill_upsert(mdr_mill *mill, const mdr_table *table, sqlite3_stmt **out,
                         mdr_err *err) MDR_MUST_CHECK;

/* One record into its table, in place of a row of the same key, under the rules that an import has.
 * 0 is an empty cell where a number or a date may be empty.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_NOTFOUND (a reference) with the column as place; what
 *           the store gives */
mdr_code mdr_mill_row_put(mdr_mill *mill, const mdr_table *table, const void *record,
                          mdr_err *err) MDR_MUST_CHECK;

/* All rows as records of table->record_size bytes, sorted by key. Call within a snapshot.
 *   errors  MDR_E_PARSE, MDR_E_RANGE with place "machine M01.load_max_kg" */
mdr_code mdr_mill_load(mdr_mill *mill, const mdr_mill_query *q, mdr_arena *arena,
                       mdr_mill_rows *out, mdr_err *err) MDR_MUST_CHECK;

/* The (first) column of the key. Every table has one. */
const mdr_col *mdr_mill_key(const mdr_table *table);
/* Index of a column by its CSV name, or -1. */
int mdr_mill_col_index(const mdr_table *table, const char *name);
/* SQL names of the table and column that a reference points to; false when unknown. */
bool mdr_mill_target(const mdr_col *ref, const char **table_sql, const char **col_sql);

#endif
