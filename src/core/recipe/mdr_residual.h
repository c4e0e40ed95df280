/*
 * mdr_residual.h - the square of a colour difference, how it slopes and how it curves with the
 * sample's L*, a*, b*: what a search for the least of it needs.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-search.md#objective
 *
 * CMC in closed form, with u the direction of the sample in the a*b* plane and C its chroma:
 *   D^2 = wl^2 dL^2 + wh^2 (da^2 + db^2) + (wc^2 - wh^2) dC^2      because dH^2 = da^2 + db^2 - dC^2
 *   half of its second derivative in a*, b*:
 *   wh^2 I + (wc^2 - wh^2) (u u' + dC/C (I - u u'))
 * CIE94 and 1976 likewise, with weights of their own. CIEDE2000 is in
 * mdr_residual_2000.h. DIN99 is taken as a vector of three, its slopes by differences, and the second
 * derivative as the product of the slopes.
 *
 * Sources (keys of docs/sources.md)
 *   [definition]  all of it follows from the formulas of core/colour/mdr_difference.h
 */
#ifndef MDR_RESIDUAL_H
#define MDR_RESIDUAL_H

#include <stdbool.h>

#include "core/colour/mdr_difference.h"

/* What hangs on the standard alone. */
typedef struct mdr_residual_from {
    mdr_lab standard;
    mdr_difference_spec spec;
    double chroma;                       /* of the standard */
    double square_l, square_c, square_h; /* weights of dL^2, dC^2, dH^2 where they are fixed */
    bool fixed;                          /* by the standard: 1976, CMC, CIE94 */
} mdr_residual_from;

typedef struct mdr_residual {
    double square;      /* D^2 */
    double slope[3];    /* half of its slope with L*, a*, b* */
    double curve[3][3]; /* half of its second derivative; never below 0 in any direction */
} mdr_residual;

mdr_residual_from mdr_residual_from_standard(mdr_lab standard, const mdr_difference_spec *spec);
/* Total. The square within 1e-12 (relative) of that of mdr_difference_of; slopes of the formulas
 * without closed form good to 1e-6 of the difference. At a grey sample, or where a hue jumps, the
 * slope is that of one side. */
void mdr_residual_to(const mdr_residual_from *from, mdr_lab sample, mdr_residual *out);

#endif
