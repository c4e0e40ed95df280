/* What is to be weighed, first what the floor needs first. */
#include "app/mdr_app_weigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "base/mdr_lang.h"
#include "card/mdr_digits.h"
#include "core/plan/mdr_pick.h"

MDR_PICK(mdr_weigh_state_id, mdr_weigh_state, MDR_WEIGH_STATES(MDR_PICK_ID))
MDR_PICK(mdr_weigh_state_words, mdr_weigh_state, MDR_WEIGH_STATES(MDR_PICK_WORDS))

/* -- gathering -------------------------------------------------------------------------------- */

static bool is_weighed_for(const mdr_batch *b)
{
    switch (b->state) {
    case MDR_BATCH_IDLE:
    case MDR_BATCH_RUNNING:
    case MDR_BATCH_PAUSED:
    case MDR_BATCH_HELD:
        return true;
    case MDR_BATCH_COMPLETE:
    case MDR_BATCH_RELEASED:
    case MDR_BATCH_STOPPED:
    case MDR_BATCH_REJECTED:
        return false;
    }
    return false;
}

static bool is_open_dose(const mdr_batch_step *s)
{
    return s->state == MDR_STEP_WAITS && !s->dosed && s->asked->n_items > 0;
}

static int count(const mdr_app_runs *runs)
{
    int n = 0;
    for (int i = 0; i < runs->n; i++) {
        const mdr_batch *b = &runs->items[i]->batch;
        for (int s = 0; runs->items[i]->broken.code == MDR_OK && s < b->n_steps; s++) {
            n += b->steps[s].asked->n_items;
        }
    }
    return n;
}

mdr_weigh_class mdr_app_weigh_class(const mdr_weighing *w, const mdr_material *material)
{
    const char *id = material == NULL ? NULL : material->weigh_class;
    const mdr_weigh_class *c = id == NULL ? NULL : mdr_weighing_class(w, id);
    return c == NULL ? mdr_weigh_class_usual() : *c;
}

/* The side tank bounds the water of a solution; a litre of it counts as a kilogram. */
static mdr_weigh_way way_of(mdr_app *app, const mdr_app_weigh_list *list,
                            const mdr_app_weigh_line *line)
{
    const mdr_machine *m = mdr_masters_machine(&app->masters, line->batch->control->machine_id);
    const mdr_material *material = line->material;
    const mdr_weigh_ask ask = {
        .target_mg = line->item->mass_mg,
        .class = &line->class,
        .scales = list->mill.scales,
        .n_scales = list->mill.n_scales,
        .now_utc_ms = list->now_utc_ms,
        .dissolves_g_per_kg =
            material == NULL ? 0.0
                             : mdr_weigh_dissolves_g_per_kg(material->substance, material->form,
                                                            material->solubility_g_per_l),
        .tank_kg = m == NULL ? 0.0 : m->tank_l};
    return mdr_weigh_way_of(&ask);
}

static bool asks_for_two(const mdr_weigh_class *class, const mdr_weigh_window *window,
                         const mdr_batch_item *weighed)
{
    return class->two_persons || weighed->weighed_mg > window->high_mg;
}

static void judge_state(mdr_app_weigh_line *line)
{
    line->two_persons = asks_for_two(&line->class, &line->window, line->weighed);
    line->state = line->weighed->weighed_mg == 0                         ? MDR_WEIGH_TO_WEIGH
                  : line->two_persons && line->weighed->checked_seq == 0 ? MDR_WEIGH_TO_CHECK
                                                                         : MDR_WEIGH_DONE;
}

bool mdr_app_weigh_waits(mdr_app *app, const mdr_weighing *w, const mdr_control_item *item,
                         const mdr_batch_item *weighed)
{
    const mdr_weigh_class class =
        mdr_app_weigh_class(w, mdr_masters_material(&app->masters, item->material_id));
    const mdr_weigh_window window = mdr_weigh_window_of(&class, item->mass_mg);
    return weighed->weighed_mg > 0 && weighed->checked_seq == 0 &&
           asks_for_two(&class, &window, weighed);
}

typedef struct gathering {
    mdr_app *app;
    const mdr_app_weigh_list *list;
    mdr_app_weigh_line *lines;
    int n;
} gathering;

static void add_step(gathering *g, const mdr_batch *b, int at)
{
    static const double MS_PER_MIN = 60000.0;
    const mdr_batch_step *s = &b->steps[at];
    const int64_t needed = mdr_weigh_needed_ms(b, at, g->list->now_utc_ms);
    for (int i = 0; i < s->asked->n_items; i++) {
        mdr_app_weigh_line *line = &g->lines[g->n++];
        *line = (mdr_app_weigh_line){
            .batch = b, .step = s, .item = &s->asked->items[i], .weighed = &s->items[i]};
        line->material = mdr_masters_material(&g->app->masters, line->item->material_id);
        line->class = mdr_app_weigh_class(&g->list->mill, line->material);
        line->window = mdr_weigh_window_of(&line->class, line->item->mass_mg);
        line->way = way_of(g->app, g->list, line);
        line->turn =
            (mdr_weigh_turn){.due_utc_ms = needed - (int64_t)(line->class.lead_min * MS_PER_MIN),
                             .needed_utc_ms = needed,
                             .batch_id = b->batch_id,
                             .step = at,
                             .item = i + 1};
        judge_state(line);
    }
}

static int by_turn(const void *a, const void *b)
{
    return mdr_weigh_turn_compare(&((const mdr_app_weigh_line *)a)->turn,
                                  &((const mdr_app_weigh_line *)b)->turn);
}

/* -- stock ------------------------------------------------------------------------------------ */

static bool same_material(const mdr_app_weigh_line *a, const mdr_app_weigh_line *b)
{
    return strcmp(a->item->material_id, b->item->material_id) == 0;
}

/* The material of line `at`, told to all lines that need it; those before were told already. */
static void view_stock(mdr_app_weigh_line *lines, int n, int at, mdr_stock_need *needs)
{
    int n_needs = 0;
    for (int i = 0; i < n; i++) {
        if (lines[i].state == MDR_WEIGH_TO_WEIGH && same_material(&lines[i], &lines[at])) {
            needs[n_needs++] = (mdr_stock_need){lines[i].turn.due_utc_ms, lines[i].item->mass_mg};
        }
    }
    const double stock_kg = lines[at].material == NULL ? 0.0 : lines[at].material->stock_kg;
    const mdr_stock_view view = mdr_stock_view_of(llround(stock_kg * 1e6), needs, n_needs);
    for (int i = at; i < n; i++) {
        if (same_material(&lines[i], &lines[at])) {
            lines[i].stock = view;
        }
    }
}

static bool told_before(const mdr_app_weigh_line *lines, int at)
{
    for (int i = 0; i < at; i++) {
        if (same_material(&lines[i], &lines[at])) {
            return true;
        }
    }
    return false;
}

static void gather(gathering *g)
{
    const mdr_app_runs *runs = g->app->runs;
    for (int i = 0; i < runs->n; i++) {
        const mdr_app_run *run = runs->items[i];
        const bool open = run->broken.code == MDR_OK && is_weighed_for(&run->batch);
        for (int s = 0; open && s < run->batch.n_steps; s++) {
            if (is_open_dose(&run->batch.steps[s])) {
                add_step(g, &run->batch, s);
            }
        }
    }
}

mdr_code mdr_app_weigh_lines(mdr_app *app, int64_t now_utc_ms, mdr_arena *arena,
                             mdr_app_weigh_list *out, mdr_err *err)
{
    mdr_app_weigh_list list = {.now_utc_ms = now_utc_ms};
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_app_runs_refresh(app, err));
    MDR_TRY(mdr_mill_weighing(app->mill, arena, &list.mill, err));
    const size_t room = (size_t)count(app->runs) + 1;
    gathering g = {.app = app, .list = &list, .lines = MDR_NEW_N(arena, mdr_app_weigh_line, room)};
    mdr_stock_need *needs = MDR_NEW_N(arena, mdr_stock_need, room);
    if (g.lines == NULL || needs == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for what is to be weighed");
    }
    gather(&g);
    qsort(g.lines, (size_t)g.n, sizeof *g.lines, by_turn);
    for (int i = 0; i < g.n; i++) {
        if (!told_before(g.lines, i)) {
            view_stock(g.lines, g.n, i, needs);
        }
    }
    list.lines = g.lines;
    list.n = g.n;
    *out = list;
    return MDR_OK;
}

/* -- advice ----------------------------------------------------------------------------------- */

static mdr_lang_arg mass(mdr_arena *arena, double mass_mg)
{
    char text[MDR_DIGITS_MAX];
    mdr_digits_mass(text, mass_mg / 1e6);
    const char *copy = mdr_arena_text(arena, text);
    return mdr_lang_str(copy == NULL ? "?" : copy);
}

static const char *how(const mdr_weigh_way *way, const mdr_scale *scale,
                       const mdr_app_weigh_line *l, mdr_arena *arena)
{
    char number[MDR_DIGITS_MAX];
    switch (way->kind) {
    case MDR_WEIGH_NO_SCALE:
        return mdr_lang_say(arena, "weigh.no-scale");
    case MDR_WEIGH_PORTIONS:
        mdr_digits_whole(number, way->portions);
        return mdr_lang_say(
            arena, "weigh.portions", mdr_lang_str(number), mass(arena, (double)way->portion_mg),
            /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
            mdr_lang_str(scale->name));
    case MDR_WEIGH_SOLUTION:
        mdr_digits_trim(number, way->conc_g_per_kg, 0, 1);
        return mdr_lang_say(
            arena, "weigh.solution", mass(arena, (double)way->product_mg),
            mass(arena, (double)way->solution_mg), mdr_lang_str(number),
            mass(arena, (double)way->take_mg),
            /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
            mdr_lang_str(scale->name));
    case MDR_WEIGH_ONCE:
        break;
    }
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
    mdr_digits_whole(number, floor((double)l->item->mass_mg / (scale->division_g * 1e3)));
    return way->few_divisions
               ? mdr_lang_say(arena, "weigh.few", mdr_lang_str(scale->name), mdr_lang_str(number))
               : mdr_lang_say(arena, "weigh.once", mdr_lang_str(scale->name));
}

int mdr_app_weigh_advice(const mdr_app_weigh_list *list, const mdr_app_weigh_line *line,
                         mdr_arena *arena, const char *out[MDR_WEIGH_ADVICE_MAX])
{
    const mdr_weigh_way *way = &line->way;
    const mdr_scale *scale = way->scale < 0 ? NULL : &list->mill.scales[way->scale];
    const char *said[MDR_WEIGH_ADVICE_MAX] = {how(way, scale, line, arena)};
    int n = 1, kept = 0;
    if (scale != NULL && way->unverified) {
        said[n++] = mdr_lang_say(arena, "weigh.unverified", mdr_lang_str(scale->name));
    }
    if (way->unsure) {
        said[n++] = mdr_lang_say(arena, "weigh.unsure", mass(arena, (double)way->error_mg),
                                 mass(arena, (double)line->window.tolerance_mg));
    }
    for (int i = 0; i < n; i++) {
        if (said[i] != NULL) {
            out[kept++] = said[i];
        }
    }
    return kept;
}
