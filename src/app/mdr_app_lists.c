/* Lists of the mill as JSON. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "core/units/mdr_swatch.h"
#include "wire/mdr_json.h"
#include "wire/mdr_records_out.h"
#include "wire/mdr_wire.h"

enum { LIST_BYTES = 16 * 1024 };

static mdr_code done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

static void put_swatch(mdr_json *j, const mdr_shade *shade)
{
    char hex[8] = "#000000";
    bool in_gamut = true;
    if (shade != NULL) {
        mdr_swatch_hex(shade->lab_l, shade->lab_a, shade->lab_b, hex, &in_gamut);
    }
    mdr_json_text(j, "swatch", hex);
}

mdr_code mdr_app_mill_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    const mdr_site *site = app->masters.site;
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "name", site != NULL ? site->name : "");
    mdr_json_text(&j, "currency", site != NULL ? site->currency : "");
    mdr_json_bool(&j, "invented", site != NULL && site->invented);
    mdr_json_text(&j, "version", MDR_VERSION);
    mdr_json_object(&j, "counts");
    mdr_json_int(&j, "machines", app->masters.n_machines);
    mdr_json_int(&j, "articles", app->masters.n_articles);
    mdr_json_int(&j, "materials", app->masters.n_materials);
    mdr_json_int(&j, "shades", app->masters.n_shades);
    mdr_json_int(&j, "routes", app->n_routes);
    mdr_json_end_object(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

static void put_lot(mdr_app *app, mdr_json *j, const mdr_lot_line *line)
{
    const mdr_lot *lot = &line->full.lot;
    const mdr_machine *machine = mdr_masters_machine(&app->masters, line->full.machine_id);
    const mdr_app_route *route = mdr_app_route_find(app, line->full.route_id);
    mdr_json_object(j, NULL);
    mdr_json_text(j, "lot_id", lot->lot_id);
    mdr_json_text(j, "order_id", lot->order_id);
    mdr_json_text(j, "customer", lot->customer);
    mdr_json_text(j, "article_id", lot->article->article_id);
    mdr_json_text(j, "article", lot->article->name);
    mdr_json_text(j, "construction",
                  mdr_construction_words((mdr_construction)lot->article->construction));
    mdr_json_text(j, "shade_id", lot->shade->shade_id);
    mdr_json_text(j, "shade", lot->shade->name);
    put_swatch(j, lot->shade);
    mdr_json_text(j, "machine_id", line->full.machine_id);
    mdr_json_text(j, "machine", machine != NULL ? machine->name : "");
    mdr_json_text(j, "route_id", line->full.route_id);
    mdr_json_text(j, "route", route != NULL ? route->doc.name : "");
    mdr_json_number(j, "load_kg", lot->weighed_kg > 0.0 ? lot->weighed_kg : line->grey_kg);
    mdr_json_int(j, "n_rolls", lot->n_rolls);
    mdr_json_text(j, "stage", mdr_lot_stage_id((mdr_lot_stage)lot->stage));
    mdr_json_text(j, "stage_words", mdr_lot_stage_words((mdr_lot_stage)lot->stage));
    mdr_json_date(j, "due", lot->due_utc_ms);
    mdr_json_int(j, "revision", line->full.revision);
    mdr_json_end_object(j);
}

mdr_code mdr_app_lots_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_lot_line *lines = NULL;
    int n = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_lots(app->mill, &app->masters, arena, &lines, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "lots");
    for (int i = 0; i < n; i++) {
        put_lot(app, &j, &lines[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

static void put_order(mdr_app *app, mdr_json *j, const mdr_order *order)
{
    const mdr_article *article = mdr_masters_article(&app->masters, order->article_id);
    const mdr_shade *shade = mdr_masters_shade(&app->masters, order->shade_id);
    mdr_json_object(j, NULL);
    mdr_json_text(j, "order_id", order->order_id);
    mdr_json_text(j, "customer", order->customer);
    mdr_json_text(j, "article_id", order->article_id);
    mdr_json_text(j, "article", article != NULL ? article->name : "");
    mdr_json_text(j, "shade_id", order->shade_id);
    mdr_json_text(j, "shade", shade != NULL ? shade->name : "");
    put_swatch(j, shade);
    mdr_json_number(j, "ordered_kg", order->ordered_kg);
    mdr_json_number(j, "loss_pct", order->loss_pct);
    mdr_json_number(j, "grey_kg", mdr_grey_need_kg(order->ordered_kg, order->loss_pct));
    mdr_json_date(j, "due", order->due_utc_ms);
    mdr_json_text(j, "remark", order->remark);
    mdr_json_end_object(j);
}

mdr_code mdr_app_orders_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_order *orders = NULL;
    int n = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_orders(app->mill, arena, &orders, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "orders");
    for (int i = 0; i < n; i++) {
        put_order(app, &j, &orders[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_machines_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "machines");
    for (int i = 0; i < app->masters.n_machines; i++) {
        mdr_wire_put_machine(&j, NULL, &app->masters.machines[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

static void put_route_line(mdr_app *app, mdr_json *j, mdr_app_route *r)
{
    mdr_app_route *read = NULL;
    const char *purpose = "";
    if (mdr_app_route_read(app, r->doc.route_id, &read, NULL) == MDR_OK) {
        purpose = read->stored->purpose;
    }
    mdr_json_object(j, NULL);
    mdr_json_text(j, "route_id", r->doc.route_id);
    mdr_json_text(j, "name", r->doc.name);
    mdr_json_int(j, "version", r->doc.version);
    mdr_json_text(j, "dye_class", mdr_dye_class_id((mdr_dye_class)r->doc.dye_class));
    mdr_json_text(j, "purpose", purpose);
    mdr_json_int(j, "lots", r->doc.lots);
    mdr_json_end_object(j);
}

mdr_code mdr_app_routes_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "routes");
    for (int i = 0; i < app->n_routes; i++) {
        put_route_line(app, &j, &app->routes[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_route_json(mdr_app *app, const char *route_id, mdr_arena *arena, mdr_blob *out,
                            mdr_err *err)
{
    mdr_app_route *route = NULL;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_app_route_read(app, route_id, &route, err));
    MDR_TRY(mdr_wire_route_write(route->stored, arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_tables_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    (void)app;
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "tables");
    for (int i = 0; i < mdr_tables_count; i++) {
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "name", mdr_tables[i].name);
        mdr_json_text(&j, "title", mdr_tables[i].title);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}
