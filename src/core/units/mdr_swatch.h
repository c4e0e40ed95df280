/*
 * mdr_swatch.h - the colour of a shade as a screen or a printer takes it: CIELAB -> sRGB.
 *
 * Layer: core/units (pure: no allocation, no global state). For swatches on cards and screens,
 * never for judging a shade.
 *
 * Sources
 *   [CIE15]  CIE 15:2018, section 8.2.1: CIELAB, and its way back to X/Xn, Y/Yn, Z/Zn.
 *   [SRGB]   IEC 61966-2-1:1999: matrix XYZ -> linear RGB, its white point (D65, 2 degree
 *            observer, x 0.3127, y 0.3290) and the transfer curve.
 * Approximation: mills measure with the 10 degree observer, sRGB is defined for the 2 degree one.
 * L*, a*, b* are taken over as they are, relative to white, so that a neutral stays neutral; the
 * small shift between the observers is ignored.
 */
#ifndef MDR_SWATCH_H
#define MDR_SWATCH_H

#include <stdbool.h>

/*
 * "#rrggbb" of a CIELAB colour (D65). `in_gamut` (may be NULL) says whether sRGB can show it;
 * if not, each channel is cut at its end and the caller must say so beside the swatch.
 * A coordinate that is not finite gives the grey "#808080" and false.
 */
void mdr_swatch_hex(double lab_l, double lab_a, double lab_b, char out[8], bool *in_gamut);

#endif
