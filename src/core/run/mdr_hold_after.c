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
    mdr_hold_because(w, MDR_HOLD_RULE_HOT_BATHS,
                     s->loose_mg_per_kg > 0.0
                         ? mdr_hold_say(w, "hold.wash-off.baths-working",
                                        mdr_lang_num(s->loose_mg_per_kg, 0), mdr_lang_num(loose, 0),
                                        mdr_lang_num(n, 0), mdr_lang_num(by_model, 1))
                         : mdr_hold_say(w, "hold.wash-off.not-known-working"));
    mdr_hold_caution(w, mdr_hold_say(w, "hold.wash-off.alkali-out"));
    mdr_hold_end(w, w->in->n_failed > 1 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, n == 1 ? "hold.wash-off.bath" : "hold.wash-off.baths",
                              mdr_lang_num(n, 0), mdr_lang_num(temp_c, 0),
                              mdr_lang_num(HOT_MIN, 0)));
}

static void fixing(mdr_hold_work *w)
{
    static const double PCT_OWF = 1.0, TEMP_C = 40.0, PH = 5.5,
                        MINUTES = 20.0; /* common practice */
    const mdr_control_state *s = w->in->state;
    const mdr_material *fix = mdr_hold_find_group(w, "fixing");
    if (fix == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.wash-off.no-fixing"));
        return;
    }
    const double kg = PCT_OWF / 100.0 * s->load_kg;
    mdr_hold_begin(w, MDR_REMEDY_FIXING);
    mdr_hold_drain(w);
    mdr_hold_fill(w, TEMP_C);
    if (!mdr_hold_acid_to(w, PH, TEMP_C, 10.0)) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.acid-to", mdr_lang_num(PH, 1)));
    }
    mdr_hold_because(w, MDR_HOLD_RULE_FIXING,
                     mdr_hold_say(w, "hold.wash-off.fixing-working", mdr_lang_num(PCT_OWF, 1),
                                  mdr_lang_num(s->load_kg, 0), mdr_lang_num(kg, 1)));
    mdr_hold_give_one(w, fix, kg, 10.0);
    mdr_hold_run(w, MINUTES, "");
    mdr_hold_caution(w, mdr_hold_say(w, "hold.wash-off.hides"));
    mdr_hold_end(w, MDR_HOLD_BY_QUALITY,
                 mdr_hold_say(w, "hold.wash-off.fixing", mdr_lang_num(PCT_OWF, 1),
                              mdr_lang_num(PH, 1), mdr_lang_num(TEMP_C, 0),
                              mdr_lang_num(MINUTES, 0)));
}

void mdr_hold_washoff(mdr_hold_work *w)
{
    if (mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.wash-off.better"));
        return;
    }
    hot_baths(w);
    if (w->in->n_failed > 0) {
        fixing(w);
    }
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.wash-off.still-bleeds"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.wash-off.no-bath"));
}
