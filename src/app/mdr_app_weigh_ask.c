/* Questions of the weigh room, deliveries, labels. */
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "app/mdr_app_weigh.h"
#include "card/mdr_weigh_label.h"
#include "core/run/mdr_scan.h"
#include "wire/mdr_weigh_ask.h"

enum { SMALL = 1024 };

static mdr_code done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}

static mdr_code no_record(const char *place, const char *value, const char *what, const char *table,
                          mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_NOTFOUND, place, "there is no such %s", what);
    mdr_err_value(err, "%s", value);
    mdr_err_remedy(err, "choose one of table %s", table);
    return MDR_E_NOTFOUND;
}

/* -- judging ---------------------------------------------------------------------------------- */

mdr_code mdr_app_weigh_verdict(mdr_app *app, const mdr_app_weigh_question *q, mdr_arena *arena,
                               mdr_weigh_judged *out, const char **class_id, mdr_err *err)
{
    mdr_weighing w;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    const mdr_material *material = mdr_masters_material(&app->masters, q->material_id);
    if (material == NULL) {
        return no_record("material_id", q->material_id, "dye or chemical", "dye or chemical", err);
    }
    const mdr_scale *scale = q->scale_id[0] == '\0' ? NULL : mdr_weighing_scale(&w, q->scale_id);
    if (q->scale_id[0] != '\0' && scale == NULL) {
        return no_record("scale_id", q->scale_id, "scale", "scale", err);
    }
    const mdr_weigh_class *known = mdr_weighing_class(&w, material->weigh_class);
    const mdr_weigh_class class = known == NULL ? mdr_weigh_class_usual() : *known;
    *class_id = class.class_id;
    return mdr_weigh_judge(&class, scale, q->target_mg, q->mass_mg, out, err);
}

mdr_code mdr_app_weigh_judge(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_judge_ask a;
    mdr_weigh_judged v;
    const char *class_id = "";
    MDR_TRY(mdr_wire_judge_read(ask->body.bytes, ask->body.len, arena, found, &a, err));
    const mdr_app_weigh_question q = {.material_id = a.material_id,
                                      .scale_id = a.scale_id,
                                      .target_mg = a.target_mg,
                                      .mass_mg = a.mass_mg};
    MDR_TRY(mdr_app_weigh_verdict(app, &q, arena, &v, &class_id, err));
    mdr_json j = mdr_json_make(arena, SMALL, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "verdict", mdr_weigh_verdict_id(v.verdict));
    mdr_json_text(&j, "words", mdr_weigh_verdict_words(v.verdict));
    mdr_json_text(&j, "class_id", class_id);
    mdr_json_int(&j, "target_mg", v.target_mg);
    mdr_json_int(&j, "mass_mg", v.net_mg);
    mdr_json_int(&j, "tolerance_mg", v.window.tolerance_mg);
    mdr_json_int(&j, "tolerance_low_mg", v.window.low_mg);
    mdr_json_int(&j, "tolerance_high_mg", v.window.high_mg);
    mdr_json_int(&j, "off_mg", v.off_mg);
    mdr_json_number(&j, "off_pct", v.off_pct);
    mdr_json_bool(&j, "needs_reason", v.needs_reason);
    mdr_json_bool(&j, "needs_second", v.needs_second);
    mdr_json_bool(&j, "too_fine", v.too_fine);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- labels that are read --------------------------------------------------------------------- */

/* Years are told from the days since 1970, of 365.2425 each: near enough for a century. */
static int year_of(int64_t utc_ms)
{
    static const double MS_PER_YEAR = 365.2425 * 86400000.0;
    const int year = 1970 + (int)((double)utc_ms / MS_PER_YEAR);
    return year < 2000 ? 2000 : year > 2099 ? 2099 : year;
}

/* What people call the record; NULL: the mill has none of this id. */
static const char *name_of(mdr_app *app, const mdr_weighing *w, const mdr_scan *s)
{
    const mdr_machine *machine = NULL;
    const mdr_material *material = NULL;
    const mdr_stock_lot *lot = NULL;
    switch (s->kind) {
    case MDR_SCAN_MACHINE:
        machine = mdr_masters_machine(&app->masters, s->id);
        return machine == NULL ? NULL : machine->name;
    case MDR_SCAN_PRODUCT:
        material = mdr_masters_material(&app->masters, s->id);
        return material == NULL ? NULL : material->name;
    case MDR_SCAN_STOCK:
        lot = mdr_weighing_lot(w, s->id);
        material = lot == NULL ? NULL : mdr_masters_material(&app->masters, lot->material_id);
        return lot == NULL ? NULL : material == NULL ? lot->material_id : material->name;
    case MDR_SCAN_LOT:
    case MDR_SCAN_VESSEL:
    case MDR_SCAN_PERSON:
    case MDR_SCAN_WEIGHING:
    case MDR_SCAN_GOODS:
    case MDR_SCAN_COUNT:
        break;
    }
    return NULL;
}

static const char *material_of(const mdr_weighing *w, const mdr_scan *s)
{
    const mdr_stock_lot *lot = s->kind == MDR_SCAN_STOCK ? mdr_weighing_lot(w, s->id) : NULL;
    return lot != NULL ? lot->material_id : s->kind == MDR_SCAN_PRODUCT ? s->id : NULL;
}

static void put_goods(mdr_json *j, const mdr_scan *s)
{
    mdr_json_text(j, "gtin", s->gtin);
    mdr_json_text(j, "supplier_lot", s->supplier_lot);
    mdr_json_text(j, "serial", s->serial);
    mdr_json_int(j, "mass_mg", s->mass_mg);
    if (s->has_made) {
        mdr_json_date(j, "made", s->made_utc_ms);
    }
    if (s->has_expiry) {
        mdr_json_date(j, "expiry", s->expiry_utc_ms);
    }
}

mdr_code mdr_app_scanned(mdr_app *app, const char *text, int64_t now_utc_ms, mdr_arena *arena,
                         mdr_app_scan_found *out, mdr_err *err)
{
    mdr_weighing w;
    MDR_TRY(mdr_scan_read(text, strlen(text), year_of(now_utc_ms), arena, &out->scan, err));
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    out->name = name_of(app, &w, &out->scan);
    out->material_id = material_of(&w, &out->scan);
    return MDR_OK;
}

mdr_code mdr_app_scan(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                      mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_scan_ask a;
    mdr_app_scan_found of;
    MDR_TRY(mdr_wire_scan_read(ask->body.bytes, ask->body.len, arena, found, &a, err));
    MDR_TRY(mdr_app_scanned(app, a.text, ask->now_utc_ms, arena, &of, err));
    const mdr_scan s = of.scan;
    mdr_json j = mdr_json_make(arena, SMALL, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "kind", mdr_scan_kind_id(s.kind));
    mdr_json_text(&j, "words", mdr_scan_kind_words(s.kind));
    if (s.kind == MDR_SCAN_GOODS) {
        put_goods(&j, &s);
    } else {
        mdr_json_text(&j, "id", s.id);
        mdr_json_text(&j, "name", of.name);
        mdr_json_text(&j, "material_id", of.material_id);
    }
    if (s.kind == MDR_SCAN_WEIGHING) {
        mdr_json_text(&j, "step", s.step);
        mdr_json_int(&j, "item", s.item);
    }
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- deliveries ------------------------------------------------------------------------------- */

mdr_code mdr_app_stock_receive(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                               mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_receive_ask a;
    bool again = false;
    const char *label = NULL;
    MDR_TRY(mdr_wire_receive_read(ask->body.bytes, ask->body.len, arena, found, &a, err));
    mdr_stock_lot lot = {.stock_lot_id = a.stock_lot_id,
                         .material_id = a.material_id,
                         .supplier_lot = a.supplier_lot,
                         .remark = a.remark};
    const mdr_stock_move move = {.entry_id = a.entry_id,
                                 .mass_mg = a.mass_mg,
                                 .at_utc_ms = ask->now_utc_ms,
                                 .by = ask->who->person_id,
                                 .batch_id = "",
                                 .text = ""};
    if (a.expiry[0] != '\0' && !mdr_bench_day(a.expiry, &lot.expiry_utc_ms)) {
        (void)MDR_FAIL(err, MDR_E_PARSE, "expiry", "this is not a date");
        mdr_err_value(err, "%s", a.expiry);
        mdr_err_allowed(err, "2000-01-01 to 2099-12-31");
        return MDR_E_PARSE;
    }
    MDR_TRY(mdr_mill_stock_receive(app->mill, &lot, &move, &again, err));
    MDR_TRY(mdr_scan_write(MDR_SCAN_STOCK, lot.stock_lot_id, arena, &label, err));
    mdr_json j = mdr_json_make(arena, SMALL, false);
    mdr_json_object(&j, NULL);
    mdr_json_bool(&j, "again", again);
    mdr_json_text(&j, "stock_lot_id", lot.stock_lot_id);
    mdr_json_text(&j, "label", label);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_stock_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err)
{
    enum { PER_MATERIAL = 96 };
    (void)ask;
    MDR_TRY(mdr_app_refresh(app, err));
    const mdr_masters *m = &app->masters;
    mdr_json j = mdr_json_make(arena, SMALL + (size_t)PER_MATERIAL * (size_t)m->n_materials, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "materials");
    for (int i = 0; i < m->n_materials; i++) {
        const mdr_material *one = &m->materials[i];
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "material_id", one->material_id);
        mdr_json_text(&j, "name", one->name);
        mdr_json_number(&j, "stock_kg", one->stock_kg);
        mdr_json_text(&j, "storage", one->storage);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- labels that are printed ------------------------------------------------------------------ */

enum { LABELS_MOST = 200 }; /* of one document; a batch has some forty portions */

typedef struct sheet {
    mdr_weigh_label labels[LABELS_MOST];
    int n;
} sheet;

static void add_labels(sheet *s, const mdr_app_weigh_line *l, mdr_arena *arena)
{
    const mdr_control *c = l->batch->control;
    const char *code = NULL;
    if (mdr_scan_write_weighing(l->batch->batch_id, l->step->asked->key, l->turn.item, arena, &code,
                                NULL) != MDR_OK) {
        code = ""; /* too long a name for a code: the label says it in letters */
    }
    int64_t left = l->item->mass_mg;
    for (int k = 0; k < l->way.portions && s->n < LABELS_MOST; k++) {
        const bool one = l->way.portions == 1;
        const int64_t mass = one || l->way.portion_mg > left ? left : l->way.portion_mg;
        s->labels[s->n++] = (mdr_weigh_label){.code = code,
                                              .name = l->item->name,
                                              .material_id = l->item->material_id,
                                              .lot_id = c->lot_id,
                                              .machine_id = c->machine_id,
                                              .bath = c->baths[l->step->asked->bath - 1].name,
                                              .step = l->step->asked->key,
                                              .mass_mg = mass,
                                              .weighed_mg = one ? l->weighed->weighed_mg : 0,
                                              .needed_utc_ms = l->turn.needed_utc_ms,
                                              .cautions = l->item->cautions,
                                              .number = k + 1,
                                              .numbers = l->way.portions};
        left -= mass;
    }
}

mdr_code mdr_app_weigh_labels(mdr_app *app, const mdr_app_run_ask *ask, const char *step,
                              const char *printed_at, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_app_weigh_list list;
    const mdr_batch *b = NULL;
    unsigned char *pdf = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_weigh_lines(app, ask->now_utc_ms, arena, &list, err));
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &b, err));
    sheet *s = MDR_NEW(arena, sheet);
    if (s == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for labels");
    }
    for (int i = 0; i < list.n; i++) {
        const mdr_app_weigh_line *l = &list.lines[i];
        if (strcmp(l->batch->batch_id, ask->id) == 0 &&
            (step[0] == '\0' || strcmp(step, l->step->asked->key) == 0)) {
            add_labels(s, l, arena);
        }
    }
    const mdr_site *site = app->masters.site;
    const mdr_weigh_labels what = {.labels = s->labels,
                                   .n = s->n,
                                   .batch_id = ask->id,
                                   .place = site == NULL ? "" : site->name,
                                   .invented = site != NULL && site->invented};
    const mdr_card_print print = {
        .printed_at = printed_at, .printed_by = ask->who->name, .version = MDR_VERSION};
    MDR_TRY(mdr_card_weigh_labels(&what, &print, arena, &pdf, &len, err));
    *out = (mdr_blob){(const char *)pdf, len};
    return MDR_OK;
}
