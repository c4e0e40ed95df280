/*
 * mdr_grey_scale.h - fastness grades from an instrument instead of an eye: change of colour and
 * staining, on the scale 5 (none), 4-5, 4 ... 1.
 *
 * Layer: core/colour (pure). Colours by D65 and 10 degree, specular included.
 * Methods: docs/methods/colour.md#grey-scales
 *
 * Sources (keys of docs/sources.md)
 *   [iso-105-a05]  change of colour; the formula from memory, bands checked at the steps of the scale
 *   [iso-105-a04]  staining; from memory, checked at the steps of the scale
 *   [iso-105-a02]  the steps of the scale for change (printed)
 * Until both have been held against the standards, call the result "by the formula of ISO 105-A05",
 * not "according to".
 *
 * All functions are total for finite colours.
 */
#ifndef MDR_GREY_SCALE_H
#define MDR_GREY_SCALE_H

#include "core/colour/mdr_cielab.h"

enum { MDR_GRADE_WORST = 2, MDR_GRADE_BEST = 10 }; /* in half grades: 9 is 4-5 */

typedef struct mdr_grey_grade {
    double difference; /* the scale's own difference */
    double rating;     /* continuous, 5 for none; may fall below 1 */
    int half_grades;   /* MDR_GRADE_WORST .. MDR_GRADE_BEST */
} mdr_grey_grade;

/* Change of colour, of the original and of what became of it. */
mdr_grey_grade mdr_grey_change(mdr_lab original, mdr_lab tested);
/* Staining of an undyed fabric. */
mdr_grey_grade mdr_grey_staining(mdr_lab undyed, mdr_lab stained);
/* "5", "4-5", "4" ... "1"; half_grades 2 .. 10, else stops. */
const char *mdr_grey_name(int half_grades);

#endif
