#include "core/units/mdr_hardness.h"

#include "base/mdr_err.h"

/* g/mol, [ciaaw] */
static const double CACO3_G = 100.0869, CAO_G = 56.0774, CA_G = 40.078, MG_G = 24.305;
/* [nist-sp811], exact */
static const double MG_PER_GRAIN = 64.79891, L_PER_IMPERIAL_GAL = 4.54609,
                    L_PER_US_GAL = 3.785411784;
static const double MG_PER_DEGREE = 10.0; /* of CaO (German) or CaCO3 (French) in 1 L */

/* mmol/L in one unit */
static double factor(mdr_hardness_unit unit)
{
    switch (unit) {
    case MDR_HARD_MMOL_PER_L:
        return 1.0;
    case MDR_HARD_DH:
        return MG_PER_DEGREE / CAO_G;
    case MDR_HARD_FH:
        return MG_PER_DEGREE / CACO3_G;
    case MDR_HARD_CLARK:
        return MG_PER_GRAIN / L_PER_IMPERIAL_GAL / CACO3_G;
    case MDR_HARD_US_GR_PER_GAL:
        return MG_PER_GRAIN / L_PER_US_GAL / CACO3_G;
    case MDR_HARD_PPM_CACO3:
        return 1.0 / CACO3_G;
    case MDR_HARD_MG_CA_PER_L:
        return 1.0 / CA_G;
    case MDR_HARD_MG_MG_PER_L:
        return 1.0 / MG_G;
    }
    MDR_UNREACHABLE();
}

mdr_hardness mdr_hardness_of(double value, mdr_hardness_unit unit)
{
    return (mdr_hardness){value * factor(unit)};
}

double mdr_hardness_in(mdr_hardness hardness, mdr_hardness_unit unit)
{
    return hardness.mmol_per_l / factor(unit);
}

const char *mdr_hardness_unit_words(mdr_hardness_unit unit)
{
    switch (unit) {
    case MDR_HARD_MMOL_PER_L:
        return "mmol/L";
    case MDR_HARD_DH:
        return "dH";
    case MDR_HARD_FH:
        return "fH";
    case MDR_HARD_CLARK:
        return "Clark";
    case MDR_HARD_US_GR_PER_GAL:
        return "gr/gal (US)";
    case MDR_HARD_PPM_CACO3:
        return "ppm CaCO3";
    case MDR_HARD_MG_CA_PER_L:
        return "mg/L Ca";
    case MDR_HARD_MG_MG_PER_L:
        return "mg/L Mg";
    }
    MDR_UNREACHABLE();
}
