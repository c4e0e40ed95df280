/*
 * mdr_pitzer.h - how strongly the ions of a salt bath act: activity coefficients after Pitzer.
 *
 * Layer: core/bath (pure). For the equilibria of mdr_equil.h; callers want that one.
 * Methods: docs/methods/bath-ph.md#activity
 *
 * Symbols: m molality, mol per kg of water; I ionic strength, mol/kg; T kelvin; gamma activity
 * coefficient on the molal scale; a_w activity of water.
 * Valid: 0 to 100 degC, I up to 6 mol/kg, sodium the main cation.
 *
 * Sources (keys of docs/sources.md)
 *   [pitzer-1991]          equations, with the unsymmetrical mixing terms of 1975
 *   [harvie-1984]          form for many ions, osmotic coefficient, neutral species
 *   [usgs-pitzer]          parameters, data/bath/pitzer.csv
 *   [bates-guggenheim]     convention for a single ion, on which the pH standards rest:
 *                          ln gamma(Cl-) = -A sqrt(I) / (1 + 1.5 sqrt(I))
 *   [malmberg-maryott]     dielectric constant of water; [kell-1975] its density
 */
#ifndef MDR_PITZER_H
#define MDR_PITZER_H

/* Order of data/bath/pitzer.csv. */
typedef enum mdr_ion {
    MDR_ION_NA,
    MDR_ION_H,
    MDR_ION_CL,
    MDR_ION_SO4,
    MDR_ION_HSO4,
    MDR_ION_OH,
    MDR_ION_CO3,
    MDR_ION_HCO3,
    MDR_ION_ACETATE,
    MDR_ION_FORMATE,
    MDR_ION_H2CIT,
    MDR_ION_HCIT,
    MDR_ION_CIT,
    MDR_ION_HO2,
    MDR_ION_CO2, /* dissolved, with H2CO3 */
    MDR_ION_COUNT,
    MDR_ION_CATIONS = 2,
    MDR_ION_CHARGED = MDR_ION_CO2
} mdr_ion;

int mdr_ion_charge(mdr_ion ion);

enum { MDR_PITZER_MIXED_MAX = 24 };

/* One parameter of two or three ions. */
typedef struct mdr_pitzer_mixed {
    int i, j, k;
    double value;
} mdr_pitzer_mixed;

/* Everything that depends on temperature alone. */
typedef struct mdr_pitzer {
    double temp_c, a_phi;
    double b0[MDR_ION_CATIONS][MDR_ION_CHARGED], b1[MDR_ION_CATIONS][MDR_ION_CHARGED];
    double c[MDR_ION_CATIONS][MDR_ION_CHARGED]; /* C-phi / (2 sqrt|z z'|) */
    mdr_pitzer_mixed theta[MDR_PITZER_MIXED_MAX], psi[MDR_PITZER_MIXED_MAX];
    mdr_pitzer_mixed lambda[MDR_PITZER_MIXED_MAX], zeta[MDR_PITZER_MIXED_MAX];
    int n_theta, n_psi, n_lambda, n_zeta;
} mdr_pitzer;

typedef struct mdr_activity {
    double ln_gamma[MDR_ION_COUNT];
    double ln_water;
    double ionic_mol_per_kg;
} mdr_activity;

/* Relative permittivity and density (kg/L) of water at 1 atm; Debye-Hueckel slope A_phi.
 * temp_c in [0, 100]. */
double mdr_pitzer_permittivity(double temp_c);
double mdr_pitzer_water_kg_per_l(double temp_c);
double mdr_pitzer_a_phi(double temp_c);
/* The integral J(x) of unsymmetrical mixing by Pitzer's fit, and x J'(x); x > 0. Within 1.5 % of
 * the integral for x in [0.01, 100]. */
double mdr_pitzer_j(double x);
double mdr_pitzer_xj1(double x);

mdr_pitzer mdr_pitzer_at(double temp_c);
/* m: mol/kg of all MDR_ION_COUNT, none negative, ionic strength > 0. About 0.4 us. */
void mdr_pitzer_activity(const mdr_pitzer *p, const double *m, mdr_activity *out);

#endif
