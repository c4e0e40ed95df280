/*
 * mdr_inspect.h - the arithmetic of fabric inspection: dimensional change, bow and skew, g/m2 by
 * cutter, the four-point system.
 *
 * Layer: core/knit (pure). Methods: docs/methods/specification.md#inspection
 *
 * Sources (keys of docs/sources.md)
 *   [iso-5077]     dimensional change, % of the original; negative: shrinkage. AATCC 135 likewise
 *   [mass-balance] what a later change of length or width does to the rest
 *   [astm-d3882]   bow and skew, % of the width
 *   [aatcc-179]    skew after washing, option 1
 *   [iso-12127]    g/m2 of a small sample
 *   [astm-d5430]   four-point system; the worked examples of the pages named there
 */
#ifndef MDR_INSPECT_H
#define MDR_INSPECT_H

#include <stdbool.h>

#include "base/mdr_err.h"

/* 100 (after - before)/before, %; negative: shrinkage. before > 0. */
double mdr_inspect_change_pct(double before_cm, double after_cm);
/* Shrinkage left, %, after the length (or width) was made `ratio` times what it was; positive: it
 * gets smaller. ratio > 0. 10 % and 8 % overfeed (ratio 1/1.08) leave 2.8 %. */
double mdr_inspect_residual_pct(double shrink_pct, double ratio);
/* g/m2 after length and width became so many times what they were; ratios > 0. */
double mdr_inspect_gsm_after(double gsm, double length_ratio, double width_ratio);
/* g/m2 of a sample of this area; the round cutter has 100 cm2. area_cm2 > 0. */
double mdr_inspect_gsm_of_sample(double mass_g, double area_cm2);

/* Bow or skew, % of the width; width > 0, same unit. */
double mdr_inspect_bow_pct(double distance_cm, double width_cm);
/* Skew after washing from the two diagonals of a square marked before: 200 (AC - BD)/(AC + BD).
 * Positive: AC is the longer. Both > 0. */
double mdr_inspect_skew_pct(double ac_cm, double bd_cm);

typedef enum mdr_inspect_unit {
    MDR_INSPECT_INCH, /* 3, 6, 9 inch; holes 1 inch; per yard */
    MDR_INSPECT_MM,   /* 75, 150, 230 mm; holes 25 mm; per metre */
} mdr_inspect_unit;

typedef struct mdr_inspect_defect {
    double at;     /* along the piece, yd or m, >= 0 */
    double length; /* inch or mm, > 0 */
    bool hole;
} mdr_inspect_defect;

/* 1 to 4 by length; a hole or opening 2 or 4. 0 for a length that is not > 0. */
int mdr_inspect_points(mdr_inspect_unit unit, double length, bool hole);

enum { MDR_INSPECT_DEFECTS_MAX = 5000, MDR_INSPECT_POINTS_MAX = 4 };
/*
 * Points of the piece, at most 4 in any one yard (metre), counted from 0. A defect that runs on is
 * to be given once for each yard it covers.
 *   errors  MDR_E_ARG (place "defects") n outside 0 .. 5000; MDR_E_RANGE (place
 *           "defects[i].at", ".length") not finite, at < 0 or > 1e6, length not > 0
 *   cost    O(n^2)
 */
mdr_code mdr_inspect_total(mdr_inspect_unit unit, const mdr_inspect_defect *defects, int n,
                           int *points, mdr_err *err) MDR_MUST_CHECK;

/* Points per 100 square yards: 3600 P/(yd x inch); both > 0. */
double mdr_inspect_per_100_yd2(double points, double length_yd, double width_inch);
/* Points per 100 square metres: 100 000 P/(m x mm); both > 0. */
double mdr_inspect_per_100_m2(double points, double length_m, double width_mm);
/* Not above the buyer's limit; both in the same unit. The limit is the buyer's own: 40 for a
 * piece, or 28 with 20 on average over all, are seen. */
bool mdr_inspect_passes(double points_per_100, double limit_per_100);

#endif
