#include "core/recipe/mdr_km.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const double K1_MAX = 0.2, K2_MAX = 0.9; /* common practice */

static bool within(double value, double high)
{
    return value >= 0.0 && value <= high; /* false for NaN too */
}

static mdr_code refuse(const char *place, double value, double high, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "surface correction cannot be right");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "0 to %g", high);
    mdr_err_remedy(err, "k1 about 0.04 and k2 about 0.5 for cotton read with the gloss included");
    return rc;
}

mdr_code mdr_surface_check(const mdr_surface *surface, mdr_err *err)
{
    if (surface->kind < MDR_SURFACE_NONE || surface->kind > MDR_SURFACE_SAUNDERSON) {
        return MDR_FAIL(err, MDR_E_RANGE, "surface.kind", "no such surface correction");
    }
    if (surface->kind != MDR_SURFACE_NONE && !within(surface->k1, K1_MAX)) {
        return refuse("surface.k1", surface->k1, K1_MAX, err);
    }
    if (surface->kind == MDR_SURFACE_SAUNDERSON && !within(surface->k2, K2_MAX)) {
        return refuse("surface.k2", surface->k2, K2_MAX, err);
    }
    return MDR_OK;
}

mdr_surface_form mdr_surface_form_of(const mdr_surface *surface)
{
    switch (surface->kind) {
    case MDR_SURFACE_LIMIT:
        return (mdr_surface_form){surface->k1, 1.0, 0.0};
    case MDR_SURFACE_SAUNDERSON:
        return (mdr_surface_form){surface->k1, (1.0 - surface->k1) * (1.0 - surface->k2),
                                  surface->k2};
    case MDR_SURFACE_NONE:
        break;
    }
    return (mdr_surface_form){0.0, 1.0, 0.0};
}

/* Rm - k1 = gain R / (1 - k2 R) solved for R; with Saunderson's gain it is the printed form */
double mdr_surface_inside(const mdr_surface_form *form, double measured)
{
    const double left = measured - form->k1;
    return left / (form->gain + form->k2 * left);
}

double mdr_surface_measured(const mdr_surface_form *form, double inside)
{
    return form->k1 + form->gain * inside / (1.0 - form->k2 * inside);
}

double mdr_km_ks_of_r(double inside)
{
    const double lost = 1.0 - inside;
    return lost * lost / (2.0 * inside);
}

/* 1 + f - sqrt(f^2 + 2f) loses its digits for a large f; its inverse is 1 + f + sqrt(f^2 + 2f) */
double mdr_km_r_of_ks(double ks)
{
    return 1.0 / (1.0 + ks + sqrt(ks * (ks + 2.0)));
}

double mdr_km_slope(double inside)
{
    const double square = inside * inside;
    return -2.0 * square / (1.0 - square);
}

int mdr_km_band_nm(int band)
{
    return MDR_BAND_START_NM + MDR_BAND_STEP_NM * band;
}

static mdr_code no_ks(int band, double measured, double inside, mdr_err *err)
{
    const bool dark = inside <= 0.0;
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_RANGE, "",
                 dark ? "darker than the surface alone" : "reflects more than all of the light");
    mdr_err_within(err, "%dnm", mdr_km_band_nm(band));
    mdr_err_value(err, "%g", measured);
    mdr_err_allowed(err, "above what the surface reflects, and inside not above 1");
    mdr_err_remedy(err, dark ? "lower k1 (or R0), or measure again"
                             : "measure without ultraviolet: a whitened cloth has no K/S, or give "
                               "fractions instead of per cent");
    return rc;
}

mdr_code mdr_km_ks(const mdr_curve *measured, const mdr_surface *surface, mdr_curve *ks,
                   mdr_err *err)
{
    mdr_curve found;
    MDR_TRY(mdr_surface_check(surface, err));
    const mdr_surface_form form = mdr_surface_form_of(surface);
    for (int b = 0; b < MDR_BANDS; b++) {
        const double inside = mdr_surface_inside(&form, measured->v[b]);
        if (!(inside > 0.0 && inside <= 1.0)) {
            return no_ks(b, measured->v[b], inside, err);
        }
        found.v[b] = mdr_km_ks_of_r(inside);
    }
    *ks = found;
    return MDR_OK;
}

void mdr_km_measured(const mdr_curve *ks, const mdr_surface_form *form, mdr_curve *measured)
{
    for (int b = 0; b < MDR_BANDS; b++) {
        measured->v[b] = mdr_surface_measured(form, mdr_km_r_of_ks(ks->v[b]));
    }
}
