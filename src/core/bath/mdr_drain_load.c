#include "core/bath/mdr_drain_load.h"

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static const double O2_G = 31.998; /* g/mol, [ciaaw] */
static const double MG_PER_KG = 1e6;

/* [cod-theoretical] */
static const double DITHIONITE_O2_MOL = 1.5; /* S2O4-- + 3/2 O2 + H2O = 2 SO4-- + 2 H+ */

typedef struct atoms {
    double c, h, n, o;
} atoms;
static const atoms ACETIC = {2, 4, 0, 2}, FORMIC = {1, 2, 0, 2}, CITRIC = {6, 8, 0, 7};

double mdr_drain_cod_of_oxygen(double o2_mol, double molar_g_per_mol)
{
    return o2_mol * O2_G / molar_g_per_mol;
}

double mdr_drain_cod_of_formula(double c, double h, double n, double o, double molar_g_per_mol)
{
    const double o2_mol = c + (h - 3.0 * n) / 4.0 - o / 2.0;
    return mdr_drain_cod_of_oxygen(o2_mol, molar_g_per_mol);
}

static double cod_of_acid(const atoms *a, int substance)
{
    return mdr_drain_cod_of_formula(a->c, a->h, a->n, a->o,
                                    mdr_substance_molar_g_per_mol(substance));
}

typedef struct make_up {
    bool known;
    double cod_g_per_g, solids;
} make_up;

static make_up make_up_of(int substance)
{
    switch ((mdr_substance)substance) {
    case MDR_SUB_NAOH:
    case MDR_SUB_NA2CO3:
    case MDR_SUB_NAHCO3:
    case MDR_SUB_NACL:
    case MDR_SUB_NA2SO4:
    case MDR_SUB_H2SO4:
        return (make_up){true, 0.0, 1.0};
    case MDR_SUB_H2O2:
        return (make_up){true, 0.0, 0.0};
    case MDR_SUB_HAC:
        return (make_up){true, cod_of_acid(&ACETIC, substance), 0.0};
    case MDR_SUB_FORMIC:
        return (make_up){true, cod_of_acid(&FORMIC, substance), 0.0};
    case MDR_SUB_CITRIC:
        return (make_up){true, cod_of_acid(&CITRIC, substance), 1.0};
    case MDR_SUB_DITHIONITE:
        return (make_up){
            true,
            mdr_drain_cod_of_oxygen(DITHIONITE_O2_MOL, mdr_substance_molar_g_per_mol(substance)),
            1.0};
    case MDR_SUB_OTHER:
    case MDR_SUB_DYE:
    case MDR_SUB_ENZYME:
    case MDR_SUB_SEQUESTRANT:
    case MDR_SUB_CATALASE:
        break;
    }
    return (make_up){false, 0.0, 0.0};
}

bool mdr_drain_cod_g_per_g(int substance, double *cod_g_per_g)
{
    const make_up m = make_up_of(substance);
    if (m.known) {
        *cod_g_per_g = m.cod_g_per_g;
    }
    return m.known;
}

double mdr_drain_solids_fraction(int substance)
{
    return make_up_of(substance).solids;
}

double mdr_drain_mean_mg_per_l(double mass_kg, double water_l)
{
    return mass_kg * MG_PER_KG / water_l;
}

/* Texts stand here because the table generator takes numbers only. Every number of [eu-bat-2022]
 * is from memory: the decision was found, its tables could not be read. */
static const mdr_band BANDS[] = {
    [MDR_BAND_WATER_BLEACH] = {"water, batch bleaching", "m3/t", 10, 32, "eu-bat-2022", true},
    [MDR_BAND_WATER_SCOUR] = {"water, batch scouring of cellulosics", "m3/t", 5, 15, "eu-bat-2022",
                              true},
    [MDR_BAND_WATER_DYE] = {"water, batch dyeing of fabric", "m3/t", 10, 150, "eu-bat-2022", true},
    [MDR_BAND_WATER_LOT] = {"water, whole lot", "L/kg", 40, 100, "common-practice", false},
    [MDR_BAND_STEAM_LOT] = {"steam, whole lot", "kg/kg", 4, 8, "common-practice", false},
    [MDR_BAND_POWER_LOT] = {"power, whole lot", "kWh/kg", 0.6, 1.2, "common-practice", false},
    [MDR_BAND_COD_DISCHARGE] = {"oxygen demand, direct discharge after treatment", "mg/L", 40, 100,
                                "eu-bat-2022", true},
};
_Static_assert(sizeof BANDS / sizeof BANDS[0] == MDR_BAND_COUNT, "one row a band");

const mdr_band *mdr_drain_bands(int *n)
{
    *n = MDR_BAND_COUNT;
    return BANDS;
}

mdr_band_verdict mdr_drain_band_verdict(const mdr_band *band, double value)
{
    if (value < band->low) {
        return MDR_BAND_BELOW;
    }
    return value > band->high ? MDR_BAND_ABOVE : MDR_BAND_WITHIN;
}
