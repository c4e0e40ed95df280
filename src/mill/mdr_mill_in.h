/*
 * mdr_mill_in.h - what the rooms of the mill store share: the connection and its errors.
 *
 * Layer: mill, inside only (and its tests). Nothing here is for app.
 */
#ifndef MDR_MILL_IN_H
#define MDR_MILL_IN_H

#include <sqlite3.h>

#include "mill/mdr_mill.h"

enum {
    MDR_MILL_APPLICATION_ID = 0x4D445231, /* "MDR1" in the header of the file */
    MDR_MILL_DEPTH_MAX = 3,               /* one begin within another, and a call's own */
    MDR_MILL_COLS_MAX = 64                /* of a table */
};

struct mdr_mill {
    mdr_arena *arena; /* holds this record and the path */
    sqlite3 *db;
    sqlite3_stmt *undo; /* ROLLBACK */
    const char *path;
    uint64_t aside; /* rows changed that no figure rests on: people, sessions */
    int depth;      /* open mdr_mill_begin */
};

/* Turns SQLite's result code into an error record with the path as place. */
mdr_code mdr_mill_sql_fail(const mdr_mill *mill, int sqlite_rc, mdr_err *err);
mdr_code mdr_mill_sql_exec(mdr_mill *mill, const char *sql, mdr_err *err) MDR_MUST_CHECK;
/* sql NULL: the text could not be built, MDR_E_NOMEM. */
mdr_code mdr_mill_sql_prepare(mdr_mill *mill, const char *sql, sqlite3_stmt **out,
                              mdr_err *err) MDR_MUST_CHECK;
/* *row: a row is there to read; false at the end. */
mdr_code mdr_mill_sql_step(mdr_mill *mill, sqlite3_stmt *stmt, bool *row,
                           mdr_err *err) MDR_MUST_CHECK;
/* One integer; 0 when there is no row. `text` binds ?1 when not NULL. */
mdr_code mdr_mill_sql_number(mdr_mill *mill, const char *sql, const char *text, int64_t *out,
                             mdr_err *err) MDR_MUST_CHECK;
int mdr_mill_sql_bind_text(sqlite3_stmt *stmt, int at, const char *text, size_t len);

mdr_code mdr_mill_no_memory(const mdr_mill *mill, mdr_err *err);

/* Several SELECTs that see one state of the file. */
mdr_code mdr_mill_snapshot_begin(mdr_mill *mill, mdr_err *err) MDR_MUST_CHECK;
void mdr_mill_snapshot_end(mdr_mill *mill);

/* Brings the schema from user_version `from` to MDR_MILL_SCHEMA, within a transaction. */
mdr_code mdr_mill_migrate(mdr_mill *mill, int from, mdr_err *err) MDR_MUST_CHECK;

#endif
