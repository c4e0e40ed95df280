/* Drying: speed and energy; the drying of an oven from one run; padding. */
#include <math.h>
#include <string.h>

#include "app/mdr_app_line_in.h"
#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_padding.h"
#include "core/finish/mdr_psychro.h"
#include "core/finish/mdr_stenter.h"

static const double PCT = 100.0, S_PER_MIN = 60.0, MJ_PER_KWH = 3.6;
/* Exhaust cooler than the air blown, fabric cooler than both, as in the worked balance of
 * docs/methods/drying.md. */
static const double EXHAUST_COOLER_C = 20.0, FABRIC_COOLER_C = 30.0;

static double exhaust_of(const mdr_line_ask *q)
{
    return q->has_exhaust ? q->exhaust_kg_per_kg : MDR_STENTER_EXHAUST_POOR_KG_PER_KG;
}

static mdr_drying_in oven_of(const mdr_line_ask *q)
{
    return (mdr_drying_in){.dry_gsm = mdr_web_dry_gsm_of(q->gsm, q->regain_pct / PCT),
                           .moisture_in_kg_per_kg = q->moisture_in_kg_per_kg,
                           .moisture_out_kg_per_kg = q->moisture_out_kg_per_kg,
                           .critical_kg_per_kg = q->critical_kg_per_kg,
                           .equilibrium_kg_per_kg = q->equilibrium_kg_per_kg,
                           .air_c = q->air_c,
                           .air_kg_per_kg = q->has_air ? q->air_kg_per_kg : exhaust_of(q),
                           .pressure_pa = MDR_PSYCHRO_ATM_PA,
                           .h_w_per_m2_k = q->h_w_per_m2_k};
}

/* The core names what it computes with; the question has other members for it. */
static mdr_code blame(mdr_code rc, mdr_err *err)
{
    static const struct {
        const char *core, *member;
    } MEMBERS[] = {{"dry_gsm", "gsm"},
                   {"to_c", "set_c"},
                   {"dry_kg_per_h", "speed_m_per_min"},
                   {"kg_per_kg", "air_kg_per_kg"},
                   {"drying_s", "h_w_per_m2_k"}, /* longer than an hour */
                   {"set_warm_up_s", "h_w_per_m2_k"}};
    for (size_t i = 0; rc != MDR_OK && err != NULL && i < sizeof MEMBERS / sizeof MEMBERS[0]; i++) {
        if (strcmp(err->place, MEMBERS[i].core) == 0) {
            err->place[0] = '\0';
            mdr_err_within(err, "%s", MEMBERS[i].member);
        }
    }
    return rc;
}

/* -- speed -- */

static mdr_code speed_of(const mdr_line_ask *q, const mdr_drying_in *in, mdr_drying *drying,
                         mdr_speed *speed, mdr_err *err)
{
    mdr_oven oven = {.length_m = q->oven_m,
                     .speed_min_m_per_min = q->speed_min_m_per_min,
                     .speed_max_m_per_min = q->speed_max_m_per_min,
                     .entry_s = q->entry_s};
    MDR_TRY(mdr_drying_time(in, drying, err));
    oven.drying_s = drying->total_s;
    if (q->has_set_c) {
        oven.set_dwell_s = q->set_dwell_s;
        MDR_TRY(mdr_drying_warm_up_s(in, q->moisture_out_kg_per_kg, drying->wet_bulb_c, q->set_c,
                                     &oven.set_warm_up_s, err));
    }
    return mdr_drying_speed(&oven, speed, err);
}

static void put_drying(mdr_desk *d, const mdr_drying *drying)
{
    mdr_desk_group(d, "drying", "Drying");
    mdr_desk_number(d, "wet_bulb_c", "wet fabric stays at", "degC", drying->wet_bulb_c);
    mdr_desk_number(d, "rate_kg_per_m2_h", "evaporates, while wet", "kg/(m2 h)",
                    drying->rate_kg_per_m2_h);
    mdr_desk_number(d, "constant_s", "as long as the surface is wet", "s", drying->constant_s);
    mdr_desk_number(d, "falling_s", "below, falling", "s", drying->falling_s);
    mdr_desk_number(d, "total_s", "together", "s", drying->total_s);
}

static const mdr_answer_word BINDING[] = {
    [MDR_SPEED_MACHINE] = {"machine", "the machine"},
    [MDR_SPEED_EVAPORATION] = {"evaporation", "drying"},
    [MDR_SPEED_DWELL] = {"dwell", "setting"},
};

static void put_speed(mdr_desk *d, const mdr_line_ask *q, const mdr_speed *s)
{
    mdr_desk_group(d, "speed", "Speed");
    mdr_desk_number(d, "most_m_per_min", "at most", "m/min", s->speed_m_per_min);
    mdr_desk_text(d, "limited_by", "limited by", BINDING[s->binding].text,
                  BINDING[s->binding].words);
    mdr_desk_number(d, "evaporation_m_per_min", "by drying", "m/min", s->evaporation_m_per_min);
    if (q->has_set_c) {
        mdr_desk_number(d, "dwell_m_per_min", "by drying and setting", "m/min", s->dwell_m_per_min);
        mdr_desk_number(d, "warm_up_m", "oven until the fabric is at temperature", "m",
                        s->warm_up_m);
        mdr_desk_number(d, "dwell_s", "then at temperature", "s", s->dwell_s);
    }
    mdr_desk_number(d, "machine_m_per_min", "by the machine", "m/min", s->machine_m_per_min);
    if (s->below_slowest) {
        mdr_desk_note(d, "The machine cannot run so slowly: dry or set in two passes.");
    }
}

/* -- energy -- */

static mdr_stenter_in balance_of(const mdr_line_ask *q, double speed_m_per_min,
                                 double moisture_out_kg_per_kg)
{
    const mdr_web web = {.width_cm = q->wide[MDR_WIDTH_ASKED].width_cm,
                         .dry_gsm = mdr_web_dry_gsm_of(q->gsm, q->regain_pct / PCT),
                         .speed_m_per_min = speed_m_per_min};
    return (mdr_stenter_in){.dry_kg_per_h = mdr_web_dry_kg_per_h(&web),
                            .moisture_in_kg_per_kg = q->moisture_in_kg_per_kg,
                            .moisture_out_kg_per_kg = moisture_out_kg_per_kg,
                            .fresh_kg_per_kg = q->fresh_kg_per_kg,
                            .fresh_c = q->fresh_c,
                            .exhaust_kg_per_kg = exhaust_of(q),
                            .exhaust_c =
                                q->has_exhaust_c ? q->exhaust_c : q->air_c - EXHAUST_COOLER_C,
                            .fabric_in_c = q->fabric_in_c,
                            .fabric_out_c = q->has_out_c   ? q->fabric_out_c
                                            : q->has_set_c ? q->set_c
                                                           : q->air_c - FABRIC_COOLER_C,
                            .loss_fraction = q->heat_loss_pct / PCT,
                            .pressure_pa = MDR_PSYCHRO_ATM_PA};
}

static void put_balance(mdr_desk *d, const mdr_stenter_in *in, const mdr_stenter *b)
{
    mdr_desk_group(d, "heat", "Heat at this speed");
    mdr_desk_number(d, "dry_kg_per_h", "bone dry fabric", "kg/h", in->dry_kg_per_h);
    mdr_desk_number(d, "evaporated_kg_per_h", "water", "kg/h", b->evaporated_kg_per_h);
    mdr_desk_number(d, "air_kg_per_h", "dry air through the exhaust", "kg/h", b->air_kg_per_h);
    mdr_desk_number(d, "heat_kw", "heat", "kW", b->heat_mj_per_h / MJ_PER_KWH);
    mdr_desk_number(d, "evaporation_pct", "of it for evaporation", "%",
                    PCT * b->evaporation_mj_per_h / b->heat_mj_per_h);
    mdr_desk_number(d, "air_pct", "for the air", "%", PCT * b->air_mj_per_h / b->heat_mj_per_h);
    mdr_desk_number(d, "mj_per_kg_evaporated", "per kg of water", "MJ/kg", b->mj_per_kg_evaporated);
    mdr_desk_number(d, "kwh_per_kg_evaporated", "per kg of water", "kWh/kg",
                    b->kwh_per_kg_evaporated);
    mdr_desk_number(d, "mj_per_kg_dry", "per kg of bone dry fabric", "MJ/kg", b->mj_per_kg_dry);
}

/* Heat that a change saves. */
static mdr_code put_saving(mdr_desk *d, const mdr_stenter_in *in, const mdr_stenter *now,
                           const char *key, const char *label, mdr_err *err)
{
    mdr_stenter then;
    MDR_TRY(blame(mdr_stenter_balance(in, &then, err), err));
    mdr_desk_number(d, key, label, "%", PCT * mdr_stenter_saving_fraction(now, &then));
    return MDR_OK;
}

static mdr_code put_squeezed(mdr_line_desk *d, const mdr_stenter_in *in, const mdr_stenter *now,
                             double exhaust, bool less_air, mdr_err *err)
{
    mdr_stenter_in then = *in;
    then.moisture_in_kg_per_kg = d->q->better_moisture_in_kg_per_kg;
    MDR_TRY(put_saving(&d->desk, &then, now, "squeeze_pct", "with better squeezing", err));
    then.exhaust_kg_per_kg = exhaust;
    return less_air ? put_saving(&d->desk, &then, now, "both_pct", "with both", err) : MDR_OK;
}

static mdr_code put_savings(mdr_line_desk *d, const mdr_stenter_in *in, const mdr_stenter *now,
                            mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const double exhaust =
        q->has_better_exhaust ? q->better_exhaust_kg_per_kg : MDR_STENTER_EXHAUST_GOOD_KG_PER_KG;
    const bool less_air = q->has_better_exhaust || in->exhaust_kg_per_kg < exhaust;
    mdr_stenter_in then = *in;
    mdr_desk_group(&d->desk, "saving", "Heat saved per kg of fabric");
    if (less_air) {
        then.exhaust_kg_per_kg = exhaust;
        MDR_TRY(put_saving(&d->desk, &then, now, "exhaust_pct", "with less exhaust air", err));
        mdr_desk_number(&d->desk, "exhaust_kg_per_kg", "that is an exhaust of", "kg/kg", exhaust);
    }
    if (q->has_better_moisture) {
        MDR_TRY(put_squeezed(d, in, now, exhaust, less_air, err));
    }
    mdr_desk_group(&d->desk, NULL, NULL);
    return MDR_OK;
}

/* Faster than it can dry the fabric comes out damper than wanted: how damp. */
static mdr_code out_at(mdr_line_desk *d, const mdr_drying_in *in, const mdr_speed *most,
                       double *moisture_out, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    *moisture_out = q->moisture_out_kg_per_kg;
    if (!q->has_speed) {
        return MDR_OK;
    }
    mdr_desk_number(&d->desk, "asked_m_per_min", "asked for", "m/min", q->speed_m_per_min);
    if (most->evaporation_m_per_min > 0.0 && q->speed_m_per_min > most->evaporation_m_per_min) {
        const double in_oven_s = S_PER_MIN * q->oven_m / q->speed_m_per_min - q->entry_s;
        MDR_TRY(mdr_drying_moisture_after(in, fmax(in_oven_s, 0.0), moisture_out, err));
        mdr_desk_note(&d->desk, "At the speed asked for the fabric does not get as dry as wanted.");
    } else if (q->speed_m_per_min > most->speed_m_per_min) {
        mdr_desk_note(&d->desk, "The speed asked for is more than setting or the machine allow.");
    }
    mdr_desk_number(&d->desk, "moisture_reached_kg_per_kg", "moisture then reached", "kg/kg",
                    *moisture_out);
    return MDR_OK;
}

mdr_code mdr_answer_dry(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const mdr_drying_in oven = oven_of(q);
    mdr_drying drying = {.total_s = 0.0};
    mdr_speed speed = {.speed_m_per_min = 0.0};
    mdr_stenter balance = {.heat_mj_per_h = 0.0};
    double out = 0.0;
    MDR_TRY(blame(speed_of(q, &oven, &drying, &speed, err), err));
    put_drying(&d->desk, &drying);
    put_speed(&d->desk, q, &speed);
    MDR_TRY(blame(out_at(d, &oven, &speed, &out, err), err));
    const mdr_stenter_in in =
        balance_of(q, q->has_speed ? q->speed_m_per_min : speed.speed_m_per_min, out);
    MDR_TRY(blame(mdr_stenter_balance(&in, &balance, err), err));
    put_balance(&d->desk, &in, &balance);
    MDR_TRY(put_savings(d, &in, &balance, err));
    mdr_line_because(d, MDR_WHY_DRYING);
    mdr_line_because(d, MDR_WHY_SPEED);
    mdr_line_because(d, MDR_WHY_BALANCE);
    mdr_line_because(d, MDR_WHY_EXHAUST);
    if (!q->has_exhaust) {
        mdr_desk_note(&d->desk, "The humidity of the exhaust was not given: 0.05 kg per kg is "
                                "often found. A probe in the exhaust duct pays for itself.");
    }
    mdr_desk_note(&d->desk, "h differs from machine to machine by a factor of four: fit it with "
                            "`fit` from one run.");
    return MDR_OK;
}

/* -- one run -- */

mdr_code mdr_answer_fit(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    mdr_drying_in in = oven_of(q);
    mdr_drying drying = {.total_s = 0.0};
    MDR_TRY(blame(
        mdr_drying_fit_h(&in, q->oven_m, q->speed_m_per_min, q->entry_s, &in.h_w_per_m2_k, err),
        err));
    MDR_TRY(blame(mdr_drying_time(&in, &drying, err), err));
    mdr_desk_number(&d->desk, "h_w_per_m2_k", "heat transfer at each face", "W/(m2 K)",
                    in.h_w_per_m2_k);
    put_drying(&d->desk, &drying);
    mdr_desk_group(&d->desk, NULL, NULL);
    mdr_line_because(d, MDR_WHY_FIT);
    mdr_line_because(d, MDR_WHY_DRYING);
    mdr_desk_note(&d->desk, "One run holds for one setting of the fans; two runs that agree are "
                            "better than one.");
    return MDR_OK;
}

/* -- padding -- */

mdr_code mdr_answer_pad(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    mdr_padding p;
    const mdr_code rc = mdr_padding_make(q->add_on_pct / PCT, q->pickup_in_pct / PCT,
                                         q->pickup_out_pct / PCT, q->fabric_kg, &p, err);
    if (rc == MDR_E_INFEAS && err != NULL) {
        err->place[0] = '\0';
        mdr_err_within(err, "add_on_pct");
        mdr_err_value(err, "%g", q->add_on_pct);
        mdr_err_allowed(err, "at most the difference of the pick-ups, %g %%",
                        q->pickup_out_pct - q->pickup_in_pct);
    }
    MDR_TRY(rc);
    mdr_desk_number(&d->desk, "trough_pct", "fill the trough with", "% of product",
                    PCT * p.trough_kg_per_kg);
    mdr_desk_number(&d->desk, "feed_pct", "top it up with", "% of product", PCT * p.feed_kg_per_kg);
    mdr_desk_number(&d->desk, "feed_kg", "feed liquor for this fabric", "kg", p.feed_kg);
    mdr_desk_number(&d->desk, "product_kg", "product in the feed", "kg", p.product_kg);
    if (q->has_trough) {
        mdr_desk_number(&d->desk, "trough_product_kg", "product in the trough", "kg",
                        q->trough_kg * p.trough_kg_per_kg);
    }
    mdr_line_because(d, MDR_WHY_PADDING);
    if (q->pickup_in_pct > 0.0) {
        mdr_desk_note(&d->desk, "A trough filled with feed gives the first metres too much: the "
                                "water that the fabric brings thins it.");
    }
    mdr_desk_note(&d->desk, "A softener that goes onto the fibre by itself thins the trough "
                            "further. Pick-ups and add-on on the same fabric, as it is weighed.");
    return MDR_OK;
}
