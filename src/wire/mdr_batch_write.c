/* A batch as it stands, for the floor. */
#include "wire/mdr_run_doc.h"

static void number_or_null(mdr_json *j, const char *key, bool has, double value)
{
    if (has) {
        mdr_json_number(j, key, value);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_items(mdr_json *j, const mdr_control_step *s, const mdr_batch_item *done)
{
    static const mdr_batch_item NOTHING = {.weighed_by = "", .checked_by = "", .stock_lot = ""};
    mdr_json_array(j, "items");
    for (int i = 0; i < s->n_items; i++) {
        const mdr_control_item *item = &s->items[i];
        const mdr_batch_item *w = done != NULL ? &done[i] : &NOTHING;
        mdr_json_object(j, NULL);
        mdr_json_int(j, "item", i + 1);
        mdr_json_text(j, "material_id", item->material_id);
        mdr_json_text(j, "name", item->name);
        mdr_json_int(j, "mass_mg", item->mass_mg);
        mdr_json_number(j, "volume_l", item->volume_l);
        mdr_json_bool(j, "dye", item->dye);
        mdr_json_int(j, "weighed_mg", w->weighed_mg);
        mdr_json_int(j, "weighed_seq", w->weighed_seq);
        mdr_json_text(j, "weighed_by", w->weighed_by);
        mdr_json_int(j, "checked_seq", w->checked_seq);
        mdr_json_text(j, "checked_by", w->checked_by);
        mdr_json_text(j, "stock_lot", w->stock_lot);
        mdr_wire_put_cautions(j, item->cautions);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_check(mdr_json *j, const mdr_control_step *s)
{
    const mdr_control_check *c = &s->check;
    if (s->kind != MDR_STEP_CHECK) {
        mdr_json_null(j, "check");
        return;
    }
    mdr_json_object(j, "check");
    mdr_json_text(j, "kind", mdr_check_id(c->kind));
    mdr_json_text(j, "words", mdr_check_words(c->kind));
    mdr_json_text(j, "unit", mdr_check_unit(c->kind));
    number_or_null(j, "low", c->has_low, c->low);
    number_or_null(j, "high", c->has_high, c->high);
    number_or_null(j, "expected", c->has_expected, c->expected);
    mdr_json_number(j, "least", mdr_check_least(c->kind));
    mdr_json_number(j, "most", mdr_check_most(c->kind));
    mdr_json_bool(j, "cooled", c->cooled);
    mdr_json_text(j, "method", c->method);
    mdr_json_text(j, "remedy", c->remedy);
    mdr_json_text(j, "on_fail", mdr_on_fail_id(c->on_fail));
    mdr_json_text(j, "on_fail_words", mdr_on_fail_words(c->on_fail));
    mdr_json_end_object(j);
}

static void put_asked(mdr_json *j, const mdr_control_step *s, const mdr_batch_item *done)
{
    mdr_json_text(j, "key", s->key);
    mdr_json_int(j, "bath", s->bath);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->kind));
    mdr_json_text(j, "words", mdr_step_kind_words(s->kind));
    mdr_json_text(j, "note", s->note);
    mdr_json_number(j, "start_min", s->start_min);
    mdr_json_number(j, "minutes", s->minutes);
    mdr_json_number(j, "temp_start_c", s->temp_start_c);
    mdr_json_number(j, "temp_end_c", s->temp_end_c);
    mdr_json_number(j, "volume_l", s->volume_l);
    mdr_json_number(j, "water_temp_c", s->water_temp_c);
    mdr_json_number(j, "flow_l_per_min", s->flow_l_per_min);
    mdr_json_number(j, "liquor_l", s->liquor_l);
    mdr_json_bool(j, "beside", s->beside);
    mdr_json_text(j, "curve", mdr_curve_id(s->curve));
    mdr_json_text(j, "curve_words", mdr_curve_words(s->curve));
    mdr_json_int(j, "portions", s->portions);
    mdr_wire_put_cautions(j, s->cautions);
    put_items(j, s, done);
    put_check(j, s);
}

void mdr_wire_put_step(mdr_json *j, const mdr_control_step *s)
{
    mdr_json_object(j, NULL);
    put_asked(j, s, NULL);
    mdr_json_end_object(j);
}

static void put_step(mdr_json *j, const mdr_batch_step *s)
{
    const bool read = s->reading_seq != 0;
    mdr_json_object(j, NULL);
    put_asked(j, s->asked, s->items);
    mdr_json_int(j, "remedy_number", s->remedy);
    mdr_json_text(j, "state", mdr_step_state_id(s->state));
    mdr_json_text(j, "state_words", mdr_step_state_words(s->state));
    mdr_json_int(j, "begun_utc_ms", s->begun_utc_ms);
    mdr_json_int(j, "ended_utc_ms", s->ended_utc_ms);
    number_or_null(j, "reading", read, s->reading);
    mdr_json_int(j, "reading_seq", s->reading_seq);
    mdr_json_bool(j, "in_limits", s->in_limits);
    mdr_wire_put_measured_look(j, "measured", s->measured);
    mdr_json_text(j, "decision", s->decided ? mdr_decision_id(s->decision) : NULL);
    mdr_json_bool(j, "dosed", s->dosed);
    mdr_json_end_object(j);
}

static void put_plan(mdr_json *j, const mdr_control *c)
{
    mdr_json_text(j, "lot_id", c->lot_id);
    mdr_json_text(j, "order_id", c->order_id);
    mdr_json_text(j, "article_id", c->article_id);
    mdr_json_text(j, "shade_id", c->shade_id);
    mdr_json_text(j, "swatch", c->swatch);
    mdr_json_text(j, "machine_id", c->machine_id);
    mdr_json_text(j, "route_id", c->route_id);
    mdr_json_int(j, "route_version", c->route_version);
    mdr_json_number(j, "load_kg", c->load_kg);
    mdr_json_number(j, "ratio_l_per_kg", c->ratio_l_per_kg);
    mdr_json_number(j, "liquor_l", c->liquor_l);
    mdr_json_number(j, "cycle_min", c->cycle_min);
    mdr_json_number(j, "total_min", c->total_min);
}

void mdr_wire_put_batch_state(mdr_json *j, const mdr_batch *b, int64_t now_utc_ms,
                              const char *head_hex)
{
    const bool paused = b->state == MDR_BATCH_PAUSED;
    mdr_json_object(j, "batch");
    mdr_json_text(j, "batch_id", b->batch_id);
    put_plan(j, b->control);
    mdr_json_text(j, "state", mdr_batch_state_id(b->state));
    mdr_json_text(j, "state_words", mdr_batch_state_words(b->state));
    mdr_json_text(j, "operator", b->operator_id);
    mdr_json_int(j, "begun_utc_ms", b->begun_utc_ms);
    mdr_json_int(j, "ended_utc_ms", b->ended_utc_ms);
    mdr_json_int(j, "forecast_end_utc_ms", mdr_batch_forecast_end_ms(b, now_utc_ms));
    mdr_json_int(j, "paused_since_utc_ms", b->paused_since_utc_ms);
    mdr_json_int(j, "paused_ms", b->paused_ms);
    mdr_json_text(j, "interrupt", paused ? mdr_interrupt_id(b->interrupt) : NULL);
    mdr_json_text(j, "interrupt_words", paused ? mdr_interrupt_words(b->interrupt) : NULL);
    mdr_json_int(j, "remedies", b->n_remedies);
    mdr_json_int(j, "corrections", b->n_corrections);
    mdr_json_int(j, "interrupts", b->n_interrupts);
    mdr_json_int(j, "accepted", b->n_accepted);
    mdr_json_bool(j, "stop_asked", b->stop_asked);
    mdr_json_bool(j, "right_first", mdr_batch_right_first(b));
    mdr_json_int(j, "last_seq", b->last_seq);
    mdr_json_text(j, "head", head_hex);
    mdr_json_end_object(j);
}

void mdr_wire_put_batch(mdr_json *j, const mdr_batch *b, int64_t now_utc_ms, const char *head_hex)
{
    const mdr_control *c = b->control;
    mdr_json_int(j, "now_utc_ms", now_utc_ms);
    mdr_wire_put_batch_state(j, b, now_utc_ms, head_hex);
    mdr_json_array(j, "baths");
    for (int i = 0; i < c->n_baths; i++) {
        mdr_json_object(j, NULL);
        mdr_json_int(j, "number", c->baths[i].number);
        mdr_json_text(j, "name", c->baths[i].name);
        mdr_json_text(j, "stage", c->baths[i].stage);
        mdr_json_number(j, "liquor_l", c->baths[i].liquor_l);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_array(j, "steps");
    for (int i = 0; i < b->n_steps; i++) {
        put_step(j, &b->steps[i]);
    }
    mdr_json_end_array(j);
    mdr_json_int(j, "now", b->now);
    mdr_json_array(j, "curve");
    for (int i = 0; i < c->n_points; i++) {
        mdr_json_array(j, NULL);
        mdr_json_number(j, NULL, c->curve[i].t_min);
        mdr_json_number(j, NULL, c->curve[i].temp_c);
        mdr_json_number(j, NULL, c->curve[i].liquor_l);
        mdr_json_end_array(j);
    }
    mdr_json_end_array(j);
}
