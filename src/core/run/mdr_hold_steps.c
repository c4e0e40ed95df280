/* One remedy: each step done to the model of the vessel, timed by the machine, and written down. */
#include <math.h>

#include "core/bath/mdr_heat.h"
#include "core/bath/mdr_peroxide.h"
#include "core/run/mdr_hold_work.h"
#include "core/units/mdr_steam.h"

static const double L_PER_M3 = 1000.0;
static const double CREASES_C_PER_MIN = 2.0; /* steepest cooling of a knit, common practice */

/* -- words -- */

const char *mdr_hold_kept(mdr_hold_work *w, const char *text)
{
    w->no_memory = w->no_memory || text == NULL;
    return text != NULL ? text : "";
}

const char *mdr_hold_mass(mdr_hold_work *w, double kg)
{
    if (kg < 1.0) {
        return mdr_hold_say(w, "hold.give.grams",
                            mdr_lang_num(1000.0 * kg, kg < 0.001 ? 3
                                                      : kg < 0.1 ? 1
                                                                 : 0));
    }
    return mdr_hold_say(w, "hold.give.kilograms", mdr_lang_num(kg, kg < 100.0 ? 3 : 1));
}

void mdr_hold_break(mdr_hold_work *w, const char *why)
{
    w->broken = w->broken != NULL ? w->broken : why;
}

static void line(const char **lines, int *n, const char *text)
{
    for (int i = 0; i < *n; i++) {
        if (lines[i] == text) {
            return;
        }
    }
    if (*n < MDR_HOLD_LINES_MAX) {
        lines[(*n)++] = text;
    }
}

void mdr_hold_missing(mdr_hold_work *w, const char *what)
{
    line(w->missing, &w->out->n_missing, what);
}

void mdr_hold_caution(mdr_hold_work *w, const char *caution)
{
    line(w->cautions, &w->remedy.n_cautions, caution);
}

static void because(mdr_hold_work *w, mdr_hold_why why, const char *working)
{
    if (w->remedy.n_why < MDR_HOLD_LINES_MAX) {
        why.working = working;
        w->why[w->remedy.n_why++] = why;
    }
}

void mdr_hold_because(mdr_hold_work *w, mdr_hold_rule rule, const char *working)
{
    because(w, *mdr_hold_rule_of(rule), working);
}

void mdr_hold_because_plan(mdr_hold_work *w, mdr_rule rule, const char *working)
{
    const mdr_rule_info *r = mdr_rule_of(rule);
    because(w, (mdr_hold_why){r->id, r->title, r->words, r->source, r->anchor, NULL}, working);
}

void mdr_hold_expect(mdr_hold_work *w, double low, double value, double high)
{
    w->remedy.has_expected = true;
    w->remedy.expected_low = low;
    w->remedy.expected = value;
    w->remedy.expected_high = high;
}

/* -- begin and end -- */

void mdr_hold_begin(mdr_hold_work *w, mdr_remedy_kind kind)
{
    w->now = w->start;
    w->remedy = (mdr_remedy){.kind = kind};
    w->broken = NULL;
}

/* Copies what was put together into the arena. */
static bool keep(mdr_hold_work *w, mdr_remedy *r)
{
    mdr_control_step *steps = MDR_NEW_N(w->arena, mdr_control_step, (size_t)r->n_steps + 1);
    const char **cautions = MDR_NEW_N(w->arena, const char *, (size_t)r->n_cautions + 1);
    mdr_hold_why *why = MDR_NEW_N(w->arena, mdr_hold_why, (size_t)r->n_why + 1);
    if (steps == NULL || cautions == NULL || why == NULL) {
        return false;
    }
    for (int i = 0; i < r->n_steps; i++) {
        steps[i] = w->steps[i];
    }
    for (int i = 0; i < r->n_cautions; i++) {
        cautions[i] = w->cautions[i];
    }
    for (int i = 0; i < r->n_why; i++) {
        why[i] = w->why[i];
    }
    r->steps = steps;
    r->cautions = cautions;
    r->why = why;
    return true;
}

void mdr_hold_end(mdr_hold_work *w, mdr_hold_role approve, const char *words)
{
    mdr_remedy *r = &w->remedy;
    if (w->broken != NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.missing", mdr_lang_str(mdr_remedy_words(r->kind)),
                                         mdr_lang_str(w->broken)));
        return;
    }
    if (w->out->n_remedies == MDR_HOLD_REMEDIES_MAX) {
        return;
    }
    r->approve = w->in->check->on_fail == MDR_FAIL_STOP && approve == MDR_HOLD_BY_OPERATOR
                     ? MDR_HOLD_BY_TECHNOLOGIST
                     : approve;
    r->words = words;
    r->cost_minor += r->water_l / L_PER_M3 *
                     (w->in->site->water_minor_per_m3 + w->in->site->effluent_minor_per_m3);
    if (!keep(w, r)) {
        w->no_memory = true;
        return;
    }
    w->remedies[w->out->n_remedies++] = *r;
}

/* -- one step -- */

static double steel(const mdr_hold_work *w)
{
    return mdr_heat_capacity_kj_per_k(w->in->state->load_kg, w->now.liquor_l,
                                      w->in->machine->steel_kg);
}

mdr_control_step *mdr_hold_open(mdr_hold_work *w, mdr_step_kind kind, const char *note)
{
    if (w->remedy.n_steps == MDR_HOLD_STEPS_MAX) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.steps"));
        return NULL;
    }
    mdr_control_step *s = &w->steps[w->remedy.n_steps];
    *s = (mdr_control_step){
        .key = mdr_hold_kept(
            w, mdr_arena_printf(w->arena, "R%d.%d", w->in->remedy_number, w->remedy.n_steps + 1)),
        .bath = w->in->bath,
        .kind = kind,
        .note = note,
        .start_min = w->remedy.minutes,
        .temp_start_c = w->now.temp_c,
        .temp_end_c = w->now.temp_c,
        .liquor_l = w->now.liquor_l};
    return s;
}

void mdr_hold_shut(mdr_hold_work *w, mdr_control_step *s, double minutes)
{
    s->minutes = minutes;
    s->temp_end_c = w->now.temp_c;
    s->liquor_l = w->now.liquor_l;
    w->remedy.minutes += minutes;
    w->remedy.n_steps++;
}

/* Peroxide goes while it is hot and alkaline; elsewhere it stays. */
static void decay(mdr_hold_work *w, double minutes, double from_c, double to_c)
{
    static const double ALKALINE_PH = 9.0; /* common practice */
    double ph = 0.0;
    if (w->now.dissolved_kg[MDR_IN_H2O2] > 0.0 && mdr_hold_ph_of(&w->now, fmin(to_c, 100.0), &ph) &&
        ph > ALKALINE_PH) {
        w->now.dissolved_kg[MDR_IN_H2O2] *=
            mdr_peroxide_left_fraction(mdr_peroxide_equivalent_min(minutes, from_c, to_c));
    }
}

/* The smaller of two, where 0 says that there is no such limit. */
static double rate_of(double a_c_per_min, double b_c_per_min)
{
    return !(a_c_per_min > 0.0)   ? b_c_per_min
           : !(b_c_per_min > 0.0) ? a_c_per_min
                                  : fmin(a_c_per_min, b_c_per_min);
}

/* Minutes to this temperature; breaks the remedy where the machine does not reach it. */
static double ramp_min(mdr_hold_work *w, double temp_c, double rate_c_per_min)
{
    const mdr_machine *m = w->in->machine;
    const mdr_site *site = w->in->site;
    const bool heat = temp_c > w->now.temp_c;
    const double most =
        heat ? m->heat_max_c_per_min : rate_of(m->cool_max_c_per_min, CREASES_C_PER_MIN);
    const double rate = rate_of(most, rate_c_per_min);
    if (!(m->exchanger_kw_per_k > 0.0)) {
        return fabs(temp_c - w->now.temp_c) / rate;
    }
    const mdr_heat_ramp_in in = {
        .from_c = w->now.temp_c,
        .to_c = temp_c,
        .rate_c_per_min = rate,
        .capacity_kj_per_k = steel(w),
        .ua_kw_per_k = mdr_heat_effective_kw_per_k(m->exchanger_kw_per_k, m->circulation_l_per_min),
        .medium_c = heat ? mdr_steam_sat_temp_c(site->steam_barg) : site->cooling_water_c,
        .medium_max_kw = heat ? mdr_heat_steam_kw(m->steam_max_kg_per_h,
                                                  mdr_steam_hfg_kj_per_kg(site->steam_barg))
                              : 0.0};
    const mdr_heat_ramp ramp = mdr_heat_ramp_make(&in);
    if (!ramp.reachable) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.reach", mdr_lang_num(temp_c, 0)));
    }
    return ramp.minutes;
}

void mdr_hold_to_temp(mdr_hold_work *w, double temp_c)
{
    mdr_hold_to_temp_at(w, temp_c, 0.0);
}

void mdr_hold_to_temp_at(mdr_hold_work *w, double temp_c, double rate_c_per_min)
{
    static const double NEAR_C = 0.5;
    if (fabs(temp_c - w->now.temp_c) < NEAR_C) {
        return;
    }
    if (temp_c > w->in->machine->temp_max_c) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.temp",
                                       mdr_lang_num(w->in->machine->temp_max_c, 0),
                                       mdr_lang_num(temp_c, 0)));
        return;
    }
    const bool heat = temp_c > w->now.temp_c;
    const double from_c = w->now.temp_c, minutes = ramp_min(w, temp_c, rate_c_per_min);
    mdr_control_step *s = mdr_hold_open(w, heat ? MDR_STEP_HEAT : MDR_STEP_COOL, "");
    if (s != NULL) {
        w->now.temp_c = temp_c;
        decay(w, minutes, from_c, temp_c);
        mdr_hold_shut(w, s, minutes);
    }
}

void mdr_hold_run(mdr_hold_work *w, double minutes, const char *note)
{
    mdr_control_step *s = mdr_hold_open(w, MDR_STEP_HOLD, note);
    if (s != NULL) {
        decay(w, minutes, w->now.temp_c, w->now.temp_c);
        mdr_hold_shut(w, s, minutes);
    }
}

void mdr_hold_look(mdr_hold_work *w, mdr_check_kind kind, double low, double high,
                   const char *method)
{
    static const double LOOK_MIN = 3.0; /* common practice */
    mdr_control_step *s = mdr_hold_open(w, MDR_STEP_CHECK, "");
    mdr_control_state *state = MDR_NEW(w->arena, mdr_control_state);
    if (s == NULL || state == NULL) {
        w->no_memory = w->no_memory || state == NULL;
        return;
    }
    *state = *w->in->state; /* it may fail, too */
    state->temp_c = w->now.temp_c;
    state->liquor_l = w->now.liquor_l;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        state->dissolved_kg[i] = w->now.dissolved_kg[i];
    }
    s->state = state;
    s->check = (mdr_control_check){.kind = kind,
                                   .has_low = true,
                                   .has_high = true,
                                   .low = low,
                                   .high = high,
                                   .method = method,
                                   .remedy = "",
                                   .on_fail = MDR_FAIL_CORRECT};
    mdr_hold_shut(w, s, LOOK_MIN);
}

/* -- water -- */

void mdr_hold_drain(mdr_hold_work *w)
{
    const mdr_machine *m = w->in->machine;
    const double kept_l = w->in->state->retained_l_per_kg * w->in->state->load_kg;
    if (w->now.temp_c > m->drain_temp_max_c) {
        mdr_hold_to_temp(w, m->drain_temp_max_c);
    }
    if (kept_l >= w->now.liquor_l) { /* drained already */
        return;
    }
    mdr_control_step *s = mdr_hold_open(w, MDR_STEP_DRAIN, "");
    if (s == NULL) {
        return;
    }
    s->volume_l = w->now.liquor_l - kept_l;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        w->now.dissolved_kg[i] *= kept_l / w->now.liquor_l;
    }
    w->now.liquor_l = kept_l;
    mdr_hold_shut(w, s, s->volume_l / m->drain_l_per_min);
}

/* Lets in this much; as near to the temperature wanted as cold and hot water allow. */
static void let_in(mdr_hold_work *w, double water_l, double temp_c)
{
    const mdr_site *site = w->in->site;
    const double had_kj_per_k = steel(w);
    mdr_control_step *s = water_l > 0.0 ? mdr_hold_open(w, MDR_STEP_FILL, "") : NULL;
    if (s == NULL) {
        return;
    }
    const double hot_c = fmax(site->hot_water_c, site->cold_water_c);
    const double water_c =
        fmin(hot_c, fmax(site->cold_water_c,
                         mdr_heat_water_c(had_kj_per_k, w->now.temp_c, water_l, temp_c)));
    s->volume_l = water_l;
    s->water_temp_c = water_c;
    w->now.temp_c = mdr_heat_mixed_c(had_kj_per_k, w->now.temp_c, water_l, water_c);
    w->now.liquor_l += water_l;
    w->now.dissolved_kg[MDR_IN_NAHCO3] += mdr_hold_bicarbonate_kg(site, water_l);
    w->remedy.water_l += water_l;
    mdr_hold_shut(w, s, water_l / w->in->machine->fill_l_per_min);
}

void mdr_hold_fill(mdr_hold_work *w, double temp_c)
{
    mdr_hold_refill(w, temp_c);
    mdr_hold_to_temp(w, temp_c);
}

void mdr_hold_refill(mdr_hold_work *w, double temp_c)
{
    let_in(w, w->in->state->liquor_l - w->now.liquor_l, temp_c);
}

void mdr_hold_top_up(mdr_hold_work *w, double water_l)
{
    if (w->now.liquor_l + water_l > w->in->machine->liquor_max_l) {
        mdr_hold_break(
            w,
            mdr_hold_say(w, "hold.cannot.volume",
                         mdr_lang_num(w->now.liquor_l + water_l - w->in->machine->liquor_max_l, 0),
                         mdr_lang_num(w->in->machine->liquor_max_l, 0)));
        return;
    }
    const double warm_c = w->now.temp_c;
    let_in(w, water_l, warm_c);
    mdr_hold_to_temp(w, warm_c);
}
