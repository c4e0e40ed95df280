/*
 * mdr_verdict.h - does this cloth match its standard, under every light that was agreed on, and if
 * not, what is wrong with it.
 *
 * A verdict is a result, never an error. It passes when it passes under every light: the difference
 * by the formula not above the light's limit, and every limit on a single axis kept. Limits hold
 * their own ends: a difference that equals the limit passes, to within MDR_LIMIT_SLACK (rounding).
 *
 * Layer: core/colour (pure). Methods: docs/methods/shade.md#verdict
 * Source: common practice; tolerances are the buyer's.
 */
#ifndef MDR_VERDICT_H
#define MDR_VERDICT_H

#include <stdbool.h>

#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_shade_words.h"

#define MDR_LIMIT_SLACK 1e-9 /* invented */

/* CIELAB, sample - standard */
typedef enum mdr_axis {
    MDR_AXIS_DL,
    MDR_AXIS_DA,
    MDR_AXIS_DB,
    MDR_AXIS_DC,
    MDR_AXIS_DH,
    MDR_AXIS_COUNT
} mdr_axis;

typedef struct mdr_axis_limit {
    double least, most; /* looked at only when `set` */
    bool set;
} mdr_axis_limit;

typedef struct mdr_light {
    mdr_illuminant illuminant;
    mdr_observer observer;
    double most_de; /* limit under this light, above 0 */
} mdr_light;

typedef struct mdr_tolerance {
    mdr_difference_spec spec;
    mdr_axis_limit limit[MDR_AXIS_COUNT]; /* under the first light only */
    int n_lights;                         /* 1 .. MDR_LIGHTS_MAX; the first is the main one */
    mdr_light light[MDR_LIGHTS_MAX];
} mdr_tolerance;

typedef struct mdr_verdict_light {
    mdr_lab standard, sample;
    mdr_difference difference;
    mdr_shade_words words;
    bool over_de;                   /* the formula's difference is above the limit */
    bool over_axis[MDR_AXIS_COUNT]; /* this axis is outside its limits */
    bool passes;
} mdr_verdict_light;

typedef struct mdr_verdict {
    bool passes;
    int worst; /* the light with the largest share of its limit */
    int n_lights;
    mdr_verdict_light light[MDR_LIGHTS_MAX];
} mdr_verdict;

/* "dL", "da", "db", "dC", "dH" */
const char *mdr_axis_name(mdr_axis axis);
/* One light, one limit, no limits on axes: what most orders say. */
mdr_tolerance mdr_tolerance_simple(mdr_difference_formula formula, double most_de);
/* errors: MDR_E_RANGE with place "n_lights", "light[i].most_de", "limit.dL" (least above most, or not
 * finite), or as mdr_difference_check; MDR_E_CONFLICT "light[i]" twice the same light */
mdr_code mdr_tolerance_check(const mdr_tolerance *t, mdr_err *err) MDR_MUST_CHECK;

/* Under light `i` of a tolerance that passes the check, from colours under that light. */
mdr_verdict_light mdr_verdict_under(mdr_lab standard, mdr_lab sample, const mdr_tolerance *t,
                                    int i);
/* Both by their curves, under all lights.   errors: as mdr_tolerance_check */
mdr_code mdr_verdict_of(const mdr_spectrum *standard, const mdr_spectrum *sample,
                        const mdr_tolerance *t, mdr_verdict *out, mdr_err *err) MDR_MUST_CHECK;
/* Colours as measured, one a light. */
mdr_code mdr_verdict_of_labs(const mdr_lab *standard, const mdr_lab *sample, const mdr_tolerance *t,
                             mdr_verdict *out, mdr_err *err) MDR_MUST_CHECK;

#endif
