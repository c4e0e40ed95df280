/* What a programme may be, and when each of its steps runs. */
#include "core/exhaust/mdr_dye_programme.h"

#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_dosing.h"

const char *mdr_dye_gives_id(mdr_dye_gives gives)
{
#define ID(name, id, ...) id,
    static const char *const IDS[] = {MDR_DYE_GIVINGS(ID)};
#undef ID
    return (int)gives >= 0 && (size_t)gives < sizeof IDS / sizeof IDS[0] ? IDS[gives] : NULL;
}

const char *mdr_dye_limit_id(mdr_dye_limit limit)
{
    switch (limit) {
    case MDR_DYE_LIMIT_TANK:
        return "tank";
    case MDR_DYE_LIMIT_TANK_BUSY:
        return "tank-busy";
    case MDR_DYE_LIMIT_RATE:
        return "rate";
    case MDR_DYE_LIMIT_HEAT:
        return "heat";
    case MDR_DYE_LIMIT_UNREACHED:
        return "not-reached";
    case MDR_DYE_LIMIT_NOTHING:
        return "nothing-to-do";
    case MDR_DYE_LIMIT_OUTLIVES:
        return "outlives";
    case MDR_DYE_AS_ASKED:
        break;
    }
    return NULL;
}

/* -- what a programme may be -- */

/* The ranges are those of a route and a machine, with room: common practice. */
static const double MINUTES_MOST = 1440.0, EXPONENT_LEAST = 0.1, EXPONENT_MOST = 10.0,
                    TEMP_MOST_C = 150.0, RATE_LEAST = 0.01, RATE_MOST = 20.0, LITRES_LEAST = 1e-3,
                    LITRES_MOST = 1e6, KG_MOST = 1e6, MOL_MOST = 1e9;

/* What a number may be. */
typedef struct bound {
    const char *field;
    double value, least, most;
} bound;

static mdr_code out_of_range(int step, const bound *b, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, b->field, "outside what a programme can be");
    mdr_err_value(err, "%.15g", b->value);
    mdr_err_allowed(err, "%g to %g", b->least, b->most);
    mdr_err_remedy(err, "give a value in this range, or leave it as planned");
    if (step >= 0) {
        mdr_err_within(err, "steps[%d]", step);
    }
    return rc;
}

/* step below 0: of the whole programme. */
static mdr_code within(int step, const bound *bounds, size_t n, mdr_err *err)
{
    for (size_t i = 0; i < n; i++) {
        const bound *b = &bounds[i];
        if (!(isfinite(b->value) && b->value >= b->least && b->value <= b->most)) {
            return out_of_range(step, b, err);
        }
    }
    return MDR_OK;
}
#define WITHIN(step, bounds, err) \
    within((step), (bounds), sizeof(bounds) / sizeof((bounds)[0]), (err))

static mdr_code check_dose(const mdr_dye_step *s, int i, int n_dyes, mdr_err *err)
{
    const bool in_portions = s->portions != 0, dye = s->gives == MDR_GIVES_DYE;
    const bound bounds[] = {
        {"minutes", s->minutes, 1e-3, MINUTES_MOST},
        {"portions", in_portions ? s->portions : 2, 2, MDR_DYE_PORTIONS_MAX},
        {"exponent", in_portions ? 1.0 : s->exponent, EXPONENT_LEAST, EXPONENT_MOST},
        {"amount", s->amount, dye ? 1.0 : 0.0, dye ? 1.0 : MDR_DYE_AMOUNT_MOST},
        {"offset_min", s->offset_min, 0.0, MINUTES_MOST},
        {"volume_l", s->volume_l, 0.0, LITRES_MOST},
    };
    MDR_TRY(WITHIN(i, bounds, err));
    for (int d = 0; d < n_dyes; d++) {
        const bound dose[] = {{"dye_kg", s->dye_kg[d], 0.0, KG_MOST}};
        MDR_TRY(WITHIN(i, dose, err));
    }
    return MDR_OK;
}

static mdr_code check_step(const mdr_dye_step *s, int i, int n_dyes, mdr_err *err)
{
    const bool ramp = s->kind == MDR_DYE_RAMP, paced = ramp && s->rate_c_per_min != 0.0;
    const bound bounds[] = {
        {"kind", s->kind, MDR_DYE_RUN, MDR_DYE_DOSE},
        {"minutes", ramp ? 0.0 : s->minutes, 0.0, MINUTES_MOST},
        {"to_c", ramp ? s->to_c : 0.0, 0.0, TEMP_MOST_C},
        {"rate_c_per_min", paced ? s->rate_c_per_min : RATE_LEAST, RATE_LEAST, RATE_MOST},
    };
    MDR_TRY(WITHIN(i, bounds, err));
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        const bound mol[] = {{"mol", s->mol[t], -MOL_MOST, MOL_MOST}};
        MDR_TRY(WITHIN(i, mol, err));
    }
    return s->kind == MDR_DYE_DOSE ? check_dose(s, i, n_dyes, err) : MDR_OK;
}

static mdr_code check_whole(const mdr_dye_programme *p, mdr_err *err)
{
    const mdr_dye_vessel *v = &p->vessel;
    const bound bounds[] = {
        {"start_c", p->start_c, 0.0, TEMP_MOST_C},
        {"start_l", p->start_l, LITRES_LEAST, LITRES_MOST},
        {"conc_l", p->conc_l, LITRES_LEAST, LITRES_MOST},
        {"speed_m_per_min", p->speed_m_per_min, p->speed_least_m_per_min, p->speed_most_m_per_min},
        {"vessel.load_kg", v->load_kg, 1e-3, KG_MOST},
        {"vessel.steel_kg", v->steel_kg, 0.0, KG_MOST},
        {"vessel.ua_kw_per_k", v->ua_kw_per_k, 1e-6, 1e6},
        {"vessel.steam_c", v->steam_c, 50.0, 300.0},
        {"vessel.steam_max_kw", v->steam_max_kw, 0.0, 1e6},
        {"vessel.cooling_c", v->cooling_c, 0.0, 60.0},
        {"vessel.heat_max_c_per_min", v->heat_max_c_per_min, RATE_LEAST, RATE_MOST},
        {"vessel.cool_max_c_per_min", v->cool_max_c_per_min, RATE_LEAST, RATE_MOST},
    };
    MDR_TRY(WITHIN(-1, bounds, err));
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        const bound mol[] = {{"start_mol", p->start_mol[t], 0.0, MOL_MOST}};
        MDR_TRY(WITHIN(-1, mol, err));
    }
    return MDR_OK;
}

static mdr_code check_counts(const mdr_dye_programme *p, mdr_err *err)
{
    const bool dyes = p->n_dyes >= 1 && p->n_dyes <= MDR_DYE_DYES_MAX;
    if (dyes && p->n_steps >= 1 && p->n_steps <= MDR_DYE_STEPS_MAX) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, dyes ? "n_steps" : "n_dyes",
                                 "no steps or no dyes, or more than there is room for");
    mdr_err_allowed(err, "1 to %d steps, 1 to %d dyes", (int)MDR_DYE_STEPS_MAX,
                    (int)MDR_DYE_DYES_MAX);
    return rc;
}

mdr_code mdr_dye_programme_check(const mdr_dye_programme *p, mdr_err *err)
{
    MDR_TRY(check_counts(p, err));
    MDR_TRY(check_whole(p, err));
    for (int i = 0; i < p->n_steps; i++) {
        MDR_TRY(check_step(&p->steps[i], i, p->n_dyes, err));
    }
    return MDR_OK;
}

/* -- doses -- */

double mdr_dye_step_given(const mdr_dye_step *step, double tau, double jump)
{
    if (!(tau > 0.0)) {
        return 0.0;
    }
    if (tau >= 1.0) {
        return 1.0;
    }
    if (step->portions < 2) {
        return mdr_dosing_power(tau, step->exponent);
    }
    const double begun = floor(tau * step->portions);
    const double into = tau - begun / step->portions;
    return (begun + (jump > 0.0 ? fmin(1.0, into / jump) : 1.0)) / step->portions;
}

/* -- when -- */

typedef struct clock {
    const mdr_dye_programme *p;
    double now_min, temp_c, liquor_l;
    double tank_until_min;
} clock;

static void time_dose(clock *c, const mdr_dye_step *s, mdr_dye_time *t)
{
    t->start_min = c->now_min + (s->beside ? s->offset_min : 0.0);
    t->end_min = t->start_min + s->minutes;
    t->to_c = t->from_c;
    if (s->minutes < s->least_min * (1.0 - 1e-9)) { /* a hair is no fault */
        t->limit = MDR_DYE_LIMIT_TANK;
    } else if (c->tank_until_min > t->start_min + 1e-9) {
        t->limit = MDR_DYE_LIMIT_TANK_BUSY;
    }
    c->tank_until_min = fmax(c->tank_until_min, t->end_min);
    c->now_min = s->beside ? c->now_min : t->end_min;
    c->liquor_l += s->volume_l;
}

/* Held to the control's limit; what is asked beyond it is said. */
static double rate_of(const mdr_dye_step *s, double most, mdr_dye_time *t)
{
    if (s->rate_c_per_min <= 0.0) {
        return most;
    }
    if (s->rate_c_per_min > most) {
        t->limit = MDR_DYE_LIMIT_RATE;
    }
    return fmin(s->rate_c_per_min, most);
}

/* The exchanger did not keep the pace asked for: more than 5 % and half a minute longer, as the
 * plan has it. */
static bool is_slower(double minutes, double at_rate_min)
{
    return minutes > 1.05 * at_rate_min + 0.5;
}

static void time_ramp(clock *c, const mdr_dye_step *s, mdr_dye_time *t)
{
    const mdr_dye_vessel *v = &c->p->vessel;
    const double gap_c = s->to_c - c->temp_c;
    const bool heats = s->toward > 0 || (s->toward == 0 && gap_c >= 0.0);
    t->start_min = t->end_min = c->now_min;
    t->to_c = c->temp_c;
    if (!(heats ? gap_c > 0.0 : gap_c < 0.0)) {
        t->limit = MDR_DYE_LIMIT_NOTHING;
        return;
    }
    const double rate = rate_of(s, heats ? v->heat_max_c_per_min : v->cool_max_c_per_min, t);
    const mdr_heat_ramp_in in = {
        .from_c = c->temp_c,
        .to_c = s->to_c,
        .rate_c_per_min = rate,
        .capacity_kj_per_k = mdr_heat_capacity_kj_per_k(v->load_kg, c->liquor_l, v->steel_kg),
        .ua_kw_per_k = v->ua_kw_per_k,
        .medium_c = heats ? v->steam_c : v->cooling_c,
        .medium_max_kw = heats ? v->steam_max_kw : 0.0};
    t->ramp = mdr_heat_ramp_make(&in);
    const double at_rate_min = fabs(gap_c) / rate;
    t->straight = !t->ramp.reachable; /* the plan reckons on as if it were, and so does this */
    const double minutes = t->straight ? at_rate_min : t->ramp.minutes;
    if (t->straight) {
        t->limit = MDR_DYE_LIMIT_UNREACHED;
    } else if (t->limit == MDR_DYE_AS_ASKED && is_slower(minutes, at_rate_min)) {
        t->limit = MDR_DYE_LIMIT_HEAT;
    }
    t->to_c = s->to_c;
    t->end_min = c->now_min + minutes;
    t->rate_c_per_min = fabs(gap_c) / minutes;
    c->now_min = t->end_min;
    c->temp_c = s->to_c;
}

double mdr_dye_programme_times(const mdr_dye_programme *p, mdr_dye_time *times)
{
    clock c = {.p = p, .temp_c = p->start_c, .liquor_l = p->start_l};
    for (int i = 0; i < p->n_steps; i++) {
        const mdr_dye_step *s = &p->steps[i];
        mdr_dye_time *t = &times[i];
        *t = (mdr_dye_time){.start_min = c.now_min, .from_c = c.temp_c, .to_c = c.temp_c};
        switch (s->kind) {
        case MDR_DYE_DOSE:
            time_dose(&c, s, t);
            break;
        case MDR_DYE_RAMP:
            time_ramp(&c, s, t);
            break;
        case MDR_DYE_RUN:
            c.now_min += s->minutes;
            t->end_min = c.now_min;
            break;
        }
    }
    for (int i = 0; i < p->n_steps; i++) {
        if (times[i].end_min > c.now_min + 1e-9) {
            times[i].limit = MDR_DYE_LIMIT_OUTLIVES;
        }
    }
    return c.now_min;
}
