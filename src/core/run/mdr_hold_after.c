/* Wash-off: further hot baths, a fixing agent. */
#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_washoff.h"
#include "core/run/mdr_hold_work.h"

static const double HOT_C = 95.0, HOT_MIN = 10.0; /* common practice */
enum { ROUNDS = 3, BATHS_MOST = 3 };

static void hot_baths(mdr_hold_work *w)
{
    const mdr_control_state *s = w->in->state;
    double loose = s->loose_mg_per_kg;
    const double temp_c = fmin(HOT_C, w->in->machine->temp_max_c);
    /* what one fill leaves of the electrolyte is in the bath the dye comes off into */
    const double electrolyte = mdr_hold_electrolyte_g_per_l(&w->start) *
                               fmin(1.0, s->retained_l_per_kg * s->load_kg / s->liquor_l);
    const double by_model = loose > 0.0
                                ? mdr_washoff_baths_needed(loose, MDR_WASHOFF_TARGET_MG_PER_KG,
                                                           temp_c, HOT_MIN, electrolyte)
                                : 0.0;
    const int n = (int)fmin(BATHS_MOST, fmax(1.0, by_model));
    mdr_hold_begin(w, MDR_REMEDY_HOT_BATHS);
    for (int i = 0; i < n; i++) {
        mdr_hold_drain(w);
        mdr_hold_fill(w, temp_c);
        mdr_hold_run(w, HOT_MIN, "");
        loose *= mdr_washoff_left(
            mdr_washoff_rate_per_min(temp_c, mdr_hold_electrolyte_g_per_l(&w->now)), HOT_MIN);
    }
    mdr_hold_because(
        w, MDR_HOLD_RULE_HOT_BATHS,
        s->loose_mg_per_kg > 0.0
            ? mdr_hold_say(w,
                           "%.0f mg/kg loose by the plan, %.0f after %d; %.1f baths by "
                           "the model",
                           s->loose_mg_per_kg, loose, n, by_model)
            : "the plan does not know how much is loose: one bath");
    mdr_hold_caution(w, "Alkali out before it is hot: hot alkali breaks the bond of the dye");
    mdr_hold_end(w, w->in->n_failed > 1 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "%d more bath%s of %.0f degC, %.0f min, read again", n,
                              n == 1 ? "" : "s", temp_c, HOT_MIN));
}

static void fixing(mdr_hold_work *w)
{
    static const double PCT_OWF = 1.0, TEMP_C = 40.0, PH = 5.5,
                        MINUTES = 20.0; /* common practice */
    const mdr_control_state *s = w->in->state;
    const mdr_material *fix = mdr_hold_find_group(w, "fixing");
    if (fix == NULL) {
        mdr_hold_missing(w, "No fixing agent (group \"fixing\") is to hand");
        return;
    }
    const double kg = PCT_OWF / 100.0 * s->load_kg;
    mdr_hold_begin(w, MDR_REMEDY_FIXING);
    mdr_hold_drain(w);
    mdr_hold_fill(w, TEMP_C);
    if (!mdr_hold_acid_to(w, PH, TEMP_C, 10.0)) {
        mdr_hold_break(w, "no acid to hand for pH 5.5");
    }
    mdr_hold_because(w, MDR_HOLD_RULE_FIXING,
                     mdr_hold_say(w, "%.1f %% x %.0f kg / 100 = %.1f kg", PCT_OWF, s->load_kg, kg));
    mdr_hold_give_one(w, fix, kg, 10.0);
    mdr_hold_run(w, MINUTES, "");
    mdr_hold_caution(w, "It hides loose dye, it does not take it out: light fastness and hue may "
                        "suffer, and the next stripping is harder");
    mdr_hold_end(w, MDR_HOLD_BY_QUALITY,
                 mdr_hold_say(w, "%.1f %% fixing agent, pH %.1f, %.0f degC, %.0f min", PCT_OWF, PH,
                              TEMP_C, MINUTES));
}

void mdr_hold_washoff(mdr_hold_work *w)
{
    if (mdr_hold_above(w)) {
        mdr_hold_stop(w, "Better than the limit: nothing to correct, look at the limit");
        return;
    }
    hot_baths(w);
    if (w->in->n_failed > 0) {
        fixing(w);
    }
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w,
                      "Three times and it still bleeds: fixation, hardness or salt is the cause");
        return;
    }
    mdr_hold_settle(w, "No further bath can be run");
}
