#include "core/bath/mdr_sequester.h"

#include <math.h>

static const double CACO3_G = 100.0869, CA_G = 40.078, MG_G = 24.305; /* g/mol, [ciaaw] */
static const double MG_PER_G = 1000.0;

double mdr_sequester_fabric_mmol_per_kg(double calcium_mg_per_kg, double magnesium_mg_per_kg)
{
    return calcium_mg_per_kg / CA_G + magnesium_mg_per_kg / MG_G;
}

mdr_hardness mdr_sequester_released(double fabric_mmol_per_kg, double released_part,
                                    double ratio_l_per_kg)
{
    return (mdr_hardness){fabric_mmol_per_kg * released_part / ratio_l_per_kg};
}

double mdr_sequester_fabric_left_mmol_per_kg(double fabric_mmol_per_kg, double released_part)
{
    return fabric_mmol_per_kg * (1.0 - released_part);
}

mdr_hardness mdr_sequester_total(mdr_hardness water, mdr_hardness released)
{
    return (mdr_hardness){water.mmol_per_l + released.mmol_per_l};
}

mdr_hardness mdr_sequester_bound(double conc_g_per_l, double capacity_mg_caco3_per_g)
{
    return mdr_hardness_of(conc_g_per_l * capacity_mg_caco3_per_g, MDR_HARD_PPM_CACO3);
}

mdr_hardness mdr_sequester_free(mdr_hardness total, mdr_hardness bound)
{
    return (mdr_hardness){fmax(total.mmol_per_l - bound.mmol_per_l, 0.0)};
}

double mdr_sequester_need_g_per_l(mdr_hardness total, mdr_hardness allowed,
                                  double capacity_mg_caco3_per_g)
{
    const mdr_hardness excess = mdr_sequester_free(total, allowed);
    return mdr_hardness_in(excess, MDR_HARD_PPM_CACO3) / capacity_mg_caco3_per_g;
}

double mdr_sequester_capacity_1to1_mg_caco3_per_g(double molar_g_per_mol)
{
    return CACO3_G * MG_PER_G / molar_g_per_mol;
}
