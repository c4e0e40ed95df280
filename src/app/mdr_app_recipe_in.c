/* What a question about recipes is asked with: samples, cloth, ladders, surface, light, recipe. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_recipe_in.h"
#include "app/mdr_app_spectra.h"

/* -- samples -- */

static mdr_code read_file(mdr_dyelab *lab, mdr_recipe_file_kind kind, mdr_err *err)
{
    enum { NOTICES = 6 };
    const mdr_recipe_file *f = &lab->asked->files[kind];
    if (f->name == NULL) {
        return MDR_OK;
    }
    const mdr_spectra_file file = {f->name, f->text.bytes, f->text.len};
    const mdr_spectra_options options = {.scale = (mdr_spectra_scale)lab->q->scale,
                                         .repeats = true};
    mdr_err_list notices = mdr_err_list_make(lab->desk.arena, NOTICES);
    MDR_TRY(mdr_spectra_read(&file, &options, lab->desk.arena,
                             (mdr_spectra_report){lab->found, &notices}, &lab->spectra[kind], err));
    for (int i = 0; i < notices.count; i++) {
        const char *note = mdr_arena_printf(lab->desk.arena, "%s: %s", notices.items[i].place,
                                            notices.items[i].msg);
        if (note == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, f->name, "no memory for what was noticed");
        }
        mdr_desk_note(&lab->desk, note);
    }
    return MDR_OK;
}

static bool is_named(const mdr_spectra_item *item, const char *name)
{
    return item->spectrum != NULL &&
           (strcmp(item->name, name) == 0 || (item->id[0] != '\0' && strcmp(item->id, name) == 0));
}

static mdr_code other_specular(const char *place, const char *name, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, place,
                 "the gloss of this sample was measured differently from that of the undyed cloth");
    mdr_err_value(err, "%s", name);
    mdr_err_remedy(err, "measure all of them alike: specular included, or excluded");
    return rc;
}

/* Mean of all readings of that name. */
static mdr_code mean_of(const mdr_dyelab *lab, const mdr_spectra *s, const char *name,
                        const char *place, mdr_curve *out, mdr_err *err)
{
    mdr_curve sum = {{0.0}};
    int n = 0;
    for (int i = 0; i < s->n; i++) {
        if (!is_named(&s->items[i], name)) {
            continue;
        }
        if (s->items[i].specular != lab->specular) {
            return other_specular(place, name, err);
        }
        const mdr_curve one = mdr_curve_of_spectrum(s->items[i].spectrum, NULL);
        for (int b = 0; b < MDR_BANDS; b++) {
            sum.v[b] += one.v[b];
        }
        n++;
    }
    for (int b = 0; b < MDR_BANDS && n > 0; b++) {
        out->v[b] = sum.v[b] / n;
    }
    return n > 0 ? MDR_OK : MDR_E_NOTFOUND;
}

mdr_code mdr_dyelab_sample(mdr_dyelab *lab, mdr_recipe_file_kind where, const char *name,
                           const char *what, mdr_curve *out, mdr_err *err)
{
    const mdr_recipe_file_kind kind = lab->spectra[where] != NULL ? where : MDR_RECIPE_FILE_SPECTRA;
    const mdr_spectra *s = lab->spectra[kind];
    const char *file = lab->asked->files[kind].name;
    const mdr_spectra_item *item = NULL;
    const mdr_code rc = mean_of(lab, s, name, file, out, err);
    if (rc != MDR_E_NOTFOUND) {
        return rc;
    }
    MDR_TRY(mdr_app_spectra_find(s, file, name, &item, err));
    return MDR_FAIL(err, MDR_E_NOTFOUND, file, "%s has a colour only, and no spectrum", what);
}

/* -- the cloth -- */

static const char *const USUAL[] = {"substrate", "cloth", "undyed", "white"};

bool mdr_app_cloth_name(const char *name)
{
    for (size_t k = 0; k < sizeof USUAL / sizeof USUAL[0]; k++) {
        if (strcmp(USUAL[k], name) == 0) {
            return true;
        }
    }
    return false;
}

/* By the name that was given, or one of those that people write. */
static const char *cloth_name(const mdr_dyelab *lab)
{
    const mdr_spectra *s = lab->spectra[MDR_RECIPE_FILE_SPECTRA];
    if (lab->q->cloth[0] != '\0') {
        return lab->q->cloth;
    }
    if (lab->asked->stock != NULL) {
        return lab->asked->stock->cloth;
    }
    for (size_t k = 0; k < sizeof USUAL / sizeof USUAL[0]; k++) {
        for (int i = 0; i < s->n; i++) {
            if (is_named(&s->items[i], USUAL[k])) {
                return USUAL[k];
            }
        }
    }
    return NULL;
}

static mdr_code read_cloth(mdr_dyelab *lab, mdr_err *err)
{
    const mdr_spectra *s = lab->spectra[MDR_RECIPE_FILE_SPECTRA];
    const char *name = cloth_name(lab);
    if (name == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "cloth",
                                     "it is not clear which sample is the undyed cloth");
        mdr_err_remedy(err, "name it: a sample called substrate, or give cloth");
        return rc;
    }
    lab->cloth_name = name;
    for (int i = 0; i < s->n; i++) {
        if (is_named(&s->items[i], name)) {
            lab->specular = s->items[i].specular;
            break;
        }
    }
    return mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SPECTRA, name, "the undyed cloth",
                             &lab->cloth_curve, err);
}

/* -- light and formula -- */

static mdr_code twice(mdr_illuminant light, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "lights", "a light is there twice");
    mdr_err_value(err, "%s", mdr_illuminant_name(light));
    mdr_err_remedy(err, "name each light once; the first decides");
    return rc;
}

static mdr_code too_many_lights(const char *list, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_RANGE, "lights", "that is more lights than can be looked at");
    mdr_err_value(err, "%.60s", list);
    mdr_err_allowed(err, "up to %d", MDR_LIGHTS_MAX);
    mdr_err_remedy(err, "leave out what does not matter for this shade");
    return rc;
}

static mdr_code read_lights(mdr_dyelab *lab, mdr_err *err)
{
    const char *list = lab->q->lights[0] != '\0' ? lab->q->lights : "D65,A,F11";
    for (const char *at = list;; at++) {
        const size_t n = strcspn(at, ",");
        if (lab->n_lights == MDR_LIGHTS_MAX) {
            return too_many_lights(list, err);
        }
        mdr_illuminant *one = &lab->illuminants[lab->n_lights];
        const mdr_code rc = mdr_illuminant_of_name(at, n, one, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "lights");
            return rc;
        }
        for (int i = 0; i < lab->n_lights; i++) {
            if (lab->illuminants[i] == *one) {
                return twice(*one, err);
            }
        }
        lab->lights[lab->n_lights++] = mdr_weights_of(*one, (mdr_observer)lab->q->observer);
        at += n;
        if (*at == '\0') {
            break;
        }
    }
    lab->formula = mdr_difference_usual((mdr_difference_formula)lab->q->formula);
    lab->formula.l = lab->q->has_l ? lab->q->l : lab->formula.l;
    lab->formula.c = lab->q->has_c ? lab->q->c : lab->formula.c;
    return mdr_difference_check(&lab->formula, err);
}

const char *mdr_dyelab_caption_of(const mdr_dyelab *lab, int light)
{
    const char *caption =
        mdr_arena_printf(lab->desk.arena, "%s, %d degree observer, %s(%g:%g)",
                         mdr_illuminant_name(lab->illuminants[light]), lab->q->observer,
                         mdr_difference_name(lab->formula.formula), lab->formula.l, lab->formula.c);
    return caption != NULL ? caption : "";
}

void mdr_dyelab_caption(mdr_dyelab *lab)
{
    const char *caption = mdr_dyelab_caption_of(lab, 0);
    mdr_desk_text(&lab->desk, "caption", "light, observer, formula", caption, caption);
}

/* -- surface and ladders -- */

static mdr_code fit_surface(mdr_dyelab *lab, mdr_err *err)
{
    /* back reflection inside: 0.4 to 0.6 is used; only k1 is fitted, both together are hardly told
     * apart by a few ladders. Start of k1: (n - 1)^2/(n + 1)^2 of n = 1.5. [saunderson] */
    static const double K1 = 0.04, K2 = 0.5;
    mdr_dye_rungs *dyes = MDR_NEW_N(lab->desk.arena, mdr_dye_rungs, (size_t)lab->n_dyes);
    int able = 0;
    if (dyes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "spectra", "no memory to fit the surface");
    }
    for (int i = 0; i < lab->n_dyes; i++) {
        dyes[i] = (mdr_dye_rungs){lab->dyes[i].rungs, lab->dyes[i].n};
        able += lab->dyes[i].n >= 2 ? 1 : 0;
    }
    lab->surface = (mdr_surface){K1, K2, MDR_SURFACE_SAUNDERSON};
    if (able == 0) {
        mdr_desk_note(&lab->desk, "No dye has two depths: the surface correction could not be "
                                  "fitted, k1 0.04 and k2 0.5 are taken.");
        return MDR_OK;
    }
    const mdr_surface_fit_in in = {.dyes = dyes,
                                   .n = lab->n_dyes,
                                   .substrate = lab->cloth_curve,
                                   .light = &lab->lights[0],
                                   .start = lab->surface};
    MDR_TRY(mdr_surface_fit_rungs(&in, lab->desk.arena, &lab->fit, err));
    lab->surface = lab->fit.surface;
    return MDR_OK;
}

/* What is fitted depends on the ladders, the cloth and the first light only. */
static mdr_code fit_or_keep(mdr_dyelab *lab, mdr_err *err)
{
    const mdr_recipe_stock *stock = lab->asked->stock;
    char key[MDR_APP_FIT_KEY];
    if (stock == NULL) {
        return fit_surface(lab, err);
    }
    const int n = snprintf(key, sizeof key, "%s|%s|%s|%d", stock->key, lab->cloth_name,
                           mdr_illuminant_name(lab->illuminants[0]), lab->q->observer);
    if (n > 0 && (size_t)n < sizeof key && strcmp(key, stock->kept->key) == 0) {
        lab->fit = stock->kept->fit;
        lab->surface = lab->fit.surface;
        return MDR_OK;
    }
    MDR_TRY(fit_surface(lab, err));
    if (lab->fit.left_out > 0 && n > 0 && (size_t)n < sizeof key) {
        stock->kept->fit = lab->fit;
        memcpy(stock->kept->key, key, (size_t)n + 1);
    }
    return MDR_OK;
}

static mdr_code find_surface(mdr_dyelab *lab, mdr_err *err)
{
    switch ((mdr_recipe_surface)lab->q->surface) {
    case MDR_RECIPE_SURFACE_FIT:
        return fit_or_keep(lab, err);
    case MDR_RECIPE_SURFACE_NONE:
        break;
    case MDR_RECIPE_SURFACE_LIMIT:
        lab->surface = (mdr_surface){lab->q->k1, 0.0, MDR_SURFACE_LIMIT};
        break;
    case MDR_RECIPE_SURFACE_GIVEN:
        lab->surface = (mdr_surface){lab->q->k1, lab->q->k2, MDR_SURFACE_SAUNDERSON};
        break;
    }
    return MDR_OK;
}

static mdr_code make_ladders(mdr_dyelab *lab, mdr_err *err)
{
    for (int i = 0; i < lab->n_dyes; i++) {
        mdr_dyelab_ladder *d = &lab->dyes[i];
        const mdr_ladder_in in = {.rungs = d->rungs,
                                  .n = d->n,
                                  .substrate = lab->cloth_curve,
                                  .surface = lab->surface,
                                  .beyond = lab->q->beyond};
        d->ladder = MDR_NEW(lab->desk.arena, mdr_ladder);
        if (d->ladder == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, d->dye_id, "no memory for the ladder");
        }
        const mdr_code rc = mdr_ladder_make(&in, d->ladder, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "%s", d->dye_id);
            return rc;
        }
    }
    return mdr_cloth_make(&lab->cloth_curve, &lab->surface, &lab->cloth, err);
}

static mdr_code read_files(mdr_dyelab *lab, mdr_err *err)
{
    static const mdr_recipe_file_kind KINDS[] = {MDR_RECIPE_FILE_SPECTRA, MDR_RECIPE_FILE_STANDARD,
                                                 MDR_RECIPE_FILE_SAMPLE};
    if (lab->asked->stock != NULL) {
        lab->spectra[MDR_RECIPE_FILE_SPECTRA] = &lab->asked->stock->spectra;
        return MDR_OK;
    }
    if (lab->asked->files[MDR_RECIPE_FILE_SPECTRA].name == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "spectra", "there are no measured samples");
        mdr_err_remedy(err, "give the file with the dyed samples and the undyed cloth");
        return rc;
    }
    for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++) {
        MDR_TRY(read_file(lab, KINDS[i], err));
    }
    return MDR_OK;
}

mdr_code mdr_dyelab_open(mdr_dyelab *lab, mdr_err *err)
{
    MDR_TRY(read_files(lab, err));
    MDR_TRY(read_cloth(lab, err));
    MDR_TRY(read_lights(lab, err));
    MDR_TRY(mdr_dyelab_read_ladders(lab, err));
    MDR_TRY(mdr_dyelab_read_known(lab, err));
    MDR_TRY(find_surface(lab, err));
    return make_ladders(lab, err);
}

mdr_code mdr_dyelab_target(mdr_dyelab *lab, mdr_target *out, mdr_err *err)
{
    mdr_target t = {.lights = lab->n_lights,
                    .tie = (mdr_tie)lab->q->tie,
                    .tie_weight = MDR_TIE_WEIGHT,
                    .formula = lab->formula};
    for (int i = 0; i < lab->n_lights; i++) {
        t.light[i] = &lab->lights[i];
        t.light_weight[i] = i == 0 ? 0.0 : 1.0;
    }
    MDR_TRY(mdr_dyelab_sample(lab, MDR_RECIPE_FILE_STANDARD, lab->q->standard, "the standard",
                              &t.standard, err));
    *out = t;
    return MDR_OK;
}

/* -- a recipe as parts -- */

int mdr_dyelab_dye_of(const mdr_dyelab *lab, const char *id, size_t len)
{
    for (int i = 0; i < lab->n_dyes; i++) {
        if (strlen(lab->dyes[i].dye_id) == len && memcmp(lab->dyes[i].dye_id, id, len) == 0) {
            return i;
        }
    }
    return -1;
}

mdr_code mdr_dyelab_no_dye(const mdr_dyelab *lab, const char *place, const char *id, size_t len,
                           mdr_err *err)
{
    char names[160] = "";
    for (int i = 0; i < lab->n_dyes; i++) {
        const size_t used = strlen(names);
        (void)snprintf(names + used, sizeof names - used, "%s%s", i > 0 ? ", " : "",
                       lab->dyes[i].dye_id);
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, place, "there is no ladder of this dye");
    mdr_err_value(err, "%.*s", (int)len, id);
    mdr_err_remedy(err, "dyes with a ladder: %s", names);
    return rc;
}

mdr_code mdr_dyelab_parts(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe, mdr_part *out,
                          mdr_err *err)
{
    for (int i = 0; i < recipe->n; i++) {
        const size_t len = strlen(recipe->dye_id[i]);
        const int d = mdr_dyelab_dye_of(lab, recipe->dye_id[i], len);
        if (d < 0) {
            return mdr_dyelab_no_dye(lab, "recipe", recipe->dye_id[i], len, err);
        }
        out[i] = (mdr_part){.ladder = lab->dyes[d].ladder,
                            .depth_pct_owf = recipe->depth_pct_owf[i],
                            .strength_factor = lab->dyes[d].strength_factor};
    }
    return MDR_OK;
}
