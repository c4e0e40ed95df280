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
        mdr_hold_caution(w, mdr_hold_say(w,
                                         "It dried %.0f %% of what the plan asks at %.0f m/min: "
                                         "check filters, exhaust, air and the moisture it "
                                         "comes with",
                                         PCT * o->took / asked, d->speed_m_per_min));
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
    mdr_hold_because(w, MDR_HOLD_RULE_DRY_WATER,
                     mdr_hold_say(w, "%.1f kg x (%.1f - %.1f) / 100 = %.1f kg, %.0f MJ", d->dry_kg,
                                  w->in->reading, aim_pct,
                                  d->dry_kg * (w->in->reading - aim_pct) / PCT,
                                  d->mj_per_kg * d->dry_kg * (w->in->reading - aim_pct) / PCT));
}

static void because_oven(mdr_hold_work *w, const oven *o, double need, double m_per_min)
{
    mdr_hold_because(w, MDR_HOLD_RULE_DRY_SPEED,
                     mdr_hold_say(w, "%.3f kg/kg at %.1f m/min; %.3f kg/kg are needed: %.1f m/min",
                                  o->took, drying_of(w)->speed_m_per_min, need, m_per_min));
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
                         mdr_hold_say(w,
                                      "%.3f / %.3f of the %.1f degC over the wet bulb: %.0f degC",
                                      need, gives, drive_c(d->air_c, d->air_kg_per_kg), air_c));
        expect_run(w, w->in->reading, need);
    } else {
        mdr_hold_caution(w,
                         "Faster than this dryer can run: the fabric comes out drier than wanted");
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
        mdr_hold_caution(w, "No speed can be worked out: set it by the reading at the exit");
    }
    const char *note =
        m_per_min > 0.0
            ? mdr_hold_say(w, "Through the dryer again: %.0f m/min, %.0f degC", m_per_min, air_c)
            : "Through the dryer again, speed by the reading at the exit";
    run_through(w, m_per_min, air_c, note);
    mdr_hold_caution(
        w, "A second run stretches the length: same overfeed, and count the courses after it");
    mdr_hold_end(w, w->in->n_failed > 0 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "%.1f kg of water off %.0f kg bone dry: %s, read again", water_kg,
                              d->dry_kg, note));
}

/* -- the fabric still to come -- */

static void other_speed(mdr_hold_work *w, double aim_pct)
{
    const mdr_control_drying *d = drying_of(w);
    const oven o = oven_by_reading(w);
    const double need = taken(d->in_pct, aim_pct);
    if (!(o.took > 0.0) || !(need > 0.0) || !isfinite(need)) {
        mdr_hold_missing(w, "No speed can be given: it is not known, the fabric was dried twice "
                            "already, or it is drier than "
                            "any oven dries it");
        return;
    }
    const double m_per_min = speed_for(d, o.seconds * need / o.took);
    mdr_hold_begin(w, MDR_REMEDY_DRY_SPEED);
    because_oven(w, &o, need, m_per_min);
    if (d->speed_max_m_per_min > 0.0 && m_per_min > d->speed_max_m_per_min) {
        mdr_hold_break(w, mdr_hold_say(w, "%.0f m/min is more than the %.0f the dryer runs",
                                       m_per_min, d->speed_max_m_per_min));
    }
    const char *note = mdr_hold_say(w, "For the fabric still to come: %.1f m/min instead of %.1f",
                                    m_per_min, d->speed_m_per_min);
    run_through(w, m_per_min, d->air_c, note);
    expect_run(w, d->in_pct, need);
    caution_oven(w, &o);
    mdr_hold_caution(w, "The minutes are for the whole lot: what has passed stays as read");
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR, mdr_hold_say(w, "%s, read again", note));
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
    mdr_hold_caution(
        w, mdr_hold_say(w,
                        "The lot then weighs %.1f kg more and %.1f %% more a square "
                        "metre; length and width change by less than 1 %% (from memory)",
                        d->dry_kg * (to_pct - read) / PCT, PCT * (to_pct - read) / (PCT + read)));
}

static void let_lie(mdr_hold_work *w)
{
    const double read = w->in->reading, after = lain_pct(read, HALL_PCT);
    if (!(read < HALL_LOW_PCT)) {
        mdr_hold_missing(w, "In air of 65 % cotton takes up no more than 7 to 8 %: lying does not "
                            "bring it up");
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_TAKE_MOISTURE);
    mdr_hold_because(w, MDR_HOLD_RULE_TAKE_MOISTURE,
                     mdr_hold_say(w, "%.1f - (%.1f - %.1f) x 2^(-%.0f / %.0f) = %.1f %%", HALL_PCT,
                                  HALL_PCT, read, LIE_MIN, HALF_MIN, after));
    mdr_control_step *s =
        mdr_hold_open(w, MDR_STEP_HOLD, "Plaited down, open to the air of the room, 65 %");
    if (s != NULL) {
        mdr_hold_shut(w, s, LIE_MIN);
    }
    mdr_hold_expect(w, lain_pct(read, HALL_LOW_PCT), after, lain_pct(read, HALL_HIGH_PCT));
    say_mass(w, after);
    mdr_hold_caution(w, "Batched tightly it takes up moisture at the edges only");
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "%.0f h plaited down in the air of the room, read again",
                              LIE_MIN / S_PER_MIN));
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
        mdr_hold_missing(w, "No compactor with a steam box follows in the line");
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_STEAM);
    mdr_hold_because(w, MDR_HOLD_RULE_STEAM,
                     mdr_hold_say(w, "%.1f kg x %.1f / 100 = %.1f kg; at most %.1f %% condense",
                                  d->dry_kg, given_pct, d->dry_kg * given_pct / PCT, most_pct));
    mdr_control_step *s = mdr_hold_open(
        w, MDR_STEP_HOLD,
        mdr_hold_say(w, "Steam box of the compactor: %.1f kg", d->dry_kg * given_pct / PCT));
    if (s != NULL) {
        mdr_hold_shut(w, s, d->speed_m_per_min > 0.0 ? d->length_m / d->speed_m_per_min : 0.0);
    }
    mdr_hold_expect(w, read + 0.5 * given_pct, read + given_pct, read + most_pct);
    say_mass(w, read + given_pct);
    mdr_hold_caution(w,
                     "How much steam condenses is not known: read the moisture before the shoe or "
                     "felt, 4 to 10 % sets");
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w,
                              "Steam before the compactor: %.1f kg of water onto %.0f kg bone dry",
                              d->dry_kg * given_pct / PCT, d->dry_kg));
}

void mdr_hold_moisture(mdr_hold_work *w)
{
    const mdr_control_drying *d = drying_of(w);
    const double aim_pct = mdr_hold_aim(w, INSIDE_PCT);
    w->start = (mdr_hold_vessel){.temp_c = HALL_C}; /* no vessel any more */
    if (mdr_hold_above(w)) {
        if (w->in->reading >= d->in_pct) {
            mdr_hold_stop(w,
                          "No drier than it went in: nothing was dried, or something was misread");
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
        mdr_hold_stop(w, "Twice more and still outside: check the meter, the air and the exhaust");
        return;
    }
    mdr_hold_settle(w, "Nothing brings it within the limits");
}
