/*
 * mdr_app_lab.h - the laboratory of a mill: its samples and dips, and what is done with them.
 *
 * Layer: app. Each call is one transaction. Colours are CIELAB under D65 for 10 degree of the 31
 * bands; a dip is held against the measured standard of its shade by CMC(2:1).
 */
#ifndef MDR_APP_LAB_H
#define MDR_APP_LAB_H

#include "app/mdr_app.h"

/* What is asked: a document, of which dip or shade ("" where the address names none), and the day
 * as "2026-11-26" for what leaves it out. */
typedef struct mdr_app_lab_ask {
    mdr_blob body;
    const char *id, *today;
    const char **said; /* takes what was done as one line for a terminal; NULL: not wanted */
    bool only_enters;  /* may not approve, reject, or set the recipe of a shade */
} mdr_app_lab_ask;

/* Substrates with their ladders, samples, shades with their dips. */
mdr_code mdr_app_lab_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err) MDR_MUST_CHECK;

/* Documents and answers: docs/api.md. Every fault of a document or of a file goes to `found`.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_NOTFOUND, MDR_E_CONFLICT with the member as place;
 *           MDR_E_NOMEM, MDR_E_IO */
mdr_code mdr_app_lab_samples(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_lab_dip_new(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_lab_dip_change(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                                mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_lab_recipe(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* -- the same as lines for a terminal; live in the arena -- */

typedef struct mdr_app_lab_dip {
    const char *dip_id, *shade_id, *shade, *substrate, *recipe, *sample_id;
    const char *state, *state_words, *decided_by, *remark;
    int64_t made_utc_ms;
    double difference; /* from the standard, when has_difference */
    int round, revision;
    bool has_difference, within;
} mdr_app_lab_dip;

typedef struct mdr_app_lab_substrate {
    const char *substrate;
    const char *cloth; /* sample, or "" */
    const char *dyes;  /* "RY-1 (6), RG-1 (6)" */
    int n_rungs;
} mdr_app_lab_substrate;

typedef struct mdr_app_lab_lines {
    const mdr_app_lab_substrate *substrates;
    const mdr_app_lab_dip *dips;
    int n_substrates, n_dips;
} mdr_app_lab_lines;

mdr_code mdr_app_lab_list(mdr_app *app, mdr_arena *arena, mdr_app_lab_lines *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* The recipe text of a shade now. errors: MDR_E_NOTFOUND "shade_id" */
mdr_code mdr_app_lab_recipe_now(mdr_app *app, const char *shade_id, mdr_arena *arena,
                                const char **out, mdr_err *err) MDR_MUST_CHECK;

#endif
