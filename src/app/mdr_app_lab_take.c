/* What a sample of a file is, and its readings. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_lab_load.h"
#include "app/mdr_app_spectra.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "file", "no memory for the samples");
}

/* -- readings -- */

static bool same_grid(const mdr_spectrum *a, const mdr_spectrum *b)
{
    return a->n == b->n && a->start_nm >= b->start_nm && a->start_nm <= b->start_nm &&
           a->step_nm >= b->step_nm && a->step_nm <= b->step_nm;
}

static mdr_code unlike(const mdr_lab_load *l, const char *name, const char *msg, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, l->post->has_as ? "sample" : l->post->file_name, "%s", msg);
    mdr_err_value(err, "%s", name);
    mdr_err_remedy(err, "give each reading its own name, and say which one is meant");
    return rc;
}

/* Mean of all readings of that name. */
static mdr_code readings_of(const mdr_lab_load *l, const char *name, mdr_bench_sample *s,
                            mdr_err *err)
{
    mdr_spectrum *mean = MDR_NEW(l->arena, mdr_spectrum);
    int n = 0;
    if (mean == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < l->spectra->n; i++) {
        const mdr_spectra_item *item = &l->spectra->items[i];
        if (strcmp(item->name, name) != 0 || item->spectrum == NULL) {
            continue;
        }
        if (n == 0) {
            *mean = *item->spectrum;
            s->specular = (int)item->specular;
        } else if (!same_grid(mean, item->spectrum)) {
            return unlike(l, name, "readings of one name have different wavelengths", err);
        } else if (s->specular != (int)item->specular) {
            return unlike(l, name, "readings of one name treat the gloss differently", err);
        }
        for (int k = 0; k < mean->n && n > 0; k++) {
            mean->v[k] += item->spectrum->v[k];
        }
        n++;
    }
    for (int k = 0; k < mean->n && n > 1; k++) {
        mean->v[k] /= n;
    }
    if (n > 0) {
        s->spectrum = mean;
        return MDR_OK;
    }
    const mdr_spectra_item *item = NULL; /* says that there is none, with the nearest name */
    mdr_code rc = mdr_app_spectra_find(l->spectra, "", name, &item, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "%s", l->post->has_as ? "sample" : l->post->file_name);
        return rc;
    }
    rc = MDR_FAIL(err, MDR_E_NOTFOUND, l->post->has_as ? "sample" : l->post->file_name,
                  "the sample has a colour only, and no spectrum");
    mdr_err_value(err, "%s", name);
    return rc;
}

static mdr_code set_specular(const mdr_lab_load *l, mdr_bench_sample *s, mdr_err *err)
{
    if (l->post->specular == MDR_SPECULAR_UNKNOWN || l->post->specular == s->specular) {
        return MDR_OK;
    }
    if (s->specular == MDR_SPECULAR_UNKNOWN) {
        s->specular = l->post->specular;
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "specular",
                                 "the file says that the gloss was measured differently");
    mdr_err_value(err, "%s", mdr_lab_specular_id(l->post->specular));
    mdr_err_allowed(err, "%s", mdr_lab_specular_id(s->specular));
    mdr_err_remedy(err, "leave specular out");
    return rc;
}

/* -- what a sample is -- */

/* An id may hold fewer characters than a name. */
static const char *id_of(const mdr_lab_load *l, const char *text)
{
    static const char GOOD[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";
    char *id = mdr_arena_text(l->arena, text);
    for (char *c = id; c != NULL && *c != '\0'; c++) {
        if (strchr(GOOD, *c) == NULL) {
            *c = '-';
        }
    }
    return id;
}

static const char *usual_id(const mdr_lab_load *l, const mdr_bench_sample *s, const char *dip_id)
{
    const char *text = NULL;
    switch ((mdr_bench_kind)s->kind) {
    case MDR_BENCH_CLOTH:
        text = mdr_arena_printf(l->arena, "%s.cloth", s->substrate);
        break;
    case MDR_BENCH_RUNG:
        text = mdr_arena_printf(l->arena, "%s.%s.%g", s->substrate, s->dye_id, s->depth_pct_owf);
        break;
    case MDR_BENCH_STANDARD:
        text = mdr_arena_printf(l->arena, "%s.standard", s->shade_id);
        break;
    case MDR_BENCH_DIP:
        text = mdr_arena_printf(l->arena, "%s.sample", dip_id[0] != '\0' ? dip_id : s->name);
        break;
    case MDR_BENCH_BULK:
        text = mdr_arena_printf(l->arena, "%s.bulk", s->lot_id);
        break;
    }
    return text != NULL ? id_of(l, text) : NULL;
}

/* Dye and depth as given, else as the name says. */
static mdr_code set_rung(const mdr_lab_load *l, const mdr_bench_as *as, mdr_bench_sample *s,
                         mdr_err *err)
{
    size_t len = 0;
    double depth_pct_owf = 0.0;
    if (!mdr_app_rung_name(as->sample, &len, &depth_pct_owf)) {
        return MDR_OK; /* what is missing then is told by the mill */
    }
    s->dye_id = s->dye_id[0] != '\0' ? s->dye_id : mdr_arena_text_n(l->arena, as->sample, len);
    s->depth_pct_owf = s->depth_pct_owf > 0.0 ? s->depth_pct_owf : depth_pct_owf;
    return s->dye_id != NULL ? MDR_OK : no_memory(err);
}

static mdr_code of_dip(const mdr_lab_load *l, const mdr_bench_as *as, mdr_bench_sample *s,
                       mdr_err *err)
{
    const mdr_dip *dip = mdr_bench_dip_of(l->bench, as->dip_id);
    if (as->dip_id[0] == '\0') {
        return MDR_OK;
    }
    if (as->kind != MDR_BENCH_DIP) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "dip_id", "only a sample of kind dip belongs to a dip");
        mdr_err_remedy(err, "leave dip_id out, or correct kind");
        return rc;
    }
    if (dip == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "dip_id", "there is no such dip");
        mdr_err_value(err, "%s", as->dip_id);
        mdr_err_remedy(err, "make the dip first, or leave dip_id out");
        return rc;
    }
    s->shade_id = s->shade_id[0] != '\0' ? s->shade_id : dip->shade_id;
    s->substrate = dip->substrate;
    return MDR_OK;
}

/* The shade of a cutting is that of its lot. */
static mdr_code of_lot(mdr_lab_load *l, mdr_bench_sample *s, mdr_err *err)
{
    mdr_lot_full full;
    if (s->kind != MDR_BENCH_BULK || s->lot_id[0] == '\0' || s->shade_id[0] != '\0') {
        return MDR_OK;
    }
    const mdr_code rc =
        mdr_mill_lot(l->app->mill, &l->app->masters, s->lot_id, l->arena, &full, err);
    if (rc != MDR_OK) {
        if (err != NULL) {
            (void)snprintf(err->place, sizeof err->place, "lot_id");
        }
        return rc;
    }
    s->shade_id = full.lot.shade->shade_id;
    return MDR_OK;
}

/* What a decision rests on stays; and a sample stays what it is. */
static const char *why_not_replaced(const mdr_lab_load *l, const mdr_bench_sample *stored,
                                    const mdr_bench_sample *s)
{
    if (!l->post->replace) {
        return "there is a sample of this number already";
    }
    if (stored->kind != s->kind || strcmp(stored->substrate, s->substrate) != 0 ||
        strcmp(stored->dye_id, s->dye_id) != 0 || strcmp(stored->shade_id, s->shade_id) != 0) {
        return "the sample of this number is another one";
    }
    for (int i = 0; i < l->bench->n_dips; i++) {
        const mdr_dip *d = &l->bench->dips[i];
        const bool decided = d->state == MDR_DIP_APPROVED || d->state == MDR_DIP_REJECTED;
        if (decided && strcmp(d->sample_id, s->sample_id) == 0) {
            return "the sample belongs to a dip that is decided";
        }
    }
    return NULL;
}

static mdr_code check_number(const mdr_lab_load *l, const mdr_bench_sample *s, mdr_err *err)
{
    const mdr_bench_sample *stored = mdr_bench_sample_of(l->bench, s->sample_id);
    const char *why = stored != NULL ? why_not_replaced(l, stored, s) : NULL;
    for (int i = 0; i < l->n; i++) {
        if (strcmp(l->samples[i].sample_id, s->sample_id) == 0) {
            why = "two samples of the file get the same number";
        }
    }
    if (why == NULL) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "sample_id", "%s", why);
    mdr_err_value(err, "%s", s->sample_id);
    mdr_err_remedy(err, l->post->replace || stored == NULL
                            ? "give it another sample_id"
                            : "give it another sample_id, or replace what is there");
    return rc;
}

/* What the kind of the sample asks for beside what was said. */
static mdr_code complete(mdr_lab_load *l, const mdr_bench_as *as, mdr_bench_sample *s, mdr_err *err)
{
    if (as->kind == MDR_BENCH_RUNG) {
        MDR_TRY(set_rung(l, as, s, err));
    }
    MDR_TRY(of_dip(l, as, s, err));
    MDR_TRY(of_lot(l, s, err));
    s->sample_id = s->sample_id[0] != '\0' ? s->sample_id : usual_id(l, s, as->dip_id);
    return s->sample_id != NULL ? MDR_OK : no_memory(err);
}

mdr_code mdr_lab_load_take(mdr_lab_load *l, const mdr_bench_as *as, mdr_err *err)
{
    mdr_bench_sample s = {.sample_id = as->sample_id,
                          .name = as->name[0] != '\0' ? as->name : as->sample,
                          .substrate = as->kind == MDR_BENCH_STANDARD ? "" : l->post->substrate,
                          .dye_id = as->dye_id,
                          .shade_id = as->shade_id,
                          .lot_id = as->lot_id,
                          .remark = as->remark,
                          .depth_pct_owf = as->depth_pct_owf,
                          .measured_utc_ms = l->day_utc_ms,
                          .kind = as->kind};
    MDR_TRY(readings_of(l, as->sample, &s, err));
    MDR_TRY(set_specular(l, &s, err));
    MDR_TRY(complete(l, as, &s, err));
    MDR_TRY(check_number(l, &s, err));
    l->dips[l->n] = as->dip_id;
    l->samples[l->n++] = s;
    return MDR_OK;
}
