/* What was asked about measured cloth: light, eye, formula, limits. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_colour_in.h"
#include "wire/mdr_near.h"

/* -- numbers -- */

typedef struct number_info {
    const char *key;
    double least, most;
    int n_least, n_most;
} number_info;

static const number_info NUMBERS[MDR_COLOUR_NUMBER_COUNT] = {
#define X(member, key, least, most, n_least, n_most, of) {key, least, most, n_least, n_most},
    MDR_COLOUR_NUMBERS(X)
#undef X
};

const char *mdr_colour_number_key(mdr_colour_number number)
{
    return NUMBERS[number].key;
}

bool mdr_colour_given(const mdr_colour_desk *d, mdr_colour_number number)
{
    return d->ask->number[number].n > 0;
}

double mdr_colour_number_or(const mdr_colour_desk *d, mdr_colour_number number, double usual)
{
    return mdr_colour_given(d, number) ? d->ask->number[number].v[0] : usual;
}

mdr_code mdr_colour_need(const mdr_colour_desk *d, mdr_colour_number number, const char *remedy,
                         mdr_err *err)
{
    if (mdr_colour_given(d, number)) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, NUMBERS[number].key, "this number is missing");
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code check_count(const mdr_colour_list *list, const number_info *info, mdr_err *err)
{
    if (list->n >= info->n_least && list->n <= info->n_most) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, info->key, "another count of numbers is needed");
    mdr_err_value(err, "%d", list->n);
    if (info->n_least == info->n_most) {
        mdr_err_allowed(err, "%d", info->n_most);
    } else {
        mdr_err_allowed(err, "%d to %d", info->n_least, info->n_most);
    }
    mdr_err_remedy(err, "give as many, with commas between");
    return rc;
}

static mdr_code check_number(const mdr_colour_list *list, const number_info *info, mdr_err *err)
{
    if (list->n == 0) {
        return MDR_OK;
    }
    MDR_TRY(check_count(list, info, err));
    for (int i = 0; i < list->n; i++) {
        if (!(list->v[i] >= info->least && list->v[i] <= info->most)) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, info->key, "the number is out of range");
            mdr_err_value(err, "%g", list->v[i]);
            mdr_err_allowed(err, "%g to %g", info->least, info->most);
            mdr_err_remedy(err, "look at unit and decimal point");
            return rc;
        }
    }
    return MDR_OK;
}

/* -- words -- */

typedef struct choice {
    const char *word;
    int value;
} choice;

/* One of n words; the nearest one is offered. */
static mdr_code choose(const char *key, const char *typed, const choice *choices, int n, int *out,
                       mdr_err *err)
{
    const char *near = NULL;
    int least = 0;
    char all[sizeof err->allowed];
    size_t len = 0;
    for (int i = 0; i < n; i++) {
        const int far = mdr_near_distance(typed, choices[i].word);
        if (far == 0) {
            *out = choices[i].value;
            return MDR_OK;
        }
        if (mdr_near_enough(typed, far) && (near == NULL || far < least)) {
            near = choices[i].word;
            least = far;
        }
        len += (size_t)snprintf(all + len, sizeof all - len, "%s%s", i > 0 ? ", " : "",
                                choices[i].word);
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, key, "the word is not known");
    mdr_err_value(err, "%s", typed);
    mdr_err_allowed(err, "%s", all);
    if (near != NULL) {
        mdr_err_remedy(err, "did you mean %s?", near);
    } else {
        mdr_err_remedy(err, "choose one of these");
    }
    return rc;
}

enum { N_FORMULAS = 5, N_SCALES = 2 };
static const choice FORMULAS[N_FORMULAS] = {{"cmc", MDR_DE_CMC},
                                            {"ciede2000", MDR_DE_2000},
                                            {"cie76", MDR_DE_76},
                                            {"cie94", MDR_DE_94},
                                            {"din99", MDR_DE_DIN99}};
static const choice SCALES[N_SCALES] = {{"fraction", MDR_SCALE_FRACTION},
                                        {"percent", MDR_SCALE_PERCENT}};

/* l, c, h as far as the formula has them. */
static mdr_code read_weights(mdr_colour_desk *d, mdr_err *err)
{
    static const mdr_colour_number PARTS[] = {MDR_COLOUR_NUMBER_L, MDR_COLOUR_NUMBER_C,
                                              MDR_COLOUR_NUMBER_H};
    static const int HAS[MDR_DE_COUNT] = {
        [MDR_DE_76] = 0, [MDR_DE_CMC] = 2, [MDR_DE_94] = 3, [MDR_DE_2000] = 3, [MDR_DE_DIN99] = 2};
    for (int i = HAS[d->spec.formula]; i < 3; i++) {
        if (mdr_colour_given(d, PARTS[i])) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_ARG, NUMBERS[PARTS[i]].key, "%s has no such weight",
                         mdr_difference_name(d->spec.formula));
            mdr_err_remedy(err, "leave it out");
            return rc;
        }
    }
    d->spec.l = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_L, d->spec.l);
    d->spec.c = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_C, d->spec.c);
    d->spec.h = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_H, d->spec.h);
    return mdr_difference_check(&d->spec, err);
}

static mdr_code read_formula(mdr_colour_desk *d, mdr_err *err)
{
    const char *typed = d->ask->word[MDR_COLOUR_WORD_FORMULA];
    int formula = MDR_DE_CMC;
    if (typed != NULL) {
        MDR_TRY(choose("formula", typed, FORMULAS, N_FORMULAS, &formula, err));
    }
    d->spec = mdr_difference_usual((mdr_difference_formula)formula);
    return read_weights(d, err);
}

static mdr_code add_light(mdr_colour_desk *d, const char *name, size_t len, mdr_err *err)
{
    mdr_illuminant light = MDR_ILL_D65;
    if (mdr_illuminant_of_name(name, len, &light, err) != MDR_OK) {
        if (err != NULL) {
            (void)snprintf(err->place, sizeof err->place, "illuminants");
            mdr_err_remedy(err, "name it as D65, or several as D65,A,F11, without blanks");
        }
        return MDR_E_NOTFOUND;
    }
    for (int i = 0; i < d->n_lights; i++) {
        if (d->light[i] == light) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_CONFLICT, "illuminants", "the same light is there twice");
            mdr_err_value(err, "%s", mdr_illuminant_name(light));
            mdr_err_remedy(err, "name it once");
            return rc;
        }
    }
    if (d->n_lights == MDR_LIGHTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "illuminants", "too many lights");
        mdr_err_allowed(err, "up to %d", MDR_LIGHTS_MAX);
        mdr_err_remedy(err, "ask twice");
        return rc;
    }
    d->light[d->n_lights++] = light;
    return MDR_OK;
}

static mdr_code read_lights(mdr_colour_desk *d, mdr_err *err)
{
    const char *at = d->ask->word[MDR_COLOUR_WORD_ILLUMINANTS];
    const double degree = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_OBSERVER, MDR_OBSERVER_10);
    const int whole = floor(degree) == degree ? (int)degree : 0;
    if (mdr_observer_of_degree(whole, &d->observer, err) != MDR_OK) {
        mdr_err_value(err, "%g", degree);
        mdr_err_remedy(err, "choose one of these; 10 is usual for cloth");
        return MDR_E_RANGE;
    }
    for (bool more = at != NULL; more;) {
        const size_t len = strcspn(at, ",");
        MDR_TRY(add_light(d, at, len, err));
        more = at[len] == ',';
        at += len + 1;
    }
    if (d->n_lights == 0) {
        d->light[d->n_lights++] = MDR_ILL_D65;
    }
    d->grid = MDR_NEW_N(d->arena, mdr_grid_weights, (size_t)d->n_lights);
    return d->grid != NULL ? MDR_OK : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lights");
}

mdr_code mdr_colour_one_light(const mdr_colour_desk *d, mdr_err *err)
{
    if (d->n_lights == 1) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "illuminants", "this question is asked under one light");
    mdr_err_value(err, "%s", d->ask->word[MDR_COLOUR_WORD_ILLUMINANTS]);
    mdr_err_remedy(err, "name one");
    return rc;
}

mdr_code mdr_colour_ask_read(mdr_colour_desk *d, mdr_err *err)
{
    int scale = MDR_SCALE_UNKNOWN;
    for (int i = 0; i < MDR_COLOUR_NUMBER_COUNT; i++) {
        MDR_TRY(check_number(&d->ask->number[i], &NUMBERS[i], err));
    }
    if (d->ask->word[MDR_COLOUR_WORD_SCALE] != NULL) {
        MDR_TRY(
            choose("scale", d->ask->word[MDR_COLOUR_WORD_SCALE], SCALES, N_SCALES, &scale, err));
    }
    d->scale = (mdr_spectra_scale)scale;
    MDR_TRY(read_formula(d, err));
    return read_lights(d, err);
}

/* -- said again -- */

/* "CMC(2:1)" */
static const char *formula_text(const mdr_colour_desk *d)
{
    const mdr_difference_spec *s = &d->spec;
    const char *name = mdr_difference_name(s->formula);
    switch (s->formula) {
    case MDR_DE_CMC:
    case MDR_DE_DIN99:
        return mdr_sheet_text(d->sheet, "%s(%g:%g)", name, s->l, s->c);
    case MDR_DE_94:
    case MDR_DE_2000:
        return mdr_sheet_text(d->sheet, "%s(%g:%g:%g)", name, s->l, s->c, s->h);
    case MDR_DE_76:
    case MDR_DE_COUNT:
        break;
    }
    return name;
}

void mdr_colour_caption(mdr_colour_desk *d, bool formula)
{
    const char *lights = mdr_illuminant_name(d->light[0]);
    for (int i = 1; i < d->n_lights; i++) {
        lights = mdr_sheet_text(d->sheet, "%s, %s", lights, mdr_illuminant_name(d->light[i]));
    }
    d->sheet->caption =
        mdr_sheet_text(d->sheet, "%s; %d degree observer%s%s", lights, (int)d->observer,
                       formula ? "; " : "", formula ? formula_text(d) : "");
}
