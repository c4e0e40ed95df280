/* The prepared cloth: absorbency, whiteness, loss of weight. */
#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_peroxide.h"
#include "core/run/mdr_hold_work.h"

static const double G_PER_KG = 1000.0, MG_PER_KG = 1e6;
static const double DOSE_MIN = 10.0; /* common practice */
static const double ALKALINE_PH = 9.0;
enum { ROUNDS = 2 }; /* common practice */

/* The scour's own bath is still in the vessel: what follows it stands in the plan. */
static bool alkaline(const mdr_hold_work *w)
{
    double ph = 0.0;
    return mdr_hold_ph_of(&w->start, MDR_PLAN_COLD_C, &ph) && ph > ALKALINE_PH;
}

static void give_g_per_l(mdr_hold_work *w, const mdr_material *m, double g_per_l, double minutes)
{
    if (m != NULL) {
        mdr_hold_give_one(w, m, mdr_hold_product_kg(m, g_per_l * w->now.liquor_l / G_PER_KG),
                          minutes);
    }
}

/* Where the plan has neutralised already it is undone: out, a hot rinse, back to the pH there was. */
static void back_to_neutral(mdr_hold_work *w)
{
    static const double HOT_C = 80.0, HOT_MIN = 10.0, COOL_C = 50.0, RUN_MIN = 10.0, PH = 6.5;
    const mdr_material *catalase = mdr_hold_find(w, MDR_SUB_CATALASE);
    mdr_hold_drain(w);
    mdr_hold_fill(w, HOT_C);
    mdr_hold_run(w, HOT_MIN, "");
    mdr_hold_drain(w);
    mdr_hold_fill(w, COOL_C);
    if (!mdr_hold_acid_to(w, PH, COOL_C, DOSE_MIN)) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.neutralise-again"));
    }
    mdr_hold_run(w, RUN_MIN, "");
    const double left_mg_per_l = w->now.dissolved_kg[MDR_IN_H2O2] * MG_PER_KG / w->now.liquor_l;
    if (left_mg_per_l <= MDR_PEROXIDE_LIMIT_MG_PER_L) {
        return;
    }
    if (catalase == NULL) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.catalase"));
        return;
    }
    const double kg = mdr_peroxide_catalase_kg(left_mg_per_l, MDR_PEROXIDE_AIM_MG_PER_L,
                                               w->now.liquor_l, catalase->capacity_mg_per_g);
    mdr_hold_because_plan(
        w, MDR_RULE_CATALASE,
        mdr_hold_say(w, "hold.peroxide.catalase-working", mdr_lang_num(left_mg_per_l, 0),
                     mdr_lang_num(MDR_PEROXIDE_AIM_MG_PER_L, 0), mdr_lang_num(w->now.liquor_l, 0),
                     mdr_lang_num(catalase->capacity_mg_per_g, 0), mdr_lang_num(kg, 3)));
    mdr_hold_give_one(w, catalase, kg, DOSE_MIN);
    mdr_hold_run(w, RUN_MIN, mdr_hold_say(w, "hold.peroxide.enzyme-note"));
}

/* -- absorbency -- */

static void rescour(mdr_hold_work *w)
{
    static const double WETTING_G_PER_L = 0.5, CAUSTIC_G_PER_L = 1.0, TEMP_C = 95.0, MINUTES = 20.0;
    const mdr_material *wetting = mdr_hold_find_group(w, "surfactant");
    const mdr_material *caustic = mdr_hold_find(w, MDR_SUB_NAOH);
    if (wetting == NULL || caustic == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, wetting == NULL ? "hold.absorbency.no-wetting"
                                                            : "hold.give.no-caustic"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_RESCOUR);
    mdr_hold_because(
        w, MDR_HOLD_RULE_RESCOUR,
        mdr_hold_say(w, "hold.absorbency.scour-working", mdr_lang_num(WETTING_G_PER_L, 1),
                     mdr_lang_num(CAUSTIC_G_PER_L, 1), mdr_lang_num(w->start.liquor_l, 0)));
    give_g_per_l(w, wetting, WETTING_G_PER_L, DOSE_MIN);
    give_g_per_l(w, caustic, CAUSTIC_G_PER_L, DOSE_MIN);
    mdr_hold_to_temp(w, fmin(TEMP_C, w->in->machine->temp_max_c));
    mdr_hold_run(w, MINUTES, "");
    if (alkaline(w)) {
        mdr_hold_to_temp(w, fmin(w->start.temp_c, w->in->machine->drain_temp_max_c));
    } else {
        back_to_neutral(w);
    }
    mdr_hold_caution(w, mdr_hold_say(w, "hold.absorbency.wax"));
    mdr_hold_end(w,
                 w->in->n_failed > 0 || w->in->state->dyed ? MDR_HOLD_BY_TECHNOLOGIST
                                                           : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.absorbency.scour", mdr_lang_num(WETTING_G_PER_L, 1),
                              mdr_lang_num(CAUSTIC_G_PER_L, 1), mdr_lang_num(TEMP_C, 0),
                              mdr_lang_num(MINUTES, 0)));
}

void mdr_hold_absorbency(mdr_hold_work *w)
{
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.absorbency.quicker"));
        return;
    }
    if (w->in->state->dyed) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.absorbency.dyed"));
        return;
    }
    rescour(w);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.absorbency.twice"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.absorbency.nothing"));
}

/* -- whiteness -- */

static const double TABLE_LEAST_W10 = 40.0, TABLE_MOST_W10 = 85.0; /* mdr_peroxide.h */

static double table_g_per_l(double w10)
{
    /* held inside the table: below it the cloth is as it comes, above it brightener does the rest */
    const double known = fmin(TABLE_MOST_W10, fmax(TABLE_LEAST_W10, w10));
    double g_per_l = 0.0;
    return mdr_peroxide_for_whiteness(known, &g_per_l, NULL) == MDR_OK ? g_per_l : 0.0;
}

/* The whiteness at which the table asks for this much: it only rises, so by halving. */
static double table_w10(double g_per_l)
{
    double low = TABLE_LEAST_W10, high = TABLE_MOST_W10;
    for (int i = 0; i < 50; i++) {
        const double middle = 0.5 * (low + high);
        if (table_g_per_l(middle) < g_per_l) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

static void expect_whiteness(mdr_hold_work *w, double given_g_per_l)
{
    static const double BESIDE_W10 = 7.5; /* 5 to 10 beside the table: peroxide.md */
    if (w->in->check->low > TABLE_MOST_W10 || w->in->reading < TABLE_LEAST_W10) {
        return; /* the table says nothing there */
    }
    const double w10 =
        fmax(w->in->reading, table_w10(table_g_per_l(w->in->reading) + given_g_per_l));
    mdr_hold_expect(w, fmax(w->in->reading, w10 - BESIDE_W10), w10, w10 + BESIDE_W10);
}

static void bleach_alkali(mdr_hold_work *w)
{
    static const double BLEACH_PH = 10.6; /* 10.4 to 10.8, scour-bleach of knits */
    const mdr_material *caustic = mdr_hold_find(w, MDR_SUB_NAOH);
    const mdr_mix mix = mdr_hold_mix(&w->now, MDR_PLAN_COLD_C);
    double g_per_l = 0.0;
    if (caustic == NULL || !mdr_mix_valid(&mix) ||
        mdr_equil_need(&mix, MDR_SUB_NAOH, BLEACH_PH, MDR_EQUIL_NEED_MOST_G_PER_KG, &g_per_l,
                       NULL) != MDR_OK) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.bleach-ph"));
        return;
    }
    mdr_hold_because(w, MDR_HOLD_RULE_BLEACH_PH,
                     mdr_hold_say(w, "hold.whiteness.alkali-working", mdr_lang_num(g_per_l, 3),
                                  mdr_lang_num(BLEACH_PH, 1)));
    if (g_per_l > 0.0) {
        give_g_per_l(w, caustic, g_per_l, DOSE_MIN);
    }
}

static void rebleach(mdr_hold_work *w)
{
    static const double TEMP_C = 98.0, MINUTES = 30.0, START_C = 60.0, STABILISER_G_PER_L = 0.5;
    const mdr_material *peroxide = mdr_hold_find(w, MDR_SUB_H2O2);
    if (peroxide == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.whiteness.no-peroxide"));
        return;
    }
    const double low = w->in->check->low, half = 0.5 * table_g_per_l(low);
    const double between = table_g_per_l(low) - table_g_per_l(w->in->reading);
    const double g_per_l = fmax(half, between);
    const bool same_bath = alkaline(w);
    mdr_hold_begin(w, MDR_REMEDY_REBLEACH);
    mdr_hold_because_plan(
        w, MDR_RULE_WHITEN,
        mdr_hold_say(w, "hold.whiteness.table-working", mdr_lang_num(fmin(low, TABLE_MOST_W10), 0),
                     mdr_lang_num(table_g_per_l(low), 2), mdr_lang_num(w->in->reading, 0),
                     mdr_lang_num(table_g_per_l(w->in->reading), 2)));
    mdr_hold_because(w, MDR_HOLD_RULE_REBLEACH,
                     mdr_hold_say(w, "hold.whiteness.greater-working", mdr_lang_num(half, 2),
                                  mdr_lang_num(between, 2)));
    mdr_hold_to_temp(w, START_C);
    bleach_alkali(w);
    give_g_per_l(w, mdr_hold_find_group(w, "bleaching auxiliary"), STABILISER_G_PER_L, DOSE_MIN);
    give_g_per_l(w, peroxide, g_per_l, DOSE_MIN);
    mdr_hold_to_temp(w, fmin(TEMP_C, w->in->machine->temp_max_c));
    mdr_hold_run(w, MINUTES, "");
    if (same_bath) {
        mdr_hold_to_temp(w, fmin(w->start.temp_c, w->in->machine->drain_temp_max_c));
    } else {
        back_to_neutral(w);
    }
    expect_whiteness(w, g_per_l);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.whiteness.tank"));
    mdr_hold_caution(w, mdr_hold_say(w, "hold.whiteness.iron"));
    if (low > TABLE_MOST_W10) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.whiteness.brightener"));
    }
    mdr_hold_end(
        w, w->in->n_failed > 0 || !same_bath ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
        mdr_hold_say(w, "hold.whiteness.bleach", mdr_lang_num(g_per_l, 2), mdr_lang_num(TEMP_C, 0),
                     mdr_lang_num(MINUTES, 0)));
}

void mdr_hold_whiteness(mdr_hold_work *w)
{
    if (mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.whiteness.whiter"));
        return;
    }
    if (w->in->state->dyed) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.whiteness.dyed"));
        return;
    }
    rebleach(w);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.whiteness.twice"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.whiteness.nothing"));
}

/* -- loss of weight -- */

/* Loss the plan's dye is weighed for. */
static double planned_pct(const mdr_hold_work *w)
{
    const mdr_control_check *c = w->in->check;
    return c->has_expected             ? c->expected
           : c->has_low && c->has_high ? 0.5 * (c->low + c->high)
           : c->has_high               ? c->high
                                       : c->low;
}

static void new_mass(mdr_hold_work *w)
{
    const double planned = planned_pct(w);
    w->remedy.dye_factor = (100.0 - w->in->reading) / (100.0 - planned);
    mdr_hold_because(w, MDR_HOLD_RULE_DYE_MASS,
                     mdr_hold_say(w, "hold.weight-loss.mass-working",
                                  mdr_lang_num(w->in->reading, 1), mdr_lang_num(planned, 1),
                                  mdr_lang_num(w->remedy.dye_factor, 4),
                                  mdr_lang_num(w->in->state->load_kg * w->remedy.dye_factor, 1)));
    /* no treatment brings the loss back: the same will be read */
    mdr_hold_expect(w, w->in->reading, w->in->reading, w->in->reading);
}

void mdr_hold_weight_loss(mdr_hold_work *w)
{
    static const double DEAD_C = 80.0, DEAD_MIN = 10.0; /* common practice */
    if (w->in->state->dyed) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.weight-loss.dyed"));
        return;
    }
    if (mdr_hold_above(w)) {
        mdr_hold_begin(w, MDR_REMEDY_INACTIVATE);
        mdr_hold_because(w, MDR_HOLD_RULE_INACTIVATE,
                         mdr_hold_say(w, "hold.weight-loss.stop-working", mdr_lang_num(DEAD_C, 0),
                                      mdr_lang_num(DEAD_MIN, 0)));
        mdr_hold_to_temp(w, fmax(DEAD_C, w->now.temp_c));
        mdr_hold_run(w, DEAD_MIN, mdr_hold_say(w, "hold.weight-loss.stops-note"));
        new_mass(w);
        mdr_hold_caution(w, mdr_hold_say(w, "hold.weight-loss.strength"));
        mdr_hold_end(
            w, MDR_HOLD_BY_QUALITY,
            mdr_hold_say(w, "hold.weight-loss.stop", mdr_lang_num(w->remedy.dye_factor, 3)));
        mdr_hold_stop(w, mdr_hold_say(w, "hold.weight-loss.fit"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_DYE_MASS);
    new_mass(w);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.weight-loss.less"));
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, "hold.weight-loss.go-on", mdr_lang_num(w->remedy.dye_factor, 3)));
    mdr_hold_settle(w, "");
}
