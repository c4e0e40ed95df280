/* What the lots of the mill teach: every batch that is over, out of its record. What was read stays: a
 * batch of a dozen baths is some hundred events, and a mill has thousands of batches. */
#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_learn_in.h"
#include "app/mdr_app_run_in.h"
#include "core/recipe/mdr_match.h"

enum {
    BATCH_BYTES = 64 << 20,
    READ_AT_ONCE = 500,      /* invented: nobody else is answered meanwhile */
    TAUGHT_BYTES = 256 << 20 /* a cap: half a kilobyte a batch */
};
static const double MG_PER_KG = 1e6;

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for what the lots teach");
}

/* -- one batch -- */

typedef struct sums {
    mdr_learn_dye dyes[MDR_COMBO_MAX];
    int n, additions, last_addition;
} sums;

static mdr_learn_dye *dye_of(sums *s, const char *dye_id)
{
    for (int i = 0; i < s->n; i++) {
        if (strcmp(s->dyes[i].dye_id, dye_id) == 0) {
            return &s->dyes[i];
        }
    }
    if (s->n == MDR_COMBO_MAX) {
        return NULL;
    }
    s->dyes[s->n] = (mdr_learn_dye){.dye_id = dye_id};
    return &s->dyes[s->n++];
}

/* Depths by mass of product: the factor is a ratio of two of them, so strength goes out. */
static void add_step(sums *s, const mdr_batch_step *step, double load_kg)
{
    for (int i = 0; i < step->asked->n_items; i++) {
        const mdr_control_item *item = &step->asked->items[i];
        mdr_learn_dye *dye = item->dye ? dye_of(s, item->material_id) : NULL;
        if (dye == NULL) {
            continue;
        }
        if (step->remedy == 0) {
            /* of the laboratory's recipe: what was multiplied is no news about the laboratory */
            const double bulk = item->bulk_factor > 0.0 ? item->bulk_factor : 1.0;
            dye->planned_pct += 100.0 * (double)item->mass_mg / MG_PER_KG / load_kg / bulk;
        } else if (step->remedy != s->last_addition) {
            s->last_addition = step->remedy;
            s->additions++;
        }
        if (step->dosed) {
            dye->found_pct += 100.0 * (double)step->items[i].weighed_mg / MG_PER_KG / load_kg;
        }
    }
}

static int by_id(const void *a, const void *b)
{
    return strcmp(((const mdr_learn_dye *)a)->dye_id, ((const mdr_learn_dye *)b)->dye_id);
}

static const char *set_of(const sums *s, mdr_arena *arena)
{
    const char *text = "";
    for (int i = 0; i < s->n && text != NULL; i++) {
        text = mdr_arena_printf(arena, "%s%s%s", text, i > 0 ? "+" : "", s->dyes[i].dye_id);
    }
    return text != NULL && strlen(text) > MDR_LEARN_TEXT_MAX
               ? mdr_arena_printf(arena, "%d dyes", s->n)
               : text;
}

static bool keep_texts(mdr_learn_lot *lot, sums *s, const mdr_control *c, mdr_arena *arena)
{
    mdr_learn_dye *dyes = MDR_NEW_N(arena, mdr_learn_dye, (size_t)s->n + 1);
    bool whole = dyes != NULL;
    for (int i = 0; i < s->n && whole; i++) {
        dyes[i] = s->dyes[i];
        dyes[i].dye_id = mdr_arena_text(arena, s->dyes[i].dye_id);
        whole = dyes[i].dye_id != NULL;
    }
    lot->dyes = dyes;
    lot->n_dyes = s->n;
    lot->lot_id = mdr_arena_text(arena, c->lot_id);
    lot->shade_id = mdr_arena_text(arena, c->shade_id);
    lot->machine_id = mdr_arena_text(arena, c->machine_id);
    lot->article_id = mdr_arena_text(arena, c->article_id);
    lot->dye_set = set_of(s, arena);
    return whole && lot->lot_id != NULL && lot->shade_id != NULL && lot->machine_id != NULL &&
           lot->article_id != NULL && lot->dye_set != NULL;
}

static mdr_code take(const mdr_batch *b, mdr_arena *arena, mdr_learn_lot *out, mdr_err *err)
{
    sums s = {0};
    mdr_learn_lot lot = {.ended_utc_ms = b->ended_utc_ms, .right_first = mdr_batch_right_first(b)};
    for (int i = 0; i < b->n_steps; i++) {
        const mdr_batch_step *step = &b->steps[i];
        add_step(&s, step, b->control->load_kg);
        if (step->asked->kind == MDR_STEP_CHECK && step->asked->check.kind == MDR_CHECK_SHADE &&
            step->reading_seq != 0) {
            lot.de = step->reading;
            lot.has_de = true;
        }
    }
    qsort(s.dyes, (size_t)s.n, sizeof *s.dyes, by_id);
    lot.additions = s.additions < MDR_LEARN_ADDITIONS_MOST ? s.additions : MDR_LEARN_ADDITIONS_MOST;
    if (!keep_texts(&lot, &s, b->control, arena)) {
        return no_memory(err);
    }
    *out = lot;
    return MDR_OK;
}

/* -- all of them -- */

/* Over, and begun: a batch that never came onto a machine teaches nothing. */
static bool teaches(const mdr_batch *b)
{
    return b->begun_utc_ms != 0 && b->ended_utc_ms > 0 &&
           (b->state == MDR_BATCH_RELEASED || b->state == MDR_BATCH_REJECTED ||
            b->state == MDR_BATCH_STOPPED);
}

/* One batch as it was read last; a batch that is over is not read again until it gets an event. */
typedef struct taught_one {
    const char *batch_id;
    mdr_learn_lot lot;
    bool seen, settled, teaches;
} taught_one;

struct mdr_app_taught {
    mdr_arena *arena; /* texts */
    taught_one *of;   /* as the batches of the record, oldest first, from number `first` on */
    int n, first;
    mdr_record_head head; /* newest event that was looked at */
};

static void taught_free(mdr_app_taught *t)
{
    if (t != NULL) {
        mdr_arena_free(t->arena);
        free(t->of);
        free(t);
    }
}

void mdr_app_taught_forget(mdr_app *app)
{
    taught_free(app->taught);
    app->taught = NULL;
}

static bool is_over(const mdr_batch *b)
{
    return b->state == MDR_BATCH_RELEASED || b->state == MDR_BATCH_REJECTED ||
           b->state == MDR_BATCH_STOPPED;
}

/* One that cannot be read is left out here; the hall says so. */
static bool is_lost(mdr_code rc)
{
    return rc == MDR_E_NOMEM || rc == MDR_E_IO;
}

static mdr_code read_one(mdr_app *app, taught_one *one, mdr_err *err)
{
    const mdr_batch *b = NULL;
    mdr_arena *own = mdr_arena_new(BATCH_BYTES);
    if (own == NULL) {
        return no_memory(err);
    }
    mdr_code rc = mdr_app_run_find(app, one->batch_id, own, &b, err);
    one->teaches = false;
    if (rc == MDR_OK && teaches(b)) {
        rc = take(b, app->taught->arena, &one->lot, err);
        one->teaches = rc == MDR_OK;
    }
    one->seen = true;
    one->settled = rc == MDR_OK ? is_over(b) : !is_lost(rc);
    mdr_arena_free(own);
    return is_lost(rc) ? rc : MDR_OK;
}

/* A batch that got an event is read again. */
static mdr_code unsettle(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    mdr_app_taught *t = ctx;
    (void)err;
    for (int i = t->n - 1; i >= 0; i--) { /* mostly one of the newest */
        if (strcmp(t->of[i].batch_id, row->batch_id) == 0) {
            t->of[i].settled = false;
            break;
        }
    }
    return MDR_OK;
}

/* Room for so many, those that are there kept. */
static mdr_code make_room(mdr_app *app, int n, mdr_err *err)
{
    mdr_app_taught *t = app->taught;
    taught_one *more = realloc(t->of, ((size_t)n + 1) * sizeof *more);
    if (more == NULL) {
        return no_memory(err);
    }
    if (n > t->n) {
        memset(more + t->n, 0, (size_t)(n - t->n) * sizeof *more);
    }
    t->of = more;
    return MDR_OK;
}

static mdr_code add_new(mdr_app *app, const mdr_batch_row *rows, int n_rows, mdr_err *err)
{
    mdr_app_taught *t = app->taught;
    MDR_TRY(make_room(app, n_rows - t->first, err));
    assert(t->of != NULL);
    while (t->n < n_rows - t->first) {
        const char *id = mdr_arena_text(t->arena, rows[t->first + t->n].batch_id);
        if (id == NULL) {
            return no_memory(err);
        }
        t->of[t->n++] = (taught_one){.batch_id = id};
    }
    int fresh = 0; /* the newest first; the others wait until somebody asks again */
    for (int i = t->n - 1; i >= 0; i--) {
        fresh += !t->of[i].seen;
        if (!t->of[i].settled && (t->of[i].seen || fresh <= READ_AT_ONCE)) {
            MDR_TRY(read_one(app, &t->of[i], err));
        }
    }
    return MDR_OK;
}

static mdr_code begin(mdr_app *app, int n_rows, mdr_err *err)
{
    mdr_app_taught_forget(app);
    app->taught = calloc(1, sizeof *app->taught);
    if (app->taught == NULL) {
        return no_memory(err);
    }
    app->taught->arena = mdr_arena_new(TAUGHT_BYTES);
    app->taught->first = n_rows > MDR_LEARN_LOTS_MAX ? n_rows - MDR_LEARN_LOTS_MAX : 0;
    return app->taught->arena != NULL ? MDR_OK : no_memory(err);
}

static mdr_code follow(mdr_app *app, const mdr_batch_row *rows, int n_rows, mdr_err *err)
{
    mdr_record_head head;
    MDR_TRY(mdr_record_head_get(app->mill, &head, err));
    mdr_app_taught *t = app->taught;
    /* fewer events than before: a transaction was undone; too many batches: the oldest are let go */
    if (t == NULL || head.seq < t->head.seq ||
        (head.seq == t->head.seq && memcmp(head.hash, t->head.hash, sizeof head.hash) != 0) ||
        n_rows < t->first + t->n || n_rows - t->first > 2 * MDR_LEARN_LOTS_MAX) {
        MDR_TRY(begin(app, n_rows, err));
        t = app->taught;
    } else if (head.seq > t->head.seq) {
        const mdr_event_query news = {.after_seq = t->head.seq};
        MDR_TRY(mdr_record_events(app->mill, &news, unsettle, t, err));
    }
    MDR_TRY(add_new(app, rows, n_rows, err));
    t->head = head;
    return MDR_OK;
}

mdr_code mdr_learn_gather(mdr_app *app, mdr_arena *arena, mdr_learn_in *out, mdr_err *err)
{
    mdr_batch_row *rows = NULL;
    int n_rows = 0, n = 0;
    MDR_TRY(mdr_record_batches(app->mill, MDR_RECORD_ALL, arena, &rows, &n_rows, err));
    const mdr_code rc = follow(app, rows, n_rows, err);
    if (rc != MDR_OK) {
        mdr_app_taught_forget(app);
        return rc;
    }
    const mdr_app_taught *t = app->taught;
    const int first = t->n > MDR_LEARN_LOTS_MAX ? t->n - MDR_LEARN_LOTS_MAX : 0;
    mdr_learn_lot *lots = MDR_NEW_N(arena, mdr_learn_lot, (size_t)(t->n - first) + 1);
    if (lots == NULL) {
        return no_memory(err);
    }
    int waiting = 0;
    for (int i = first; i < t->n; i++) {
        waiting += !t->of[i].seen;
        if (t->of[i].teaches) {
            lots[n++] = t->of[i].lot;
        }
    }
    *out = (mdr_learn_in){.lots = lots, .n = n, .left_out = t->first + first + waiting};
    return MDR_OK;
}

mdr_code mdr_app_learn_mill(mdr_app *app, const mdr_learn_in *asked, mdr_arena *arena,
                            const mdr_sheet **out, mdr_err *err)
{
    mdr_learn_in in = *asked, lots = {0};
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_learn_gather(app, arena, &lots, err));
    in.lots = lots.lots;
    in.n = lots.n;
    in.left_out = lots.left_out;
    return mdr_app_learn(&in, arena, out, err);
}
