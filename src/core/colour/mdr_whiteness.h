/*
 * mdr_whiteness.h - how white a bleached or brightened cloth is, how far it is from neutral white,
 * and how yellow.
 *
 *   W  = Y + 800 (xn - x) + 1700 (yn - y)
 *   T  = 900 (xn - x) - 650 (yn - y)             10 degree observer; 1000 for 2 degree
 *   YI = 100 (Cx X - Cz Z) / Y
 *
 * T > 0 greenish, T < 0 reddish. The formulas say something only about whites; outside their range
 * the numbers are given and the verdict says that they mean nothing.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#whiteness
 *
 * Sources (keys of docs/sources.md)
 *   [cie-15]     whiteness and tint for D65 (ISO 105-J02 is the same); xn, yn rounded as printed
 *   [astm-e313]  the same form for C; yellowness
 */
#ifndef MDR_WHITENESS_H
#define MDR_WHITENESS_H

#include <stdbool.h>

#include "core/colour/mdr_cielab.h"

typedef struct mdr_whiteness {
    double whiteness, tint, yellowness;
    /* Why the whiteness does not count; all false: it does. Limits from memory. */
    bool too_grey;   /* whiteness <= 40 */
    bool too_strong; /* whiteness >= 5 Y - 280: a tinted or coloured cloth, no white */
    bool too_tinted; /* tint outside -4 .. 2 */
} mdr_whiteness;

/* errors: MDR_E_ARG with place "illuminant": only D65 and C have constants; MDR_E_RANGE with place
 * "y": Y not above 0 or a part not finite */
mdr_code mdr_whiteness_of(mdr_xyz xyz, mdr_illuminant illuminant, mdr_observer observer,
                          mdr_whiteness *out, mdr_err *err) MDR_MUST_CHECK;
bool mdr_whiteness_counts(const mdr_whiteness *w);

#endif
