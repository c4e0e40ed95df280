/*
 * mdr_spectrum.h - reflectance over wavelength: as measured, and as the 31 bands all else uses.
 *
 * A value is a reflectance factor as a fraction: 1 is the perfect white, above 1 is fluorescence.
 * A *spectrum* keeps the instrument's own steps (1 to 20 nm between 340 and 830 nm); a *curve* has
 * 31 values, 400 to 700 nm every 10 nm. XYZ is best taken from the spectrum (mdr_weights.h);
 * recipes and everything by Kubelka and Munk work on curves.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#spectrum
 *
 * Sources (keys of docs/sources.md)
 *   [astm-e2022]  between measured points: cubic through the two neighbours on either side, and the
 *                 parabola through the outermost three in the first and in the last interval
 *   [astm-e308]   beyond the measured range the outermost value is held
 */
#ifndef MDR_SPECTRUM_H
#define MDR_SPECTRUM_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

enum { MDR_BANDS = 31, MDR_BAND_START_NM = 400, MDR_BAND_STEP_NM = 10 };
enum { MDR_SPECTRUM_MAX = 491 }; /* 340 to 830 nm every nm */

#define MDR_SPECTRUM_LEAST_NM      340.0
#define MDR_SPECTRUM_MOST_NM       830.0
#define MDR_SPECTRUM_STEP_LEAST_NM 1.0
#define MDR_SPECTRUM_STEP_MOST_NM  20.0
/* A colour needs at least this range (common practice). What lies beyond is at most 3 % of X, 1.2 % of
 * Y and, under lamps with a strong violet line, 12 % of Z (test_weights). */
#define MDR_SPECTRUM_FROM_NM         420.0
#define MDR_SPECTRUM_TO_NM           660.0
#define MDR_REFLECTANCE_MOST         1.5 /* common practice: more is a wrong scale, not fluorescence */
#define MDR_SPECTRUM_REGULAR_WITH_NM 0.01 /* invented: steps that differ less are the same */

typedef struct mdr_curve {
    double v[MDR_BANDS]; /* reflectance factor, 400 to 700 nm */
} mdr_curve;

typedef struct mdr_spectrum {
    double start_nm, step_nm;
    int n;
    double v[MDR_SPECTRUM_MAX]; /* reflectance factor; n of them */
} mdr_spectrum;

/* What the instrument does with the mirror reflection of the surface; the two never mix. */
typedef enum mdr_specular {
    MDR_SPECULAR_UNKNOWN,
    MDR_SPECULAR_INCLUDED, /* sphere, gloss trap closed */
    MDR_SPECULAR_EXCLUDED, /* sphere, gloss trap open */
    MDR_SPECULAR_NONE      /* 45/0 or 0/45: never sees it */
} mdr_specular;

typedef struct mdr_spectral_point {
    double wavelength_nm, v;
} mdr_spectral_point;

/* What had to be done to a spectrum to make a curve of it. */
typedef struct mdr_curve_notes {
    bool held_low, held_high; /* 400 or 700 nm lie outside; the outermost value stands there */
    int cut; /* bands where the cubic swung below 0 between the points; 0 stands there */
} mdr_curve_notes;

/*
 * A spectrum from n values on regular steps.
 *   errors  MDR_E_RANGE: "start_nm", "step_nm", "n", or "v[i]" (counted from 0): not finite, below
 *           0 or above 1.5; range that does not hold 420 to 660 nm
 */
mdr_code mdr_spectrum_make(double start_nm, double step_nm, const double *v, int n,
                           mdr_spectrum *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_spectrum_check(const mdr_spectrum *s, mdr_err *err) MDR_MUST_CHECK;

/*
 * A spectrum from n points in any order. Regular points are taken as they are. Others are brought
 * to the widest step of 1, 2, 5, 10, 20 nm that is not wider than their mean distance, from the
 * first multiple of it inside; *resampled tells. The cubic goes through the irregular points.
 *   errors  as above; MDR_E_CONFLICT the same wavelength twice; MDR_E_RANGE a gap above 20 nm;
 *           MDR_E_NOMEM
 */
mdr_code mdr_spectrum_of_points(const mdr_spectral_point *points, int n, mdr_arena *arena,
                                mdr_spectrum *out, bool *resampled, mdr_err *err) MDR_MUST_CHECK;

/* Reflectance at any wavelength: measured points exactly, in between the cubic, ends held. */
double mdr_spectrum_at(const mdr_spectrum *s, double wavelength_nm);
/* The 31 bands; `notes` may be NULL. */
mdr_curve mdr_curve_of_spectrum(const mdr_spectrum *s, mdr_curve_notes *notes);
/* errors: MDR_E_RANGE with place "v[i]" as for a spectrum. */
mdr_code mdr_curve_check(const mdr_curve *c, mdr_err *err) MDR_MUST_CHECK;
mdr_spectrum mdr_spectrum_of_curve(const mdr_curve *c);

/*
 * Weights of the four points around position p on the regular grid 0, 1, ... n-1 ([astm-e2022]):
 * value(p) = sum of w[k] * value[first + k], k = 0..3. In an end interval the fourth weight is 0.
 *   n >= 4, p in [0, n-1]
 */
int mdr_lagrange_weights(double p, int n, double w[4]);

#endif
