#include "wire/mdr_report_write.h"

#include "wire/mdr_run_doc.h"

#define MG_PER_KG 1e6

static void number_or_null(mdr_json *j, const char *key, bool has, double value)
{
    if (has) {
        mdr_json_number(j, key, value);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_summary(mdr_json *j, const mdr_run_report *r)
{
    mdr_json_object(j, "summary");
    mdr_json_number(j, "planned_min", r->planned_min);
    mdr_json_number(j, "actual_min", r->actual_min);
    mdr_json_number(j, "interrupted_min", r->interrupted_min);
    mdr_json_number(j, "planned_kg", r->planned_kg);
    mdr_json_number(j, "weighed_kg", r->weighed_kg);
    mdr_json_number(j, "planned_products_minor", r->planned_products_minor);
    mdr_json_number(j, "actual_products_minor", r->actual_products_minor);
    mdr_json_bool(j, "all_priced", r->all_priced);
    mdr_json_number(j, "planned_water_l", r->planned_water_l);
    mdr_json_number(j, "actual_water_l", r->actual_water_l);
    mdr_json_int(j, "water_steps", r->n_watering);
    mdr_json_int(j, "water_steps_run", r->n_water_run);
    mdr_json_number(j, "planned_steam_kg", r->planned_steam_kg);
    number_or_null(j, "actual_steam_kg", r->has_steam, r->actual_steam_kg);
    number_or_null(j, "planned_heat_mj", r->has_steam, r->planned_heat_mj);
    number_or_null(j, "actual_heat_mj", r->has_steam, r->actual_heat_mj);
    mdr_json_int(j, "heating_steps", r->n_heating);
    mdr_json_int(j, "heating_steps_recorded", r->n_heat_recorded);
    mdr_json_bool(j, "right_first", r->right_first);
    mdr_json_array(j, "not_first");
    for (unsigned k = 0; k < MDR_NOT_FIRST_COUNT; k++) {
        if ((r->not_first >> k & 1u) != 0) {
            mdr_json_flat_object(j, NULL);
            mdr_json_text(j, "id", mdr_not_first_id((mdr_not_first)k));
            mdr_json_text(j, "words", mdr_not_first_words((mdr_not_first)k));
            mdr_json_end_object(j);
        }
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

static void put_step(mdr_json *j, const mdr_report_step *line)
{
    const mdr_batch_step *s = line->step;
    mdr_json_flat_object(j, NULL);
    mdr_json_text(j, "step", s->asked->key);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->asked->kind));
    mdr_json_text(j, "words", mdr_step_kind_words(s->asked->kind));
    mdr_json_int(j, "remedy_number", s->remedy);
    mdr_json_text(j, "state", mdr_step_state_id(s->state));
    mdr_json_number(j, "planned_min", s->asked->minutes);
    number_or_null(j, "actual_min", line->timed, line->actual_min);
    mdr_json_int(j, "begun_utc_ms", s->begun_utc_ms);
    mdr_json_int(j, "ended_utc_ms", s->ended_utc_ms);
    mdr_json_number(j, "planned_temp_begun_c", s->asked->temp_start_c);
    mdr_json_number(j, "planned_temp_c", s->asked->temp_end_c);
    number_or_null(j, "temp_begun_c", line->has_temp_begun, line->temp_begun_c);
    number_or_null(j, "temp_ended_c", line->has_temp_ended, line->temp_ended_c);
    mdr_json_number(j, "planned_steam_kg", line->planned_steam_kg);
    number_or_null(j, "actual_steam_kg", line->heat_from != MDR_HEAT_FROM_NOTHING,
                   line->actual_steam_kg);
    mdr_json_text(j, "heat_from", mdr_heat_from_id(line->heat_from));
    mdr_json_end_object(j);
}

static void put_item(mdr_json *j, const mdr_report_item *line)
{
    const bool weighed = line->done->weighed_mg > 0;
    mdr_json_flat_object(j, NULL);
    mdr_json_text(j, "step", line->step->asked->key);
    mdr_json_int(j, "item", line->number);
    mdr_json_text(j, "material_id", line->asked->material_id);
    mdr_json_text(j, "name", line->asked->name);
    mdr_json_number(j, "planned_kg", (double)line->asked->mass_mg / MG_PER_KG);
    number_or_null(j, "weighed_kg", weighed, (double)line->done->weighed_mg / MG_PER_KG);
    number_or_null(j, "off_pct", weighed, line->off_pct);
    mdr_json_int(j, "weighings", line->weighings);
    mdr_json_text(j, "stock_lot", line->done->stock_lot);
    mdr_json_text(j, "weighed_by", line->done->weighed_by);
    mdr_json_text(j, "checked_by", line->done->checked_by);
    mdr_json_end_object(j);
}

static void put_reading(mdr_json *j, const mdr_report_reading *line)
{
    const mdr_control_check *c = line->check;
    mdr_json_flat_object(j, NULL);
    mdr_json_int(j, "seq", line->event->seq);
    mdr_json_text(j, "step", line->event->step);
    mdr_json_text(j, "check", mdr_check_id(c->kind));
    mdr_json_text(j, "words", mdr_check_words(c->kind));
    mdr_json_text(j, "unit", mdr_check_unit(c->kind));
    number_or_null(j, "low", c->has_low, c->low);
    number_or_null(j, "high", c->has_high, c->high);
    number_or_null(j, "expected", c->has_expected, c->expected);
    mdr_json_number(j, "value", line->value);
    mdr_json_bool(j, "corrected", line->corrected);
    mdr_json_bool(j, "inside", line->inside);
    mdr_wire_put_measured_look(j, "measured", line->event->measured);
    mdr_json_text(j, "decision",
                  line->decision != NULL ? mdr_decision_id(line->decision->decision) : NULL);
    mdr_json_text(j, "decided_by",
                  line->decision != NULL ? mdr_event_person(line->decision) : NULL);
    mdr_json_text(j, "why", line->decision != NULL ? line->decision->text : "");
    mdr_json_int(j, "happened_utc_ms", line->event->happened_utc_ms);
    mdr_json_text(j, "by", line->event->by);
    mdr_json_end_object(j);
}

static void put_signature(mdr_json *j, const mdr_event *e)
{
    mdr_json_flat_object(j, NULL);
    mdr_json_int(j, "seq", e->seq);
    mdr_json_text(j, "kind", mdr_event_id(e->kind));
    mdr_json_text(j, "words", mdr_event_words(e->kind));
    mdr_json_text(j, "step", e->step);
    mdr_json_text(j, "meaning", e->meaning);
    mdr_json_text(j, "person_id", e->signed_by);
    mdr_json_text(j, "name", e->signed_name);
    mdr_json_text(j, "roles", e->signed_as);
    mdr_json_int(j, "signed_utc_ms", e->signed_utc_ms);
    mdr_json_end_object(j);
}

mdr_code mdr_wire_report(const mdr_run_report *r, int64_t now_utc_ms, const char *head_hex,
                         mdr_arena *arena, char **text, size_t *len, mdr_err *err)
{
    enum { SIZE_HINT = 64 << 10 };
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_int(&j, "now_utc_ms", now_utc_ms);
    mdr_wire_put_batch_state(&j, r->batch, now_utc_ms, head_hex);
    put_summary(&j, r);
    mdr_json_array(&j, "steps");
    for (int i = 0; i < r->batch->n_steps; i++) {
        put_step(&j, &r->steps[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "weighings");
    for (int i = 0; i < r->n_items; i++) {
        put_item(&j, &r->items[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "readings");
    for (int i = 0; i < r->n_readings; i++) {
        put_reading(&j, &r->readings[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "signatures");
    for (int i = 0; i < r->n_events; i++) {
        if (r->events[i].signed_by[0] != '\0') {
            put_signature(&j, &r->events[i]);
        }
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "events");
    for (int i = 0; i < r->n_events; i++) {
        mdr_wire_put_event(&j, NULL, &r->events[i], NULL);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}
