/*
 * mdr_peroxide.h - hydrogen peroxide in and after the bleach: how much goes in for a whiteness,
 * how much the heat destroys, how much catalase the rest needs.
 *
 * Layer: core/bath (pure).
 * Methods: docs/methods/peroxide.md
 *
 * Sources (keys of docs/sources.md)
 *   [common-practice]  rate of decomposition, whiteness table, window and capacity of catalase,
 *                      hold-point limits: all defaults, to be calibrated
 *   [mass-balance]     catalase need and what it leaves
 *
 * Symbols: k 1/min, T degC, t min, c mg/L of H2O2 (100 %), V L, q mg H2O2 that 1 g of the
 * delivered catalase destroys.
 * Valid: stabilised alkaline bath without iron, 60 .. 110 degC.
 */
#ifndef MDR_PEROXIDE_H
#define MDR_PEROXIDE_H

#include <stdbool.h>

#include "base/mdr_err.h"

/* Hold point before the dye goes in, mg/L in the bath. Common practice. */
#define MDR_PEROXIDE_LIMIT_MG_PER_L 5.0
#define MDR_PEROXIDE_AIM_MG_PER_L   1.0

/* Where catalase works. Common practice; the maker's sheet comes first. */
#define MDR_PEROXIDE_CATALASE_PH_MIN 6.0
#define MDR_PEROXIDE_CATALASE_PH_MAX 8.0
#define MDR_PEROXIDE_CATALASE_MIN_C  30.0
#define MDR_PEROXIDE_CATALASE_MAX_C  55.0

/* First-order rate, 1/min: 0.0175 at 98 degC, twice as fast every 10 K. */
double mdr_peroxide_rate_per_min(double temp_c);
/* Minutes at 98 degC that destroy as much as `minutes` on a straight ramp from start_c to end_c
 * (or at rest, when the two are equal). Exact integral, smooth through start_c = end_c; minutes
 * of several ramps may be added. minutes >= 0. */
double mdr_peroxide_equivalent_min(double minutes, double start_c, double end_c);
/* Part of the peroxide left after this, in (0, 1]; equivalent_min >= 0. */
double mdr_peroxide_left_fraction(double equivalent_min);

/*
 * H2O2 (100 %) in the bleach bath for a CIE whiteness W10 without brightener.
 *   target_w10    40 .. 85
 *   h2o2_g_per_l  0.5 .. 5; straight between the rows of data/bath/bleach_whiteness.csv
 *   errors        MDR_E_RANGE outside the table (place "target_w10")
 */
mdr_code mdr_peroxide_for_whiteness(double target_w10, double *h2o2_g_per_l,
                                    mdr_err *err) MDR_MUST_CHECK;

/* Catalase as delivered, kg, that brings a liquor from one content of H2O2 to another; nothing
 * when it is already there. liquor_l >= 0; capacity_mg_per_g > 0 (a product without one has no
 * need that could be computed: the caller must say so). */
double mdr_peroxide_catalase_kg(double from_mg_per_l, double to_mg_per_l, double liquor_l,
                                double capacity_mg_per_g);
/* What is left once this much catalase has done its work, mg/L; liquor_l > 0. */
double mdr_peroxide_after_catalase_mg_per_l(double from_mg_per_l, double catalase_kg,
                                            double liquor_l, double capacity_mg_per_g);
/* More catalase, kg, when the check reads this: to the aim, not merely to the limit, because the
 * strip is read by eye. */
double mdr_peroxide_extra_kg(double measured_mg_per_l, double liquor_l, double capacity_mg_per_g);
/* Whether the hold point lets the lot go on. */
bool mdr_peroxide_passes(double measured_mg_per_l);
/* Whether catalase works in such a bath; the ends of the window count as inside. */
bool mdr_peroxide_catalase_ph_fits(double ph);
bool mdr_peroxide_catalase_temp_fits(double temp_c);

#endif
