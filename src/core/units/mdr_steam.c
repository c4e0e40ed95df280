#include "core/units/mdr_steam.h"

#include <math.h>

#include "num/mdr_interp.h"

/* data/units/steam_saturation.csv: bar gauge, degC, kJ/kg */
enum { BARG, TEMP, HFG, STEAM_COLS };
extern const double steam_saturation[][STEAM_COLS];
extern const int steam_saturation_rows;

/* [iapws-if97] table 34; N[0] is unused, so that the indices are those of the standard */
static const double N[11] = {
    0.0,
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
};
static const double KELVIN_AT_0C = 273.15;
static const double BAR_PER_MPA = 10.0;

/* [iapws-if97] eq. 30 with theta of eq. 29b */
double mdr_steam_if97_pressure_mpa(double temp_k)
{
    const double theta = temp_k + N[9] / (temp_k - N[10]);
    const double a = theta * theta + N[1] * theta + N[2];
    const double b = N[3] * theta * theta + N[4] * theta + N[5];
    const double c = N[6] * theta * theta + N[7] * theta + N[8];
    const double root = 2.0 * c / (-b + sqrt(b * b - 4.0 * a * c));
    return root * root * root * root;
}

/* [iapws-if97] eq. 31 with beta of eq. 29a */
double mdr_steam_if97_temp_k(double pressure_mpa)
{
    const double beta = sqrt(sqrt(pressure_mpa));
    const double e = beta * beta + N[3] * beta + N[6];
    const double f = N[1] * beta * beta + N[4] * beta + N[7];
    const double g = N[2] * beta * beta + N[5] * beta + N[8];
    const double d = 2.0 * g / (-f - sqrt(f * f - 4.0 * e * g));
    const double s = N[10] + d;
    return 0.5 * (s - sqrt(s * s - 4.0 * (N[9] + N[10] * d)));
}

double mdr_steam_sat_temp_c(double barg)
{
    return mdr_steam_if97_temp_k((barg + MDR_STEAM_ATM_BAR) / BAR_PER_MPA) - KELVIN_AT_0C;
}

/* The heat of condensation is nearly straight over temperature, but bent over pressure. The band
 * is found by pressure, so that the rounded temperatures of the table cannot push the ends out. */
double mdr_steam_hfg_kj_per_kg(double barg)
{
    const int band =
        mdr_interp_band(&steam_saturation[0][BARG], steam_saturation_rows, STEAM_COLS, barg);
    const double *low = steam_saturation[band], *high = steam_saturation[band + 1];
    const double from_c = mdr_steam_sat_temp_c(low[BARG]);
    const double to_c = mdr_steam_sat_temp_c(high[BARG]);
    const double share = (mdr_steam_sat_temp_c(barg) - from_c) / (to_c - from_c);
    return (1.0 - share) * low[HFG] + share * high[HFG];
}

double mdr_steam_vapour_bara(double temp_c)
{
    return mdr_steam_if97_pressure_mpa(temp_c + KELVIN_AT_0C) * BAR_PER_MPA;
}
