/*
 * mdr_hold_work.h - a remedy in the making: the model of the vessel and the steps that change it.
 * Layer: core/run, inside only.
 *
 * Every step is first done to the model (temperature, liquor, what is dissolved), so that later
 * steps, their times and what is expected afterwards all rest on the same bath. What a machine cannot
 * do breaks the remedy: it is then not offered, and why stands under `missing`.
 */
#ifndef MDR_HOLD_WORK_H
#define MDR_HOLD_WORK_H

#include "base/mdr_lang.h"
#include "core/bath/mdr_equil.h"
#include "core/run/mdr_hold.h"

typedef struct mdr_hold_vessel {
    double temp_c, liquor_l;
    double dissolved_kg[MDR_DISSOLVED_COUNT];
} mdr_hold_vessel;

typedef struct mdr_hold_dose {
    const mdr_material *material;
    double product_kg;
} mdr_hold_dose;

typedef struct mdr_hold_work {
    const mdr_hold_in *in;
    mdr_arena *arena;
    mdr_hold *out;
    mdr_hold_vessel start; /* what every remedy begins with */
    mdr_hold_vessel now;
    mdr_remedy remedy; /* in the making */
    mdr_control_step steps[MDR_HOLD_STEPS_MAX];
    const char *cautions[MDR_HOLD_LINES_MAX];
    mdr_hold_why why[MDR_HOLD_LINES_MAX];
    mdr_remedy remedies[MDR_HOLD_REMEDIES_MAX];
    const char *missing[MDR_HOLD_LINES_MAX];
    const char *broken; /* why this remedy cannot be run; NULL: it can */
    bool no_memory;
} mdr_hold_work;

/* Each judges one kind of reading that failed: offers remedies, best first. */
typedef void mdr_hold_room(mdr_hold_work *w);
mdr_hold_room mdr_hold_ph, mdr_hold_core_ph, mdr_hold_peroxide, mdr_hold_hardness, mdr_hold_salt,
    mdr_hold_absorbency, mdr_hold_whiteness, mdr_hold_weight_loss, mdr_hold_level, mdr_hold_reduced,
    mdr_hold_washoff, mdr_hold_moisture, mdr_hold_shade_of_sample, mdr_hold_sample;

/* The verdict when remedies are done with: CORRECT when there is one, else STOP, in these words. */
void mdr_hold_settle(mdr_hold_work *w, const char *words_when_stopped);
/* STOP whatever is offered. */
void mdr_hold_stop(mdr_hold_work *w, const char *words);
/* The reading is above the upper limit (else below the lower one). */
bool mdr_hold_above(const mdr_hold_work *w);
/* What a correction aims at: what the plan foresees when that is within the limits, else the middle of
 * the window, or `inside` of its only limit. */
double mdr_hold_aim(const mdr_hold_work *w, double inside);

/* -- one remedy (mdr_hold_steps.c) -- */
void mdr_hold_begin(mdr_hold_work *w, mdr_remedy_kind kind);
/* Offers it, or says why not. */
void mdr_hold_end(mdr_hold_work *w, mdr_hold_role approve, const char *words);
/* "" when there was no memory for it. */
const char *mdr_hold_kept(mdr_hold_work *w, const char *text);
/* A sentence of the catalogue (data/lang/hold.csv), filled: mdr_lang_say. A new sentence goes there. */
#define mdr_hold_say(w, ...) mdr_hold_kept((w), mdr_lang_say((w)->arena, __VA_ARGS__))
/* As the scale is asked for it: grams below a kilogram. */
const char *mdr_hold_mass(mdr_hold_work *w, double kg);
void mdr_hold_break(mdr_hold_work *w, const char *why);
void mdr_hold_missing(mdr_hold_work *w, const char *what);
void mdr_hold_caution(mdr_hold_work *w, const char *caution);
void mdr_hold_because(mdr_hold_work *w, mdr_hold_rule rule, const char *working);
void mdr_hold_because_plan(mdr_hold_work *w, mdr_rule rule, const char *working);
void mdr_hold_expect(mdr_hold_work *w, double low, double value, double high);

/* Opens the next step, which ends with mdr_hold_shut. NULL: no room, and the remedy is broken. */
mdr_control_step *mdr_hold_open(mdr_hold_work *w, mdr_step_kind kind, const char *note);
void mdr_hold_shut(mdr_hold_work *w, mdr_control_step *s, double minutes);
void mdr_hold_to_temp(mdr_hold_work *w, double temp_c);
/* Not quicker than this; 0: as the machine can. */
void mdr_hold_to_temp_at(mdr_hold_work *w, double temp_c, double rate_c_per_min);
void mdr_hold_run(mdr_hold_work *w, double minutes, const char *note);
/* One tank: products that may stand in it together. `minutes` at least; a dose of more than the tank
 * or its pump can do takes longer. Hot liquor is cooled to 80 degC first. */
void mdr_hold_give(mdr_hold_work *w, const mdr_hold_dose *doses, int n, double minutes,
                   mdr_curve_kind curve);
void mdr_hold_give_one(mdr_hold_work *w, const mdr_material *material, double product_kg,
                       double minutes);
void mdr_hold_drain(mdr_hold_work *w);
/* To the liquor the check was reached with; heated for what the water's own heat does not do. */
void mdr_hold_fill(mdr_hold_work *w, double temp_c);
/* The same without the heating: for a rinse that another follows. */
void mdr_hold_refill(mdr_hold_work *w, double temp_c);
/* Lets this much more water in, as cold as it is. */
void mdr_hold_top_up(mdr_hold_work *w, double water_l);
void mdr_hold_look(mdr_hold_work *w, mdr_check_kind kind, double low, double high,
                   const char *method);

/* -- the bath (mdr_hold_bath.c) -- */
/* At hand, in the order asked for; NULL: none. Wants a capacity where the substance has one. */
const mdr_material *mdr_hold_find(const mdr_hold_work *w, int substance);
const mdr_material *mdr_hold_find_group(const mdr_hold_work *w, const char *group);
/* Hydrogen carbonate that comes with so much water. */
double mdr_hold_bicarbonate_kg(const mdr_site *site, double water_l);
double mdr_hold_g_per_l(const mdr_hold_vessel *v, mdr_dissolved what);
void mdr_hold_add(mdr_hold_vessel *v, int substance, double active_kg);
mdr_mix mdr_hold_mix(const mdr_hold_vessel *v, double temp_c);
/* False, and nothing written: nothing is dissolved, or hotter than 100 degC. */
bool mdr_hold_ph_of(const mdr_hold_vessel *v, double temp_c, double *ph);
/* Puts into the vessel what makes it read this pH: `substance` for alkali, sulphuric acid standing for
 * acid. False: no amount does. *g_per_l: of alkali, below 0 for acid. */
bool mdr_hold_fit_ph(mdr_hold_vessel *v, double temp_c, double ph, int substance, double *g_per_l);
/* Electrolyte, g/L: salts and alkali. */
double mdr_hold_electrolyte_g_per_l(const mdr_hold_vessel *v);
/* Gives the first acid (or alkali) at hand that reaches this pH, at `read_c`; false: none does.
 * Changes nothing when the bath is there. */
bool mdr_hold_acid_to(mdr_hold_work *w, double target_ph, double read_c, double minutes);
bool mdr_hold_alkali_to(mdr_hold_work *w, double target_ph, double read_c, double minutes);
/* Product for this much of the pure substance, kg. */
double mdr_hold_product_kg(const mdr_material *m, double active_kg);
double mdr_hold_strength_pct(const mdr_material *m);

#endif
