/* Moves of stock into the mill. */
#include <string.h>

#include "mill/mdr_mill_in.h"
#include "mill/mdr_stock.h"

enum { ENTRY_LEAST = 8, ENTRY_MOST = 80, TEXT_MOST = 200 };

static mdr_code refuse(mdr_code code, const char *place, const char *value, const char *msg,
                       mdr_err *err)
{
    (void)MDR_FAIL(err, code, place, "%s", msg);
    mdr_err_value(err, "%s", value);
    return code;
}

/* -- what a move must be ---------------------------------------------------------------------- */

static bool good_entry(const char *id)
{
    static const char LETTERS[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-";
    const size_t n = strlen(id);
    return n >= ENTRY_LEAST && n <= ENTRY_MOST && strspn(id, LETTERS) == n;
}

static bool good_text(const char *text)
{
    for (const char *c = text; *c != '\0'; c++) {
        if ((unsigned char)*c < 0x20 || *c == 0x7F) {
            return false;
        }
    }
    return strlen(text) <= TEXT_MOST;
}

static mdr_code check_texts(const mdr_stock_move *m, mdr_err *err)
{
    if (!good_entry(m->entry_id)) {
        (void)refuse(MDR_E_ARG, "entry_id", m->entry_id, "the entry has no number of its own", err);
        mdr_err_allowed(err, "8 to 80 of A-Z a-z 0-9 _ -");
        return MDR_E_ARG;
    }
    if (m->by[0] == '\0' || !good_text(m->by)) {
        (void)refuse(MDR_E_ARG, "by", "", "who did it is not said", err);
        mdr_err_remedy(err, "sign in, or scan your badge");
        return MDR_E_ARG;
    }
    if (!good_text(m->text) || (m->kind == MDR_STOCK_ADJUSTED && m->text[0] == '\0')) {
        (void)refuse(MDR_E_ARG, "text", "", "why the stock is another one is not said", err);
        mdr_err_allowed(err, "1 to %d bytes, no control characters", (int)TEXT_MOST);
        return MDR_E_ARG;
    }
    return MDR_OK;
}

static mdr_code check_mass(const mdr_stock_move *m, mdr_err *err)
{
    const bool sign = m->kind == MDR_STOCK_RECEIVED  ? m->mass_mg > 0
                      : m->kind == MDR_STOCK_WEIGHED ? m->mass_mg < 0
                                                     : m->mass_mg != 0;
    if (sign && m->mass_mg >= -MDR_WEIGH_MOST_MG && m->mass_mg <= MDR_WEIGH_MOST_MG) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_RANGE, "mass_mg", "this mass cannot be booked");
    mdr_err_value(err, "%lld", (long long)m->mass_mg);
    mdr_err_allowed(err, "1 to %lld mg%s", (long long)MDR_WEIGH_MOST_MG,
                    m->kind == MDR_STOCK_WEIGHED    ? ", with a minus"
                    : m->kind == MDR_STOCK_ADJUSTED ? ", either sign"
                                                    : "");
    return MDR_E_RANGE;
}

static mdr_code check_material(mdr_mill *mill, const char *material_id, mdr_err *err)
{
    int64_t n = 0;
    MDR_TRY(mdr_mill_sql_number(mill,
                                "SELECT (SELECT count(*) FROM \"dye\" WHERE \"dye_id\" = ?1) +"
                                " (SELECT count(*) FROM \"chemical\" WHERE \"chemical_id\" = ?1)",
                                material_id, &n, err));
    return n > 0 ? MDR_OK
                 : refuse(MDR_E_NOTFOUND, "material_id", material_id,
                          "there is no such dye or chemical", err);
}

/* The container is there and holds this material. */
static mdr_code check_lot(mdr_mill *mill, const mdr_stock_move *m, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    if (m->stock_lot_id[0] == '\0') {
        return MDR_OK;
    }
    mdr_code rc = mdr_mill_sql_prepare(
        mill, "SELECT \"material_id\" FROM \"stock_lot\" WHERE \"stock_lot_id\" = ?1", &stmt, err);
    if (rc == MDR_OK) {
        const int bound = mdr_mill_sql_bind_text(stmt, 1, m->stock_lot_id, strlen(m->stock_lot_id));
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    if (rc == MDR_OK && !row) {
        rc =
            refuse(MDR_E_NOTFOUND, "stock_lot", m->stock_lot_id, "there is no such container", err);
        mdr_err_remedy(err, "book its delivery first, or weigh without a container");
    } else if (rc == MDR_OK &&
               strcmp((const char *)sqlite3_column_text(stmt, 0), m->material_id) != 0) {
        rc = refuse(MDR_E_CONFLICT, "stock_lot", m->stock_lot_id,
                    "the container holds another material", err);
        mdr_err_allowed(err, "a container of %s", m->material_id);
        mdr_err_remedy(err, "put it back, and scan the right one");
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- booking ---------------------------------------------------------------------------------- */

/* In the order of both statements. */
static int bind_move(sqlite3_stmt *stmt, const mdr_stock_move *m)
{
    const char *const texts[] = {
        m->entry_id, mdr_stock_kind_id(m->kind), m->material_id, m->by, m->batch_id, m->text};
    int rc = SQLITE_OK, at = 1;
    for (; at <= 6 && rc == SQLITE_OK; at++) {
        rc = mdr_mill_sql_bind_text(stmt, at, texts[at - 1], strlen(texts[at - 1]));
    }
    if (rc == SQLITE_OK && m->stock_lot_id[0] != '\0') {
        rc = mdr_mill_sql_bind_text(stmt, 7, m->stock_lot_id, strlen(m->stock_lot_id));
    }
    return rc == SQLITE_OK ? sqlite3_bind_int64(stmt, 8, m->mass_mg) : rc;
}

static mdr_code run(mdr_mill *mill, const char *sql, const mdr_stock_move *m, bool with_time,
                    bool *row, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    mdr_code rc = mdr_mill_sql_prepare(mill, sql, &stmt, err);
    if (rc == MDR_OK) {
        int bound = bind_move(stmt, m);
        bound = bound == SQLITE_OK && with_time ? sqlite3_bind_int64(stmt, 9, m->at_utc_ms) : bound;
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* Sent again is no fault; the time may differ, nothing else. */
static mdr_code booked_before(mdr_mill *mill, const mdr_stock_move *m, bool *again, mdr_err *err)
{
    int64_t there = 0;
    bool same = false;
    *again = false;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"stock_move\" WHERE \"entry_id\" = ?1",
                                m->entry_id, &there, err));
    if (there == 0) {
        return MDR_OK;
    }
    MDR_TRY(run(mill,
                "SELECT 1 FROM \"stock_move\" WHERE \"entry_id\" = ?1 AND \"kind\" = ?2 AND"
                " \"material_id\" = ?3 AND \"by\" = ?4 AND \"batch_id\" = ?5 AND \"text\" = ?6 AND"
                " \"stock_lot_id\" IS ?7 AND \"mass_mg\" = ?8",
                m, false, &same, err));
    *again = same;
    return same ? MDR_OK
                : refuse(MDR_E_CONFLICT, "entry_id", m->entry_id,
                         "an entry of this number was booked with other content", err);
}

static mdr_code insert(mdr_mill *mill, const mdr_stock_move *m, mdr_err *err)
{
    bool row = false;
    MDR_TRY(check_material(mill, m->material_id, err));
    MDR_TRY(check_lot(mill, m, err));
    return run(
        mill,
        "INSERT INTO \"stock_move\" (\"seq\", \"entry_id\", \"kind\", \"material_id\", \"by\","
        " \"batch_id\", \"text\", \"stock_lot_id\", \"mass_mg\", \"at_utc_ms\") VALUES"
        " ((SELECT coalesce(max(\"seq\"), 0) + 1 FROM \"stock_move\"),"
        " ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        m, true, &row, err);
}

static mdr_code check_move(const mdr_stock_move *m, mdr_err *err)
{
    MDR_TRY(check_texts(m, err));
    return check_mass(m, err);
}

static mdr_code close_change(mdr_mill *mill, mdr_code rc, mdr_err *err)
{
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

mdr_code mdr_mill_stock_book(mdr_mill *mill, const mdr_stock_move *move, bool *again, mdr_err *err)
{
    bool before = false;
    MDR_TRY(check_move(move, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = booked_before(mill, move, &before, err);
    rc = rc == MDR_OK && !before ? insert(mill, move, err) : rc;
    MDR_TRY(close_change(mill, rc, err));
    *again = before;
    return MDR_OK;
}

/* -- deliveries ------------------------------------------------------------------------------- */

static mdr_code insert_lot(mdr_mill *mill, const mdr_stock_lot *lot, mdr_err *err)
{
    const char *const texts[] = {lot->stock_lot_id, lot->material_id, lot->supplier_lot,
                                 lot->remark};
    int64_t there = 0;
    bool row = false;
    sqlite3_stmt *stmt = NULL;
    MDR_TRY(mdr_mill_sql_number(mill,
                                "SELECT count(*) FROM \"stock_lot\" WHERE \"stock_lot_id\" = ?1",
                                lot->stock_lot_id, &there, err));
    if (there > 0) {
        (void)refuse(MDR_E_CONFLICT, "stock_lot", lot->stock_lot_id,
                     "a container of this number is there already", err);
        mdr_err_remedy(err, "give it another number");
        return MDR_E_CONFLICT;
    }
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        "INSERT INTO \"stock_lot\" (\"stock_lot_id\", \"material_id\", \"supplier_lot\","
        " \"remark\", \"expiry_utc_ms\") VALUES (?1, ?2, ?3, ?4, ?5)",
        &stmt, err));
    int bound = SQLITE_OK;
    for (int i = 0; i < 4 && bound == SQLITE_OK; i++) {
        bound = mdr_mill_sql_bind_text(stmt, i + 1, texts[i], strlen(texts[i]));
    }
    if (bound == SQLITE_OK && lot->expiry_utc_ms != 0) {
        bound = sqlite3_bind_int64(stmt, 5, lot->expiry_utc_ms);
    }
    const mdr_code rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                           : mdr_mill_sql_fail(mill, bound, err);
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_stock_receive(mdr_mill *mill, const mdr_stock_lot *lot,
                                const mdr_stock_move *move, bool *again, mdr_err *err)
{
    bool before = false;
    mdr_stock_move m = *move;
    m.kind = MDR_STOCK_RECEIVED;
    m.material_id = lot->material_id;
    m.stock_lot_id = lot->stock_lot_id;
    if (!mdr_id_valid(lot->stock_lot_id)) {
        (void)refuse(MDR_E_ARG, "stock_lot", lot->stock_lot_id, "this is no number of a container",
                     err);
        mdr_err_allowed(err, "1 to 40 of A-Z a-z 0-9 - _ .");
        return MDR_E_ARG;
    }
    if (!good_text(lot->supplier_lot) || !good_text(lot->remark)) {
        return refuse(MDR_E_ARG, "supplier_lot", "", "too long, or with control characters", err);
    }
    MDR_TRY(check_move(&m, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = booked_before(mill, &m, &before, err);
    if (rc == MDR_OK && !before) {
        rc = check_material(mill, lot->material_id, err);
        rc = rc == MDR_OK ? insert_lot(mill, lot, err) : rc;
        rc = rc == MDR_OK ? insert(mill, &m, err) : rc;
    }
    MDR_TRY(close_change(mill, rc, err));
    *again = before;
    return MDR_OK;
}
