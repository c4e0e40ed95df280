/*
 * mdr_recipe_ask.h - questions about recipes, as they are asked: {"do": "find", "standard": "S-12",
 * "dyes_max": 3, ...}. The measured samples come beside it, as files.
 *
 * Layer: wire. Keys and ranges: docs/formats.md, Recipes at the command line. Every wrong key, type
 * and range is reported.
 */
#ifndef MDR_RECIPE_ASK_H
#define MDR_RECIPE_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

/* X(enumerator, id, words) */
#define MDR_RECIPE_QUESTIONS(X)                                                  \
    X(MDR_RECIPE_CALIBRATE, "calibrate", "Can the dyed samples be trusted")      \
    X(MDR_RECIPE_PREDICT, "predict", "The colour that a recipe gives")           \
    X(MDR_RECIPE_FIND, "find", "Recipes for a standard")                         \
    X(MDR_RECIPE_CORRECT, "correct", "From an off-shade sample to the addition") \
    X(MDR_RECIPE_DISPENSE, "dispense", "A laboratory dyeing in millilitres")

#define MDR_RECIPE_MEMBER(name, ...) name,
typedef enum mdr_recipe_question {
    MDR_RECIPE_QUESTIONS(MDR_RECIPE_MEMBER) MDR_RECIPE_QUESTION_COUNT
} mdr_recipe_question;

/* What is taken off every reading: fitted to the samples, or given. X(enumerator, id, words) */
#define MDR_RECIPE_SURFACES(X)               \
    X(MDR_RECIPE_SURFACE_FIT, "fit", "")     \
    X(MDR_RECIPE_SURFACE_NONE, "none", "")   \
    X(MDR_RECIPE_SURFACE_LIMIT, "limit", "") \
    X(MDR_RECIPE_SURFACE_GIVEN, "saunderson", "")
typedef enum mdr_recipe_surface { MDR_RECIPE_SURFACES(MDR_RECIPE_MEMBER) } mdr_recipe_surface;

/* Texts are "" when not given, numbers their defaults. */
typedef struct mdr_recipe_ask {
    mdr_recipe_question question;
    const char *cloth, *standard, *sample; /* names of samples */
    const char *recipe;                    /* "R-1=1.2,B-2=0.4": % owf of each */
    const char *must, *never;              /* "R-1,B-2" */
    const char *lights;                    /* "D65,A,F11": the first decides */
    int observer;
    int formula; /* mdr_difference_formula */
    bool has_l, has_c, has_k1, has_k2;
    double l, c; /* of the formula; not given: as usual for it */
    double tolerance;
    int surface; /* mdr_recipe_surface */
    double k1, k2;
    double beyond;
    int scale; /* mdr_spectra_scale */
    /* find */
    int dyes_max, shown, tie;
    double weigh_least_pct_owf, lot_kg;
    /* correct */
    double wise_pct, strength_sd;
    int wise_count, done_count;
    /* dispense */
    double sample_g, ratio_l_per_kg, vessel_ml, stock_g_per_l, pipette_least_ml, pipette_step_ml;
    double salt_g_per_l, alkali_g_per_l;
    bool has_vessel;
} mdr_recipe_ask;

/* Reads a question. Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key); MDR_E_NOMEM */
mdr_code mdr_wire_recipe_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_recipe_ask *out,
                                  mdr_err *err) MDR_MUST_CHECK;

/* What a member is when the question leaves it out. */
typedef struct mdr_recipe_default {
    const char *key;
    const char *text; /* NULL: `number`, or there is none */
    double number;
    const char *missing; /* said when the question needs it and there is none; NULL: a number */
} mdr_recipe_default;

/* The question with those members that it takes and does not give. A question that cannot be read
 * is left as it is: reading it tells why.
 *   errors  MDR_E_NOTFOUND (place: the key) needed, not given, and there is none; MDR_E_NOMEM */
mdr_code mdr_wire_recipe_complete(const char *text, size_t len, const mdr_recipe_default *defaults,
                                  int n, mdr_arena *arena, const char **out,
                                  mdr_err *err) MDR_MUST_CHECK;

const char *mdr_recipe_question_id(mdr_recipe_question q);
const char *mdr_recipe_question_words(mdr_recipe_question q);

#endif
