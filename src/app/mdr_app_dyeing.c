/* A lot's dyeing: planned, changed, run, judged. */
#include "app/mdr_app_dyeing.h"

#include <math.h>
#include <stdio.h>

#include "app/mdr_app_dyeing_in.h"

/* Levelness that is accepted when the route's check does not say: common practice. */
static const double LEVEL_LIMIT_DE = 0.5;
enum { SLICES_OF_ALL = 120, STEPS_PER_TURN = 12 };

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the dyeing of the lot");
}

/* -- from the plan -- */

static mdr_code lot_planned(mdr_dyer *d, const char *lot_id, mdr_err_list *found, mdr_err *err)
{
    const mdr_blob lot = {d->ask.lot, d->ask.lot_len};
    const int from = found != NULL ? found->count : 0;
    mdr_app_desk desk;
    const mdr_code rc = mdr_app_desk_set(d->app, lot_id, lot, d->arena, found, &desk, err);
    if (rc != MDR_OK && d->ask.lot_len > 0) {
        if (found != NULL) {
            mdr_err_list_within(found, from, "lot");
        }
        mdr_err_within(err, "lot");
    }
    MDR_TRY(rc);
    MDR_TRY(mdr_plan_make(&desk.in, d->arena, &d->out->plan, err));
    d->out->revision = desk.full.revision;
    return mdr_plan_dyeing_make(d->out->plan, d->ask.has_bath ? d->ask.bath : 0, d->arena,
                                &d->out->planned, err);
}

static const char *items_words(mdr_dyer *d, const mdr_plan_step *s)
{
    char text[240] = "";
    size_t n = 0;
    for (int i = 0; i < s->n_items && n + 1 < sizeof text; i++) {
        const double kg = mdr_fig_value(&d->out->plan->figs, s->items[i].mass_kg);
        const int wrote = snprintf(text + n, sizeof text - n, "%s%s %.*f kg", n > 0 ? ", " : "",
                                   s->items[i].material->name, kg >= 10.0 ? 1 : 3, kg);
        n += wrote > 0 ? (size_t)wrote : 0;
    }
    return mdr_dyer_text(d, "%s", text);
}

static const char *words_of(mdr_dyer *d, const mdr_plan_step *s)
{
    switch (s->asked->kind) {
    case MDR_STEP_DOSE:
        return items_words(d, s);
    case MDR_STEP_HEAT:
        return mdr_dyer_text(d, "Heat to %.0f °C", s->asked->temp_c);
    case MDR_STEP_COOL:
        return mdr_dyer_text(d, "Cool to %.0f °C", s->asked->temp_c);
    case MDR_STEP_CHECK:
        return mdr_dyer_text(d, "Check: %s", mdr_check_words(s->asked->check.kind));
    case MDR_STEP_LOAD:
    case MDR_STEP_FILL:
    case MDR_STEP_HOLD:
    case MDR_STEP_RINSE:
    case MDR_STEP_DRAIN:
    case MDR_STEP_UNLOAD:
        break;
    }
    return mdr_step_kind_words(s->asked->kind);
}

static mdr_code name_steps(mdr_dyer *d, mdr_err *err)
{
    const mdr_plan_dyeing *planned = d->out->planned;
    const int n = planned->programme.n_steps;
    const char **words = (const char **)mdr_arena_alloc(d->arena, (size_t)n, sizeof *words);
    if (words == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n; i++) {
        words[i] = words_of(d, &planned->bath->steps[planned->first_step + i]);
    }
    d->out->step_words = words;
    return MDR_OK;
}

static void name_dyes(mdr_dyer *d)
{
    const mdr_plan_dyeing *planned = d->out->planned;
    const double load_kg = mdr_fig_value(&d->out->plan->figs, d->out->plan->load_kg);
    for (int i = 0; i < planned->programme.n_dyes; i++) {
        d->out->dyes[i].material = planned->dyes[i];
        d->out->dyes[i].depth_pct_owf = 100.0 * planned->dye_kg[i] / load_kg;
    }
}

/* The route's own limit at its check of levelness. */
static double level_limit(const mdr_plan_bath *bath)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_route_check *c = &bath->steps[i].asked->check;
        if (bath->steps[i].asked->kind == MDR_STEP_CHECK && c->kind == MDR_CHECK_LEVEL &&
            c->has_high) {
            return c->high;
        }
    }
    return LEVEL_LIMIT_DE;
}

/* -- running it -- */

static bool shares_differ(const mdr_dyeing_rope *rope)
{
    for (int t = 1; t < rope->tubes; t++) {
        if (rope->tube_share[t] != rope->tube_share[0]) {
            return true;
        }
    }
    return false;
}

/* Many ropes that differ are cut into fewer slices each: the answer has its time. */
static int slices_of(const mdr_dyer *d)
{
    const int room = SLICES_OF_ALL / d->study->rope.tubes;
    const int most = room > MDR_DYEING_SLICES_LEAST ? room : MDR_DYEING_SLICES_LEAST;
    return shares_differ(&d->study->rope) && d->ask.slices > most ? most : d->ask.slices;
}

static mdr_code set_up(mdr_dyer *d, mdr_err *err)
{
    mdr_dyeing_out *o = d->out;
    const mdr_plan *plan = o->plan;
    d->study = MDR_NEW(d->arena, mdr_dyeing_case);
    mdr_dye_time *times = MDR_NEW_N(d->arena, mdr_dye_time, (size_t)MDR_DYE_STEPS_MAX * 2);
    if (d->study == NULL || times == NULL) {
        return no_memory(err);
    }
    o->study = d->study;
    o->has_loose = plan->route->dye_class == MDR_CLASS_REACTIVE;
    o->level_limit_de = level_limit(o->planned->bath);
    o->fixing_limit_de = d->ask.fixing_limit_de > 0.0 ? d->ask.fixing_limit_de
                                                      : MDR_FIXING_LIMIT_TIMES * o->level_limit_de;
    d->study->programme = o->planned->programme;
    d->study->rope = mdr_plan_dyeing_rope(plan, o->planned->programme.speed_m_per_min);
    d->study->rope_m = mdr_fig_value(&plan->figs, plan->rope_m);
    d->study->uneven_pct = d->ask.uneven_preparation_pct;
    d->study->limit_pct_per_contact = d->ask.strike_limit_pct_per_contact;
    d->study->reactive = o->has_loose;
    d->study->steps_per_turn = STEPS_PER_TURN;
    name_dyes(d);
    MDR_TRY(mdr_ph_table_make(&d->study->programme, d->arena, &d->table, err));
    o->minutes_planned = mdr_dye_programme_times(&d->study->programme, times);
    o->times_planned = times;
    MDR_TRY(mdr_dyer_change(d, err));
    const double minutes = mdr_dye_programme_times(&d->study->programme, times + MDR_DYE_STEPS_MAX);
    o->times = times + MDR_DYE_STEPS_MAX;
    d->study->sample_min = mdr_dyeing_sample_min(minutes);
    d->study->slices = slices_of(d);
    o->rope = d->study->rope;
    return MDR_OK;
}

/* Share of all dye that is on the fibre, %. */
static double on_pct(const mdr_dyeing_result *r, int sample)
{
    double on = 0.0, all = 0.0;
    for (int i = 0; i < r->dyeing->n_dyes; i++) {
        const double kg = r->answers.dyes[i].kg;
        on += kg * r->dyeing->on_fibre[(size_t)sample * (size_t)r->dyeing->n_dyes + (size_t)i];
        all += kg;
    }
    return 100.0 * on / all;
}

static mdr_dyeing_level level_at(const mdr_dyer *d, const float *map, int sample)
{
    const mdr_dyeing_result *r = &d->out->result;
    const mdr_dyer_off off = mdr_dyer_de(d, r, map, sample);
    return (mdr_dyeing_level){mdr_dyeing_evenness(r->dyeing, map, &r->rope, sample), off.most,
                              off.tubes, r->dyeing->t_min[sample]};
}

/* The sample with the most of these, from one to another; below 0: bare all through. */
static int most_of(const double *de, int from, int to)
{
    int most = -1;
    for (int k = from; k <= to; k++) {
        most = de[k] >= 0.0 && (most < 0 || de[k] > de[most]) ? k : most;
    }
    return most;
}

static void levels(mdr_dyer *d)
{
    mdr_dyeing_out *o = d->out;
    const mdr_dyeing_result *r = &o->result;
    const mdr_dyeing_answers *a = &r->answers;
    const int last = r->dyeing->n_samples - 1;
    const int peak = most_of(o->de, 0, last);
    const int fixing = a->fixing_first < 0 ? -1 : most_of(o->de, a->fixing_first, a->fixing_last);
    o->has_before = a->has_before;
    o->has_peak = peak >= 0;
    o->has_fixing = fixing >= 0;
    o->before = level_at(d, r->dyeing->map, a->before.sample);
    o->end = level_at(d, mdr_dyer_stays(r), last);
    if (o->has_peak) {
        o->peak = level_at(d, r->dyeing->map, peak);
    }
    if (o->has_fixing) {
        o->fixing = level_at(d, r->dyeing->map, fixing);
        o->fixing_until_min = r->dyeing->t_min[a->fixing_last];
    }
}

static mdr_code along(mdr_dyer *d, mdr_err *err)
{
    mdr_dyeing_out *o = d->out;
    const mdr_dyeing_result *r = &o->result;
    const int n = r->dyeing->n_samples;
    double *spread = MDR_NEW_N(d->arena, double, 3 * (size_t)n);
    if (spread == NULL) {
        return no_memory(err);
    }
    double *de = spread + n, *strike = de + n;
    for (int k = 0; k < n; k++) {
        int dye = 0;
        strike[k] = mdr_dyeing_strike(r->dyeing, k, &dye);
        spread[k] = de[k] = -1.0;
        if (on_pct(r, k) >= MDR_BARE_PCT) {
            spread[k] = mdr_dyeing_evenness(r->dyeing, r->dyeing->map, &r->rope, k).spread_pct;
            de[k] = mdr_dyer_de(d, r, r->dyeing->map, k).most;
        }
    }
    o->spread_pct = spread;
    o->de = de;
    o->strike_pct = strike;
    levels(d);
    return MDR_OK;
}

static mdr_code run(mdr_dyer *d, mdr_err *err)
{
    if (d->study == NULL) { /* only to those who cannot see that there is a dyeing */
        MDR_UNREACHABLE();
    }
    return mdr_dyeing_case_run(d->study, d->table, d->arena, &d->out->result, err);
}

static mdr_code simulate(mdr_dyer *d, mdr_err *err)
{
    MDR_TRY(run(d, err));
    MDR_TRY(along(d, err));
    if (d->ask.map) {
        MDR_TRY(mdr_dyer_map(d, err));
    }
    if (d->ask.sensitivity) {
        MDR_TRY(mdr_dyer_study(d, err));
    }
    mdr_dyer_say(d);
    return d->no_memory ? no_memory(err) : MDR_OK;
}

static mdr_code get_ready(mdr_dyer *d, mdr_err *err)
{
    MDR_TRY(set_up(d, err));
    MDR_TRY(name_steps(d, err));
    MDR_TRY(mdr_dyer_rates(d, err));
    mdr_dyer_colour(d);
    return MDR_OK;
}

mdr_code mdr_dyer_ready(mdr_dyer *d, mdr_app *app, const char *lot_id, const mdr_dyeing_ask *ask,
                        mdr_arena *arena, mdr_err_list *found, mdr_err *err)
{
    *d = (mdr_dyer){.app = app, .arena = arena, .ask = *ask, .out = MDR_NEW(arena, mdr_dyeing_out)};
    if (d->out == NULL) {
        return no_memory(err);
    }
    /* read before the plan points into the records: reading it later might renew them. Without it the
     * shade's own colour does, whatever ails the laboratory's tables. */
    const mdr_bench *bench = NULL;
    if (mdr_app_bench(app, &bench, NULL) == MDR_E_NOMEM) {
        return no_memory(err);
    }
    MDR_TRY(lot_planned(d, lot_id, found, err));
    return d->out->planned->missing == MDR_DYEING_IS_THERE ? get_ready(d, err) : MDR_OK;
}

/* All that needs the app. */
static mdr_code begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                      mdr_err_list *found, mdr_dyer **out, mdr_err *err)
{
    mdr_dyer *d = MDR_NEW(arena, mdr_dyer);
    mdr_dyeing_ask asked;
    if (d == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_wire_dyeing_ask_read(ask.bytes, ask.len, arena, found, &asked, err));
    MDR_TRY(mdr_dyer_ready(d, app, lot_id, &asked, arena, found, err));
    *out = d;
    return MDR_OK;
}

static mdr_code finish(mdr_dyer *d, mdr_err *err)
{
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
    return d->out->planned->missing == MDR_DYEING_IS_THERE ? simulate(d, err) : MDR_OK;
}

mdr_code mdr_app_dyeing(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                        mdr_err_list *found, const mdr_dyeing_out **out, mdr_err *err)
{
    mdr_dyer *d = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &d, err));
    MDR_TRY(finish(d, err));
    *out = d->out;
    return MDR_OK;
}

/* A second or so: not worth to be asked in between whether it is wanted. */
static mdr_code answer(void *about, const mdr_go_on *go_on, mdr_blob *out, mdr_err *err)
{
    mdr_dyer *d = about;
    char *text = NULL;
    size_t len = 0;
    (void)go_on;
    MDR_TRY(finish(d, err));
    MDR_TRY(mdr_wire_dyeing(d->out, d->arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_dyeing_begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                              mdr_err_list *found, mdr_app_work **out, mdr_err *err)
{
    mdr_dyer *d = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &d, err));
    const mdr_app_work_part part = {.run = answer, .about = d};
    return mdr_app_work_make(app, arena, &part, out, err);
}

mdr_code mdr_app_dyeing_json(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_dyer *d = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &d, err));
    return answer(d, NULL, out, err);
}
