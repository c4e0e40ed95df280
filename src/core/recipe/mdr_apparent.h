/*
 * mdr_apparent.h - inside of the correction: strengths and cloth that explain a sample best while
 * staying near what is usual. Contracts: mdr_correct.h. Layer: core/recipe (pure).
 */
#ifndef MDR_APPARENT_H
#define MDR_APPARENT_H

#include "core/recipe/mdr_correct.h"

enum { MDR_UNKNOWNS = MDR_COMBO_MAX + 1 }; /* logarithm of each strength, then of the cloth's K/S */

typedef struct mdr_apparent_fit {
    double log[MDR_UNKNOWNS];
    double covariance[MDR_UNKNOWNS][MDR_UNKNOWNS];
    mdr_curve ks; /* of cloth and dyes with these strengths */
} mdr_apparent_fit;

/* Total for inputs that were checked. */
void mdr_apparent_find(const mdr_correct_in *in, mdr_apparent_fit *out);

#endif
