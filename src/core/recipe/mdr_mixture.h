/*
 * mdr_mixture.h - the colour that a recipe gives: reflectance curve of cloth and dyes together, and
 * how it answers to a little more of each dye.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-model.md#mixture
 *
 *   K/S = (K/S)cloth + sum over dyes of (K/S)ladder(c s)       Rm = surface(R(K/S))
 *
 * Symbols: c depth, % owf; s strength of the delivery in use over that of the ladder's.
 *
 * Sources (keys of docs/sources.md)
 *   [kubelka-munk]  K/S of dyes that do not scatter add up on one cloth
 */
#ifndef MDR_MIXTURE_H
#define MDR_MIXTURE_H

#include "core/recipe/mdr_ladder.h"

enum { MDR_RECIPE_DYES_MAX = 8 };

/* What is dyed: a cloth through the process without dye. */
typedef struct mdr_cloth {
    mdr_curve ks;
    mdr_surface_form surface;
} mdr_cloth;

/* errors: as mdr_km_ks with "substrate." before the place; MDR_E_RANGE too for a cloth that takes
 * no light at all in a band: the first trace of dye would have no finite effect. */
mdr_code mdr_cloth_make(const mdr_curve *measured, const mdr_surface *surface, mdr_cloth *out,
                        mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_part {
    const mdr_ladder *ladder;
    double depth_pct_owf;   /* as weighed */
    double strength_factor; /* 1: as strong as what the ladder was dyed with */
} mdr_part;

typedef struct mdr_mixture {
    mdr_curve curve;                              /* as it would be measured */
    double slope[MDR_RECIPE_DYES_MAX][MDR_BANDS]; /* d(reflectance)/d(depth_pct_owf) of each part */
    bool beyond[MDR_RECIPE_DYES_MAX];             /* deeper than the ladder's last rung */
    bool any_beyond;
} mdr_mixture;

/*
 *   parts   n of them, 0 .. MDR_RECIPE_DYES_MAX; the same ladder twice is not the ladder of the sum
 *   errors  MDR_E_ARG   n ("parts"), or a part without a ladder ("parts[i].ladder")
 *           MDR_E_RANGE strength_factor not in [0.1, 10] ("parts[i].strength_factor"), or a depth
 *                       that is negative or, times strength, beyond the ladder's limit
 *                       ("parts[i].depth_pct_owf")
 */
mdr_code mdr_mixture_of(const mdr_cloth *cloth, const mdr_part *parts, int n, mdr_mixture *out,
                        mdr_err *err) MDR_MUST_CHECK;

#endif
