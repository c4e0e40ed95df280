/* A record into its table, under the rules of an import. */
#include <string.h>

#include "mill/mdr_mill_cell_in.h"
#include "mill/mdr_mill_rows.h"
#include "mill/mdr_mill_rules.h"

static mdr_code text_cell(const mdr_col *col, const void *field, mdr_mill_cell *out, mdr_err *err)
{
    const char *text;
    memcpy(&text, field, sizeof text);
    text = text != NULL ? text : "";
    const mdr_code rc = mdr_mill_cell_read(col, text, strlen(text), out, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "%s", col->name);
    }
    return rc;
}

/* 0 is an empty cell where one may be empty. */
static mdr_code number_cell(const mdr_col *col, double value, mdr_mill_cell *out, mdr_err *err)
{
    *out = (mdr_mill_cell){0};
    const bool may_be_empty = (col->flags & MDR_COL_MUST) == 0;
    return may_be_empty && value == 0.0 ? MDR_OK : mdr_mill_cell_number(col, value, out, err);
}

static mdr_code date_cell(const mdr_col *col, int64_t utc_ms, mdr_mill_cell *out, mdr_err *err)
{
    const bool may_be_empty = (col->flags & MDR_COL_MUST) == 0;
    if (may_be_empty && utc_ms == 0) {
        *out = (mdr_mill_cell){0};
        return MDR_OK;
    }
    if (utc_ms < MDR_MILL_DATE_LEAST_MS || utc_ms > MDR_MILL_DATE_MOST_MS ||
        utc_ms % MDR_MILL_DAY_MS != 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, col->name, "not a date");
        mdr_err_allowed(err, "2000-01-01 to 2099-12-31");
        mdr_err_remedy(err, "give the day: 2026-12-15");
        return rc;
    }
    *out = (mdr_mill_cell){.given = true, .number = utc_ms};
    return MDR_OK;
}

static mdr_code cell_of(const mdr_col *col, const void *record, mdr_mill_cell *out, mdr_err *err)
{
    const void *field = (const char *)record + col->offset;
    double quantity = 0.0;
    int64_t date = 0;
    uint32_t bits = 0;
    int whole = 0;
    bool yes = false;
    switch (col->kind) {
    case MDR_COL_ID:
    case MDR_COL_REF:
    case MDR_COL_TEXT:
        return text_cell(col, field, out, err);
    case MDR_COL_QUANTITY:
        memcpy(&quantity, field, sizeof quantity);
        return number_cell(col, quantity, out, err);
    case MDR_COL_COUNT:
        memcpy(&whole, field, sizeof whole);
        return number_cell(col, whole, out, err);
    case MDR_COL_DATE:
        memcpy(&date, field, sizeof date);
        return date_cell(col, date, out, err);
    case MDR_COL_ENUM:
        memcpy(&whole, field, sizeof whole);
        *out = (mdr_mill_cell){.given = true, .number = whole};
        return MDR_OK;
    case MDR_COL_BOOL:
        memcpy(&yes, field, sizeof yes);
        *out = (mdr_mill_cell){.given = true, .number = yes ? 1 : 0};
        return MDR_OK;
    case MDR_COL_SET:
        memcpy(&bits, field, sizeof bits);
        *out = (mdr_mill_cell){.given = true, .number = bits};
        return MDR_OK;
    }
    MDR_UNREACHABLE();
}

static mdr_code check_reference(mdr_mill *mill, const mdr_col *col, const mdr_mill_cell *cell,
                                mdr_err *err)
{
    enum { ID_ROOM = 48 }; /* an id has at most 40 letters */
    const char *table, *key;
    char sql[160], id[ID_ROOM] = "";
    int64_t there = 0;
    if (col->kind != MDR_COL_REF || !cell->given || !mdr_mill_target(col, &table, &key)) {
        return MDR_OK;
    }
    memcpy(id, cell->text, cell->len < ID_ROOM ? cell->len : ID_ROOM - 1);
    (void)sqlite3_snprintf(sizeof sql, sql, "SELECT count(*) FROM \"%s\" WHERE \"%s\"=?1", table,
                           key);
    MDR_TRY(mdr_mill_sql_number(mill, sql, id, &there, err));
    if (there > 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, col->name, "there is no such %s", col->ref);
    mdr_err_value(err, "%s", id);
    mdr_err_remedy(err, "choose one that exists, or add it to table %s first", col->ref);
    return rc;
}

typedef struct first_fault {
    mdr_err err;
    bool any;
} first_fault;

static void take_first(void *context, mdr_err *fault)
{
    first_fault *f = context;
    f->err = f->any ? f->err : *fault;
    f->any = true;
}

static mdr_code write_cells(mdr_mill *mill, const mdr_table *table, const mdr_mill_cell *cells,
                            mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_code rc = mdr_mill_upsert(mill, table, &stmt, err);
    for (int i = 0; i < table->n_cols && rc == MDR_OK; i++) {
        const int bound = mdr_mill_cell_bind(&table->cols[i], &cells[i], stmt, i + 1);
        rc = bound == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, bound, err);
    }
    rc = rc == MDR_OK ? mdr_mill_sql_step(mill, stmt, &row, err) : rc;
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_row_put(mdr_mill *mill, const mdr_table *table, const void *record, mdr_err *err)
{
    mdr_mill_cell cells[MDR_MILL_COLS_MAX];
    first_fault fault = {.any = false};
    for (int i = 0; i < table->n_cols; i++) {
        MDR_TRY(cell_of(&table->cols[i], record, &cells[i], err));
    }
    mdr_mill_rules(table, cells, (mdr_mill_sink){take_first, &fault});
    if (fault.any) {
        if (err != NULL) {
            *err = fault.err;
        }
        return fault.err.code;
    }
    for (int i = 0; i < table->n_cols; i++) {
        MDR_TRY(check_reference(mill, &table->cols[i], &cells[i], err));
    }
    return write_cells(mill, table, cells, err);
}
