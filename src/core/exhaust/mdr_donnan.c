#include "core/exhaust/mdr_donnan.h"

#include <math.h>

static const double GAS_KJ_PER_MOL_K = 8.314462618e-3; /* CODATA 2018, exact to these digits */
static const double KELVIN = 273.15;                   /* definition */

double mdr_donnan_sodium_mol_per_kg(double fixed_charge_mol_per_kg, double volume_l_per_kg,
                                    double sodium_mol_per_l, double co_ion_mol_per_l)
{
    const double z = fixed_charge_mol_per_kg;
    const double salt = volume_l_per_kg * volume_l_per_kg * sodium_mol_per_l * co_ion_mol_per_l;
    return 0.5 * (z + sqrt(z * z + 4.0 * salt));
}

double mdr_donnan_affinity(double affinity_kj_per_mol, double temp_c)
{
    return exp(affinity_kj_per_mol / (GAS_KJ_PER_MOL_K * (temp_c + KELVIN)));
}

double mdr_donnan_ln_space(double charge, double volume_l_per_kg, double sodium_mol_per_l,
                           double sodium_fibre_mol_per_kg)
{
    return log(volume_l_per_kg) +
           charge * log(volume_l_per_kg * sodium_mol_per_l / sodium_fibre_mol_per_kg);
}

double mdr_donnan_partition_l_per_kg(double affinity, double charge, double volume_l_per_kg,
                                     double sodium_mol_per_l, double fixed_charge_mol_per_kg)
{
    if (!(charge > 0.0)) {
        return affinity * volume_l_per_kg;
    }
    if (!(sodium_mol_per_l > 0.0)) {
        return 0.0; /* no dye ion goes in where no sodium can go with it */
    }
    const double x = mdr_donnan_sodium_mol_per_kg(fixed_charge_mol_per_kg, volume_l_per_kg,
                                                  sodium_mol_per_l, sodium_mol_per_l);
    return affinity * exp(mdr_donnan_ln_space(charge, volume_l_per_kg, sodium_mol_per_l, x));
}

double mdr_donnan_exhaustion(double affinity, double charge, double volume_l_per_kg,
                             double carboxyl_mol_per_kg, double sodium_mol_per_l,
                             double dye_mol_per_kg, double ratio_l_per_kg)
{
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 60; i++) { /* the end of a double's digits */
        const double part = 0.5 * (low + high);
        const double partition =
            mdr_donnan_partition_l_per_kg(affinity, charge, volume_l_per_kg, sodium_mol_per_l,
                                          carboxyl_mol_per_kg + charge * dye_mol_per_kg * part);
        /* the more there is, the less it is held */
        if (partition * (1.0 - part) > part * ratio_l_per_kg) {
            low = part;
        } else {
            high = part;
        }
    }
    return 0.5 * (low + high);
}
