/* How far samples are from their standard, and whether they pass. */
#include <string.h>

#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_metamerism.h"
#include "core/units/mdr_swatch.h"

static const double USUAL_MOST_DE = 1.0; /* common practice */

/* -- what was agreed -- */

static mdr_code limits_of(const mdr_colour_desk *d, mdr_tolerance *t, mdr_err *err)
{
    for (int a = 0; a < MDR_AXIS_COUNT; a++) {
        const mdr_colour_number number = (mdr_colour_number)(MDR_COLOUR_NUMBER_LIMIT_DL + a);
        const mdr_colour_list *list = &d->ask->number[number];
        if (list->n == 0) {
            continue;
        }
        if (list->v[0] > list->v[1]) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, mdr_colour_number_key(number),
                                         "the lower limit is above the upper one");
            mdr_err_value(err, "%g,%g", list->v[0], list->v[1]);
            mdr_err_remedy(err, "give the lower one first, with its sign");
            return rc;
        }
        t->limit[a] = (mdr_axis_limit){list->v[0], list->v[1], true};
    }
    return MDR_OK;
}

/* One limit for all lights, or one each. */
static mdr_code tolerance_of(const mdr_colour_desk *d, mdr_tolerance *out, mdr_err *err)
{
    const mdr_colour_list *most = &d->ask->number[MDR_COLOUR_NUMBER_TOLERANCE];
    mdr_tolerance t = {.spec = d->spec, .n_lights = d->n_lights};
    if (most->n > 1 && most->n != d->n_lights) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "tolerance",
                                     "one limit for all lights is needed, or one for each");
        mdr_err_value(err, "%d", most->n);
        mdr_err_allowed(err, d->n_lights > 1 ? "1 or %d" : "%d", d->n_lights);
        mdr_err_remedy(err, "give them in the order of the lights");
        return rc;
    }
    for (int i = 0; i < d->n_lights; i++) {
        const double de = most->n == 0 ? USUAL_MOST_DE : most->v[most->n > 1 ? i : 0];
        t.light[i] = (mdr_light){d->light[i], d->observer, de};
    }
    MDR_TRY(limits_of(d, &t, err));
    MDR_TRY(mdr_tolerance_check(&t, err));
    *out = t;
    return MDR_OK;
}

/* -- what is said of each sample -- */

static const char *words_of(mdr_colour_desk *d, const mdr_shade_words *w)
{
    const char *text = w->n == 0 ? "" : mdr_shade_word_id(w->word[0]);
    for (int i = 1; i < w->n; i++) {
        text = mdr_sheet_text(d->sheet, "%s, %s", text, mdr_shade_word_id(w->word[i]));
    }
    return text;
}

/* "dE, dL": what is over its limit. */
static const char *over_of(mdr_colour_desk *d, const mdr_verdict_light *v)
{
    const char *text = v->over_de ? "dE" : "";
    for (int a = 0; a < MDR_AXIS_COUNT; a++) {
        if (v->over_axis[a]) {
            text = mdr_sheet_text(d->sheet, "%s%s%s", text, text[0] != '\0' ? ", " : "",
                                  mdr_axis_name((mdr_axis)a));
        }
    }
    return text;
}

static const mdr_sheet_column VERDICTS[] = {
    {"sample", "sample", 0},  {"condition", "condition", 0},
    {"passes", "verdict", 0}, {"worst_illuminant", "worst", 0},
    {"worst_de", "dE", 2},    {"most_de", "limit", 2},
    {"over", "over", 0},      {"words", "the sample is", 0},
};
static const mdr_sheet_column LIGHTS[] = {
    {"sample", "sample", 0},
    {"condition", "condition", 0},
    {"illuminant", "light", 0},
    {"passes", NULL, 0},
    {"de", "dE", 2},
    {"most_de", NULL, 2},
    {"dl", "dL*", 2},
    {"da", "da*", 2},
    {"db", "db*", 2},
    {"dc", "dC*", 2},
    {"dh", "dH*", 2},
    {"part_l", NULL, 2},
    {"part_c", NULL, 2},
    {"part_h", NULL, 2},
    {"metamerism_de", "metam.", 2},
    {"over", NULL, 0},
    {"words", NULL, 0},
    {"standard_l", NULL, 2},
    {"standard_a", NULL, 2},
    {"standard_b", NULL, 2},
    {"sample_l", NULL, 2},
    {"sample_a", NULL, 2},
    {"sample_b", NULL, 2},
    {"standard_swatch", NULL, 0},
    {"standard_in_gamut", NULL, 0},
    {"sample_swatch", NULL, 0},
    {"sample_in_gamut", NULL, 0},
};
enum {
    N_VERDICTS_COLUMNS = (int)(sizeof VERDICTS / sizeof VERDICTS[0]),
    N_LIGHTS_COLUMNS = (int)(sizeof LIGHTS / sizeof LIGHTS[0])
};

typedef struct pair {
    const mdr_colour_sample *standard, *sample;
    mdr_verdict verdict;
} pair;

static mdr_code put_metamerism(mdr_colour_desk *d, mdr_sheet_table *t, const pair *p, int i,
                               mdr_err *err)
{
    mdr_curve standard, sample;
    mdr_metamerism m;
    if (i == 0 || p->standard->item->spectrum == NULL || p->sample->item->spectrum == NULL) {
        mdr_sheet_cell_put(t, mdr_cell_none());
        return MDR_OK;
    }
    const mdr_weights reference = mdr_weights_of(d->light[0], d->observer);
    const mdr_weights test = mdr_weights_of(d->light[i], d->observer);
    MDR_TRY(mdr_colour_curve_of(d, p->standard, &standard, err));
    MDR_TRY(mdr_colour_curve_of(d, p->sample, &sample, err));
    if (mdr_metamerism_of(&standard, &sample, &reference, &test, &d->spec, &m, NULL) != MDR_OK) {
        mdr_sheet_note(d->sheet, "A sample that reflects nothing has no metamerism.");
        mdr_sheet_cell_put(t, mdr_cell_none());
        return MDR_OK;
    }
    mdr_sheet_cell_put(t, mdr_cell_number(m.index_de));
    return MDR_OK;
}

static void put_swatch(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_lab *lab)
{
    char hex[8];
    bool in_gamut = true;
    mdr_swatch_hex(lab->l, lab->a, lab->b, hex, &in_gamut);
    const char *kept = mdr_sheet_text(d->sheet, "%s", hex);
    mdr_sheet_cell_put(t, mdr_cell_text(kept, kept));
    mdr_sheet_cell_put(t, mdr_cell_flag(in_gamut, "", "beyond the screen"));
}

static mdr_code put_light(mdr_colour_desk *d, mdr_sheet_table *t, const pair *p,
                          const mdr_tolerance *tolerance, int i, mdr_err *err)
{
    const mdr_verdict_light *v = &p->verdict.light[i];
    const mdr_difference *e = &v->difference;
    const char *light = mdr_illuminant_name(d->light[i]);
    const char *words = words_of(d, &v->words);
    const char *over = over_of(d, v);
    const char *condition = p->sample->item->condition;
    mdr_sheet_cell_put(t, mdr_cell_text(p->sample->name, p->sample->name));
    mdr_sheet_cell_put(t, mdr_cell_text(condition, condition));
    mdr_sheet_cell_put(t, mdr_cell_text(light, light));
    mdr_sheet_cell_put(t, mdr_cell_flag(v->passes, "passes", "fails"));
    const double parts[] = {
        e->de, tolerance->light[i].most_de, e->dl, e->da, e->db, e->dc, e->dh, e->wl, e->wc, e->wh};
    for (size_t k = 0; k < sizeof parts / sizeof parts[0]; k++) {
        mdr_sheet_cell_put(t, mdr_cell_number(parts[k]));
    }
    MDR_TRY(put_metamerism(d, t, p, i, err));
    mdr_sheet_cell_put(t, mdr_cell_text(over, over));
    mdr_sheet_cell_put(t, mdr_cell_text(words, words));
    const double labs[] = {v->standard.l, v->standard.a, v->standard.b,
                           v->sample.l,   v->sample.a,   v->sample.b};
    for (size_t k = 0; k < sizeof labs / sizeof labs[0]; k++) {
        mdr_sheet_cell_put(t, mdr_cell_number(labs[k]));
    }
    put_swatch(d, t, &v->standard);
    put_swatch(d, t, &v->sample);
    return MDR_OK;
}

/* The light that is told of: the worst that fails, else the worst. */
static int told(const mdr_verdict *v)
{
    if (v->passes || !v->light[v->worst].passes) {
        return v->worst;
    }
    int i = 0; /* limits on axes hold under the first light only */
    while (i < v->n_lights - 1 && v->light[i].passes) {
        i++;
    }
    return i;
}

static void put_verdict(mdr_colour_desk *d, mdr_sheet_table *t, const pair *p,
                        const mdr_tolerance *tolerance)
{
    const int i = told(&p->verdict);
    const mdr_verdict_light *v = &p->verdict.light[i];
    const char *light = mdr_illuminant_name(d->light[i]);
    const char *words = words_of(d, &v->words);
    const char *over = over_of(d, v);
    const char *condition = p->sample->item->condition;
    mdr_sheet_cell_put(t, mdr_cell_text(p->sample->name, p->sample->name));
    mdr_sheet_cell_put(t, mdr_cell_text(condition, condition));
    mdr_sheet_cell_put(t, mdr_cell_flag(p->verdict.passes, "passes", "fails"));
    mdr_sheet_cell_put(t, mdr_cell_text(light, light));
    mdr_sheet_cell_put(t, mdr_cell_number(v->difference.de));
    mdr_sheet_cell_put(t, mdr_cell_number(tolerance->light[i].most_de));
    mdr_sheet_cell_put(t, mdr_cell_text(over, over[0] != '\0' ? over : "-"));
    mdr_sheet_cell_put(t, mdr_cell_text(words, words[0] != '\0' ? words : "alike"));
}

static mdr_code judge(mdr_colour_desk *d, const mdr_tolerance *t, pair *p, mdr_err *err)
{
    mdr_lab standard[MDR_LIGHTS_MAX], sample[MDR_LIGHTS_MAX];
    for (int i = 0; i < d->n_lights; i++) {
        MDR_TRY(mdr_colour_lab_of(d, p->standard, i, &standard[i], err));
        MDR_TRY(mdr_colour_lab_of(d, p->sample, i, &sample[i], err));
    }
    return mdr_verdict_of_labs(standard, sample, t, &p->verdict, err);
}

static mdr_code put_all(mdr_colour_desk *d, const mdr_colour_sample *standard,
                        const mdr_colour_chosen *samples, const mdr_tolerance *tolerance,
                        mdr_err *err)
{
    int pass = 0;
    const mdr_sheet_table like_verdicts = {.key = "verdicts",
                                           .label = "Verdict",
                                           .columns = VERDICTS,
                                           .n_columns = N_VERDICTS_COLUMNS,
                                           .n_rows = samples->n};
    const mdr_sheet_table like_lights = {.key = "lights",
                                         .label = "Sample - standard",
                                         .columns = LIGHTS,
                                         .n_columns = N_LIGHTS_COLUMNS,
                                         .n_rows = samples->n * d->n_lights};
    mdr_sheet_table *verdicts = mdr_sheet_table_open(d->sheet, &like_verdicts);
    mdr_sheet_table *lights = mdr_sheet_table_open(d->sheet, &like_lights);
    for (int k = 0; k < samples->n; k++) {
        pair p = {.standard = standard, .sample = &samples->samples[k]};
        MDR_TRY(judge(d, tolerance, &p, err));
        put_verdict(d, verdicts, &p, tolerance);
        for (int i = 0; i < d->n_lights; i++) {
            MDR_TRY(put_light(d, lights, &p, tolerance, i, err));
        }
        pass += p.verdict.passes;
    }
    mdr_sheet_line_put(d->sheet, "passed", "pass", "", 0, mdr_cell_number(pass));
    mdr_sheet_line_put(d->sheet, "n", "samples", "", 0, mdr_cell_number(samples->n));
    return MDR_OK;
}

mdr_code mdr_colour_answer_difference(mdr_colour_desk *d, mdr_err *err)
{
    mdr_colour_sample standard = {.item = NULL};
    mdr_colour_chosen samples = {.n = 0};
    mdr_tolerance tolerance = {.n_lights = 0};
    MDR_TRY(tolerance_of(d, &tolerance, err));
    MDR_TRY(mdr_colour_pair_read(d, &standard, &samples, err));
    mdr_colour_caption(d, true);
    mdr_sheet_line_put(d->sheet, "standard", "standard", "", 0,
                       mdr_cell_text(standard.name, standard.name));
    mdr_colour_because_formula(d);
    mdr_colour_because(d, MDR_COLOUR_WHY_VERDICT);
    mdr_colour_because(d, MDR_COLOUR_WHY_WORDS);
    if (d->n_lights > 1) {
        mdr_colour_because(d, MDR_COLOUR_WHY_METAMERISM);
    }
    return put_all(d, &standard, &samples, &tolerance, err);
}
