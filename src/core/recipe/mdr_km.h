/*
 * mdr_km.h - from the reflectance of a cloth to the absorption of what dyes it, and back: the
 * Kubelka-Munk function of a layer that nothing shines through, and what the surface reflects
 * before the light has met any dye.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-model.md
 *
 * Symbols
 *   Rm  reflectance factor as measured, fraction
 *   R   reflectance inside, fraction: what is left when the surface is taken off
 *   K/S absorption over scattering, no unit; adds up over the dyes of a recipe
 *   k1  part of the light that the surface sends back at once, fraction
 *   k2  part of the light from inside that the surface throws back in, fraction
 *
 * Sources (keys of docs/sources.md)
 *   [kubelka-munk]  K/S = (1 - R)^2 / 2R for a layer of infinite thickness
 *   [saunderson]    R = (Rm - k1) / (1 - k1 - k2 + k2 Rm)
 *   [textile-r0]    for cloth often f(Rm - R0) with a limiting reflectance R0
 */
#ifndef MDR_KM_H
#define MDR_KM_H

#include "base/mdr_err.h"
#include "core/colour/mdr_spectrum.h"

/* What to take off the reading. */
typedef enum mdr_surface_kind {
    MDR_SURFACE_NONE,      /* nothing: R = Rm */
    MDR_SURFACE_LIMIT,     /* R = Rm - k1, k1 being R0; k2 is not looked at */
    MDR_SURFACE_SAUNDERSON /* both */
} mdr_surface_kind;

typedef struct mdr_surface {
    double k1, k2;
    mdr_surface_kind kind;
} mdr_surface;

/* The three kinds as one formula, Rm = k1 + gain R / (1 - k2 R), for whoever computes many. */
typedef struct mdr_surface_form {
    double k1, gain, k2;
} mdr_surface_form;

/* k1 in [0, 0.2], k2 in [0, 0.9] (limits common practice: theory for cellulose is 0.04 and 0.6), a
 * kind of the list; else MDR_E_RANGE, place "surface.k1", "surface.k2" or "surface.kind". */
mdr_code mdr_surface_check(const mdr_surface *surface, mdr_err *err) MDR_MUST_CHECK;
mdr_surface_form mdr_surface_form_of(const mdr_surface *surface);

/* R of Rm; may come out at or below 0 for a reading darker than the surface alone, or above 1: then
 * there is no K/S. Total. */
double mdr_surface_inside(const mdr_surface_form *form, double measured);
/* Rm of R in [0, 1]; inverse of the above to 1e-15. */
double mdr_surface_measured(const mdr_surface_form *form, double inside);

/* K/S of R in (0, 1]; the CALLER has checked: 0 gives infinity, above 1 the same as below. */
double mdr_km_ks_of_r(double inside);
/* R of K/S >= 0, in (0, 1]; full precision also where K/S is large. Inverse of the above. */
double mdr_km_r_of_ks(double ks);
/* dR/d(K/S) = -2 R^2 / (1 - R^2), R in (0, 1). Without bound as R goes to 1. */
double mdr_km_slope(double inside);

/*
 * K/S of every band of a measured curve.
 *   errors  MDR_E_RANGE, place "NNNnm" (the band), when the surface leaves nothing (R <= 0: k1 is
 *           too large for so dark a shade, or the reading is wrong) or R > 1 (the cloth gives back
 *           more than it gets, as a whitened one does: there is no K/S), or is not a number
 *           and those of mdr_surface_check
 */
mdr_code mdr_km_ks(const mdr_curve *measured, const mdr_surface *surface, mdr_curve *ks,
                   mdr_err *err) MDR_MUST_CHECK;
/* The measured curve that K/S (every band >= 0) gives. */
void mdr_km_measured(const mdr_curve *ks, const mdr_surface_form *form, mdr_curve *measured);

/* Wavelength of band i, nm. */
int mdr_km_band_nm(int band);

#endif
