/* Lists of orders and lots. */
#include <stdlib.h>
#include <string.h>

#include "mill/mdr_mill_lots_in.h"
#include "mill/mdr_mill_text.h"

/* -- which lots ------------------------------------------------------------------------------- */

/* What is under way, then what is done, the last entered first. */
static const char *const OPEN_AND_DONE =
    "SELECT \"lot_id\", 1 FROM \"lot\" WHERE \"stage\" <> 'done' AND ?1 = '' "
    "UNION ALL SELECT * FROM (SELECT \"lot_id\", 0 FROM \"lot\" WHERE \"stage\" = 'done' AND"
    " (?1 = '' OR rowid < (SELECT rowid FROM \"lot\" WHERE \"lot_id\" = ?1))"
    " ORDER BY rowid DESC LIMIT ?2)";
/* Those in whose words each of the words occurs, the last entered first. */
static const char *const WITH_WORDS =
    "SELECT l.\"lot_id\", 0 FROM \"lot\" l"
    " JOIN \"customer_order\" o ON o.\"order_id\" = l.\"order_id\""
    " JOIN \"article\" a ON a.\"article_id\" = o.\"article_id\""
    " JOIN \"shade\" s ON s.\"shade_id\" = o.\"shade_id\""
    " JOIN \"machine\" m ON m.\"machine_id\" = l.\"machine_id\""
    " WHERE NOT EXISTS (SELECT 1 FROM json_each(?3) w WHERE instr(lower(l.\"lot_id\" || ' ' ||"
    " o.\"order_id\" || ' ' || o.\"customer\" || ' ' || a.\"name\" || ' ' || s.\"name\" || ' ' ||"
    " m.\"name\" || ' ' || l.\"stage\"), lower(w.value)) = 0)"
    " AND (?1 = '' OR l.rowid < (SELECT rowid FROM \"lot\" WHERE \"lot_id\" = ?1))"
    " ORDER BY l.rowid DESC LIMIT ?2";

static int bind_ask(sqlite3_stmt *stmt, const mdr_lots_ask *ask)
{
    const char *before = ask->before != NULL ? ask->before : "";
    int rc = mdr_mill_sql_bind_text(stmt, 1, before, strlen(before));
    if (rc == SQLITE_OK) {
        rc = sqlite3_bind_int(stmt, 2, ask->most + 1); /* one more says whether there are more */
    }
    if (rc == SQLITE_OK && ask->words != NULL) {
        rc = mdr_mill_sql_bind_text(stmt, 3, ask->words, strlen(ask->words));
    }
    return rc;
}

/* The ids as a JSON array; ids have no character that would have to be escaped. */
static mdr_code pick(mdr_mill *mill, const mdr_lots_ask *ask, mdr_arena *arena, const char **ids,
                     mdr_lots_page *page, mdr_err *err)
{
    sqlite3_stmt *stmt;
    mdr_mill_text text = {.arena = arena};
    mdr_mill_text last = {.arena = arena};
    int counted = 0;
    bool row = true;
    MDR_TRY(
        mdr_mill_sql_prepare(mill, ask->words != NULL ? WITH_WORDS : OPEN_AND_DONE, &stmt, err));
    const int bound = bind_ask(stmt, ask);
    mdr_code rc = bound == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, bound, err);
    mdr_mill_text_add(&text, "[");
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc != MDR_OK || !row) {
            break;
        }
        const char *id = (const char *)sqlite3_column_text(stmt, 0);
        if (sqlite3_column_int(stmt, 1) == 0 && ++counted > ask->most) {
            page->earlier = mdr_mill_text_get(&last);
            break;
        }
        mdr_mill_text_add(&text, text.len > 1 ? ",\"" : "\"");
        mdr_mill_text_add(&text, id);
        mdr_mill_text_add(&text, "\"");
        last = (mdr_mill_text){.arena = arena};
        mdr_mill_text_add(&last, id);
    }
    (void)sqlite3_finalize(stmt);
    mdr_mill_text_add(&text, "]");
    *ids = mdr_mill_text_get(&text);
    return rc == MDR_OK && (text.failed || last.failed) ? mdr_mill_no_memory(mill, err) : rc;
}

/* -- their lines ------------------------------------------------------------------------------ */

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
            return mdr_mill_lot_stale(rows[i].lot_id, err);
        }
        MDR_TRY(mdr_mill_lot_fill(masters, &rows[i], order, &lines[i].full, err));
    }
    return MDR_OK;
}

/* Revision and rolls of each lot, in the order of lot_id as `lines` still are. */
static mdr_code add_rolls(mdr_mill *mill, const char *ids, mdr_lot_line *lines, int n, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        "SELECT l.\"revision\", count(r.\"roll_id\"), coalesce(sum(r.\"grey_mg\"), 0) "
        "FROM \"lot\" l LEFT JOIN \"roll\" r ON r.\"lot_id\" = l.\"lot_id\" "
        "WHERE ?1 IS NULL OR l.\"lot_id\" IN (SELECT value FROM json_each(?1)) "
        "GROUP BY l.\"lot_id\", l.\"revision\" ORDER BY l.\"lot_id\"",
        &stmt, err));
    const int bound = ids != NULL ? mdr_mill_sql_bind_text(stmt, 1, ids, strlen(ids)) : SQLITE_OK;
    mdr_code rc = bound == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, bound, err);
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

/* The orders of these lots, sorted by id as they come from the store. */
static mdr_code load_orders(mdr_mill *mill, const char *ids, const mdr_mill_rows *lots,
                            mdr_arena *arena, mdr_mill_rows *out, mdr_err *err)
{
    mdr_mill_query q = {.table = mdr_table_find("order")};
    mdr_mill_text text = {.arena = arena};
    const mdr_row_lot *rows = lots->items;
    if (ids != NULL) {
        mdr_mill_text_add(&text, "[");
        for (int i = 0; i < lots->count; i++) {
            mdr_mill_text_add(&text, i > 0 ? ",\"" : "\"");
            mdr_mill_text_add(&text, rows[i].order_id);
            mdr_mill_text_add(&text, "\"");
        }
        mdr_mill_text_add(&text, "]");
        q.where = "order_id";
        q.one_of = mdr_mill_text_get(&text);
        if (q.one_of == NULL) {
            return mdr_mill_no_memory(mill, err);
        }
    }
    return mdr_mill_load(mill, &q, arena, out, err);
}

/* ids NULL: all. */
static mdr_code load_lines(mdr_mill *mill, const mdr_masters *masters, const char *ids,
                           mdr_arena *arena, mdr_mill_rows *out, mdr_err *err)
{
    mdr_mill_rows lots, orders;
    const mdr_mill_query q = {
        .table = mdr_table_find("lot"), .where = ids != NULL ? "lot_id" : NULL, .one_of = ids};
    MDR_TRY(mdr_mill_load(mill, &q, arena, &lots, err));
    MDR_TRY(load_orders(mill, ids, &lots, arena, &orders, err));
    *out = (mdr_mill_rows){0};
    if (lots.count == 0) {
        return MDR_OK;
    }
    mdr_lot_line *lines = MDR_NEW_N(arena, mdr_lot_line, (size_t)lots.count);
    if (lines == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    MDR_TRY(fill_lines(masters, lots.items, &orders, lines, lots.count, err));
    MDR_TRY(add_rolls(mill, ids, lines, lots.count, err));
    qsort(lines, (size_t)lots.count, sizeof *lines, compare_lines);
    *out = (mdr_mill_rows){lines, lots.count};
    return MDR_OK;
}

static mdr_code load_some(mdr_mill *mill, const mdr_masters *masters, const mdr_lots_ask *ask,
                          mdr_arena *arena, mdr_lots_page *out, mdr_err *err)
{
    mdr_mill_rows rows;
    const char *ids = NULL;
    int64_t known = 1;
    int64_t all = 0;
    if (ask->before != NULL) {
        MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"lot\" WHERE \"lot_id\" = ?1",
                                    ask->before, &known, err));
    }
    if (known == 0) {
        return mdr_mill_lot_unknown(mill, ask->before, err);
    }
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"lot\"", NULL, &all, err));
    MDR_TRY(pick(mill, ask, arena, &ids, out, err));
    MDR_TRY(load_lines(mill, masters, ids, arena, &rows, err));
    out->lines = rows.items;
    out->n = rows.count;
    out->all = (int)all;
    return MDR_OK;
}

mdr_code mdr_mill_lots_some(mdr_mill *mill, const mdr_masters *masters, const mdr_lots_ask *ask,
                            mdr_arena *arena, mdr_lots_page *out, mdr_err *err)
{
    mdr_lots_page page = {0};
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_some(mill, masters, ask, arena, &page, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = page;
    }
    return rc;
}

mdr_code mdr_mill_lots(mdr_mill *mill, const mdr_masters *masters, mdr_arena *arena,
                       mdr_lot_line **out, int *n_out, mdr_err *err)
{
    mdr_mill_rows lines;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_lines(mill, masters, NULL, arena, &lines, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = lines.items;
        *n_out = lines.count;
    }
    return rc;
}

/* -- orders ----------------------------------------------------------------------------------- */

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
