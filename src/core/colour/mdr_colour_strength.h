/*
 * mdr_colour_strength.h - how strong a sample is dyed, as a percentage of the standard.
 *
 * Three definitions, which disagree as soon as the two differ in hue or one of them is very deep;
 * each answer therefore names its own:
 *   PEAK      K/S at the wavelength where the standard absorbs most
 *   SUM       sum of K/S over the 31 bands
 *   WEIGHTED  sum of K/S times what the eye makes of each wavelength under a light: x + y + z
 * With a substrate its own K/S is taken off both first (net).
 *
 * Layer: core/colour (pure). Amounts of dye in a product are mdr_strength.h (core/units).
 * Methods: docs/methods/colour.md#strength
 *
 * Source (key of docs/sources.md): [kubelka-munk] K/S = (1 - R)^2 / (2 R)
 */
#ifndef MDR_COLOUR_STRENGTH_H
#define MDR_COLOUR_STRENGTH_H

#include "core/colour/mdr_difference.h"

typedef enum mdr_strength_by {
    MDR_STRENGTH_PEAK,
    MDR_STRENGTH_SUM,
    MDR_STRENGTH_WEIGHTED,
    MDR_STRENGTH_COUNT
} mdr_strength_by;

typedef struct mdr_colour_strength {
    double pct[MDR_STRENGTH_COUNT]; /* sample, % of the standard */
    double peak_nm;                 /* where the (net) K/S of the standard is highest */
    double ks_standard, ks_sample;  /* net, there */
} mdr_colour_strength;

/* K/S of one reflectance in (0, 1]. */
double mdr_colour_ks(double reflectance);
/* The reflectance of K/S >= 0. */
double mdr_colour_reflectance(double ks);

/*
 * All three definitions. `substrate` may be NULL; `light` weighs the third.
 *   errors  MDR_E_RANGE with place "standard.v[i]", "sample.v[i]", "substrate.v[i]": not in (0, 1],
 *           where K/S has no meaning; "standard": no stronger than its substrate
 */
mdr_code mdr_colour_strength_of(const mdr_curve *standard, const mdr_curve *sample,
                                const mdr_curve *substrate, const mdr_weights *light,
                                mdr_colour_strength *out, mdr_err *err) MDR_MUST_CHECK;

/* The sample as it would be at the standard's strength: its (net) K/S divided by the strength, the
 * substrate put back. What difference is left then is one of shade, not of depth.
 *   strength_pct  above 0.   errors  as above; MDR_E_RANGE with place "strength_pct" */
mdr_code mdr_colour_at_strength(const mdr_curve *sample, const mdr_curve *substrate,
                                double strength_pct, mdr_curve *out, mdr_err *err) MDR_MUST_CHECK;

#endif
