/*
 * mdr_app.h - what people do with a mill: each use case is one call and one transaction.
 *
 * Layer: app. The command line and the HTTP server call nothing below it. An mdr_app holds the
 * open mill and a cache of its masters and routes, kept while the file does not change.
 * One thread at a time.
 */
#ifndef MDR_APP_H
#define MDR_APP_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "core/plan/mdr_advice.h"
#include "core/plan/mdr_plan.h"

typedef struct mdr_app mdr_app;

/* A text or a document that a use case hands out; lives in the arena. */
typedef struct mdr_blob {
    const char *bytes;
    size_t len;
} mdr_blob;

/* New mill file; with `demo` it holds the invented demo mill. Written beside and moved into place
 * when complete. errors: MDR_E_CONFLICT the file exists; MDR_E_IO */
mdr_code mdr_app_new(const char *path, bool demo, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_open(const char *path, bool for_writing, mdr_app **out,
                      mdr_err *err) MDR_MUST_CHECK;
void mdr_app_close(mdr_app *app);

/* A failure as the JSON that goes out (docs/api.md); `found` may be NULL. Never fails. */
const char *mdr_app_error_json(const mdr_err *err, const mdr_err_list *found, mdr_arena *arena);

/* -- plans. `what_if` is JSON (may be empty: len 0): see mdr_what_if in docs/formats.md. -- */
/* The plan points into the records of the app: use it before the next call on the app. */
mdr_code mdr_app_plan(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                      mdr_err_list *found, const mdr_plan **out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_plan_json(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                           mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* The chemistry of the lot over time. */
/* The finishing alone, with the figures it rests on. */
mdr_code mdr_app_finish_json(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_chemistry_json(mdr_app *app, const char *lot_id, mdr_blob what_if,
                                mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                                mdr_err *err) MDR_MUST_CHECK;
/* The footprint of the lot, beside that of the same lot on another route (NULL: alone). */
mdr_code mdr_app_footprint_json(mdr_app *app, const char *lot_id, const char *against,
                                mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Two plans to compare; *other is NULL when against is. */
mdr_code mdr_app_compare(mdr_app *app, const char *lot_id, const char *against, mdr_arena *arena,
                         const mdr_plan **plan, const mdr_plan **other,
                         mdr_err *err) MDR_MUST_CHECK;
/* One figure and what it rests on. errors: MDR_E_NOTFOUND no such figure (remedy: near keys) */
mdr_code mdr_app_why_json(mdr_app *app, const char *lot_id, const char *figure, mdr_arena *arena,
                          mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* PDF. `printed_at` local time text. */
mdr_code mdr_app_card(mdr_app *app, const char *lot_id, const char *printed_at, mdr_arena *arena,
                      mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* The setting sheet of the finishing line. errors: MDR_E_NOTFOUND nothing to finish */
mdr_code mdr_app_settings(mdr_app *app, const char *lot_id, mdr_blob what_if,
                          const char *printed_at, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_slips(mdr_app *app, const char *lot_id, int bath, const char *printed_at,
                       mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Loading advice of an order; points into the records of the app like a plan. */
mdr_code mdr_app_advice(mdr_app *app, const char *order_id, mdr_arena *arena, mdr_advice **out,
                        int *n_out, double *grey_kg, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_advice_json(mdr_app *app, const char *order_id, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;

/* -- changes -- */
/* Stores what `what_if` says of the lot (it must name the revision it was made from, and may not
 * hold a whole route), when the lot can be planned like that. Out: the new plan. */
mdr_code mdr_app_lot_save(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                          mdr_err_list *found, mdr_blob *plan_json, mdr_err *err) MDR_MUST_CHECK;
/* Saves a route document as the next version of itself (its "version" must be the newest one, or
 * the route must be new). A stage that names another route and holds that route's baths unchanged
 * stays taken from there; with changed baths it becomes this route's own. Refused when materials
 * or tables are unknown, or when a route that takes a stage from it would no longer be whole.
 * route_id may be "": whatever the document says. Out: {"route_id", "version", "lots"}. */
mdr_code mdr_app_route_save(mdr_app *app, const char *route_id, mdr_blob doc, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* -- lists: as lines for a terminal, and as JSON made from the same lines -- */

/* One lot with what people call its parts. */
typedef struct mdr_app_lot {
    const char *lot_id, *order_id, *customer;
    const char *article_id, *article, *construction;
    const char *shade_id, *shade;
    char swatch[8];
    const char *machine_id, *machine, *route_id, *route;
    double load_kg; /* weighed, else the rolls added up */
    int n_rolls;
    const char *stage, *stage_words;
    int64_t due_utc_ms;
    int revision;
} mdr_app_lot;
mdr_code mdr_app_lots(mdr_app *app, mdr_arena *arena, mdr_app_lot **out, int *n_out,
                      mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_app_order {
    const mdr_order *order;
    const char *article, *shade;
    char swatch[8];
    double grey_kg;
} mdr_app_order;
mdr_code mdr_app_orders(mdr_app *app, mdr_arena *arena, mdr_app_order **out, int *n_out,
                        mdr_err *err) MDR_MUST_CHECK;

/* Points into the records of the app. */
mdr_code mdr_app_machines(mdr_app *app, const mdr_machine **out, int *n_out,
                          mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_app_route_line {
    const char *route_id, *name, *dye_class, *purpose;
    int version, lots;
} mdr_app_route_line;
mdr_code mdr_app_routes(mdr_app *app, mdr_arena *arena, mdr_app_route_line **out, int *n_out,
                        mdr_err *err) MDR_MUST_CHECK;

mdr_code mdr_app_mill_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;
/* What a page asks for: the lots that are not done and the last 200 that are; the ones before a lot
 * (NULL: from the last on); only those with these words (NULL or blank: all).
 *   errors  MDR_E_RANGE find, MDR_E_NOTFOUND lot */
typedef struct mdr_app_lots_ask {
    const char *before, *find;
} mdr_app_lots_ask;
mdr_code mdr_app_lots_page_json(mdr_app *app, const mdr_app_lots_ask *asked, mdr_arena *arena,
                                mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_lots_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_orders_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_articles_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                               mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_machines_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                               mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_routes_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_route_json(mdr_app *app, const char *route_id, mdr_arena *arena, mdr_blob *out,
                            mdr_err *err) MDR_MUST_CHECK;

/* -- tables -- */
/* Names and titles of the tables, in the order they can be imported; NULL past the end. */
const char *mdr_app_table_name(int index);
const char *mdr_app_table_title(int index);
mdr_code mdr_app_import(mdr_app *app, const char *table, const char *file_name, mdr_blob csv,
                        mdr_err_list *found, int *rows, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_export(mdr_app *app, const char *table, mdr_arena *arena, mdr_blob *out,
                        mdr_err *err) MDR_MUST_CHECK;
/* Everything inconsistent in the mill, also what only a plan of each lot shows. */
mdr_code mdr_app_check(mdr_app *app, mdr_err_list *found, mdr_err *err) MDR_MUST_CHECK;
/* The same as {"findings": [...], "total"}. */
mdr_code mdr_app_check_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                            mdr_err *err) MDR_MUST_CHECK;
/* {"tables": [{"name", "title"}]} */
mdr_code mdr_app_tables_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
