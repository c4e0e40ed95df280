/* How strong samples are dyed against their standard; how far a test has changed or stained them. */
#include <string.h>

#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_colour_strength.h"
#include "core/colour/mdr_grey_scale.h"

/* -- strength -- */

static const mdr_sheet_column STRENGTHS[] = {
    {"sample", "sample", 0},
    {"peak_pct", "peak %", 1},
    {"sum_pct", "sum %", 1},
    {"weighted_pct", "weighted %", 1},
    {"peak_nm", "peak nm", 0},
    {"ks_standard", "K/S std", 2},
    {"ks_sample", "K/S", 2},
    {"de", "dE", 2},
    {"same_strength_de", "dE left", 2},
};
enum { N_STRENGTHS_COLUMNS = (int)(sizeof STRENGTHS / sizeof STRENGTHS[0]) };

typedef struct strength_desk {
    mdr_curve standard, substrate;
    bool has_substrate;
    mdr_weights light;
} strength_desk;

/* A fault of the curves is one of the sample that has them. */
static mdr_code at_sample(const mdr_colour_sample *s, mdr_code rc, mdr_err *err)
{
    if (rc != MDR_OK && rc != MDR_E_NOMEM) {
        mdr_err_within(err, "%.60s:%d", s->file, s->item->line);
    }
    return rc;
}

static const mdr_curve *substrate_of(const strength_desk *k)
{
    return k->has_substrate ? &k->substrate : NULL;
}

static mdr_code put_strength(mdr_colour_desk *d, mdr_sheet_table *t, const strength_desk *k,
                             const mdr_colour_sample *s, mdr_err *err)
{
    mdr_curve sample, same;
    mdr_colour_strength v;
    MDR_TRY(mdr_colour_curve_of(d, s, &sample, err));
    MDR_TRY(at_sample(
        s, mdr_colour_strength_of(&k->standard, &sample, substrate_of(k), &k->light, &v, err),
        err));
    const mdr_lab standard = mdr_lab_of_curve(&k->standard, &k->light);
    const double de =
        mdr_difference_of(standard, mdr_lab_of_curve(&sample, &k->light), &d->spec).de;
    mdr_sheet_cell_put(t, mdr_cell_text(s->name, s->name));
    const double numbers[] = {v.pct[MDR_STRENGTH_PEAK],
                              v.pct[MDR_STRENGTH_SUM],
                              v.pct[MDR_STRENGTH_WEIGHTED],
                              v.peak_nm,
                              v.ks_standard,
                              v.ks_sample,
                              de};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        mdr_sheet_cell_put(t, mdr_cell_number(numbers[i]));
    }
    /* a sample no stronger than its substrate cannot be brought to the standard's strength */
    if (!(v.pct[MDR_STRENGTH_WEIGHTED] > 0.0) ||
        mdr_colour_at_strength(&sample, substrate_of(k), v.pct[MDR_STRENGTH_WEIGHTED], &same,
                               NULL) != MDR_OK) {
        mdr_sheet_cell_put(t, mdr_cell_none());
        return MDR_OK;
    }
    const mdr_lab left = mdr_lab_of_curve(&same, &k->light);
    mdr_sheet_cell_put(t, mdr_cell_number(mdr_difference_of(standard, left, &d->spec).de));
    return MDR_OK;
}

/* Against itself, so that what is wrong with the standard is not said of a sample. */
static mdr_code check_standard(const strength_desk *k, const mdr_colour_sample *standard,
                               mdr_err *err)
{
    mdr_colour_strength v;
    return at_sample(
        standard,
        mdr_colour_strength_of(&k->standard, &k->standard, substrate_of(k), &k->light, &v, err),
        err);
}

/* The substrate stands in the file of the standard. */
static mdr_code substrate_read(mdr_colour_desk *d, strength_desk *k,
                               const mdr_colour_sample *standard, mdr_err *err)
{
    const char *name = d->ask->word[MDR_COLOUR_WORD_SUBSTRATE];
    mdr_colour_samples of_standard = {.n = 0};
    mdr_colour_sample s = {.item = NULL};
    if (name == NULL) {
        mdr_sheet_note(d->sheet,
                       "Without a substrate its own K/S counts as dye: pale shades come out "
                       "too near to 100 %.");
        return MDR_OK;
    }
    const int noticed = d->sheet->notices.count;
    const long seen = d->sheet->notices.total;
    MDR_TRY(mdr_colour_samples_read(d, 0, MDR_REPEATS_AVERAGED, &of_standard, err));
    d->sheet->notices.count = noticed; /* said when the file was read for the standard */
    d->sheet->notices.total = seen;
    MDR_TRY(mdr_colour_standard_of(&of_standard, name, &s, err));
    if (s.item->specular != standard->item->specular) {
        return mdr_colour_fail(&s, err, MDR_E_CONFLICT,
                               "the substrate was measured with another specular mode than the "
                               "standard",
                               "measure both the same way");
    }
    k->has_substrate = true;
    mdr_sheet_line_put(d->sheet, "substrate", "substrate", "", 0, mdr_cell_text(s.name, s.name));
    return mdr_colour_curve_of(d, &s, &k->substrate, err);
}

/* The substrate in the same file is no sample of dye. */
static void leave_out_substrate(mdr_colour_desk *d, const mdr_colour_sample *standard,
                                mdr_colour_chosen *samples)
{
    const char *name = d->ask->word[MDR_COLOUR_WORD_SUBSTRATE];
    int kept = 0;
    for (int i = 0; i < samples->n && name != NULL && samples->n > 1; i++) {
        const mdr_colour_sample *s = &samples->samples[i];
        if (s->file != standard->file ||
            (strcmp(s->name, name) != 0 && strcmp(s->item->id, name) != 0)) {
            samples->samples[kept++] = *s;
        }
    }
    samples->n = kept > 0 ? kept : samples->n;
}

static mdr_code desk_read(mdr_colour_desk *d, strength_desk *k, mdr_colour_chosen *samples,
                          mdr_err *err)
{
    mdr_colour_sample standard = {.item = NULL};
    MDR_TRY(mdr_colour_pair_read(d, &standard, samples, err));
    MDR_TRY(mdr_colour_curve_of(d, &standard, &k->standard, err));
    mdr_sheet_line_put(d->sheet, "standard", "standard", "", 0,
                       mdr_cell_text(standard.name, standard.name));
    MDR_TRY(substrate_read(d, k, &standard, err));
    leave_out_substrate(d, &standard, samples);
    k->light = mdr_weights_of(d->light[0], d->observer);
    return check_standard(k, &standard, err);
}

mdr_code mdr_colour_answer_strength(mdr_colour_desk *d, mdr_err *err)
{
    mdr_colour_chosen samples = {.n = 0};
    strength_desk k = {.has_substrate = false};
    MDR_TRY(mdr_colour_one_light(d, err));
    MDR_TRY(desk_read(d, &k, &samples, err));
    mdr_colour_caption(d, true);
    const mdr_sheet_table like = {.key = "samples",
                                  .label = "Strength, % of the standard",
                                  .columns = STRENGTHS,
                                  .n_columns = N_STRENGTHS_COLUMNS,
                                  .n_rows = samples.n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < samples.n; i++) {
        MDR_TRY(put_strength(d, t, &k, &samples.samples[i], err));
    }
    mdr_colour_because(d, MDR_COLOUR_WHY_STRENGTH);
    mdr_colour_because_formula(d);
    mdr_sheet_note(
        d->sheet,
        "Peak: K/S where the standard absorbs most; sum: over all bands; weighted: by what "
        "the eye makes of each band. dE left: at the standard's weighted strength.");
    return MDR_OK;
}

/* -- fastness -- */

static const mdr_sheet_column GRADES[] = {
    {"sample", "sample", 0},
    {"difference", "difference", 2},
    {"rating", "rating", 2},
    {"grade", "grade", 0},
};
enum { N_GRADES_COLUMNS = (int)(sizeof GRADES / sizeof GRADES[0]) };

static mdr_code put_grade(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_colour_sample *before,
                          const mdr_colour_sample *after, mdr_err *err)
{
    mdr_lab from, to;
    MDR_TRY(mdr_colour_lab_of(d, before, 0, &from, err));
    MDR_TRY(mdr_colour_lab_of(d, after, 0, &to, err));
    const mdr_grey_grade g = d->ask->is[MDR_COLOUR_SWITCH_STAINING] ? mdr_grey_staining(from, to)
                                                                    : mdr_grey_change(from, to);
    const char *name = mdr_grey_name(g.half_grades);
    mdr_sheet_cell_put(t, mdr_cell_text(after->name, after->name));
    mdr_sheet_cell_put(t, mdr_cell_number(g.difference));
    mdr_sheet_cell_put(t, mdr_cell_number(g.rating));
    mdr_sheet_cell_put(t, mdr_cell_text(name, name));
    return MDR_OK;
}

static bool without_gloss(const mdr_colour_sample *s)
{
    return s->item->specular == MDR_SPECULAR_EXCLUDED || s->item->specular == MDR_SPECULAR_NONE;
}

/* The scales hold for one light and one eye. */
static mdr_code check_light(const mdr_colour_desk *d, mdr_err *err)
{
    const bool light = d->n_lights == 1 && d->light[0] == MDR_ILL_D65;
    if (light && d->observer == MDR_OBSERVER_10) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, light ? "observer" : "illuminants",
                                 "the grey scales are for D65 and the 10 degree observer");
    mdr_err_remedy(err, "leave it out");
    return rc;
}

mdr_code mdr_colour_answer_fastness(mdr_colour_desk *d, mdr_err *err)
{
    const bool staining = d->ask->is[MDR_COLOUR_SWITCH_STAINING];
    mdr_colour_sample before = {.item = NULL};
    mdr_colour_chosen after = {.n = 0};
    MDR_TRY(check_light(d, err));
    MDR_TRY(mdr_colour_pair_read(d, &before, &after, err));
    mdr_colour_caption(d, false);
    mdr_sheet_line_put(d->sheet, "scale", "scale", "", 0,
                       mdr_cell_text(staining ? "staining" : "change",
                                     staining ? "staining, by the formula of ISO 105-A04"
                                              : "change of colour, by the formula of ISO 105-A05"));
    mdr_sheet_line_put(d->sheet, "original", "original", "", 0,
                       mdr_cell_text(before.name, before.name));
    const mdr_sheet_table like = {.key = "samples",
                                  .label = "Grades",
                                  .columns = GRADES,
                                  .n_columns = N_GRADES_COLUMNS,
                                  .n_rows = after.n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < after.n; i++) {
        MDR_TRY(put_grade(d, t, &before, &after.samples[i], err));
    }
    mdr_colour_because(d, staining ? MDR_COLOUR_WHY_STAINING : MDR_COLOUR_WHY_CHANGE);
    if (without_gloss(&before)) {
        mdr_sheet_note(d->sheet, "The scales are for readings with the specular part included.");
    }
    return MDR_OK;
}
