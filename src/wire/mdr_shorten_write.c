/* The search for a shorter dyeing as JSON. */
#include "wire/mdr_dyeing_write_in.h"
#include "wire/mdr_plan_out.h"
#include "wire/mdr_route_shape.h"
#include "wire/mdr_shorten_out.h"

static const double PCT = 100.0;

typedef struct writer {
    mdr_dyeing_writer w;
    const mdr_shorten_answer *a;
} writer;

static double mean_fixation(const writer *x, const mdr_dye_effect *e)
{
    double fixed = 0.0, kg = 0.0;
    for (int k = 0; k < x->a->in->base->n_dyes; k++) {
        fixed += x->a->kg[k] * e->fixed[k];
        kg += x->a->kg[k];
    }
    return PCT * fixed / kg;
}

static void put_effect(const writer *x, const char *key, const mdr_dye_effect *e)
{
    const mdr_dyeing_writer *w = &x->w;
    mdr_json_object(w->j, key);
    mdr_dyeing_put(w, "minutes", e->minutes);
    mdr_dyeing_put(w, "strike_pct_per_contact", e->strike_pct_per_contact);
    mdr_dyeing_put(w, "strike_min", e->strike_min);
    mdr_dyeing_put(w, "spread_before_pct", PCT * e->spread_before);
    mdr_dyeing_put(w, "spread_fixing_pct", PCT * e->spread_fixing);
    mdr_dyeing_put(w, "spread_end_pct", PCT * e->spread_end);
    mdr_dyeing_put(w, "de_before", x->a->de_per_spread * e->spread_before);
    mdr_dyeing_put(w, "de_fixing", x->a->de_per_spread * e->spread_fixing);
    mdr_dyeing_put(w, "de_end", x->a->de_per_spread * e->spread_end);
    mdr_dyeing_put(w, "fixation_pct", mean_fixation(x, e));
    mdr_json_end_object(w->j);
}

static void put_limits(const writer *x)
{
    const mdr_shorten_in *in = x->a->in;
    const mdr_dyeing_writer *w = &x->w;
    mdr_json_object(w->j, "limits");
    mdr_dyeing_put(w, "strike_pct_per_contact", in->strike_limit_pct);
    mdr_dyeing_put(w, "de", x->a->de_limit);
    mdr_dyeing_put(w, "de_fixing", x->a->fixing_limit_de);
    mdr_dyeing_put(w, "spread_pct", PCT * in->spread_limit);
    mdr_dyeing_put(w, "fixation_allowance_pct", PCT * in->fixation_allowance);
    mdr_dyeing_put(w, "fixation_allowance_worst_pct", PCT * in->fixation_allowance_worst);
    mdr_dyeing_put(w, "run_least_min", in->run_least_min);
    mdr_dyeing_put(w, "turns_least_salt", in->turns_least[MDR_GIVES_SALT]);
    mdr_dyeing_put(w, "turns_least_dye", in->turns_least[MDR_GIVES_DYE]);
    mdr_dyeing_put(w, "turns_least_alkali", in->turns_least[MDR_GIVES_ALKALI]);
    mdr_json_bool(w->j, "keep_speed", in->keep_speed);
    mdr_json_end_object(w->j);
}

/* As a change of a dyeing: what POST /api/lots/{id}/dyeing takes for this step. */
static void put_change(const mdr_dyeing_writer *w, const mdr_dye_step *s)
{
    mdr_json_object(w->j, NULL);
    mdr_json_int(w->j, "step", s->number);
    if (s->kind == MDR_DYE_RAMP) {
        mdr_dyeing_put(w, "rate_c_per_min", s->rate_c_per_min);
    } else {
        mdr_dyeing_put(w, "minutes", s->minutes);
    }
    if (s->kind == MDR_DYE_DOSE && s->portions < 2) {
        mdr_json_text(w->j, "curve", mdr_dyeing_curve_id(s));
        if (s->exponent != 1.0) {
            mdr_dyeing_put(w, "exponent", s->exponent);
        }
    }
    mdr_json_end_object(w->j);
}

static void put_body(const writer *x, const mdr_shorten_offer *o)
{
    const mdr_dye_programme *p = &o->point->programme;
    mdr_json_object(x->w.j, "dyeing");
    mdr_dyeing_put(&x->w, "speed_m_per_min", p->speed_m_per_min);
    mdr_json_array(x->w.j, "steps");
    for (int i = 0; i < p->n_steps; i++) {
        if (o->changed[i]) {
            put_change(&x->w, &p->steps[i]);
        }
    }
    mdr_json_end_array(x->w.j);
    mdr_json_end_object(x->w.j);
}

static void put_step(const writer *x, const mdr_shorten_offer *o, int i)
{
    const mdr_dye_step *s = &o->point->programme.steps[i];
    const mdr_dyeing_writer *w = &x->w;
    mdr_dye_time now[MDR_DYE_STEPS_MAX];
    (void)mdr_dye_programme_times(&o->point->programme, now);
    const mdr_dye_time *was = &x->a->dyeing->times[i];
    mdr_json_object(w->j, NULL);
    mdr_json_int(w->j, "step", s->number);
    mdr_json_text(w->j, "kind", mdr_dyeing_kind_id(s->kind));
    mdr_json_text(w->j, "gives", s->kind == MDR_DYE_DOSE ? mdr_dye_gives_id(s->gives) : NULL);
    mdr_json_text(w->j, "words", x->a->dyeing->step_words[i]);
    mdr_dyeing_put(w, "minutes", now[i].end_min - now[i].start_min);
    mdr_dyeing_put(w, "minutes_planned", was->end_min - was->start_min);
    mdr_json_text(w->j, "curve", s->kind == MDR_DYE_DOSE ? mdr_dyeing_curve_id(s) : NULL);
    mdr_dyeing_put_or_null(w, "exponent",
                           s->kind == MDR_DYE_DOSE && s->portions < 2 && s->exponent != 1.0,
                           s->exponent);
    mdr_dyeing_put_or_null(w, "rate_c_per_min", s->kind == MDR_DYE_RAMP, now[i].rate_c_per_min);
    mdr_json_bool(w->j, "changed", o->changed[i]);
    mdr_json_text(w->j, "why", mdr_shorten_reason_id(o->point->why[i]));
    mdr_json_text(w->j, "why_words", o->why_words[i]);
    mdr_json_end_object(w->j);
}

static void put_point(const writer *x, const mdr_shorten_offer *o)
{
    const mdr_shorten_point *p = o->point;
    const mdr_dyeing_writer *w = &x->w;
    mdr_json_object(w->j, NULL);
    mdr_dyeing_put(w, "minutes", p->effect.minutes);
    mdr_dyeing_put(w, "saved_min", x->a->out->base.minutes - p->effect.minutes);
    mdr_dyeing_put(w, "factor", p->factor);
    mdr_json_bool(w->j, "kept", p->kept);
    mdr_json_bool(w->j, "less_level", p->less_level);
    put_effect(x, "effect", &p->effect);
    put_effect(x, "worst", &p->worst);
    mdr_dyeing_put(w, "fixed_less_pct", PCT * p->fixed_less);
    mdr_dyeing_put(w, "fixed_less_worst_pct", PCT * p->fixed_less_worst);
    mdr_dyeing_put(w, "speed_m_per_min", p->programme.speed_m_per_min);
    mdr_json_array(w->j, "steps");
    for (int i = 0; i < p->programme.n_steps; i++) {
        put_step(x, o, i);
    }
    mdr_json_end_array(w->j);
    mdr_json_array(w->j, "changes");
    for (int i = 0; i < o->n_changes; i++) {
        mdr_json_text(w->j, NULL, o->changes[i]);
    }
    mdr_json_end_array(w->j);
    put_body(x, o);
    w->j->exact = true; /* as a route is written: limits must be met when it is read again */
    mdr_wire_put_route(w->j, "route", o->route);
    w->j->exact = false;
    mdr_json_int(w->j, "lots_on_route", x->a->lots_on_route);
    mdr_json_bool(w->j, "speed_changed",
                  p->programme.speed_m_per_min != x->a->in->base->speed_m_per_min);
    mdr_json_end_object(w->j);
}

static void put_index(mdr_json *j, const char *key, int at)
{
    if (at >= 0) {
        mdr_json_int(j, key, at);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_found(const writer *x)
{
    const mdr_shorten_answer *a = x->a;
    mdr_json *j = x->w.j;
    put_limits(x);
    put_effect(x, "base", &a->out->base);
    put_effect(x, "base_worst", &a->out->base_worst);
    mdr_json_bool(j, "base_kept", a->out->base_kept);
    mdr_json_array(j, "points");
    for (int i = 0; i < a->out->n_points; i++) {
        put_point(x, &a->offers[i]);
    }
    mdr_json_end_array(j);
    put_index(j, "wanted", a->out->wanted);
    put_index(j, "as_level", a->out->as_level);
    mdr_json_text(j, "words", a->words);
    mdr_json_int(j, "runs", a->out->runs);
    mdr_json_bool(j, "stopped", a->out->stopped);
    mdr_json_object(j, "why");
    mdr_dyeing_put_why(j, "shorten", a->why);
    mdr_json_end_object(j);
}

mdr_code mdr_wire_shorten(const mdr_shorten_answer *answer, mdr_arena *arena, char **text,
                          size_t *len, mdr_err *err)
{
    enum { USUAL_BYTES = 128 * 1024 };
    mdr_plan_out o;
    MDR_TRY(mdr_plan_out_make(answer->dyeing->plan, arena, USUAL_BYTES, &o, err));
    const writer x = {.w = {.j = &o.j, .o = answer->dyeing}, .a = answer};
    mdr_json_object(&o.j, NULL);
    mdr_out_lot(&o, answer->dyeing->revision);
    if (mdr_dyeing_put_head(&x.w)) {
        put_found(&x);
    }
    mdr_json_array(&o.j, "notes");
    for (int i = 0; i < answer->n_notes; i++) {
        mdr_json_text(&o.j, NULL, answer->notes[i]);
    }
    mdr_json_end_array(&o.j);
    mdr_json_end_object(&o.j);
    return mdr_json_done(&o.j, text, len, err);
}
