/* A plan frozen into a batch, and entries taken into its record. */
#include "app/mdr_app_run.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "app/mdr_app_shade.h"
#include "app/mdr_app_weigh.h"
#include "wire/mdr_run_doc.h"
#include "wire/mdr_wire.h"

enum {
    DELAY_MOST_MS = 7 * 24 * 3600 * 1000, /* an entry waits on its device no longer: invented */
    HASH_TEXT = MDR_SHA256_TEXT
};

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the record");
}

static mdr_code conflict(mdr_err *err, const char *place, const char *msg, const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* -- one transaction -- */

typedef struct change {
    mdr_app *app;
    bool fresh; /* the masters in memory were those of the file when it began */
} change;

static mdr_code change_begin(mdr_app *app, change *c, mdr_err *err)
{
    int64_t state = 0;
    MDR_TRY(mdr_mill_begin(app->mill, err));
    const mdr_code rc = mdr_mill_state(app->mill, &state, err);
    if (rc != MDR_OK) {
        mdr_mill_rollback(app->mill);
        return rc;
    }
    *c = (change){app, app->loaded && state == app->state};
    return MDR_OK;
}

/* What is appended touches no master: those in memory stay good. */
static mdr_code change_end(const change *c, mdr_code rc, mdr_err *err)
{
    mdr_app *app = c->app;
    if (rc != MDR_OK) {
        mdr_mill_rollback(app->mill);
        mdr_app_runs_forget(app); /* it may hold what was undone */
        return rc;
    }
    MDR_TRY(mdr_mill_commit(app->mill, err));
    return c->fresh ? mdr_mill_state(app->mill, &app->state, err) : MDR_OK;
}

static mdr_code append(mdr_app *app, const mdr_event *e, mdr_arena *arena, mdr_event_row *row,
                       mdr_err *err)
{
    char *body = NULL;
    size_t len = 0;
    MDR_TRY(mdr_wire_event_write(e, arena, &body, &len, err));
    *row = (mdr_event_row){.batch_id = e->batch_id,
                           .kind = mdr_event_id(e->kind),
                           .at_utc_ms = e->at_utc_ms,
                           .device_utc_ms = e->device_utc_ms,
                           .happened_utc_ms = e->happened_utc_ms,
                           .by = e->by,
                           .entry_id = e->entry_id,
                           .body = body};
    return mdr_record_append(app->mill, row, err);
}

/* -- a new batch -- */

static mdr_code no_open_batch(mdr_app *app, const char *lot_id, mdr_err *err)
{
    MDR_TRY(mdr_app_runs_refresh(app, err));
    for (int i = 0; i < app->runs->n; i++) {
        const mdr_app_run *run = app->runs->items[i];
        if (run->row.lot_id != NULL && strcmp(run->row.lot_id, lot_id) == 0) {
            const mdr_code rc = conflict(err, "lot_id", "the lot has a batch that is not over",
                                         "go on with it, or stop it with a reason");
            mdr_err_value(err, "%s", run->batch.batch_id);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code right_revision(const mdr_what_if *w, int revision, mdr_err *err)
{
    if (w->revision == revision) {
        return MDR_OK;
    }
    const mdr_code rc =
        w->revision == 0
            ? MDR_FAIL(err, MDR_E_ARG, "revision", "the revision of the lot is missing")
            : conflict(err, "revision", "somebody else changed the lot in the meantime",
                       "look at the plan again, then run it");
    mdr_err_value(err, "%d", w->revision);
    mdr_err_allowed(err, "%d", revision);
    return rc;
}

static mdr_code nothing_but_revision(const mdr_what_if *w, mdr_err *err)
{
    if (w->machine_id == NULL && w->route_id == NULL && w->route == NULL && !w->has_load &&
        !w->has_ratio && !w->has_speed && !w->has_tubes && w->n_readings == 0) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "revision", "a batch is made of the lot as stored");
    mdr_err_remedy(err, "save the changes of the lot first, then run it");
    return rc;
}

typedef struct making {
    const mdr_app_run_ask *ask;
    const mdr_control *control;
    char *recipe;
    size_t recipe_len;
    const char *batch_id;
} making;

/* What is frozen must be readable for good: better to find out now. */
static mdr_code write_control(making *m, mdr_arena *arena, mdr_err *err)
{
    const mdr_control *back = NULL;
    MDR_TRY(mdr_wire_control_write(m->control, arena, &m->recipe, &m->recipe_len, err));
    return mdr_wire_control_read(m->recipe, m->recipe_len, arena, &back, err);
}

static mdr_code make_control(mdr_app *app, making *m, mdr_arena *arena, mdr_err_list *found,
                             mdr_err *err)
{
    mdr_what_if w;
    mdr_app_desk desk;
    const mdr_plan *plan = NULL;
    MDR_TRY(mdr_wire_what_if_read(m->ask->body.bytes, m->ask->body.len, arena, found, &w, err));
    MDR_TRY(nothing_but_revision(&w, err));
    MDR_TRY(mdr_app_desk_set(app, m->ask->id, (mdr_blob){0}, arena, found, &desk, err));
    MDR_TRY(right_revision(&w, desk.full.revision, err));
    MDR_TRY(mdr_plan_make(&desk.in, arena, &plan, err));
    MDR_TRY(mdr_control_make(plan, desk.full.revision, arena, &m->control, err));
    return write_control(m, arena, err);
}

static mdr_code store_batch(mdr_app *app, making *m, mdr_arena *arena, mdr_err *err)
{
    int number = 0;
    mdr_event_row stored;
    MDR_TRY(mdr_app_chain_may_write(app, "", err));
    MDR_TRY(no_open_batch(app, m->ask->id, err));
    MDR_TRY(mdr_record_batches_of_lot(app->mill, m->ask->id, &number, err));
    mdr_batch_row row = {.batch_id = mdr_arena_printf(arena, "%s.%d", m->ask->id, number + 1),
                         .lot_id = m->ask->id,
                         .number = number + 1,
                         .machine_id = m->control->machine_id,
                         .made_utc_ms = m->ask->now_utc_ms,
                         .recipe = m->recipe,
                         .recipe_len = m->recipe_len};
    if (row.batch_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_record_batch_add(app->mill, &row, err));
    mdr_event e = mdr_event_none(MDR_EVENT_MADE);
    e.batch_id = row.batch_id;
    e.at_utc_ms = e.happened_utc_ms = m->ask->now_utc_ms;
    e.by = m->ask->who->person_id;
    e.entry_id = row.batch_id; /* made once */
    e.recipe_sha256 = row.recipe_sha256;
    m->batch_id = row.batch_id;
    return append(app, &e, arena, &stored, err);
}

mdr_code mdr_app_batch_make(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    change c;
    making m = {.ask = ask};
    MDR_TRY(make_control(app, &m, arena, found, err));
    MDR_TRY(change_begin(app, &c, err));
    MDR_TRY(change_end(&c, store_batch(app, &m, arena, err), err));
    mdr_app_run_ask made = *ask;
    made.id = m.batch_id;
    made.after_seq = 0;
    return mdr_app_batch_json(app, &made, arena, out, err);
}

/* -- an entry -- */

static mdr_code check_entry_id(const char *id, mdr_err *err)
{
    static const char MAY[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-";
    enum { LEAST = 8, MOST = 64 };
    const size_t n = strlen(id);
    if (n >= LEAST && n <= MOST && strspn(id, MAY) == n) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, n == 0 ? MDR_E_ARG : MDR_E_RANGE, "entry_id",
                                 "the entry has no number of its own");
    mdr_err_value(err, "%s", id);
    mdr_err_allowed(err, "8 to 64 of A-Z a-z 0-9 _ -");
    mdr_err_remedy(err, "make one that no other entry has, and keep it when sending again");
    return rc;
}

/* When it happened by our clock: see mdr_event.h. */
static int64_t happened(const mdr_entry *in, int64_t now_utc_ms)
{
    const int64_t waited = in->sent_utc_ms - in->event.device_utc_ms;
    const bool told = in->event.device_utc_ms > 0 && in->sent_utc_ms > 0;
    return told && waited >= 0 && waited <= DELAY_MOST_MS ? now_utc_ms - waited : now_utc_ms;
}

static mdr_code machine_is_free(mdr_app *app, const mdr_batch *b, mdr_err *err)
{
    for (int i = 0; i < app->runs->n; i++) {
        const mdr_app_run *run = app->runs->items[i];
        const mdr_batch *other = &run->batch;
        if (run->broken.code == MDR_OK && other != b && other->state != MDR_BATCH_IDLE &&
            other->state != MDR_BATCH_COMPLETE &&
            strcmp(other->control->machine_id, b->control->machine_id) == 0) {
            const mdr_code rc = conflict(err, "machine_id", "another batch is on the machine",
                                         "end that one first, or stop it with a reason");
            mdr_err_value(err, "%s", other->batch_id);
            return rc;
        }
    }
    return MDR_OK;
}

/* A reading inside its limits passes by itself. */
static mdr_code pass_by_itself(mdr_app *app, const mdr_event *reading, mdr_arena *arena,
                               mdr_err *err)
{
    const mdr_app_run *run = mdr_app_run_of(app, reading->batch_id);
    const int at = run != NULL ? mdr_batch_find(&run->batch, reading->step) : -1;
    if (at < 0 || !run->batch.steps[at].in_limits || run->batch.steps[at].decided) {
        return MDR_OK;
    }
    mdr_event_row row;
    mdr_event e = mdr_event_none(MDR_EVENT_DECISION);
    e.batch_id = reading->batch_id;
    e.at_utc_ms = reading->at_utc_ms;
    e.happened_utc_ms = reading->happened_utc_ms;
    e.by = reading->by;
    e.entry_id = mdr_arena_printf(arena, "%s-pass", reading->entry_id);
    e.step = reading->step;
    e.of_seq = run->batch.steps[at].reading_seq;
    e.decision = MDR_DECISION_PASS;
    if (e.entry_id == NULL) {
        return no_memory(err);
    }
    return append(app, &e, arena, &row, err);
}

/* The step that a correction of a reading belongs to, for pass_by_itself. */
static mdr_code settle_reading(mdr_app *app, const mdr_event *e, mdr_arena *arena, mdr_err *err)
{
    MDR_TRY(mdr_app_runs_refresh(app, err));
    if (e->kind == MDR_EVENT_READING) {
        return pass_by_itself(app, e, arena, err);
    }
    const mdr_app_run *run = mdr_app_run_of(app, e->batch_id);
    for (int i = 0; e->kind == MDR_EVENT_CORRECTED && run != NULL && i < run->batch.n_steps; i++) {
        if (run->batch.steps[i].reading_seq == e->of_seq) {
            mdr_event reading = *e;
            reading.step = run->batch.steps[i].asked->key;
            return pass_by_itself(app, &reading, arena, err);
        }
    }
    return MDR_OK;
}

/* What the list of lots says follows the batch. */
static mdr_code set_lot_stage(mdr_app *app, const char *batch_id, const char *lot_id,
                              mdr_event_kind kind, mdr_err *err)
{
    const mdr_app_run *run = mdr_app_run_of(app, batch_id);
    if (kind == MDR_EVENT_BEGUN) {
        return mdr_mill_lot_stage(app->mill, lot_id, MDR_LOT_DYEING, err);
    }
    if (kind == MDR_EVENT_RELEASED) {
        return mdr_mill_lot_stage(app->mill, lot_id, MDR_LOT_DONE, err);
    }
    if (kind == MDR_EVENT_STOPPED || kind == MDR_EVENT_REJECTED) {
        return mdr_mill_lot_stage(app->mill, lot_id, MDR_LOT_PLANNED, err);
    }
    return run != NULL && run->batch.state == MDR_BATCH_COMPLETE
               ? mdr_mill_lot_stage(app->mill, lot_id, MDR_LOT_FINISHING, err)
               : MDR_OK;
}

/* What was weighed is booked, and what asks for another person was checked. */
static mdr_code check_weighing(mdr_app *app, const mdr_batch *b, const mdr_event *e,
                               mdr_arena *arena, mdr_err *err)
{
    return e->kind == MDR_EVENT_WEIGHED      ? mdr_app_weigh_take(app, b, e, arena, err)
           : e->kind == MDR_EVENT_CORRECTED  ? mdr_app_weigh_correct(app, b, e, arena, err)
           : e->kind == MDR_EVENT_STEP_BEGUN ? mdr_app_weigh_checked(app, b, e, arena, err)
                                             : MDR_OK;
}

/* Remedies get their steps here, and samples their difference. */
static mdr_code complete_entry(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                               mdr_err_list *found, mdr_err *err)
{
    if (in->event.kind == MDR_EVENT_REMEDY) {
        MDR_TRY(mdr_app_run_remedy(app, b, in, arena, err));
    }
    return in->has_sample ? mdr_app_shade_measure(app, b, in, arena, found, err) : MDR_OK;
}

/* Whether the entry may happen now, to a batch that is not over. */
static mdr_code check_entry(mdr_app *app, mdr_entry *in, mdr_arena *arena, mdr_err_list *found,
                            const mdr_batch **out, mdr_err *err)
{
    mdr_event *e = &in->event;
    MDR_TRY(mdr_app_chain_may_write(app, e->batch_id, err));
    MDR_TRY(mdr_app_run_find(app, e->batch_id, arena, out, err));
    MDR_TRY(complete_entry(app, *out, in, arena, found, err));
    e->seq = app->runs->seq + 1;
    MDR_TRY(mdr_batch_may(*out, e, err));
    MDR_TRY(mdr_app_run_signed(app, in, arena, err));
    if (e->kind == MDR_EVENT_BEGUN) {
        return machine_is_free(app, *out, err);
    }
    return check_weighing(app, *out, e, arena, err);
}

static mdr_code enter(mdr_app *app, mdr_entry *in, mdr_arena *arena, mdr_err_list *found,
                      mdr_event_row *row, bool *again, mdr_err *err)
{
    const mdr_event *e = &in->event;
    const mdr_batch *b = NULL;
    MDR_TRY(mdr_record_entry(app->mill, e->entry_id, arena, row, again, err));
    if (*again) {
        return mdr_app_run_same(row, in, arena, err);
    }
    MDR_TRY(check_entry(app, in, arena, found, &b, err));
    const char *lot_id = mdr_arena_text(arena, b->control->lot_id);
    if (lot_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(append(app, e, arena, row, err));
    MDR_TRY(settle_reading(app, e, arena, err));
    return set_lot_stage(app, e->batch_id, lot_id, e->kind, err);
}

static mdr_code not_for_people(mdr_event_kind kind, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "kind", "only the program writes this");
    mdr_err_value(err, "%s", mdr_event_id(kind));
    mdr_err_remedy(err, "freeze the plan of a lot to make a batch");
    return rc;
}

static mdr_code answer(mdr_app *app, const mdr_app_run_ask *ask, const mdr_event_row *row,
                       bool again, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 64 << 10 };
    char hash[HASH_TEXT], head[HASH_TEXT];
    const mdr_batch *b = NULL;
    mdr_event e;
    MDR_TRY(mdr_app_run_event(row, arena, &e, err));
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &b, err));
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_hex(row->hash, MDR_SHA256_BYTES, hash);
    mdr_hex(app->runs->head, MDR_SHA256_BYTES, head);
    mdr_json_object(&j, NULL);
    mdr_json_bool(&j, "again", again);
    mdr_wire_put_event(&j, "event", &e, hash);
    mdr_json_object(&j, "state");
    mdr_wire_put_batch(&j, b, ask->now_utc_ms, head);
    MDR_TRY(mdr_app_weigh_put_waits(app, b, &j, arena, err));
    mdr_json_end_object(&j);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}

mdr_code mdr_app_batch_enter(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    change c;
    mdr_entry in;
    mdr_event_row row;
    bool again = false;
    MDR_TRY(mdr_wire_entry_read(ask->body.bytes, ask->body.len, arena, found, &in, err));
    MDR_TRY(check_entry_id(in.event.entry_id, err));
    if (in.event.kind == MDR_EVENT_MADE) {
        return not_for_people(in.event.kind, err);
    }
    MDR_TRY(mdr_app_run_sign(app, ask, &in, arena, err));
    in.event.batch_id = ask->id;
    in.event.by = ask->who->person_id;
    in.event.at_utc_ms = ask->now_utc_ms;
    in.event.happened_utc_ms = happened(&in, ask->now_utc_ms);
    MDR_TRY(change_begin(app, &c, err));
    const mdr_code rc = enter(app, &in, arena, found, &row, &again, err);
    c.fresh = c.fresh && in.event.mass_mg == 0; /* else the stock is another one */
    MDR_TRY(change_end(&c, rc, err));
    return answer(app, ask, &row, again, arena, out, err);
}

mdr_code mdr_app_together_begin(mdr_app *app, mdr_err *err)
{
    return mdr_mill_begin(app->mill, err);
}

mdr_code mdr_app_together_end(mdr_app *app, mdr_err *err)
{
    const mdr_code rc = mdr_mill_commit(app->mill, err);
    if (rc != MDR_OK) { /* what is in memory may hold what was undone */
        mdr_app_runs_forget(app);
        app->loaded = false;
    }
    return rc;
}

mdr_code mdr_app_verify(mdr_app *app, mdr_chain_report *out, mdr_err *err)
{
    return mdr_record_verify(app->mill, NULL, 0, out, err);
}
