/*
 * mdr_app_recipe_in.h - what the files share that answer questions about recipes. Layer: app, inside.
 */
#ifndef MDR_APP_RECIPE_IN_H
#define MDR_APP_RECIPE_IN_H

#include "app/mdr_app_bulk.h"
#include "app/mdr_app_recipe.h"
#include "app/mdr_desk.h"
#include "card/mdr_lab_sheet.h"
#include "core/recipe/mdr_calibrate.h"
#include "core/recipe/mdr_correct.h"
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
    MDR_RECIPE_WHY_SALT,
    MDR_RECIPE_WHY_BULK,
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
    const mdr_bulk_offers *bulk; /* NULL: no machine was named */
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
    /* what the dyes take of salt and alkali, as far as it is known */
    mdr_material *materials; /* of the dyes file: only what salt and alkali need */
    mdr_dose_table *tables;
    mdr_dose_band **bands; /* of each table, while they are read */
    mdr_recipe_mill known; /* that, or what the mill knows */
    int n_materials, n_tables;
} mdr_dyelab;

/* mdr_app_recipe.c: the question, read; nothing of the files. `lab` is zero. */
mdr_code mdr_dyelab_start(mdr_dyelab *lab, const mdr_recipe_case *asked, mdr_arena *arena,
                          mdr_err_list *found, mdr_err *err) MDR_MUST_CHECK;
/* mdr_app_recipe_post.c: question and files out of one document, with what the mill
 * knows; and from where in the mill the samples are to be taken, substrate NULL: from the files. */
mdr_code mdr_recipe_case_read(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                              mdr_recipe_case *out, mdr_recipe_from *from,
                              mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_recipe_mill.c: a question whose samples are the mill's. It has all it needs of the app;
 * what is worth keeping of its answer goes there when the records are still the same. */
mdr_code mdr_recipe_case_of_mill(mdr_app *app, const mdr_recipe_from *from, mdr_blob question,
                                 mdr_arena *arena, const mdr_recipe_case **out,
                                 mdr_err *err) MDR_MUST_CHECK;
void mdr_recipe_keep(mdr_app *app, const mdr_recipe_case *asked);

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
/* The same of a text that is one of several. */
mdr_code mdr_dyelab_recipe_of(mdr_dyelab *lab, const char *text, size_t len, mdr_dyelab_recipe *out,
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

/* mdr_app_recipe_choices.c: what a search may take, and how a dye stands in it. */
typedef struct mdr_dyelab_choices {
    mdr_choice choice[MDR_CHOICES_MAX];
    int dye[MDR_CHOICES_MAX][MDR_COMBO_MAX]; /* of each part of a choice: its dye */
    int of_dye[MDR_CHOICES_MAX];             /* the choice that holds the dye */
    int n;
} mdr_dyelab_choices;
/* `out` is zero. */
mdr_code mdr_dyelab_choices_of(mdr_dyelab *lab, mdr_dyelab_choices *out,
                               mdr_err *err) MDR_MUST_CHECK;
/* Dye by dye. */
mdr_dyelab_recipe mdr_dyelab_recipe_found(const mdr_dyelab *lab, const mdr_dyelab_choices *c,
                                          const mdr_recipe *r);
/* The same fault, of this member of the question. */
mdr_code mdr_dyelab_at(mdr_code rc, const char *member, mdr_err *err);

/* The answers. */
mdr_code mdr_recipe_calibrate(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_predict(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_find(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_correct(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_recipe_dispense(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_recipe_correct.c: the sample held against the target, with what the question says of
 * tolerance and wisdom. errors: as mdr_correct_bath; MDR_E_NOTFOUND a dye without a ladder */
mdr_code mdr_dyelab_correct(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe,
                            const mdr_target *target, const mdr_curve *sample, mdr_correct *out,
                            mdr_err *err) MDR_MUST_CHECK;
const char *mdr_recipe_way_words(mdr_way w);

/* mdr_app_recipe_salt.c: salt and alkali of a recipe by the dose tables of its dyes. */
typedef struct mdr_dyelab_dose {
    const mdr_dose_table *table; /* NULL: nothing is known */
    const char *decided_by, *words;
    const char *weighed; /* in short, for the sheet */
    double g_per_l;
    bool known; /* false: the recipe is deeper than the table */
} mdr_dyelab_dose;
typedef struct mdr_dyelab_doses {
    mdr_dyelab_dose of[MDR_LAB_AUXES]; /* MDR_LAB_SALT, MDR_LAB_ALKALI */
} mdr_dyelab_doses;
/* The dyes file and the dose tables. */
mdr_code mdr_dyelab_read_known(mdr_dyelab *lab, mdr_err *err) MDR_MUST_CHECK;
/* Nothing, when a dye or a table is not known. Fails for want of memory only. */
mdr_code mdr_dyelab_doses_of(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe,
                             double ratio_l_per_kg, mdr_dyelab_doses *out,
                             mdr_err *err) MDR_MUST_CHECK;
/* "salt_g_per_l", "alkali_g_per_l" */
const char *mdr_dyelab_dose_key(int which);
/* Both numbers and what they come from; nothing of what is not known. */
void mdr_dyelab_put_doses(struct mdr_json *j, const mdr_dyelab_doses *doses);

/* mdr_app_recipe_bulk.c: what the lots taught, beside the recipes found; nothing when no machine was
 * named. Members "bulk" of the answer and of a recipe. */
void mdr_dyelab_put_bulk(struct mdr_json *j, const mdr_dyelab *lab);
void mdr_dyelab_put_recipe_bulk(struct mdr_json *j, const mdr_dyelab *lab,
                                const mdr_dyelab_recipe *recipe);
/* As lines of the answer, for this recipe. */
void mdr_dyelab_say_bulk(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe);

/* mdr_app_recipe_lab.c: a round of dips in millilitres. */
typedef struct mdr_dyelab_round {
    mdr_lab_dip dips[MDR_LAB_DIPS_MAX];
    const char *dye_id[MDR_LAB_DYES_MAX];
    double stock_g_per_l[MDR_LAB_DYES_MAX];
    mdr_dyelab_doses doses[MDR_LAB_DIPS_MAX];
    mdr_lab_sheet sheet;
    int n_dips, n_dyes;
} mdr_dyelab_round;
mdr_code mdr_dyelab_dispense(mdr_dyelab *lab, mdr_dyelab_round *out, mdr_err *err) MDR_MUST_CHECK;

#endif
