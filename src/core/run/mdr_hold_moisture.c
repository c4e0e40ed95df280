/* Moisture behind a dryer: dry again or at another speed, let it take moisture, give it by steam. */
#include <math.h>
#include <stddef.h>

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_psychro.h"
#include "core/run/mdr_hold_work.h"

static const double PCT = 100.0, S_PER_MIN = 60.0;
static const double HALL_C = 25.0; /* common practice */
/* How far the oven may be off what its own reading says of it: invented. */
static const double OFF_FRACTION = 0.10;
static const double INSIDE_PCT = 1.0; /* from the only limit: invented */
enum { ROUNDS = 2 };                  /* common practice */

static const mdr_control_drying *drying_of(const mdr_hold_work *w)
{
    return &w->in->state->drying;
}

/* What a run takes of the oven: mdr_drying.h, of cotton. */
static double taken(double from_pct, double to_pct)
{
    return mdr_drying_wet_kg_per_kg(from_pct / PCT, to_pct / PCT, MDR_DRYING_CRITICAL_KG_PER_KG,
                                    MDR_DRYING_EQUILIBRIUM_KG_PER_KG);
}

static double left_pct(double from_pct, double wet_kg_per_kg)
{
    return PCT * mdr_drying_left_kg_per_kg(from_pct / PCT, wet_kg_per_kg,
                                           MDR_DRYING_CRITICAL_KG_PER_KG,
                                           MDR_DRYING_EQUILIBRIUM_KG_PER_KG);
}

/* Part of its time in the oven after which the fabric dries; that of the length where the oven's is
 * not known. */
static double drying_s(const mdr_control_drying *d, double m_per_min)
{
    return d->oven_m > 0.0 ? S_PER_MIN * d->oven_m / m_per_min - MDR_DRYING_ENTRY_S
                           : S_PER_MIN / m_per_min;
}

static double speed_for(const mdr_control_drying *d, double seconds)
{
    return d->oven_m > 0.0 ? S_PER_MIN * d->oven_m / (seconds + MDR_DRYING_ENTRY_S)
                           : S_PER_MIN / seconds;
}

/* What the oven did to this lot, kg/kg in so many seconds. 0: nothing can be said of it; after a remedy
 * the moisture that it came with is no longer the plan's. */
typedef struct oven {
    double took, seconds;
} oven;

static oven oven_by_reading(const mdr_hold_work *w)
{
    const mdr_control_drying *d = drying_of(w);
    const double took = taken(d->in_pct, w->in->reading);
    if (w->in->n_failed > 0 || !(d->speed_m_per_min > 0.0) || !(took > 0.0) || !isfinite(took) ||
        !(drying_s(d, d->speed_m_per_min) > 0.0)) {
        return (oven){0};
    }
    return (oven){took, drying_s(d, d->speed_m_per_min)};
}

/* Blames the oven when it did much less than the plan asks of it at this speed. */
static void caution_oven(mdr_hold_work *w, const oven *o)
{
    static const double MUCH_LESS = 0.9; /* invented */
    const mdr_control_drying *d = drying_of(w);
    const double asked = taken(d->in_pct, d->out_pct);
    if (o->took < MUCH_LESS * asked) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.oven",
                                         mdr_lang_num(PCT * o->took / asked, 0),
                                         mdr_lang_num(d->speed_m_per_min, 0)));
    }
}

static void expect_run(mdr_hold_work *w, double from_pct, double wet_kg_per_kg)
{
    mdr_hold_expect(w, left_pct(from_pct, (1.0 + OFF_FRACTION) * wet_kg_per_kg),
                    left_pct(from_pct, wet_kg_per_kg),
                    left_pct(from_pct, (1.0 - OFF_FRACTION) * wet_kg_per_kg));
}

/* One run through the dryer; as long as the lot is. */
static void run_through(mdr_hold_work *w, double m_per_min, double air_c, const char *note)
{
    const mdr_control_drying *d = drying_of(w);
    mdr_control_step *s = mdr_hold_open(w, MDR_STEP_HOLD, note);
    if (s != NULL) {
        s->temp_start_c = w->now.temp_c = air_c;
        mdr_hold_shut(w, s, m_per_min > 0.0 ? d->length_m / m_per_min : 0.0);
    }
}

/* -- air that dries a part as fast -- */

/* Heat over the film goes with air less wet bulb; 0: this air has none. */
static double drive_c(double air_c, double kg_per_kg)
{
    double bulb_c = 0.0;
    return mdr_psychro_wet_bulb_c(air_c, kg_per_kg, MDR_PSYCHRO_ATM_PA, &bulb_c, NULL) == MDR_OK
               ? air_c - bulb_c
               : 0.0;
}

/* Cooler air with this part of the drive; 0: not known. By halving: the drive grows with the air. */
static double cooler_c(const mdr_control_drying *d, double part)
{
    static const double COLDEST_C = 60.0; /* below it stands no oven: invented */
    if (!(d->air_c > COLDEST_C) || !(d->air_kg_per_kg > 0.0)) {
        return 0.0;
    }
    const double wanted = part * drive_c(d->air_c, d->air_kg_per_kg);
    double low = COLDEST_C, high = d->air_c;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        if (drive_c(middle, d->air_kg_per_kg) < wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return high;
}

/* -- too wet -- */

static void because_water(mdr_hold_work *w, double aim_pct)
{
    const mdr_control_drying *d = drying_of(w);
    mdr_hold_because(
        w, MDR_HOLD_RULE_DRY_WATER,
        mdr_hold_say(w, "hold.moisture.water-working", mdr_lang_num(d->dry_kg, 1),
                     mdr_lang_num(w->in->reading, 1), mdr_lang_num(aim_pct, 1),
                     mdr_lang_num(d->dry_kg * (w->in->reading - aim_pct) / PCT, 1),
                     mdr_lang_num(d->mj_per_kg * d->dry_kg * (w->in->reading - aim_pct) / PCT, 0)));
}

static void because_oven(mdr_hold_work *w, const oven *o, double need, double m_per_min)
{
    mdr_hold_because(w, MDR_HOLD_RULE_DRY_SPEED,
                     mdr_hold_say(w, "hold.moisture.speed-working", mdr_lang_num(o->took, 3),
                                  mdr_lang_num(drying_of(w)->speed_m_per_min, 1),
                                  mdr_lang_num(need, 3), mdr_lang_num(m_per_min, 1)));
}

/* Faster than the machine runs: at its fastest, in cooler air. Returns the air. */
static double air_for(mdr_hold_work *w, const oven *o, double need, double m_per_min)
{
    const mdr_control_drying *d = drying_of(w);
    const double gives = o->took * drying_s(d, m_per_min) / o->seconds;
    const double part = need / gives;
    const double air_c = part < 1.0 ? cooler_c(d, part) : d->air_c;
    if (!(part < 1.0)) {
        expect_run(w, w->in->reading, need);
    } else if (air_c > 0.0) {
        mdr_hold_because(w, MDR_HOLD_RULE_DRY_AIR,
                         mdr_hold_say(w, "hold.moisture.air-working", mdr_lang_num(need, 3),
                                      mdr_lang_num(gives, 3),
                                      mdr_lang_num(drive_c(d->air_c, d->air_kg_per_kg), 1),
                                      mdr_lang_num(air_c, 0)));
        expect_run(w, w->in->reading, need);
    } else {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.too-fast"));
        expect_run(w, w->in->reading, gives);
    }
    return air_c > 0.0 ? air_c : d->air_c;
}

static void dry_again(mdr_hold_work *w, double aim_pct)
{
    const mdr_control_drying *d = drying_of(w);
    const oven o = oven_by_reading(w);
    const double water_kg = d->dry_kg * (w->in->reading - aim_pct) / PCT;
    const double need = taken(w->in->reading, aim_pct);
    double m_per_min = 0.0, air_c = d->air_c;
    mdr_hold_begin(w, MDR_REMEDY_DRY_AGAIN);
    because_water(w, aim_pct);
    if (o.took > 0.0 && isfinite(need)) {
        const double wanted = speed_for(d, o.seconds * need / o.took);
        m_per_min = d->speed_max_m_per_min > 0.0 ? fmin(d->speed_max_m_per_min, wanted) : wanted;
        because_oven(w, &o, need, wanted);
        air_c = air_for(w, &o, need, m_per_min);
        caution_oven(w, &o);
    } else {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.no-speed"));
    }
    const bool known = m_per_min > 0.0;
    const mdr_lang_arg off = mdr_lang_num(water_kg, 1), dry = mdr_lang_num(d->dry_kg, 0),
                       speed = mdr_lang_num(m_per_min, 0), air = mdr_lang_num(air_c, 0);
    run_through(w, m_per_min, air_c,
                known ? mdr_hold_say(w, "hold.moisture.again-note", speed, air)
                      : mdr_hold_say(w, "hold.moisture.again-by-exit-note"));
    mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.stretches"));
    mdr_hold_end(w, w->in->n_failed > 0 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 known ? mdr_hold_say(w, "hold.moisture.again", off, dry, speed, air)
                       : mdr_hold_say(w, "hold.moisture.again-by-exit", off, dry));
}

/* -- the fabric still to come -- */

static void other_speed(mdr_hold_work *w, double aim_pct)
{
    const mdr_control_drying *d = drying_of(w);
    const oven o = oven_by_reading(w);
    const double need = taken(d->in_pct, aim_pct);
    if (!(o.took > 0.0) || !(need > 0.0) || !isfinite(need)) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.moisture.no-other-speed"));
        return;
    }
    const double m_per_min = speed_for(d, o.seconds * need / o.took);
    mdr_hold_begin(w, MDR_REMEDY_DRY_SPEED);
    because_oven(w, &o, need, m_per_min);
    if (d->speed_max_m_per_min > 0.0 && m_per_min > d->speed_max_m_per_min) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.speed", mdr_lang_num(m_per_min, 0),
                                       mdr_lang_num(d->speed_max_m_per_min, 0)));
    }
    const char *note = mdr_hold_say(w, "hold.moisture.other-speed-note", mdr_lang_num(m_per_min, 1),
                                    mdr_lang_num(d->speed_m_per_min, 1));
    run_through(w, m_per_min, d->air_c, note);
    expect_run(w, d->in_pct, need);
    caution_oven(w, &o);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.passed"));
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.moisture.other-speed", mdr_lang_num(m_per_min, 1),
                              mdr_lang_num(d->speed_m_per_min, 1)));
}

/* -- too dry -- */

/* Moisture that cotton keeps in the air of the hall, % [cotton-regain]; time it lies, and in which
 * half the way is gone, min: invented. */
static const double HALL_PCT = 7.5, HALL_LOW_PCT = 7.0, HALL_HIGH_PCT = 8.0;
static const double LIE_MIN = 240.0, HALF_MIN = 60.0;

static double lain_pct(double from_pct, double hall_pct)
{
    return from_pct < hall_pct ? hall_pct - (hall_pct - from_pct) * exp2(-LIE_MIN / HALF_MIN)
                               : from_pct;
}

static void say_mass(mdr_hold_work *w, double to_pct)
{
    const mdr_control_drying *d = drying_of(w);
    const double read = w->in->reading;
    mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.mass",
                                     mdr_lang_num(d->dry_kg * (to_pct - read) / PCT, 1),
                                     mdr_lang_num(PCT * (to_pct - read) / (PCT + read), 1)));
}

static void let_lie(mdr_hold_work *w)
{
    const double read = w->in->reading, after = lain_pct(read, HALL_PCT);
    if (!(read < HALL_LOW_PCT)) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.moisture.no-more"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_TAKE_MOISTURE);
    mdr_hold_because(w, MDR_HOLD_RULE_TAKE_MOISTURE,
                     mdr_hold_say(w, "hold.moisture.lie-working", mdr_lang_num(HALL_PCT, 1),
                                  mdr_lang_num(HALL_PCT, 1), mdr_lang_num(read, 1),
                                  mdr_lang_num(LIE_MIN, 0), mdr_lang_num(HALF_MIN, 0),
                                  mdr_lang_num(after, 1)));
    mdr_control_step *s =
        mdr_hold_open(w, MDR_STEP_HOLD, mdr_hold_say(w, "hold.moisture.lie-note"));
    if (s != NULL) {
        mdr_hold_shut(w, s, LIE_MIN);
    }
    mdr_hold_expect(w, lain_pct(read, HALL_LOW_PCT), after, lain_pct(read, HALL_HIGH_PCT));
    say_mass(w, after);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.batched"));
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.moisture.lie", mdr_lang_num(LIE_MIN / S_PER_MIN, 0)));
}

/* Steam that condenses warms the fabric, and stops when the fabric is as hot as the steam. */
static void by_steam(mdr_hold_work *w, double aim_pct)
{
    static const double STEAM_C = 100.0;           /* at 1 atm */
    static const double COTTON_KJ_PER_KG_K = 1.34; /* perry-heat */
    const mdr_control_drying *d = drying_of(w);
    const double read = w->in->reading;
    const double per_k =
        COTTON_KJ_PER_KG_K + MDR_PSYCHRO_CP_WAT * read / PCT; /* a kg bone dry and its water */
    const double most_pct =
        PCT * per_k * (STEAM_C - HALL_C) / mdr_psychro_latent_kj_per_kg(STEAM_C);
    const double given_pct = fmin(aim_pct - read, most_pct);
    if (!d->steams) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.moisture.no-steam"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_STEAM);
    mdr_hold_because(w, MDR_HOLD_RULE_STEAM,
                     mdr_hold_say(w, "hold.moisture.steam-working", mdr_lang_num(d->dry_kg, 1),
                                  mdr_lang_num(given_pct, 1),
                                  mdr_lang_num(d->dry_kg * given_pct / PCT, 1),
                                  mdr_lang_num(most_pct, 1)));
    mdr_control_step *s = mdr_hold_open(
        w, MDR_STEP_HOLD,
        mdr_hold_say(w, "hold.moisture.steam-note", mdr_lang_num(d->dry_kg * given_pct / PCT, 1)));
    if (s != NULL) {
        mdr_hold_shut(w, s, d->speed_m_per_min > 0.0 ? d->length_m / d->speed_m_per_min : 0.0);
    }
    mdr_hold_expect(w, read + 0.5 * given_pct, read + given_pct, read + most_pct);
    say_mass(w, read + given_pct);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.moisture.steam-unknown"));
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, "hold.moisture.steam",
                              mdr_lang_num(d->dry_kg * given_pct / PCT, 1),
                              mdr_lang_num(d->dry_kg, 0)));
}

void mdr_hold_moisture(mdr_hold_work *w)
{
    const mdr_control_drying *d = drying_of(w);
    const double aim_pct = mdr_hold_aim(w, INSIDE_PCT);
    w->start = (mdr_hold_vessel){.temp_c = HALL_C}; /* no vessel any more */
    if (mdr_hold_above(w)) {
        if (w->in->reading >= d->in_pct) {
            mdr_hold_stop(w, mdr_hold_say(w, "hold.moisture.no-drier"));
            return;
        }
        dry_again(w, aim_pct);
        other_speed(w, aim_pct);
    } else {
        let_lie(w);
        by_steam(w, aim_pct);
        other_speed(w, aim_pct);
    }
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.moisture.twice"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.moisture.nothing"));
}
