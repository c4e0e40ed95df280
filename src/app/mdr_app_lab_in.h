/*
 * mdr_app_lab_in.h - what the rooms of the laboratory share. Layer: app, inside only.
 */
#ifndef MDR_APP_LAB_IN_H
#define MDR_APP_LAB_IN_H

#include "app/mdr_app_in.h"
#include "app/mdr_app_lab.h"
#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_json.h"

/* The laboratory as it is shown: one light for all. */
typedef struct mdr_lab_view {
    mdr_app *app;
    const mdr_bench *bench;
    mdr_arena *arena;
    const mdr_lot_line *lots;
    int n_lots;
    mdr_weights light;
    mdr_difference_spec formula;
} mdr_lab_view;
mdr_code mdr_lab_view_open(mdr_app *app, mdr_arena *arena, mdr_lab_view *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* CIELAB of a sample; false: it has no readings. NULL is allowed. */
bool mdr_lab_view_colour(const mdr_lab_view *v, const mdr_bench_sample *s, mdr_lab *out);
/* From the measured standard of its shade; false: one of them is missing, or the two were measured
 * with the gloss treated differently. */
bool mdr_lab_view_difference(const mdr_lab_view *v, const mdr_dip *dip, double *out);

void mdr_lab_put_sample(mdr_json *j, const mdr_lab_view *v, const mdr_bench_sample *s);
void mdr_lab_put_dip(mdr_json *j, const char *key, const mdr_lab_view *v, const mdr_dip *dip);
/* Members "recipe" and "dyes" of a shade. */
void mdr_lab_put_recipe(mdr_json *j, const mdr_lab_view *v, const mdr_shade *shade);

/* Dips of the shade by round, then number; room for all dips of the bench in `out`. */
int mdr_lab_dips_of(const mdr_lab_view *v, const char *shade_id, const mdr_dip **out);

/* Lots of the shade: on a machine now, or not yet begun. */
typedef enum mdr_lab_lots { MDR_LAB_LOTS_RUNNING, MDR_LAB_LOTS_TO_COME } mdr_lab_lots;
void mdr_lab_put_lots(mdr_json *j, const char *key, const mdr_lab_view *v, const char *shade_id,
                      mdr_lab_lots which);

const char *mdr_lab_specular_id(int specular);
/* Member "substrates": each with its dyes and their depths. */
mdr_code mdr_lab_put_substrates(mdr_json *j, const mdr_lab_view *v, mdr_err *err) MDR_MUST_CHECK;

/* Ends the transaction that a change and its answer were made in: commits, or undoes both and forgets
 * what was read in between. */
mdr_code mdr_lab_settle(mdr_app *app, mdr_code rc, mdr_err *err) MDR_MUST_CHECK;

/* Keeps a line for the terminal; lives in the arena. NULL text: no memory, and "" is kept. */
void mdr_lab_say(const mdr_app_lab_ask *ask, const char *text);
mdr_code mdr_lab_done(mdr_json *j, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* "2026-11-26", or the day of the ask when it is "". errors: MDR_E_PARSE with this place */
mdr_code mdr_lab_day(const char *text, const char *today, const char *place, int64_t *out,
                     mdr_err *err) MDR_MUST_CHECK;

#endif
