/*
 * mdr_app_colour_in.h - how the answers about measured cloth are put together. Layer: app, inside
 * only.
 */
#ifndef MDR_APP_COLOUR_IN_H
#define MDR_APP_COLOUR_IN_H

#include "app/mdr_app_colour.h"
#include "app/mdr_app_spectra.h"
#include "core/colour/mdr_readings.h"
#include "core/colour/mdr_weights.h"

/* What answers rest on. Order of the table in mdr_app_colour.c. */
typedef enum mdr_colour_why {
    MDR_COLOUR_WHY_SPECTRUM,
    MDR_COLOUR_WHY_WEIGHTS,
    MDR_COLOUR_WHY_CIELAB,
    MDR_COLOUR_WHY_READINGS,
    MDR_COLOUR_WHY_DE_76,
    MDR_COLOUR_WHY_DE_CMC,
    MDR_COLOUR_WHY_DE_94,
    MDR_COLOUR_WHY_DE_2000,
    MDR_COLOUR_WHY_DE_DIN99,
    MDR_COLOUR_WHY_VERDICT,
    MDR_COLOUR_WHY_WORDS,
    MDR_COLOUR_WHY_METAMERISM,
    MDR_COLOUR_WHY_INCONSTANCY,
    MDR_COLOUR_WHY_WHITENESS,
    MDR_COLOUR_WHY_YELLOWNESS,
    MDR_COLOUR_WHY_STRENGTH,
    MDR_COLOUR_WHY_CHANGE,
    MDR_COLOUR_WHY_STAINING,
    MDR_COLOUR_WHY_LEVEL,
    MDR_COLOUR_WHY_CODES,
    MDR_COLOUR_WHY_GROUPS,
    MDR_COLOUR_WHY_ORDER,
    MDR_COLOUR_WHY_COUNT
} mdr_colour_why;

/* A question and its answer in the making. */
typedef struct mdr_colour_desk {
    const mdr_colour_ask *ask;
    mdr_arena *arena;
    mdr_err_list *found;
    mdr_sheet *sheet;
    mdr_grid_weights *grid; /* of each light, for the spectrum that was looked at last */
    mdr_difference_spec spec;
    mdr_observer observer;
    mdr_spectra_scale scale;
    mdr_illuminant light[MDR_LIGHTS_MAX];
    int n_lights;
} mdr_colour_desk;

/* One sample, its readings averaged when they are repeats. */
typedef struct mdr_colour_sample {
    const char *file; /* NULL: a colour that was given itself */
    const char *name;
    const mdr_spectra_item *item;
    const mdr_readings *readings; /* NULL: one reading */
} mdr_colour_sample;

typedef struct mdr_colour_samples {
    mdr_spectra found; /* the samples as the file's own records, for looking up names */
    const mdr_readings *const *readings; /* of each, or NULL */
    const char *file;
    int n;
} mdr_colour_samples;

const mdr_answer_why *mdr_colour_why_of(mdr_colour_why why);
/* That the answer rests on this. */
void mdr_colour_because(mdr_colour_desk *d, mdr_colour_why why);
void mdr_colour_because_formula(mdr_colour_desk *d);

/* -- mdr_app_colour_ask.c: what was asked -- */

/* Reads light, eye, formula and scale; checks all numbers. */
mdr_code mdr_colour_ask_read(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
bool mdr_colour_given(const mdr_colour_desk *d, mdr_colour_number number);
/* The first number of a list that was given, else `usual`. */
double mdr_colour_number_or(const mdr_colour_desk *d, mdr_colour_number number, double usual);
const char *mdr_colour_number_key(mdr_colour_number number);
/* A number that the question cannot do without.   errors: MDR_E_ARG */
mdr_code mdr_colour_need(const mdr_colour_desk *d, mdr_colour_number number, const char *remedy,
                         mdr_err *err) MDR_MUST_CHECK;
/* "D65, A; 10 degree observer; CMC(2:1)"; without the formula when `formula` is false. */
void mdr_colour_caption(mdr_colour_desk *d, bool formula);
mdr_code mdr_colour_one_light(const mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;

/* -- mdr_app_colour_samples.c: what was measured -- */

typedef enum mdr_colour_repeats {
    MDR_REPEATS_REFUSED,
    MDR_REPEATS_AVERAGED,
    MDR_REPEATS_KEPT /* each stands for itself */
} mdr_colour_repeats;

/* All samples of the n-th file; the only file stands for all. */
mdr_code mdr_colour_samples_read(mdr_colour_desk *d, int file, mdr_colour_repeats repeats,
                                 mdr_colour_samples *out, mdr_err *err) MDR_MUST_CHECK;
mdr_colour_sample mdr_colour_sample_at(const mdr_colour_samples *all, int place);
/* By name, id or number; NULL: the only one, or the only one that the file calls a standard. */
mdr_code mdr_colour_standard_of(const mdr_colour_samples *all, const char *name,
                                mdr_colour_sample *out, mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_colour_chosen {
    mdr_colour_sample *samples;
    int n;
} mdr_colour_chosen;

/* What is held against the standard: the one that is named; without a name, or with "all", all but
 * the standard itself and those measured with another specular mode, which are noted.
 *   errors  MDR_E_CONFLICT another specular mode; MDR_E_NOTFOUND nothing is left */
mdr_code mdr_colour_samples_against(mdr_colour_desk *d, const mdr_colour_samples *all,
                                    const mdr_colour_sample *standard, mdr_colour_chosen *out,
                                    mdr_err *err) MDR_MUST_CHECK;
/* The samples one after the other, all with the same specular mode. `but`: this one not, or NULL. */
mdr_code mdr_colour_samples_alike(mdr_colour_desk *d, const mdr_colour_samples *all,
                                  const mdr_spectra_item *but, mdr_colour_chosen *out,
                                  mdr_err *err) MDR_MUST_CHECK;

/* Colour under light i. A sample that has a colour only has it under its own light.
 *   errors  MDR_E_CONFLICT it is another light's */
mdr_code mdr_colour_lab_of(mdr_colour_desk *d, const mdr_colour_sample *s, int i, mdr_lab *out,
                           mdr_err *err) MDR_MUST_CHECK;
/* The same as XYZ, with the white it is relative to. */
mdr_code mdr_colour_xyz_of(mdr_colour_desk *d, const mdr_colour_sample *s, int i, mdr_xyz *out,
                           mdr_xyz *white, mdr_err *err) MDR_MUST_CHECK;
/* The 31 bands.   errors  MDR_E_CONFLICT it has a colour only */
mdr_code mdr_colour_curve_of(mdr_colour_desk *d, const mdr_colour_sample *s, mdr_curve *out,
                             mdr_err *err) MDR_MUST_CHECK;
/* A fault of this sample, at its place in the file. */
mdr_code mdr_colour_fail(const mdr_colour_sample *s, mdr_err *err, mdr_code code, const char *what,
                         const char *remedy) MDR_MUST_CHECK;
/* A colour given as three numbers, as a sample without file. `item` keeps it. */
mdr_colour_sample mdr_colour_sample_of_lab(const mdr_colour_desk *d, mdr_colour_number number,
                                           const char *name, mdr_spectra_item *item);
/* Standard and samples: of the files, or the two colours that were given. */
mdr_code mdr_colour_pair_read(mdr_colour_desk *d, mdr_colour_sample *standard,
                              mdr_colour_chosen *samples, mdr_err *err) MDR_MUST_CHECK;

/* -- one file a question -- */
mdr_code mdr_colour_answer_read(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_difference(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_whiteness(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_strength(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_fastness(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_group(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_colour_answer_level(mdr_colour_desk *d, mdr_err *err) MDR_MUST_CHECK;

#endif
