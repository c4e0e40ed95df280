/* Substrates with their ladders; the laboratory as lines. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_lab_in.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
}

/* -- ladders -- */

static bool is_ladder(const mdr_bench_sample *s)
{
    return s->kind == MDR_BENCH_CLOTH || s->kind == MDR_BENCH_RUNG;
}

static int by_rung(const void *a, const void *b)
{
    const mdr_bench_sample *const *x = a, *const *y = b;
    int order = strcmp((*x)->substrate, (*y)->substrate);
    if (order == 0) {
        order = strcmp((*x)->dye_id, (*y)->dye_id); /* the cloth has none and comes first */
    }
    if (order != 0) {
        return order;
    }
    return ((*x)->depth_pct_owf > (*y)->depth_pct_owf) -
           ((*x)->depth_pct_owf < (*y)->depth_pct_owf);
}

/* Cloths and rungs by substrate, dye, depth. */
static mdr_code ladders_of(const mdr_lab_view *v, const mdr_bench_sample ***out, int *n_out,
                           mdr_err *err)
{
    const mdr_bench *b = v->bench;
    const mdr_bench_sample **all =
        MDR_NEW_N(v->arena, const mdr_bench_sample *, (size_t)b->n_samples + 1);
    int n = 0;
    if (all == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < b->n_samples; i++) {
        if (is_ladder(&b->samples[i])) {
            all[n++] = &b->samples[i];
        }
    }
    if (n > 1) {
        qsort((void *)all, (size_t)n, sizeof(const mdr_bench_sample *), by_rung);
    }
    *out = all;
    *n_out = n;
    return MDR_OK;
}

/* How many from the first on are of its substrate, or of its dye. */
static int run_of(const mdr_bench_sample **s, int n, bool same_dye)
{
    int i = 1;
    while (i < n && strcmp(s[i]->substrate, s[0]->substrate) == 0 &&
           (!same_dye || strcmp(s[i]->dye_id, s[0]->dye_id) == 0)) {
        i++;
    }
    return i;
}

static void put_dye(mdr_json *j, const mdr_lab_view *v, const mdr_bench_sample **s, int n)
{
    /* a careful choice, as that of a question about recipes (invented) */
    static const double BEYOND = 1.25;
    const mdr_material *dye = mdr_masters_material(&v->app->masters, s[0]->dye_id);
    mdr_json_object(j, NULL);
    mdr_json_text(j, "dye_id", s[0]->dye_id);
    mdr_json_text(j, "name", dye != NULL ? dye->name : "");
    mdr_json_text(j, "dye_class",
                  mdr_dye_class_id(dye != NULL ? (mdr_dye_class)dye->dye_class : MDR_CLASS_NONE));
    mdr_json_text(j, "swatch", dye != NULL ? dye->swatch : "");
    mdr_json_array(j, "depths_pct_owf");
    for (int i = 0; i < n; i++) {
        mdr_json_number(j, NULL, s[i]->depth_pct_owf);
    }
    mdr_json_end_array(j);
    mdr_json_number(j, "most_pct_owf", BEYOND * s[n - 1]->depth_pct_owf);
    mdr_json_end_object(j);
}

static void put_substrate(mdr_json *j, const mdr_lab_view *v, const mdr_bench_sample **s, int n)
{
    const int cloths = s[0]->kind == MDR_BENCH_CLOTH ? 1 : 0;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "substrate", s[0]->substrate);
    mdr_json_text(j, "cloth", cloths > 0 ? s[0]->sample_id : NULL);
    mdr_json_text(j, "specular", mdr_lab_specular_id(s[0]->specular));
    mdr_json_int(j, "rungs", n - cloths);
    mdr_json_array(j, "dyes");
    for (int i = cloths; i < n;) {
        const int run = run_of(&s[i], n - i, true);
        put_dye(j, v, &s[i], run);
        i += run;
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

mdr_code mdr_lab_put_substrates(mdr_json *j, const mdr_lab_view *v, mdr_err *err)
{
    const mdr_bench_sample **all = NULL;
    int n = 0;
    MDR_TRY(ladders_of(v, &all, &n, err));
    mdr_json_array(j, "substrates");
    for (int i = 0; i < n;) {
        const int run = run_of(&all[i], n - i, false);
        put_substrate(j, v, &all[i], run);
        i += run;
    }
    mdr_json_end_array(j);
    return MDR_OK;
}

/* -- lines -- */

static mdr_app_lab_substrate substrate_line(const mdr_lab_view *v, const mdr_bench_sample **s,
                                            int n)
{
    const int cloths = s[0]->kind == MDR_BENCH_CLOTH ? 1 : 0;
    const char *dyes = "";
    for (int i = cloths; i < n && dyes != NULL;) {
        const int run = run_of(&s[i], n - i, true);
        dyes = mdr_arena_printf(v->arena, "%s%s%s (%d)", dyes, i > cloths ? ", " : "", s[i]->dye_id,
                                run);
        i += run;
    }
    return (mdr_app_lab_substrate){.substrate = s[0]->substrate,
                                   .cloth = cloths > 0 ? s[0]->sample_id : "",
                                   .dyes = dyes != NULL ? dyes : "",
                                   .n_rungs = n - cloths};
}

static mdr_app_lab_dip dip_line(const mdr_lab_view *v, const mdr_dip *dip)
{
    const mdr_shade *shade = mdr_masters_shade(&v->app->masters, dip->shade_id);
    const char *recipe = mdr_dip_recipe_text(dip->dyes, dip->n_dyes, v->arena);
    mdr_app_lab_dip out = {.dip_id = dip->dip_id,
                           .shade_id = dip->shade_id,
                           .shade = shade != NULL ? shade->name : "",
                           .substrate = dip->substrate,
                           .recipe = recipe != NULL ? recipe : "",
                           .sample_id = dip->sample_id,
                           .state = mdr_dip_state_id((mdr_dip_state)dip->state),
                           .state_words = mdr_dip_state_words((mdr_dip_state)dip->state),
                           .decided_by = dip->decided_by,
                           .remark = dip->remark,
                           .made_utc_ms = dip->made_utc_ms,
                           .round = dip->round,
                           .revision = dip->revision};
    out.has_difference = mdr_lab_view_difference(v, dip, &out.difference);
    out.within = out.has_difference && shade != NULL && out.difference <= shade->tolerance_de;
    return out;
}

static mdr_code dip_lines(const mdr_lab_view *v, mdr_app_lab_lines *out, mdr_err *err)
{
    const size_t room = (size_t)v->bench->n_dips + 1;
    mdr_app_lab_dip *lines = MDR_NEW_N(v->arena, mdr_app_lab_dip, room);
    const mdr_dip **dips = MDR_NEW_N(v->arena, const mdr_dip *, room);
    if (lines == NULL || dips == NULL) {
        return no_memory(err);
    }
    for (int s = 0; s < v->app->masters.n_shades; s++) {
        const int n = mdr_lab_dips_of(v, v->app->masters.shades[s].shade_id, dips);
        for (int i = 0; i < n; i++) {
            lines[out->n_dips++] = dip_line(v, dips[i]);
        }
    }
    out->dips = lines;
    return MDR_OK;
}

mdr_code mdr_app_lab_list(mdr_app *app, mdr_arena *arena, mdr_app_lab_lines *out, mdr_err *err)
{
    mdr_lab_view v;
    mdr_app_lab_lines lines = {0};
    const mdr_bench_sample **all = NULL;
    int n = 0;
    MDR_TRY(mdr_lab_view_open(app, arena, &v, err));
    MDR_TRY(ladders_of(&v, &all, &n, err));
    mdr_app_lab_substrate *substrates = MDR_NEW_N(arena, mdr_app_lab_substrate, (size_t)n + 1);
    if (substrates == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n;) {
        const int run = run_of(&all[i], n - i, false);
        substrates[lines.n_substrates++] = substrate_line(&v, &all[i], run);
        i += run;
    }
    lines.substrates = substrates;
    MDR_TRY(dip_lines(&v, &lines, err));
    *out = lines;
    return MDR_OK;
}
