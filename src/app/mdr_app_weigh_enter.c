/* Weighings into the record of a batch: judged before, booked after. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_weigh.h"

enum { DAY_MS = 86400000 };

static bool is_blank(const char *text)
{
    return text[strspn(text, " \t\r\n")] == '\0';
}

static mdr_code check_container(const mdr_weighing *w, const mdr_event *e, mdr_err *err)
{
    const mdr_stock_lot *lot = mdr_weighing_lot(w, e->stock_lot);
    if (e->stock_lot[0] == '\0') {
        return MDR_OK;
    }
    if (lot == NULL) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "stock_lot", "there is no such container");
        mdr_err_value(err, "%s", e->stock_lot);
        mdr_err_remedy(err, "book its delivery first, or leave the container out");
        return MDR_E_NOTFOUND;
    }
    if (strcmp(lot->material_id, e->material_id) != 0) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, "stock_lot", "the container holds another material");
        mdr_err_value(err, "%s, of %s", e->stock_lot, lot->material_id);
        mdr_err_allowed(err, "a container of %s", e->material_id);
        mdr_err_remedy(err, "put it back, and scan the right one");
        return MDR_E_CONFLICT;
    }
    if (lot->expiry_utc_ms != 0 && e->at_utc_ms >= lot->expiry_utc_ms + (int64_t)DAY_MS &&
        is_blank(e->text)) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, "stock_lot", "the container is past its date");
        mdr_err_value(err, "%s", e->stock_lot);
        mdr_err_remedy(err, "take another one, or say who allowed it");
        return MDR_E_CONFLICT;
    }
    return MDR_OK;
}

static mdr_code may_take(mdr_app *app, const mdr_batch *b, const mdr_event *e, mdr_arena *arena,
                         mdr_err *err)
{
    mdr_weighing w;
    mdr_weigh_judged judged;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    const mdr_batch_step *s = &b->steps[mdr_batch_find(b, e->step)];
    const mdr_material *material = mdr_masters_material(&app->masters, e->material_id);
    const mdr_weigh_class *known =
        material == NULL ? NULL : mdr_weighing_class(&w, material->weigh_class);
    const mdr_weigh_class usual = mdr_weigh_class_usual();
    const mdr_scale *scale = e->scale_id[0] == '\0' ? NULL : mdr_weighing_scale(&w, e->scale_id);
    if (e->scale_id[0] != '\0' && scale == NULL) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "scale_id", "there is no such scale");
        mdr_err_value(err, "%s", e->scale_id);
        mdr_err_remedy(err, "choose one of table scale, or leave it out");
        return MDR_E_NOTFOUND;
    }
    MDR_TRY(check_container(&w, e, err));
    MDR_TRY(mdr_weigh_judge(known == NULL ? &usual : known, scale,
                            s->asked->items[e->item - 1].mass_mg, e->mass_mg, &judged, err));
    return mdr_weigh_may_store(&judged, e->text, err);
}

/* -- booking ---------------------------------------------------------------------------------- */

static mdr_code put_back(mdr_app *app, const mdr_batch_item *before, mdr_stock_move m,
                         mdr_arena *arena, mdr_err *err)
{
    bool again = false;
    m.kind = MDR_STOCK_ADJUSTED;
    m.mass_mg = before->weighed_mg;
    m.stock_lot_id = before->stock_lot;
    m.text = "weighed anew";
    m.entry_id = mdr_arena_printf(arena, "%s-back", m.entry_id);
    return m.entry_id == NULL ? MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to book stock")
                              : mdr_mill_stock_book(app->mill, &m, &again, err);
}

static mdr_code book(mdr_app *app, const mdr_batch_item *before, const mdr_event *e,
                     mdr_arena *arena, mdr_err *err)
{
    bool again = false;
    const mdr_stock_move m = {.entry_id = e->entry_id,
                              .kind = MDR_STOCK_WEIGHED,
                              .material_id = e->material_id,
                              .stock_lot_id = e->stock_lot,
                              .mass_mg = -e->mass_mg,
                              .at_utc_ms = e->happened_utc_ms,
                              .by = e->by,
                              .batch_id = e->batch_id,
                              .text = ""};
    if (mdr_masters_material(&app->masters, e->material_id) == NULL) {
        return MDR_OK; /* taken out of its table since: nobody keeps stock of it */
    }
    if (before->weighed_mg > 0) {
        MDR_TRY(put_back(app, before, m, arena, err));
    }
    return mdr_mill_stock_book(app->mill, &m, &again, err);
}

mdr_code mdr_app_weigh_take(mdr_app *app, const mdr_batch *b, const mdr_event *e, mdr_arena *arena,
                            mdr_err *err)
{
    MDR_TRY(may_take(app, b, e, arena, err));
    return book(app, &b->steps[mdr_batch_find(b, e->step)].items[e->item - 1], e, arena, err);
}
