/* The dyebath: levelness, reduction of a vat, a sample looked at. */
#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_reduction.h"
#include "core/run/mdr_hold_work.h"

static const double G_PER_KG = 1000.0;
static const double DOSE_MIN = 10.0, RUN_MIN = 10.0; /* common practice */
enum { ROUNDS = 2 };

/* -- levelness -- */

static void level_by_heat(mdr_hold_work *w, const mdr_material *leveller)
{
    static const double REACTIVE_C = 80.0, DIRECT_C = 95.0;     /* common practice */
    static const double MINUTES = 25.0, LEVELLER_G_PER_L = 1.0; /* common practice */
    static const double RATE_C_PER_MIN = 1.0; /* the dye is on its way; common practice */
    const mdr_control_state *s = w->in->state;
    const bool direct = s->dye_class == MDR_CLASS_DIRECT;
    const double temp_c = fmax(direct ? DIRECT_C : REACTIVE_C, w->start.temp_c);
    mdr_hold_begin(w, leveller != NULL ? MDR_REMEDY_LEVEL_AGENT : MDR_REMEDY_LEVEL_HEAT);
    if (leveller != NULL) {
        const double kg = LEVELLER_G_PER_L * w->now.liquor_l / G_PER_KG;
        mdr_hold_because(w, MDR_HOLD_RULE_LEVELLER,
                         mdr_hold_say(w, "hold.level.leveller-working",
                                      mdr_lang_num(LEVELLER_G_PER_L, 1),
                                      mdr_lang_num(w->now.liquor_l, 0), mdr_lang_num(kg, 2)));
        mdr_hold_give_one(w, leveller, kg, DOSE_MIN);
    }
    mdr_hold_to_temp_at(w, temp_c, RATE_C_PER_MIN);
    mdr_hold_run(w, MINUTES, mdr_hold_say(w, "hold.level.migrates-note"));
    mdr_hold_to_temp(w, s->temp_c);
    mdr_hold_because(w, MDR_HOLD_RULE_LEVEL,
                     mdr_hold_say(w, "hold.level.heat-working", mdr_lang_num(temp_c, 0),
                                  mdr_lang_num(MINUTES, 0), mdr_lang_num(s->temp_c, 0)));
    mdr_hold_caution(
        w, mdr_hold_say(w, direct ? "hold.level.cool-slowly" : "hold.level.alkali-after"));
    mdr_hold_end(w, w->in->n_failed > 0 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, leveller != NULL ? "hold.level.agent" : "hold.level.heat",
                              mdr_lang_num(temp_c, 0), mdr_lang_num(MINUTES, 0)));
}

void mdr_hold_level(mdr_hold_work *w)
{
    const mdr_control_state *s = w->in->state;
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.level.better"));
        return;
    }
    if (s->fixing || (s->dyed && !s->dyebath)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.level.fixed"));
        return;
    }
    if (s->dye_class == MDR_CLASS_VAT) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.level.vat"));
        return;
    }
    const mdr_material *leveller = mdr_hold_find_group(w, "levelling");
    if (leveller == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.level.no-leveller"));
    }
    if (w->in->n_failed == 0) {
        level_by_heat(w, NULL);
    }
    if (leveller != NULL) {
        level_by_heat(w, leveller);
    }
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.level.twice"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.level.nothing"));
}

/* -- reduction of a vat -- */

/* The reserve anew: the reading says it is spent, so all of what is needed from here on is given. */
static void reserve_again(mdr_hold_work *w)
{
    static const double LEAST_LEFT_MIN = 20.0; /* common practice: a bath that nobody timed */
    const mdr_control_state *s = w->in->state;
    const mdr_machine *m = w->in->machine;
    const mdr_material *dithionite = mdr_hold_find(w, MDR_SUB_DITHIONITE);
    const mdr_material *caustic = mdr_hold_find(w, MDR_SUB_NAOH);
    if (dithionite == NULL || caustic == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, dithionite == NULL ? "hold.reduction.no-dithionite"
                                                               : "hold.give.no-caustic"));
        return;
    }
    const double minutes = fmax(s->minutes_left, LEAST_LEFT_MIN);
    const double air = mdr_reduction_air_loss_g_per_l_min(
        m->air_g_o2_per_kg_h > 0.0 ? m->air_g_o2_per_kg_h
                                   : mdr_reduction_air_g_o2_per_kg_h(m->kind),
        s->load_kg, w->start.liquor_l);
    const double g_per_l = mdr_reduction_start_g_per_l(
        MDR_REDUCTION_RESERVE_G_PER_L, air, mdr_reduction_heat_per_min(w->start.temp_c), minutes);
    const double naoh = g_per_l * mdr_reduction_naoh_per_dithionite_g_per_g();
    mdr_hold_begin(w, MDR_REMEDY_REDUCER);
    mdr_hold_because(w, MDR_HOLD_RULE_RESERVE,
                     mdr_hold_say(w, "hold.reduction.reserve-working", mdr_lang_num(minutes, 0),
                                  mdr_lang_num(air, 4),
                                  mdr_lang_num(MDR_REDUCTION_RESERVE_G_PER_L, 1),
                                  mdr_lang_num(g_per_l, 2)));
    mdr_hold_because(w, MDR_HOLD_RULE_RESERVE_CAUSTIC,
                     mdr_hold_say(w, "hold.reduction.caustic-working", mdr_lang_num(g_per_l, 2),
                                  mdr_lang_num(mdr_reduction_naoh_per_dithionite_g_per_g(), 3),
                                  mdr_lang_num(naoh, 2)));
    mdr_hold_give_one(w, caustic, mdr_hold_product_kg(caustic, naoh * w->now.liquor_l / G_PER_KG),
                      5.0);
    mdr_hold_give_one(w, dithionite,
                      mdr_hold_product_kg(dithionite, g_per_l * w->now.liquor_l / G_PER_KG), 5.0);
    mdr_hold_run(w, RUN_MIN, "");
    mdr_hold_caution(w, mdr_hold_say(w, "hold.reduction.dithionite-dry"));
    /* the whole reserve anew is never a small dose: more than the 1 g/L that is to be left of it */
    mdr_hold_end(
        w, MDR_HOLD_BY_TECHNOLOGIST,
        mdr_hold_say(w, "hold.reduction.reserve", mdr_lang_num(g_per_l, 2), mdr_lang_num(naoh, 2)));
}

/* Before the oxidation: no reducer may be left. */
static void rinse_it_out(mdr_hold_work *w)
{
    if (w->in->state->dyebath && w->in->state->dye_class != MDR_CLASS_VAT) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.rinse.dye-in-bath"));
        return;
    }
    const mdr_control_state *s = w->in->state;
    mdr_hold_begin(w, MDR_REMEDY_RINSE);
    mdr_hold_drain(w);
    mdr_hold_fill(w, s->temp_c);
    mdr_hold_run(w, 5.0, "");
    mdr_hold_because(
        w, MDR_HOLD_RULE_REFILL,
        mdr_hold_say(w, "hold.rinse.stays-working",
                     mdr_lang_num(s->retained_l_per_kg * s->load_kg, 0),
                     mdr_lang_num(s->liquor_l, 0),
                     mdr_lang_num(100.0 * s->retained_l_per_kg * s->load_kg / s->liquor_l, 0)));
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR, mdr_hold_say(w, "hold.reduction.rinse"));
}

void mdr_hold_reduced(mdr_hold_work *w)
{
    /* a potential that is too high is too little reduction, a grade that is too low as well */
    const bool wants_more = (w->in->check->kind == MDR_CHECK_REDOX) == mdr_hold_above(w);
    if (wants_more) {
        reserve_again(w);
    } else if (w->in->check->kind == MDR_CHECK_REDUCTION) {
        rinse_it_out(w);
    } else {
        mdr_hold_begin(w, MDR_REMEDY_RUN_ON);
        mdr_hold_run(w, RUN_MIN, mdr_hold_say(w, "hold.reduction.air-note"));
        mdr_hold_because(w, MDR_HOLD_RULE_RUN_ON,
                         mdr_hold_say(w, "hold.run-on.working", mdr_lang_num(RUN_MIN, 0)));
        mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST, mdr_hold_say(w, "hold.reduction.run-on"));
    }
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, wants_more ? "hold.reduction.spent-again"
                                                    : "hold.reduction.no-better"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.reduction.nothing"));
}

/* -- looked at -- */

void mdr_hold_sample(mdr_hold_work *w)
{
    if (w->in->check->on_fail == MDR_FAIL_REPEAT && w->in->n_failed < ROUNDS) {
        mdr_hold_begin(w, MDR_REMEDY_RUN_ON);
        mdr_hold_run(w, RUN_MIN, "");
        mdr_hold_because(w, MDR_HOLD_RULE_RUN_ON,
                         mdr_hold_say(w, "hold.run-on.working", mdr_lang_num(RUN_MIN, 0)));
        mdr_hold_end(w, MDR_HOLD_BY_OPERATOR, mdr_hold_say(w, "hold.sample.run-on"));
    }
    mdr_hold_settle(w, w->in->check->remedy != NULL && w->in->check->remedy[0] != '\0'
                           ? w->in->check->remedy
                           : mdr_hold_say(w, "hold.sample.eye"));
}
