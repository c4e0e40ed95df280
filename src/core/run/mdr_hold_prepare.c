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
        mdr_hold_break(w, "no acid to hand to neutralise it again");
    }
    mdr_hold_run(w, RUN_MIN, "");
    const double left_mg_per_l = w->now.dissolved_kg[MDR_IN_H2O2] * MG_PER_KG / w->now.liquor_l;
    if (left_mg_per_l <= MDR_PEROXIDE_LIMIT_MG_PER_L) {
        return;
    }
    if (catalase == NULL) {
        mdr_hold_break(w, "no catalase to hand for the peroxide that is left");
        return;
    }
    const double kg = mdr_peroxide_catalase_kg(left_mg_per_l, MDR_PEROXIDE_AIM_MG_PER_L,
                                               w->now.liquor_l, catalase->capacity_mg_per_g);
    mdr_hold_because_plan(w, MDR_RULE_CATALASE,
                          mdr_hold_say(w, "(%.0f - %.0f) mg/L x %.0f L / %.0f mg/g = %.3f kg",
                                       left_mg_per_l, MDR_PEROXIDE_AIM_MG_PER_L, w->now.liquor_l,
                                       catalase->capacity_mg_per_g, kg));
    mdr_hold_give_one(w, catalase, kg, DOSE_MIN);
    mdr_hold_run(w, RUN_MIN, "The enzyme works");
}

/* -- absorbency -- */

static void rescour(mdr_hold_work *w)
{
    static const double WETTING_G_PER_L = 0.5, CAUSTIC_G_PER_L = 1.0, TEMP_C = 95.0, MINUTES = 20.0;
    const mdr_material *wetting = mdr_hold_find_group(w, "surfactant");
    const mdr_material *caustic = mdr_hold_find(w, MDR_SUB_NAOH);
    if (wetting == NULL || caustic == NULL) {
        mdr_hold_missing(w, wetting == NULL ? "No wetting agent (group \"surfactant\") is to hand"
                                            : "No caustic soda is to hand");
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_RESCOUR);
    mdr_hold_because(w, MDR_HOLD_RULE_RESCOUR,
                     mdr_hold_say(w, "%.1f and %.1f g/L in %.0f L", WETTING_G_PER_L,
                                  CAUSTIC_G_PER_L, w->start.liquor_l));
    give_g_per_l(w, wetting, WETTING_G_PER_L, DOSE_MIN);
    give_g_per_l(w, caustic, CAUSTIC_G_PER_L, DOSE_MIN);
    mdr_hold_to_temp(w, fmin(TEMP_C, w->in->machine->temp_max_c));
    mdr_hold_run(w, MINUTES, "");
    if (alkaline(w)) {
        mdr_hold_to_temp(w, fmin(w->start.temp_c, w->in->machine->drain_temp_max_c));
    } else {
        back_to_neutral(w);
    }
    mdr_hold_caution(w,
                     "If it stays: check for wax (solvent extract) and the hardness of the bath");
    mdr_hold_end(
        w,
        w->in->n_failed > 0 || w->in->state->dyed ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
        mdr_hold_say(w,
                     "%.1f g/L wetting agent and %.1f g/L caustic soda in addition, %.0f degC, "
                     "%.0f min, read again",
                     WETTING_G_PER_L, CAUSTIC_G_PER_L, TEMP_C, MINUTES));
}

void mdr_hold_absorbency(mdr_hold_work *w)
{
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, "Quicker than the limit: nothing to correct, check the limit");
        return;
    }
    if (w->in->state->dyed) {
        mdr_hold_stop(w, "Dyed already: scouring now would take off dye and make it unlevel");
        return;
    }
    rescour(w);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, "Scoured twice more and still not absorbent: the cause is another");
        return;
    }
    mdr_hold_settle(w, "It cannot be scoured again with what is to hand");
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
        mdr_hold_break(w, "no caustic soda to hand for the pH of the bleach");
        return;
    }
    mdr_hold_because(w, MDR_HOLD_RULE_BLEACH_PH,
                     mdr_hold_say(w, "%.3f g/L to pH %.1f", g_per_l, BLEACH_PH));
    if (g_per_l > 0.0) {
        give_g_per_l(w, caustic, g_per_l, DOSE_MIN);
    }
}

static void rebleach(mdr_hold_work *w)
{
    static const double TEMP_C = 98.0, MINUTES = 30.0, START_C = 60.0, STABILISER_G_PER_L = 0.5;
    const mdr_material *peroxide = mdr_hold_find(w, MDR_SUB_H2O2);
    if (peroxide == NULL) {
        mdr_hold_missing(w, "No hydrogen peroxide is to hand");
        return;
    }
    const double low = w->in->check->low, half = 0.5 * table_g_per_l(low);
    const double between = table_g_per_l(low) - table_g_per_l(w->in->reading);
    const double g_per_l = fmax(half, between);
    const bool same_bath = alkaline(w);
    mdr_hold_begin(w, MDR_REMEDY_REBLEACH);
    mdr_hold_because_plan(w, MDR_RULE_WHITEN,
                          mdr_hold_say(w, "W10 %.0f takes %.2f, W10 %.0f %.2f g/L of 100 %%",
                                       fmin(low, TABLE_MOST_W10), table_g_per_l(low),
                                       w->in->reading, table_g_per_l(w->in->reading)));
    mdr_hold_because(w, MDR_HOLD_RULE_REBLEACH,
                     mdr_hold_say(w, "the greater of %.2f and %.2f g/L", half, between));
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
    mdr_hold_caution(w, "Peroxide and caustic soda never in one addition tank");
    mdr_hold_caution(w, "Iron on the fabric makes holes with peroxide: check for it first");
    if (low > TABLE_MOST_W10) {
        mdr_hold_caution(w, "Above W10 85 it is the brightener: check that it was given in full");
    }
    mdr_hold_end(
        w, w->in->n_failed > 0 || !same_bath ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
        mdr_hold_say(w, "%.2f g/L of peroxide (100 %%), %.0f degC, %.0f min, read again", g_per_l,
                     TEMP_C, MINUTES));
}

void mdr_hold_whiteness(mdr_hold_work *w)
{
    if (mdr_hold_above(w)) {
        mdr_hold_stop(w, "Whiter than the limit: this cannot be undone");
        return;
    }
    if (w->in->state->dyed) {
        mdr_hold_stop(w, "Dyed already: bleaching now would destroy the dye");
        return;
    }
    rebleach(w);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(
            w, "Bleached twice more and still not white: another bleach only costs strength");
        return;
    }
    mdr_hold_settle(w, "It cannot be bleached again with what is to hand");
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
                     mdr_hold_say(w, "(100 - %.1f) / (100 - %.1f) = %.4f: %.1f kg", w->in->reading,
                                  planned, w->remedy.dye_factor,
                                  w->in->state->load_kg * w->remedy.dye_factor));
    /* no treatment brings the loss back: the same will be read */
    mdr_hold_expect(w, w->in->reading, w->in->reading, w->in->reading);
}

void mdr_hold_weight_loss(mdr_hold_work *w)
{
    static const double DEAD_C = 80.0, DEAD_MIN = 10.0; /* common practice */
    if (w->in->state->dyed) {
        mdr_hold_stop(w, "Dyed already: the dye was weighed for another mass");
        return;
    }
    if (mdr_hold_above(w)) {
        mdr_hold_begin(w, MDR_REMEDY_INACTIVATE);
        mdr_hold_because(w, MDR_HOLD_RULE_INACTIVATE,
                         mdr_hold_say(w, "%.0f degC, %.0f min", DEAD_C, DEAD_MIN));
        mdr_hold_to_temp(w, fmax(DEAD_C, w->now.temp_c));
        mdr_hold_run(w, DEAD_MIN, "Stops the enzyme");
        new_mass(w);
        mdr_hold_caution(w, "Strength that is lost stays lost: bursting test before dyeing");
        mdr_hold_end(w, MDR_HOLD_BY_QUALITY,
                     mdr_hold_say(w, "Stop the enzyme; every dye x %.3f", w->remedy.dye_factor));
        mdr_hold_stop(
            w, "More weight lost than allowed: quality decides whether the fabric is still fit");
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_DYE_MASS);
    new_mass(w);
    mdr_hold_caution(w, "The treatment did less than it should: check pH, temperature and time");
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, "Go on as it is; every dye x %.3f", w->remedy.dye_factor));
    mdr_hold_settle(w, "");
}
