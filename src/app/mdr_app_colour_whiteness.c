/* How white bleached or brightened cloth is. */
#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_whiteness.h"

static const mdr_sheet_column SAMPLES[] = {
    {"sample", "sample", 0}, {"y", "Y", 2},           {"whiteness", "W", 2},
    {"tint", "tint", 2},     {"yellowness", "YI", 2}, {"counts", "whiteness", 0},
    {"why_not", NULL, 0},    {"x", NULL, 3},          {"z", NULL, 3},
    {"readings", NULL, 0},
};
enum { N_SAMPLES_COLUMNS = (int)(sizeof SAMPLES / sizeof SAMPLES[0]) };

/* Of several reasons the first: what is too grey is not judged further. */
static const char *why_not(const mdr_whiteness *w)
{
    return w->too_grey     ? "too_grey"
           : w->too_strong ? "too_strong"
           : w->too_tinted ? "too_tinted"
                           : "";
}

static const char *why_not_words(const mdr_whiteness *w)
{
    return w->too_grey     ? "does not count: W up to 40, too grey"
           : w->too_strong ? "does not count: W from 5 Y - 280 on, no white"
           : w->too_tinted ? "does not count: tint beyond -4 to 2"
                           : "counts";
}

static mdr_code put_sample(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_colour_sample *s,
                           mdr_err *err)
{
    mdr_xyz xyz, white;
    mdr_whiteness w;
    MDR_TRY(mdr_colour_xyz_of(d, s, 0, &xyz, &white, err));
    if (mdr_whiteness_of(xyz, d->light[0], d->observer, &w, err) != MDR_OK) {
        return mdr_colour_fail(s, err, MDR_E_RANGE,
                               "a cloth that reflects nothing has no whiteness",
                               "look at the sample's readings");
    }
    mdr_sheet_cell_put(t, mdr_cell_text(s->name, s->name));
    const double numbers[] = {xyz.y, w.whiteness, w.tint, w.yellowness};
    for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
        mdr_sheet_cell_put(t, mdr_cell_number(numbers[k]));
    }
    const char *reason = why_not(&w);
    const char *words = why_not_words(&w);
    mdr_sheet_cell_put(t, mdr_cell_flag(mdr_whiteness_counts(&w), words, words));
    mdr_sheet_cell_put(t, mdr_cell_text(reason, words));
    mdr_sheet_cell_put(t, mdr_cell_number(xyz.x));
    mdr_sheet_cell_put(t, mdr_cell_number(xyz.z));
    mdr_sheet_cell_put(t, mdr_cell_number(s->readings != NULL ? s->readings->n : 1));
    return MDR_OK;
}

static mdr_code check_light(const mdr_colour_desk *d, mdr_err *err)
{
    MDR_TRY(mdr_colour_one_light(d, err));
    if (d->light[0] == MDR_ILL_D65 || d->light[0] == MDR_ILL_C) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "illuminants", "whiteness has no constants for this light");
    mdr_err_value(err, "%s", mdr_illuminant_name(d->light[0]));
    mdr_err_allowed(err, "D65 or C");
    mdr_err_remedy(err, "leave it out: D65 is usual");
    return rc;
}

mdr_code mdr_colour_answer_whiteness(mdr_colour_desk *d, mdr_err *err)
{
    mdr_colour_samples all = {.n = 0};
    MDR_TRY(check_light(d, err));
    const bool repeats = d->ask->is[MDR_COLOUR_SWITCH_REPEATS];
    MDR_TRY(mdr_colour_samples_read(d, 0, repeats ? MDR_REPEATS_AVERAGED : MDR_REPEATS_REFUSED,
                                    &all, err));
    mdr_colour_caption(d, false);
    const mdr_sheet_table like = {.key = "samples",
                                  .label = "Whiteness",
                                  .columns = SAMPLES,
                                  .n_columns = N_SAMPLES_COLUMNS,
                                  .n_rows = all.n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < all.n; i++) {
        const mdr_colour_sample s = mdr_colour_sample_at(&all, i);
        MDR_TRY(put_sample(d, t, &s, err));
    }
    mdr_colour_because(d, MDR_COLOUR_WHY_WHITENESS);
    mdr_colour_because(d, MDR_COLOUR_WHY_YELLOWNESS);
    mdr_colour_because(d, MDR_COLOUR_WHY_WEIGHTS);
    mdr_sheet_note(d->sheet,
                   "Tint above 0 is greenish, below reddish. Whites of one make, measured on "
                   "one instrument whose ultraviolet is set, can be compared.");
    return MDR_OK;
}
