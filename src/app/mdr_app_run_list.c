/* How batches stand: one of them, its events, and the hall. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "app/mdr_app_weigh.h"
#include "wire/mdr_run_doc.h"

enum { MS_PER_MIN = 60000 };

static mdr_code done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}

/* -- one batch -- */

mdr_code mdr_app_batch_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 64 << 10 };
    const mdr_batch *b = NULL;
    char head[MDR_SHA256_TEXT];
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &b, err));
    const bool known = ask->after_seq > 0 && ask->after_seq == b->last_seq;
    mdr_json j = mdr_json_make(arena, known ? 256 : SIZE_HINT, false);
    mdr_hex(app->runs->head, MDR_SHA256_BYTES, head);
    mdr_json_object(&j, NULL);
    if (known) {
        mdr_json_bool(&j, "unchanged", true);
        mdr_json_int(&j, "now_utc_ms", ask->now_utc_ms);
        mdr_json_int(&j, "last_seq", b->last_seq);
        mdr_json_int(&j, "forecast_end_utc_ms", mdr_batch_forecast_end_ms(b, ask->now_utc_ms));
    } else {
        mdr_wire_put_batch(&j, b, ask->now_utc_ms, head);
        MDR_TRY(mdr_app_weigh_put_waits(app, b, &j, arena, err));
    }
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

typedef struct listing {
    mdr_json *j;
    mdr_arena *arena;
} listing;

static mdr_code list_event(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const listing *l = ctx;
    char hash[MDR_SHA256_TEXT];
    mdr_event e;
    MDR_TRY(mdr_app_run_event(row, l->arena, &e, err));
    mdr_hex(row->hash, MDR_SHA256_BYTES, hash);
    mdr_wire_put_event(l->j, NULL, &e, hash);
    return MDR_OK;
}

mdr_code mdr_app_batch_events_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                                   mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 32 << 10 };
    const mdr_batch *b = NULL;
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &b, err));
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    listing l = {&j, arena};
    mdr_json_object(&j, NULL);
    mdr_json_int(&j, "now_utc_ms", ask->now_utc_ms);
    mdr_json_array(&j, "events");
    const mdr_event_query of = {.batch_id = ask->id, .after_seq = ask->after_seq};
    MDR_TRY(mdr_record_events(app->mill, &of, list_event, &l, err));
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- the hall -- */

typedef struct row {
    const mdr_app_run *run;
    int64_t forecast_utc_ms, planned_utc_ms;
    double late_min; /* of the forecast behind the plan; 0: not begun */
    int urgency;     /* less is first */
} row;

static const mdr_batch_step *step_now(const mdr_batch *b)
{
    return b->now < b->n_steps ? &b->steps[b->now] : NULL;
}

/* What somebody has to do before it goes on, or NULL. */
static const char *waits_for(const mdr_batch *b, mdr_arena *arena)
{
    const mdr_batch_step *s = step_now(b);
    switch (b->state) {
    case MDR_BATCH_IDLE:
        return "Begin on the machine";
    case MDR_BATCH_HELD:
        return s == NULL ? "A decision"
                         : mdr_arena_printf(arena, "%s: a decision",
                                            mdr_check_words(s->asked->check.kind));
    case MDR_BATCH_PAUSED:
        return mdr_interrupt_words(b->interrupt);
    case MDR_BATCH_COMPLETE:
        return "Release";
    case MDR_BATCH_RUNNING:
        break;
    case MDR_BATCH_RELEASED:
    case MDR_BATCH_STOPPED:
    case MDR_BATCH_REJECTED:
        return NULL;
    }
    if (s == NULL || s->state == MDR_STEP_RUNS) {
        return s != NULL && s->asked->kind == MDR_STEP_CHECK
                   ? mdr_arena_printf(arena, "%s: a reading", mdr_check_words(s->asked->check.kind))
                   : NULL;
    }
    return !mdr_batch_weighed(s) ? "Weighing" : "To be begun";
}

/* The fabric has left the machine: what is still to do is done elsewhere. */
static bool is_unloaded(const mdr_batch *b)
{
    const mdr_batch_step *s = step_now(b);
    return b->state == MDR_BATCH_COMPLETE ||
           (s != NULL && strcmp(b->control->baths[s->asked->bath - 1].stage, "finishing") == 0);
}

static int urgency_of(const mdr_batch *b, double late_min)
{
    static const double LATE_MIN = 10.0; /* invented: a late lot is one that somebody should see */
    if (b->state == MDR_BATCH_HELD) {
        return 0;
    }
    if (b->state == MDR_BATCH_PAUSED) {
        return 1;
    }
    if (late_min > LATE_MIN) {
        return 2;
    }
    return b->state == MDR_BATCH_RUNNING ? 3 : b->state == MDR_BATCH_COMPLETE ? 4 : 5;
}

static row row_of(const mdr_app_run *run, int64_t now_utc_ms)
{
    const mdr_batch *b = &run->batch;
    row r = {.run = run};
    if (run->broken.code != MDR_OK) {
        return r;
    }
    r.forecast_utc_ms = mdr_batch_forecast_end_ms(b, now_utc_ms);
    if (b->begun_utc_ms != 0) {
        r.planned_utc_ms = b->begun_utc_ms + (int64_t)(b->control->total_min * MS_PER_MIN);
        if (b->state != MDR_BATCH_COMPLETE) {
            r.late_min = (double)(r.forecast_utc_ms - r.planned_utc_ms) / MS_PER_MIN;
        }
    }
    r.urgency = urgency_of(b, r.late_min);
    return r;
}

static int by_urgency(const void *a, const void *b)
{
    const row *x = a, *y = b;
    if (x->urgency != y->urgency) {
        return x->urgency < y->urgency ? -1 : 1;
    }
    return x->late_min > y->late_min   ? -1
           : x->late_min < y->late_min ? 1
                                       : strcmp(x->run->batch.batch_id, y->run->batch.batch_id);
}

static void put_broken(mdr_json *j, const mdr_app_run *run)
{
    mdr_json_text(j, "lot_id", run->row.lot_id != NULL ? run->row.lot_id : "");
    mdr_json_text(j, "machine_id", run->row.machine_id != NULL ? run->row.machine_id : "");
    mdr_json_text(j, "state", "broken");
    mdr_json_text(j, "state_words", "Its record cannot be read");
    mdr_json_text(j, "waits_for", run->broken.msg);
}

static void put_row(mdr_json *j, const row *r, mdr_arena *arena)
{
    const mdr_batch *b = &r->run->batch;
    const mdr_control *c = b->control;
    const mdr_batch_step *s = step_now(b);
    mdr_json_text(j, "lot_id", c->lot_id);
    mdr_json_text(j, "order_id", c->order_id);
    mdr_json_text(j, "shade_id", c->shade_id);
    mdr_json_text(j, "swatch", c->swatch);
    mdr_json_text(j, "article_id", c->article_id);
    mdr_json_text(j, "machine_id", c->machine_id);
    mdr_json_number(j, "load_kg", c->load_kg);
    mdr_json_text(j, "state", mdr_batch_state_id(b->state));
    mdr_json_text(j, "state_words", mdr_batch_state_words(b->state));
    mdr_json_text(j, "waits_for", waits_for(b, arena));
    mdr_json_text(j, "operator", b->operator_id);
    mdr_json_int(j, "begun_utc_ms", b->begun_utc_ms);
    mdr_json_int(j, "forecast_end_utc_ms", r->forecast_utc_ms);
    mdr_json_int(j, "planned_end_utc_ms", r->planned_utc_ms);
    mdr_json_number(j, "late_min", r->late_min);
    mdr_json_int(j, "steps_done", b->now);
    mdr_json_int(j, "steps", b->n_steps);
    mdr_json_int(j, "last_seq", b->last_seq);
    mdr_json_bool(j, "unloaded", is_unloaded(b));
    if (s == NULL) {
        mdr_json_null(j, "step");
        return;
    }
    mdr_json_object(j, "step");
    mdr_json_text(j, "key", s->asked->key);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->asked->kind));
    mdr_json_text(j, "words", mdr_step_kind_words(s->asked->kind));
    mdr_json_text(j, "bath", c->baths[s->asked->bath - 1].name);
    mdr_json_text(j, "state", mdr_step_state_id(s->state));
    mdr_json_int(j, "begun_utc_ms", s->begun_utc_ms);
    mdr_json_number(j, "minutes", s->asked->minutes);
    mdr_json_end_object(j);
}

static void put_rows(mdr_json *j, const row *rows, int n, mdr_arena *arena)
{
    mdr_json_array(j, "batches");
    for (int i = 0; i < n; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "batch_id", rows[i].run->batch.batch_id);
        if (rows[i].run->broken.code != MDR_OK) {
            put_broken(j, rows[i].run);
        } else {
            put_row(j, &rows[i], arena);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

/* The batch on the machine: begun, and not yet unloaded. */
static const char *batch_on(const row *rows, int n, const char *machine_id)
{
    for (int i = 0; i < n; i++) {
        const mdr_app_run *run = rows[i].run;
        if (run->broken.code == MDR_OK && run->batch.state != MDR_BATCH_IDLE &&
            !is_unloaded(&run->batch) && strcmp(run->batch.control->machine_id, machine_id) == 0) {
            return run->batch.batch_id;
        }
    }
    return NULL;
}

/* The lot that is due first of those that may be dyed next on each machine. */
static mdr_code read_next_lots(mdr_app *app, mdr_err *err)
{
    const mdr_lots_ask open = {.most = 0};
    const mdr_masters *m = &app->masters;
    mdr_lots_page page;
    const char **next = MDR_NEW_N(app->cache, const char *, (size_t)m->n_machines + 1);
    if (next == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lots that come next");
    }
    MDR_TRY(mdr_mill_lots_some(app->mill, m, &open, app->cache, &page, err));
    for (int i = 0; i < m->n_machines; i++) {
        next[i] = NULL;
        for (int k = 0; k < page.n && next[i] == NULL; k++) {
            const mdr_lot_full *full = &page.lines[k].full;
            const bool may = full->lot.stage == MDR_LOT_READY || full->lot.stage == MDR_LOT_PLANNED;
            if (may && strcmp(full->machine_id, m->machines[i].machine_id) == 0) {
                next[i] = full->lot.lot_id;
            }
        }
    }
    app->next_lots = next;
    return MDR_OK;
}

static void put_machines(mdr_json *j, const mdr_app *app, const row *rows, int n)
{
    const mdr_masters *m = &app->masters;
    mdr_json_array(j, "machines");
    for (int i = 0; i < m->n_machines; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "machine_id", m->machines[i].machine_id);
        mdr_json_text(j, "name", m->machines[i].name);
        mdr_json_text(j, "batch_id", batch_on(rows, n, m->machines[i].machine_id));
        mdr_json_text(j, "next_lot_id", app->next_lots[i]);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_app_hall_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                           mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 16 << 10 };
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_app_runs_refresh(app, err));
    if (app->next_lots == NULL) {
        MDR_TRY(read_next_lots(app, err));
    }
    const int n = app->runs->n;
    row *rows = MDR_NEW_N(arena, row, (size_t)n + 1);
    if (rows == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the batches");
    }
    for (int i = 0; i < n; i++) {
        rows[i] = row_of(app->runs->items[i], ask->now_utc_ms);
    }
    qsort(rows, (size_t)n, sizeof *rows, by_urgency);
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_int(&j, "now_utc_ms", ask->now_utc_ms);
    mdr_json_int(&j, "last_seq", app->runs->seq);
    put_rows(&j, rows, n, arena);
    put_machines(&j, app, rows, n);
    const mdr_app_chain_seen seen = mdr_app_chain_look(app);
    mdr_app_chain_put(&j, "record", &seen);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* -- for a terminal -- */

static mdr_app_batch_line line_of(const mdr_app_run *run, mdr_arena *arena)
{
    const mdr_batch *b = &run->batch;
    const char *id = mdr_arena_text(arena, b->batch_id);
    if (run->broken.code != MDR_OK) {
        return (mdr_app_batch_line){id, "", "", "its record cannot be read", "", 0.0};
    }
    const mdr_batch_step *s = step_now(b);
    return (mdr_app_batch_line){.batch_id = id,
                                .lot_id = mdr_arena_text(arena, b->control->lot_id),
                                .machine_id = mdr_arena_text(arena, b->control->machine_id),
                                .state = mdr_batch_state_words(b->state),
                                .step = s == NULL
                                            ? ""
                                            : mdr_arena_printf(arena, "%s %s", s->asked->key,
                                                               mdr_step_kind_words(s->asked->kind)),
                                .done_pct = 100.0 * b->now / b->n_steps};
}

mdr_code mdr_app_batch_lines(mdr_app *app, mdr_arena *arena, mdr_app_batch_line **out, int *n_out,
                             mdr_err *err)
{
    MDR_TRY(mdr_app_runs_refresh(app, err));
    const int n = app->runs->n;
    mdr_app_batch_line *lines = MDR_NEW_N(arena, mdr_app_batch_line, (size_t)n + 1);
    bool whole = lines != NULL;
    for (int i = 0; i < n && whole; i++) {
        lines[i] = line_of(app->runs->items[i], arena);
        whole = lines[i].batch_id != NULL && lines[i].lot_id != NULL &&
                lines[i].machine_id != NULL && lines[i].step != NULL;
    }
    if (!whole) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the batches");
    }
    *out = lines;
    *n_out = n;
    return MDR_OK;
}
