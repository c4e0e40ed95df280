/* Lists of the mill as JSON. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "core/units/mdr_swatch.h"
#include "wire/mdr_json.h"
#include "wire/mdr_records_out.h"
#include "wire/mdr_wire.h"

enum {
    LIST_BYTES = 16 * 1024,
    LOTS_DONE_MOST = 200, /* of those done, at once */
    FIND_MAX = 200        /* characters looked for */
};

static mdr_code done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

static void swatch_of(const mdr_shade *shade, char out[8])
{
    bool in_gamut = true;
    if (shade != NULL) {
        mdr_swatch_hex(shade->lab_l, shade->lab_a, shade->lab_b, out, &in_gamut);
    } else {
        out[0] = '\0';
    }
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

static mdr_app_lot lot_line(mdr_app *app, const mdr_lot_line *line)
{
    const mdr_lot *lot = &line->full.lot;
    const mdr_machine *machine = mdr_masters_machine(&app->masters, line->full.machine_id);
    const mdr_app_route *route = mdr_app_route_find(app, line->full.route_id);
    mdr_app_lot out = {
        .lot_id = lot->lot_id,
        .order_id = lot->order_id,
        .customer = lot->customer,
        .article_id = lot->article->article_id,
        .article = lot->article->name,
        .construction = mdr_construction_words((mdr_construction)lot->article->construction),
        .shade_id = lot->shade->shade_id,
        .shade = lot->shade->name,
        .machine_id = line->full.machine_id,
        .machine = machine != NULL ? machine->name : "",
        .route_id = line->full.route_id,
        .route = route != NULL ? route->doc.name : "",
        .load_kg = lot->weighed_kg > 0.0 ? lot->weighed_kg : line->grey_kg,
        .n_rolls = lot->n_rolls,
        .stage = mdr_lot_stage_id((mdr_lot_stage)lot->stage),
        .stage_words = mdr_lot_stage_words((mdr_lot_stage)lot->stage),
        .due_utc_ms = lot->due_utc_ms,
        .revision = line->full.revision,
    };
    swatch_of(lot->shade, out.swatch);
    return out;
}

mdr_code mdr_app_lots(mdr_app *app, mdr_arena *arena, mdr_app_lot **out, int *n_out, mdr_err *err)
{
    mdr_lot_line *lines = NULL;
    int n = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_lots(app->mill, &app->masters, arena, &lines, &n, err));
    mdr_app_lot *lots = MDR_NEW_N(arena, mdr_app_lot, (size_t)n + 1);
    if (lots == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to list the lots");
    }
    for (int i = 0; i < n; i++) {
        lots[i] = lot_line(app, &lines[i]);
    }
    *out = lots;
    *n_out = n;
    return MDR_OK;
}

static void put_lot(mdr_json *j, const mdr_app_lot *lot)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "lot_id", lot->lot_id);
    mdr_json_text(j, "order_id", lot->order_id);
    mdr_json_text(j, "customer", lot->customer);
    mdr_json_text(j, "article_id", lot->article_id);
    mdr_json_text(j, "article", lot->article);
    mdr_json_text(j, "construction", lot->construction);
    mdr_json_text(j, "shade_id", lot->shade_id);
    mdr_json_text(j, "shade", lot->shade);
    mdr_json_text(j, "swatch", lot->swatch);
    mdr_json_text(j, "machine_id", lot->machine_id);
    mdr_json_text(j, "machine", lot->machine);
    mdr_json_text(j, "route_id", lot->route_id);
    mdr_json_text(j, "route", lot->route);
    mdr_json_number(j, "load_kg", lot->load_kg);
    mdr_json_int(j, "n_rolls", lot->n_rolls);
    mdr_json_text(j, "stage", lot->stage);
    mdr_json_text(j, "stage_words", lot->stage_words);
    mdr_json_date(j, "due", lot->due_utc_ms);
    mdr_json_int(j, "revision", lot->revision);
    mdr_json_end_object(j);
}

mdr_code mdr_app_lots_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_app_lot *lots = NULL;
    int n = 0;
    MDR_TRY(mdr_app_lots(app, arena, &lots, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "lots");
    for (int i = 0; i < n; i++) {
        put_lot(&j, &lots[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- the lots that a page shows -- */

/* The words of a search as the store takes them. */
static mdr_code words_of(const char *find, mdr_arena *arena, const char **out, mdr_err *err)
{
    static const char *const GAP = " \t\r\n";
    char *text = NULL;
    size_t len = 0;
    *out = NULL;
    if (find == NULL || find[strspn(find, GAP)] == '\0') {
        return MDR_OK;
    }
    if (strlen(find) > FIND_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "find", "this is too long to look for");
        mdr_err_allowed(err, "up to %d characters", FIND_MAX);
        return rc;
    }
    mdr_json j = mdr_json_make(arena, FIND_MAX, false);
    mdr_json_array(&j, NULL);
    for (find += strspn(find, GAP); *find != '\0'; find += strspn(find, GAP)) {
        char word[FIND_MAX + 1] = "";
        const size_t n = strcspn(find, GAP);
        memcpy(word, find, n);
        mdr_json_text(&j, NULL, word);
        find += n;
    }
    mdr_json_end_array(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = text;
    return MDR_OK;
}

mdr_code mdr_app_lots_page_json(mdr_app *app, const mdr_app_lots_ask *asked, mdr_arena *arena,
                                mdr_blob *out, mdr_err *err)
{
    mdr_lots_page page;
    mdr_lots_ask ask = {.before = asked->before, .most = LOTS_DONE_MOST};
    MDR_TRY(words_of(asked->find, arena, &ask.words, err));
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_lots_some(app->mill, &app->masters, &ask, arena, &page, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "lots");
    for (int i = 0; i < page.n; i++) {
        const mdr_app_lot lot = lot_line(app, &page.lines[i]);
        put_lot(&j, &lot);
    }
    mdr_json_end_array(&j);
    mdr_json_int(&j, "all", page.all);
    mdr_json_text(&j, "earlier", page.earlier);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- orders -- */

mdr_code mdr_app_orders(mdr_app *app, mdr_arena *arena, mdr_app_order **out, int *n_out,
                        mdr_err *err)
{
    mdr_order *orders = NULL;
    int n = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_orders(app->mill, arena, &orders, &n, err));
    mdr_app_order *lines = MDR_NEW_N(arena, mdr_app_order, (size_t)n + 1);
    if (lines == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to list the orders");
    }
    for (int i = 0; i < n; i++) {
        const mdr_article *article = mdr_masters_article(&app->masters, orders[i].article_id);
        const mdr_shade *shade = mdr_masters_shade(&app->masters, orders[i].shade_id);
        lines[i] = (mdr_app_order){
            .order = &orders[i],
            .article = article != NULL ? article->name : "",
            .shade = shade != NULL ? shade->name : "",
            .grey_kg = mdr_grey_need_kg(orders[i].ordered_kg, orders[i].loss_pct),
        };
        swatch_of(shade, lines[i].swatch);
    }
    *out = lines;
    *n_out = n;
    return MDR_OK;
}

static void put_order(mdr_json *j, const mdr_app_order *line)
{
    const mdr_order *order = line->order;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "order_id", order->order_id);
    mdr_json_text(j, "customer", order->customer);
    mdr_json_text(j, "article_id", order->article_id);
    mdr_json_text(j, "article", line->article);
    mdr_json_text(j, "shade_id", order->shade_id);
    mdr_json_text(j, "shade", line->shade);
    mdr_json_text(j, "swatch", line->swatch);
    mdr_json_number(j, "ordered_kg", order->ordered_kg);
    mdr_json_number(j, "loss_pct", order->loss_pct);
    mdr_json_number(j, "grey_kg", line->grey_kg);
    mdr_json_date(j, "due", order->due_utc_ms);
    mdr_json_text(j, "remark", order->remark);
    mdr_json_end_object(j);
}

mdr_code mdr_app_orders_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_app_order *orders = NULL;
    int n = 0;
    MDR_TRY(mdr_app_orders(app, arena, &orders, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "orders");
    for (int i = 0; i < n; i++) {
        put_order(&j, &orders[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_machines(mdr_app *app, const mdr_machine **out, int *n_out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    *out = app->masters.machines;
    *n_out = app->masters.n_machines;
    return MDR_OK;
}

mdr_code mdr_app_machines_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_machine *machines = NULL;
    int n = 0;
    MDR_TRY(mdr_app_machines(app, &machines, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "machines");
    for (int i = 0; i < n; i++) {
        mdr_wire_put_machine(&j, NULL, &machines[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* As it is knitted, and what it is to be when it is finished. */
static void put_article(mdr_json *j, const mdr_article *a)
{
    const mdr_construction construction = (mdr_construction)a->construction;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "article_id", a->article_id);
    mdr_json_text(j, "name", a->name);
    mdr_json_text(j, "construction", mdr_construction_id(construction));
    mdr_json_text(j, "construction_words", mdr_construction_words(construction));
    mdr_json_number(j, "yarn_ne", a->yarn_ne);
    mdr_json_number(j, "loop_mm", a->loop_mm);
    mdr_json_int(j, "gauge_per_inch", a->gauge_per_inch);
    mdr_json_number(j, "diameter_inch", a->diameter_inch);
    mdr_json_int(j, "feeders", a->feeders);
    mdr_json_number(j, "elastane_pct", a->elastane_pct);
    mdr_json_number(j, "finished_gsm", a->finished_gsm);
    mdr_json_number(j, "finished_width_cm", a->finished_width_cm);
    mdr_json_number(j, "shrink_length_max_pct", a->shrink_length_max_pct);
    mdr_json_number(j, "shrink_width_max_pct", a->shrink_width_max_pct);
    mdr_json_number(j, "spirality_max_pct", a->spirality_max_pct);
    mdr_json_text(j, "finish_line", mdr_finish_line_id((mdr_finish_line)a->finish_line));
    mdr_json_text(j, "remark", a->remark);
    mdr_json_end_object(j);
}

mdr_code mdr_app_articles_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "articles");
    for (int i = 0; i < app->masters.n_articles; i++) {
        put_article(&j, &app->masters.articles[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_routes(mdr_app *app, mdr_arena *arena, mdr_app_route_line **out, int *n_out,
                        mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    mdr_app_route_line *lines = MDR_NEW_N(arena, mdr_app_route_line, (size_t)app->n_routes + 1);
    if (lines == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to list the routes");
    }
    for (int i = 0; i < app->n_routes; i++) {
        const mdr_route_doc *doc = &app->routes[i].doc;
        mdr_app_route *read = NULL;
        lines[i] =
            (mdr_app_route_line){.route_id = doc->route_id,
                                 .name = doc->name,
                                 .dye_class = mdr_dye_class_id((mdr_dye_class)doc->dye_class),
                                 .purpose = "",
                                 .version = doc->version,
                                 .lots = doc->lots};
        if (mdr_app_route_read(app, doc->route_id, &read, NULL) == MDR_OK) {
            lines[i].purpose = read->stored->purpose;
        }
    }
    *out = lines;
    *n_out = app->n_routes;
    return MDR_OK;
}

mdr_code mdr_app_routes_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_app_route_line *lines = NULL;
    int n = 0;
    MDR_TRY(mdr_app_routes(app, arena, &lines, &n, err));
    mdr_json j = mdr_json_make(arena, LIST_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "routes");
    for (int i = 0; i < n; i++) {
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "route_id", lines[i].route_id);
        mdr_json_text(&j, "name", lines[i].name);
        mdr_json_int(&j, "version", lines[i].version);
        mdr_json_text(&j, "dye_class", lines[i].dye_class);
        mdr_json_text(&j, "purpose", lines[i].purpose);
        mdr_json_int(&j, "lots", lines[i].lots);
        mdr_json_end_object(&j);
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
