/* The recipe of a shade, replaced as a whole. */
#include <string.h>

#include "mill/mdr_bench.h"
#include "mill/mdr_mill_rows.h"

enum { WAS_ARENA_BYTES = 256 * 1024 };

/* As it stands in the file now, whatever was read before. */
static mdr_code recipe_now(mdr_mill *mill, const char *shade_id, mdr_arena *arena, const char **out,
                           mdr_err *err)
{
    mdr_mill_rows rows;
    mdr_dip_dye dyes[MDR_DIP_DYES_MAX];
    MDR_TRY(mdr_mill_load(mill,
                          &(mdr_mill_query){.table = mdr_table_find("recipe"),
                                            .where = "shade_id",
                                            .equals = shade_id},
                          arena, &rows, err));
    const mdr_row_recipe *row = rows.items;
    for (int i = 0; i < rows.count && i < MDR_DIP_DYES_MAX; i++) {
        dyes[i] = (mdr_dip_dye){.dye_id = row[i].dye_id, .depth_pct_owf = row[i].depth_pct_owf};
    }
    *out = mdr_dip_recipe_text(dyes, rows.count, arena);
    return *out != NULL ? MDR_OK : mdr_mill_no_memory(mill, err);
}

static mdr_code check_was(mdr_mill *mill, const char *shade_id, const char *was, mdr_err *err)
{
    const char *now = "";
    mdr_arena *arena = mdr_arena_new(WAS_ARENA_BYTES);
    mdr_code rc = arena != NULL ? recipe_now(mill, shade_id, arena, &now, err)
                                : mdr_mill_no_memory(mill, err);
    if (rc == MDR_OK && strcmp(now, was) != 0) {
        rc = MDR_FAIL(err, MDR_E_CONFLICT, "was",
                      "the recipe of the shade has changed since the change was begun");
        mdr_err_value(err, "%s", was);
        mdr_err_allowed(err, "%s", now);
        mdr_err_remedy(err, "load the shade again, then change it");
    }
    mdr_arena_free(arena);
    return rc;
}

/* What is weighed for a lot that runs must stay what its recipe says. */
static mdr_code check_running(mdr_mill *mill, const char *shade_id, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_code rc = mdr_mill_sql_prepare(
        mill,
        "SELECT l.\"lot_id\" FROM \"lot\" l JOIN \"customer_order\" o"
        " ON o.\"order_id\" = l.\"order_id\" WHERE l.\"stage\" = 'dyeing' AND o.\"shade_id\" = ?1"
        " ORDER BY l.\"lot_id\" LIMIT 1",
        &stmt, err);
    if (rc == MDR_OK) {
        const int bound = mdr_mill_sql_bind_text(stmt, 1, shade_id, strlen(shade_id));
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    if (rc == MDR_OK && row) {
        rc = MDR_FAIL(err, MDR_E_CONFLICT, "shade_id", "a lot of the shade is on a machine");
        mdr_err_value(err, "%s", (const char *)sqlite3_column_text(stmt, 0));
        mdr_err_remedy(err, "wait until it is dyed, or correct its stage: its weighings would no "
                            "longer be those of the recipe");
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* A factor of 1 changed nothing and is not kept. */
static mdr_row_recipe line_of(const mdr_shade_mix *mix, int i)
{
    static const double PCT = 100.0;
    const bool bulk = mix->bulk != NULL && mix->bulk->factor[i] != 1.0;
    return (mdr_row_recipe){.shade_id = mix->shade_id,
                            .line = i + 1,
                            .dye_id = mix->dyes[i].dye_id,
                            .depth_pct_owf = mix->dyes[i].depth_pct_owf,
                            .bulk_pct = bulk ? PCT * mix->bulk->factor[i] : 0.0,
                            .bulk_machine_id = bulk ? mix->bulk->machine_id : "",
                            .bulk_words = bulk ? mix->bulk->words[i] : ""};
}

static mdr_code write_lines(mdr_mill *mill, const mdr_shade_mix *mix, mdr_err *err)
{
    const char *shade_id = mix->shade_id;
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_code rc =
        mdr_mill_sql_prepare(mill, "DELETE FROM \"recipe\" WHERE \"shade_id\"=?1", &stmt, err);
    if (rc == MDR_OK) {
        const int bound = mdr_mill_sql_bind_text(stmt, 1, shade_id, strlen(shade_id));
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    (void)sqlite3_finalize(stmt);
    for (int i = 0; i < mix->n && rc == MDR_OK; i++) {
        const mdr_row_recipe one = line_of(mix, i);
        rc = mdr_mill_row_put(mill, mdr_table_find("recipe"), &one, err);
    }
    return rc;
}

mdr_code mdr_mill_recipe_take(mdr_mill *mill, const mdr_masters *masters, const mdr_shade_mix *mix,
                              const char *was, mdr_err *err)
{
    const mdr_shade *shade = mdr_masters_shade(masters, mix->shade_id);
    if (shade == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "shade_id", "there is no such shade");
        mdr_err_value(err, "%s", mix->shade_id);
        mdr_err_remedy(err, "choose one that exists, or add it to table shade first");
        return rc;
    }
    MDR_TRY(mdr_dip_dyes_check(masters, shade, mix->dyes, mix->n, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = check_was(mill, mix->shade_id, was, err);
    rc = rc == MDR_OK ? check_running(mill, mix->shade_id, err) : rc;
    rc = rc == MDR_OK ? write_lines(mill, mix, err) : rc;
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}
