/* What was asked for, into the programme and the rope. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dyeing_in.h"

static const double PCT = 100.0;
/* Curves that most controllers offer: common practice. */
static const double PROGRESSIVE = 2.0, DEGRESSIVE = 0.5;
enum { PORTIONS_USUAL = 3 };
static const double LEAST_OF_EVEN = 0.2; /* a rope's share, of an even one; invented */

/* -- all doses of a kind -- */

static void set_minutes(mdr_dye_programme *p, mdr_dye_gives gives, double minutes)
{
    double sum = 0.0;
    for (int i = 0; i < p->n_steps; i++) {
        sum += p->steps[i].gives == gives ? p->steps[i].minutes : 0.0;
    }
    for (int i = 0; i < p->n_steps; i++) {
        if (p->steps[i].gives == gives) {
            p->steps[i].minutes *= minutes / sum;
        }
    }
}

static void set_amount(mdr_dye_programme *p, mdr_dye_gives gives, double pct)
{
    for (int i = 0; i < p->n_steps; i++) {
        p->steps[i].amount *= p->steps[i].gives == gives ? pct / PCT : 1.0;
    }
}

static void whole_programme(const mdr_dyeing_ask *q, mdr_dye_programme *p)
{
    if (q->has_salt_min) {
        set_minutes(p, MDR_GIVES_SALT, q->dose_salt_min);
    }
    if (q->has_dye_min) {
        set_minutes(p, MDR_GIVES_DYE, q->dose_dye_min);
    }
    if (q->has_alkali_min) {
        set_minutes(p, MDR_GIVES_ALKALI, q->dose_alkali_min);
    }
    set_amount(p, MDR_GIVES_SALT, q->salt_pct);
    set_amount(p, MDR_GIVES_ALKALI, q->alkali_pct);
    p->speed_m_per_min = q->has_speed ? q->speed_m_per_min : p->speed_m_per_min;
    p->start_c += q->temp_shift_c;
    for (int i = 0; i < p->n_steps; i++) {
        p->steps[i].to_c += p->steps[i].kind == MDR_DYE_RAMP ? q->temp_shift_c : 0.0;
    }
}

/* Of a vat dye that is in before its reducer it does not matter how it was given. */
static mdr_code check_dye_min(const mdr_dyer *d, mdr_err *err)
{
    const mdr_dye_programme *p = &d->study->programme;
    int reducer = -1;
    for (int i = 0; i < p->n_steps; i++) {
        if (p->steps[i].gives == MDR_GIVES_DYE) {
            reducer = mdr_dye_dissolved_by(p, d->out->times_planned, i);
            if (reducer == i) {
                return MDR_OK;
            }
        }
    }
    if (!d->ask.has_dye_min || reducer < 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "dose_dye_min",
                                 "a vat dye goes on with its reducer, however it was given");
    mdr_err_value(err, "%.15g", d->ask.dose_dye_min);
    mdr_err_allowed(err, "left out for this lot");
    mdr_err_remedy(err, "change the minutes of step %d, which gives the dithionite",
                   p->steps[reducer].number);
    return rc;
}

/* What is typed is the shift: the moment of the course that it drives too far is nobody's. */
static mdr_code check_shift(double shift_c, const mdr_dye_programme *p, mdr_err *err)
{
    static const double LEAST_C = 0.0, MOST_C = 100.0; /* of mdr_dye_rates.h */
    double least_c = p->start_c, most_c = p->start_c;
    for (int i = 0; i < p->n_steps; i++) {
        if (p->steps[i].kind == MDR_DYE_RAMP) {
            least_c = fmin(least_c, p->steps[i].to_c);
            most_c = fmax(most_c, p->steps[i].to_c);
        }
    }
    if (shift_c == 0.0 || (least_c >= LEAST_C && most_c <= MOST_C)) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_RANGE, "temp_shift_c",
                 "the bath would be colder or hotter than the dyes' rates are known for");
    mdr_err_value(err, "%.15g", shift_c);
    mdr_err_allowed(err, "%.3g to %.3g degC for this dyeing", shift_c + LEAST_C - least_c,
                    shift_c + MOST_C - most_c);
    mdr_err_remedy(err, "shift it less, or give the single ramps another temperature");
    return rc;
}

/* -- single steps -- */

static mdr_code cannot(int i, const char *field, const char *what, const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, field, "%s", what);
    mdr_err_within(err, "steps[%d]", i);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* A member that says nothing of such a step is a mistake, not a wish. */
static mdr_code fits(const mdr_dyeing_change *c, const mdr_dye_step *s, int i, mdr_err *err)
{
    static const char *const DOSES = "only a dose has this", *const RAMPS = "only a ramp has this";
    static const char *const LEAVE = "leave it out for this step";
    const bool dose = s->kind == MDR_DYE_DOSE, ramp = s->kind == MDR_DYE_RAMP;
    if (c->has_curve && !dose) {
        return cannot(i, "curve", DOSES, LEAVE, err);
    }
    if (c->has_exponent && !dose) {
        return cannot(i, "exponent", DOSES, LEAVE, err);
    }
    if (c->has_portions && !dose) {
        return cannot(i, "portions", DOSES, LEAVE, err);
    }
    if (c->has_amount && s->gives != MDR_GIVES_SALT && s->gives != MDR_GIVES_ALKALI) {
        return cannot(i, "amount_pct", "only salt and alkali can be given more or less of",
                      "change the recipe or the route for anything else", err);
    }
    if (c->has_offset && !s->beside) {
        return cannot(i, "offset_min", "only a dose that runs beside has this", LEAVE, err);
    }
    if (c->has_to && !ramp) {
        return cannot(i, "to_c", RAMPS, LEAVE, err);
    }
    if (c->has_rate && !ramp) {
        return cannot(i, "rate_c_per_min", RAMPS, LEAVE, err);
    }
    if (c->has_minutes && ramp) {
        return cannot(i, "minutes", "a ramp takes as long as its rate makes it",
                      "give rate_c_per_min", err);
    }
    return MDR_OK;
}

/* What a change without the word means. */
static mdr_curve_kind curve_of(const mdr_dyeing_change *c)
{
    if (c->has_curve) {
        return c->curve;
    }
    if (c->has_portions) {
        return MDR_CURVE_PORTIONS;
    }
    return c->exponent > 1.0   ? MDR_CURVE_PROGRESSIVE
           : c->exponent < 1.0 ? MDR_CURVE_DEGRESSIVE
                               : MDR_CURVE_LINEAR;
}

static mdr_code check_exponent(const mdr_dyeing_change *c, mdr_curve_kind curve, int i,
                               mdr_err *err)
{
    if (!c->has_exponent) {
        return MDR_OK;
    }
    if (curve == MDR_CURVE_LINEAR && c->exponent != 1.0) {
        return cannot(i, "exponent", "a linear dose has no exponent",
                      "leave it out, or say progressive or degressive", err);
    }
    if (curve == MDR_CURVE_PROGRESSIVE && c->exponent <= 1.0) {
        return cannot(i, "exponent", "a progressive dose begins slowly", "more than 1 up to 10",
                      err);
    }
    if (curve == MDR_CURVE_DEGRESSIVE && c->exponent >= 1.0) {
        return cannot(i, "exponent", "a degressive dose begins quickly", "0.1 to less than 1", err);
    }
    return MDR_OK;
}

static mdr_code change_curve(const mdr_dyeing_change *c, mdr_dye_step *s, int i, mdr_err *err)
{
    if (!c->has_curve && !c->has_exponent && !c->has_portions) {
        return MDR_OK;
    }
    const mdr_curve_kind curve = curve_of(c);
    if (c->has_portions && curve != MDR_CURVE_PORTIONS) {
        return cannot(i, "portions", "only a dose in portions has this",
                      "leave it out, or say portions", err);
    }
    if (c->has_exponent && curve == MDR_CURVE_PORTIONS) {
        return cannot(i, "exponent", "a dose in portions has no exponent",
                      "leave it out, or say progressive or degressive", err);
    }
    MDR_TRY(check_exponent(c, curve, i, err));
    s->portions = curve != MDR_CURVE_PORTIONS ? 0 : c->has_portions ? c->portions : PORTIONS_USUAL;
    s->exponent = curve == MDR_CURVE_PROGRESSIVE  ? PROGRESSIVE
                  : curve == MDR_CURVE_DEGRESSIVE ? DEGRESSIVE
                                                  : 1.0;
    s->exponent = c->has_exponent ? c->exponent : s->exponent;
    return MDR_OK;
}

static mdr_code change_step(const mdr_dyeing_change *c, mdr_dye_programme *p, int i, mdr_err *err)
{
    mdr_dye_step *s = NULL;
    for (int k = 0; k < p->n_steps; k++) {
        s = p->steps[k].number == c->step ? &p->steps[k] : s;
    }
    if (s == NULL) {
        const mdr_code rc =
            cannot(i, "step", "the dyeing has no such step", "see programme.steps", err);
        mdr_err_value(err, "%d", c->step);
        mdr_err_allowed(err, "%d to %d", p->steps[0].number, p->steps[p->n_steps - 1].number);
        return rc;
    }
    MDR_TRY(fits(c, s, i, err));
    MDR_TRY(change_curve(c, s, i, err));
    s->minutes = c->has_minutes ? c->minutes : s->minutes;
    s->amount = c->has_amount ? c->amount_pct / PCT : s->amount;
    s->offset_min = c->has_offset ? c->offset_min : s->offset_min;
    s->rate_c_per_min = c->has_rate ? c->rate_c_per_min : s->rate_c_per_min;
    if (c->has_to) {
        s->to_c = c->to_c;
        s->toward = 0; /* wherever it is from here */
    }
    return MDR_OK;
}

/* -- the rope -- */

static mdr_code share_out(const mdr_dyeing_ask *q, mdr_dyeing_rope *rope, mdr_err *err)
{
    if (q->n_shares == 0) {
        return MDR_OK;
    }
    if (q->n_shares != rope->tubes) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "tube_share_pct", "one share for each rope that is used");
        mdr_err_value(err, "%d", q->n_shares);
        mdr_err_allowed(err, "%d shares", rope->tubes);
        mdr_err_remedy(err, "give as many as the lot has ropes");
        return rc;
    }
    double sum = 0.0;
    for (int t = 0; t < rope->tubes; t++) {
        sum += q->tube_share_pct[t];
    }
    /* a stump of rope turns so often that the answer takes ten times as long */
    const double least_pct = LEAST_OF_EVEN * sum / rope->tubes;
    for (int t = 0; t < rope->tubes; t++) {
        if (q->tube_share_pct[t] < least_pct) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, "", "a rope so much shorter than the others");
            mdr_err_within(err, "tube_share_pct[%d]", t);
            mdr_err_value(err, "%.15g", q->tube_share_pct[t]);
            mdr_err_allowed(err, "%.3g %% or more", least_pct);
            mdr_err_remedy(err, "give the ropes nearer to one another, or use one less");
            return rc;
        }
    }
    for (int t = 0; t < rope->tubes; t++) { /* typed shares add up to 100 but for their decimals */
        rope->tube_share[t] = q->tube_share_pct[t] / sum;
    }
    return MDR_OK;
}

static bool is_changed(const mdr_dye_step *a, const mdr_dye_step *b)
{
    return a->minutes != b->minutes || a->exponent != b->exponent || a->portions != b->portions ||
           a->amount != b->amount || a->to_c != b->to_c || a->offset_min != b->offset_min ||
           a->rate_c_per_min != b->rate_c_per_min;
}

/* The programme counts its steps from 0; the asker knows the numbers of the bath's. */
static mdr_code blame(const mdr_dye_programme *p, mdr_code rc, mdr_err *err)
{
    for (int i = 0; rc != MDR_OK && err != NULL && i < p->n_steps; i++) {
        char begin[24], place[sizeof err->place];
        const int n = snprintf(begin, sizeof begin, "steps[%d].", i);
        if (strncmp(err->place, begin, (size_t)n) == 0) {
            (void)snprintf(place, sizeof place, "step %d.%.80s", p->steps[i].number,
                           err->place + n);
            memcpy(err->place, place, sizeof place);
            break;
        }
    }
    return rc;
}

mdr_code mdr_dyer_change(mdr_dyer *d, mdr_err *err)
{
    const mdr_dye_programme *planned = &d->out->planned->programme;
    mdr_dye_programme *p = &d->study->programme;
    bool *changed = MDR_NEW_N(d->arena, bool, (size_t)planned->n_steps + 1);
    if (changed == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the changes");
    }
    MDR_TRY(check_dye_min(d, err));
    whole_programme(&d->ask, p);
    for (int i = 0; i < d->ask.n_steps; i++) {
        MDR_TRY(change_step(&d->ask.steps[i], p, i, err));
    }
    MDR_TRY(check_shift(d->ask.temp_shift_c, p, err));
    for (int i = 0; i < p->n_steps; i++) {
        changed[i] = is_changed(&p->steps[i], &planned->steps[i]);
    }
    d->out->changed = changed;
    MDR_TRY(blame(p, mdr_dye_programme_check(p, err), err));
    return share_out(&d->ask, &d->study->rope, err);
}
