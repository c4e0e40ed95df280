/*
 * mdr_metamerism.h - what another light makes of a match, and of one colour alone.
 *
 *   metamerism    two cloths that match under the reference light: how far they are apart under
 *                 another. What they differ by already under the reference is taken out first, as a
 *                 factor on X, Y and Z each.
 *   inconstancy   one cloth: how far its colour under another light, as seen by an eye that has got
 *                 used to that light, is from its colour under the reference light.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#metamerism
 *
 * Sources (keys of docs/sources.md)
 *   [cie-15]       special metamerism index, change of illuminant
 *   [iso-105-j05]  inconstancy CMCCON02: chromatic adaptation by CMCCAT2000, complete (D = 1), to
 *                  D65; the matrix as in open libraries, the rest from memory
 */
#ifndef MDR_METAMERISM_H
#define MDR_METAMERISM_H

#include "core/colour/mdr_difference.h"

typedef struct mdr_metamerism {
    double reference_de;  /* under the reference light, uncorrected */
    double test_de;       /* under the other light, uncorrected */
    double index_de;      /* under the other light after the correction: the index */
    mdr_difference index; /* its parts: which way it goes off */
} mdr_metamerism;

/* errors: MDR_E_RANGE with place "sample": X, Y or Z of 0 under the reference light */
mdr_code mdr_metamerism_of(const mdr_curve *standard, const mdr_curve *sample,
                           const mdr_weights *reference, const mdr_weights *test,
                           const mdr_difference_spec *spec, mdr_metamerism *out,
                           mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_inconstancy {
    mdr_lab reference; /* the colour under the reference light */
    mdr_lab adapted;   /* the corresponding colour of the other light, seen under the reference */
    mdr_difference difference;
} mdr_inconstancy;

/* Total: weights of a light have a white above 0. */
mdr_inconstancy mdr_inconstancy_of(const mdr_curve *c, const mdr_weights *reference,
                                   const mdr_weights *test, const mdr_difference_spec *spec);
/* X, Y, Z of a colour under a light of white `from` as one under a light of white `to`. `degree` of
 * adaptation: 1 complete, 0 none. */
mdr_xyz mdr_adapted(mdr_xyz xyz, mdr_xyz from, mdr_xyz to, double degree);

#endif
