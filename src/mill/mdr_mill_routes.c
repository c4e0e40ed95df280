/* Routes: documents in versions, which are added and never changed. */
#include <string.h>

#include "mill/mdr_mill_rows.h"

#define CLASS_ID(name, id, ...) "|" id
/* "|none|reactive": the leading bar is no part of the list. */
static const char CLASSES[] = MDR_DYE_CLASSES(CLASS_ID);
static const char *const CLASS_LIST = CLASSES + 1;

static const mdr_col ROUTE_ID = {
    .name = "route_id", .kind = MDR_COL_ID, .flags = MDR_COL_MUST, .what = "Number of the route"};
static const mdr_col ROUTE_NAME = {
    .name = "name", .kind = MDR_COL_TEXT, .flags = MDR_COL_MUST, .what = "Name of the route"};

/* Columns: route_id, name, dye_class, version. */
static mdr_code fetch(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena, mdr_route_doc *doc,
                      mdr_err *err)
{
    const char *id = (const char *)sqlite3_column_text(stmt, 0);
    const char *name = (const char *)sqlite3_column_text(stmt, 1);
    const char *class = (const char *)sqlite3_column_text(stmt, 2);
    if (id == NULL || name == NULL || class == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    *doc = (mdr_route_doc){.route_id = mdr_arena_text(arena, id),
                           .name = mdr_arena_text(arena, name),
                           .dye_class = mdr_mill_choice_index(CLASS_LIST, class, strlen(class)),
                           .version = sqlite3_column_int(stmt, 3)};
    if (doc->route_id == NULL || doc->name == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    if (doc->dye_class < 0) {
        (void)MDR_FAIL(err, MDR_E_PARSE, "dye_class", "the mill file holds an unknown class");
        mdr_err_value(err, "%s", class);
        mdr_err_within(err, "route %s", id);
        return MDR_E_PARSE;
    }
    return MDR_OK;
}

/* -- listing ---------------------------------------------------------------------------------- */

static mdr_code load_list(mdr_mill *mill, mdr_arena *arena, mdr_mill_rows *out, mdr_err *err)
{
    sqlite3_stmt *stmt;
    int64_t total = 0;
    bool row = true;
    *out = (mdr_mill_rows){0};
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"route\"", NULL, &total, err));
    if (total == 0) {
        return MDR_OK;
    }
    mdr_route_doc *docs = MDR_NEW_N(arena, mdr_route_doc, (size_t)total);
    if (docs == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        "SELECT v.\"route_id\", v.\"name\", v.\"dye_class\", v.\"version\","
        " (SELECT count(*) FROM \"lot\" l WHERE l.\"route_id\" = v.\"route_id\")"
        " FROM \"route_version\" v WHERE v.\"version\" ="
        " (SELECT max(w.\"version\") FROM \"route_version\" w WHERE w.\"route_id\" = "
        "v.\"route_id\") ORDER BY v.\"route_id\"",
        &stmt, err));
    mdr_code rc = MDR_OK;
    int n = 0;
    while (rc == MDR_OK && n < total) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc != MDR_OK || !row) {
            break;
        }
        rc = fetch(mill, stmt, arena, &docs[n], err);
        docs[n++].lots = sqlite3_column_int(stmt, 4);
    }
    (void)sqlite3_finalize(stmt);
    *out = (mdr_mill_rows){docs, n};
    return rc;
}

mdr_code mdr_mill_routes(mdr_mill *mill, mdr_arena *arena, mdr_route_doc **out, int *n_out,
                         mdr_err *err)
{
    mdr_mill_rows list;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_list(mill, arena, &list, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = list.items;
        *n_out = list.count;
    }
    return rc;
}

/* -- one version ------------------------------------------------------------------------------ */

static mdr_code refuse_unknown(const char *route_id, int version, int64_t newest, mdr_err *err)
{
    if (newest == 0) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "route", "there is no such route");
        mdr_err_value(err, "%s", route_id);
        mdr_err_remedy(err, "look at the list of routes");
    } else {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "version", "the route has no such version");
        mdr_err_value(err, "%d", version);
        mdr_err_allowed(err, "1 to %lld", (long long)newest);
        mdr_err_within(err, "route %s", route_id);
        mdr_err_remedy(err, "ask for one of these versions");
    }
    return MDR_E_NOTFOUND;
}

static mdr_code newest_version(mdr_mill *mill, const char *route_id, int64_t *out, mdr_err *err)
{
    return mdr_mill_sql_number(
        mill, "SELECT max(\"version\") FROM \"route_version\" WHERE \"route_id\"=?1", route_id, out,
        err);
}

static mdr_code fetch_document(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena,
                               mdr_route_doc *doc, mdr_err *err)
{
    MDR_TRY(fetch(mill, stmt, arena, doc, err));
    const char *text = (const char *)sqlite3_column_text(stmt, 4);
    doc->text_len = (size_t)sqlite3_column_bytes(stmt, 4);
    doc->lots = sqlite3_column_int(stmt, 5);
    doc->text = text == NULL ? NULL : mdr_arena_text_n(arena, text, doc->text_len);
    return doc->text == NULL ? mdr_mill_no_memory(mill, err) : MDR_OK;
}

static mdr_code load_version(mdr_mill *mill, const char *route_id, int version, mdr_arena *arena,
                             mdr_route_doc *out, mdr_err *err)
{
    sqlite3_stmt *stmt;
    int64_t newest = 0;
    bool row = false;
    MDR_TRY(newest_version(mill, route_id, &newest, err));
    if (newest == 0 || version < 0 || version > newest) {
        return refuse_unknown(route_id, version, newest, err);
    }
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        "SELECT v.\"route_id\", v.\"name\", v.\"dye_class\", v.\"version\", v.\"document\","
        " (SELECT count(*) FROM \"lot\" l WHERE l.\"route_id\" = v.\"route_id\")"
        " FROM \"route_version\" v WHERE v.\"route_id\"=?1 AND v.\"version\"=?2",
        &stmt, err));
    int bound = mdr_mill_sql_bind_text(stmt, 1, route_id, strlen(route_id));
    if (bound == SQLITE_OK) {
        bound = sqlite3_bind_int64(stmt, 2, version == 0 ? newest : version);
    }
    mdr_code rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                     : mdr_mill_sql_fail(mill, bound, err);
    if (rc == MDR_OK) {
        rc = row ? fetch_document(mill, stmt, arena, out, err)
                 : refuse_unknown(route_id, version, newest, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_route(mdr_mill *mill, const char *route_id, int version, mdr_arena *arena,
                        mdr_route_doc *out, mdr_err *err)
{
    mdr_route_doc doc;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = load_version(mill, route_id, version, arena, &doc, err);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = doc;
    }
    return rc;
}

/* -- adding ----------------------------------------------------------------------------------- */

static mdr_code check_doc(const mdr_route_doc *doc, mdr_err *err)
{
    mdr_mill_cell cell;
    size_t n;
    mdr_code rc = mdr_mill_cell_read(&ROUTE_ID, doc->route_id, strlen(doc->route_id), &cell, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "route_id");
        return rc;
    }
    rc = mdr_mill_cell_read(&ROUTE_NAME, doc->name, strlen(doc->name), &cell, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "name");
        return rc;
    }
    if (mdr_mill_choice_text(CLASS_LIST, doc->dye_class, &n) == NULL || doc->text == NULL ||
        doc->text_len < 2) {
        return MDR_FAIL(err, MDR_E_ARG, doc->route_id, "a route without class or document");
    }
    return MDR_OK;
}

static mdr_code check_version(mdr_mill *mill, const mdr_route_doc *doc, mdr_err *err)
{
    int64_t newest = 0;
    MDR_TRY(newest_version(mill, doc->route_id, &newest, err));
    if (doc->version == newest + 1) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "version", "another version of the route came first");
    mdr_err_value(err, "%d", doc->version);
    mdr_err_allowed(err, "%lld, the one after the newest", (long long)newest + 1);
    mdr_err_within(err, "route %s", doc->route_id);
    mdr_err_remedy(err, "load the newest version and make the change in it");
    return MDR_E_CONFLICT;
}

static mdr_code insert(mdr_mill *mill, const char *sql, const mdr_route_doc *doc, bool with_text,
                       mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    size_t n = 0;
    MDR_TRY(mdr_mill_sql_prepare(mill, sql, &stmt, err));
    int bound = mdr_mill_sql_bind_text(stmt, 1, doc->route_id, strlen(doc->route_id));
    if (with_text && bound == SQLITE_OK) {
        const char *class = mdr_mill_choice_text(CLASS_LIST, doc->dye_class, &n);
        bound = sqlite3_bind_int(stmt, 2, doc->version);
        bound = bound != SQLITE_OK ? bound
                                   : mdr_mill_sql_bind_text(stmt, 3, doc->name, strlen(doc->name));
        bound = bound != SQLITE_OK ? bound : mdr_mill_sql_bind_text(stmt, 4, class, n);
        bound =
            bound != SQLITE_OK ? bound : mdr_mill_sql_bind_text(stmt, 5, doc->text, doc->text_len);
    }
    const mdr_code rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                           : mdr_mill_sql_fail(mill, bound, err);
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_route_put(mdr_mill *mill, const mdr_route_doc *doc, mdr_err *err)
{
    MDR_TRY(check_doc(doc, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = check_version(mill, doc, err);
    if (rc == MDR_OK) {
        rc =
            insert(mill,
                   "INSERT INTO \"route\" (\"route_id\") VALUES (?1) ON CONFLICT (\"route_id\") DO "
                   "NOTHING",
                   doc, false, err);
    }
    if (rc == MDR_OK) {
        rc = insert(mill,
                    "INSERT INTO \"route_version\" (\"route_id\", \"version\", \"name\", "
                    "\"dye_class\", \"document\") VALUES (?1, ?2, ?3, ?4, ?5)",
                    doc, true, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}
