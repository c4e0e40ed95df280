/*
 * mdr_cielab.h - XYZ, CIELAB and its polar form, for whoever judges or shows a colour.
 *
 * XYZ on the scale where a perfect white has Y = 100. CIELAB is always relative to a white: the
 * one of the weights that made XYZ (mdr_weights.h).
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#cielab
 * A swatch for the screen: core/units/mdr_swatch.h.
 *
 * Sources (keys of docs/sources.md)
 *   [cie-15]  section 8.2.1: CIELAB with its straight part below (24/116)^3, hue, chroma
 *
 * All functions are total. Colours of finite numbers give finite numbers.
 */
#ifndef MDR_CIELAB_H
#define MDR_CIELAB_H

#include "base/mdr_err.h"
#include "core/colour/mdr_spectrum.h"
#include "core/colour/mdr_weights.h"

typedef struct mdr_xyz {
    double x, y, z;
} mdr_xyz;

typedef struct mdr_lab {
    double l, a, b;
} mdr_lab;

typedef struct mdr_lch {
    double l, c, h_deg; /* hue in [0, 360); 0 when the chroma is 0 */
} mdr_lch;

mdr_xyz mdr_xyz_of_curve(const mdr_curve *c, const mdr_weights *w);
mdr_xyz mdr_white_of(const mdr_weights *w);
mdr_xyz mdr_white_of_grid(const mdr_grid_weights *w);
/* errors: MDR_E_CONFLICT the weights are for other steps than the spectrum has */
mdr_code mdr_xyz_of_spectrum(const mdr_spectrum *s, const mdr_grid_weights *w, mdr_xyz *out,
                             mdr_err *err) MDR_MUST_CHECK;

/* The white's parts are above 0. */
mdr_lab mdr_lab_of_xyz(mdr_xyz xyz, mdr_xyz white);
mdr_xyz mdr_xyz_of_lab(mdr_lab lab, mdr_xyz white);
mdr_lab mdr_lab_of_curve(const mdr_curve *c, const mdr_weights *w);
/* A spectrum under one light, with weights made for it. Dearer than a curve by the making of the
 * weights (some 0.1 ms). */
mdr_lab mdr_lab_of_spectrum(const mdr_spectrum *s, mdr_illuminant illuminant,
                            mdr_observer observer);

mdr_lch mdr_lch_of_lab(mdr_lab lab);
mdr_lab mdr_lab_of_lch(mdr_lch lch);
/* Angle in degree, [0, 360); 0 for the grey in the middle. */
double mdr_hue_deg(double a, double b);

#endif
