#include "core/finish/mdr_psychro.h"

#include <math.h>
#include <stdbool.h>

#include "core/finish/mdr_bound.h"

static const double ZERO_C_K = 273.15;
static const double R_AIR = 287.042; /* J/(kg K) of dry air, [ashrae-psychro] */

/* ln p over liquid water, 0 .. 200 C: C8 .. C13 of [ashrae-psychro] */
static double saturation_pa(double temp_c)
{
    const double c8 = -5800.2206, c9 = 1.3914993, c10 = -0.048640239, c11 = 4.1764768e-5;
    const double c12 = -1.4452093e-8, c13 = 6.5459673;
    const double t = temp_c + ZERO_C_K;
    return exp(c8 / t + c9 + t * (c10 + t * (c11 + t * c12)) + c13 * log(t));
}

static mdr_bound temp(double temp_c)
{
    return (mdr_bound){"temp_c", temp_c, 0.0, MDR_PSYCHRO_MAX_C};
}
static mdr_bound pressure(double pressure_pa)
{
    return (mdr_bound){"pressure_pa", pressure_pa, MDR_PSYCHRO_MIN_PA, MDR_PSYCHRO_MAX_PA};
}
/* 10 kg/kg is 94 % vapour: nearer to steam than to air */
static mdr_bound humidity(double kg_per_kg)
{
    return (mdr_bound){"kg_per_kg", kg_per_kg, 0.0, 10.0};
}

static const char *const OUTSIDE = "moist air is not worked out in this range";

mdr_code mdr_psychro_saturation_pa(double temp_c, double *out, mdr_err *err)
{
    const mdr_bound t = temp(temp_c);
    MDR_TRY(mdr_bound_check(&t, 1, OUTSIDE, err));
    *out = saturation_pa(temp_c);
    return MDR_OK;
}

double mdr_psychro_vapour_pa(double kg_per_kg, double pressure_pa)
{
    return pressure_pa * kg_per_kg / (MDR_PSYCHRO_RATIO + kg_per_kg);
}

double mdr_psychro_kg_per_kg(double vapour_pa, double pressure_pa)
{
    return MDR_PSYCHRO_RATIO * vapour_pa / (pressure_pa - vapour_pa);
}

double mdr_psychro_vapour_vol_pct(double kg_per_kg)
{
    return mdr_psychro_vapour_pa(kg_per_kg, 100.0);
}

double mdr_psychro_enthalpy_kj_per_kg(double temp_c, double kg_per_kg)
{
    return MDR_PSYCHRO_CP_AIR * temp_c +
           kg_per_kg * (MDR_PSYCHRO_H_VAP + MDR_PSYCHRO_CP_VAP * temp_c);
}

double mdr_psychro_volume_m3_per_kg(double temp_c, double kg_per_kg, double pressure_pa)
{
    return R_AIR * (temp_c + ZERO_C_K) * (1.0 + kg_per_kg / MDR_PSYCHRO_RATIO) / pressure_pa;
}

double mdr_psychro_latent_kj_per_kg(double temp_c)
{
    return MDR_PSYCHRO_H_VAP - (MDR_PSYCHRO_CP_WAT - MDR_PSYCHRO_CP_VAP) * temp_c;
}

mdr_code mdr_psychro_of_rh(double temp_c, double rh_fraction, double pressure_pa, double *kg_per_kg,
                           mdr_err *err)
{
    const mdr_bound all[] = {
        temp(temp_c), {"rh_fraction", rh_fraction, 0.0, 1.0}, pressure(pressure_pa)};
    MDR_TRY(mdr_bound_check(all, 3, OUTSIDE, err));
    const double vapour = rh_fraction * saturation_pa(temp_c);
    if (!(vapour < pressure_pa)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "rh_fraction",
                                     "above boiling there is no air of this humidity");
        mdr_err_value(err, "%g", rh_fraction);
        mdr_err_allowed(err, "less than %g", pressure_pa / saturation_pa(temp_c));
        mdr_err_remedy(err, "give the humidity ratio of the hot air instead");
        return rc;
    }
    *kg_per_kg = mdr_psychro_kg_per_kg(vapour, pressure_pa);
    return MDR_OK;
}

static mdr_code below_freezing(double kg_per_kg, const char *what, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "kg_per_kg", "the %s is below 0 C", what);
    mdr_err_value(err, "%g", kg_per_kg);
    mdr_err_remedy(err, "such dry air does not leave a dryer: check the humidity");
    return rc;
}

mdr_code mdr_psychro_dew_point_c(double kg_per_kg, double pressure_pa, double *out, mdr_err *err)
{
    const mdr_bound all[] = {humidity(kg_per_kg), pressure(pressure_pa)};
    MDR_TRY(mdr_bound_check(all, 2, OUTSIDE, err));
    const double vapour = mdr_psychro_vapour_pa(kg_per_kg, pressure_pa);
    double low = 0.0, high = MDR_PSYCHRO_MAX_C;
    if (vapour < saturation_pa(low)) {
        return below_freezing(kg_per_kg, "dew point", err);
    }
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (saturation_pa(middle) < vapour) {
            low = middle;
        } else {
            high = middle;
        }
    }
    *out = 0.5 * (low + high);
    return MDR_OK;
}

/* Would air with this wet bulb be more humid than kg_per_kg? Its humidity rises with its wet
 * bulb, without end towards boiling. */
static bool too_humid(double bulb_c, double temp_c, double kg_per_kg, double pressure_pa)
{
    const double vapour = saturation_pa(bulb_c);
    if (vapour >= pressure_pa) {
        return true;
    }
    const double saturated = mdr_psychro_kg_per_kg(vapour, pressure_pa);
    const double humid =
        (mdr_psychro_latent_kj_per_kg(bulb_c) * saturated -
         MDR_PSYCHRO_CP_AIR * (temp_c - bulb_c)) /
        (MDR_PSYCHRO_H_VAP + MDR_PSYCHRO_CP_VAP * temp_c - MDR_PSYCHRO_CP_WAT * bulb_c);
    return humid > kg_per_kg;
}

mdr_code mdr_psychro_wet_bulb_c(double temp_c, double kg_per_kg, double pressure_pa, double *out,
                                mdr_err *err)
{
    const mdr_bound all[] = {temp(temp_c), humidity(kg_per_kg), pressure(pressure_pa)};
    MDR_TRY(mdr_bound_check(all, 3, OUTSIDE, err));
    double low = 0.0, high = temp_c;
    if (too_humid(low, temp_c, kg_per_kg, pressure_pa)) {
        return below_freezing(kg_per_kg, "wet bulb", err);
    }
    const double vapour = mdr_psychro_vapour_pa(kg_per_kg, pressure_pa);
    const double full = saturation_pa(temp_c);
    if (vapour > full * (1.0 + 1e-12)) { /* saturated but for rounding is not too much */
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_INFEAS, "kg_per_kg", "air of this temperature cannot hold this");
        mdr_err_value(err, "%g", kg_per_kg);
        mdr_err_allowed(err, "at most %g", mdr_psychro_kg_per_kg(full, pressure_pa));
        mdr_err_remedy(err, "check humidity and temperature: mist, or a wrong unit");
        return rc;
    }
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (too_humid(middle, temp_c, kg_per_kg, pressure_pa)) {
            high = middle;
        } else {
            low = middle;
        }
    }
    *out = 0.5 * (low + high);
    return MDR_OK;
}
