/* Batches that are not over: read once, then kept up to date event by event. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "wire/mdr_run_doc.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the batches that run");
}

static void run_free(mdr_app_run *run)
{
    if (run != NULL) {
        mdr_arena_free(run->arena);
        free(run);
    }
}

static void runs_clear(mdr_app_runs *runs)
{
    for (int i = 0; i < runs->n; i++) {
        /* NOLINTNEXTLINE(clang-analyzer-unix.Malloc) the checker cannot see that it is set here */
        run_free(runs->items[i]);
    }
    *runs = (mdr_app_runs){0};
}

void mdr_app_runs_forget(mdr_app *app)
{
    if (app->runs != NULL) {
        runs_clear(app->runs);
        free(app->runs);
        app->runs = NULL;
    }
}

mdr_code mdr_app_run_event(const mdr_event_row *row, mdr_arena *arena, mdr_event *out, mdr_err *err)
{
    const int kind = mdr_event_of(row->kind);
    if (kind < 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_VERSION, "kind",
                                     "an event of a kind that this program does not know");
        mdr_err_value(err, "%s", row->kind);
        mdr_err_remedy(err, "update this program");
        return rc;
    }
    mdr_event e = {.seq = row->seq,
                   .kind = (mdr_event_kind)kind,
                   .batch_id = mdr_arena_text(arena, row->batch_id),
                   .at_utc_ms = row->at_utc_ms,
                   .device_utc_ms = row->device_utc_ms,
                   .happened_utc_ms = row->happened_utc_ms,
                   .by = mdr_arena_text(arena, row->by),
                   .entry_id = mdr_arena_text(arena, row->entry_id)};
    if (e.batch_id == NULL || e.by == NULL || e.entry_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_wire_event_read(row->body, strlen(row->body), arena, &e, err));
    *out = e;
    return MDR_OK;
}

/* -- folding -- */

static mdr_code fold(mdr_batch *batch, mdr_arena *arena, const mdr_event_row *row, mdr_err *err)
{
    mdr_event e;
    MDR_TRY(mdr_app_run_event(row, arena, &e, err));
    return mdr_batch_apply(batch, &e, arena, err);
}

typedef struct folding {
    mdr_batch *batch;
    mdr_arena *arena;
} folding;

static mdr_code fold_one(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const folding *f = ctx;
    const mdr_code rc = fold(f->batch, f->arena, row, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "event %lld", (long long)row->seq);
    }
    return rc;
}

/* A batch with its recipe and no event yet. */
static mdr_code open_batch(mdr_app *app, const char *batch_id, mdr_arena *arena, mdr_batch *out,
                           mdr_batch_row *row, mdr_err *err)
{
    const mdr_control *control = NULL;
    MDR_TRY(mdr_record_batch(app->mill, batch_id, arena, row, err));
    MDR_TRY(mdr_wire_control_read(row->recipe, row->recipe_len, arena, &control, err));
    return mdr_batch_open(row->batch_id, control, arena, out, err);
}

static mdr_code fold_batch(mdr_app *app, const char *batch_id, mdr_arena *arena, mdr_batch *out,
                           mdr_batch_row *row, mdr_err *err)
{
    MDR_TRY(open_batch(app, batch_id, arena, out, row, err));
    folding f = {out, arena};
    const mdr_event_query of = {.batch_id = batch_id};
    return mdr_record_events(app->mill, &of, fold_one, &f, err);
}

/* A record that cannot be read is kept with the reason: the others go on. */
static mdr_code add_run(mdr_app *app, const char *batch_id, bool with_events, mdr_err *err)
{
    mdr_app_runs *runs = app->runs;
    if (runs->n == MDR_APP_RUNS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "batch", "too many batches are not over");
        mdr_err_allowed(err, "at most %d", (int)MDR_APP_RUNS_MAX);
        mdr_err_remedy(err, "release, reject or stop those that are done");
        return rc;
    }
    mdr_app_run *run = calloc(1, sizeof *run);
    mdr_arena *arena = mdr_arena_new(MDR_APP_RUN_BYTES);
    const char *id = arena != NULL ? mdr_arena_text(arena, batch_id) : NULL;
    if (run == NULL || id == NULL) {
        free(run);
        mdr_arena_free(arena);
        return no_memory(err);
    }
    run->arena = arena;
    run->batch.batch_id = id;
    const mdr_code rc = with_events
                            ? fold_batch(app, id, arena, &run->batch, &run->row, &run->broken)
                            : open_batch(app, id, arena, &run->batch, &run->row, &run->broken);
    if (rc == MDR_E_NOMEM || rc == MDR_E_IO) {
        if (err != NULL) {
            *err = run->broken;
        }
        run_free(run);
        return rc;
    }
    run->batch.batch_id = id;
    runs->items[runs->n++] = run;
    return MDR_OK;
}

static bool is_over(const mdr_batch *b)
{
    return b->state == MDR_BATCH_RELEASED || b->state == MDR_BATCH_STOPPED ||
           b->state == MDR_BATCH_REJECTED;
}

static void drop_over(mdr_app_runs *runs)
{
    int kept = 0;
    for (int i = 0; i < runs->n; i++) {
        /* NOLINTNEXTLINE(clang-analyzer-unix.Malloc) the checker cannot see that it is set here */
        if (runs->items[i]->broken.code == MDR_OK && is_over(&runs->items[i]->batch)) {
            run_free(runs->items[i]);
        } else {
            runs->items[kept++] = runs->items[i];
        }
    }
    runs->n = kept;
}

mdr_app_run *mdr_app_run_of(mdr_app *app, const char *batch_id)
{
    for (int i = 0; i < app->runs->n; i++) {
        if (strcmp(app->runs->items[i]->batch.batch_id, batch_id) == 0) {
            return app->runs->items[i];
        }
    }
    return NULL;
}

static mdr_code follow(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    mdr_app *app = ctx;
    mdr_app_run *run = mdr_app_run_of(app, row->batch_id);
    if (run == NULL) {
        MDR_TRY(add_run(app, row->batch_id, false, err));
        run = app->runs->items[app->runs->n - 1];
    }
    if (run->broken.code == MDR_OK &&
        fold(&run->batch, run->arena, row, &run->broken) == MDR_E_NOMEM) {
        return no_memory(err);
    }
    app->runs->seq = row->seq;
    return MDR_OK;
}

static mdr_code load_all(mdr_app *app, mdr_err *err)
{
    mdr_batch_row *rows = NULL;
    int n = 0;
    mdr_arena *arena = mdr_arena_new(MDR_APP_RUN_BYTES);
    if (arena == NULL) {
        return no_memory(err);
    }
    mdr_code rc = mdr_record_batches(app->mill, MDR_RECORD_OPEN, arena, &rows, &n, err);
    for (int i = 0; i < n && rc == MDR_OK; i++) {
        rc = add_run(app, rows[i].batch_id, true, err);
    }
    mdr_arena_free(arena);
    return rc;
}

mdr_code mdr_app_runs_refresh(mdr_app *app, mdr_err *err)
{
    mdr_record_head head;
    if (app->runs == NULL && (app->runs = calloc(1, sizeof *app->runs)) == NULL) {
        return no_memory(err);
    }
    mdr_app_runs *runs = app->runs;
    MDR_TRY(mdr_record_head_get(app->mill, &head, err));
    if (runs->loaded && head.seq == runs->seq) {
        return MDR_OK;
    }
    mdr_code rc = MDR_OK;
    if (runs->loaded && head.seq > runs->seq) {
        const mdr_event_query news = {.after_seq = runs->seq};
        rc = mdr_record_events(app->mill, &news, follow, app, err);
    } else { /* nothing read yet; or fewer events than before: a transaction was undone */
        runs_clear(runs);
        rc = load_all(app, err);
    }
    if (rc != MDR_OK) {
        runs_clear(runs);
        return rc;
    }
    runs->seq = head.seq;
    memcpy(runs->head, head.hash, sizeof runs->head);
    runs->loaded = true;
    drop_over(runs);
    return MDR_OK;
}

mdr_code mdr_app_run_find(mdr_app *app, const char *batch_id, mdr_arena *arena,
                          const mdr_batch **out, mdr_err *err)
{
    MDR_TRY(mdr_app_runs_refresh(app, err));
    const mdr_app_run *run = mdr_app_run_of(app, batch_id);
    if (run != NULL && run->broken.code != MDR_OK) {
        if (err != NULL) {
            *err = run->broken;
        }
        return run->broken.code;
    }
    if (run != NULL) {
        *out = &run->batch;
        return MDR_OK;
    }
    mdr_batch *batch = MDR_NEW(arena, mdr_batch);
    mdr_batch_row row;
    if (batch == NULL) {
        return no_memory(err);
    }
    MDR_TRY(fold_batch(app, batch_id, arena, batch, &row, err));
    *out = batch;
    return MDR_OK;
}
