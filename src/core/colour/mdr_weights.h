/*
 * mdr_weights.h - from reflectance to XYZ: one weight a wavelength, illuminant and observer in one.
 *
 *   X = sum of x[i] * R[i], and so for Y and Z; a perfect white has Y = 100 (to the last digit of
 *   the table).
 *
 * Layer: core/colour (pure; the tables of data/colour are built in). Methods:
 * docs/methods/colour.md#weights
 *
 * Which weights
 *   steps of 10 nm on round wavelengths, and A, C, D50, D55, D65, D75, F2, F7, F11: the published
 *   table. All else: computed. Measured range narrower than 360 to 780 nm: weights beyond it go to
 *   the outermost value. White point: always what the weights make of a perfect white, so that it
 *   comes out as a* = b* = 0; it may differ from a printed white point in the third decimal.
 *
 * Sources (keys of docs/sources.md)
 *   [astm-e308]   table 5 (no bandpass correction), and what happens at the ends
 *   [astm-e2022]  computed weights: the spectrum is interpolated (mdr_spectrum.h) to the steps of
 *                 illuminant and observer, and the sum is sorted by measured value
 *   [cie-15]      observers every nm; illuminants every 5 nm, brought to 1 nm by the same cubic, D65
 *                 by straight lines: so the published tables come out again within 0.0015 (F11
 *                 0.013), whatever the name of the illuminant (test_weights)
 */
#ifndef MDR_WEIGHTS_H
#define MDR_WEIGHTS_H

#include <stddef.h>

#include "base/mdr_err.h"
#include "core/colour/mdr_spectrum.h"

/* clang-format off */
#define MDR_ILLUMINANTS(X)                                                                       \
    X(MDR_ILL_A, "A") X(MDR_ILL_C, "C")                                                          \
    X(MDR_ILL_D50, "D50") X(MDR_ILL_D55, "D55") X(MDR_ILL_D65, "D65") X(MDR_ILL_D75, "D75")      \
    X(MDR_ILL_F1, "F1") X(MDR_ILL_F2, "F2") X(MDR_ILL_F3, "F3") X(MDR_ILL_F4, "F4")              \
    X(MDR_ILL_F5, "F5") X(MDR_ILL_F6, "F6") X(MDR_ILL_F7, "F7") X(MDR_ILL_F8, "F8")              \
    X(MDR_ILL_F9, "F9") X(MDR_ILL_F10, "F10") X(MDR_ILL_F11, "F11") X(MDR_ILL_F12, "F12")        \
    X(MDR_ILL_LED_B1, "LED-B1") X(MDR_ILL_LED_B2, "LED-B2") X(MDR_ILL_LED_B3, "LED-B3")          \
    X(MDR_ILL_LED_B4, "LED-B4") X(MDR_ILL_LED_B5, "LED-B5") X(MDR_ILL_LED_BH1, "LED-BH1")        \
    X(MDR_ILL_LED_RGB1, "LED-RGB1") X(MDR_ILL_LED_V1, "LED-V1") X(MDR_ILL_LED_V2, "LED-V2")
/* clang-format on */

typedef enum mdr_illuminant {
#define X(name, text) name,
    MDR_ILLUMINANTS(X)
#undef X
        MDR_ILL_COUNT
} mdr_illuminant;

typedef enum mdr_observer { MDR_OBSERVER_2 = 2, MDR_OBSERVER_10 = 10 } mdr_observer; /* degree */

/* For a curve of 31 bands; about 800 bytes, cheap to make (a table is copied or summed up), but
 * worth keeping in a loop. */
typedef struct mdr_weights {
    double x[MDR_BANDS], y[MDR_BANDS], z[MDR_BANDS];
    double white_x, white_y, white_z;
} mdr_weights;

/* For a spectrum of this start, step and number of values. */
typedef struct mdr_grid_weights {
    double start_nm, step_nm;
    int n;
    double white_x, white_y, white_z;
    double x[MDR_SPECTRUM_MAX], y[MDR_SPECTRUM_MAX], z[MDR_SPECTRUM_MAX];
} mdr_grid_weights;

/* "D65", "LED-B1". */
const char *mdr_illuminant_name(mdr_illuminant illuminant);
/* By name, in any case; "FL11" for "F11" and '_' for '-' are taken too.
 *   errors  MDR_E_NOTFOUND with place "illuminant" */
mdr_code mdr_illuminant_of_name(const char *text, size_t len, mdr_illuminant *out,
                                mdr_err *err) MDR_MUST_CHECK;
/* 2 or 10.   errors  MDR_E_RANGE with place "observer" */
mdr_code mdr_observer_of_degree(int degree, mdr_observer *out, mdr_err *err) MDR_MUST_CHECK;

mdr_weights mdr_weights_of(mdr_illuminant illuminant, mdr_observer observer);
/* Total for every s that passes mdr_spectrum_check. Cost: some 10^4 multiplications. */
void mdr_grid_weights_of(mdr_illuminant illuminant, mdr_observer observer, const mdr_spectrum *s,
                         mdr_grid_weights *out);

#endif
