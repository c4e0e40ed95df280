/*
 * mdr_match.h - the doses of given dyes that come nearest to a standard, within their limits.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-search.md
 *
 *   F^2 = D1^2 + t T^2
 *   D1   difference under the first light, by the formula that was agreed on
 *   T    what decides among recipes that are equal under it: root mean square, weighted, of the
 *        differences under the other lights, or of the reflectance over the bands, in %
 *   t    how much of it: 0.01 moves a match by some hundredths (invented)
 *
 * Symbols: c depth, % owf as weighed.
 *
 * Sources (keys of docs/sources.md)
 *   [allen-1966]            start
 *   [levenberg-marquardt]   descent, with an active set for the limits
 */
#ifndef MDR_MATCH_H
#define MDR_MATCH_H

#include "base/mdr_arena.h"
#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_weights.h"
#include "core/recipe/mdr_mixture.h"

enum { MDR_COMBO_MAX = 4 };
#define MDR_TIE_WEIGHT 0.01

typedef enum mdr_tie { MDR_TIE_LIGHTS, MDR_TIE_SPECTRUM } mdr_tie;

/* What is to be matched, and how it is judged. */
typedef struct mdr_target {
    mdr_curve standard;                       /* as measured, on the instrument of the ladders */
    const mdr_weights *light[MDR_LIGHTS_MAX]; /* the first decides */
    double light_weight[MDR_LIGHTS_MAX];      /* among the others; that of the first is not asked */
    int lights;
    mdr_tie tie; /* MDR_TIE_LIGHTS with one light only: no tie-break */
    double tie_weight;
    mdr_difference_spec formula;
} mdr_target;

/* One dye, or several in a fixed ratio that are dosed as one. */
typedef struct mdr_dye {
    const mdr_ladder *ladder[MDR_COMBO_MAX];
    double strength_factor[MDR_COMBO_MAX];
    double share[MDR_COMBO_MAX]; /* of depth, over that of the first; share[0] = 1 */
    int parts;                   /* 1: a dye on its own */
    double limit_pct_owf;        /* of the first; 0: as deep as the ladders tell */
} mdr_dye;
mdr_dye mdr_dye_of(const mdr_ladder *ladder);

typedef struct mdr_match {
    double depth_pct_owf[MDR_COMBO_MAX]; /* of the first part of each */
    double de;                           /* D1 */
    double tie;                          /* T */
    double objective;                    /* F */
    int evaluations;
    bool at_limit[MDR_COMBO_MAX]; /* held by the depth limit */
    bool at_zero[MDR_COMBO_MAX];  /* of no use here */
    bool converged;               /* F cannot be lowered by 1e-5 from here, as far as slopes tell */
} mdr_match;

/*
 *   dyes    n of them, 1 .. MDR_COMBO_MAX
 *   errors  MDR_E_ARG   n ("dyes"), lights ("lights"), parts ("dyes[i].parts"), no ladder
 *           MDR_E_RANGE curve of the standard not in (0, 1.5] ("standard.NNNnm"), weights negative or
 *                       all 0 ("light_weight"), tie_weight not in [1e-5, 1] ("tie_weight"), spec of
 *                       the formula ("formula.l"), strength_factor, share, limit
 *           MDR_E_NOMEM
 */
mdr_code mdr_match_dyes(const mdr_cloth *cloth, const mdr_target *shade, const mdr_dye *dyes, int n,
                        mdr_arena *arena, mdr_match *out, mdr_err *err) MDR_MUST_CHECK;

#endif
