/*
 * mdr_residual_2000.h - the square of CIEDE2000 with its slopes and its curvature in closed form.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-search.md#objective
 *
 * Lightness hangs on L* alone, chroma and hue on a* and b* alone. Every step of the formula for
 * those two carries its first and second derivatives along (the chain rule).
 *
 * Sources (keys of docs/sources.md)
 *   [sharma-ciede2000]  equations 2 to 22
 */
#ifndef MDR_RESIDUAL_2000_H
#define MDR_RESIDUAL_2000_H

#include "core/recipe/mdr_residual.h"

/* Total. Where the hue has no slope (grey) it is taken as level. In L* the curvature is the square of
 * the slope; in a*, b* the true one, without what would go below 0. */
void mdr_residual_2000(mdr_lab standard, mdr_lab sample, const mdr_difference_spec *spec,
                       mdr_residual *out);

#endif
