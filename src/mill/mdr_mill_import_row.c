/* One row of an imported file: cells, rules, references, key; then into the table. */
#include <stdio.h>
#include <string.h>

#include "base/mdr_decimal.h"
#include "mill/mdr_mill_import_in.h"
#include "mill/mdr_mill_rows.h"
#include "mill/mdr_mill_rules.h"

enum { SQL_BYTES = 256, KEY_BYTES = 256 };

/* -- cells and rules -------------------------------------------------------------------------- */

static bool is_blank(const mdr_csv *csv)
{
    for (int i = 0; i < csv->n_cells; i++) {
        if (csv->cells[i].len > 0) {
            return false;
        }
    }
    return true;
}

static void read_cells(mdr_mill_import_run *run)
{
    mdr_err e;
    for (int d = 0; d < run->table->n_cols; d++) {
        const bool may_lack = (run->table->cols[d].flags & MDR_COL_LATER) != 0;
        run->cells[d] = (mdr_mill_cell){.bad = !may_lack};
    }
    for (int i = 0; i < run->csv.n_cells; i++) {
        const int d = run->col_of[i];
        if (d < 0) {
            continue;
        }
        const mdr_col *col = &run->table->cols[d];
        if (mdr_mill_cell_read(col, run->csv.cells[i].text, run->csv.cells[i].len, &run->cells[d],
                               &e) != MDR_OK) {
            run->cells[d] = (mdr_mill_cell){.bad = true};
            mdr_mill_import_note(run, run->line, col->name, &e);
        }
    }
}

static void take_fault(void *context, mdr_err *fault)
{
    mdr_mill_import_run *run = context;
    char column[sizeof fault->place];
    (void)snprintf(column, sizeof column, "%s", fault->place);
    mdr_mill_import_note(run, run->line, column, fault);
}

/* -- references ------------------------------------------------------------------------------- */

/* "SELECT 1 ... WHERE col = ?1", prepared at its first use. */
static mdr_code prepare_lookup(mdr_mill *mill, const char *table, const char *col,
                               sqlite3_stmt **stmt, mdr_err *err)
{
    char sql[SQL_BYTES];
    if (*stmt != NULL) {
        return MDR_OK;
    }
    (void)snprintf(sql, sizeof sql, "SELECT 1 FROM \"%s\" WHERE \"%s\"=?1", table, col);
    return mdr_mill_sql_prepare(mill, sql, stmt, err);
}

static mdr_code exists(mdr_mill *mill, sqlite3_stmt *stmt, const mdr_mill_cell *id, bool *out,
                       mdr_err *err)
{
    (void)sqlite3_reset(stmt);
    const int bound = mdr_mill_sql_bind_text(stmt, 1, id->text, id->len);
    if (bound != SQLITE_OK) {
        return mdr_mill_sql_fail(mill, bound, err);
    }
    return mdr_mill_sql_step(mill, stmt, out, err);
}

static void note_absent(mdr_mill_import_run *run, const mdr_col *col, const mdr_mill_cell *id)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_NOTFOUND, "", "there is no such %s", col->ref);
    mdr_err_value(&e, "%.*s", (int)id->len, id->text);
    if (strcmp(col->ref, "route") == 0) {
        mdr_err_remedy(&e, "correct it, or save a route of this number first");
    } else {
        mdr_err_remedy(&e, "correct it, or import table %s with %.*s first", col->ref, (int)id->len,
                       id->text);
    }
    mdr_mill_import_note(run, run->line, col->name, &e);
}

static mdr_code check_references(mdr_mill_import_run *run, mdr_err *err)
{
    const char *table, *key;
    for (int d = 0; d < run->table->n_cols; d++) {
        const mdr_col *col = &run->table->cols[d];
        mdr_mill_cell *c = &run->cells[d];
        bool there = false;
        if (col->kind != MDR_COL_REF || c->bad || !c->given) {
            continue;
        }
        if (!mdr_mill_target(col, &table, &key)) {
            return MDR_FAIL(err, MDR_E_ARG, col->name, "a reference to no table");
        }
        MDR_TRY(prepare_lookup(run->mill, table, key, &run->refs[d], err));
        MDR_TRY(exists(run->mill, run->refs[d], c, &there, err));
        if (!there) {
            note_absent(run, col, c);
        }
    }
    return MDR_OK;
}

/* Dyes and chemicals are one set of materials: an id stands for one of them. */
static mdr_code check_other_materials(mdr_mill_import_run *run, mdr_err *err)
{
    const bool dye = strcmp(run->table->name, "dye") == 0;
    const mdr_mill_cell *id = &run->cells[0];
    bool there = false;
    if ((!dye && strcmp(run->table->name, "chemical") != 0) || id->bad) {
        return MDR_OK;
    }
    const char *table = dye ? "chemical" : "dye";
    MDR_TRY(prepare_lookup(run->mill, table, dye ? "chemical_id" : "dye_id", &run->other, err));
    MDR_TRY(exists(run->mill, run->other, id, &there, err));
    if (there) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_CONFLICT, "", "a %s has this number already", table);
        mdr_err_value(&e, "%.*s", (int)id->len, id->text);
        mdr_err_remedy(&e, "give it another number: dyes and chemicals share one series");
        mdr_mill_import_note(run, run->line, run->table->cols[0].name, &e);
    }
    return MDR_OK;
}

/* -- keys ------------------------------------------------------------------------------------- */

/* The key of the row as one text: "S-17" or "S-17 2", numbers in their shortest form. */
static bool key_text(const mdr_mill_import_run *run, char out[KEY_BYTES], size_t *len)
{
    size_t n = 0;
    for (int d = 0; d < run->table->n_cols; d++) {
        const mdr_mill_cell *c = &run->cells[d];
        const mdr_col *col = &run->table->cols[d];
        char number[MDR_DECIMAL_TEXT_MAX];
        if ((col->flags & MDR_COL_KEY) == 0) {
            continue;
        }
        if (c->bad) {
            return false;
        }
        const bool is_text =
            c->text != NULL && col->kind != MDR_COL_QUANTITY && col->kind != MDR_COL_COUNT;
        if (!is_text) {
            const int64_t per = col->kind == MDR_COL_QUANTITY ? (int64_t)col->per_unit : 1;
            (void)mdr_decimal_write(number, sizeof number, c->number, per);
        }
        const char *part = is_text ? c->text : number;
        const size_t size = is_text ? c->len : strlen(number);
        if (n + size + 2 > KEY_BYTES) {
            return false;
        }
        if (n > 0) {
            out[n++] = ' ';
        }
        memcpy(out + n, part, size);
        n += size;
    }
    *len = n;
    return true;
}

static mdr_code check_key(mdr_mill_import_run *run, mdr_err *err)
{
    char key[KEY_BYTES];
    size_t len;
    if (!key_text(run, key, &len)) {
        return MDR_OK;
    }
    const int before = mdr_mill_keys_put(&run->keys, key, len, run->line);
    if (before < 0) {
        return mdr_mill_no_memory(run->mill, err);
    }
    if (before > 0) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_CONFLICT, "",
                       "this record stands twice: in line %d and in line %d", before, run->line);
        mdr_err_value(&e, "%.*s", (int)len, key);
        mdr_err_remedy(&e, "keep one of the two lines");
        mdr_mill_import_note(run, run->line, mdr_mill_key(run->table)->name, &e);
    }
    if (strcmp(run->table->name, "site") == 0 && run->rows > 1 && before == 0) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_CONFLICT, "", "the table site holds a single row");
        mdr_err_value(&e, "%.*s", (int)len, key);
        mdr_err_remedy(&e, "keep the row of your mill");
        mdr_mill_import_note(run, run->line, "name", &e);
    }
    return MDR_OK;
}

/* -- storing ---------------------------------------------------------------------------------- */

/* Rows that are part of something (bands of a dose table, lines of a recipe) are replaced as a
 * whole: what the file does not name any more must go, or a recipe would keep a dye in secret.
 * The site is one row, whatever its name was. */
static mdr_code clear_old(mdr_mill_import_run *run, mdr_err *err)
{
    const mdr_col *first = &run->table->cols[0];
    const mdr_mill_cell *parent = &run->cells[0];
    char sql[SQL_BYTES];
    bool row;
    const bool site = strcmp(run->table->name, "site") == 0;
    const bool part = first->kind == MDR_COL_REF && (first->flags & MDR_COL_KEY) != 0;
    if (!site && !part) {
        return MDR_OK;
    }
    const int seen = mdr_mill_keys_put(&run->parents, parent->text, parent->len, run->line);
    if (seen != 0) {
        return seen > 0 ? MDR_OK : mdr_mill_no_memory(run->mill, err);
    }
    if (run->clear == NULL) {
        (void)snprintf(sql, sizeof sql, "DELETE FROM \"%s\" WHERE \"%s\"%s?1", run->table->sql,
                       first->sql, site ? "<>" : "=");
        MDR_TRY(mdr_mill_sql_prepare(run->mill, sql, &run->clear, err));
    }
    (void)sqlite3_reset(run->clear);
    const int bound = mdr_mill_sql_bind_text(run->clear, 1, parent->text, parent->len);
    if (bound != SQLITE_OK) {
        return mdr_mill_sql_fail(run->mill, bound, err);
    }
    return mdr_mill_sql_step(run->mill, run->clear, &row, err);
}

static mdr_code store(mdr_mill_import_run *run, mdr_err *err)
{
    mdr_err e;
    bool row;
    MDR_TRY(clear_old(run, err));
    if (run->upsert == NULL) {
        MDR_TRY(mdr_mill_upsert(run->mill, run->table, &run->upsert, err));
    }
    (void)sqlite3_reset(run->upsert);
    for (int d = 0; d < run->table->n_cols; d++) {
        const int bound =
            mdr_mill_cell_bind(&run->table->cols[d], &run->cells[d], run->upsert, d + 1);
        if (bound != SQLITE_OK) {
            return mdr_mill_sql_fail(run->mill, bound, err);
        }
    }
    const mdr_code rc = mdr_mill_sql_step(run->mill, run->upsert, &row, &e);
    if (rc == MDR_E_CONFLICT) { /* a rule that only the schema knows: a fault of the row */
        mdr_mill_import_note(run, run->line, NULL, &e);
        return MDR_OK;
    }
    if (rc != MDR_OK && err != NULL) {
        *err = e;
    }
    return rc;
}

mdr_code mdr_mill_import_row(mdr_mill_import_run *run, mdr_err *err)
{
    run->line = run->csv.line;
    if (is_blank(&run->csv)) { /* spreadsheets write rows of commas below the last */
        return MDR_OK;
    }
    run->rows++;
    read_cells(run);
    mdr_mill_rules(run->table, run->cells, (mdr_mill_sink){take_fault, run});
    MDR_TRY(check_references(run, err));
    MDR_TRY(check_other_materials(run, err));
    MDR_TRY(check_key(run, err));
    return run->faults == 0 ? store(run, err) : MDR_OK;
}
