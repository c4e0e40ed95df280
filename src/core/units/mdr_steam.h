/*
 * mdr_steam.h - saturated steam in a heat exchanger: its temperature and its heat.
 *
 * Layer: core/units (pure). Pressures are gauge pressures, in bar above 1.01325 bar.
 * Methods: docs/methods/heat.md#steam
 *
 * Sources (keys of docs/sources.md)
 *   [iapws-if97] IAPWS R7-97(2012), region 4: the saturation line, equations 29 to 31 and table 34
 *   latent heat: data/units/steam_saturation.csv, computed from the same formulation
 */
#ifndef MDR_STEAM_H
#define MDR_STEAM_H

#define MDR_STEAM_BARG_MIN 0.0
#define MDR_STEAM_BARG_MAX 12.0
#define MDR_STEAM_ATM_BAR  1.01325 /* standard atmosphere; exact by definition */

/* Saturation pressure, MPa absolute; temp_k in [273.15, 647.096]. */
double mdr_steam_if97_pressure_mpa(double temp_k);
/* Saturation temperature, K; pressure_mpa in [0.000611213, 22.064]. */
double mdr_steam_if97_temp_k(double pressure_mpa);

/* Temperature of saturated steam, degC; barg in [0, 12]. Within 0.001 K of the standard. */
double mdr_steam_sat_temp_c(double barg);
/* Heat given up when 1 kg of saturated steam condenses, kJ/kg; barg in [0, 12], else stops.
 * Between the rows of the table linear in temperature: within 0.15 kJ/kg. */
double mdr_steam_hfg_kj_per_kg(double barg);
/* Vapour pressure above a bath, bar absolute; temp_c in [0, 200]. Above 1.01325 it boils in an
 * open vessel. */
double mdr_steam_vapour_bara(double temp_c);

#endif
