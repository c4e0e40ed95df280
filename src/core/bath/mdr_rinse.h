/*
 * mdr_rinse.h - how many rinses, how much water and how long, until little enough is left of what
 * was dissolved.
 *
 * Three ways from the same start, the drained rope, to compare: fill and drain; one overflow at
 * constant liquor; the same water as the overflow in equal fills, which shows how much of an
 * overflow's water leaves unused.
 *
 * Layer: core/bath (pure). Ideal mixing between rope and bath; salt and alkali follow that when
 * the run is long enough, dye that holds on to the fibre does not (mdr_washoff.h).
 * Methods: docs/methods/rinsing.md
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]           fill and drain, C/C0 = (R/LR)^n
 *   [perfectly-mixed-tank]   overflow, exp(-Q t/V)
 */
#ifndef MDR_RINSE_H
#define MDR_RINSE_H

#include "base/mdr_err.h"

typedef struct mdr_rinse_in {
    double load_kg;
    double ratio_l_per_kg;    /* of the rinse bath */
    double retained_l_per_kg; /* what the drained rope keeps, less than the ratio */
    double start_g_per_l;     /* in the liquor of the drained rope */
    double target_g_per_l;    /* less than the start */
    double flow_l_per_min;    /* of the overflow */
    double fill_l_per_min, drain_l_per_min;
    double run_min; /* circulation that lets rope and bath come together, each bath */
} mdr_rinse_in;

typedef struct mdr_rinse_way {
    double baths; /* a whole number */
    double end_g_per_l;
    double water_l, water_l_per_kg;
    double minutes; /* from the drained rope to the drained rope */
} mdr_rinse_way;

/* All of `in` finite and above 0, retained_l_per_kg at most 95 % of the ratio, target < start; else
 * MDR_E_RANGE with the field as the place. The functions below ask for an `in` that passes. */
mdr_code mdr_rinse_check(const mdr_rinse_in *in, mdr_err *err) MDR_MUST_CHECK;

/* The smallest number of fills and drains that reaches the target. A target that is met but for a
 * hair (1e-9 of a rinse) is not another rinse. */
mdr_rinse_way mdr_rinse_fill_drain(const mdr_rinse_in *in);
/* One bath: fill, overflow at constant liquor until the target is met, drain. When the fill alone
 * dilutes enough there is no overflow and the end lies below the target. The bath runs for at
 * least run_min, with or without flow. */
mdr_rinse_way mdr_rinse_overflow(const mdr_rinse_in *in);

#endif
