#include "core/run/mdr_run_report.h"

#include <string.h>

#include "base/mdr_decimal.h"
#include "core/plan/mdr_pick.h"
#include "core/run/mdr_run_heat.h"

MDR_PICK(mdr_not_first_id, mdr_not_first, MDR_NOT_FIRSTS(MDR_PICK_ID))
MDR_PICK(mdr_not_first_words, mdr_not_first, MDR_NOT_FIRSTS(MDR_PICK_WORDS))

static const double MS_PER_MIN = 60000.0, MG_PER_KG = 1e6;

static bool is_step(const mdr_event *e, const mdr_batch_step *s)
{
    return strcmp(e->step, s->asked->key) == 0;
}

/* -- steps -- */

static const double TEMP_LEAST_C = 0.0;

/* Where the screens enter it, its text is the number; what is none leaves what was recorded. */
static double temp_of(const mdr_run_report *r, const mdr_event *recorded)
{
    double temp_c = recorded->temp_c;
    for (int i = 0; i < r->n_events; i++) {
        const mdr_event *e = &r->events[i];
        mdr_decimal typed;
        if (e->kind == MDR_EVENT_CORRECTED && e->of_seq == recorded->seq &&
            strcmp(e->field, "temp_c") == 0 &&
            mdr_decimal_read(e->is, strlen(e->is), &typed, NULL) == MDR_OK &&
            mdr_decimal_value(typed) >= TEMP_LEAST_C &&
            mdr_decimal_value(typed) <= MDR_TEMP_READ_MOST_C) {
            temp_c = mdr_decimal_value(typed);
        }
    }
    return temp_c;
}

static void step_line(const mdr_run_report *r, const mdr_batch_step *s, mdr_report_step *out)
{
    *out = (mdr_report_step){.step = s};
    out->timed = s->begun_utc_ms != 0 && s->ended_utc_ms != 0;
    if (out->timed) {
        out->actual_min = (double)(s->ended_utc_ms - s->begun_utc_ms) / MS_PER_MIN;
    }
    for (int i = 0; i < r->n_events; i++) {
        const mdr_event *e = &r->events[i];
        if (!e->has_temp || !is_step(e, s)) {
            continue;
        }
        if (e->kind == MDR_EVENT_STEP_BEGUN) {
            out->has_temp_begun = true;
            out->temp_begun_c = temp_of(r, e);
        } else {
            out->has_temp_ended = true;
            out->temp_ended_c = temp_of(r, e);
        }
    }
}

/* -- what was weighed -- */

static int weighings_of(const mdr_run_report *r, const mdr_batch_step *s, int item)
{
    int n = 0;
    for (int i = 0; i < r->n_events; i++) {
        const mdr_event *e = &r->events[i];
        n += e->kind == MDR_EVENT_WEIGHED && e->item == item && is_step(e, s) ? 1 : 0;
    }
    return n;
}

static void item_line(mdr_run_report *r, const mdr_batch_step *s, int i)
{
    const mdr_control_item *asked = &s->asked->items[i];
    const mdr_batch_item *done = &s->items[i];
    const double kg = (double)asked->mass_mg / MG_PER_KG;
    const double got_kg = (double)done->weighed_mg / MG_PER_KG;
    r->items[r->n_items++] =
        (mdr_report_item){.step = s,
                          .asked = asked,
                          .done = done,
                          .number = i + 1,
                          .off_pct = done->weighed_mg > 0 ? 100.0 * (got_kg - kg) / kg : 0.0,
                          .weighings = weighings_of(r, s, i + 1)};
    if (s->remedy == 0) {
        r->planned_kg += kg;
        r->planned_products_minor += kg * asked->price_minor_per_kg;
    }
    r->weighed_kg += got_kg;
    r->actual_products_minor += got_kg * asked->price_minor_per_kg;
    r->all_priced = r->all_priced && asked->price_minor_per_kg > 0.0;
}

/* -- readings -- */

static const mdr_event *decision_on(const mdr_run_report *r, int64_t seq)
{
    const mdr_event *found = NULL;
    for (int i = 0; i < r->n_events; i++) {
        if (r->events[i].kind == MDR_EVENT_DECISION && r->events[i].of_seq == seq) {
            found = &r->events[i];
        }
    }
    return found;
}

/* The value that was decided on: corrections count until then. */
static double value_of(const mdr_run_report *r, const mdr_event *reading, bool *corrected)
{
    double value = reading->value;
    for (int i = 0; i < r->n_events; i++) {
        const mdr_event *e = &r->events[i];
        if (e->of_seq != reading->seq) {
            continue;
        }
        if (e->kind == MDR_EVENT_DECISION) {
            break;
        }
        if (e->kind == MDR_EVENT_CORRECTED && strcmp(e->field, "value") == 0) {
            value = e->value;
            *corrected = true;
        }
    }
    return value;
}

static void reading_line(mdr_run_report *r, const mdr_event *e)
{
    const int at = mdr_batch_find(r->batch, e->step);
    if (at < 0) {
        return;
    }
    mdr_report_reading *line = &r->readings[r->n_readings++];
    *line = (mdr_report_reading){.event = e, .check = &r->batch->steps[at].asked->check};
    line->value = value_of(r, e, &line->corrected);
    line->inside = mdr_check_inside(line->check, line->value);
    line->decision = decision_on(r, e->seq);
}

/* -- sums -- */

static bool takes_water(mdr_step_kind kind)
{
    return kind == MDR_STEP_FILL || kind == MDR_STEP_RINSE;
}

/* The plan's water, less what was left out or is still to come, more what remedies let in. */
static void sum_water(mdr_run_report *r)
{
    r->planned_water_l = r->actual_water_l = r->batch->control->water_l;
    for (int i = 0; i < r->batch->n_steps; i++) {
        const mdr_batch_step *s = &r->batch->steps[i];
        const bool run = s->state == MDR_STEP_DONE || s->state == MDR_STEP_RUNS;
        if (takes_water(s->asked->kind) && s->remedy == 0) {
            r->n_watering++;
            r->n_water_run += run ? 1 : 0;
        }
        if (takes_water(s->asked->kind) && s->remedy == 0 && !run) {
            r->actual_water_l -= s->asked->volume_l;
        }
        if (s->remedy > 0 && run &&
            (takes_water(s->asked->kind) || s->asked->kind == MDR_STEP_DOSE)) {
            r->actual_water_l += s->asked->volume_l;
        }
    }
}

static void sum_time(mdr_run_report *r)
{
    const mdr_batch *b = r->batch;
    r->planned_min = b->control->total_min;
    r->interrupted_min = (double)b->paused_ms / MS_PER_MIN;
    int64_t last = 0; /* the end of the last step; the release may come days later */
    for (int i = 0; i < b->n_steps; i++) {
        last = b->steps[i].ended_utc_ms > last ? b->steps[i].ended_utc_ms : last;
    }
    if (b->begun_utc_ms != 0 && last > b->begun_utc_ms) {
        r->actual_min = (double)(last - b->begun_utc_ms) / MS_PER_MIN;
    }
}

static void judge(mdr_run_report *r)
{
    const mdr_batch *b = r->batch;
    r->right_first = mdr_batch_right_first(b);
    r->not_first = (b->n_remedies > 0 ? 1u << MDR_NOT_FIRST_REMEDY : 0u) |
                   (b->n_accepted > 0 ? 1u << MDR_NOT_FIRST_ACCEPTED : 0u) |
                   (b->state == MDR_BATCH_REJECTED ? 1u << MDR_NOT_FIRST_REJECTED : 0u) |
                   (b->state == MDR_BATCH_STOPPED ? 1u << MDR_NOT_FIRST_STOPPED : 0u);
    const bool over = b->state == MDR_BATCH_COMPLETE || b->state == MDR_BATCH_RELEASED ||
                      b->state == MDR_BATCH_REJECTED || b->state == MDR_BATCH_STOPPED;
    r->not_first |= over ? 0u : 1u << MDR_NOT_FIRST_OPEN;
}

static mdr_code make_room(mdr_run_report *r, mdr_arena *arena, mdr_err *err)
{
    size_t items = 1, readings = 1;
    for (int i = 0; i < r->batch->n_steps; i++) {
        items += (size_t)r->batch->steps[i].asked->n_items;
    }
    for (int i = 0; i < r->n_events; i++) {
        readings += r->events[i].kind == MDR_EVENT_READING ? 1 : 0;
    }
    r->steps = MDR_NEW_N(arena, mdr_report_step, (size_t)r->batch->n_steps + 1);
    r->items = MDR_NEW_N(arena, mdr_report_item, items);
    r->readings = MDR_NEW_N(arena, mdr_report_reading, readings);
    return r->steps != NULL && r->items != NULL && r->readings != NULL
               ? MDR_OK
               : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lot report");
}

mdr_code mdr_run_report_make(const mdr_batch *batch, const mdr_event *events, int n_events,
                             mdr_arena *arena, const mdr_run_report **out, mdr_err *err)
{
    mdr_run_report *r = MDR_NEW(arena, mdr_run_report);
    if (r == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lot report");
    }
    *r = (mdr_run_report){
        .batch = batch, .events = events, .n_events = n_events, .all_priced = true};
    MDR_TRY(make_room(r, arena, err));
    for (int i = 0; i < batch->n_steps; i++) {
        const mdr_batch_step *s = &batch->steps[i];
        step_line(r, s, &r->steps[i]);
        for (int k = 0; k < s->asked->n_items; k++) {
            item_line(r, s, k);
        }
    }
    for (int i = 0; i < n_events; i++) {
        if (events[i].kind == MDR_EVENT_READING) {
            reading_line(r, &events[i]);
        }
    }
    sum_water(r);
    mdr_run_report_heat(r);
    sum_time(r);
    judge(r);
    *out = r;
    return MDR_OK;
}
