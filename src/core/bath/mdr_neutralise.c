#include "core/bath/mdr_neutralise.h"

#include <math.h>

static const double G_PER_KG = 1000.0;

double mdr_neutralise_carried_mol(double liquor_l, double conc_g_per_l, double mol_per_kg)
{
    return liquor_l * conc_g_per_l / G_PER_KG * mol_per_kg;
}

double mdr_neutralise_open_mol(double alkali_mol, double acid_mol)
{
    return fmax(alkali_mol - acid_mol, 0.0);
}

double mdr_neutralise_acid_kg(double alkali_mol, double acid_mol_per_kg)
{
    return alkali_mol / acid_mol_per_kg;
}
