#include "mill/mdr_mill_bound.h"

#include <string.h>

mdr_code mdr_mill_call_open(mdr_mill *mill, const mdr_mill_call *call, sqlite3_stmt **out,
                            mdr_err *err)
{
    int rc = SQLITE_OK;
    MDR_TRY(mdr_mill_sql_prepare(mill, call->sql, out, err));
    for (int i = 0; i < call->n && rc == SQLITE_OK; i++) {
        const mdr_bound *b = &call->at[i];
        rc = b->is_number      ? sqlite3_bind_int64(*out, i + 1, b->number)
             : b->text == NULL ? sqlite3_bind_null(*out, i + 1)
                               : mdr_mill_sql_bind_text(*out, i + 1, b->text, strlen(b->text));
    }
    return rc == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, rc, err);
}

mdr_code mdr_mill_call_aside(mdr_mill *mill, const mdr_mill_call *call, int *changed, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    const sqlite3_int64 before = sqlite3_total_changes64(mill->db);
    mdr_code rc = mdr_mill_call_open(mill, call, &stmt, err);
    if (rc == MDR_OK) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
    }
    (void)sqlite3_finalize(stmt);
    const sqlite3_int64 more = sqlite3_total_changes64(mill->db) - before;
    mill->aside += (uint64_t)more;
    if (rc == MDR_OK && changed != NULL) {
        *changed = (int)more;
    }
    return rc;
}

const char *mdr_mill_column_text(sqlite3_stmt *stmt, int column, mdr_arena *arena, bool *ok)
{
    const char *text = (const char *)sqlite3_column_text(stmt, column);
    if (text == NULL) {
        *ok = *ok && sqlite3_column_type(stmt, column) == SQLITE_NULL;
        return NULL;
    }
    const char *copy = mdr_arena_text(arena, text);
    *ok = *ok && copy != NULL;
    return copy;
}
