/* The mill's own knit constants from washed samples, with their uncertainty. */
#include "app/mdr_app_fabric_fit.h"

#include "core/knit/mdr_knit_fit.h"

static mdr_code samples_of(const mdr_fabric_ask *q, mdr_knit_sample *out, mdr_err *err)
{
    for (int i = 0; i < q->sample_loop_cm.n; i++) {
        const double ne = q->sample_ne.n > 0 ? q->sample_ne.values[i] : q->ne;
        mdr_tex yarn;
        mdr_code rc = q->has_tex ? mdr_yarn_to_tex(q->tex, MDR_YARN_TEX, &yarn, err)
                                 : mdr_yarn_to_tex(ne, MDR_YARN_NE, &yarn, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "sample_ne[%d]", i);
            return rc;
        }
        out[i] = (mdr_knit_sample){.loop_cm = q->sample_loop_cm.values[i],
                                   .yarn = yarn,
                                   .courses_per_cm = q->sample_courses_per_cm.values[i],
                                   .wales_per_cm = q->sample_wales_per_cm.values[i],
                                   .gsm = q->sample_gsm.values[i]};
    }
    return MDR_OK;
}

static mdr_code put_stat(mdr_desk *d, const char *key, const char *label, const char *unit,
                         const mdr_knit_stat *s, mdr_err *err)
{
    mdr_desk_group(d, key, label);
    mdr_desk_number(d, "mean", "mean", unit, s->mean);
    mdr_desk_number(d, "low", "95 % from", unit, s->low);
    mdr_desk_number(d, "high", "to", unit, s->high);
    mdr_desk_number(d, "sd", "standard deviation of the samples", unit, s->sd);
    mdr_desk_number(d, "cv_pct", "the same, of the mean", "%", s->cv_pct);
    mdr_desk_group(d, NULL, NULL);
    if (s->outlier < 0) {
        return MDR_OK;
    }
    const char *note = mdr_arena_printf(
        d->arena, "Sample %d does not seem to belong, by its %s: look at it again.", s->outlier + 1,
        label);
    if (note == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for a note");
    }
    mdr_desk_note(d, note);
    return MDR_OK;
}

mdr_code mdr_fabric_fit(mdr_desk *d, const mdr_fabric_ask *q, mdr_err *err)
{
    const mdr_knit_constants table =
        mdr_knit_constants_of((mdr_construction)q->construction, MDR_RELAX_FULL);
    mdr_knit_sample samples[MDR_KNIT_SAMPLES_MAX];
    mdr_knit_fit fit;
    MDR_TRY(samples_of(q, samples, err));
    MDR_TRY(mdr_knit_fit_samples(samples, q->sample_loop_cm.n, table.beds, &fit, err));
    mdr_desk_number(d, "samples", "washed samples", "", fit.n);
    MDR_TRY(put_stat(d, "kc", "courses per cm x cm of loop", "", &fit.kc_cm, err));
    MDR_TRY(put_stat(d, "kw", "wales per cm x cm of loop", "", &fit.kw_cm, err));
    MDR_TRY(put_stat(d, "ks", "kc x kw x faces x mass factor", "", &fit.ks_eff, err));
    MDR_TRY(
        put_stat(d, "gsm_factor", "weighed over what the counts say", "", &fit.gsm_factor, err));
    mdr_desk_group(d, "table", "Of the table, to compare");
    mdr_desk_number(d, "kc", "courses per cm x cm of loop", "", table.kc_cm);
    mdr_desk_number(d, "kw", "wales per cm x cm of loop", "", table.kw_cm);
    mdr_desk_group(d, NULL, NULL);
    mdr_desk_note(d,
                  "Washed and tumbled until nothing shrinks any more, conditioned, counted on one "
                  "face, elastane taken off the weight. They hold for this construction and way "
                  "of finishing; the mill keeps its samples in the table wash_sample.");
    return MDR_OK;
}
