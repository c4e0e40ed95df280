#include "core/bath/mdr_peroxide.h"

#include <math.h>

#include "num/mdr_interp.h"

/* data/bath/bleach_whiteness.csv: CIE W10, g/L of H2O2 100 % */
enum { W10, H2O2, WHITENESS_COLS };
extern const double bleach_whiteness[][WHITENESS_COLS];
extern const int bleach_whiteness_rows;

/* [common-practice]: a stabilised bleach keeps about 35 % over an hour at 98 degC, and 10 K make
 * such a decay about twice as fast */
static const double RATE_AT_98_PER_MIN = 0.0175;
static const double REFERENCE_C = 98.0;
static const double DOUBLING_K = 10.0;
static const double LN_2 = 0.69314718055994530942;
static const double G_PER_KG = 1000.0;

/* How many times faster than at 98 degC. */
static double speed(double temp_c)
{
    return exp2((temp_c - REFERENCE_C) / DOUBLING_K);
}

double mdr_peroxide_rate_per_min(double temp_c)
{
    return RATE_AT_98_PER_MIN * speed(temp_c);
}

/*
 * With T(t) = start + (end - start) t/m and x = ln 2 (end - start)/10:
 *     integral of 2^((T - 98)/10) dt over 0 .. m  =  m 2^((start - 98)/10) (e^x - 1)/x
 * expm1 keeps all digits however small x is, so only x = 0 itself needs its limit.
 */
double mdr_peroxide_equivalent_min(double minutes, double start_c, double end_c)
{
    const double x = LN_2 * (end_c - start_c) / DOUBLING_K;
    const double mean_speed = fabs(x) > 0.0 ? expm1(x) / x : 1.0;
    return minutes * speed(start_c) * mean_speed;
}

double mdr_peroxide_left_fraction(double equivalent_min)
{
    return exp(-RATE_AT_98_PER_MIN * equivalent_min);
}

mdr_code mdr_peroxide_for_whiteness(double target_w10, double *h2o2_g_per_l, mdr_err *err)
{
    const double least = bleach_whiteness[0][W10];
    const double most = bleach_whiteness[bleach_whiteness_rows - 1][W10];
    if (!(target_w10 >= least && target_w10 <= most)) { /* true for NaN too */
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "target_w10",
                                     "no bleach is known for this whiteness without brightener");
        mdr_err_value(err, "%g", target_w10);
        mdr_err_allowed(err, "%g to %g", least, most);
        mdr_err_remedy(err, "a higher white needs a second bleach or a brightener; a lower one "
                            "needs no peroxide");
        return rc;
    }
    *h2o2_g_per_l = mdr_interp_linear(&bleach_whiteness[0][W10], &bleach_whiteness[0][H2O2],
                                      bleach_whiteness_rows, WHITENESS_COLS, target_w10);
    return MDR_OK;
}

double mdr_peroxide_catalase_kg(double from_mg_per_l, double to_mg_per_l, double liquor_l,
                                double capacity_mg_per_g)
{
    const double surplus_mg = fmax(from_mg_per_l - to_mg_per_l, 0.0) * liquor_l;
    return surplus_mg / capacity_mg_per_g / G_PER_KG;
}

double mdr_peroxide_after_catalase_mg_per_l(double from_mg_per_l, double catalase_kg,
                                            double liquor_l, double capacity_mg_per_g)
{
    const double destroyed_mg_per_l = catalase_kg * G_PER_KG * capacity_mg_per_g / liquor_l;
    return fmax(from_mg_per_l - destroyed_mg_per_l, 0.0);
}

double mdr_peroxide_extra_kg(double measured_mg_per_l, double liquor_l, double capacity_mg_per_g)
{
    return mdr_peroxide_catalase_kg(measured_mg_per_l, MDR_PEROXIDE_AIM_MG_PER_L, liquor_l,
                                    capacity_mg_per_g);
}

bool mdr_peroxide_passes(double measured_mg_per_l)
{
    return measured_mg_per_l <= MDR_PEROXIDE_LIMIT_MG_PER_L;
}

bool mdr_peroxide_catalase_ph_fits(double ph)
{
    return ph >= MDR_PEROXIDE_CATALASE_PH_MIN && ph <= MDR_PEROXIDE_CATALASE_PH_MAX;
}

bool mdr_peroxide_catalase_temp_fits(double temp_c)
{
    return temp_c >= MDR_PEROXIDE_CATALASE_MIN_C && temp_c <= MDR_PEROXIDE_CATALASE_MAX_C;
}
