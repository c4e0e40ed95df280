/*
 * mdr_donnan.h - how much anionic dye the inside of the fibre holds in equilibrium with a salt
 * bath: the distribution after Donnan with one affinity for each dye.
 *
 * Layer: core/exhaust (pure, total). For the dyebath model; nobody else needs it.
 * Methods: docs/methods/exhaust.md#equilibrium
 *
 * Symbols: V water in the fibre that dye and salt share, L/kg; z charge of the dye ion;
 * Na, Cl sodium and its co-ion in the bath, mol/L; COO carboxyl groups of the fibre, mol/kg; Z
 * charge that cannot leave the fibre, mol/kg: COO and that of all dye in it, the fixed too; x
 * sodium in the fibre, mol/kg; K affinity as a ratio of activities.
 *   Z = COO + sum of z D_f
 *   x = (Z + sqrt(Z^2 + 4 V^2 Na Cl)) / 2            electroneutrality and Na_f Cl_f = V^2 Na Cl
 *   D_f = K V^(z+1) (Na/x)^z c                        c dye in the bath, mol/L; D_f mol/kg
 * Explicit in the load, so saturation and the competition of dyes come out by themselves.
 * Valid: z >= 0, dilute baths (activities taken as concentrations), pH above 6: the carboxyl
 * groups (pK 4.7) count as ionised. The ionised hydroxyls of the fibre in strong alkali are left
 * out.
 *
 * Sources (keys of docs/sources.md)
 *   [vickerstaff-peters]  all formulas and V
 *   [cotton-carboxyl]     COO and its pK
 */
#ifndef MDR_DONNAN_H
#define MDR_DONNAN_H

/* Water of the fibre, L/kg: cotton. From memory of [vickerstaff-peters]. */
#define MDR_DONNAN_COTTON_L_PER_KG 0.22

/* COO of bleached cotton, mol/kg: from memory of [cotton-carboxyl], which gives 0.01 to 0.06. */
#define MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG 0.03

/* x, mol/kg. All arguments >= 0; fixed_charge is Z. */
double mdr_donnan_sodium_mol_per_kg(double fixed_charge_mol_per_kg, double volume_l_per_kg,
                                    double sodium_mol_per_l, double co_ion_mol_per_l);
/* K from an affinity -dmu0, no unit. */
double mdr_donnan_affinity(double affinity_kj_per_mol, double temp_c);
/* ln of (V^(z+1) (Na/x)^z) without the affinity; Na and x > 0. */
double mdr_donnan_ln_space(double charge, double volume_l_per_kg, double sodium_mol_per_l,
                           double sodium_fibre_mol_per_kg);
/*
 * D_f / c, L/kg, at a given Z. 0 for a charged dye when there is no sodium at all.
 */
double mdr_donnan_partition_l_per_kg(double affinity, double charge, double volume_l_per_kg,
                                     double sodium_mol_per_l, double fixed_charge_mol_per_kg);
/*
 * Part of one dye that the fibre takes up at the end, 0..1: the load follows from itself, so the
 * interval is halved until it cannot be any more.
 *   carboxyl_mol_per_kg  >= 0, COO
 *   dye_mol_per_kg  >= 0 of fibre; ratio_l_per_kg > 0 liquor outside the fibre's own water
 */
double mdr_donnan_exhaustion(double affinity, double charge, double volume_l_per_kg,
                             double carboxyl_mol_per_kg, double sodium_mol_per_l,
                             double dye_mol_per_kg, double ratio_l_per_kg);

#endif
