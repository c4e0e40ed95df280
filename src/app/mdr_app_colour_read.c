/* What colour a measured cloth has. */
#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_metamerism.h"
#include "core/units/mdr_swatch.h"

static const char SWATCH[] =
    "Swatches are the colour under D65 as a screen shows it; for judgement "
    "look at the cloth.";

static mdr_cell number_or_none(bool is, double value)
{
    return is ? mdr_cell_number(value) : mdr_cell_none();
}

/* Below half of the last digit shown the angle is that of rounding. Invented. */
static const double NO_HUE_C = 0.005;

/* -- samples: how they were measured -- */

static const mdr_sheet_column SAMPLES[] = {
    {"sample", "sample", 0},
    {"id", NULL, 0},
    {"kind", NULL, 0},
    {"condition", "condition", 0},
    {"line", NULL, 0},
    {"readings", NULL, 0},
    {"from_nm", "from nm", 1},
    {"to_nm", "to nm", 1},
    {"step_nm", "step", 1},
    {"specular", "specular", 0},
    {"swatch", "swatch", 0},
    {"swatch_in_gamut", "screen", 0},
    {"own_illuminant", "own light", 0},
    {"own_observer_deg", NULL, 0},
    {"own_l", NULL, 2},
    {"own_a", NULL, 2},
    {"own_b", NULL, 2},
    {"own_de", "own dE", 2},
};
enum { N_SAMPLES_COLUMNS = (int)(sizeof SAMPLES / sizeof SAMPLES[0]) };

/* A screen shows D65; a colour alone has a swatch only when it is that of D65. */
static void put_swatch(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_spectra_item *item)
{
    const bool is = item->spectrum != NULL || (item->has_light && item->illuminant == MDR_ILL_D65);
    char hex[8];
    bool in_gamut = false;
    if (!is) {
        mdr_sheet_cell_put(t, mdr_cell_none());
        mdr_sheet_cell_put(t, mdr_cell_none());
        return;
    }
    const mdr_lab lab = item->spectrum != NULL
                            ? mdr_lab_of_spectrum(item->spectrum, MDR_ILL_D65, d->observer)
                            : item->lab;
    mdr_swatch_hex(lab.l, lab.a, lab.b, hex, &in_gamut);
    const char *text = mdr_sheet_text(d->sheet, "%s", hex);
    mdr_sheet_cell_put(t, mdr_cell_text(text, text));
    mdr_sheet_cell_put(t, mdr_cell_flag(in_gamut, "within", "beyond"));
}

/* The colour that the file gives itself, beside the one of its curve under the file's own light. */
static void put_own(mdr_sheet_table *t, const mdr_spectra_item *item)
{
    const bool light = item->has_lab && item->has_light;
    const bool both = light && item->spectrum != NULL;
    const char *name = light ? mdr_illuminant_name(item->illuminant) : "";
    mdr_sheet_cell_put(t, light ? mdr_cell_text(name, name) : mdr_cell_none());
    mdr_sheet_cell_put(t, number_or_none(light, (double)item->observer));
    mdr_sheet_cell_put(t, number_or_none(item->has_lab, item->lab.l));
    mdr_sheet_cell_put(t, number_or_none(item->has_lab, item->lab.a));
    mdr_sheet_cell_put(t, number_or_none(item->has_lab, item->lab.b));
    double de = 0.0;
    if (both) {
        const mdr_lab ours = mdr_lab_of_spectrum(item->spectrum, item->illuminant, item->observer);
        de = mdr_difference_76(item->lab, ours);
    }
    mdr_sheet_cell_put(t, number_or_none(both, de));
}

static void put_sample(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_colour_sample *s)
{
    const mdr_spectra_item *item = s->item;
    const mdr_spectrum *curve = item->spectrum;
    const bool is = curve != NULL;
    mdr_sheet_cell_put(t, mdr_cell_text(s->name, s->name));
    mdr_sheet_cell_put(t, mdr_cell_text(item->id, item->id));
    mdr_sheet_cell_put(t, mdr_cell_text(item->kind, item->kind));
    mdr_sheet_cell_put(t, mdr_cell_text(item->condition, item->condition));
    mdr_sheet_cell_put(t, mdr_cell_number(item->line));
    mdr_sheet_cell_put(t, mdr_cell_number(s->readings != NULL ? s->readings->n : 1));
    mdr_sheet_cell_put(t, number_or_none(is, is ? curve->start_nm : 0.0));
    mdr_sheet_cell_put(
        t, number_or_none(is, is ? curve->start_nm + curve->step_nm * (curve->n - 1) : 0.0));
    mdr_sheet_cell_put(t, number_or_none(is, is ? curve->step_nm : 0.0));
    const char *id = mdr_app_specular_id(item->specular);
    mdr_sheet_cell_put(t, mdr_cell_text(id, item->specular == MDR_SPECULAR_NONE      ? "45/0"
                                            : item->specular == MDR_SPECULAR_UNKNOWN ? "not said"
                                                                                     : id));
    put_swatch(d, t, item);
    put_own(t, item);
}

/* -- colours: one row a sample and light -- */

static const mdr_sheet_column COLOURS[] = {
    {"sample", "sample", 0},
    {"condition", "condition", 0},
    {"illuminant", "light", 0},
    {"l", "L*", 2},
    {"a", "a*", 2},
    {"b", "b*", 2},
    {"c", "C*", 2},
    {"h_deg", "h deg", 1},
    {"x", NULL, 3},
    {"y", "Y", 2},
    {"z", NULL, 3},
    {"inconstancy_de", "inconst.", 2},
};
enum { N_COLOURS_COLUMNS = (int)(sizeof COLOURS / sizeof COLOURS[0]) };

/* Of the light i against the first one. */
static mdr_code put_inconstancy(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_colour_sample *s,
                                int i, mdr_err *err)
{
    mdr_curve curve;
    if (i == 0 || s->item->spectrum == NULL) {
        mdr_sheet_cell_put(t, mdr_cell_none());
        return MDR_OK;
    }
    MDR_TRY(mdr_colour_curve_of(d, s, &curve, err));
    const mdr_weights reference = mdr_weights_of(d->light[0], d->observer);
    const mdr_weights test = mdr_weights_of(d->light[i], d->observer);
    const mdr_inconstancy in = mdr_inconstancy_of(&curve, &reference, &test, &d->spec);
    mdr_sheet_cell_put(t, mdr_cell_number(in.difference.de));
    return MDR_OK;
}

static bool has_colour(const mdr_colour_desk *d, const mdr_spectra_item *item, int i)
{
    return item->spectrum != NULL || !item->has_light ||
           (item->illuminant == d->light[i] && item->observer == d->observer);
}

static mdr_code put_colour(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_colour_sample *s,
                           int i, mdr_err *err)
{
    const bool is = has_colour(d, s->item, i);
    const char *light = mdr_illuminant_name(d->light[i]);
    mdr_lab lab = {0.0, 0.0, 0.0};
    mdr_xyz xyz = {0.0, 0.0, 0.0}, white;
    if (is) {
        MDR_TRY(mdr_colour_xyz_of(d, s, i, &xyz, &white, err));
        MDR_TRY(mdr_colour_lab_of(d, s, i, &lab, err));
    } else {
        mdr_sheet_note(d->sheet,
                       "Samples that have a colour only have none under another light than "
                       "their own: see own_l, own_a, own_b.");
    }
    const mdr_lch lch = mdr_lch_of_lab(lab);
    mdr_sheet_cell_put(t, mdr_cell_text(s->name, s->name));
    mdr_sheet_cell_put(t, mdr_cell_text(s->item->condition, s->item->condition));
    mdr_sheet_cell_put(t, mdr_cell_text(light, light));
    const double before[] = {lab.l, lab.a, lab.b, lch.c};
    for (size_t k = 0; k < sizeof before / sizeof before[0]; k++) {
        mdr_sheet_cell_put(t, number_or_none(is, before[k]));
    }
    mdr_sheet_cell_put(t, number_or_none(is && lch.c >= NO_HUE_C, lch.h_deg));
    mdr_sheet_cell_put(t, number_or_none(is, xyz.x));
    mdr_sheet_cell_put(t, number_or_none(is, xyz.y));
    mdr_sheet_cell_put(t, number_or_none(is, xyz.z));
    return put_inconstancy(d, t, s, i, err);
}

/* -- readings: how far repeats scatter -- */

static const mdr_sheet_column READINGS[] = {
    {"sample", "sample", 0},     {"readings", "readings", 0}, {"sd_l", "sd L*", 3},
    {"sd_a", "sd a*", 3},        {"sd_b", "sd b*", 3},        {"mean_de", "mean dE", 3},
    {"worst_de", "worst dE", 3}, {"pair_de", "pair dE", 3},   {"outlier", "outlier", 0},
    {"outlier_de", "its dE", 2},
};
enum { N_READINGS_COLUMNS = (int)(sizeof READINGS / sizeof READINGS[0]) };

static void put_reading(mdr_sheet_table *t, const mdr_colour_sample *s)
{
    const mdr_readings *r = s->readings;
    const double numbers[] = {r->n, r->sd_l, r->sd_a, r->sd_b, r->mean_de, r->worst_de, r->pair_de};
    const bool outlier = r->outlier >= 0;
    mdr_sheet_cell_put(t, mdr_cell_text(s->name, s->name));
    for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
        mdr_sheet_cell_put(t, mdr_cell_number(numbers[k]));
    }
    mdr_sheet_cell_put(t, number_or_none(outlier, (double)r->outlier + 1.0));
    mdr_sheet_cell_put(t, number_or_none(outlier, r->outlier_de));
}

static void put_readings(mdr_colour_desk *d, const mdr_colour_samples *all)
{
    int n = 0;
    for (int i = 0; i < all->n; i++) {
        n += mdr_colour_sample_at(all, i).readings != NULL;
    }
    const mdr_sheet_table like = {.key = "readings",
                                  .label = "Repeated readings, by number in the order of the file",
                                  .columns = READINGS,
                                  .n_columns = N_READINGS_COLUMNS,
                                  .n_rows = n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < all->n; i++) {
        const mdr_colour_sample s = mdr_colour_sample_at(all, i);
        if (s.readings != NULL) {
            put_reading(t, &s);
        }
    }
    mdr_colour_because(d, MDR_COLOUR_WHY_READINGS);
    mdr_colour_because_formula(d);
}

static mdr_code put_all(mdr_colour_desk *d, const mdr_colour_samples *all, mdr_err *err)
{
    const mdr_sheet_table like_colours = {.key = "colours",
                                          .label = "Colours",
                                          .columns = COLOURS,
                                          .n_columns = N_COLOURS_COLUMNS,
                                          .n_rows = all->n * d->n_lights};
    const mdr_sheet_table like_samples = {.key = "samples",
                                          .label = "Samples",
                                          .columns = SAMPLES,
                                          .n_columns = N_SAMPLES_COLUMNS,
                                          .n_rows = all->n};
    mdr_sheet_table *colours = mdr_sheet_table_open(d->sheet, &like_colours);
    mdr_sheet_table *samples = mdr_sheet_table_open(d->sheet, &like_samples);
    for (int k = 0; k < all->n; k++) {
        const mdr_colour_sample s = mdr_colour_sample_at(all, k);
        for (int i = 0; i < d->n_lights; i++) {
            MDR_TRY(put_colour(d, colours, &s, i, err));
        }
        put_sample(d, samples, &s);
    }
    return MDR_OK;
}

mdr_code mdr_colour_answer_read(mdr_colour_desk *d, mdr_err *err)
{
    mdr_colour_samples all = {.n = 0};
    const bool repeats = d->ask->is[MDR_COLOUR_SWITCH_REPEATS];
    MDR_TRY(mdr_colour_samples_read(d, 0, repeats ? MDR_REPEATS_AVERAGED : MDR_REPEATS_REFUSED,
                                    &all, err));
    mdr_colour_caption(d, repeats || d->n_lights > 1);
    mdr_sheet_line_put(d->sheet, "n", "samples", "", 0, mdr_cell_number(all.n));
    mdr_colour_because(d, MDR_COLOUR_WHY_WEIGHTS);
    mdr_colour_because(d, MDR_COLOUR_WHY_CIELAB);
    mdr_colour_because(d, MDR_COLOUR_WHY_SPECTRUM);
    MDR_TRY(put_all(d, &all, err));
    mdr_sheet_note(d->sheet, SWATCH);
    if (d->n_lights > 1) {
        mdr_colour_because(d, MDR_COLOUR_WHY_INCONSTANCY);
    }
    if (repeats) {
        put_readings(d, &all);
    }
    return MDR_OK;
}
