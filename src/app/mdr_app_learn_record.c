/* What the lots of the mill teach: every batch that is over, out of its record. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_learn_in.h"
#include "app/mdr_app_run_in.h"
#include "core/recipe/mdr_match.h"

enum {
    BATCHES_MOST = 2000, /* the newest: a year and more of a mill of six lots a day */
    BATCH_BYTES = 64 << 20
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

static mdr_code read_one(mdr_app *app, const char *batch_id, mdr_arena *arena, mdr_learn_lot *lots,
                         int *n, mdr_err *err)
{
    const mdr_batch *b = NULL;
    mdr_arena *own = mdr_arena_new(BATCH_BYTES);
    if (own == NULL) {
        return no_memory(err);
    }
    mdr_code rc = mdr_app_run_find(app, batch_id, own, &b, err);
    if (rc == MDR_OK && teaches(b)) {
        rc = take(b, arena, &lots[*n], err);
        *n += rc == MDR_OK ? 1 : 0;
    }
    mdr_arena_free(own);
    return rc;
}

/* One that cannot be read is left out here; the hall says so. */
static bool is_lost(mdr_code rc)
{
    return rc == MDR_E_NOMEM || rc == MDR_E_IO;
}

mdr_code mdr_learn_gather(mdr_app *app, mdr_arena *arena, mdr_learn_in *out, mdr_err *err)
{
    mdr_batch_row *rows = NULL;
    int n_rows = 0, n = 0;
    MDR_TRY(mdr_record_batches(app->mill, MDR_RECORD_ALL, arena, &rows, &n_rows, err));
    const int first = n_rows > BATCHES_MOST ? n_rows - BATCHES_MOST : 0;
    mdr_learn_lot *lots = MDR_NEW_N(arena, mdr_learn_lot, (size_t)(n_rows - first) + 1);
    if (lots == NULL) {
        return no_memory(err);
    }
    for (int i = first; i < n_rows; i++) {
        const mdr_code rc = read_one(app, rows[i].batch_id, arena, lots, &n, err);
        if (is_lost(rc)) {
            return rc;
        }
    }
    *out = (mdr_learn_in){.lots = lots, .n = n};
    return MDR_OK;
}

mdr_code mdr_app_learn_mill(mdr_app *app, mdr_arena *arena, const mdr_sheet **out, mdr_err *err)
{
    mdr_learn_in in;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_learn_gather(app, arena, &in, err));
    return mdr_app_learn(&in, arena, out, err);
}
