/* One lot with its rolls. */
#include <stdio.h>
#include <string.h>

#include "mill/mdr_mill_lots_in.h"

enum { NAMES_IN_REMEDY = 5 };

mdr_code mdr_mill_lot_stale(const char *lot_id, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "", "the mill was changed in the meantime");
    mdr_err_within(err, "lot %s", lot_id);
    mdr_err_remedy(err, "read it again");
    return MDR_E_CONFLICT;
}

mdr_code mdr_mill_lot_fill(const mdr_masters *masters, const mdr_row_lot *row,
                           const mdr_order *order, mdr_lot_full *out, mdr_err *err)
{
    const mdr_article *article = mdr_masters_article(masters, order->article_id);
    const mdr_shade *shade = mdr_masters_shade(masters, order->shade_id);
    if (article == NULL || shade == NULL || mdr_masters_machine(masters, row->machine_id) == NULL) {
        return mdr_mill_lot_stale(row->lot_id, err);
    }
    *out = (mdr_lot_full){.lot = {.lot_id = row->lot_id,
                                  .order_id = order->order_id,
                                  .customer = order->customer,
                                  .article = article,
                                  .shade = shade,
                                  .weighed_kg = row->weighed_kg,
                                  .ratio_l_per_kg = row->ratio_l_per_kg,
                                  .speed_m_per_min = row->speed_m_per_min,
                                  .tubes_used = row->tubes_used,
                                  .loss_pct = order->loss_pct,
                                  .stage = row->stage,
                                  .due_utc_ms = order->due_utc_ms},
                          .machine_id = row->machine_id,
                          .route_id = row->route_id};
    return MDR_OK;
}

static void append_name(char *names, size_t size, const char *id)
{
    const size_t used = strlen(names);
    if (id != NULL && used + strlen(id) + 3 < size) {
        (void)snprintf(names + used, size - used, "%s%s", used > 0 ? ", " : "", id);
    }
}

/* Up to five of the lots there are: the first that begin like the id asked for, else the first. */
static mdr_code list_lots(mdr_mill *mill, const char *like, char *names, size_t size, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(mill,
                                 "SELECT \"lot_id\" FROM \"lot\" ORDER BY CASE WHEN"
                                 " substr(\"lot_id\", 1, 3) = substr(?1, 1, 3) THEN 0 ELSE 1 END,"
                                 " \"lot_id\"",
                                 &stmt, err));
    const int bound = mdr_mill_sql_bind_text(stmt, 1, like, strlen(like));
    mdr_code rc = bound == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, bound, err);
    for (int i = 0; i < NAMES_IN_REMEDY && rc == MDR_OK && row; i++) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            append_name(names, size, (const char *)sqlite3_column_text(stmt, 0));
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_lot_unknown(mdr_mill *mill, const char *lot_id, mdr_err *err)
{
    char names[160] = "";
    MDR_TRY(list_lots(mill, lot_id, names, sizeof names, err));
    (void)MDR_FAIL(err, MDR_E_NOTFOUND, "lot", "there is no such lot");
    mdr_err_value(err, "%s", lot_id);
    if (names[0] != '\0') {
        mdr_err_remedy(err, "lots there are: %s", names);
    } else {
        mdr_err_remedy(err, "this mill has no lots yet: import table lot");
    }
    return MDR_E_NOTFOUND;
}

static mdr_code load_rolls(mdr_mill *mill, mdr_arena *arena, mdr_lot *lot, mdr_err *err)
{
    mdr_mill_rows rows;
    const mdr_mill_query q = {
        .table = mdr_table_find("roll"), .where = "lot_id", .equals = lot->lot_id};
    MDR_TRY(mdr_mill_load(mill, &q, arena, &rows, err));
    if (rows.count == 0) {
        return MDR_OK;
    }
    mdr_roll *rolls = MDR_NEW_N(arena, mdr_roll, (size_t)rows.count);
    if (rolls == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    const mdr_row_roll *row = rows.items;
    for (int i = 0; i < rows.count; i++) {
        rolls[i] = (mdr_roll){row[i].roll_id, row[i].grey_kg};
    }
    lot->rolls = rolls;
    lot->n_rolls = rows.count;
    return MDR_OK;
}

static mdr_code load_lot(mdr_mill *mill, const mdr_masters *masters, const char *lot_id,
                         mdr_arena *arena, mdr_lot_full *out, mdr_err *err)
{
    mdr_mill_rows lots, orders;
    int64_t revision = 0;
    const mdr_mill_query by_lot = {
        .table = mdr_table_find("lot"), .where = "lot_id", .equals = lot_id};
    MDR_TRY(mdr_mill_load(mill, &by_lot, arena, &lots, err));
    if (lots.count == 0) {
        return mdr_mill_lot_unknown(mill, lot_id, err);
    }
    const mdr_row_lot *row = lots.items;
    const mdr_mill_query by_order = {
        .table = mdr_table_find("order"), .where = "order_id", .equals = row->order_id};
    MDR_TRY(mdr_mill_load(mill, &by_order, arena, &orders, err));
    if (orders.count == 0) {
        return mdr_mill_lot_stale(lot_id, err);
    }
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT \"revision\" FROM \"lot\" WHERE \"lot_id\"=?1",
                                lot_id, &revision, err));
    MDR_TRY(mdr_mill_lot_fill(masters, row, orders.items, out, err));
    out->revision = (int)revision;
    return load_rolls(mill, arena, &out->lot, err);
}

mdr_code mdr_mill_lot(mdr_mill *mill, const mdr_masters *masters, const char *lot_id,
                      mdr_arena *arena, mdr_lot_full *out, mdr_err *err)
{
    mdr_lot_full full;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_lot(mill, masters, lot_id, arena, &full, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = full;
    }
    return rc;
}
