/* A lot's dyeing as JSON. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "wire/mdr_dyeing_write_in.h"
#include "wire/mdr_plan_out.h"

static const double PCT = 100.0;

/* Curves are looked at, not reckoned with: six digits keep the document small. */
static double round_to(double v)
{
    static const double DIGITS = 6.0;
    if (v == 0.0 || !isfinite(v)) {
        return v;
    }
    const double unit = pow(10.0, floor(log10(fabs(v))) + 1.0 - DIGITS);
    return unit < 1.0 ? round(v / unit) / (1.0 / unit) : round(v / unit) * unit;
}

void mdr_dyeing_put(const mdr_dyeing_writer *w, const char *key, double v)
{
    mdr_json_number(w->j, key, round_to(v));
}

void mdr_dyeing_put_or_null(const mdr_dyeing_writer *w, const char *key, bool known, double v)
{
    if (known) {
        mdr_dyeing_put(w, key, v);
    } else {
        mdr_json_null(w->j, key);
    }
}

/* -- programme -- */

const char *mdr_dyeing_kind_id(mdr_dye_step_kind kind)
{
    return kind == MDR_DYE_DOSE ? "dose" : kind == MDR_DYE_RAMP ? "ramp" : "run";
}

const char *mdr_dyeing_curve_id(const mdr_dye_step *s)
{
    return mdr_curve_id(s->portions >= 2    ? MDR_CURVE_PORTIONS
                        : s->exponent > 1.0 ? MDR_CURVE_PROGRESSIVE
                        : s->exponent < 1.0 ? MDR_CURVE_DEGRESSIVE
                                            : MDR_CURVE_LINEAR);
}

static double product_kg(const mdr_dyeing_writer *w, const mdr_dye_step *s)
{
    const mdr_plan_step *p = &w->o->planned->bath->steps[s->number - 1];
    double kg = 0.0;
    for (int i = 0; i < p->n_items; i++) {
        kg += mdr_fig_value(&w->o->plan->figs, p->items[i].mass_kg);
    }
    return kg * s->amount;
}

static void put_dose(const mdr_dyeing_writer *w, int i)
{
    const mdr_dye_programme *p = &w->o->study->programme;
    const mdr_dye_step *s = &p->steps[i];
    mdr_json_bool(w->j, "can_change",
                  s->gives != MDR_GIVES_DYE || mdr_dye_dissolved_by(p, w->o->times, i) == i);
    mdr_dyeing_put(w, "kg", product_kg(w, s));
    mdr_dyeing_put(w, "amount_pct", PCT * s->amount);
    mdr_dyeing_put(w, "least_min", s->least_min);
    mdr_json_text(w->j, "curve", mdr_dyeing_curve_id(s));
    mdr_dyeing_put_or_null(w, "exponent", s->portions < 2 && s->exponent != 1.0, s->exponent);
    mdr_dyeing_put_or_null(w, "portions", s->portions >= 2, s->portions);
    mdr_dyeing_put(w, "cycles", s->minutes / w->o->result.rope.cycle_min);
}

static void put_ramp(const mdr_dyeing_writer *w, const mdr_dye_step *s, const mdr_dye_time *t)
{
    const mdr_dye_vessel *v = &w->o->study->programme.vessel;
    mdr_dyeing_put(w, "from_c", t->from_c);
    mdr_dyeing_put(w, "to_c", s->to_c);
    mdr_dyeing_put(w, "rate_c_per_min", t->rate_c_per_min);
    mdr_dyeing_put_or_null(w, "rate_asked_c_per_min", s->rate_c_per_min > 0.0, s->rate_c_per_min);
    mdr_dyeing_put(w, "steepest_c_per_min",
                   s->to_c >= t->from_c ? v->heat_max_c_per_min : v->cool_max_c_per_min);
    mdr_json_bool(w->j, "reached", t->limit != MDR_DYE_LIMIT_UNREACHED);
}

static void put_step(const mdr_dyeing_writer *w, int i)
{
    const mdr_dye_step *s = &w->o->study->programme.steps[i];
    const mdr_dye_time *t = &w->o->times[i], *was = &w->o->times_planned[i];
    mdr_json *j = w->j;
    mdr_json_object(j, NULL);
    mdr_json_int(j, "step", s->number);
    mdr_json_text(j, "kind", mdr_dyeing_kind_id(s->kind));
    mdr_json_text(j, "gives", s->kind == MDR_DYE_DOSE ? mdr_dye_gives_id(s->gives) : NULL);
    mdr_json_text(j, "words", w->o->step_words[i]);
    mdr_dyeing_put(w, "start_min", t->start_min);
    mdr_dyeing_put(w, "end_min", t->end_min);
    mdr_dyeing_put(w, "minutes", t->end_min - t->start_min);
    mdr_dyeing_put(w, "minutes_planned", was->end_min - was->start_min);
    mdr_json_bool(j, "changed", w->o->changed[i]);
    mdr_json_bool(j, "beside", s->beside);
    mdr_dyeing_put(w, "offset_min", s->offset_min);
    if (s->kind == MDR_DYE_DOSE) {
        put_dose(w, i);
    } else if (s->kind == MDR_DYE_RAMP) {
        put_ramp(w, s, t);
    } else {
        const mdr_route_step *asked = w->o->planned->bath->steps[s->number - 1].asked;
        mdr_dyeing_put(w, "temp_c", t->from_c);
        mdr_json_text(j, "check",
                      asked->kind == MDR_STEP_CHECK ? mdr_check_id(asked->check.kind) : NULL);
    }
    mdr_json_text(j, "limit", mdr_dye_limit_id(t->limit));
    mdr_json_end_object(j);
}

static void put_programme(const mdr_dyeing_writer *w)
{
    const mdr_dye_programme *p = &w->o->study->programme;
    const mdr_dye_programme *planned = &w->o->planned->programme;
    mdr_json_object(w->j, "programme");
    mdr_dyeing_put(w, "start_min", w->o->planned->start_min);
    mdr_dyeing_put(w, "minutes", w->o->result.course.minutes);
    mdr_dyeing_put(w, "minutes_planned", w->o->minutes_planned);
    mdr_dyeing_put(w, "speed_m_per_min", p->speed_m_per_min);
    mdr_dyeing_put(w, "speed_planned_m_per_min", planned->speed_m_per_min);
    mdr_dyeing_put(w, "speed_least_m_per_min", planned->speed_least_m_per_min);
    mdr_dyeing_put(w, "speed_most_m_per_min", planned->speed_most_m_per_min);
    mdr_json_array(w->j, "steps");
    for (int i = 0; i < p->n_steps; i++) {
        put_step(w, i);
    }
    mdr_json_end_array(w->j);
    mdr_json_end_object(w->j);
}

/* -- rope and course -- */

static void put_rope(const mdr_dyeing_writer *w)
{
    const mdr_dyeing_rope *r = &w->o->rope;
    const double cycle_min = w->o->result.rope.cycle_min;
    const double free_l = w->o->planned->programme.conc_l - r->held_l_per_kg * r->load_kg;
    mdr_json_object(w->j, "rope");
    mdr_dyeing_put(w, "load_kg", r->load_kg);
    mdr_json_int(w->j, "tubes", r->tubes);
    mdr_dyeing_put(w, "held_l_per_kg", r->held_l_per_kg);
    mdr_dyeing_put(w, "free_l", free_l);
    mdr_dyeing_put(w, "cycle_min", cycle_min);
    mdr_json_array(w->j, "tube_cycle_min");
    for (int t = 0; t < r->tubes; t++) {
        mdr_dyeing_put(w, NULL, cycle_min * r->tube_share[t] * r->tubes);
    }
    mdr_json_end_array(w->j);
    mdr_json_array(w->j, "tube_share_pct");
    for (int t = 0; t < r->tubes; t++) {
        mdr_dyeing_put(w, NULL, PCT * r->tube_share[t]);
    }
    mdr_json_end_array(w->j);
    mdr_dyeing_put(w, "zone_pct", PCT * r->zone_fraction);
    mdr_dyeing_put(w, "exchange_per_min", r->exchange_per_min);
    mdr_dyeing_put_or_null(w, "flow_l_per_kg_min", r->flow_l_per_min > 0.0,
                           r->flow_l_per_min / r->load_kg);
    mdr_dyeing_put_or_null(
        w, "bath_cycle_min", r->flow_l_per_min > 0.0,
        r->flow_l_per_min > 0.0 ? w->o->planned->programme.conc_l / r->flow_l_per_min : 0.0);
    mdr_json_int(w->j, "slices", w->o->study->slices);
    mdr_json_end_object(w->j);
}

static void put_course(const mdr_dyeing_writer *w)
{
    static const char *const COLUMNS[] = {
        "t_min", "temp_c", "liquor_l", "sodium_mol_per_l", "salt_g_per_l", "alkali_g_per_l", "ph"};
    const mdr_dye_course *c = &w->o->result.course;
    mdr_json_object(w->j, "course");
    mdr_json_array(w->j, "columns");
    for (size_t i = 0; i < sizeof COLUMNS / sizeof COLUMNS[0]; i++) {
        mdr_json_text(w->j, NULL, COLUMNS[i]);
    }
    mdr_json_end_array(w->j);
    mdr_json_array(w->j, "points");
    for (int i = 0; i < c->n_moments; i++) {
        const mdr_dyeing_moment *m = &c->moments[i];
        mdr_json_array(w->j, NULL);
        mdr_dyeing_put(w, NULL, m->t_min);
        mdr_dyeing_put(w, NULL, m->temp_c);
        mdr_dyeing_put(w, NULL, m->liquor_l);
        mdr_dyeing_put(w, NULL, m->sodium_mol_per_l);
        mdr_dyeing_put(w, NULL, c->salt_g_per_l[i]);
        mdr_dyeing_put(w, NULL, c->alkali_g_per_l[i]);
        mdr_dyeing_put(w, NULL, m->ph);
        mdr_json_end_array(w->j);
    }
    mdr_json_end_array(w->j);
    mdr_json_end_object(w->j);
}

/* -- curves -- */

static void put_bare(const mdr_dyeing_writer *w, const char *key, const double *v)
{
    mdr_json_array(w->j, key);
    for (int k = 0; k < w->o->result.dyeing->n_samples; k++) {
        mdr_dyeing_put_or_null(w, NULL, v[k] >= 0.0, v[k]);
    }
    mdr_json_end_array(w->j);
}

/* One quantity of one dye, in per cent; a second one is added. */
static void put_series(const mdr_dyeing_writer *w, const char *key, const double *v,
                       const double *more, double factor, int dye)
{
    const mdr_dyeing *d = w->o->result.dyeing;
    mdr_json_array(w->j, key);
    for (int k = 0; k < d->n_samples; k++) {
        const size_t at = (size_t)k * (size_t)d->n_dyes + (size_t)dye;
        mdr_dyeing_put(w, NULL, factor * (v[at] + (more != NULL ? more[at] : 0.0)));
    }
    mdr_json_end_array(w->j);
}

static void put_curve_of(const mdr_dyeing_writer *w, int dye)
{
    const mdr_dyeing *d = w->o->result.dyeing;
    const double end = mdr_dyeing_last(d, d->on_fibre, dye);
    mdr_json_object(w->j, NULL);
    mdr_json_text(w->j, "dye_id", w->o->dyes[dye].material->material_id);
    put_series(w, "given_pct", d->given, NULL, PCT, dye);
    put_series(w, "on_fibre_pct", d->on_fibre, NULL, PCT, dye);
    put_series(w, "fixed_pct", d->fixed, NULL, PCT, dye);
    put_series(w, "bath_pct", d->bath_active, d->bath_hydrolysed, PCT, dye);
    put_series(w, "held_pct", d->held, NULL, PCT, dye);
    put_series(w, "hydrolysed_pct", d->hydrolysed, NULL, PCT, dye);
    put_series(w, "strike_pct_per_contact", d->strike_per_contact_pct, NULL, 1.0, dye);
    put_series(w, "of_final_pct", d->on_fibre, NULL, end > 0.0 ? PCT / end : 0.0, dye);
    mdr_json_end_object(w->j);
}

static void put_curves(const mdr_dyeing_writer *w)
{
    const mdr_dyeing *d = w->o->result.dyeing;
    mdr_json_object(w->j, "curves");
    mdr_json_array(w->j, "t_min");
    for (int k = 0; k < d->n_samples; k++) {
        mdr_dyeing_put(w, NULL, d->t_min[k]);
    }
    mdr_json_end_array(w->j);
    mdr_dyeing_put(w, "contact_limit_pct", w->o->study->limit_pct_per_contact);
    put_bare(w, "strike_pct_per_contact", w->o->strike_pct);
    put_bare(w, "spread_pct", w->o->spread_pct);
    put_bare(w, "de", w->o->de);
    mdr_json_array(w->j, "dyes");
    for (int i = 0; i < d->n_dyes; i++) {
        put_curve_of(w, i);
    }
    mdr_json_end_array(w->j);
    mdr_json_end_object(w->j);
}

/* -- all of it -- */

static void put_bath(const mdr_dyeing_writer *w)
{
    const mdr_plan_dyeing *p = w->o->planned;
    mdr_json_object(w->j, "bath");
    mdr_json_int(w->j, "number", p->bath->number);
    mdr_json_text(w->j, "name", p->bath->asked->name);
    mdr_json_array(w->j, "others");
    for (int i = 0; i < p->n_others; i++) {
        mdr_json_int(w->j, NULL, p->others[i]);
    }
    mdr_json_end_array(w->j);
    mdr_json_end_object(w->j);
}

void mdr_dyeing_put_why(mdr_json *j, const char *key, const mdr_dyeing_reason *r)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "label", r->label);
    mdr_json_text(j, "words", r->words);
    mdr_json_text(j, "source", r->source);
    mdr_json_text(j, "anchor", r->anchor);
    mdr_json_end_object(j);
}

static void put_whys(const mdr_dyeing_writer *w)
{
    static const char *const KEYS[] = {
#define KEY(name, key) key,
        MDR_DYEING_WHYS(KEY)
#undef KEY
    };
    mdr_json_object(w->j, "why");
    for (int i = 0; i < MDR_DYEING_WHY_COUNT; i++) {
        mdr_dyeing_put_why(w->j, KEYS[i], &w->o->whys[i]);
    }
    mdr_json_end_object(w->j);
}

static void put_notes(const mdr_dyeing_writer *w)
{
    mdr_json_array(w->j, "notes");
    for (int i = 0; i < w->o->n_notes; i++) {
        mdr_json_text(w->j, NULL, w->o->notes[i]);
    }
    mdr_json_end_array(w->j);
}

static bool put_simulated(const mdr_dyeing_writer *w, mdr_arena *arena)
{
    mdr_json_text(w->j, "dye_class", mdr_dye_class_id(w->o->plan->route->dye_class));
    put_programme(w);
    put_rope(w);
    put_course(w);
    put_curves(w);
    const bool fits = mdr_dyeing_put_answers(w, arena);
    put_whys(w);
    return fits;
}

bool mdr_dyeing_put_head(const mdr_dyeing_writer *w)
{
    const mdr_no_dyeing missing = w->o->planned->missing;
    const bool there = missing == MDR_DYEING_IS_THERE;
    mdr_json_bool(w->j, "simulated", there);
    if (there) {
        mdr_json_null(w->j, "reason");
        put_bath(w);
        return true;
    }
    mdr_json_object(w->j, "reason");
    mdr_json_text(w->j, "code", mdr_no_dyeing_id(missing));
    mdr_json_text(w->j, "words", mdr_no_dyeing_words(missing));
    mdr_json_end_object(w->j);
    return false;
}

mdr_code mdr_wire_dyeing(const mdr_dyeing_out *out, mdr_arena *arena, char **text, size_t *len,
                         mdr_err *err)
{
    enum { USUAL_BYTES = 256 * 1024 };
    mdr_plan_out o;
    MDR_TRY(mdr_plan_out_make(out->plan, arena, USUAL_BYTES, &o, err));
    const mdr_dyeing_writer w = {.j = &o.j, .o = out};
    mdr_json_object(&o.j, NULL);
    mdr_out_lot(&o, out->revision);
    const bool fits = !mdr_dyeing_put_head(&w) || put_simulated(&w, arena);
    put_notes(&w);
    mdr_json_end_object(&o.j);
    if (!fits) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the map of the rope");
    }
    return mdr_json_done(&o.j, text, len, err);
}
