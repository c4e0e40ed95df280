/* Scales, weighing classes and containers out of the mill. */
#include <stdlib.h>
#include <string.h>

#include "core/plan/mdr_pick.h"
#include "mill/mdr_mill_rows.h"
#include "mill/mdr_stock.h"

MDR_PICK(mdr_stock_kind_id, mdr_stock_kind, MDR_STOCK_MOVES(MDR_PICK_ID))
MDR_PICK(mdr_stock_kind_words, mdr_stock_kind, MDR_STOCK_MOVES(MDR_PICK_WORDS))

/* -- finding ---------------------------------------------------------------------------------- */

static int by_scale(const void *id, const void *record)
{
    return strcmp(id, ((const mdr_scale *)record)->scale_id);
}

static int by_class(const void *id, const void *record)
{
    return strcmp(id, ((const mdr_weigh_class *)record)->class_id);
}

static int by_lot(const void *id, const void *record)
{
    return strcmp(id, ((const mdr_stock_lot *)record)->stock_lot_id);
}

const mdr_scale *mdr_weighing_scale(const mdr_weighing *w, const char *scale_id)
{
    return w->n_scales == 0
               ? NULL
               : bsearch(scale_id, w->scales, (size_t)w->n_scales, sizeof *w->scales, by_scale);
}

const mdr_weigh_class *mdr_weighing_class(const mdr_weighing *w, const char *class_id)
{
    return w->n_classes == 0
               ? NULL
               : bsearch(class_id, w->classes, (size_t)w->n_classes, sizeof *w->classes, by_class);
}

const mdr_stock_lot *mdr_weighing_lot(const mdr_weighing *w, const char *stock_lot_id)
{
    return w->n_lots == 0
               ? NULL
               : bsearch(stock_lot_id, w->lots, (size_t)w->n_lots, sizeof *w->lots, by_lot);
}

/* -- loading ---------------------------------------------------------------------------------- */

static mdr_code load(mdr_mill *mill, const char *table, mdr_arena *arena, mdr_mill_rows *out,
                     mdr_err *err)
{
    return mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find(table)}, arena, out, err);
}

static const char *text_at(sqlite3_stmt *stmt, int at, mdr_arena *arena)
{
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    return mdr_arena_text(arena, text == NULL ? "" : text);
}

enum { LOT_ID, LOT_MATERIAL, LOT_SUPPLIER, LOT_REMARK, LOT_EXPIRY };
enum { LOT_RECEIVED = LOT_EXPIRY + 1, LOT_LEFT, LOT_SINCE, LOT_OPENED };

static const char LOTS_SQL[] =
    "SELECT l.\"stock_lot_id\", l.\"material_id\", l.\"supplier_lot\", l.\"remark\","
    " coalesce(l.\"expiry_utc_ms\", 0),"
    " coalesce(sum(CASE WHEN m.\"kind\" = 'received' THEN m.\"mass_mg\" END), 0),"
    " coalesce(sum(m.\"mass_mg\"), 0), coalesce(min(m.\"at_utc_ms\"), 0),"
    " coalesce(min(CASE WHEN m.\"kind\" = 'weighed' THEN m.\"at_utc_ms\" END), 0)"
    " FROM \"stock_lot\" l LEFT JOIN \"stock_move\" m ON m.\"stock_lot_id\" = l.\"stock_lot_id\""
    " GROUP BY l.\"stock_lot_id\" ORDER BY l.\"stock_lot_id\"";

static bool fetch_lot(sqlite3_stmt *stmt, mdr_arena *arena, mdr_stock_lot *out)
{
    *out = (mdr_stock_lot){.stock_lot_id = text_at(stmt, LOT_ID, arena),
                           .material_id = text_at(stmt, LOT_MATERIAL, arena),
                           .supplier_lot = text_at(stmt, LOT_SUPPLIER, arena),
                           .remark = text_at(stmt, LOT_REMARK, arena),
                           .expiry_utc_ms = sqlite3_column_int64(stmt, LOT_EXPIRY),
                           .received_mg = sqlite3_column_int64(stmt, LOT_RECEIVED),
                           .left_mg = sqlite3_column_int64(stmt, LOT_LEFT),
                           .received_utc_ms = sqlite3_column_int64(stmt, LOT_SINCE),
                           .opened_utc_ms = sqlite3_column_int64(stmt, LOT_OPENED)};
    return out->stock_lot_id != NULL && out->material_id != NULL && out->supplier_lot != NULL &&
           out->remark != NULL;
}

static mdr_code load_lots(mdr_mill *mill, mdr_arena *arena, mdr_weighing *w, mdr_err *err)
{
    int64_t n = 0;
    sqlite3_stmt *stmt = NULL;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"stock_lot\"", NULL, &n, err));
    mdr_stock_lot *lots = MDR_NEW_N(arena, mdr_stock_lot, (size_t)n + 1);
    if (lots == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_code rc = mdr_mill_sql_prepare(mill, LOTS_SQL, &stmt, err);
    bool row = true;
    for (int i = 0; i < n && rc == MDR_OK && row; i++) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row && !fetch_lot(stmt, arena, &lots[i])) {
            rc = mdr_mill_no_memory(mill, err);
        }
    }
    (void)sqlite3_finalize(stmt);
    w->lots = lots;
    w->n_lots = (int)n;
    return rc;
}

static mdr_code load_all(mdr_mill *mill, mdr_arena *arena, mdr_weighing *w, mdr_err *err)
{
    mdr_mill_rows rows;
    MDR_TRY(load(mill, "scale", arena, &rows, err));
    w->scales = rows.items;
    w->n_scales = rows.count;
    MDR_TRY(load(mill, "weighing_class", arena, &rows, err));
    w->classes = rows.items;
    w->n_classes = rows.count;
    return load_lots(mill, arena, w, err);
}

mdr_code mdr_mill_weighing(mdr_mill *mill, mdr_arena *arena, mdr_weighing *out, mdr_err *err)
{
    mdr_weighing w = {0};
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_all(mill, arena, &w, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = w;
    }
    return rc;
}
