#include "core/units/mdr_strength.h"

#include <stdbool.h>
#include <stddef.h>

#include "core/plan/mdr_records.h"
#include "num/mdr_interp.h"

/* data/units/<name>.csv: specific gravity, % w/w */
enum { SG, PCT, STRENGTH_COLS };
extern const double naoh_strength[][STRENGTH_COLS], nacl_strength[][STRENGTH_COLS],
    na2so4_strength[][STRENGTH_COLS];
extern const int naoh_strength_rows, nacl_strength_rows, na2so4_strength_rows;

/* data/units/h2o2_density.csv: % w/w, kg/L at 20 C */
enum { H2O2_PCT, H2O2_RHO, H2O2_COLS };
extern const double h2o2_density[][H2O2_COLS];
extern const int h2o2_density_rows;

static const double BAUME_MODULUS = 145.0;        /* [astm-baume], liquids heavier than water */
static const double WATER_60F_KG_PER_L = 0.99901; /* [iapws-if97], 15.56 C and 1 atm */
static const double TWADDELL_PER_SG = 200.0;      /* definition */

/* g/mol, sums of [ciaaw] */
static const double NAOH_G = 39.997, NA2CO3_G = 105.988, NAHCO3_G = 84.007, NACL_G = 58.443;
static const double NA2SO4_G = 142.04, NA2SO4_10H2O_G = 322.20, H2O2_G = 34.0147;
static const double ACETIC_G = 60.052, FORMIC_G = 46.025, CITRIC_G = 192.124;
static const double DITHIONITE_G = 174.11;
static const double H2SO4_G = 98.08;        /* from memory; the sum of [ciaaw] is 98.072 */
static const double GAS_L_PER_MOL = 22.414; /* ideal gas at 0 C and 1 atm, CODATA */
static const double G_PER_KG = 1000.0;

double mdr_strength_sg_of_baume(double baume)
{
    return BAUME_MODULUS / (BAUME_MODULUS - baume);
}

double mdr_strength_baume_of_sg(double sg)
{
    return BAUME_MODULUS - BAUME_MODULUS / sg;
}

double mdr_strength_density_of_baume(double baume)
{
    return mdr_strength_sg_of_baume(baume) * WATER_60F_KG_PER_L;
}

double mdr_strength_twaddell_of_sg(double sg)
{
    return TWADDELL_PER_SG * (sg - 1.0);
}

typedef struct table {
    const double (*rows)[STRENGTH_COLS];
    int n;
} table;

static table table_of(int substance)
{
    if (substance == MDR_SUB_NAOH) {
        return (table){naoh_strength, naoh_strength_rows};
    }
    if (substance == MDR_SUB_NACL) {
        return (table){nacl_strength, nacl_strength_rows};
    }
    if (substance == MDR_SUB_NA2SO4) {
        return (table){na2so4_strength, na2so4_strength_rows};
    }
    return (table){NULL, 0};
}

double mdr_strength_baume_max(int substance)
{
    const table t = table_of(substance);
    return t.n == 0 ? 0.0 : mdr_strength_baume_of_sg(t.rows[t.n - 1][SG]);
}

mdr_code mdr_strength_of_baume(int substance, double baume, double *strength_pct,
                               double *density_kg_per_l, mdr_err *err)
{
    const table t = table_of(substance);
    if (t.n == 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "baume", "no table of degree Baume for this substance");
        mdr_err_value(err, "%g", baume);
        mdr_err_allowed(err, "NaOH, NaCl or Na2SO4");
        mdr_err_remedy(err, "give strength_pct and density_kg_per_l instead of baume");
        return rc;
    }
    /* the table's end is an SG; one and the same test for both, so that the end itself passes */
    const double top = t.rows[t.n - 1][SG];
    const bool possible = baume > 0.0 && baume < BAUME_MODULUS; /* false for NaN too */
    const double sg = possible ? mdr_strength_sg_of_baume(baume) : 0.0;
    if (!possible || sg > top) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "baume", "degree Baume outside its table");
        mdr_err_value(err, "%g", baume);
        mdr_err_allowed(err, "more than 0, up to %.1f", mdr_strength_baume_of_sg(top));
        mdr_err_remedy(err, "check the reading, or give strength_pct and density_kg_per_l");
        return rc;
    }
    *strength_pct = mdr_interp_linear(&t.rows[0][SG], &t.rows[0][PCT], t.n, STRENGTH_COLS, sg);
    *density_kg_per_l = mdr_strength_density_of_baume(baume);
    return MDR_OK;
}

double mdr_strength_delivered(double active, double strength_pct)
{
    return active * 100.0 / strength_pct;
}

double mdr_strength_active(double delivered, double strength_pct)
{
    return delivered * strength_pct / 100.0;
}

double mdr_strength_volume_l(double mass_kg, double density_kg_per_l)
{
    return mass_kg / density_kg_per_l;
}

double mdr_strength_decahydrate_factor(void)
{
    return NA2SO4_10H2O_G / NA2SO4_G;
}

/* 2 H2O2 = 2 H2O + O2: one mole of gas from two moles of peroxide */
double mdr_strength_h2o2_g_per_l_of_vol(double vol)
{
    return vol * 2.0 * H2O2_G / GAS_L_PER_MOL;
}

double mdr_strength_h2o2_vol_of_g_per_l(double g_per_l)
{
    return g_per_l * GAS_L_PER_MOL / (2.0 * H2O2_G);
}

double mdr_strength_h2o2_density_kg_per_l(double pct)
{
    return mdr_interp_linear(&h2o2_density[0][H2O2_PCT], &h2o2_density[0][H2O2_RHO],
                             h2o2_density_rows, H2O2_COLS, pct);
}

double mdr_strength_h2o2_g_per_l_of_pct(double pct)
{
    return pct / 100.0 * mdr_strength_h2o2_density_kg_per_l(pct) * G_PER_KG;
}

/* g/L increases with per cent, so the interval is halved until it cannot be any more */
double mdr_strength_h2o2_pct_of_g_per_l(double g_per_l)
{
    double low = 0.0, high = h2o2_density[h2o2_density_rows - 1][H2O2_PCT];
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (mdr_strength_h2o2_g_per_l_of_pct(middle) < g_per_l) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

typedef struct moles {
    double g_per_mol;
    double alkali, acid, sodium; /* equivalents in one mole */
} moles;

static moles moles_of(int substance)
{
    switch ((mdr_substance)substance) {
    case MDR_SUB_NAOH:
        return (moles){NAOH_G, 1, 0, 1};
    case MDR_SUB_NA2CO3:
        return (moles){NA2CO3_G, 2, 0, 2};
    case MDR_SUB_NAHCO3:
        return (moles){NAHCO3_G, 1, 0, 1};
    case MDR_SUB_NACL:
        return (moles){NACL_G, 0, 0, 1};
    case MDR_SUB_NA2SO4:
        return (moles){NA2SO4_G, 0, 0, 2};
    case MDR_SUB_H2O2:
        return (moles){H2O2_G, 0, 0, 0};
    case MDR_SUB_HAC:
        return (moles){ACETIC_G, 0, 1, 0};
    case MDR_SUB_FORMIC:
        return (moles){FORMIC_G, 0, 1, 0};
    case MDR_SUB_CITRIC:
        return (moles){CITRIC_G, 0, 3, 0};
    case MDR_SUB_DITHIONITE:
        return (moles){DITHIONITE_G, 0, 0, 2};
    case MDR_SUB_H2SO4:
        return (moles){H2SO4_G, 0, 2, 0};
    case MDR_SUB_OTHER:
    case MDR_SUB_DYE:
    case MDR_SUB_ENZYME:
    case MDR_SUB_SEQUESTRANT:
    case MDR_SUB_CATALASE:
        break;
    }
    return (moles){0, 0, 0, 0};
}

static double per_kg(double equivalents, double g_per_mol)
{
    return g_per_mol > 0.0 ? equivalents * G_PER_KG / g_per_mol : 0.0;
}

double mdr_substance_molar_g_per_mol(int substance)
{
    return moles_of(substance).g_per_mol;
}

double mdr_substance_alkali_mol_per_kg(int substance)
{
    const moles m = moles_of(substance);
    return per_kg(m.alkali, m.g_per_mol);
}

double mdr_substance_acid_mol_per_kg(int substance)
{
    const moles m = moles_of(substance);
    return per_kg(m.acid, m.g_per_mol);
}

double mdr_substance_sodium_mol_per_kg(int substance)
{
    const moles m = moles_of(substance);
    return per_kg(m.sodium, m.g_per_mol);
}
