/*
 * mdr_difference.h - how far two colours are apart, by the formula that was agreed on.
 *
 * Every difference comes in parts (lightness, chroma, hue), plain and weighted by the formula, so
 * that a verdict can say what is wrong and not only that something is.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#differences
 *
 * Sources (keys of docs/sources.md)
 *   [cie-15]            CIELAB difference (1976), CIE94, CIEDE2000
 *   [iso-105-j03]       CMC(l:c)
 *   [sharma-ciede2000]  CIEDE2000: how to compute it, and 34 pairs
 *   [din-6176]          DIN99
 *   [seve-hue]          hue difference without taking a square root of a small difference
 *
 * CMC and CIE94 are weighted by the *standard*: exchanging the two colours gives another number.
 * Hues that are opposite to within 1e-9 degree count as opposite exactly, and chroma below 1e-9 as
 * grey; without that, the last bit of an arc tangent decides about the third digit of CIEDE2000.
 *
 * DIN99 takes L* below 0, which no measured colour has, as 0.
 *
 * All functions are total; finite colours with |L*|, |a*|, |b*| below 1e6 give finite numbers.
 */
#ifndef MDR_DIFFERENCE_H
#define MDR_DIFFERENCE_H

#include <stdbool.h>

#include "core/colour/mdr_cielab.h"

/* Lights that a shade is judged under at most: the deciding one and those of shop, home, office. */
enum { MDR_LIGHTS_MAX = 8 };

typedef enum mdr_difference_formula {
    MDR_DE_76,
    MDR_DE_CMC,
    MDR_DE_94,
    MDR_DE_2000,
    MDR_DE_DIN99,
    MDR_DE_COUNT
} mdr_difference_formula;

/* The weights of lightness, chroma and hue that go with a formula. CMC: l and c (hue is 1). CIE94,
 * CIEDE2000: kL, kC, kH. DIN99: kE and kCH in l and c. 1976: none. All above 0. */
typedef struct mdr_difference_spec {
    mdr_difference_formula formula;
    double l, c, h;
} mdr_difference_spec;

typedef struct mdr_difference {
    double de;                 /* the difference by the formula */
    double dl, da, db, dc, dh; /* CIELAB, sample - standard; dh > 0: counter-clockwise, hue rises */
    double wl, wc, wh;         /* the formula's own parts, weighted, with their signs */
    double rotation;           /* CIEDE2000: RT; else 0.  de^2 = wl^2 + wc^2 + wh^2 + RT wc wh */
} mdr_difference;

/* "CMC"; MDR_DE_76 is "CIE76". */
const char *mdr_difference_name(mdr_difference_formula formula);
/* What the trade takes when nothing else is agreed: CMC 2:1, CIE94 for textiles 2:1:1, CIEDE2000
 * 1:1:1, DIN99 1:1. */
mdr_difference_spec mdr_difference_usual(mdr_difference_formula formula);
/* errors: MDR_E_RANGE with place "l", "c" or "h": not finite, or not in [0.1, 10] */
mdr_code mdr_difference_check(const mdr_difference_spec *spec, mdr_err *err) MDR_MUST_CHECK;

/* The divisors of dL, dC and dH where they hang on the standard alone: 1976, CMC, CIE94. False for the
 * others; `over` is then as it was. */
bool mdr_difference_fixed(mdr_lab standard, const mdr_difference_spec *spec, double over[3]);
mdr_difference mdr_difference_of(mdr_lab standard, mdr_lab sample, const mdr_difference_spec *spec);

/* The same numbers without parts, for loops. */
double mdr_difference_76(mdr_lab standard, mdr_lab sample);
double mdr_difference_cmc(mdr_lab standard, mdr_lab sample, double l, double c);
/* K1, K2 of CIE94: 0.045, 0.015 for graphic arts (kL 1), 0.048, 0.014 for textiles (kL 2). */
double mdr_difference_94(mdr_lab standard, mdr_lab sample, double kl, double k1, double k2);
double mdr_difference_2000(mdr_lab one, mdr_lab other, double kl, double kc, double kh);
double mdr_difference_din99(mdr_lab one, mdr_lab other, double ke, double kch);

/* CMC from one standard to many samples: what hangs on the standard alone is worked out once. */
typedef struct mdr_cmc {
    mdr_lab standard;
    double c_standard;             /* its chroma */
    double over_l, over_c, over_h; /* 1 / (l SL), 1 / (c SC), 1 / SH */
} mdr_cmc;
mdr_cmc mdr_cmc_from(mdr_lab standard, double l, double c);
double mdr_cmc_to(const mdr_cmc *from, mdr_lab sample);

#endif
