/* Weighings that another person checks before the dose begins, and those that are corrected. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_weigh.h"

/* -- checks ----------------------------------------------------------------------------------- */

mdr_code mdr_app_weigh_checked(mdr_app *app, const mdr_batch *b, const mdr_event *e,
                               mdr_arena *arena, mdr_err *err)
{
    mdr_weighing w;
    bool any = false;
    const mdr_batch_step *s = &b->steps[mdr_batch_find(b, e->step)];
    MDR_TRY(mdr_app_has_people(app, &any, err));
    if (!any || s->asked->n_items == 0) {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    for (int i = 0; i < s->asked->n_items; i++) {
        if (mdr_app_weigh_waits(app, &w, &s->asked->items[i], &s->items[i])) {
            (void)MDR_FAIL(err, MDR_E_CONFLICT, "step",
                           "another person has not checked the weighing of %s",
                           s->asked->items[i].name);
            mdr_err_value(err, "%s, weighed by %s", s->asked->items[i].material_id,
                          s->items[i].weighed_by);
            mdr_err_remedy(err,
                           "let somebody else check it in the weigh room, then begin the dose");
            return MDR_E_CONFLICT;
        }
    }
    return MDR_OK;
}

mdr_code mdr_app_weigh_put_waits(mdr_app *app, const mdr_batch *b, mdr_json *j, mdr_arena *arena,
                                 mdr_err *err)
{
    mdr_weighing w;
    bool any = false;
    MDR_TRY(mdr_app_has_people(app, &any, err));
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    mdr_json_bool(j, "check_blocks", any);
    mdr_json_array(j, "to_check");
    for (int k = 0; k < b->n_steps; k++) {
        const mdr_batch_step *s = &b->steps[k];
        for (int i = 0; s->state == MDR_STEP_WAITS && i < s->asked->n_items; i++) {
            if (mdr_app_weigh_waits(app, &w, &s->asked->items[i], &s->items[i])) {
                mdr_json_object(j, NULL);
                mdr_json_text(j, "step", s->asked->key);
                mdr_json_int(j, "item", i + 1);
                mdr_json_text(j, "name", s->asked->items[i].name);
                mdr_json_text(j, "weighed_by", s->items[i].weighed_by);
                mdr_json_end_object(j);
            }
        }
    }
    mdr_json_end_array(j);
    return MDR_OK;
}

/* -- corrections ------------------------------------------------------------------------------ */

/* The weighing that counts, by its event; NULL: it was weighed anew since, or is no weighing. */
static const mdr_batch_item *weighing_of(const mdr_batch *b, int64_t seq,
                                         const mdr_control_item **asked)
{
    for (int k = 0; k < b->n_steps; k++) {
        for (int i = 0; i < b->steps[k].asked->n_items; i++) {
            if (b->steps[k].items[i].weighed_mg > 0 && b->steps[k].items[i].weighed_seq == seq) {
                *asked = &b->steps[k].asked->items[i];
                return &b->steps[k].items[i];
            }
        }
    }
    return NULL;
}

/* What the move says it is for; a reason may be longer than a move has room. */
static const char *reason(const mdr_event *e, mdr_arena *arena)
{
    enum { MOST = 160 };
    size_t n = strlen(e->text);
    if (n > MOST) {
        n = MOST;
        while (n > 0 && ((unsigned char)e->text[n] & 0xC0) == 0x80) {
            n--;
        }
    }
    return mdr_arena_printf(arena, "event %lld corrected: %.*s", (long long)e->of_seq, (int)n,
                            e->text);
}

/* One of the moves of a correction. */
typedef struct part {
    const char *material_id, *stock_lot, *end; /* of its entry_id */
    int64_t mass_mg;
} part;

static mdr_code book(mdr_app *app, const mdr_event *e, const part *p, mdr_arena *arena,
                     mdr_err *err)
{
    bool again = false;
    const mdr_stock_move m = {.entry_id = mdr_arena_printf(arena, "%s-%s", e->entry_id, p->end),
                              .kind = MDR_STOCK_ADJUSTED,
                              .material_id = p->material_id,
                              .stock_lot_id = p->stock_lot,
                              .mass_mg = p->mass_mg,
                              .at_utc_ms = e->happened_utc_ms,
                              .by = e->by,
                              .batch_id = e->batch_id,
                              .text = reason(e, arena)};
    if (m.entry_id == NULL || m.text == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to book stock");
    }
    return m.mass_mg == 0 ? MDR_OK : mdr_mill_stock_book(app->mill, &m, &again, err);
}

static mdr_code check_container(mdr_app *app, const char *lot_id, const char *material_id,
                                mdr_arena *arena, mdr_err *err)
{
    mdr_weighing w;
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &w, err));
    const mdr_stock_lot *lot = mdr_weighing_lot(&w, lot_id);
    if (lot == NULL || strcmp(lot->material_id, material_id) != 0) {
        const mdr_code code = lot == NULL ? MDR_E_NOTFOUND : MDR_E_CONFLICT;
        (void)MDR_FAIL(err, code, "is",
                       lot == NULL ? "there is no such container"
                                   : "the container holds another material");
        mdr_err_value(err, "%s", lot_id);
        mdr_err_allowed(err, "a container of %s", material_id);
        mdr_err_remedy(err, "look at the label again");
        return code;
    }
    return MDR_OK;
}

mdr_code mdr_app_weigh_correct(mdr_app *app, const mdr_batch *b, const mdr_event *e,
                               mdr_arena *arena, mdr_err *err)
{
    const mdr_control_item *asked = NULL;
    const mdr_batch_item *was = weighing_of(b, e->of_seq, &asked);
    const bool mass = strcmp(e->field, "mass_mg") == 0;
    if (was == NULL || (!mass && strcmp(e->field, "stock_lot") != 0)) {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_refresh(app, err));
    if (mass && e->mass_mg > MDR_WEIGH_MOST_MG) {
        (void)MDR_FAIL(err, MDR_E_RANGE, "is", "this mass cannot be weighed");
        mdr_err_value(err, "%s", e->is);
        mdr_err_allowed(err, "1 to %lld mg", (long long)MDR_WEIGH_MOST_MG);
        return MDR_E_RANGE;
    }
    if (mdr_masters_material(&app->masters, asked->material_id) == NULL) {
        return MDR_OK; /* taken out of its table since: nobody keeps stock of it */
    }
    const part back = {asked->material_id, was->stock_lot, "back", was->weighed_mg};
    const part out = {asked->material_id, mass ? was->stock_lot : e->is, "out",
                      mass ? -e->mass_mg : -was->weighed_mg};
    if (mass) { /* one move: what it is more or less */
        const part more = {back.material_id, back.stock_lot, "more", back.mass_mg + out.mass_mg};
        return book(app, e, &more, arena, err);
    }
    MDR_TRY(check_container(app, e->is, asked->material_id, arena, err));
    if (strcmp(was->stock_lot, e->is) == 0) {
        return MDR_OK;
    }
    MDR_TRY(book(app, e, &back, arena, err));
    return book(app, e, &out, arena, err);
}
