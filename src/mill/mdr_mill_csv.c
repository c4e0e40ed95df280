/* Import and export of one table as CSV. */
#include <stdio.h>
#include <string.h>

#include "mill/mdr_mill_import_in.h"
#include "mill/mdr_mill_rows.h"

/* Keys of 100,000 rows and cells with doubled quotes of a 32 MiB file. */
enum { IMPORT_ARENA_BYTES = 128 * 1024 * 1024 };

/* -- import ----------------------------------------------------------------------------------- */

void mdr_mill_import_note(mdr_mill_import_run *run, int line, const char *column, mdr_err *fault)
{
    if (column != NULL) {
        (void)snprintf(fault->place, sizeof fault->place, "%.67s:%d:%.45s", run->csv.name, line,
                       column);
    } else {
        (void)snprintf(fault->place, sizeof fault->place, "%.67s:%d", run->csv.name, line);
    }
    if (run->faults++ == 0) {
        run->first = *fault;
    }
    if (run->found != NULL) {
        mdr_err_list_add(run->found, fault);
    }
}

/* A fault of the text itself, which brings its place along. */
static void note_text(mdr_mill_import_run *run, const mdr_err *fault)
{
    if (run->faults++ == 0) {
        run->first = *fault;
    }
    if (run->found != NULL) {
        mdr_err_list_add(run->found, fault);
    }
}

static mdr_code read_rows(mdr_mill_import_run *run, mdr_err *err)
{
    mdr_err e;
    bool got = true;
    while (got && !run->csv.broken) {
        const mdr_code rc = mdr_csv_next(&run->csv, &got, &e);
        if (rc == MDR_E_NOMEM) {
            return mdr_mill_no_memory(run->mill, err);
        }
        if (rc != MDR_OK) {
            note_text(run, &e);
            got = true;
        } else if (got) {
            MDR_TRY(mdr_mill_import_row(run, err));
        }
    }
    return MDR_OK;
}

static mdr_code read_file(mdr_mill_import_run *run, const char *name, const char *text, size_t len,
                          mdr_err *err)
{
    mdr_err e;
    const mdr_code rc = mdr_csv_open(&run->csv, name, text, len, run->arena, &e);
    if (rc == MDR_E_NOMEM) {
        return mdr_mill_no_memory(run->mill, err);
    }
    if (rc != MDR_OK) {
        note_text(run, &e);
        return MDR_OK;
    }
    mdr_mill_import_header(run);
    return read_rows(run, err);
}

static void close_statements(mdr_mill_import_run *run)
{
    (void)sqlite3_finalize(run->upsert);
    (void)sqlite3_finalize(run->clear);
    (void)sqlite3_finalize(run->other);
    for (int i = 0; i < MDR_MILL_COLS_MAX; i++) {
        (void)sqlite3_finalize(run->refs[i]);
    }
}

/* Commits a file without fault, undoes one with any. */
static mdr_code settle(mdr_mill_import_run *run, mdr_code rc, mdr_err *err)
{
    if (rc == MDR_OK && run->faults == 0) {
        return mdr_mill_commit(run->mill, err);
    }
    mdr_mill_rollback(run->mill);
    if (rc == MDR_OK) {
        if (err != NULL) {
            *err = run->first;
        }
        return run->first.code;
    }
    return rc;
}

/* NOLINTNEXTLINE(readability-function-size): the contract of the store has eight parameters */
mdr_code mdr_mill_import(mdr_mill *mill, const mdr_table *table, const char *file_name,
                         const char *text, size_t text_len, mdr_err_list *found, int *rows,
                         mdr_err *err)
{
    mdr_arena *arena = mdr_arena_new(IMPORT_ARENA_BYTES);
    mdr_mill_import_run *run = arena == NULL ? NULL : MDR_NEW(arena, mdr_mill_import_run);
    if (run == NULL) {
        mdr_arena_free(arena);
        return mdr_mill_no_memory(mill, err);
    }
    *run = (mdr_mill_import_run){.mill = mill, .table = table, .arena = arena, .found = found};
    run->keys.arena = run->parents.arena = arena;
    mdr_code rc = mdr_mill_begin(mill, err);
    if (rc == MDR_OK) {
        rc = read_file(run, file_name, text, text_len, err);
        close_statements(run);
        rc = settle(run, rc, err);
    }
    if (rc == MDR_OK && rows != NULL) {
        *rows = run->rows;
    }
    mdr_arena_free(arena);
    return rc;
}

/* -- export ----------------------------------------------------------------------------------- */

static mdr_code write_row(const mdr_table *table, sqlite3_stmt *stmt, mdr_mill_text *out,
                          mdr_err *err)
{
    for (int i = 0; i < table->n_cols; i++) {
        mdr_mill_cell cell;
        const mdr_code rc = mdr_mill_cell_fetch(&table->cols[i], stmt, i, &cell, err);
        if (rc != MDR_OK) {
            const char *key = (const char *)sqlite3_column_text(stmt, 0);
            mdr_err_within(err, "%s %s", table->name, key != NULL ? key : "");
            return rc;
        }
        mdr_mill_text_add(out, i == 0 ? "" : ",");
        mdr_mill_cell_write(&table->cols[i], &cell, out);
    }
    mdr_mill_text_add(out, "\n");
    return MDR_OK;
}

mdr_code mdr_mill_export(mdr_mill *mill, const mdr_table *table, mdr_arena *arena, char **text,
                         size_t *text_len, mdr_err *err)
{
    mdr_mill_text out = {.arena = arena};
    sqlite3_stmt *stmt;
    bool row = true;
    for (int i = 0; i < table->n_cols; i++) {
        mdr_mill_text_add(&out, i == 0 ? "" : ",");
        mdr_mill_text_add(&out, table->cols[i].name);
    }
    mdr_mill_text_add(&out, "\n");
    mdr_code rc = mdr_mill_select(mill, &(mdr_mill_query){.table = table}, &stmt, err);
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            rc = write_row(table, stmt, &out, err);
        }
    }
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK && out.failed) {
        rc = mdr_mill_no_memory(mill, err);
    }
    if (rc == MDR_OK) {
        *text = out.bytes;
        *text_len = out.len;
    }
    return rc;
}
