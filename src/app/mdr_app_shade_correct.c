/* From the measured sample of a batch to what its dyes did and what is to be added. */
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "app/mdr_app_shade.h"
#include "core/run/mdr_dyed.h"

static const double MG_PER_KG = 1e6, PERCENT = 100.0;

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "sample", "no memory for the correction");
}

/* -- the recipe as dyed -- */

static mdr_code cannot(mdr_err *err, mdr_code code, const char *place, const char *msg,
                       const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, code, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static const char AS_NUMBER[] = "decide by the words of the route, or by the laboratory";

static mdr_code check_dyed(const mdr_dyed *d, mdr_err *err)
{
    if (d->n == 0) {
        return cannot(err, MDR_E_NOTFOUND, "recipe", "no dye was given in this batch", AS_NUMBER);
    }
    if (d->stripped) {
        return cannot(err, MDR_E_CONFLICT, "recipe",
                      "colour was taken off: no recipe says what is on the cloth now",
                      "find a recipe for the cloth as it is in the laboratory");
    }
    if (d->overflow || d->n > MDR_COMBO_MAX) {
        const mdr_code rc = cannot(err, MDR_E_RANGE, "recipe",
                                   "the correction cannot tell so many dyes apart", AS_NUMBER);
        mdr_err_value(err, "%d", d->n);
        mdr_err_allowed(err, "up to %d", MDR_COMBO_MAX);
        return rc;
    }
    return MDR_OK;
}

/* Per cent on the load of dye of standard strength, as in a recipe. */
static mdr_code recipe_of(const mdr_masters *m, const mdr_batch *b, const mdr_dyed *d,
                          mdr_recipe_dye *out, mdr_err *err)
{
    MDR_TRY(check_dyed(d, err));
    for (int i = 0; i < d->n; i++) {
        const mdr_material *dye = mdr_masters_material(m, d->dye[i].material_id);
        if (dye == NULL) {
            const mdr_code rc =
                cannot(err, MDR_E_NOTFOUND, "recipe", "the mill has no such dye any more",
                       "put it back into table dye");
            mdr_err_value(err, "%s", d->dye[i].material_id);
            return rc;
        }
        const double strength_pct = dye->strength_pct > 0.0 ? dye->strength_pct : PERCENT;
        out[i] = (mdr_recipe_dye){dye, (double)d->dye[i].mass_mg / MG_PER_KG * strength_pct /
                                           b->control->load_kg};
    }
    return MDR_OK;
}

/* -- whose ladders -- */

static bool has_ladders(const mdr_bench *bench, const char *substrate, const mdr_recipe_dye *dyes,
                        int n)
{
    for (int k = 0; k < n; k++) {
        bool has = false;
        for (int i = 0; i < bench->n_samples && !has; i++) {
            const mdr_bench_sample *s = &bench->samples[i];
            has =
                s->kind == MDR_BENCH_RUNG && strcmp(s->substrate, substrate) == 0 &&
                /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
                strcmp(s->dye_id, dyes[k].dye->material_id) == 0;
        }
        if (!has) {
            return false;
        }
    }
    return true;
}

static const char *of_approved_dip(const mdr_bench *bench, const char *shade_id)
{
    for (int i = 0; i < bench->n_dips; i++) {
        const mdr_dip *d = &bench->dips[i];
        if (d->state == MDR_DIP_APPROVED && strcmp(d->shade_id, shade_id) == 0) {
            return d->substrate;
        }
    }
    return NULL;
}

/* That of the sample; of the dip that was approved; the only one that has ladders of all the dyes. */
static mdr_code find_substrate(const mdr_bench *bench, const mdr_batch *b, const mdr_measured *m,
                               const mdr_recipe_dye *dyes, int n, const char **out, mdr_err *err)
{
    const char *by_dip = of_approved_dip(bench, b->control->shade_id);
    const char *only = NULL, *any = NULL;
    int n_only = 0;
    if (m->substrate[0] != '\0') {
        *out = m->substrate;
        return MDR_OK;
    }
    if (by_dip != NULL) {
        *out = by_dip;
        return MDR_OK;
    }
    for (int i = 0; i < bench->n_samples; i++) {
        const mdr_bench_sample *s = &bench->samples[i];
        if (s->kind == MDR_BENCH_CLOTH) {
            any = s->substrate;
            if (has_ladders(bench, s->substrate, dyes, n)) {
                only = s->substrate;
                n_only++;
            }
        }
    }
    if (n_only > 1 || any == NULL) {
        return cannot(err, any == NULL ? MDR_E_NOTFOUND : MDR_E_CONFLICT, "substrate",
                      any == NULL ? "the laboratory has no ladders of dyes"
                                  : "several substrates have ladders of these dyes",
                      any == NULL ? "dye and measure ladders, or decide by the words of the route"
                                  : "measure again and say the substrate of the sample");
    }
    *out = only != NULL ? only : any; /* which dye has none is told when they are looked for */
    return MDR_OK;
}

/* -- the question -- */

static mdr_code question_of(const mdr_measured *m, const mdr_recipe_dye *dyes,
                            const mdr_hold_shade *h, double tolerance, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 512 };
    const char *recipe = "";
    char *text = NULL;
    size_t len = 0;
    for (int i = 0; i < h->n; i++) {
        recipe = mdr_arena_printf(
            arena, "%s%s%s=%.9g", recipe, i > 0 ? "," : "",
            /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
            dyes[i].dye->material_id, dyes[i].depth_pct_owf);
        if (recipe == NULL) {
            return no_memory(err);
        }
    }
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "do", "correct");
    mdr_json_text(&j, "recipe", recipe);
    mdr_json_text(&j, "standard", m->standard_id);
    mdr_json_text(&j, "sample", m->standard_id); /* a name there is; the curve is the record's */
    mdr_json_number(&j, "tolerance", tolerance);
    mdr_json_int(&j, "done_count", h->n_additions);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}

static mdr_code solve(const mdr_recipe_case *asked, const mdr_measured *m, mdr_arena *arena,
                      mdr_correct *out, mdr_err *err)
{
    mdr_dyelab *lab = MDR_NEW(arena, mdr_dyelab);
    mdr_target *target = MDR_NEW(arena, mdr_target);
    mdr_dyelab_recipe recipe;
    if (lab == NULL || target == NULL) {
        return no_memory(err);
    }
    const mdr_measured_look look = mdr_measured_see(m);
    MDR_TRY(mdr_dyelab_start(lab, asked, arena, NULL, err));
    MDR_TRY(mdr_dyelab_open(lab, err));
    MDR_TRY(mdr_dyelab_recipe_read(lab, &recipe, err));
    MDR_TRY(mdr_dyelab_target(lab, target, err));
    target->standard = look.standard_curve;
    if (lab->specular != m->specular) {
        return cannot(err, MDR_E_CONFLICT, "sample.specular",
                      "the gloss was treated otherwise than with the ladders",
                      "measure sample, standard and ladders alike");
    }
    return mdr_dyelab_correct(lab, &recipe, target, &look.sample_curve, out, err);
}

static mdr_code reckon(mdr_app *app, const mdr_batch *b, mdr_app_shade *s, mdr_arena *arena,
                       mdr_err *err)
{
    const mdr_dyed dyed = mdr_batch_dyed(b);
    const mdr_recipe_case *asked = NULL;
    const mdr_bench *bench = NULL;
    mdr_recipe_dye dyes[MDR_DYED_MAX] = {{0}};
    mdr_blob question = {0};
    MDR_TRY(mdr_app_bench(app, &bench, err));
    MDR_TRY(recipe_of(&app->masters, b, &dyed, dyes, err));
    MDR_TRY(find_substrate(bench, b, s->measured, dyes, dyed.n, &s->substrate, err));
    s->hold.n = dyed.n;
    s->hold.n_additions = dyed.n_additions;
    MDR_TRY(question_of(s->measured, dyes, &s->hold, s->tolerance, arena, &question, err));
    const mdr_recipe_from from = {.substrate = s->substrate, .shade_id = b->control->shade_id};
    MDR_TRY(mdr_recipe_case_of_mill(app, &from, question, arena, &asked, err));
    MDR_TRY(solve(asked, s->measured, arena, &s->correct, err));
    mdr_recipe_keep(app, asked);
    s->hold = mdr_hold_shade_of(&s->correct, dyes, dyed.n_additions);
    return MDR_OK;
}

/* Everything of it in one line. */
static const char *in_one_line(const mdr_err *e, mdr_arena *arena)
{
    return mdr_arena_printf(arena, "%s%s%s%s%s", e->msg, e->value[0] != '\0' ? ": " : "", e->value,
                            e->remedy[0] != '\0' ? "; " : "", e->remedy);
}

mdr_code mdr_app_shade_correct(mdr_app *app, const mdr_batch *b, const mdr_batch_step *check,
                               mdr_arena *arena, const mdr_app_shade **out, mdr_err *err)
{
    static const double TOLERANCE_DE =
        1.0; /* common practice, where neither route nor shade says */
    if (check->measured == NULL) {
        *out = NULL;
        return MDR_OK;
    }
    mdr_app_shade *s = MDR_NEW(arena, mdr_app_shade);
    if (s == NULL) {
        return no_memory(err);
    }
    *s = (mdr_app_shade){.measured = check->measured,
                         .substrate = "",
                         .load_kg = b->control->load_kg,
                         .tolerance = check->asked->check.has_high ? check->asked->check.high
                                                                   : TOLERANCE_DE};
    const mdr_code rc = reckon(app, b, s, arena, &s->why_not);
    if (rc == MDR_E_NOMEM || rc == MDR_E_IO) {
        if (err != NULL) {
            *err = s->why_not;
        }
        return rc;
    }
    if (rc == MDR_OK) {
        s->why_not.code = MDR_OK;
    } else if ((s->unknown = in_one_line(&s->why_not, arena)) == NULL) {
        return no_memory(err);
    }
    *out = s;
    return MDR_OK;
}

/* -- as a document -- */

static void put_dyes(mdr_json *j, const mdr_app_shade *s)
{
    mdr_json_array(j, "dyes");
    for (int i = 0; i < s->correct.n; i++) {
        const mdr_apparent *a = &s->correct.dye[i];
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", s->hold.dye[i]->material_id);
        mdr_json_text(j, "name", s->hold.dye[i]->name);
        mdr_json_number(j, "dyed_pct_owf", s->hold.depth_pct_owf[i]);
        mdr_json_number(j, "strength_pct", PERCENT * a->strength);
        mdr_json_number(j, "strength_low_pct", PERCENT * a->low);
        mdr_json_number(j, "strength_high_pct", PERCENT * a->high);
        mdr_json_bool(j, "known", a->known);
        mdr_json_number(j, "add_pct_owf", s->correct.add_pct_owf[i]);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_seen(mdr_json *j, const char *key, const mdr_difference *d)
{
    mdr_json_object(j, key);
    mdr_wire_put_difference(j, d);
    mdr_json_end_object(j);
}

static void put_correction(mdr_json *j, const mdr_app_shade *s)
{
    const mdr_correct *c = &s->correct;
    mdr_json_object(j, "correction");
    mdr_json_text(j, "way", mdr_way_id(c->way));
    mdr_json_text(j, "way_words", mdr_recipe_way_words(c->way));
    mdr_json_text(j, "substrate", s->substrate);
    mdr_json_number(j, "tolerance", s->tolerance);
    mdr_json_int(j, "additions_made", s->hold.n_additions);
    mdr_json_number(j, "add_total_pct", c->add_total_pct);
    mdr_json_number(j, "unexplained", c->unexplained);
    put_seen(j, "before", &c->before);
    put_seen(j, "after", &c->after);
    put_dyes(j, s);
    mdr_json_end_object(j);
}

static void put_why_not(mdr_json *j, const mdr_err *e)
{
    mdr_json_object(j, "correction_missing");
    mdr_json_text(j, "place", e->place);
    mdr_json_text(j, "message", e->msg);
    mdr_json_text(j, "value", e->value);
    mdr_json_text(j, "allowed", e->allowed);
    mdr_json_text(j, "remedy", e->remedy);
    mdr_json_end_object(j);
}

void mdr_app_shade_write(mdr_json *j, const mdr_app_shade *s)
{
    mdr_wire_put_measured_look(j, "measured", s != NULL ? s->measured : NULL);
    if (s != NULL && s->why_not.code == MDR_OK) {
        put_correction(j, s);
    } else {
        mdr_json_null(j, "correction");
    }
    if (s != NULL && s->why_not.code != MDR_OK) {
        put_why_not(j, &s->why_not);
    } else {
        mdr_json_null(j, "correction_missing");
    }
}
