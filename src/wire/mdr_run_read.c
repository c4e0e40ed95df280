/* Control recipes, bodies of events and entries, from JSON. */
#include <string.h>

#include "wire/mdr_run_shape.h"

typedef struct document {
    const char *text;
    size_t len, most;
    const mdr_shape *shape;
} document;

static mdr_code read(const document *d, mdr_arena *arena, mdr_err_list *found, void *out,
                     mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    json_t *doc = mdr_reader_parse(&r, d->text, d->len, d->most);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, d->shape, out);
        json_decref(doc);
    }
    return mdr_reader_done(&r, err);
}

static mdr_code bad(const char *place, const char *msg, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, place, "%s", msg);
    mdr_err_remedy(err, "go back to a backup copy of the mill");
    return rc;
}

/* The steps were made here, in the arena: they may still be written to. */
static mdr_code attach_states(const mdr_control_in *in, mdr_control_step *steps, mdr_arena *arena,
                              mdr_err *err)
{
    for (int i = 0; i < in->n_states; i++) {
        const mdr_control_state_in *from = &in->states[i];
        mdr_control_state *state = MDR_NEW(arena, mdr_control_state);
        if (state == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
        }
        *state = from->state;
        for (int k = 0; k < from->n_dissolved; k++) {
            state->dissolved_kg[k] = from->dissolved_kg[k];
        }
        for (int k = 0; k < in->c.n_steps; k++) {
            if (strcmp(steps[k].key, from->step) == 0) {
                steps[k].state = state;
            }
        }
    }
    return MDR_OK;
}

mdr_code mdr_wire_control_read(const char *text, size_t len, mdr_arena *arena,
                               const mdr_control **out, mdr_err *err)
{
    enum { PER_POINT = 3 };
    mdr_control_in *in = MDR_NEW(arena, mdr_control_in);
    if (in == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
    }
    const document d = {text, len, MDR_CONTROL_DOC_MAX, &mdr_control_shape};
    MDR_TRY(read(&d, arena, NULL, in, err));
    if (in->n_curve % PER_POINT != 0) {
        return bad("curve", "the curve does not hold whole points", err);
    }
    if (strlen(in->swatch) >= sizeof in->c.swatch) {
        return bad("swatch", "this is not a colour", err);
    }
    mdr_plan_point *points =
        MDR_NEW_N(arena, mdr_plan_point, (size_t)(in->n_curve / PER_POINT) + 1);
    if (points == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
    }
    for (int i = 0; i < in->n_curve / PER_POINT; i++) {
        const double *p = &in->curve[(size_t)PER_POINT * (size_t)i];
        points[i] = (mdr_plan_point){.t_min = p[0], .temp_c = p[1], .liquor_l = p[2]};
    }
    mdr_control_step *steps = MDR_NEW_N(arena, mdr_control_step, (size_t)in->c.n_steps + 1);
    if (steps == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
    }
    memcpy(steps, in->c.steps, (size_t)in->c.n_steps * sizeof *steps);
    MDR_TRY(attach_states(in, steps, arena, err));
    in->c.steps = steps;
    memcpy(in->c.swatch, in->swatch, strlen(in->swatch) + 1);
    in->c.curve = points;
    in->c.n_points = in->n_curve / PER_POINT;
    *out = &in->c;
    return MDR_OK;
}

static mdr_entry entry_none(void)
{
    return (mdr_entry){.event = mdr_event_none(MDR_EVENT_COUNT),
                       .sample = mdr_no_entry_sample,
                       .measured = mdr_no_measured_in};
}

mdr_code mdr_wire_event_read(const char *text, size_t len, mdr_arena *arena, mdr_event *e,
                             mdr_err *err)
{
    mdr_entry in = entry_none();
    const document d = {text, len, MDR_EVENT_DOC_MAX, &mdr_entry_shape};
    MDR_TRY(read(&d, arena, NULL, &in, err));
    if (in.has_measured) {
        MDR_TRY(mdr_wire_measured_of(&in.measured, arena, &in.event.measured, err));
    }
    in.event.seq = e->seq;
    in.event.kind = e->kind;
    in.event.batch_id = e->batch_id;
    in.event.at_utc_ms = e->at_utc_ms;
    in.event.device_utc_ms = e->device_utc_ms;
    in.event.happened_utc_ms = e->happened_utc_ms;
    in.event.by = e->by;
    in.event.entry_id = e->entry_id;
    *e = in.event;
    return MDR_OK;
}

static mdr_code missing(const char *place, const char *msg, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, place, "%s", msg);
    mdr_err_remedy(err, "say it and send the entry again");
    return rc;
}

/* Long enough for any remark; a record is not a place for files. */
static const size_t TEXT_MOST = 2000;

static mdr_code check_texts(const mdr_event *e, mdr_err *err)
{
    const struct {
        const char *place, *text;
    } texts[] = {{"text", e->text},
                 {"is", e->is},
                 {"was", e->was},
                 {"field", e->field},
                 {"instrument", e->instrument},
                 {"stock_lot", e->stock_lot},
                 {"scale_id", e->scale_id}};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        if (strlen(texts[i].text) > TEXT_MOST) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, texts[i].place, "the text is too long");
            mdr_err_value(err, "%zu bytes", strlen(texts[i].text));
            mdr_err_allowed(err, "at most %zu bytes", TEXT_MOST);
            mdr_err_remedy(err, "make it shorter");
            return rc;
        }
    }
    if (e->device_utc_ms < 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "device_utc_ms", "no clock shows a time before 1970");
        mdr_err_value(err, "%lld", (long long)e->device_utc_ms);
        mdr_err_remedy(err, "set the clock of the device, or leave the time out");
        return rc;
    }
    return MDR_OK;
}

static mdr_code not_so(const char *place, const char *msg, const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* One sample, from one place, of a reading. */
static mdr_code check_sample(const mdr_entry *in, mdr_err *err)
{
    const mdr_entry_sample *s = &in->sample;
    const bool from_file = s->file.text != NULL;
    if (in->has_measured) {
        return not_so("measured", "what was measured by is the program's own",
                      "send the sample itself", err);
    }
    if (!in->has_sample) {
        return MDR_OK;
    }
    if (in->event.kind != MDR_EVENT_READING) {
        return not_so("sample", "only a reading is made on a sample", "leave it out", err);
    }
    if (in->has_value) {
        return not_so("value", "the difference of a measured sample is worked out here",
                      "send the sample, or the number, not both", err);
    }
    if (from_file == (s->sample_id[0] != '\0')) {
        return not_so("sample",
                      from_file ? "the sample comes from two places" : "which sample is not said",
                      "give the sample_id of one that the laboratory measured, or a file", err);
    }
    return strlen(s->substrate) > TEXT_MOST || strlen(s->sample) > TEXT_MOST
               ? not_so("sample", "the text is too long", "make it shorter", err)
               : MDR_OK;
}

/* What a kind cannot do without and the core could not tell from 0. */
static mdr_code check_given(const mdr_entry *in, mdr_err *err)
{
    const mdr_event *e = &in->event;
    if (e->kind == MDR_EVENT_COUNT) {
        return missing("kind", "what happened is not said", err);
    }
    if (e->kind == MDR_EVENT_READING && !in->has_value && !in->has_sample) {
        return missing("value", "the reading is missing", err);
    }
    if (e->kind == MDR_EVENT_DECISION && e->decision == MDR_DECISION_COUNT) {
        return missing("decision", "what was decided is not said", err);
    }
    if (e->kind == MDR_EVENT_INTERRUPTED && e->interrupt == MDR_INTERRUPT_COUNT) {
        return missing("interrupt", "why it is interrupted is not said", err);
    }
    if (e->kind == MDR_EVENT_CORRECTED && strcmp(e->field, "value") == 0 && !in->has_value) {
        return missing("value", "the corrected reading is missing", err);
    }
    return e->kind == MDR_EVENT_REMEDY && e->remedy_id[0] == '\0'
               ? missing("remedy_id", "which remedy is not said", err)
               : MDR_OK;
}

/* A corrected mass is one, as it will be booked. */
static mdr_code take_mass(mdr_event *e, mdr_err *err)
{
    enum { DIGITS_MOST = 13 };
    int64_t mg = 0;
    if (e->kind != MDR_EVENT_CORRECTED) {
        return MDR_OK;
    }
    e->mass_mg = 0;
    if (strcmp(e->field, "mass_mg") != 0) {
        return MDR_OK;
    }
    const size_t n = strlen(e->is);
    for (size_t i = 0; i < n && n <= DIGITS_MOST && e->is[i] >= '0' && e->is[i] <= '9'; i++) {
        mg = 10 * mg + (e->is[i] - '0');
    }
    if (n > DIGITS_MOST || strspn(e->is, "0123456789") != n || mg < 1) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "is", "this is not a mass in milligrams");
        mdr_err_value(err, "%.40s", e->is);
        mdr_err_allowed(err, "whole milligrams, 1 or more");
        mdr_err_remedy(err, "give the net mass as it was weighed");
        return rc;
    }
    e->mass_mg = mg;
    return MDR_OK;
}

/* What only a secret that fits may bring about. */
static mdr_code check_unsigned(const mdr_event *e, mdr_err *err)
{
    if (e->meaning[0] == '\0' && e->signed_by[0] == '\0' && e->signed_name[0] == '\0' &&
        e->signed_as[0] == '\0' && e->signed_utc_ms == 0) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "meaning", "what a signature says is written by the program");
    mdr_err_remedy(err, "send \"signature\" with the password or PIN of who signs");
    return rc;
}

mdr_code mdr_wire_entry_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             mdr_entry *out, mdr_err *err)
{
    mdr_entry in = entry_none();
    const document d = {text, len, MDR_EVENT_DOC_MAX, &mdr_entry_shape};
    MDR_TRY(read(&d, arena, found, &in, err));
    MDR_TRY(check_given(&in, err));
    MDR_TRY(check_sample(&in, err));
    MDR_TRY(check_texts(&in.event, err));
    if (in.event.n_steps > 0) {
        return missing("steps", "the steps of a remedy are the program's own", err);
    }
    MDR_TRY(check_unsigned(&in.event, err));
    MDR_TRY(take_mass(&in.event, err));
    *out = in;
    return MDR_OK;
}
