/*
 * mdr_hardness.h - water hardness in the units mills, laboratories and suppliers use.
 *
 * Layer: core/units (pure). Inside the program hardness is ALWAYS mmol/L of calcium plus
 * magnesium; the other units exist only at the edges.
 * Methods: docs/methods/units.md#hardness
 *
 * Sources (keys of docs/sources.md)
 *   [ciaaw]      molar masses: CaCO3 100.0869, CaO 56.0774, Ca 40.078, Mg 24.305 g/mol
 *   [nist-sp811] grain 64.79891 mg, imperial gallon 4.54609 L, US gallon 3.785411784 L (exact)
 */
#ifndef MDR_HARDNESS_H
#define MDR_HARDNESS_H

/* A wrapper, so that degrees can never be passed where mmol/L is meant. */
typedef struct mdr_hardness {
    double mmol_per_l;
} mdr_hardness;

typedef enum mdr_hardness_unit {
    MDR_HARD_MMOL_PER_L,
    MDR_HARD_DH,            /* degree German: 10 mg CaO in 1 L */
    MDR_HARD_FH,            /* degree French: 10 mg CaCO3 in 1 L */
    MDR_HARD_CLARK,         /* degree English: 1 grain CaCO3 in 1 imperial gallon */
    MDR_HARD_US_GR_PER_GAL, /* 1 grain CaCO3 in 1 US gallon */
    MDR_HARD_PPM_CACO3,     /* mg CaCO3 in 1 L */
    MDR_HARD_MG_CA_PER_L,
    MDR_HARD_MG_MG_PER_L
} mdr_hardness_unit;

/* value >= 0 in the given unit. Inverse of each other to 1e-15 relative. */
mdr_hardness mdr_hardness_of(double value, mdr_hardness_unit unit);
double mdr_hardness_in(mdr_hardness hardness, mdr_hardness_unit unit);
/* "dH", "fH", "Clark", "gr/gal (US)", "ppm CaCO3", "mmol/L", "mg/L Ca", "mg/L Mg". */
const char *mdr_hardness_unit_words(mdr_hardness_unit unit);

#endif
