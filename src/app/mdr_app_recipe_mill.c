/* A question about recipes whose samples are those of the mill. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_recipe_in.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "from", "no memory for the samples of the mill");
}

/* -- from where -- */

static mdr_code no_substrate(const mdr_bench *bench, const char *substrate, mdr_err *err)
{
    char names[160] = "";
    for (int i = 0; i < bench->n_samples; i++) {
        const size_t used = strlen(names);
        if (bench->samples[i].kind == MDR_BENCH_CLOTH) {
            (void)snprintf(names + used, sizeof names - used, "%s%s", used > 0 ? ", " : "",
                           bench->samples[i].substrate);
        }
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "from.substrate",
                                 "no undyed cloth of this substrate was measured");
    mdr_err_value(err, "%s", substrate);
    mdr_err_allowed(err, "%s", names);
    mdr_err_remedy(err, "choose one that was, or add its cloth and ladders to the laboratory");
    return rc;
}

static mdr_code find_shade(const mdr_masters *masters, const char *shade_id, const mdr_shade **out,
                           mdr_err *err)
{
    *out = NULL;
    if (shade_id == NULL || shade_id[0] == '\0') {
        return MDR_OK;
    }
    *out = mdr_masters_shade(masters, shade_id);
    if (*out != NULL) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "from.shade", "there is no such shade");
    mdr_err_value(err, "%s", shade_id);
    mdr_err_remedy(err, "choose one that exists, or add it to table shade first");
    return rc;
}

/* -- what is taken -- */

typedef struct source {
    const mdr_masters *masters;
    const mdr_bench *bench;
    const char *substrate;
    const mdr_shade *shade; /* NULL: any */
} source;

static bool is_of_class(const source *s, const mdr_bench_sample *rung)
{
    const mdr_material *dye = mdr_masters_material(s->masters, rung->dye_id);
    return dye != NULL && (s->shade == NULL || dye->dye_class == s->shade->dye_class);
}

static bool is_taken(const source *s, const mdr_bench_sample *one)
{
    const bool here = strcmp(one->substrate, s->substrate) == 0;
    const bool of_shade = s->shade == NULL || strcmp(one->shade_id, s->shade->shade_id) == 0;
    if (one->spectrum == NULL) {
        return false;
    }
    switch ((mdr_bench_kind)one->kind) {
    case MDR_BENCH_CLOTH:
        return here;
    case MDR_BENCH_RUNG:
        return here && is_of_class(s, one);
    case MDR_BENCH_STANDARD:
        return of_shade;
    case MDR_BENCH_DIP:
    case MDR_BENCH_BULK:
        return here && of_shade;
    }
    return false;
}

/* A name that stands for several samples stands for none: they would be averaged. */
static const char *name_if_alone(const source *s, const mdr_bench_sample *one)
{
    for (int i = 0; i < s->bench->n_samples; i++) {
        const mdr_bench_sample *other = &s->bench->samples[i];
        if (other != one && is_taken(s, other) &&
            (strcmp(other->name, one->name) == 0 || strcmp(other->sample_id, one->name) == 0)) {
            return "";
        }
    }
    return one->name;
}

static mdr_code take_samples(const source *s, mdr_arena *arena, mdr_recipe_stock *out, mdr_err *err)
{
    const size_t room = (size_t)s->bench->n_samples + 1;
    mdr_spectra_item *items = MDR_NEW_N(arena, mdr_spectra_item, room);
    mdr_recipe_rung *rungs = MDR_NEW_N(arena, mdr_recipe_rung, room);
    if (items == NULL || rungs == NULL) {
        return no_memory(err);
    }
    int n = 0;
    for (int i = 0; i < s->bench->n_samples; i++) {
        const mdr_bench_sample *one = &s->bench->samples[i];
        if (!is_taken(s, one)) {
            continue;
        }
        items[n++] = (mdr_spectra_item){.name = one->sample_id,
                                        .id = name_if_alone(s, one),
                                        .kind = "",
                                        .condition = "",
                                        .specular = (mdr_specular)one->specular,
                                        .spectrum = one->spectrum};
        if (one->kind == MDR_BENCH_RUNG) {
            rungs[out->n_rungs++] =
                (mdr_recipe_rung){one->dye_id, one->sample_id, one->depth_pct_owf};
        }
    }
    out->spectra = (mdr_spectra){.scale = MDR_SCALE_FRACTION, .n = n, .items = items};
    out->rungs = rungs;
    return MDR_OK;
}

/* Grades of fastness are not kept in the mill. */
static mdr_code take_facts(const source *s, mdr_arena *arena, mdr_recipe_stock *out, mdr_err *err)
{
    static const double MINOR = 100.0;
    const mdr_masters *m = s->masters;
    mdr_recipe_fact *facts = MDR_NEW_N(arena, mdr_recipe_fact, (size_t)m->n_materials + 1);
    if (facts == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < m->n_materials; i++) {
        const mdr_material *dye = &m->materials[i];
        if (!dye->is_dye) {
            continue;
        }
        facts[out->n_facts++] =
            (mdr_recipe_fact){.dye_id = dye->material_id,
                              .facts = {.price_per_kg = dye->price_minor_per_kg / MINOR,
                                        .exhaustion_pct = dye->exhaustion_pct,
                                        .fixation_pct = dye->fixation_pct,
                                        .stock_known = dye->stock_kg > 0.0,
                                        .stock_kg = dye->stock_kg}};
    }
    out->facts = facts;
    return MDR_OK;
}

static mdr_code complete(const source *s, mdr_blob *question, mdr_arena *arena, mdr_err *err)
{
    const mdr_bench_sample *standard =
        s->shade != NULL ? mdr_bench_standard_of(s->bench, s->shade->shade_id) : NULL;
    const bool measured = standard != NULL && standard->spectrum != NULL;
    const mdr_recipe_default defaults[] = {
        {.key = "standard",
         .text = measured ? standard->sample_id : NULL,
         .missing = s->shade != NULL ? "the standard of the shade was not measured"
                                     : "which standard is meant is not said"},
        {.key = "tolerance", .number = s->shade != NULL ? s->shade->tolerance_de : 1.0}};
    const char *whole = NULL;
    MDR_TRY(mdr_wire_recipe_complete(question->bytes, question->len, defaults,
                                     s->shade != NULL ? 2 : 1, arena, &whole, err));
    *question = (mdr_blob){whole, strlen(whole)};
    return MDR_OK;
}

static mdr_code make_stock(const source *s, const mdr_app_fit *kept, mdr_arena *arena,
                           mdr_recipe_stock *out, mdr_err *err)
{
    const mdr_bench_sample *cloth = mdr_bench_cloth_of(s->bench, s->substrate);
    if (cloth == NULL || cloth->spectrum == NULL) {
        return no_substrate(s->bench, s->substrate, err);
    }
    out->cloth = cloth->sample_id;
    out->kept = MDR_NEW(arena, mdr_app_fit);
    out->key =
        mdr_arena_printf(arena, "%s|%d", s->substrate, s->shade != NULL ? s->shade->dye_class : -1);
    if (out->kept == NULL || out->key == NULL) {
        return no_memory(err);
    }
    *out->kept = *kept; /* its own: what is asked may be answered beside the app */
    MDR_TRY(take_samples(s, arena, out, err));
    return take_facts(s, arena, out, err);
}

static mdr_code offer_bulk(mdr_app *app, const mdr_recipe_from *from, mdr_arena *arena,
                           mdr_recipe_stock *stock, mdr_err *err)
{
    if (from->machine_id == NULL || from->machine_id[0] == '\0') {
        return MDR_OK;
    }
    if (from->shade_id == NULL || from->shade_id[0] == '\0') {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "from.machine",
                                     "factors of a machine are those of a shade on it");
        mdr_err_value(err, "%s", from->machine_id);
        mdr_err_remedy(err, "name the shade too, or leave the machine out");
        return rc;
    }
    const mdr_bulk_ask ask = {from->shade_id, from->machine_id, from->best_guess};
    const mdr_code rc = mdr_app_bulk_offers_mill(app, &ask, arena, &stock->bulk, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "from");
    }
    return rc;
}

mdr_code mdr_recipe_case_of_mill(mdr_app *app, const mdr_recipe_from *from, mdr_blob question,
                                 mdr_arena *arena, const mdr_recipe_case **out, mdr_err *err)
{
    source s = {.substrate = from->substrate};
    MDR_TRY(mdr_app_bench(app, &s.bench, err));
    s.masters = &app->masters;
    mdr_recipe_stock *stock = MDR_NEW(arena, mdr_recipe_stock);
    mdr_recipe_case *asked = MDR_NEW(arena, mdr_recipe_case);
    if (stock == NULL || asked == NULL) {
        return no_memory(err);
    }
    MDR_TRY(find_shade(s.masters, from->shade_id, &s.shade, err));
    MDR_TRY(make_stock(&s, &app->fit, arena, stock, err));
    MDR_TRY(complete(&s, &question, arena, err));
    MDR_TRY(offer_bulk(app, from, arena, stock, err));
    asked->question = question;
    asked->files[MDR_RECIPE_FILE_SPECTRA].name = "mill";
    asked->stock = stock;
    asked->mill = (mdr_recipe_mill){s.masters->materials, s.masters->dose_tables,
                                    s.masters->n_materials, s.masters->n_dose_tables};
    *out = asked;
    return MDR_OK;
}

void mdr_recipe_keep(mdr_app *app, const mdr_recipe_case *asked)
{
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
    if (asked->stock != NULL && asked->stock->kept != NULL) {
        app->fit = *asked->stock->kept;
    }
}

mdr_code mdr_app_recipe_of_mill(mdr_app *app, const mdr_recipe_from *from, mdr_blob question,
                                mdr_arena *arena, mdr_err_list *found, const mdr_answer **out,
                                mdr_err *err)
{
    const mdr_recipe_case *asked = NULL;
    MDR_TRY(mdr_recipe_case_of_mill(app, from, question, arena, &asked, err));
    const mdr_code rc = mdr_app_recipe(asked, arena, found, out, err);
    mdr_recipe_keep(app, asked);
    return rc;
}
