/*
 * mdr_psychro.h - moist air: the room's, the dryer's, the exhaust's.
 *
 * Layer: core/finish (pure).
 * Methods: docs/methods/drying.md#moist-air
 *
 * Sources (keys of docs/sources.md)
 *   [ashrae-psychro]  saturation over water, humidity ratio, enthalpy, wet bulb
 *
 * Symbols: p Pa; W kg of vapour per kg of DRY air; t C. Ideal gases: at saturation W is up to
 * 0.6 % lower than tables with the real-gas factor.
 * Range: 0 .. 200 C, 50 .. 120 kPa. Cost: wet bulb and dew point 60 halvings.
 */
#ifndef MDR_PSYCHRO_H
#define MDR_PSYCHRO_H

#include "base/mdr_err.h"

#define MDR_PSYCHRO_ATM_PA 101325.0
#define MDR_PSYCHRO_MAX_C  200.0
#define MDR_PSYCHRO_MIN_PA 50000.0
#define MDR_PSYCHRO_MAX_PA 120000.0
#define MDR_PSYCHRO_CP_AIR 1.006    /* kJ/(kg K) of dry air */
#define MDR_PSYCHRO_CP_VAP 1.86     /* kJ/(kg K) of vapour */
#define MDR_PSYCHRO_H_VAP  2501.0   /* kJ/kg of vapour at 0 C over water at 0 C */
#define MDR_PSYCHRO_CP_WAT 4.186    /* kJ/(kg K) of water, as in the wet bulb equation */
#define MDR_PSYCHRO_RATIO  0.621945 /* molar mass of water over that of dry air */

/* Pressure of saturated vapour over water; temp_c 0 .. 200; within 0.03 % of printed tables.
 * MDR_E_RANGE, place "temp_c". */
mdr_code mdr_psychro_saturation_pa(double temp_c, double *out, mdr_err *err) MDR_MUST_CHECK;

/* Total: kg_per_kg >= 0, vapour_pa below pressure_pa. Inverse of each other. */
double mdr_psychro_vapour_pa(double kg_per_kg, double pressure_pa);
double mdr_psychro_kg_per_kg(double vapour_pa, double pressure_pa);
/* Volume of vapour per volume of moist air, %: what an exhaust probe may show. */
double mdr_psychro_vapour_vol_pct(double kg_per_kg);
/* Of moist air, kJ per kg of dry air over dry air and water at 0 C. */
double mdr_psychro_enthalpy_kj_per_kg(double temp_c, double kg_per_kg);
/* m3 of moist air that hold 1 kg of dry air. */
double mdr_psychro_volume_m3_per_kg(double temp_c, double kg_per_kg, double pressure_pa);
/* Heat that evaporates 1 kg of water at temp_c, kJ/kg: 2501 - 2.326 t, within 0.3 % up to 80 C,
 * 0.6 % at 100. */
double mdr_psychro_latent_kj_per_kg(double temp_c);

/* Humidity ratio of air with rh_fraction (0 .. 1) of saturation. MDR_E_RANGE; MDR_E_INFEAS (place
 * "rh_fraction"): that much vapour alone has more than the whole pressure. */
mdr_code mdr_psychro_of_rh(double temp_c, double rh_fraction, double pressure_pa, double *kg_per_kg,
                           mdr_err *err) MDR_MUST_CHECK;
/* Temperature at which this air begins to drip. MDR_E_RANGE; MDR_E_INFEAS (place "kg_per_kg"): it
 * would be below 0 C. */
mdr_code mdr_psychro_dew_point_c(double kg_per_kg, double pressure_pa, double *out,
                                 mdr_err *err) MDR_MUST_CHECK;
/* Temperature of wet fabric in this air while its surface stays wet. MDR_E_RANGE; MDR_E_INFEAS
 * (place "kg_per_kg"): air over saturation, or a wet bulb below 0 C. */
mdr_code mdr_psychro_wet_bulb_c(double temp_c, double kg_per_kg, double pressure_pa, double *out,
                                mdr_err *err) MDR_MUST_CHECK;

#endif
