/* The queue of the weigh room as JSON. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_weigh.h"
#include "base/mdr_lang.h"
#include "core/run/mdr_scan.h"
#include "wire/mdr_run_doc.h"

enum { SIZE_HINT = 64 << 10, KEY_MAX = 64 };

typedef struct page {
    mdr_json *j;
    mdr_arena *arena;
    const mdr_app_weigh_list *list;
} page;

static void put_way(const page *p, const mdr_app_weigh_line *l)
{
    const mdr_weigh_way *w = &l->way;
    const mdr_scale *scale = w->scale < 0 ? NULL : &p->list->mill.scales[w->scale];
    mdr_json *j = p->j;
    mdr_json_text(j, "scale_id", scale == NULL ? NULL : scale->scale_id);
    mdr_json_text(j, "scale", scale == NULL ? NULL : scale->name);
    mdr_json_number(j, "division_mg", scale == NULL ? 0.0 : scale->division_g * 1e3);
    mdr_json_object(j, "way");
    mdr_json_text(j, "kind", mdr_weigh_way_id(w->kind));
    mdr_json_text(j, "words", mdr_weigh_way_words(w->kind));
    mdr_json_int(j, "portions", w->portions);
    mdr_json_int(j, "portion_mg", w->portion_mg);
    mdr_json_number(j, "conc_g_per_kg", w->conc_g_per_kg);
    mdr_json_int(j, "product_mg", w->product_mg);
    mdr_json_int(j, "solution_mg", w->solution_mg);
    mdr_json_int(j, "take_mg", w->take_mg);
    mdr_json_int(j, "error_mg", w->error_mg);
    mdr_json_bool(j, "few_divisions", w->few_divisions);
    mdr_json_bool(j, "unsure", w->unsure);
    mdr_json_bool(j, "unverified", w->unverified);
    mdr_json_end_object(j);
    const char *said[MDR_WEIGH_ADVICE_MAX];
    const int n = mdr_app_weigh_advice(p->list, l, p->arena, said);
    mdr_json_array(j, "advice");
    for (int i = 0; i < n; i++) {
        mdr_json_text(j, NULL, said[i]);
    }
    mdr_json_end_array(j);
}

static void put_care(const page *p, const mdr_control_item *item)
{
    mdr_json *j = p->j;
    mdr_wire_put_cautions(j, item->cautions);
    mdr_json_array(j, "caution_words");
    for (int c = 0; c < MDR_CAUTION_COUNT; c++) {
        if ((item->cautions & 1u << c) != 0) {
            char key[KEY_MAX] = "caution.";
            strncat(key, mdr_caution_id((mdr_caution)c), sizeof key - sizeof "caution.");
            mdr_json_text(j, NULL, mdr_lang_text(key));
        }
    }
    mdr_json_end_array(j);
    const uint32_t gear = mdr_gear_of(item->cautions);
    mdr_json_array(j, "ppe");
    for (int g = 0; g < MDR_GEAR_COUNT; g++) {
        if ((gear & 1u << g) != 0) {
            mdr_json_object(j, NULL);
            mdr_json_text(j, "id", mdr_gear_id((mdr_gear)g));
            mdr_json_text(j, "words", mdr_gear_words((mdr_gear)g));
            mdr_json_end_object(j);
        }
    }
    mdr_json_end_array(j);
}

static void put_clash(mdr_json *j, const mdr_clash_pair *pair, const char *with, const char *step,
                      bool in_turn)
{
    char key[KEY_MAX] = "clash.";
    strncat(key, pair->id, sizeof key - sizeof "clash.");
    mdr_json_object(j, NULL);
    mdr_json_text(j, "id", pair->id);
    mdr_json_bool(j, "danger", pair->danger);
    mdr_json_text(j, "with", with);
    mdr_json_text(j, "step", step);
    mdr_json_bool(j, "in_turn", in_turn);
    mdr_json_text(j, "words", mdr_lang_text(key));
    mdr_json_end_object(j);
}

/* The dose before this one came through the same side tank. */
static const mdr_control_step *dose_before(const mdr_app_weigh_line *l)
{
    for (int i = l->turn.step - 1; i >= 0; i--) {
        const mdr_batch_step *s = &l->batch->steps[i];
        if (s->asked->n_items > 0 && s->state != MDR_STEP_LEFT_OUT) {
            return s->asked;
        }
    }
    return NULL;
}

static void put_clashes(const page *p, const mdr_app_weigh_line *l)
{
    const mdr_control_step *asked = l->step->asked, *before = dose_before(l);
    const int own = l->turn.item - 1;
    mdr_clash found[MDR_CLASH_PAIRS];
    mdr_json_array(p->j, "incompatible");
    int n = mdr_clash_within(asked->items, asked->n_items, found);
    for (int i = 0; i < n; i++) {
        const int other = found[i].first == own ? found[i].second : found[i].first;
        if (found[i].first == own || found[i].second == own) {
            put_clash(p->j, found[i].pair, asked->items[other].name, asked->key, false);
        }
    }
    n = before == NULL ? 0 : mdr_clash_after(before->items, before->n_items, l->item, 1, found);
    for (int i = 0; i < n; i++) {
        put_clash(p->j, found[i].pair, before->items[found[i].first].name, before->key, true);
    }
    mdr_json_end_array(p->j);
}

static const char *label_of(mdr_scan_kind kind, const char *id, mdr_arena *arena)
{
    const char *text = NULL;
    return mdr_scan_write(kind, id, arena, &text, NULL) == MDR_OK ? text : NULL;
}

static void put_containers(const page *p, const mdr_app_weigh_line *l)
{
    enum { DAY_MS = 86400000 };
    mdr_json_array(p->j, "containers");
    for (int i = 0; i < p->list->mill.n_lots; i++) {
        const mdr_stock_lot *lot = &p->list->mill.lots[i];
        if (lot->left_mg <= 0 || strcmp(lot->material_id, l->item->material_id) != 0) {
            continue;
        }
        mdr_json_object(p->j, NULL);
        mdr_json_text(p->j, "stock_lot_id", lot->stock_lot_id);
        mdr_json_text(p->j, "supplier_lot", lot->supplier_lot);
        mdr_json_int(p->j, "left_mg", lot->left_mg);
        mdr_json_int(p->j, "expiry_utc_ms", lot->expiry_utc_ms);
        mdr_json_bool(p->j, "expired",
                      lot->expiry_utc_ms != 0 &&
                          p->list->now_utc_ms >= lot->expiry_utc_ms + (int64_t)DAY_MS);
        mdr_json_bool(p->j, "opened", lot->opened_utc_ms != 0);
        mdr_json_text(p->j, "label", label_of(MDR_SCAN_STOCK, lot->stock_lot_id, p->arena));
        mdr_json_end_object(p->j);
    }
    mdr_json_end_array(p->j);
}

static void put_stock(mdr_json *j, const mdr_stock_view *v)
{
    mdr_json_object(j, "stock");
    mdr_json_int(j, "mg", v->stock_mg);
    mdr_json_int(j, "needed_mg", v->needed_mg);
    mdr_json_int(j, "after_mg", v->after_mg);
    mdr_json_int(j, "short_by_mg", v->short_by_mg);
    mdr_json_int(j, "runs_out_utc_ms", v->runs_out_utc_ms);
    mdr_json_end_object(j);
}

static void put_what(const page *p, const mdr_app_weigh_line *l)
{
    mdr_json *j = p->j;
    const mdr_control *c = l->batch->control;
    mdr_json_text(j, "batch_id", l->batch->batch_id);
    mdr_json_text(j, "lot_id", c->lot_id);
    mdr_json_text(j, "machine_id", c->machine_id);
    mdr_json_text(j, "shade_id", c->shade_id);
    mdr_json_text(j, "swatch", c->swatch);
    mdr_json_text(j, "step", l->step->asked->key);
    mdr_json_text(j, "bath", c->baths[l->step->asked->bath - 1].name);
    mdr_json_int(j, "item", l->turn.item);
    mdr_json_text(j, "material_id", l->item->material_id);
    mdr_json_text(j, "name", l->item->name);
    mdr_json_int(j, "mass_mg", l->item->mass_mg);
    mdr_json_number(j, "volume_l", l->item->volume_l);
    mdr_json_bool(j, "dye", l->item->dye);
    mdr_json_text(j, "storage", l->material == NULL ? "" : l->material->storage);
    mdr_json_int(j, "needed_utc_ms", l->turn.needed_utc_ms);
    mdr_json_int(j, "due_utc_ms", l->turn.due_utc_ms);
    mdr_json_text(j, "state", mdr_weigh_state_id(l->state));
    mdr_json_text(j, "state_words", mdr_weigh_state_words(l->state));
    mdr_json_int(j, "weighed_mg", l->weighed->weighed_mg);
    mdr_json_int(j, "weighed_seq", l->weighed->weighed_seq);
    mdr_json_text(j, "weighed_by", l->weighed->weighed_by);
    mdr_json_int(j, "tolerance_mg", l->window.tolerance_mg);
    mdr_json_int(j, "tolerance_low_mg", l->window.low_mg);
    mdr_json_int(j, "tolerance_high_mg", l->window.high_mg);
    mdr_json_bool(j, "two_persons", l->two_persons);
}

static void put_line(const page *p, const mdr_app_weigh_line *l)
{
    const char *label = NULL;
    mdr_json_object(p->j, NULL);
    put_what(p, l);
    put_way(p, l);
    put_care(p, l->item);
    put_clashes(p, l);
    put_containers(p, l);
    put_stock(p->j, &l->stock);
    if (mdr_scan_write_weighing(l->batch->batch_id, l->step->asked->key, l->turn.item, p->arena,
                                &label, NULL) != MDR_OK) {
        label = NULL; /* a batch of a name too long for a label is weighed without one */
    }
    mdr_json_text(p->j, "label", label);
    mdr_json_text(p->j, "product_label",
                  label_of(MDR_SCAN_PRODUCT, l->item->material_id, p->arena));
    mdr_json_end_object(p->j);
}

/* The line at which its material runs out, the first of them when several are due at once. */
static bool runs_out_here(const mdr_app_weigh_list *list, int at)
{
    const mdr_app_weigh_line *l = &list->lines[at];
    if (l->stock.short_by_mg == 0 || l->state != MDR_WEIGH_TO_WEIGH ||
        l->stock.runs_out_utc_ms != l->turn.due_utc_ms) {
        return false;
    }
    for (int i = at - 1; i >= 0 && list->lines[i].turn.due_utc_ms == l->turn.due_utc_ms; i--) {
        if (list->lines[i].state == MDR_WEIGH_TO_WEIGH &&
            strcmp(list->lines[i].item->material_id, l->item->material_id) == 0) {
            return false;
        }
    }
    return true;
}

/* Each material once, in the order in which they run out. */
static void put_short(const page *p)
{
    mdr_json_array(p->j, "short");
    for (int i = 0; i < p->list->n; i++) {
        if (runs_out_here(p->list, i)) {
            mdr_json_object(p->j, NULL);
            mdr_json_text(p->j, "material_id", p->list->lines[i].item->material_id);
            mdr_json_text(p->j, "name", p->list->lines[i].item->name);
            put_stock(p->j, &p->list->lines[i].stock);
            mdr_json_end_object(p->j);
        }
    }
    mdr_json_end_array(p->j);
}

mdr_code mdr_app_weighing_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                               mdr_blob *out, mdr_err *err)
{
    mdr_app_weigh_list list;
    MDR_TRY(mdr_app_weigh_lines(app, ask->now_utc_ms, arena, &list, err));
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    const page p = {&j, arena, &list};
    mdr_json_object(&j, NULL);
    mdr_json_int(&j, "now_utc_ms", ask->now_utc_ms);
    mdr_json_array(&j, "items");
    for (int i = 0; i < list.n; i++) {
        put_line(&p, &list.lines[i]);
    }
    mdr_json_end_array(&j);
    put_short(&p);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}
