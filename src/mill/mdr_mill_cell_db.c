/* Cells to and from the database, into records, and out as CSV. */
#include <string.h>

#include "base/mdr_decimal.h"
#include "mill/mdr_mill_cell.h"
#include "mill/mdr_mill_cell_in.h"

/* -- database -> cell ------------------------------------------------------------------------- */

static mdr_code refuse_stored(const mdr_col *col, const char *shown, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_PARSE, col->name, "the mill file holds a value of no meaning here");
    mdr_err_value(err, "%s", shown);
    mdr_err_remedy(err, "correct it by importing the record anew; no program but this one should "
                        "write the file");
    return MDR_E_PARSE;
}

static bool is_number(mdr_col_kind kind)
{
    return kind == MDR_COL_QUANTITY || kind == MDR_COL_COUNT || kind == MDR_COL_BOOL ||
           kind == MDR_COL_DATE;
}

static mdr_code fetch_number(const mdr_col *col, mdr_mill_cell *c, mdr_err *err)
{
    char shown[MDR_DECIMAL_TEXT_MAX];
    const mdr_code rc = mdr_mill_check_range(col, c->number, err);
    if (rc != MDR_OK) {
        (void)mdr_decimal_write(shown, sizeof shown, c->number, mdr_mill_per_unit(col));
        mdr_err_value(err, "%s", shown);
        mdr_err_within(err, "%s", col->name);
    }
    return rc;
}

static mdr_code fetch_words(const mdr_col *col, mdr_mill_cell *c, mdr_err *err)
{
    if (col->kind == MDR_COL_SET) {
        const mdr_code rc = mdr_mill_read_set(col, c->text, c->len, &c->number, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "%s", col->name);
        }
        return rc;
    }
    c->number = mdr_mill_choice_index(col->choices, c->text, c->len);
    return c->number >= 0 ? MDR_OK : refuse_stored(col, c->text, err);
}

mdr_code mdr_mill_cell_fetch(const mdr_col *col, sqlite3_stmt *stmt, int at, mdr_mill_cell *out,
                             mdr_err *err)
{
    mdr_mill_cell c = {.given = sqlite3_column_type(stmt, at) != SQLITE_NULL};
    *out = c;
    if (!c.given) {
        return (col->flags & MDR_COL_MUST) != 0 ? refuse_stored(col, "", err) : MDR_OK;
    }
    if (is_number(col->kind)) {
        c.number = sqlite3_column_int64(stmt, at);
    } else {
        c.text = (const char *)sqlite3_column_text(stmt, at);
        c.len = (size_t)sqlite3_column_bytes(stmt, at);
        if (c.text == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, col->name, "memory limit reached");
        }
    }
    mdr_code rc = MDR_OK;
    switch (col->kind) {
    case MDR_COL_ID:
    case MDR_COL_REF:
    case MDR_COL_TEXT:
        c.given = c.len > 0;
        break;
    case MDR_COL_QUANTITY:
    case MDR_COL_COUNT:
        rc = fetch_number(col, &c, err);
        break;
    case MDR_COL_ENUM:
    case MDR_COL_SET:
        rc = fetch_words(col, &c, err);
        break;
    case MDR_COL_BOOL:
        rc = c.number == 0 || c.number == 1 ? MDR_OK : refuse_stored(col, "", err);
        break;
    case MDR_COL_DATE:
        rc = c.number >= MDR_MILL_DATE_LEAST_MS && c.number <= MDR_MILL_DATE_MOST_MS
                 ? MDR_OK
                 : refuse_stored(col, "", err);
        break;
    }
    *out = c;
    return rc;
}

/* -- cell -> database ------------------------------------------------------------------------- */

static void set_words(const mdr_col *col, int64_t bits, mdr_mill_text *out)
{
    size_t n;
    const char *id;
    const char *gap = "";
    for (int i = 0; (id = mdr_mill_choice_text(col->choices, i, &n)) != NULL; i++) {
        if (((bits >> i) & 1) != 0) {
            mdr_mill_text_add(out, gap);
            mdr_mill_text_add_n(out, id, n);
            gap = " ";
        }
    }
}

static int bind_set(const mdr_col *col, int64_t bits, sqlite3_stmt *stmt, int at)
{
    char words[512];
    size_t used = 0, n;
    const char *id;
    for (int i = 0; (id = mdr_mill_choice_text(col->choices, i, &n)) != NULL; i++) {
        if (((bits >> i) & 1) != 0 && used + n + 1 < sizeof words) {
            if (used > 0) {
                words[used++] = ' ';
            }
            memcpy(words + used, id, n);
            used += n;
        }
    }
    return sqlite3_bind_text(stmt, at, words, (int)used, SQLITE_TRANSIENT);
}

int mdr_mill_cell_bind(const mdr_col *col, const mdr_mill_cell *cell, sqlite3_stmt *stmt, int at)
{
    size_t n = 0;
    const char *id;
    switch (col->kind) {
    case MDR_COL_TEXT: /* an empty text is a text: NOT NULL in the schema */
        return sqlite3_bind_text64(stmt, at, cell->given ? cell->text : "", cell->len,
                                   SQLITE_TRANSIENT, SQLITE_UTF8);
    case MDR_COL_ID:
    case MDR_COL_REF:
        return cell->given ? sqlite3_bind_text64(stmt, at, cell->text, cell->len, SQLITE_TRANSIENT,
                                                 SQLITE_UTF8)
                           : sqlite3_bind_null(stmt, at);
    case MDR_COL_SET:
        return bind_set(col, cell->number, stmt, at);
    case MDR_COL_ENUM:
        id = mdr_mill_choice_text(col->choices, (int)cell->number, &n);
        return sqlite3_bind_text64(stmt, at, id, n, SQLITE_STATIC, SQLITE_UTF8);
    case MDR_COL_QUANTITY:
    case MDR_COL_COUNT:
    case MDR_COL_BOOL:
    case MDR_COL_DATE:
        return cell->given ? sqlite3_bind_int64(stmt, at, cell->number)
                           : sqlite3_bind_null(stmt, at);
    }
    MDR_UNREACHABLE();
}

/* -- cell -> CSV ------------------------------------------------------------------------------ */

static void write_text(const char *text, size_t len, mdr_mill_text *out)
{
    const bool formula = mdr_mill_is_formula(text, len);
    bool quote = len > 0 && (text[0] == ' ' || text[len - 1] == ' ' || text[0] == '#');
    for (size_t i = 0; i < len && !quote; i++) {
        quote = strchr(",\"\r\n", text[i]) != NULL;
    }
    mdr_mill_text_add(out, quote ? "\"" : "");
    mdr_mill_text_add(out, formula ? "'" : "");
    for (size_t i = 0; i < len; i++) {
        mdr_mill_text_add_n(out, text + i, 1);
        mdr_mill_text_add(out, text[i] == '"' ? "\"" : "");
    }
    mdr_mill_text_add(out, quote ? "\"" : "");
}

void mdr_mill_cell_write(const mdr_col *col, const mdr_mill_cell *cell, mdr_mill_text *out)
{
    char number[MDR_DECIMAL_TEXT_MAX];
    size_t n = 0;
    const char *id;
    if (!cell->given) {
        return;
    }
    switch (col->kind) {
    case MDR_COL_ID:
    case MDR_COL_REF:
    case MDR_COL_TEXT:
        write_text(cell->text, cell->len, out);
        return;
    case MDR_COL_QUANTITY:
    case MDR_COL_COUNT:
        (void)mdr_decimal_write(number, sizeof number, cell->number, mdr_mill_per_unit(col));
        mdr_mill_text_add(out, number);
        return;
    case MDR_COL_ENUM:
        id = mdr_mill_choice_text(col->choices, (int)cell->number, &n);
        mdr_mill_text_add_n(out, id, n);
        return;
    case MDR_COL_BOOL:
        mdr_mill_text_add(out, cell->number != 0 ? "yes" : "no");
        return;
    case MDR_COL_DATE:
        mdr_mill_date_write(cell->number, number);
        mdr_mill_text_add(out, number);
        return;
    case MDR_COL_SET:
        set_words(col, cell->number, out);
        return;
    }
    MDR_UNREACHABLE();
}

/* -- cell -> record --------------------------------------------------------------------------- */

static void put(void *record, const mdr_col *col, const void *value, size_t size)
{
    memcpy((char *)record + col->offset, value, size);
}

bool mdr_mill_cell_store(const mdr_col *col, const mdr_mill_cell *cell, mdr_arena *arena,
                         void *record)
{
    const double quantity = (double)cell->number / (double)mdr_mill_per_unit(col);
    const int whole = (int)cell->number;
    const bool yes = cell->number != 0;
    const uint32_t bits = (uint32_t)cell->number;
    const char *text;
    switch (col->kind) {
    case MDR_COL_ID:
    case MDR_COL_REF:
    case MDR_COL_TEXT:
        text = cell->given ? mdr_arena_text_n(arena, cell->text, cell->len) : "";
        put(record, col, &text, sizeof text);
        return text != NULL;
    case MDR_COL_QUANTITY:
        put(record, col, &quantity, sizeof quantity);
        return true;
    case MDR_COL_COUNT:
    case MDR_COL_ENUM:
        put(record, col, &whole, sizeof whole);
        return true;
    case MDR_COL_BOOL:
        put(record, col, &yes, sizeof yes);
        return true;
    case MDR_COL_DATE:
        put(record, col, &cell->number, sizeof cell->number);
        return true;
    case MDR_COL_SET:
        put(record, col, &bits, sizeof bits);
        return true;
    }
    MDR_UNREACHABLE();
}
