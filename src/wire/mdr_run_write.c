/* Control recipes and bodies of events as they are stored: no blanks, keys in one order, what is 0 or
 * "" left out. */
#include "wire/mdr_run_doc.h"

static void put_text(mdr_json *j, const char *key, const char *text)
{
    if (text[0] != '\0') {
        mdr_json_text(j, key, text);
    }
}

static void put_number(mdr_json *j, const char *key, double value)
{
    if (value < 0.0 || value > 0.0) {
        mdr_json_number(j, key, value);
    }
}

static void put_int(mdr_json *j, const char *key, int64_t value)
{
    if (value != 0) {
        mdr_json_int(j, key, value);
    }
}

static void put_yes(mdr_json *j, const char *key, bool yes)
{
    if (yes) {
        mdr_json_bool(j, key, true);
    }
}

void mdr_wire_put_cautions(mdr_json *j, uint32_t set)
{
    mdr_json_array(j, "cautions");
    for (unsigned i = 0; i < MDR_CAUTION_COUNT; i++) {
        if ((set >> i & 1u) != 0) {
            mdr_json_text(j, NULL, mdr_caution_id((mdr_caution)i));
        }
    }
    mdr_json_end_array(j);
}

/* -- control recipe -- */

static void put_item(mdr_json *j, const mdr_control_item *item)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "material_id", item->material_id);
    mdr_json_text(j, "name", item->name);
    mdr_json_int(j, "mass_mg", item->mass_mg);
    put_number(j, "volume_l", item->volume_l);
    put_yes(j, "dye", item->dye);
    mdr_json_text(j, "substance", mdr_substance_id((mdr_substance)item->substance));
    put_number(j, "price_minor_per_kg", item->price_minor_per_kg);
    put_number(j, "bulk_factor", item->bulk_factor);
    if (item->cautions != 0) {
        mdr_wire_put_cautions(j, item->cautions);
    }
    mdr_json_end_object(j);
}

static void put_check(mdr_json *j, const mdr_control_check *check)
{
    mdr_json_object(j, "check");
    mdr_json_text(j, "kind", mdr_check_id(check->kind));
    if (check->has_low) {
        mdr_json_number(j, "low", check->low);
    }
    if (check->has_high) {
        mdr_json_number(j, "high", check->high);
    }
    if (check->has_expected) {
        mdr_json_number(j, "expected", check->expected);
    }
    put_yes(j, "cooled", check->cooled);
    put_text(j, "method", check->method);
    put_text(j, "remedy", check->remedy);
    mdr_json_text(j, "on_fail", mdr_on_fail_id(check->on_fail));
    mdr_json_end_object(j);
}

static void put_step(mdr_json *j, const mdr_control_step *s)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "key", s->key);
    mdr_json_int(j, "bath", s->bath);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->kind));
    put_text(j, "note", s->note);
    put_number(j, "start_min", s->start_min);
    put_number(j, "minutes", s->minutes);
    put_number(j, "temp_start_c", s->temp_start_c);
    put_number(j, "temp_end_c", s->temp_end_c);
    put_number(j, "volume_l", s->volume_l);
    put_number(j, "water_temp_c", s->water_temp_c);
    put_number(j, "flow_l_per_min", s->flow_l_per_min);
    put_number(j, "liquor_l", s->liquor_l);
    put_number(j, "steam_kg", s->steam_kg);
    put_yes(j, "beside", s->beside);
    if (s->kind == MDR_STEP_DOSE) {
        mdr_json_text(j, "curve", mdr_curve_id(s->curve));
        put_number(j, "exponent", s->exponent);
        put_int(j, "portions", s->portions);
        mdr_json_array(j, "items");
        for (int i = 0; i < s->n_items; i++) {
            put_item(j, &s->items[i]);
        }
        mdr_json_end_array(j);
    }
    if (s->kind == MDR_STEP_CHECK) {
        put_check(j, &s->check);
    }
    if (s->cautions != 0) {
        mdr_wire_put_cautions(j, s->cautions);
    }
    mdr_json_end_object(j);
}

static void put_steps(mdr_json *j, const mdr_control_step *steps, int n)
{
    mdr_json_array(j, "steps");
    for (int i = 0; i < n; i++) {
        put_step(j, &steps[i]);
    }
    mdr_json_end_array(j);
}

static void put_drying(mdr_json *j, const mdr_control_drying *d)
{
    if (!(d->dry_kg > 0.0)) {
        return;
    }
    mdr_json_object(j, "drying");
    mdr_json_number(j, "dry_kg", d->dry_kg);
    put_number(j, "length_m", d->length_m);
    put_number(j, "in_pct", d->in_pct);
    put_number(j, "out_pct", d->out_pct);
    put_number(j, "speed_m_per_min", d->speed_m_per_min);
    put_number(j, "speed_max_m_per_min", d->speed_max_m_per_min);
    put_number(j, "oven_m", d->oven_m);
    put_number(j, "air_c", d->air_c);
    put_number(j, "air_kg_per_kg", d->air_kg_per_kg);
    put_number(j, "mj_per_kg", d->mj_per_kg);
    put_yes(j, "steams", d->steams);
    mdr_json_end_object(j);
}

static void put_state(mdr_json *j, const mdr_control_step *s)
{
    const mdr_control_state *st = s->state;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "step", s->key);
    put_number(j, "load_kg", st->load_kg);
    put_number(j, "liquor_l", st->liquor_l);
    put_number(j, "temp_c", st->temp_c);
    put_number(j, "retained_l_per_kg", st->retained_l_per_kg);
    mdr_json_array(j, "dissolved_kg");
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_json_number(j, NULL, st->dissolved_kg[i]);
    }
    mdr_json_end_array(j);
    put_number(j, "loose_mg_per_kg", st->loose_mg_per_kg);
    put_number(j, "fix_temp_c", st->fix_temp_c);
    put_number(j, "minutes_left", st->minutes_left);
    mdr_json_text(j, "dye_class", mdr_dye_class_id((mdr_dye_class)st->dye_class));
    put_yes(j, "dyed", st->dyed);
    put_yes(j, "dyebath", st->dyebath);
    put_yes(j, "fixing", st->fixing);
    put_drying(j, &st->drying);
    mdr_json_end_object(j);
}

static void put_head(mdr_json *j, const mdr_control *c)
{
    mdr_json_text(j, "lot_id", c->lot_id);
    mdr_json_text(j, "order_id", c->order_id);
    mdr_json_text(j, "article_id", c->article_id);
    mdr_json_text(j, "shade_id", c->shade_id);
    mdr_json_text(j, "swatch", c->swatch);
    mdr_json_text(j, "machine_id", c->machine_id);
    mdr_json_text(j, "route_id", c->route_id);
    mdr_json_int(j, "route_version", c->route_version);
    mdr_json_int(j, "lot_revision", c->lot_revision);
    mdr_json_number(j, "load_kg", c->load_kg);
    mdr_json_number(j, "ratio_l_per_kg", c->ratio_l_per_kg);
    mdr_json_number(j, "liquor_l", c->liquor_l);
    mdr_json_number(j, "fabric_m", c->fabric_m);
    mdr_json_number(j, "cycle_min", c->cycle_min);
    mdr_json_number(j, "total_min", c->total_min);
    mdr_json_int(j, "cost_minor", c->cost_minor);
    mdr_json_number(j, "water_l", c->water_l);
    mdr_json_number(j, "steam_kg", c->steam_kg);
    mdr_json_number(j, "power_kwh", c->power_kwh);
    put_number(j, "steel_kg", c->steel_kg);
    put_number(j, "steam_kj_per_kg", c->steam_kj_per_kg);
}

mdr_code mdr_wire_control_write(const mdr_control *c, mdr_arena *arena, char **text, size_t *len,
                                mdr_err *err)
{
    enum { SIZE_HINT = 64 << 10 };
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    put_head(&j, c);
    mdr_json_array(&j, "baths");
    for (int i = 0; i < c->n_baths; i++) {
        const mdr_control_bath *b = &c->baths[i];
        mdr_json_object(&j, NULL);
        mdr_json_int(&j, "number", b->number);
        mdr_json_text(&j, "name", b->name);
        mdr_json_text(&j, "stage", b->stage);
        mdr_json_number(&j, "liquor_l", b->liquor_l);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    put_steps(&j, c->steps, c->n_steps);
    mdr_json_array(&j, "states");
    for (int i = 0; i < c->n_steps; i++) {
        if (c->steps[i].state != NULL) {
            put_state(&j, &c->steps[i]);
        }
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "curve");
    for (int i = 0; i < c->n_points; i++) {
        mdr_json_number(&j, NULL, c->curve[i].t_min);
        mdr_json_number(&j, NULL, c->curve[i].temp_c);
        mdr_json_number(&j, NULL, c->curve[i].liquor_l);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}

/* -- events -- */

static void put_weighing(mdr_json *j, const mdr_event *e)
{
    put_int(j, "item", e->item);
    put_int(j, "mass_mg", e->mass_mg);
    put_text(j, "material_id", e->material_id);
    put_text(j, "stock_lot", e->stock_lot);
    put_text(j, "scale_id", e->scale_id);
    put_yes(j, "manual", e->manual);
    put_yes(j, "observed", e->observed);
}

void mdr_wire_put_event_body(mdr_json *j, const mdr_event *e)
{
    put_text(j, "step", e->step);
    put_weighing(j, e);
    if (e->has_temp) {
        mdr_json_number(j, "temp_c", e->temp_c);
    }
    if (e->kind == MDR_EVENT_READING || e->kind == MDR_EVENT_CORRECTED) {
        mdr_json_number(j, "value", e->value);
    }
    if (e->measured != NULL) {
        mdr_wire_put_measured(j, e->measured);
    }
    put_text(j, "instrument", e->instrument);
    if (e->kind == MDR_EVENT_DECISION) {
        mdr_json_text(j, "decision", mdr_decision_id(e->decision));
    }
    if (e->kind == MDR_EVENT_INTERRUPTED) {
        mdr_json_text(j, "interrupt", mdr_interrupt_id(e->interrupt));
    }
    put_int(j, "of_seq", e->of_seq);
    put_text(j, "field", e->field);
    put_text(j, "was", e->was);
    put_text(j, "is", e->is);
    put_text(j, "text", e->text);
    put_text(j, "meaning", e->meaning);
    put_text(j, "signed_by", e->signed_by);
    put_text(j, "signed_name", e->signed_name);
    put_text(j, "signed_as", e->signed_as);
    put_int(j, "signed_utc_ms", e->signed_utc_ms);
    put_text(j, "recipe_sha256", e->recipe_sha256);
    put_text(j, "remedy_id", e->remedy_id);
    if (e->n_steps > 0) {
        put_steps(j, e->steps, e->n_steps);
    }
}

mdr_code mdr_wire_event_write(const mdr_event *e, mdr_arena *arena, char **text, size_t *len,
                              mdr_err *err)
{
    enum { SIZE_HINT = 512 };
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_wire_put_event_body(&j, e);
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}

void mdr_wire_put_event(mdr_json *j, const char *key, const mdr_event *e, const char *hash_hex)
{
    mdr_json_object(j, key);
    mdr_json_int(j, "seq", e->seq);
    mdr_json_text(j, "batch_id", e->batch_id);
    mdr_json_text(j, "kind", mdr_event_id(e->kind));
    mdr_json_text(j, "words", mdr_event_words(e->kind));
    mdr_json_int(j, "at_utc_ms", e->at_utc_ms);
    put_int(j, "device_utc_ms", e->device_utc_ms);
    mdr_json_int(j, "happened_utc_ms", e->happened_utc_ms);
    mdr_json_text(j, "by", e->by);
    mdr_json_text(j, "entry_id", e->entry_id);
    mdr_wire_put_event_body(j, e);
    if (hash_hex != NULL) {
        mdr_json_text(j, "hash", hash_hex);
    }
    mdr_json_end_object(j);
}
