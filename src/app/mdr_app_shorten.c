/* The shortest dyeing of a lot: limits and margin from what the mill knows, and the route for each
 * point. */
#include "app/mdr_app_shorten.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dyeing_in.h"
#include "wire/mdr_shorten_ask.h"

static const double PCT = 100.0;
/* A spread small enough that the colour goes along in proportion, large enough to be reckoned. */
static const double SMALL_SPREAD = 0.05;

typedef struct shortener {
    mdr_dyer d;
    mdr_shorten_ask ask;
    mdr_shorten_answer *a;
    mdr_shorten_in *in;
    int reducer; /* number of the step that brings a vat dye on; 0: none */
} shortener;

static mdr_code no_memory(mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the search");
    return MDR_E_NOMEM; /* by name: compilers then see that what follows has all it needs */
}

static const mdr_dyeing_reason WHY = {"Shortest safe programme",
                                      "least minutes while no dye strikes faster than the limit, "
                                      "the fabric lies no more unevenly than the "
                                      "limit and no dye is fixed less, each with its margin for "
                                      "what the rates may be; judged as it is simulated",
                                      "kraft-slsqp", "exhaust-shorten.md#how-it-is-found"};

const mdr_dyeing_reason *mdr_app_shorten_why(void)
{
    return &WHY;
}

/* -- what is asked of the core -- */

/* Colour difference from the mean that dye `only` makes (below 0: all together) when a slice has half
 * the small spread more of it, or less; for a spread of 1. */
static double de_per_spread(const mdr_dyer *d, int only)
{
    double mean[MDR_DYE_DYES_MAX], more[MDR_DYE_DYES_MAX], less[MDR_DYE_DYES_MAX], dl = 0.0;
    for (int i = 0; i < MDR_DYE_DYES_MAX; i++) {
        const double half = only < 0 || i == only ? 0.5 * SMALL_SPREAD : 0.0;
        mean[i] = 1.0;
        more[i] = 1.0 + half;
        less[i] = 1.0 - half;
    }
    const mdr_lab at = mdr_rope_colour_at(&d->colour, mean);
    const double up = mdr_dyer_between(at, mdr_rope_colour_at(&d->colour, more), &dl);
    const double down = mdr_dyer_between(at, mdr_rope_colour_at(&d->colour, less), &dl);
    return fmax(up, down) / SMALL_SPREAD;
}

/* What a kilogram of each dye does to the colour. */
static mdr_code weigh(shortener *s, mdr_err *err)
{
    const mdr_dyer *d = &s->d;
    const int n = d->study->programme.n_dyes;
    double *weight = MDR_NEW_N(d->arena, double, (size_t)n);
    double *kg = MDR_NEW_N(d->arena, double, (size_t)n);
    if (weight == NULL || kg == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n; i++) {
        kg[i] = d->out->planned->dye_kg[i];
        weight[i] = de_per_spread(d, i) / kg[i];
    }
    s->in->weight = weight;
    s->a->kg = kg;
    return MDR_OK;
}

/* Steps that nobody shortens: checks, auxiliaries, what runs beside others. The first dose of the
 * reducer is what brings a vat dye on; the later ones keep it reduced. */
static void keep_steps(shortener *s)
{
    const mdr_plan_dyeing *p = s->d.out->planned;
    bool reduced = !s->in->base->oxidises;
    for (int i = 0; i < s->in->base->n_steps; i++) {
        const mdr_dye_step *step = &s->in->base->steps[i];
        const bool check = p->bath->steps[p->first_step + i].asked->kind == MDR_STEP_CHECK;
        const bool brings_on = step->reduces && !reduced;
        const bool auxiliary =
            step->kind == MDR_DYE_DOSE && step->gives == MDR_GIVES_OTHER && !brings_on;
        s->in->keep[i] = check || step->beside || auxiliary;
        s->reducer = brings_on ? step->number : s->reducer;
        reduced = reduced || step->reduces;
    }
}

static mdr_code limits(shortener *s, mdr_err *err)
{
    mdr_shorten_in *in = s->in;
    const mdr_dyer *d = &s->d;
    in->study = d->study;
    in->base = &d->study->programme;
    in->table = d->table;
    in->usual = (mdr_dye_case){d->study->rates};
    in->fixes = d->out->has_loose;
    in->strike_limit_pct = d->study->limit_pct_per_contact;
    s->a->de_limit = s->ask.de_limit > 0.0 ? s->ask.de_limit : d->out->level_limit_de;
    s->a->de_per_spread = de_per_spread(d, -1);
    in->spread_limit = fmin(s->a->de_limit / s->a->de_per_spread, 2.0);
    s->a->fixing_limit_de = s->ask.dyeing.fixing_limit_de > 0.0
                                ? s->ask.dyeing.fixing_limit_de
                                : MDR_FIXING_LIMIT_TIMES * s->a->de_limit;
    in->spread_fixing_limit = fmin(s->a->fixing_limit_de / s->a->de_per_spread, 4.0);
    in->fixation_allowance = s->ask.fixation_allowance_pct / PCT;
    in->fixation_allowance_worst = s->ask.fixation_allowance_worst_pct / PCT;
    in->run_least_min = s->ask.run_least_min;
    in->turns_least[MDR_GIVES_SALT] = s->ask.turns_least_salt;
    in->turns_least[MDR_GIVES_DYE] = s->ask.turns_least_dye;
    in->turns_least[MDR_GIVES_ALKALI] = s->ask.turns_least_alkali;
    in->turns_least[MDR_GIVES_OTHER] = s->ask.turns_least_dye; /* the reducer, with it the dye */
    in->points = s->ask.points;
    in->keep_speed = s->ask.keep_speed;
    keep_steps(s);
    MDR_TRY(weigh(s, err));
    return mdr_dye_away_of(d->fits, d->study->programme.n_dyes, d->arena, &in->away, err);
}

/* -- what a point changes -- */

static bool differs(const mdr_dye_step *a, const mdr_dye_step *b)
{
    return fabs(a->minutes - b->minutes) > 1e-9 || fabs(a->exponent - b->exponent) > 1e-9 ||
           fabs(a->rate_c_per_min - b->rate_c_per_min) > 1e-9;
}

static const char *curve_words(mdr_dyer *d, const mdr_dye_step *s)
{
    return s->exponent == 1.0
               ? "evenly"
               : mdr_dyer_text(d, "%s first (tau^%.1f)", s->exponent > 1.0 ? "slowly" : "quickly",
                               s->exponent);
}

static const char *change_words(shortener *s, int i, const mdr_dye_step *is)
{
    mdr_dyer *d = &s->d;
    const mdr_dye_step *was = &s->in->base->steps[i];
    const char *name = d->out->step_words[i];
    if (is->kind == MDR_DYE_RAMP) {
        return mdr_dyer_text(d, "Step %d, %s: at %.1f °C/min", is->number, name,
                             is->rate_c_per_min);
    }
    const bool curve = is->kind == MDR_DYE_DOSE && is->exponent != was->exponent;
    if (curve && fabs(is->minutes - was->minutes) < 0.5) {
        return mdr_dyer_text(d, "Step %d, %s: %s", is->number, name, curve_words(d, is));
    }
    if (curve) {
        return mdr_dyer_text(d, "Step %d, %s: %.0f min in place of %.0f, %s", is->number, name,
                             is->minutes, was->minutes, curve_words(d, is));
    }
    return mdr_dyer_text(d, "Step %d, %s: %.0f min in place of %.0f", is->number, name, is->minutes,
                         was->minutes);
}

static const char *reason_words(mdr_shorten_reason r, bool fixes)
{
    switch (r) {
    case MDR_SHORTEN_KEPT:
        return "stays as it is";
    case MDR_SHORTEN_MACHINE:
        return "the machine cannot do it faster";
    case MDR_SHORTEN_TURNS:
        return "the rope would not turn often enough meanwhile";
    case MDR_SHORTEN_WAIT:
        return "least time of a step that only runs";
    case MDR_SHORTEN_STRIKE:
        return "a dye would strike too fast";
    case MDR_SHORTEN_BEFORE:
        return "the dye would lie too unevenly as the alkali begins";
    case MDR_SHORTEN_FIXING:
        return "the dye would lie too unevenly while it is being fixed";
    case MDR_SHORTEN_END:
        return "the dye would lie too unevenly at the end";
    case MDR_SHORTEN_FIXATION:
        return fixes ? "a dye would be fixed less" : "less of a dye would go on";
    case MDR_SHORTEN_NOTHING:
        break;
    }
    return "a minute less would do nothing";
}

/* -- its route -- */

static void set_step(mdr_route_step *to, const mdr_dye_step *is)
{
    if (is->kind == MDR_DYE_RAMP) {
        to->rate_c_per_min = is->rate_c_per_min;
        return;
    }
    to->minutes = is->minutes;
    if (is->kind == MDR_DYE_DOSE && is->portions < 2) {
        to->curve = is->exponent > 1.0   ? MDR_CURVE_PROGRESSIVE
                    : is->exponent < 1.0 ? MDR_CURVE_DEGRESSIVE
                                         : MDR_CURVE_LINEAR;
        to->exponent = is->exponent == 1.0 ? 0.0 : is->exponent;
    }
}

/* Copies of what is on the way from the route to the changed steps; the rest is shared. */
static const mdr_route *route_of(const shortener *s, const mdr_shorten_offer *o)
{
    const mdr_dyer *d = &s->d;
    const mdr_plan_bath *bath = d->out->planned->bath;
    const mdr_route *from = d->out->plan->route;
    const int at = (int)(bath->stage - from->stages), b = (int)(bath->asked - bath->stage->baths);
    mdr_route *route = MDR_NEW(d->arena, mdr_route);
    mdr_route_stage *stages = MDR_NEW_N(d->arena, mdr_route_stage, (size_t)from->n_stages);
    mdr_route_bath *baths = MDR_NEW_N(d->arena, mdr_route_bath, (size_t)bath->stage->n_baths);
    mdr_route_step *steps = MDR_NEW_N(d->arena, mdr_route_step, (size_t)bath->asked->n_steps);
    if (route == NULL || stages == NULL || baths == NULL || steps == NULL) {
        return NULL;
    }
    memcpy(stages, from->stages, (size_t)from->n_stages * sizeof *stages);
    memcpy(baths, bath->stage->baths, (size_t)bath->stage->n_baths * sizeof *baths);
    memcpy(steps, bath->asked->steps, (size_t)bath->asked->n_steps * sizeof *steps);
    for (int i = 0; i < o->point->programme.n_steps; i++) {
        if (o->changed[i]) {
            set_step(&steps[d->out->planned->first_step + i], &o->point->programme.steps[i]);
        }
    }
    *route = *from;
    route->stages = stages;
    stages[at].baths = baths;
    baths[b].steps = steps;
    return route;
}

static mdr_code offer(shortener *s, int i, mdr_err *err)
{
    mdr_dyer *d = &s->d;
    const mdr_shorten_point *p = &s->a->out->points[i];
    const int n = p->programme.n_steps;
    bool *changed = MDR_NEW_N(d->arena, bool, (size_t)n);
    const char **why = (const char **)mdr_arena_alloc(d->arena, (size_t)n, sizeof *why);
    const char **changes = (const char **)mdr_arena_alloc(d->arena, (size_t)n + 1, sizeof *changes);
    mdr_shorten_offer *o = &s->a->offers[i];
    if (changed == NULL || why == NULL || changes == NULL) {
        return no_memory(err);
    }
    *o = (mdr_shorten_offer){.point = p, .changed = changed, .why_words = why, .changes = changes};
    for (int k = 0; k < n; k++) {
        changed[k] = differs(&p->programme.steps[k], &s->in->base->steps[k]);
        why[k] = reason_words(p->why[k], s->in->fixes);
        if (changed[k]) {
            changes[o->n_changes++] = change_words(s, k, &p->programme.steps[k]);
        }
    }
    if (p->programme.speed_m_per_min != s->in->base->speed_m_per_min) {
        changes[o->n_changes++] =
            mdr_dyer_text(d, "Rope at %.0f m/min in place of %.0f", p->programme.speed_m_per_min,
                          s->in->base->speed_m_per_min);
    }
    o->route = route_of(s, o);
    return o->route == NULL ? no_memory(err) : MDR_OK;
}

/* -- in words -- */

static bool any_faster(const shortener *s)
{
    for (int i = 0; i < s->a->out->n_points; i++) {
        if (s->a->out->points[i].programme.speed_m_per_min > s->in->base->speed_m_per_min) {
            return true;
        }
    }
    return false;
}

static void say(shortener *s)
{
    const mdr_shorten_out *out = s->a->out;
    mdr_dyer *d = &s->d;
    const double now = out->base.minutes;
    if (out->wanted >= 0) {
        const double there = out->points[out->wanted].effect.minutes;
        s->a->words =
            there < now - 0.5
                ? mdr_dyer_text(d, "%.0f of %.0f minutes can be taken off within the limits.",
                                now - there, now)
            : out->base_kept
                ? "Nothing can be taken off within the limits: each step says what forbids it."
                : mdr_dyer_text(d,
                                "As it is the programme passes the limits; %.0f minutes more "
                                "would keep them.",
                                there - now);
    } else {
        s->a->words =
            out->stopped
                ? "The time was over before a programme was found that keeps the limits."
                : "No programme was found that keeps the limits: see what stands in the way.";
    }
    if (out->stopped) {
        s->a->notes[s->a->n_notes++] =
            "The search was stopped when its time was over: it is not complete. Ask for fewer "
            "points, or when less is being calculated.";
    }
    s->a->notes[s->a->n_notes++] =
        "Calculated, not tried: dye a lot with it before it becomes the rule.";
    if (out->as_level < 0 && !out->stopped) {
        s->a->notes[s->a->n_notes++] =
            "Nothing shorter was found that is nowhere less level than the programme as it is.";
    }
    if (s->reducer > 0) {
        s->a->notes[s->a->n_notes++] = mdr_dyer_text(
            d, "Step %d brings the dye on. A slow one loses to the air: check the reduction.",
            s->reducer);
    }
    if (any_faster(s)) {
        s->a->notes[s->a->n_notes++] =
            "A faster rope is harder on the fabric: mind creases and pilling, or keep the speed.";
    }
}

static mdr_code search(shortener *s, const mdr_go_on *go_on, mdr_err *err)
{
    mdr_dyer *d = &s->d;
    s->in = MDR_NEW(d->arena, mdr_shorten_in);
    if (s->in == NULL) {
        return no_memory(err);
    }
    MDR_TRY(limits(s, err));
    if (go_on != NULL) {
        s->in->go_on = *go_on;
    }
    MDR_TRY(mdr_dye_shorten(s->in, d->arena, &s->a->out, err));
    s->a->in = s->in;
    s->a->why = &WHY;
    s->a->offers = MDR_NEW_N(d->arena, mdr_shorten_offer, MDR_SHORTEN_POINTS_MAX);
    if (s->a->offers == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < s->a->out->n_points; i++) {
        MDR_TRY(offer(s, i, err));
    }
    say(s);
    return d->no_memory ? no_memory(err) : MDR_OK;
}

/* All that needs the app. */
static mdr_code begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                      mdr_err_list *found, shortener **out, mdr_err *err)
{
    shortener *s = MDR_NEW(arena, shortener);
    mdr_shorten_answer *a = MDR_NEW(arena, mdr_shorten_answer);
    if (s == NULL || a == NULL) {
        return no_memory(err);
    }
    s->a = a;
    MDR_TRY(mdr_wire_shorten_ask_read(ask.bytes, ask.len, arena, found, &s->ask, err));
    MDR_TRY(mdr_dyer_ready(&s->d, app, lot_id, &s->ask.dyeing, arena, found, err));
    a->dyeing = s->d.out;
    const mdr_app_route *stored = mdr_app_route_find(app, a->dyeing->plan->route->route_id);
    a->lots_on_route = stored != NULL ? stored->doc.lots : 0;
    *out = s;
    return MDR_OK;
}

static mdr_code finish(shortener *s, const mdr_go_on *go_on, mdr_err *err)
{
    const bool dyed = s->a->dyeing->planned->missing == MDR_DYEING_IS_THERE;
    return dyed ? search(s, go_on, err) : MDR_OK;
}

mdr_code mdr_app_shorten(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                         mdr_err_list *found, const mdr_shorten_answer **out, mdr_err *err)
{
    shortener *s = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &s, err));
    MDR_TRY(finish(s, NULL, err));
    *out = s->a;
    return MDR_OK;
}

static mdr_code answer(void *about, const mdr_go_on *go_on, mdr_blob *out, mdr_err *err)
{
    shortener *s = about;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(finish(s, go_on, err));
    MDR_TRY(mdr_wire_shorten(s->a, s->d.arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_shorten_begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                               mdr_err_list *found, mdr_app_work **out, mdr_err *err)
{
    shortener *s = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &s, err));
    const mdr_app_work_part part = {.run = answer, .about = s};
    return mdr_app_work_make(app, arena, &part, out, err);
}

mdr_code mdr_app_shorten_json(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                              mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    shortener *s = NULL;
    MDR_TRY(begin(app, lot_id, ask, arena, found, &s, err));
    return answer(s, NULL, out, err);
}
