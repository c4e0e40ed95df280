#include "core/recipe/mdr_mixture.h"

#include <math.h>

static const double STRENGTH_LEAST = 0.1, STRENGTH_MOST = 10.0; /* invented: a slipped decimal */
static const double KS_LEAST = 1e-9; /* invented: far below what any instrument tells from white */

mdr_code mdr_cloth_make(const mdr_curve *measured, const mdr_surface *surface, mdr_cloth *out,
                        mdr_err *err)
{
    mdr_cloth cloth = {.surface = {0}};
    const mdr_code rc = mdr_km_ks(measured, surface, &cloth.ks, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "substrate");
        return rc;
    }
    for (int b = 0; b < MDR_BANDS; b++) {
        if (!(cloth.ks.v[b] >= KS_LEAST)) {
            const mdr_code white = MDR_FAIL(err, MDR_E_RANGE, "", "cloth that takes no light");
            mdr_err_within(err, "substrate.%dnm", mdr_km_band_nm(b));
            mdr_err_value(err, "%g", measured->v[b]);
            mdr_err_allowed(err, "a reflectance below 1");
            mdr_err_remedy(err, "measure the cloth itself, not the white of the instrument");
            return white;
        }
    }
    cloth.surface = mdr_surface_form_of(surface);
    *out = cloth;
    return MDR_OK;
}

static mdr_code check_part(const mdr_part *part, int i, mdr_err *err)
{
    if (part->ladder == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "ladder", "a dye without dyed samples");
        mdr_err_within(err, "parts[%d]", i);
        return rc;
    }
    if (!(part->strength_factor >= STRENGTH_LEAST && part->strength_factor <= STRENGTH_MOST)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "strength_factor", "strength of a delivery cannot be right");
        mdr_err_within(err, "parts[%d]", i);
        mdr_err_value(err, "%g", part->strength_factor);
        mdr_err_allowed(err, "%g to %g, 1 being the strength of the ladder", STRENGTH_LEAST,
                        STRENGTH_MOST);
        return rc;
    }
    const double limit = part->ladder->limit_pct_owf / part->strength_factor;
    if (!(part->depth_pct_owf >= 0.0 && part->depth_pct_owf <= limit * (1.0 + 1e-12))) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "depth_pct_owf", "deeper than the dye's samples tell about");
        mdr_err_within(err, "parts[%d]", i);
        mdr_err_value(err, "%g", part->depth_pct_owf);
        mdr_err_allowed(err, "0 to %g %% owf", limit);
        mdr_err_remedy(err, "dye a deeper sample of this dye");
        return rc;
    }
    return MDR_OK;
}

/* d(measured)/d(K/S): slope of Kubelka-Munk, then that of the surface */
static double slope_of(const mdr_surface_form *surface, double inside)
{
    const double inner = 1.0 - surface->k2 * inside;
    return surface->gain / (inner * inner) * mdr_km_slope(inside);
}

mdr_code mdr_mixture_of(const mdr_cloth *cloth, const mdr_part *parts, int n, mdr_mixture *out,
                        mdr_err *err)
{
    if (n < 0 || n > MDR_RECIPE_DYES_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "parts", "too many dyes in a recipe");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "0 to %d", MDR_RECIPE_DYES_MAX);
        return rc;
    }
    mdr_mixture m = {0};
    mdr_curve ks = cloth->ks;
    for (int i = 0; i < n; i++) {
        MDR_TRY(check_part(&parts[i], i, err));
        const double strength = parts[i].strength_factor;
        const double depth = parts[i].depth_pct_owf * strength;
        double added[MDR_BANDS];
        mdr_ladder_ks(parts[i].ladder, depth, added, m.slope[i]);
        for (int b = 0; b < MDR_BANDS; b++) {
            ks.v[b] += added[b];
            m.slope[i][b] *= strength;
        }
        m.beyond[i] = mdr_ladder_is_beyond(parts[i].ladder, depth);
        m.any_beyond = m.any_beyond || m.beyond[i];
    }
    for (int b = 0; b < MDR_BANDS; b++) {
        const double inside = mdr_km_r_of_ks(ks.v[b]);
        const double slope = slope_of(&cloth->surface, inside);
        m.curve.v[b] = mdr_surface_measured(&cloth->surface, inside);
        for (int i = 0; i < n; i++) {
            m.slope[i][b] *= slope;
        }
    }
    *out = m;
    return MDR_OK;
}
