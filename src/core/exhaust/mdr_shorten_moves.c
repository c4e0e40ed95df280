/* What of a programme may be changed, how far, and what can be set on a machine. */
#include <math.h>

#include "core/exhaust/mdr_shorten_parts.h"

/* Invented: no one doses longer than twice as long as now and an hour, none shorter than a minute. */
static const double TIMES_MOST = 2.0, MORE_MIN = 60.0, DOSE_LEAST_MIN = 1.0, DAY_MIN = 1440.0;
/* Evenly or slowly first: what goes in quickly first is not made level by reckoning. A pump can follow up
 * to the cube. Common practice, and invented. */
static const double EXPONENT_LEAST = 1.0, EXPONENT_MOST = 3.0;
static const double RATE_LEAST_C_PER_MIN = 0.3; /* common practice for what must be level */

static void add(mdr_moves *m, mdr_move move, double low, double high, double base)
{
    if (m->n < MDR_MOVES_MAX && high > low) {
        m->move[m->n] = move;
        m->low[m->n] = log(low);
        m->high[m->n] = log(high);
        m->base[m->n] = log(base);
        m->n++;
    }
}

static void add_dose(const mdr_shorten_in *in, int i, mdr_moves *m)
{
    const mdr_dye_step *s = &in->base->steps[i];
    const double tank_min = fmax(s->least_min, DOSE_LEAST_MIN);
    const double quickest_m_per_min =
        in->keep_speed ? in->base->speed_m_per_min : in->base->speed_most_m_per_min;
    const double turns_min = in->turns_least[s->gives] * in->study->rope_m / quickest_m_per_min;
    const double low = fmin(fmax(tank_min, turns_min), s->minutes);
    const double high = fmin(TIMES_MOST * s->minutes + MORE_MIN, DAY_MIN);
    add(m,
        (mdr_move){MDR_MOVE_MINUTES, i,
                   tank_min >= turns_min ? MDR_SHORTEN_MACHINE : MDR_SHORTEN_TURNS},
        low, high, s->minutes);
    if (s->portions == 0) {
        add(m, (mdr_move){MDR_MOVE_CURVE, i, MDR_SHORTEN_MACHINE},
            fmin(EXPONENT_LEAST, s->exponent), fmax(EXPONENT_MOST, s->exponent), s->exponent);
    }
}

static void add_run(const mdr_shorten_in *in, int i, mdr_moves *m)
{
    const double minutes = in->base->steps[i].minutes;
    if (minutes > 0.0) {
        const double low = fmin(fmax(in->run_least_min, 1.0), minutes);
        add(m, (mdr_move){MDR_MOVE_MINUTES, i, MDR_SHORTEN_WAIT}, low,
            fmin(TIMES_MOST * minutes + MORE_MIN, DAY_MIN), minutes);
    }
}

static void add_ramp(const mdr_shorten_in *in, int i, mdr_moves *m)
{
    const mdr_dye_step *s = &in->base->steps[i];
    const mdr_dye_vessel *v = &in->base->vessel;
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    (void)mdr_dye_programme_times(in->base, times);
    const double up = s->to_c - times[i].from_c;
    if ((up > 0.0 && s->toward >= 0) || (up < 0.0 && s->toward <= 0)) {
        const double most = up > 0.0 ? v->heat_max_c_per_min : v->cool_max_c_per_min;
        const double now = s->rate_c_per_min > 0.0 ? fmin(s->rate_c_per_min, most) : most;
        add(m, (mdr_move){MDR_MOVE_RATE, i, MDR_SHORTEN_MACHINE}, fmin(RATE_LEAST_C_PER_MIN, now),
            most, now);
    }
}

void mdr_moves_of(const mdr_shorten_in *in, mdr_moves *out)
{
    const mdr_dye_programme *p = in->base;
    *out = (mdr_moves){.n = 0};
    for (int i = 0; i < p->n_steps; i++) {
        if (in->keep[i]) {
            continue;
        }
        switch (p->steps[i].kind) {
        case MDR_DYE_DOSE:
            add_dose(in, i, out);
            break;
        case MDR_DYE_RUN:
            add_run(in, i, out);
            break;
        case MDR_DYE_RAMP:
            add_ramp(in, i, out);
            break;
        }
    }
    if (!in->keep_speed) {
        add(out, (mdr_move){MDR_MOVE_SPEED, -1, MDR_SHORTEN_MACHINE}, p->speed_least_m_per_min,
            p->speed_most_m_per_min, p->speed_m_per_min);
    }
}

/* The logarithm and back leave a trace in the last digits, which would look like a change. */
static double clean(double value)
{
    static const double GRAIN = 1e9;
    return round(value * GRAIN) / GRAIN;
}

void mdr_moves_apply(const mdr_moves *m, const mdr_dye_programme *base, const double *x,
                     mdr_dye_programme *out)
{
    *out = *base;
    for (int i = 0; i < m->n; i++) {
        const double value = clean(exp(x[i]));
        if (m->move[i].kind == MDR_MOVE_SPEED) {
            out->speed_m_per_min = value;
            continue;
        }
        mdr_dye_step *s = &out->steps[m->move[i].step];
        switch (m->move[i].kind) {
        case MDR_MOVE_MINUTES:
            s->minutes = value;
            break;
        case MDR_MOVE_CURVE:
            s->exponent = value;
            break;
        case MDR_MOVE_RATE:
        case MDR_MOVE_SPEED:
            s->rate_c_per_min = value;
            break;
        }
    }
}

static double rounded(mdr_move_kind kind, double value)
{
    static const double HAIR = 1e-9;
    switch (kind) {
    case MDR_MOVE_MINUTES:
        return ceil(value - HAIR);
    case MDR_MOVE_CURVE:
        return round(value * 10.0) / 10.0;
    case MDR_MOVE_RATE:
        return floor(value * 10.0 + HAIR) / 10.0;
    case MDR_MOVE_SPEED:
        return round(value);
    }
    return value;
}

void mdr_moves_round(const mdr_moves *m, double *x)
{
    for (int i = 0; i < m->n; i++) {
        const double to = log(rounded(m->move[i].kind, exp(x[i])));
        x[i] = fmin(fmax(to, m->low[i]), m->high[i]);
    }
}
