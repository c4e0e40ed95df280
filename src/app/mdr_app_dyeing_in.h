/*
 * mdr_app_dyeing_in.h - what the files that answer for a dyeing share. Layer: app, inside only.
 */
#ifndef MDR_APP_DYEING_IN_H
#define MDR_APP_DYEING_IN_H

#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_in.h"
#include "core/exhaust/mdr_dye_known.h"
#include "wire/mdr_dyeing_ask.h"

/* A dyeing in the making. */
typedef struct mdr_dyer {
    mdr_app *app;
    mdr_arena *arena;
    mdr_dyeing_ask ask;
    mdr_dyeing_out *out;
    mdr_dyeing_case *study; /* = out->study, to be written */
    mdr_ph_table *table;
    const mdr_dye_fit *fits[MDR_DYE_DYES_MAX];
    mdr_rope_colour colour;
    bool no_memory; /* a sentence found none */
} mdr_dyer;

/* mdr_app_dyeing.c: all but the run: plan, changes, rates, colour; where there is a dyeing. */
mdr_code mdr_dyer_ready(mdr_dyer *d, mdr_app *app, const char *lot_id, const mdr_dyeing_ask *ask,
                        mdr_arena *arena, mdr_err_list *found, mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_dyeing_change.c: what was asked for, into the programme and the rope. */
mdr_code mdr_dyer_change(mdr_dyer *d, mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_dyeing_rates.c: rates of the dyes, into the case; kept by the app. */
mdr_code mdr_dyer_rates(mdr_dyer *d, mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_dyeing_ladders.c: colour from measured samples; false: they are not all there. */
bool mdr_dyer_ladders(mdr_dyer *d);

/* mdr_app_dyeing_seen.c */
void mdr_dyer_colour(mdr_dyer *d);
/* Largest difference of a slice from the mean colour, and of the mean of a rope. */
typedef struct mdr_dyer_off {
    double most, tubes;
} mdr_dyer_off;
/* At a sample, of one of the maps of the dyeing; the shade is that map's mean at the end. */
mdr_dyer_off mdr_dyer_de(const mdr_dyer *d, const mdr_dyeing_result *r, const float *map,
                         int sample);
/* The map of what soap leaves: the fixed dye of dyes that fix. */
const float *mdr_dyer_stays(const mdr_dyeing_result *r);
/* Mean of each dye at the end, kg/kg: what the shade is made of. */
void mdr_dyer_end(const mdr_dyeing_result *r, const float *map, double *end);
mdr_code mdr_dyer_map(mdr_dyer *d, mdr_err *err) MDR_MUST_CHECK;
/* Mean colour of this dyeing when that of `base` is the shade. */
mdr_lab mdr_dyer_mean(const mdr_dyer *d, const mdr_dyeing_answers *of,
                      const mdr_dyeing_answers *base);
double mdr_dyer_between(mdr_lab standard, mdr_lab sample, double *dl);

/* mdr_app_dyeing_study.c: reruns. */
mdr_code mdr_dyer_study(mdr_dyer *d, mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_dyeing_say.c */
void mdr_dyer_say(mdr_dyer *d);
const char *mdr_dyer_text(mdr_dyer *d, const char *fmt, ...) MDR_PRINTF(2, 3);
void mdr_dyer_note(mdr_dyer *d, const char *sentence);

#endif
