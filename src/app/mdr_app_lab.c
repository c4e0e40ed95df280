/* The laboratory as it is shown: samples, dips, colours, differences. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_lab_in.h"

mdr_code mdr_lab_view_open(mdr_app *app, mdr_arena *arena, mdr_lab_view *out, mdr_err *err)
{
    mdr_lab_view v = {.app = app,
                      .arena = arena,
                      .light = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10),
                      .formula = mdr_difference_usual(MDR_DE_CMC)};
    const mdr_lots_ask open = {.most = 0}; /* a recipe is chosen for what is not dyed yet */
    mdr_lots_page page;
    MDR_TRY(mdr_app_bench(app, &v.bench, err));
    MDR_TRY(mdr_mill_lots_some(app->mill, &app->masters, &open, arena, &page, err));
    v.lots = page.lines;
    v.n_lots = page.n;
    *out = v;
    return MDR_OK;
}

/* -- colours -- */

bool mdr_lab_view_colour(const mdr_lab_view *v, const mdr_bench_sample *s, mdr_lab *out)
{
    if (s == NULL || s->spectrum == NULL) {
        return false;
    }
    const mdr_curve curve = mdr_curve_of_spectrum(s->spectrum, NULL);
    *out = mdr_lab_of_curve(&curve, &v->light);
    return true;
}

bool mdr_lab_view_difference(const mdr_lab_view *v, const mdr_dip *dip, double *out)
{
    const mdr_bench_sample *standard = mdr_bench_standard_of(v->bench, dip->shade_id);
    const mdr_bench_sample *sample = mdr_bench_sample_of(v->bench, dip->sample_id);
    mdr_lab a, b;
    if (!mdr_lab_view_colour(v, standard, &a) || !mdr_lab_view_colour(v, sample, &b) ||
        standard->specular != sample->specular) {
        return false;
    }
    *out = mdr_difference_of(a, b, &v->formula).de;
    return true;
}

static void put_colour(mdr_json *j, const mdr_lab_view *v, const mdr_bench_sample *s)
{
    mdr_lab of;
    if (!mdr_lab_view_colour(v, s, &of)) {
        mdr_json_null(j, "colour");
        return;
    }
    mdr_json_object(j, "colour");
    mdr_dyelab_put_colour(j, &of);
    mdr_json_end_object(j);
}

/* -- samples -- */

const char *mdr_lab_specular_id(int specular)
{
#define ID_OF(name, id, words) id,
    static const char *const IDS[] = {MDR_BENCH_SPECULARS(ID_OF)};
#undef ID_OF
    return IDS[specular];
}

void mdr_lab_put_sample(mdr_json *j, const mdr_lab_view *v, const mdr_bench_sample *s)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "sample_id", s->sample_id);
    mdr_json_text(j, "kind", mdr_bench_kind_id((mdr_bench_kind)s->kind));
    mdr_json_text(j, "name", s->name);
    mdr_json_text(j, "substrate", s->substrate);
    mdr_json_text(j, "dye_id", s->dye_id);
    if (s->kind == MDR_BENCH_RUNG) {
        mdr_json_number(j, "depth_pct_owf", s->depth_pct_owf);
    } else {
        mdr_json_null(j, "depth_pct_owf");
    }
    mdr_json_text(j, "shade_id", s->shade_id);
    mdr_json_text(j, "lot_id", s->lot_id);
    mdr_json_date(j, "measured", s->measured_utc_ms);
    mdr_json_text(j, "specular", mdr_lab_specular_id(s->specular));
    mdr_json_text(j, "remark", s->remark);
    put_colour(j, v, s);
    mdr_json_end_object(j);
}

/* -- dips -- */

static void put_dyes(mdr_json *j, const mdr_lab_view *v, const mdr_dip_dye *dyes, int n)
{
    mdr_json_array(j, "dyes");
    for (int i = 0; i < n; i++) {
        const mdr_material *dye = mdr_masters_material(&v->app->masters, dyes[i].dye_id);
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", dyes[i].dye_id);
        mdr_json_text(j, "name", dye != NULL ? dye->name : "");
        mdr_json_number(j, "depth_pct_owf", dyes[i].depth_pct_owf);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_states(mdr_json *j, const mdr_dip *dip)
{
    const unsigned next = mdr_dip_state_next((mdr_dip_state)dip->state);
    mdr_json_text(j, "state", mdr_dip_state_id((mdr_dip_state)dip->state));
    mdr_json_text(j, "state_words", mdr_dip_state_words((mdr_dip_state)dip->state));
    mdr_json_array(j, "may");
    for (int s = MDR_DIP_MADE; s <= MDR_DIP_REJECTED; s++) {
        if ((next >> (unsigned)s & 1u) != 0) {
            mdr_json_text(j, NULL, mdr_dip_state_id((mdr_dip_state)s));
        }
    }
    mdr_json_end_array(j);
}

static double tolerance_of(const mdr_lab_view *v, const mdr_dip *dip)
{
    const mdr_shade *shade = mdr_masters_shade(&v->app->masters, dip->shade_id);
    return shade != NULL ? shade->tolerance_de : 0.0;
}

static void put_judged(mdr_json *j, const mdr_lab_view *v, const mdr_dip *dip)
{
    double difference = 0.0;
    put_colour(j, v, mdr_bench_sample_of(v->bench, dip->sample_id));
    if (mdr_lab_view_difference(v, dip, &difference)) {
        mdr_json_number(j, "difference", difference);
        mdr_json_bool(j, "within", difference <= tolerance_of(v, dip));
    } else {
        mdr_json_null(j, "difference");
        mdr_json_null(j, "within");
    }
}

void mdr_lab_put_dip(mdr_json *j, const char *key, const mdr_lab_view *v, const mdr_dip *dip)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "dip_id", dip->dip_id);
    mdr_json_text(j, "shade_id", dip->shade_id);
    mdr_json_int(j, "round", dip->round);
    mdr_json_date(j, "made", dip->made_utc_ms);
    put_states(j, dip);
    mdr_json_text(j, "substrate", dip->substrate);
    mdr_json_text(j, "recipe", mdr_dip_recipe_text(dip->dyes, dip->n_dyes, v->arena));
    put_dyes(j, v, dip->dyes, dip->n_dyes);
    mdr_json_text(j, "sample_id", dip->sample_id[0] != '\0' ? dip->sample_id : NULL);
    mdr_json_text(j, "decided_by", dip->decided_by);
    if (dip->decided_utc_ms != 0) {
        mdr_json_date(j, "decided", dip->decided_utc_ms);
    } else {
        mdr_json_null(j, "decided");
    }
    mdr_json_text(j, "remark", dip->remark);
    mdr_json_int(j, "revision", dip->revision);
    put_judged(j, v, dip);
    mdr_json_end_object(j);
}

static int by_round(const void *a, const void *b)
{
    const mdr_dip *const *x = a, *const *y = b;
    return (*x)->round != (*y)->round ? (*x)->round - (*y)->round
                                      : strcmp((*x)->dip_id, (*y)->dip_id);
}

int mdr_lab_dips_of(const mdr_lab_view *v, const char *shade_id, const mdr_dip **out)
{
    int n = 0;
    for (int i = 0; i < v->bench->n_dips; i++) {
        if (strcmp(v->bench->dips[i].shade_id, shade_id) == 0) {
            out[n++] = &v->bench->dips[i];
        }
    }
    if (n > 1) {
        qsort((void *)out, (size_t)n, sizeof(const mdr_dip *), by_round);
    }
    return n;
}

/* -- shades -- */

void mdr_lab_put_lots(mdr_json *j, const char *key, const mdr_lab_view *v, const char *shade_id,
                      mdr_lab_lots which)
{
    mdr_json_array(j, key);
    for (int i = 0; i < v->n_lots; i++) {
        const mdr_lot *lot = &v->lots[i].full.lot;
        const bool wanted = which == MDR_LAB_LOTS_RUNNING ? lot->stage == MDR_LOT_DYEING
                                                          : lot->stage < MDR_LOT_DYEING;
        if (wanted && strcmp(lot->shade->shade_id, shade_id) == 0) {
            mdr_json_text(j, NULL, lot->lot_id);
        }
    }
    mdr_json_end_array(j);
}

/* Which factors are in the depths; null: they are the laboratory's. */
static void put_bulk(mdr_json *j, const mdr_shade *shade)
{
    if (shade->bulk == NULL) {
        mdr_json_null(j, "bulk");
        return;
    }
    mdr_json_object(j, "bulk");
    mdr_json_text(j, "machine_id", shade->bulk->machine_id);
    mdr_json_array(j, "dyes");
    for (int i = 0; i < shade->n_dyes && i < MDR_RECIPE_LINES_MAX; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", shade->dyes[i].dye->material_id);
        mdr_json_number(j, "multiply", shade->bulk->factor[i]);
        mdr_json_text(j, "words", shade->bulk->words[i]);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

void mdr_lab_put_recipe(mdr_json *j, const mdr_lab_view *v, const mdr_shade *shade)
{
    mdr_dip_dye dyes[MDR_DIP_DYES_MAX];
    int n = 0;
    for (; n < shade->n_dyes && n < MDR_DIP_DYES_MAX; n++) {
        dyes[n] = (mdr_dip_dye){.dye_id = shade->dyes[n].dye->material_id,
                                .depth_pct_owf = shade->dyes[n].depth_pct_owf};
    }
    mdr_json_text(j, "recipe", mdr_shade_recipe_text(shade, v->arena));
    put_dyes(j, v, dyes, n);
    put_bulk(j, shade);
}

static void put_shade(mdr_json *j, const mdr_lab_view *v, const mdr_shade *shade,
                      const mdr_dip **dips)
{
    const mdr_bench_sample *standard = mdr_bench_standard_of(v->bench, shade->shade_id);
    const mdr_lab of = {shade->lab_l, shade->lab_a, shade->lab_b};
    mdr_json_object(j, NULL);
    mdr_json_text(j, "shade_id", shade->shade_id);
    mdr_json_text(j, "name", shade->name);
    mdr_json_text(j, "dye_class", mdr_dye_class_id((mdr_dye_class)shade->dye_class));
    mdr_json_number(j, "tolerance_de", shade->tolerance_de);
    mdr_dyelab_put_colour(j, &of);
    mdr_json_text(j, "standard", standard != NULL ? standard->sample_id : NULL);
    mdr_lab_put_recipe(j, v, shade);
    mdr_lab_put_lots(j, "lots_running", v, shade->shade_id, MDR_LAB_LOTS_RUNNING);
    mdr_json_array(j, "dips");
    const int n = mdr_lab_dips_of(v, shade->shade_id, dips);
    for (int i = 0; i < n; i++) {
        mdr_lab_put_dip(j, NULL, v, dips[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

mdr_code mdr_lab_settle(mdr_app *app, mdr_code rc, mdr_err *err)
{
    if (rc == MDR_OK) {
        rc = mdr_mill_commit(app->mill, err);
    } else {
        mdr_mill_rollback(app->mill);
    }
    app->loaded = app->loaded && rc == MDR_OK;
    return rc;
}

void mdr_lab_say(const mdr_app_lab_ask *ask, const char *text)
{
    if (ask->said != NULL) {
        *ask->said = text != NULL ? text : "";
    }
}

mdr_code mdr_lab_done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

mdr_code mdr_lab_day(const char *text, const char *today, const char *place, int64_t *out,
                     mdr_err *err)
{
    if (mdr_bench_day(text[0] != '\0' ? text : today, out)) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, place, "not a date");
    mdr_err_value(err, "%s", text);
    mdr_err_allowed(err, "2000-01-01 to 2099-12-31");
    mdr_err_remedy(err, "write year-month-day: 2026-12-15");
    return rc;
}

mdr_code mdr_app_lab_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 1 << 15 };
    mdr_lab_view v;
    MDR_TRY(mdr_lab_view_open(app, arena, &v, err));
    const mdr_dip **dips = MDR_NEW_N(arena, const mdr_dip *, (size_t)v.bench->n_dips + 1);
    if (dips == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
    }
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    MDR_TRY(mdr_lab_put_substrates(&j, &v, err));
    mdr_json_array(&j, "samples");
    for (int i = 0; i < v.bench->n_samples; i++) {
        mdr_lab_put_sample(&j, &v, &v.bench->samples[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "shades");
    for (int i = 0; i < app->masters.n_shades; i++) {
        put_shade(&j, &v, &app->masters.shades[i], dips);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return mdr_lab_done(&j, out, err);
}
