/* What a page changes of a lot. */
#include <string.h>

#include "mill/mdr_mill_rows.h"

/* Columns that a change may touch; UPDATE parameters 3.. in this order. */
enum { MACHINE, ROUTE, WEIGHED, RATIO, SPEED, TUBES, N_CHANGED };
static const char *const CHANGED[N_CHANGED] = {"machine_id",     "route_id",        "weighed_kg",
                                               "ratio_l_per_kg", "speed_m_per_min", "tubes_used"};

typedef struct update {
    const mdr_col *cols[N_CHANGED];
    mdr_mill_cell cells[N_CHANGED];
    bool set[N_CHANGED];
} update;

static mdr_code take_id(mdr_mill *mill, update *u, int i, const char *id, mdr_err *err)
{
    const char *table, *key;
    char sql[160];
    int64_t there = 0;
    if (id == NULL) {
        return MDR_OK;
    }
    mdr_code rc = mdr_mill_cell_read(u->cols[i], id, strlen(id), &u->cells[i], err);
    if (rc == MDR_OK && mdr_mill_target(u->cols[i], &table, &key)) {
        (void)sqlite3_snprintf(sizeof sql, sql, "SELECT count(*) FROM \"%s\" WHERE \"%s\"=?1",
                               table, key);
        MDR_TRY(mdr_mill_sql_number(mill, sql, id, &there, err));
        if (there == 0) {
            rc = MDR_FAIL(err, MDR_E_NOTFOUND, "", "there is no such %s", u->cols[i]->ref);
            mdr_err_value(err, "%s", id);
            mdr_err_remedy(err, "choose one that exists");
        }
    }
    if (rc != MDR_OK) {
        mdr_err_within(err, "%s", u->cols[i]->name);
        return rc;
    }
    u->set[i] = true;
    return MDR_OK;
}

/* Negative: stays; 0: emptied where the column may be empty. */
static mdr_code take_number(update *u, int i, double value, mdr_err *err)
{
    if (value < 0) {
        return MDR_OK;
    }
    u->set[i] = true;
    const bool may_be_empty = (u->cols[i]->flags & MDR_COL_MUST) == 0;
    if (value <= 0 && may_be_empty) { /* exactly 0: the cell stays not given */
        return MDR_OK;
    }
    return mdr_mill_cell_number(u->cols[i], value, &u->cells[i], err);
}

static mdr_code collect(mdr_mill *mill, const mdr_lot_change *c, update *u, mdr_err *err)
{
    const mdr_table *lot = mdr_table_find("lot");
    for (int i = 0; i < N_CHANGED; i++) {
        u->cols[i] = &lot->cols[mdr_mill_col_index(lot, CHANGED[i])];
    }
    MDR_TRY(take_id(mill, u, MACHINE, c->machine_id, err));
    MDR_TRY(take_id(mill, u, ROUTE, c->route_id, err));
    MDR_TRY(take_number(u, WEIGHED, c->weighed_kg, err));
    MDR_TRY(take_number(u, RATIO, c->ratio_l_per_kg, err));
    MDR_TRY(take_number(u, SPEED, c->speed_m_per_min, err));
    return take_number(u, TUBES, c->tubes_used, err);
}

static mdr_code check_revision(mdr_mill *mill, const char *lot_id, int revision, mdr_err *err)
{
    int64_t now = 0; /* no lot has revision 0 */
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT \"revision\" FROM \"lot\" WHERE \"lot_id\"=?1",
                                lot_id, &now, err));
    if (now == 0) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "", "there is no such lot");
        mdr_err_value(err, "%s", lot_id);
        mdr_err_remedy(err, "look at the list of lots");
        return MDR_E_NOTFOUND;
    }
    if (now != revision) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, "revision",
                       "somebody else changed the lot in the meantime");
        mdr_err_value(err, "%d", revision);
        mdr_err_allowed(err, "%lld", (long long)now);
        mdr_err_remedy(err, "load the lot again, then change it");
        return MDR_E_CONFLICT;
    }
    return MDR_OK;
}

static mdr_code write_update(mdr_mill *mill, const char *lot_id, const update *u, mdr_err *err)
{
    mdr_arena *arena = mdr_arena_new((size_t)16 * 1024);
    sqlite3_stmt *stmt = NULL;
    bool row;
    if (arena == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_mill_text sql = {.arena = arena};
    mdr_mill_text_add(&sql, "UPDATE \"lot\" SET \"revision\"=\"revision\"+1");
    for (int i = 0; i < N_CHANGED; i++) {
        if (u->set[i]) {
            mdr_mill_text_add(&sql, ",");
            mdr_mill_text_name(&sql, u->cols[i]->sql);
            mdr_mill_text_add(&sql, "=?");
        }
    }
    mdr_mill_text_add(&sql, " WHERE \"lot_id\"=?");
    mdr_code rc = mdr_mill_sql_prepare(mill, mdr_mill_text_get(&sql), &stmt, err);
    int bound = SQLITE_OK, at = 0;
    for (int i = 0; i < N_CHANGED && rc == MDR_OK && bound == SQLITE_OK; i++) {
        if (u->set[i]) {
            bound = mdr_mill_cell_bind(u->cols[i], &u->cells[i], stmt, ++at);
        }
    }
    if (rc == MDR_OK && bound == SQLITE_OK) {
        bound = mdr_mill_sql_bind_text(stmt, ++at, lot_id, strlen(lot_id));
    }
    if (rc == MDR_OK) {
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    (void)sqlite3_finalize(stmt);
    mdr_arena_free(arena);
    return rc;
}

mdr_code mdr_mill_lot_change(mdr_mill *mill, const char *lot_id, const mdr_lot_change *change,
                             mdr_err *err)
{
    update u = {0};
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = check_revision(mill, lot_id, change->revision, err);
    if (rc == MDR_OK) {
        rc = collect(mill, change, &u, err);
    }
    if (rc == MDR_OK) {
        rc = write_update(mill, lot_id, &u, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

mdr_code mdr_mill_lot_stage(mdr_mill *mill, const char *lot_id, int stage, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    MDR_TRY(mdr_mill_sql_prepare(
        mill, "UPDATE \"lot\" SET \"stage\"=?1 WHERE \"lot_id\"=?2 AND \"stage\"<>?1", &stmt, err));
    const char *id = mdr_lot_stage_id((mdr_lot_stage)stage);
    int rc = mdr_mill_sql_bind_text(stmt, 1, id, strlen(id));
    rc = rc == SQLITE_OK ? mdr_mill_sql_bind_text(stmt, 2, lot_id, strlen(lot_id)) : rc;
    const mdr_code code = rc == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                          : mdr_mill_sql_fail(mill, rc, err);
    (void)sqlite3_finalize(stmt);
    return code;
}
