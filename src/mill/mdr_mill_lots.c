/* Orders and lots: reading. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mill/mdr_mill_rows.h"

enum { NAMES_IN_REMEDY = 5 };

mdr_code mdr_mill_orders(mdr_mill *mill, mdr_arena *arena, mdr_order **out, int *n_out,
                         mdr_err *err)
{
    mdr_mill_rows rows;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc =
        mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find("order")}, arena, &rows, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = rows.items;
        *n_out = rows.count;
    }
    return rc;
}

/* -- one lot ---------------------------------------------------------------------------------- */

static mdr_code refuse_stale(const char *lot_id, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "", "the mill was changed meanwhile");
    mdr_err_within(err, "lot %s", lot_id);
    mdr_err_remedy(err, "read it again");
    return MDR_E_CONFLICT;
}

/* `masters` may be older than the lot: then what the lot refers to can be absent. */
static mdr_code fill_lot(const mdr_masters *masters, const mdr_row_lot *row, const mdr_order *order,
                         mdr_lot_full *out, mdr_err *err)
{
    const mdr_article *article = mdr_masters_article(masters, order->article_id);
    const mdr_shade *shade = mdr_masters_shade(masters, order->shade_id);
    if (article == NULL || shade == NULL || mdr_masters_machine(masters, row->machine_id) == NULL) {
        return refuse_stale(row->lot_id, err);
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

static mdr_code refuse_unknown(mdr_mill *mill, const char *lot_id, mdr_err *err)
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
    const mdr_mill_query q = {mdr_table_find("roll"), "lot_id", lot->lot_id};
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
    const mdr_mill_query by_lot = {mdr_table_find("lot"), "lot_id", lot_id};
    MDR_TRY(mdr_mill_load(mill, &by_lot, arena, &lots, err));
    if (lots.count == 0) {
        return refuse_unknown(mill, lot_id, err);
    }
    const mdr_row_lot *row = lots.items;
    const mdr_mill_query by_order = {mdr_table_find("order"), "order_id", row->order_id};
    MDR_TRY(mdr_mill_load(mill, &by_order, arena, &orders, err));
    if (orders.count == 0) {
        return refuse_stale(lot_id, err);
    }
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT \"revision\" FROM \"lot\" WHERE \"lot_id\"=?1",
                                lot_id, &revision, err));
    MDR_TRY(fill_lot(masters, row, orders.items, out, err));
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

/* -- all lots --------------------------------------------------------------------------------- */

static int compare_lines(const void *a, const void *b)
{
    const mdr_lot *x = &((const mdr_lot_line *)a)->full.lot;
    const mdr_lot *y = &((const mdr_lot_line *)b)->full.lot;
    if (x->due_utc_ms != y->due_utc_ms) {
        return x->due_utc_ms < y->due_utc_ms ? -1 : 1;
    }
    return strcmp(x->lot_id, y->lot_id);
}

static int compare_order(const void *id, const void *order)
{
    return strcmp(id, ((const mdr_order *)order)->order_id);
}

static const mdr_order *find_order(const mdr_mill_rows *orders, const char *order_id)
{
    return orders->count == 0 ? NULL
                              : bsearch(order_id, orders->items, (size_t)orders->count,
                                        sizeof(mdr_order), compare_order);
}

static mdr_code fill_lines(const mdr_masters *masters, const mdr_row_lot *rows,
                           const mdr_mill_rows *orders, mdr_lot_line *lines, int n, mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        const mdr_order *order = find_order(orders, rows[i].order_id);
        if (order == NULL) {
            return refuse_stale(rows[i].lot_id, err);
        }
        MDR_TRY(fill_lot(masters, &rows[i], order, &lines[i].full, err));
    }
    return MDR_OK;
}

/* Revision and rolls of each lot, in the order of lot_id as `lines` still are. */
static mdr_code add_rolls(mdr_mill *mill, mdr_lot_line *lines, int n, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        "SELECT l.\"revision\", count(r.\"roll_id\"), coalesce(sum(r.\"grey_mg\"), 0) "
        "FROM \"lot\" l LEFT JOIN \"roll\" r ON r.\"lot_id\" = l.\"lot_id\" "
        "GROUP BY l.\"lot_id\", l.\"revision\" ORDER BY l.\"lot_id\"",
        &stmt, err));
    mdr_code rc = MDR_OK;
    for (int i = 0; i < n && rc == MDR_OK && row; i++) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            lines[i].full.revision = sqlite3_column_int(stmt, 0);
            lines[i].full.lot.n_rolls = sqlite3_column_int(stmt, 1);
            lines[i].grey_kg = (double)sqlite3_column_int64(stmt, 2) / 1e6;
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code load_lines(mdr_mill *mill, const mdr_masters *masters, mdr_arena *arena,
                           mdr_mill_rows *out, mdr_err *err)
{
    mdr_mill_rows lots, orders;
    MDR_TRY(
        mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find("lot")}, arena, &lots, err));
    MDR_TRY(mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find("order")}, arena, &orders,
                          err));
    *out = (mdr_mill_rows){0};
    if (lots.count == 0) {
        return MDR_OK;
    }
    mdr_lot_line *lines = MDR_NEW_N(arena, mdr_lot_line, (size_t)lots.count);
    if (lines == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    MDR_TRY(fill_lines(masters, lots.items, &orders, lines, lots.count, err));
    MDR_TRY(add_rolls(mill, lines, lots.count, err));
    qsort(lines, (size_t)lots.count, sizeof *lines, compare_lines);
    *out = (mdr_mill_rows){lines, lots.count};
    return MDR_OK;
}

mdr_code mdr_mill_lots(mdr_mill *mill, const mdr_masters *masters, mdr_arena *arena,
                       mdr_lot_line **out, int *n_out, mdr_err *err)
{
    mdr_mill_rows lines;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_lines(mill, masters, arena, &lines, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = lines.items;
        *n_out = lines.count;
    }
    return rc;
}
