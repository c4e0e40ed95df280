#include "core/colour/mdr_colour_strength.h"

#include <math.h>
#include <stddef.h>

double mdr_colour_ks(double reflectance)
{
    return (1.0 - reflectance) * (1.0 - reflectance) / (2.0 * reflectance);
}

/* 1 + K/S - sqrt((K/S)^2 + 2 K/S) without taking the difference of two large numbers */
double mdr_colour_reflectance(double ks)
{
    return 1.0 / (1.0 + ks + sqrt(ks * ks + 2.0 * ks));
}

static mdr_code check_curve(const mdr_curve *c, const char *name, mdr_err *err)
{
    for (int i = 0; i < MDR_BANDS; i++) {
        if (!(c->v[i] > 0.0 && c->v[i] <= 1.0)) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, "", "K/S has no meaning at this reflectance");
            mdr_err_within(err, "%s.v[%d]", name, i);
            mdr_err_value(err, "%g", c->v[i]);
            mdr_err_allowed(err, "above 0, up to 1");
            mdr_err_remedy(err,
                           "fluorescent cloth has no K/S; a reflectance of 0 is a wrong black");
            return rc;
        }
    }
    return MDR_OK;
}

static double net_ks(const mdr_curve *c, const mdr_curve *substrate, int i)
{
    return mdr_colour_ks(c->v[i]) - (substrate == NULL ? 0.0 : mdr_colour_ks(substrate->v[i]));
}

static mdr_code check_all(const mdr_curve *standard, const mdr_curve *sample,
                          const mdr_curve *substrate, mdr_err *err)
{
    MDR_TRY(check_curve(standard, "standard", err));
    MDR_TRY(check_curve(sample, "sample", err));
    return substrate == NULL ? MDR_OK : check_curve(substrate, "substrate", err);
}

static mdr_code no_stronger(mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_RANGE, "standard",
                 "the standard is no deeper than the substrate that is taken off it");
    mdr_err_remedy(err, "leave the substrate out, or check which curve is which");
    return rc;
}

mdr_code mdr_colour_strength_of(const mdr_curve *standard, const mdr_curve *sample,
                                const mdr_curve *substrate, const mdr_weights *light,
                                mdr_colour_strength *out, mdr_err *err)
{
    MDR_TRY(check_all(standard, sample, substrate, err));
    double sum[2] = {0.0, 0.0}, seen[2] = {0.0, 0.0}, peak[2] = {0.0, 0.0};
    int peak_at = 0;
    for (int i = 0; i < MDR_BANDS; i++) {
        const double w = light->x[i] + light->y[i] + light->z[i];
        const double ks[2] = {net_ks(standard, substrate, i), net_ks(sample, substrate, i)};
        for (int k = 0; k < 2; k++) {
            sum[k] += ks[k];
            seen[k] += ks[k] * w;
        }
        if (i == 0 || ks[0] > peak[0]) {
            peak_at = i;
            peak[0] = ks[0];
            peak[1] = ks[1];
        }
    }
    if (!(peak[0] > 0.0 && sum[0] > 0.0 && seen[0] > 0.0)) {
        return no_stronger(err);
    }
    out->pct[MDR_STRENGTH_PEAK] = 100.0 * peak[1] / peak[0];
    out->pct[MDR_STRENGTH_SUM] = 100.0 * sum[1] / sum[0];
    out->pct[MDR_STRENGTH_WEIGHTED] = 100.0 * seen[1] / seen[0];
    out->peak_nm = MDR_BAND_START_NM + MDR_BAND_STEP_NM * peak_at;
    out->ks_standard = peak[0];
    out->ks_sample = peak[1];
    return MDR_OK;
}

mdr_code mdr_colour_at_strength(const mdr_curve *sample, const mdr_curve *substrate,
                                double strength_pct, mdr_curve *out, mdr_err *err)
{
    MDR_TRY(check_all(sample, sample, substrate, err));
    if (!(strength_pct > 0.0 && strength_pct <= 1e6)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "strength_pct", "no strength");
        mdr_err_value(err, "%g", strength_pct);
        mdr_err_allowed(err, "above 0, up to 1e6");
        return rc;
    }
    mdr_curve c;
    for (int i = 0; i < MDR_BANDS; i++) {
        const double under = substrate == NULL ? 0.0 : mdr_colour_ks(substrate->v[i]);
        const double ks = under + net_ks(sample, substrate, i) * 100.0 / strength_pct;
        /* a sample paler than its substrate, made stronger, would absorb less than nothing */
        c.v[i] = mdr_colour_reflectance(fmax(ks, 0.0));
    }
    *out = c;
    return MDR_OK;
}
