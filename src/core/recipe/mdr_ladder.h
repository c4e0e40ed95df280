/*
 * mdr_ladder.h - what one dye does to one cloth in one process, from a few dyed samples: K/S that
 * it adds at every wavelength, as a function of depth.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-model.md#ladder
 *
 * Between the rungs a monotone cubic runs through every one of them and through the undyed cloth;
 * beyond the last rung a straight line goes on, up to a limit. Readings that fall with more dye
 * are first brought to the nearest values that do not (pooled), and it is said how far.
 *
 * Symbols: c depth, % of dye as delivered on weight of fabric; K/S no unit.
 *
 * Sources (keys of docs/sources.md)
 *   [fritsch-carlson]  slopes of the monotone cubic: weighted harmonic mean, one-sided at the ends
 *   [isotonic]         pooling of neighbours that run backwards
 *   [kubelka-munk]     K/S of dye and cloth add up
 */
#ifndef MDR_LADDER_H
#define MDR_LADDER_H

#include <stdbool.h>

#include "core/recipe/mdr_km.h"

enum { MDR_RUNGS_MAX = 16, MDR_KNOTS_MAX = MDR_RUNGS_MAX + 1 };
#define MDR_DEPTH_MAX_PCT_OWF 30.0 /* common practice: deeper is a slipped decimal point */

typedef struct mdr_rung {
    double depth_pct_owf;
    mdr_curve curve; /* as measured */
} mdr_rung;

typedef struct mdr_ladder_in {
    const mdr_rung *rungs; /* in any order; rungs of the same depth are averaged in K/S */
    int n;                 /* 1 .. MDR_RUNGS_MAX */
    mdr_curve substrate;   /* the same cloth through the same process without dye, as measured */
    mdr_surface surface;
    double
        beyond; /* deepest allowed over deepest rung, 1 .. 3; 1.25 is a careful choice (invented) */
} mdr_ladder_in;

typedef struct mdr_ladder {
    int knots;                           /* the undyed cloth, then every depth */
    int merged;                          /* rungs that shared a depth with another */
    int pooled;                          /* values, of knots x bands, that had to be moved */
    double pooled_most_pct;              /* largest move, % of the strongest band of its rung */
    double depth_pct_owf[MDR_KNOTS_MAX]; /* rising from 0 */
    double limit_pct_owf;
    double ks[MDR_KNOTS_MAX][MDR_BANDS];    /* added to that of the cloth */
    double slope[MDR_KNOTS_MAX][MDR_BANDS]; /* d(K/S)/dc, per % owf */
} mdr_ladder;

/*
 *   errors  MDR_E_ARG   no rung, or more than MDR_RUNGS_MAX (place "rungs")
 *           MDR_E_RANGE depth not in (0, 30] ("rungs[i].depth_pct_owf"), `beyond` outside, a band
 *                       without K/S ("rungs[i].NNNnm", "substrate.NNNnm"), a wrong surface
 *           MDR_E_INFEAS the rungs add nothing anywhere: this is no dyed cloth ("rungs")
 */
mdr_code mdr_ladder_make(const mdr_ladder_in *in, mdr_ladder *out, mdr_err *err) MDR_MUST_CHECK;

/* K/S added at this depth and, unless NULL, its slope per % owf. depth >= 0; beyond the last knot
 * the straight line, whatever the limit: that is the CALLER's to watch. */
void mdr_ladder_ks(const mdr_ladder *ladder, double depth_pct_owf, double ks[MDR_BANDS],
                   double slope[MDR_BANDS]);
/* Deeper than the deepest rung. */
bool mdr_ladder_is_beyond(const mdr_ladder *ladder, double depth_pct_owf);
/* One rung: the ladder is a straight line, and what depth does to the shade is not known. */
bool mdr_ladder_is_line(const mdr_ladder *ladder);

#endif
