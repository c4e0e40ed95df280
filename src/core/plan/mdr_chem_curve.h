/*
 * mdr_chem_curve.h - the chemistry of a planned lot over its time: pH and what is dissolved, minute
 * by minute, for charts. Made when it is asked for: it takes some milliseconds.
 *
 * Layer: core/plan, pure. At the end of each step the curve meets the figures of the plan.
 * Methods: docs/methods/bath-ph.md#over-time
 */
#ifndef MDR_CHEM_CURVE_H
#define MDR_CHEM_CURVE_H

#include "core/plan/mdr_plan.h"

typedef struct mdr_chem_point {
    int bath; /* number */
    double t_min, temp_c;
    bool ph_known;
    double ph, ph_uncertainty;
    double salt_g_per_l, soda_g_per_l, caustic_g_per_l; /* 100 %; soda with hydrogen carbonate */
    double acid_g_per_l, peroxide_g_per_l, dithionite_g_per_l;
    double hardness_dh; /* that no sequestrant holds, as at the end of the bath */
} mdr_chem_point;

typedef struct mdr_chem_curve {
    mdr_chem_point *points; /* t_min never falls */
    int n;
} mdr_chem_curve;

/* errors: MDR_E_NOMEM */
mdr_code mdr_chem_curve_make(const mdr_plan *plan, mdr_arena *arena, mdr_chem_curve *out,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
