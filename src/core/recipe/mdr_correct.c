#include "core/recipe/mdr_correct.h"

#include <math.h>
#include <string.h>

#include "core/recipe/mdr_apparent.h"

static const double Z95 = 1.959963984540054; /* normal, two-sided 95 % */
static const double STILL_UNKNOWN = 0.7;     /* of what is usual left: nothing learnt; invented */
static const double MIXED_UP = -0.8;         /* correlation: only the sum is known; invented */
static const double MOSTLY_DARKER = 0.8;     /* part of the difference; invented */
static const double LIMIT_LEAST_PCT_OWF = 1e-6;
static const double PERCENT = 100.0;
/* Uses of common practice; standard deviations invented, see docs. */
static const double USUAL_STRENGTH_SD = 0.15, USUAL_CLOTH_SD = 0.2, USUAL_MEASURE_PCT = 0.3,
                    USUAL_MEASURE_PART = 0.03, USUAL_WISE_PCT = 15.0;
enum { USUAL_WISE_COUNT = 2 };

mdr_correct_in mdr_correct_usual(void)
{
    return (mdr_correct_in){.strength_sd = USUAL_STRENGTH_SD,
                            .cloth_sd = USUAL_CLOTH_SD,
                            .measure_sd_pct = USUAL_MEASURE_PCT,
                            .measure_sd_part = USUAL_MEASURE_PART,
                            .addition_yield = 1.0,
                            .wise_pct = USUAL_WISE_PCT,
                            .wise_count = USUAL_WISE_COUNT};
}

const char *mdr_way_id(mdr_way w)
{
#define X(name, id) id,
    static const char *const IDS[] = {MDR_WAYS(X)};
#undef X
    return w >= 0 && w < MDR_WAY_COUNT ? IDS[w] : NULL;
}

static mdr_code out_of_range(const char *place, double value, const char *allowed, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "no correction can be made with this");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static mdr_code check_settings(const mdr_correct_in *in, mdr_err *err)
{
    const struct {
        const char *place;
        double value, high;
    } all[] = {{"tolerance", in->tolerance, 100.0},
               {"strength_sd", in->strength_sd, 2.0},
               {"cloth_sd", in->cloth_sd, 2.0},
               {"measure_sd_pct", in->measure_sd_pct, 20.0},
               {"measure_sd_part", in->measure_sd_part, 1.0},
               {"addition_yield", in->addition_yield, 1.0},
               {"wise_pct", in->wise_pct, 100.0}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!(all[i].value > 0.0 && all[i].value <= all[i].high)) {
            return out_of_range(all[i].place, all[i].value, "more than 0, and no slipped decimal",
                                err);
        }
    }
    if (in->wise_count < 0 || in->done_count < 0) {
        return out_of_range("done_count", in->done_count, "0 or more", err);
    }
    return MDR_OK;
}

static mdr_code check_parts(const mdr_correct_in *in, mdr_err *err)
{
    mdr_mixture m;
    if (in->n < 1 || in->n > MDR_COMBO_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "parts", "dyes of the recipe");
        mdr_err_value(err, "%d", in->n);
        mdr_err_allowed(err, "1 to %d", MDR_COMBO_MAX);
        return rc;
    }
    for (int i = 0; i < in->n; i++) {
        if (!(in->parts[i].depth_pct_owf > 0.0)) {
            const mdr_code rc =
                out_of_range("depth_pct_owf", in->parts[i].depth_pct_owf, "more than 0", err);
            mdr_err_within(err, "parts[%d]", i);
            return rc;
        }
    }
    return mdr_mixture_of(in->cloth, in->parts, in->n, &m, err);
}

/* K/S of the sample, with the surface of the cloth. */
static mdr_code ks_of_sample(const mdr_correct_in *in, mdr_curve *ks, mdr_err *err)
{
    for (int b = 0; b < MDR_BANDS; b++) {
        const double inside = mdr_surface_inside(&in->cloth->surface, in->sample.v[b]);
        if (!(inside > 0.0 && inside < 1.0)) {
            const mdr_code rc =
                out_of_range("", in->sample.v[b], "between the surface alone and white", err);
            mdr_err_within(err, "sample.%dnm", mdr_km_band_nm(b));
            return rc;
        }
        ks->v[b] = mdr_km_ks_of_r(inside);
    }
    return MDR_OK;
}

/* A ladder as it works in this bath, over the dose added to what is there: it begins where the
 * bath stands, is as strong as was found, and is scaled in every band by what no strength explains. */
static void ladder_from_here(const mdr_ladder *l, double from_pct_owf, double strength,
                             const mdr_curve *ratio, mdr_ladder *out)
{
    double ks[MDR_BANDS], slope[MDR_BANDS];
    memset(out, 0, sizeof *out);
    mdr_ladder_ks(l, from_pct_owf, ks, slope);
    for (int b = 0; b < MDR_BANDS; b++) {
        out->slope[0][b] = slope[b] * strength * ratio->v[b];
    }
    out->knots = 1;
    for (int k = 1; k < l->knots; k++) {
        if (l->depth_pct_owf[k] <= from_pct_owf * (1.0 + 1e-9)) {
            continue;
        }
        const int at = out->knots++;
        out->depth_pct_owf[at] = (l->depth_pct_owf[k] - from_pct_owf) / strength;
        for (int b = 0; b < MDR_BANDS; b++) {
            out->ks[at][b] = (l->ks[k][b] - ks[b]) * ratio->v[b];
            out->slope[at][b] = l->slope[k][b] * strength * ratio->v[b];
        }
    }
    out->limit_pct_owf = fmax((l->limit_pct_owf - from_pct_owf) / strength, LIMIT_LEAST_PCT_OWF);
    if (out->knots == 1) { /* beyond the last rung: straight on */
        out->knots = 2;
        out->depth_pct_owf[1] = out->limit_pct_owf;
        for (int b = 0; b < MDR_BANDS; b++) {
            out->ks[1][b] = out->slope[0][b] * out->limit_pct_owf;
            out->slope[1][b] = out->slope[0][b];
        }
    }
}

static void name_strengths(const mdr_correct_in *in, const mdr_apparent_fit *fit, mdr_correct *c)
{
    for (int i = 0; i <= in->n; i++) {
        const double usual = i < in->n ? in->strength_sd : in->cloth_sd;
        mdr_apparent a = {.mixed_with = -1};
        a.sd_log = sqrt(fit->covariance[i][i]);
        a.strength = exp(fit->log[i]);
        a.low = a.strength * exp(-Z95 * a.sd_log);
        a.high = a.strength * exp(Z95 * a.sd_log);
        a.known = a.sd_log < STILL_UNKNOWN * usual;
        double most = MIXED_UP;
        for (int k = 0; i < in->n && k < in->n; k++) {
            const double together =
                fit->covariance[i][k] / (a.sd_log * sqrt(fit->covariance[k][k]));
            if (k != i && together < most) {
                most = together;
                a.mixed_with = k;
            }
        }
        *(i < in->n ? &c->dye[i] : &c->cloth) = a;
    }
}

static mdr_difference from_standard(const mdr_correct_in *in, const mdr_curve *curve)
{
    const mdr_weights *w = in->shade->light[0];
    return mdr_difference_of(mdr_lab_of_curve(&in->shade->standard, w), mdr_lab_of_curve(curve, w),
                             &in->shade->formula);
}

/* Ladders of the bath as dyes to match with; `from` says whether they begin where it stands. */
static mdr_code bath_dyes(const mdr_correct_in *in, const mdr_apparent_fit *fit,
                          const mdr_curve *ratio, bool from_here, mdr_arena *arena, mdr_dye *dyes,
                          mdr_err *err)
{
    for (int i = 0; i < in->n; i++) {
        const mdr_part *p = &in->parts[i];
        const double strength = p->strength_factor * exp(fit->log[i]);
        mdr_ladder *l = MDR_NEW(arena, mdr_ladder);
        if (l == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "parts", "no memory for the correction");
        }
        ladder_from_here(p->ladder, from_here ? p->depth_pct_owf * strength : 0.0,
                         from_here ? strength * in->addition_yield : strength, ratio, l);
        dyes[i] = mdr_dye_of(l);
    }
    return MDR_OK;
}

static mdr_code curve_of(const mdr_cloth *cloth, const mdr_dye *dyes, const double *depth, int n,
                         mdr_curve *out, mdr_err *err)
{
    mdr_part parts[MDR_COMBO_MAX];
    mdr_mixture m;
    for (int i = 0; i < n; i++) {
        parts[i] = (mdr_part){dyes[i].ladder[0], depth[i], 1.0};
    }
    MDR_TRY(mdr_mixture_of(cloth, parts, n, &m, err));
    *out = m.curve;
    return MDR_OK;
}

static mdr_code find_addition(const mdr_correct_in *in, const mdr_apparent_fit *fit,
                              const mdr_cloth *sample, const mdr_curve *ratio, mdr_arena *arena,
                              mdr_correct *c, mdr_err *err)
{
    mdr_dye dyes[MDR_COMBO_MAX];
    mdr_match m;
    double there = 0.0, added = 0.0;
    MDR_TRY(bath_dyes(in, fit, ratio, true, arena, dyes, err));
    MDR_TRY(mdr_match_dyes(sample, in->shade, dyes, in->n, arena, &m, err));
    MDR_TRY(curve_of(sample, dyes, m.depth_pct_owf, in->n, &c->after_curve, err));
    c->after = from_standard(in, &c->after_curve);
    for (int i = 0; i < in->n; i++) {
        const double a = m.depth_pct_owf[i], spread = exp(Z95 * c->dye[i].sd_log);
        c->add_pct_owf[i] = a;
        c->add_low_pct_owf[i] = a / spread;
        c->add_high_pct_owf[i] = a * spread;
        there += in->parts[i].depth_pct_owf;
        added += a;
    }
    c->add_total_pct = PERCENT * added / there;
    return MDR_OK;
}

static mdr_code find_next(const mdr_correct_in *in, const mdr_apparent_fit *fit,
                          const mdr_curve *ratio, mdr_arena *arena, mdr_correct *c, mdr_err *err)
{
    mdr_dye dyes[MDR_COMBO_MAX];
    mdr_match m;
    mdr_cloth cloth = *in->cloth;
    const double factor = exp(fit->log[in->n]);
    for (int b = 0; b < MDR_BANDS; b++) {
        cloth.ks.v[b] *= factor * ratio->v[b];
    }
    MDR_TRY(bath_dyes(in, fit, ratio, false, arena, dyes, err));
    MDR_TRY(mdr_match_dyes(&cloth, in->shade, dyes, in->n, arena, &m, err));
    c->next_de = m.de;
    for (int i = 0; i < in->n; i++) {
        const double spread = exp(Z95 * c->dye[i].sd_log);
        c->next_pct_owf[i] = m.depth_pct_owf[i];
        c->next_low_pct_owf[i] = m.depth_pct_owf[i] / spread;
        c->next_high_pct_owf[i] = m.depth_pct_owf[i] * spread;
    }
    return MDR_OK;
}

static mdr_way way_of(const mdr_correct_in *in, const mdr_correct *c)
{
    if (c->before.de <= in->tolerance) {
        return MDR_WAY_ACCEPT;
    }
    if (c->after.de <= in->tolerance) {
        return c->add_total_pct <= in->wise_pct && in->done_count < in->wise_count
                   ? MDR_WAY_ADD
                   : MDR_WAY_ADD_LARGE;
    }
    if (c->next_de > in->tolerance) {
        return MDR_WAY_OTHER_DYES;
    }
    /* additions bring the hue but leave it too dark: a darker order of the same hue can take it */
    return c->after.dl < 0.0 && fabs(c->after.wl) >= MOSTLY_DARKER * c->after.de ? MDR_WAY_OVER_DYE
                                                                                 : MDR_WAY_STRIP;
}

mdr_code mdr_correct_bath(const mdr_correct_in *in, mdr_arena *arena, mdr_correct *out,
                          mdr_err *err)
{
    mdr_correct c = {.n = in->n};
    mdr_apparent_fit fit;
    mdr_curve ratio, explained;
    mdr_mixture planned;
    mdr_cloth sample = {.surface = in->cloth->surface};
    MDR_TRY(check_settings(in, err));
    MDR_TRY(check_parts(in, err));
    MDR_TRY(ks_of_sample(in, &sample.ks, err));
    mdr_apparent_find(in, &fit);
    name_strengths(in, &fit, &c);
    for (int b = 0; b < MDR_BANDS; b++) {
        ratio.v[b] = sample.ks.v[b] / fit.ks.v[b];
    }
    mdr_km_measured(&fit.ks, &in->cloth->surface, &explained);
    const mdr_weights *w = in->shade->light[0];
    c.unexplained = mdr_difference_of(mdr_lab_of_curve(&in->sample, w),
                                      mdr_lab_of_curve(&explained, w), &in->shade->formula)
                        .de;
    MDR_TRY(mdr_mixture_of(in->cloth, in->parts, in->n, &planned, err));
    c.expected_de = from_standard(in, &planned.curve).de;
    c.before = from_standard(in, &in->sample);
    MDR_TRY(find_addition(in, &fit, &sample, &ratio, arena, &c, err));
    MDR_TRY(find_next(in, &fit, &ratio, arena, &c, err));
    c.way = way_of(in, &c);
    *out = c;
    return MDR_OK;
}
