/* The sample of a shade check: where it comes from, and against what it is measured. */
#include "app/mdr_app_shade.h"

#include <math.h>
#include <string.h>

#include "app/mdr_app_spectra.h"
#include "wire/mdr_spectra.h"

/* A sample on its way to the record. */
typedef struct brought {
    const char *sample_id, *name, *substrate;
    const mdr_spectrum *spectrum;
    mdr_specular specular;
} brought;

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "sample", "no memory for the sample");
}

/* -- out of a file -- */

static mdr_code colour_only(const char *name, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "sample.file", "the sample has a colour only, and no curve");
    mdr_err_value(err, "%s", name);
    mdr_err_remedy(err, "send its reflectances, or enter the difference as a number");
    return rc;
}

/* Mean of the readings of one name; they must be alike. */
static mdr_code mean_of(const mdr_spectra *s, const mdr_spectra_item *first, mdr_arena *arena,
                        const mdr_spectrum **out, mdr_err *err)
{
    mdr_spectrum *mean = MDR_NEW(arena, mdr_spectrum);
    int n = 1;
    if (mean == NULL) {
        return no_memory(err);
    }
    *mean = *first->spectrum;
    for (int i = 0; i < s->n; i++) {
        const mdr_spectra_item *one = &s->items[i];
        if (one == first || one->spectrum == NULL || strcmp(one->name, first->name) != 0) {
            continue;
        }
        if (one->spectrum->n != mean->n || one->specular != first->specular) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_CONFLICT, "sample.file",
                         "readings of one name differ in wavelengths or in the gloss");
            mdr_err_value(err, "%s", first->name);
            mdr_err_remedy(err, "give each reading its own name, and say which one is meant");
            return rc;
        }
        for (int k = 0; k < mean->n; k++) {
            mean->v[k] += one->spectrum->v[k];
        }
        n++;
    }
    for (int k = 0; k < mean->n; k++) {
        mean->v[k] /= n;
    }
    *out = mean;
    return MDR_OK;
}

/* The first reading of the sample that is meant: named, or all of the file bear one name. */
static mdr_code find(const mdr_spectra *s, const mdr_entry_sample *asked,
                     const mdr_spectra_item **out, mdr_err *err)
{
    const char *name = asked->sample;
    for (int i = 0; i < s->n; i++) {
        if (strcmp(s->items[i].name, name[0] != '\0' ? name : s->items[0].name) != 0) {
            continue;
        }
        if (name[0] == '\0' && strcmp(s->items[s->n - 1].name, s->items[0].name) != 0) {
            break;
        }
        *out = &s->items[i];
        return MDR_OK;
    }
    const mdr_code rc =
        mdr_app_spectra_find(s, asked->file.name, name[0] != '\0' ? name : NULL, out, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "sample.sample");
    }
    return rc;
}

static mdr_code out_of_file(const mdr_entry_sample *asked, mdr_arena *arena, mdr_err_list *found,
                            brought *out, mdr_err *err)
{
    const mdr_spectra *s = NULL;
    const mdr_spectra_item *item = NULL;
    const char *name = asked->file.name[0] != '\0' ? asked->file.name : "sample.file";
    const mdr_spectra_file file = {name, asked->file.text, strlen(asked->file.text)};
    const mdr_spectra_options options = {.scale = (mdr_spectra_scale)asked->scale, .repeats = true};
    MDR_TRY(mdr_spectra_read(&file, &options, arena, (mdr_spectra_report){found, NULL}, &s, err));
    MDR_TRY(find(s, asked, &item, err));
    if (item->spectrum == NULL) {
        return colour_only(item->name, err);
    }
    *out = (brought){.sample_id = "",
                     .name = item->name,
                     .substrate = asked->substrate,
                     .specular = item->specular != MDR_SPECULAR_UNKNOWN
                                     ? item->specular
                                     : (mdr_specular)asked->specular};
    if (asked->specular != MDR_SPECULAR_UNKNOWN && (int)out->specular != asked->specular) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "sample.specular",
                                     "the file says that the gloss was measured differently");
        mdr_err_value(err, "%s", mdr_app_specular_id((mdr_specular)asked->specular));
        mdr_err_remedy(err, "leave specular out");
        return rc;
    }
    return mean_of(s, item, arena, &out->spectrum, err);
}

/* -- out of the laboratory -- */

static mdr_code out_of_laboratory(const mdr_bench *bench, const mdr_batch *b,
                                  const mdr_entry_sample *asked, brought *out, mdr_err *err)
{
    const mdr_bench_sample *s = mdr_bench_sample_of(bench, asked->sample_id);
    if (s == NULL || s->spectrum == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "sample.sample_id",
                                     s == NULL ? "the laboratory has no such sample"
                                               : "the sample has no readings");
        mdr_err_value(err, "%s", asked->sample_id);
        mdr_err_remedy(err, "measure a cutting of the lot, or send its curve");
        return rc;
    }
    if (s->kind != MDR_BENCH_BULK || strcmp(s->lot_id, b->control->lot_id) != 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "sample.sample_id",
                                     "this sample is not a cutting of this lot");
        mdr_err_value(err, "%s", asked->sample_id);
        mdr_err_allowed(err, "samples of kind bulk of lot %s", b->control->lot_id);
        mdr_err_remedy(err, "choose one of the lot, or send its curve");
        return rc;
    }
    *out = (brought){.sample_id = s->sample_id,
                     .name = s->name,
                     .substrate = s->substrate,
                     .spectrum = s->spectrum,
                     .specular = (mdr_specular)s->specular};
    return MDR_OK;
}

/* -- against the standard -- */

static mdr_code no_standard(const char *shade_id, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "sample", "the standard of the shade was not measured");
    mdr_err_value(err, "%s", shade_id);
    mdr_err_remedy(err,
                   "add its measurement to the laboratory, or enter the difference as a number");
    return rc;
}

static mdr_code other_gloss(mdr_specular sample, mdr_specular standard, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "sample.specular",
                 sample == MDR_SPECULAR_UNKNOWN
                     ? "how the gloss was measured is not given, but for the "
                       "standard it is"
                     : "the gloss was measured differently from that of the standard");
    mdr_err_value(err, "%s", mdr_app_specular_id(sample));
    mdr_err_allowed(err, "%s", mdr_app_specular_id(standard));
    mdr_err_remedy(err, sample == MDR_SPECULAR_UNKNOWN ? "give specular, when it was"
                                                       : "measure it like the standard");
    return rc;
}

static mdr_code too_far(double de, mdr_err *err)
{
    const double most = mdr_check_most(MDR_CHECK_SHADE);
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "sample",
                                 "so far from the standard that it can hardly be this lot's");
    mdr_err_value(err, "%.2f", de);
    mdr_err_allowed(err, "0 to %g", most);
    mdr_err_remedy(err, "look which sample was measured, on which scale, and measure it again");
    return rc;
}

mdr_code mdr_app_shade_measure(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                               mdr_err_list *found, mdr_err *err)
{
    const mdr_bench *bench = NULL;
    brought s = {0};
    MDR_TRY(mdr_app_bench(app, &bench, err));
    const mdr_bench_sample *standard = mdr_bench_standard_of(bench, b->control->shade_id);
    if (standard == NULL || standard->spectrum == NULL) {
        return no_standard(b->control->shade_id, err);
    }
    MDR_TRY(in->sample.file.text != NULL ? out_of_file(&in->sample, arena, found, &s, err)
                                         : out_of_laboratory(bench, b, &in->sample, &s, err));
    if ((int)s.specular != standard->specular) {
        return other_gloss(s.specular, (mdr_specular)standard->specular, err);
    }
    mdr_measured *m = MDR_NEW(arena, mdr_measured);
    if (m == NULL) {
        return no_memory(err);
    }
    *m = (mdr_measured){.sample_id = s.sample_id,
                        .name = s.name,
                        .substrate = s.substrate,
                        .standard_id = standard->sample_id,
                        .sample = s.spectrum,
                        .standard = standard->spectrum,
                        .specular = s.specular};
    const double de = mdr_measured_see(m).difference.de;
    if (!(de <= mdr_check_most(MDR_CHECK_SHADE))) {
        return too_far(de, err);
    }
    in->event.measured = m;
    in->event.value = de;
    return MDR_OK;
}

static bool same_number(double a, double b)
{
    static const double KEPT = 1e-12; /* the record keeps 15 digits */
    return fabs(a - b) <= KEPT * fmax(1.0, fabs(a));
}

static bool same_curve(const mdr_spectrum *a, const mdr_spectrum *b)
{
    bool same = a->n == b->n && same_number(a->start_nm, b->start_nm) &&
                same_number(a->step_nm, b->step_nm);
    for (int i = 0; same && i < a->n; i++) {
        same = same_number(a->v[i], b->v[i]);
    }
    return same;
}

bool mdr_app_shade_same(const mdr_entry *in, const mdr_measured *stored, mdr_arena *arena)
{
    brought s = {0};
    mdr_err e;
    if (in->sample.file.text == NULL) {
        return strcmp(in->sample.sample_id, stored->sample_id) == 0;
    }
    return out_of_file(&in->sample, arena, NULL, &s, &e) == MDR_OK && s.spectrum != NULL &&
           same_curve(s.spectrum, stored->sample);
}
