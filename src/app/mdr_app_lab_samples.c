/* Measured samples out of a file into the mill: all of them or none. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_lab_load.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "file", "no memory for the samples");
}

static void note(mdr_lab_load *l, const mdr_err *fault)
{
    if (l->faults++ == 0) {
        l->first = *fault;
    }
    if (l->found != NULL) {
        mdr_err_list_add(l->found, fault);
    }
}

/* -- which samples -- */

static bool is_first(const mdr_spectra *s, int i)
{
    for (int k = 0; k < i; k++) {
        if (strcmp(s->items[k].name, s->items[i].name) == 0) {
            return false;
        }
    }
    return true;
}

static mdr_bench_as as_named(const char *name)
{
    return (mdr_bench_as){.sample = name,
                          .sample_id = "",
                          .name = "",
                          .dye_id = "",
                          .shade_id = "",
                          .lot_id = "",
                          .dip_id = "",
                          .remark = ""};
}

/* Every sample of the file says by its name what it is. */
static mdr_code take_by_names(mdr_lab_load *l, mdr_err *err)
{
    for (int i = 0; i < l->spectra->n; i++) {
        const mdr_spectra_item *item = &l->spectra->items[i];
        mdr_bench_as as = as_named(item->name);
        size_t len = 0;
        mdr_err e;
        if (!is_first(l->spectra, i)) {
            continue;
        }
        const bool rung = mdr_app_rung_name(item->name, &len, &as.depth_pct_owf);
        mdr_code rc = MDR_OK;
        if (rung || mdr_app_cloth_name(item->name)) {
            as.kind = rung ? MDR_BENCH_RUNG : MDR_BENCH_CLOTH;
            rc = mdr_lab_load_take(l, &as, &e);
        } else {
            rc = MDR_FAIL(&e, MDR_E_PARSE, "", "it is not clear what this sample is");
            mdr_err_within(&e, "%s:%d", l->post->file_name, item->line);
            mdr_err_value(&e, "%s", item->name);
            mdr_err_allowed(&e, "DYE@DEPTH, or cloth");
            mdr_err_remedy(&e, "name it like that, or say what it is in as");
        }
        if (rc == MDR_E_NOMEM) {
            return no_memory(err);
        }
        if (rc != MDR_OK) {
            note(l, &e);
        }
    }
    return MDR_OK;
}

static mdr_code take_listed(mdr_lab_load *l, mdr_err *err)
{
    for (int i = 0; i < l->post->n_as; i++) {
        mdr_err e;
        const mdr_code rc = mdr_lab_load_take(l, &l->post->as[i], &e);
        if (rc == MDR_E_NOMEM) {
            return no_memory(err);
        }
        if (rc != MDR_OK) {
            mdr_err_within(&e, "as[%d]", i);
            note(l, &e);
        }
    }
    return MDR_OK;
}

static mdr_code take_all(mdr_lab_load *l, mdr_err *err)
{
    const size_t room = (size_t)(l->post->has_as ? l->post->n_as : l->spectra->n) + 1;
    l->samples = MDR_NEW_N(l->arena, mdr_bench_sample, room);
    l->dips = MDR_NEW_N(l->arena, const char *, room);
    if (l->samples == NULL || l->dips == NULL) {
        return no_memory(err);
    }
    MDR_TRY(l->post->has_as ? take_listed(l, err) : take_by_names(l, err));
    if (l->faults > 0) {
        if (err != NULL) {
            *err = l->first;
        }
        return l->first.code;
    }
    return MDR_OK;
}

static const mdr_bench_sample *cloth_of(const mdr_lab_load *l, const char *substrate)
{
    for (int i = 0; i < l->n; i++) {
        if (l->samples[i].kind == MDR_BENCH_CLOTH &&
            strcmp(l->samples[i].substrate, substrate) == 0) {
            return &l->samples[i];
        }
    }
    return mdr_bench_cloth_of(l->bench, substrate);
}

/* A ladder without its cloth is of no use, and a slip in the substrate would make a new one. */
static mdr_code no_cloth(const char *substrate, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "substrate",
                                 "the undyed cloth of this substrate was not measured");
    mdr_err_value(err, "%s", substrate);
    mdr_err_remedy(err, "correct it, or add its cloth with the same file or before");
    return rc;
}

/* One sample that was measured otherwise would spoil every question to its substrate. */
static mdr_code other_gloss(const mdr_bench_sample *s, const mdr_bench_sample *cloth, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "specular",
                 s->specular == MDR_SPECULAR_UNKNOWN
                     ? "how the gloss was measured is not given, but for the undyed cloth it is"
                     : "the gloss was measured differently from that of the undyed cloth");
    mdr_err_value(err, "%s", mdr_lab_specular_id(s->specular));
    mdr_err_allowed(err, "%s", mdr_lab_specular_id(cloth->specular));
    mdr_err_remedy(err, s->specular == MDR_SPECULAR_UNKNOWN ? "give specular, when it was"
                                                            : "measure it like the cloth");
    return rc;
}

static mdr_code check_cloths(const mdr_lab_load *l, mdr_err *err)
{
    for (int i = 0; i < l->n; i++) {
        const mdr_bench_sample *s = &l->samples[i];
        if (s->kind == MDR_BENCH_STANDARD || s->substrate[0] == '\0') {
            continue; /* an empty one is told by the mill */
        }
        const mdr_bench_sample *cloth = cloth_of(l, s->substrate);
        if (cloth == NULL) {
            return no_cloth(s->substrate, err);
        }
        if (cloth->specular != s->specular) {
            return other_gloss(s, cloth, err);
        }
    }
    return MDR_OK;
}

/* -- into the mill -- */

static mdr_code attach(const mdr_lab_load *l, int i, mdr_err *err)
{
    mdr_bench now; /* with the samples that were just stored */
    MDR_TRY(mdr_mill_bench(l->app->mill, l->arena, &now, err));
    const mdr_dip *dip = mdr_bench_dip_of(&now, l->dips[i]);
    if (dip == NULL) {
        return MDR_FAIL(err, MDR_E_NOTFOUND, "dip_id", "the dip has been removed in the meantime");
    }
    const mdr_dip_change c = {
        .sample_id = l->samples[i].sample_id, .state = -1, .revision = dip->revision};
    return mdr_mill_dip_change(l->app->mill, &now, dip->dip_id, &c, err);
}

static mdr_code store_one(const mdr_lab_load *l, int i, mdr_err *err)
{
    mdr_code rc = mdr_mill_sample_put(l->app->mill, &l->samples[i], err);
    if (rc == MDR_OK && l->dips[i][0] != '\0') {
        rc = attach(l, i, err);
    }
    if (rc != MDR_OK && rc != MDR_E_IO && rc != MDR_E_NOMEM) {
        if (l->post->has_as) {
            mdr_err_within(err, "as[%d]", i);
        } else {
            mdr_err_within(err, "%s", l->samples[i].name);
        }
    }
    return rc;
}

static mdr_code store(const mdr_lab_load *l, mdr_err *err)
{
    for (int i = 0; i < l->n; i++) {
        MDR_TRY(store_one(l, i, err));
    }
    return MDR_OK;
}

/* -- the answer -- */

static bool was_taken(const mdr_lab_load *l, const char *name)
{
    for (int i = 0; l->post->has_as && i < l->post->n_as; i++) {
        if (strcmp(l->post->as[i].sample, name) == 0) {
            return true;
        }
    }
    return !l->post->has_as;
}

static mdr_code answer(const mdr_lab_load *l, mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 1 << 14 };
    mdr_lab_view v;
    MDR_TRY(mdr_lab_view_open(l->app, l->arena, &v, err));
    mdr_json j = mdr_json_make(l->arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "samples");
    for (int i = 0; i < l->n; i++) {
        const mdr_bench_sample *s = mdr_bench_sample_of(v.bench, l->samples[i].sample_id);
        if (s != NULL) {
            mdr_lab_put_sample(&j, &v, s);
        }
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "left_out");
    for (int i = 0; i < l->spectra->n; i++) {
        if (is_first(l->spectra, i) && !was_taken(l, l->spectra->items[i].name)) {
            mdr_json_text(&j, NULL, l->spectra->items[i].name);
        }
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return mdr_lab_done(&j, out, err);
}

static mdr_code read_file(mdr_lab_load *l, mdr_err *err)
{
    const mdr_bench_post *p = l->post;
    const mdr_spectra_file file = {p->file_name, p->text, strlen(p->text)};
    const mdr_spectra_options options = {.scale = (mdr_spectra_scale)p->scale, .repeats = true};
    return mdr_spectra_read(&file, &options, l->arena, (mdr_spectra_report){l->found, NULL},
                            &l->spectra, err);
}

static mdr_code gather(mdr_lab_load *l, mdr_err *err)
{
    MDR_TRY(read_file(l, err));
    MDR_TRY(mdr_app_bench(l->app, &l->bench, err));
    MDR_TRY(take_all(l, err));
    return check_cloths(l, err);
}

mdr_code mdr_app_lab_samples(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_bench_post post;
    mdr_lab_load *l = MDR_NEW(arena, mdr_lab_load);
    if (l == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_wire_bench_post_read(ask->body.bytes, ask->body.len, arena, found, &post, err));
    *l = (mdr_lab_load){.app = app, .post = &post, .arena = arena, .found = found};
    MDR_TRY(mdr_lab_day(post.measured, ask->today, "measured", &l->day_utc_ms, err));
    MDR_TRY(gather(l, err));
    MDR_TRY(mdr_mill_begin(app->mill, err));
    mdr_code rc = store(l, err);
    rc = rc == MDR_OK ? answer(l, out, err) : rc;
    mdr_lab_say(ask, mdr_arena_printf(arena, "%s: %d sample%s stored", post.file_name, l->n,
                                      l->n == 1 ? "" : "s"));
    return mdr_lab_settle(app, rc, err);
}
