/*
 * mdr_app_recipe_in.h - what the files share that answer questions about recipes. Layer: app, inside.
 */
#ifndef MDR_APP_RECIPE_IN_H
#define MDR_APP_RECIPE_IN_H

#include "app/mdr_app_recipe.h"
#include "app/mdr_desk.h"
#include "core/recipe/mdr_calibrate.h"
#include "core/recipe/mdr_search.h"
#include "wire/mdr_recipe_ask.h"
#include "wire/mdr_spectra.h"

typedef enum mdr_recipe_why {
    MDR_RECIPE_WHY_LADDER,
    MDR_RECIPE_WHY_MIXTURE,
    MDR_RECIPE_WHY_SURFACE,
    MDR_RECIPE_WHY_LEFT_OUT,
    MDR_RECIPE_WHY_SEARCH,
    MDR_RECIPE_WHY_RANK,
    MDR_RECIPE_WHY_CORRECT,
    MDR_RECIPE_WHY_DISPENSE,
    MDR_RECIPE_WHY_COUNT
} mdr_recipe_why;

/* What a mill gives in place of files. */
typedef struct mdr_recipe_rung {
    const char *dye_id, *sample;
    double depth_pct_owf;
} mdr_recipe_rung;
typedef struct mdr_recipe_fact {
    const char *dye_id;
    mdr_dye_facts facts;
} mdr_recipe_fact;
typedef struct mdr_recipe_stock {
    mdr_spectra spectra;
    const char *cloth; /* name of the sample */
    const char *key;   /* of the ladders, among those of the mill as it is now */
    struct mdr_app_fit *kept;
    const mdr_recipe_rung *rungs;
    const mdr_recipe_fact *facts;
    int n_rungs, n_facts;
} mdr_recipe_stock;

/* One dye with its dyed samples. */
typedef struct mdr_dyelab_ladder {
    const char *dye_id;
    mdr_rung rungs[MDR_RUNGS_MAX];
    const char *samples[MDR_RUNGS_MAX]; /* their names */
    int n;
    mdr_ladder *ladder; /* made from all of them */
    mdr_dye_facts facts;
    double strength_factor, limit_pct_owf; /* 1 and 0 when not given */
} mdr_dyelab_ladder;

/* The laboratory: what was measured, and what follows from it. */
typedef struct mdr_dyelab {
    mdr_desk desk;
    const mdr_recipe_ask *q;
    const mdr_recipe_case *asked;
    mdr_err_list *found;
    const mdr_spectra *spectra[MDR_RECIPE_FILE_COUNT]; /* of the files that hold some */
    mdr_dyelab_ladder *dyes;
    int n_dyes;
    const char *cloth_name;
    mdr_curve cloth_curve;
    mdr_specular specular; /* of the cloth; everything else must be alike */
    mdr_surface surface;
    mdr_surface_fit fit; /* left_out 0: nothing was fitted */
    mdr_cloth cloth;
    mdr_weights lights[MDR_LIGHTS_MAX];
    mdr_illuminant illuminants[MDR_LIGHTS_MAX];
    int n_lights;
    mdr_difference_spec formula;
} mdr_dyelab;

/* mdr_app_recipe_in.c */
mdr_code mdr_dyelab_open(mdr_dyelab *lab,
                         mdr_err *err) MDR_MUST_CHECK; /* samples, ladders, surface */
mdr_code mdr_dyelab_target(mdr_dyelab *lab, mdr_target *out, mdr_err *err) MDR_MUST_CHECK;
/* The curve of a sample by its name, from this file or, when it was not given, from the spectra. */
mdr_code mdr_dyelab_sample(mdr_dyelab *lab, mdr_recipe_file_kind where, const char *name,
                           const char *what, mdr_curve *out, mdr_err *err) MDR_MUST_CHECK;
/* "R-1=1.2,B-2=0.4" */
typedef struct mdr_dyelab_recipe {
    int n;
    const char *dye_id[MDR_RECIPE_DYES_MAX];
    double depth_pct_owf[MDR_RECIPE_DYES_MAX];
} mdr_dyelab_recipe;
/* mdr_app_recipe_words.c; the text is the value of "recipe". */
mdr_code mdr_app_recipe_words(const char *text, mdr_arena *arena, mdr_dyelab_recipe *out,
                              mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_dyelab_recipe_read(mdr_dyelab *lab, mdr_dyelab_recipe *out,
                                mdr_err *err) MDR_MUST_CHECK;
/* Its parts; every dye must have a ladder. */
mdr_code mdr_dyelab_parts(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe, mdr_part *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* Index of the dye with this id (len letters), or -1. */
int mdr_dyelab_dye_of(const mdr_dyelab *lab, const char *id, size_t len);
mdr_code mdr_dyelab_no_dye(const mdr_dyelab *lab, const char *place, const char *id, size_t len,
                           mdr_err *err);
void mdr_dyelab_because(mdr_dyelab *lab, mdr_recipe_why why);
/* Caption of every colour: light, observer, formula. */
void mdr_dyelab_caption(mdr_dyelab *lab);
const char *mdr_dyelab_caption_of(const mdr_dyelab *lab, int light);

/* mdr_app_recipe_seen.c: colours as they are shown.
 * A curve under each light: object by the light's name; beside a standard with the difference. */
struct mdr_json;
/* Members l, a, b, c, h_deg, swatch, in_gamut. */
void mdr_dyelab_put_colour(struct mdr_json *j, const mdr_lab *lab);
void mdr_dyelab_put_seen(struct mdr_json *j, const mdr_dyelab *lab, const mdr_curve *curve,
                         const mdr_curve *standard);
/* Array of the lights: caption, standard, and how far the tolerance goes around it. */
void mdr_dyelab_put_lights(struct mdr_json *j, const mdr_dyelab *lab, const mdr_curve *standard);
/* What is in the files, beside the answer of a calibration. */
mdr_code mdr_dyelab_list(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;

/* "R-1@2", "R-1@0.5%": dye and depth in the name of a sample; false: it says none. */
bool mdr_app_rung_name(const char *name, size_t *id_len, double *depth_pct_owf);
/* A name that people give to the undyed cloth. */
bool mdr_app_cloth_name(const char *name);

/* mdr_app_recipe_ladder.c: which sample is which dye at which depth; facts of the dyes. */
mdr_code mdr_dyelab_read_ladders(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_dyelab_read_facts(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;

/* The answers. */
mdr_code mdr_recipe_calibrate(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_predict(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_find(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_correct(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_dispense(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;

#endif
