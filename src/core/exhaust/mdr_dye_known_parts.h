/*
 * mdr_dye_known_parts.h - inside of the search for the rates of a dye; for the files of this folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-rates.md#fit
 */
#ifndef MDR_DYE_KNOWN_PARTS_H
#define MDR_DYE_KNOWN_PARTS_H

#include "core/exhaust/mdr_dye_known.h"
#include "num/mdr_lm.h"

/* The unknowns of the search. Hydrolysis is sought as its ratio to fixation and the hydrolysed
 * dye's affinity as its gap to the other, because that is what F and E speak of. */
typedef enum mdr_seek {
    MDR_SEEK_AFFINITY,
    MDR_SEEK_LN_DIFFUSION,
    MDR_SEEK_LN_FIX,
    MDR_SEEK_LN_RATIO,
    MDR_SEEK_GAP,
    MDR_SEEK_FREE, /* what follows is never sought, but its spread widens the ranges */
    MDR_SEEK_ENTHALPY = MDR_SEEK_FREE,
    MDR_SEEK_DIFFUSION_EA,
    MDR_SEEK_FIX_EA,
    MDR_SEEK_HYDROLYSIS_EA,
    MDR_SEEK_COUNT
} mdr_seek;

typedef struct mdr_known_search {
    const mdr_dye_known *known;
    mdr_arena *arena;
    mdr_dye_group group;
    mdr_dye_rates base;
    double centre[MDR_SEEK_COUNT], spread[MDR_SEEK_COUNT];
    double weight[MDR_SEEK_COUNT]; /* of the pull back to the group, 1 in the search */
    double error_pct, error_min;
    double number[MDR_NUMBER_COUNT]; /* of the last run */
    int runs;
} mdr_known_search;

mdr_dye_rates mdr_known_rates_at(const mdr_known_search *s, const double *x);

/* mdr_dye_known_away.c: from the covariance at the rates found. */
void mdr_known_stand(const mdr_known_search *s, const mdr_lm_covariance *cov, const bool *moved,
                     mdr_dye_fit *fit);
void mdr_known_lead_away(const mdr_known_search *s, const mdr_lm_covariance *cov, const double *x,
                         mdr_dye_fit *fit);

#endif
