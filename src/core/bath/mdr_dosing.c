#include "core/bath/mdr_dosing.h"

#include <math.h>

static const double G_PER_KG = 1000.0;
/* a sum of rounded products may end a hair above a full tank */
static const double LOAD_SLACK = 1e-9;

double mdr_dosing_linear(double tau)
{
    return tau;
}

double mdr_dosing_power(double tau, double exponent)
{
    return pow(tau, exponent);
}

double mdr_dosing_power_rate(double tau, double exponent)
{
    return exponent * pow(tau, exponent - 1.0);
}

double mdr_dosing_portions(double tau, int portions)
{
    /* i/portions as a double times portions may fall just short of i */
    const double begun = floor(tau * portions + LOAD_SLACK) + 1.0;
    return fmin(begun, portions) / portions;
}

double mdr_dosing_water_l(double product_kg, double solubility_g_per_l)
{
    return product_kg * G_PER_KG / solubility_g_per_l;
}

double mdr_dosing_tank_loads(double volume_l, double tank_l)
{
    return volume_l > 0.0 ? fmax(1.0, ceil(volume_l / tank_l - LOAD_SLACK)) : 0.0;
}

double mdr_dosing_least_min(double volume_l, double flow_l_per_min, double loads,
                            double prepare_min)
{
    return volume_l / flow_l_per_min + fmax(loads - 1.0, 0.0) * prepare_min;
}

double mdr_dosing_cycles(double minutes, double cycle_min)
{
    return minutes / cycle_min;
}
