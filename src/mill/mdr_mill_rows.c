#include "mill/mdr_mill_rows.h"

#include <limits.h>
#include <string.h>

enum { SQL_ARENA_BYTES = 64 * 1024 };

/* -- descriptors ------------------------------------------------------------------------------ */

const mdr_col *mdr_mill_key(const mdr_table *table)
{
    int i = 0;
    while (i + 1 < table->n_cols && (table->cols[i].flags & MDR_COL_KEY) == 0) {
        i++;
    }
    return &table->cols[i];
}

int mdr_mill_col_index(const mdr_table *table, const char *name)
{
    for (int i = 0; i < table->n_cols; i++) {
        if (strcmp(table->cols[i].name, name) == 0) {
            return i;
        }
    }
    return -1;
}

bool mdr_mill_target(const mdr_col *ref, const char **table_sql, const char **col_sql)
{
    if (strcmp(ref->ref, "route") == 0) { /* documents, not a master table */
        *table_sql = "route";
        *col_sql = "route_id";
        return true;
    }
    const mdr_table *target = mdr_table_find(ref->ref);
    if (target == NULL) {
        return false;
    }
    *table_sql = target->sql;
    *col_sql = mdr_mill_key(target)->sql;
    return true;
}

/* Counts its changes, so that two people do not overwrite each other. */
static bool has_revision(const mdr_table *table)
{
    return strcmp(table->name, "lot") == 0 || strcmp(table->name, "dip") == 0;
}

/* -- SQL -------------------------------------------------------------------------------------- */

typedef bool (*col_filter)(const mdr_col *col);
static bool every(const mdr_col *col)
{
    return col != NULL;
}
static bool in_key(const mdr_col *col)
{
    return (col->flags & MDR_COL_KEY) != 0;
}

static void names(mdr_mill_text *sql, const mdr_table *table, col_filter wanted)
{
    const char *gap = "";
    for (int i = 0; i < table->n_cols; i++) {
        if (wanted(&table->cols[i])) {
            mdr_mill_text_add(sql, gap);
            mdr_mill_text_name(sql, table->cols[i].sql);
            gap = ",";
        }
    }
}

static void where_text(mdr_mill_text *sql, const mdr_mill_query *q)
{
    if (q->where != NULL) {
        mdr_mill_text_add(sql, " WHERE ");
        mdr_mill_text_name(sql, q->where);
        mdr_mill_text_add(sql, q->one_of != NULL ? " IN (SELECT value FROM json_each(?1))" : "=?1");
    }
}

/* What ?1 of it is; NULL: there is none. */
static const char *where_value(const mdr_mill_query *q)
{
    return q->where == NULL ? NULL : q->one_of != NULL ? q->one_of : q->equals;
}

static const char *select_text(const mdr_mill_query *q, mdr_arena *arena)
{
    mdr_mill_text sql = {.arena = arena};
    mdr_mill_text_add(&sql, "SELECT ");
    names(&sql, q->table, every);
    mdr_mill_text_add(&sql, " FROM ");
    mdr_mill_text_name(&sql, q->table->sql);
    where_text(&sql, q);
    mdr_mill_text_add(&sql, " ORDER BY ");
    names(&sql, q->table, in_key);
    return mdr_mill_text_get(&sql);
}

/* ",?" for each column but the first. */
static void places(mdr_mill_text *sql, int n)
{
    for (int i = 0; i < n; i++) {
        mdr_mill_text_add(sql, i == 0 ? "?" : ",?");
    }
}

/* A row that stays the same is not written: neither its revision nor the file's state change. */
static void update_part(mdr_mill_text *sql, const mdr_table *table)
{
    const char *gap = "";
    for (int i = 0; i < table->n_cols; i++) {
        if (!in_key(&table->cols[i])) {
            mdr_mill_text_add(sql, gap);
            mdr_mill_text_name(sql, table->cols[i].sql);
            mdr_mill_text_add(sql, "=excluded.");
            mdr_mill_text_name(sql, table->cols[i].sql);
            gap = ",";
        }
    }
    if (has_revision(table)) {
        mdr_mill_text_add(sql, ",\"revision\"=");
        mdr_mill_text_name(sql, table->sql);
        mdr_mill_text_add(sql, ".\"revision\"+1");
    }
    gap = " WHERE ";
    for (int i = 0; i < table->n_cols; i++) {
        if (!in_key(&table->cols[i])) {
            mdr_mill_text_add(sql, gap);
            mdr_mill_text_name(sql, table->sql);
            mdr_mill_text_add(sql, ".");
            mdr_mill_text_name(sql, table->cols[i].sql);
            mdr_mill_text_add(sql, " IS DISTINCT FROM excluded.");
            mdr_mill_text_name(sql, table->cols[i].sql);
            gap = " OR ";
        }
    }
}

static const char *upsert_text(const mdr_table *table, mdr_arena *arena)
{
    mdr_mill_text sql = {.arena = arena};
    mdr_mill_text_add(&sql, "INSERT INTO ");
    mdr_mill_text_name(&sql, table->sql);
    mdr_mill_text_add(&sql, " (");
    names(&sql, table, every);
    mdr_mill_text_add(&sql, ") VALUES (");
    places(&sql, table->n_cols);
    mdr_mill_text_add(&sql, ") ON CONFLICT (");
    names(&sql, table, in_key);
    mdr_mill_text_add(&sql, ") DO UPDATE SET ");
    update_part(&sql, table);
    return mdr_mill_text_get(&sql);
}

mdr_code mdr_mill_select(mdr_mill *mill, const mdr_mill_query *q, sqlite3_stmt **out, mdr_err *err)
{
    *out = NULL;
    mdr_arena *arena = mdr_arena_new(SQL_ARENA_BYTES);
    if (arena == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_code rc = mdr_mill_sql_prepare(mill, select_text(q, arena), out, err);
    mdr_arena_free(arena);
    const char *value = where_value(q);
    if (rc == MDR_OK && value != NULL) {
        const int bound = mdr_mill_sql_bind_text(*out, 1, value, strlen(value));
        rc = bound == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, bound, err);
    }
    return rc;
}

mdr_code mdr_mill_upsert(mdr_mill *mill, const mdr_table *table, sqlite3_stmt **out, mdr_err *err)
{
    *out = NULL;
    mdr_arena *arena = mdr_arena_new(SQL_ARENA_BYTES);
    if (arena == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    const mdr_code rc = mdr_mill_sql_prepare(mill, upsert_text(table, arena), out, err);
    mdr_arena_free(arena);
    return rc;
}

/* -- loading ---------------------------------------------------------------------------------- */

static mdr_code load_row(mdr_mill *mill, const mdr_table *table, sqlite3_stmt *stmt,
                         mdr_arena *arena, void *record, mdr_err *err)
{
    for (int i = 0; i < table->n_cols; i++) {
        mdr_mill_cell cell;
        const mdr_code rc = mdr_mill_cell_fetch(&table->cols[i], stmt, i, &cell, err);
        if (rc != MDR_OK) {
            const char *key = (const char *)sqlite3_column_text(stmt, 0);
            mdr_err_within(err, "%s %s", table->name, key != NULL ? key : "");
            return rc;
        }
        if (!mdr_mill_cell_store(&table->cols[i], &cell, arena, record)) {
            return mdr_mill_no_memory(mill, err);
        }
    }
    return MDR_OK;
}

static mdr_code count_rows(mdr_mill *mill, const mdr_mill_query *q, int64_t *out, mdr_err *err)
{
    mdr_arena *arena = mdr_arena_new(SQL_ARENA_BYTES);
    if (arena == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_mill_text sql = {.arena = arena};
    mdr_mill_text_add(&sql, "SELECT count(*) FROM ");
    mdr_mill_text_name(&sql, q->table->sql);
    where_text(&sql, q);
    const mdr_code rc =
        mdr_mill_sql_number(mill, mdr_mill_text_get(&sql), where_value(q), out, err);
    mdr_arena_free(arena);
    return rc;
}

mdr_code mdr_mill_load(mdr_mill *mill, const mdr_mill_query *q, mdr_arena *arena,
                       mdr_mill_rows *out, mdr_err *err)
{
    sqlite3_stmt *stmt;
    int64_t total = 0;
    bool row = false;
    *out = (mdr_mill_rows){0};
    MDR_TRY(count_rows(mill, q, &total, err));
    if (total == 0) {
        return MDR_OK;
    }
    char *items =
        total < INT_MAX ? mdr_arena_alloc(arena, (size_t)total, q->table->record_size) : NULL;
    if (items == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    int n = 0;
    mdr_code rc = mdr_mill_select(mill, q, &stmt, err);
    while (rc == MDR_OK && n < total) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc != MDR_OK || !row) {
            break;
        }
        rc = load_row(mill, q->table, stmt, arena, items + (size_t)n * q->table->record_size, err);
        n++;
    }
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK) {
        *out = (mdr_mill_rows){items, n};
    }
    return rc;
}
