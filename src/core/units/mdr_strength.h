/*
 * mdr_strength.h - how much active substance a delivered product holds: degree Baume, % w/w,
 * hydrates, peroxide strengths, equivalents.
 *
 * Layer: core/units (pure). Substances are mdr_substance of core/plan/mdr_records.h.
 * Methods: docs/methods/amounts.md#baume, #delivered-mass; docs/methods/units.md
 *
 * Sources (keys of docs/sources.md)
 *   [astm-baume]      degree Baume for liquids heavier than water, 60 F: Be = 145 - 145/SG
 *   [perry-naoh]      density of sodium hydroxide solutions, 1 .. 50 % w/w
 *   [laliberte-2009]  density of salt solutions, tabulated by whole per cent
 *   [iapws-if97]      density of water at 60 F
 *   [ciaaw]           standard atomic weights; molar masses are sums of them
 */
#ifndef MDR_STRENGTH_H
#define MDR_STRENGTH_H

#include "base/mdr_err.h"

/* Specific gravity at 60 F/60 F of a liquid heavier than water; baume in [0, 145). */
double mdr_strength_sg_of_baume(double baume);
/* Degree Baume (145/60 F); sg >= 1. Inverse of the above to 1e-13. */
double mdr_strength_baume_of_sg(double sg);
/* Density at 60 F (15.6 C), kg/L, of any liquid of this degree: SG x 0.99901 kg/L. At 20 C caustic
 * is 0.2 % lighter, weak brine 0.1 %. */
double mdr_strength_density_of_baume(double baume);
/* Degree Twaddell, 200 (SG - 1); sg >= 1. */
double mdr_strength_twaddell_of_sg(double sg);

/*
 * Strength and density of a solution sold by degree Baume.
 *   substance         MDR_SUB_NAOH, _NACL or _NA2SO4
 *   baume             (0, top of the substance's table]: 50.2, 24.2, 33.4
 *   strength_pct      g of substance in 100 g of solution; NaOH within 0.02 of the tabulated
 *                     50 degrees, the others within 0.01
 *   density_kg_per_l  at 60 F, as mdr_strength_density_of_baume
 *   errors            MDR_E_ARG   no table for this substance (place "baume")
 *                     MDR_E_RANGE outside the table
 */
mdr_code mdr_strength_of_baume(int substance, double baume, double *strength_pct,
                               double *density_kg_per_l, mdr_err *err) MDR_MUST_CHECK;
/* The largest degree Baume known for this substance, or 0: no table. */
double mdr_strength_baume_max(int substance);

/* Delivered product (kg, g) that holds this much active substance; strength_pct > 0. */
double mdr_strength_delivered(double active, double strength_pct);
/* Active substance in this much delivered product. Inverse of the above. */
double mdr_strength_active(double delivered, double strength_pct);
/* Volume of a delivered liquid, L; density > 0. */
double mdr_strength_volume_l(double mass_kg, double density_kg_per_l);

/* Mass of sodium sulphate decahydrate (Glauber's salt crystals) that holds 1 kg of anhydrous
 * sulphate: 322.20/142.04 = 2.268. */
double mdr_strength_decahydrate_factor(void);

/* Hydrogen peroxide. `vol`: litres of oxygen (0 C, 1 atm) that one litre of it can give. */
double mdr_strength_h2o2_g_per_l_of_vol(double vol);
double mdr_strength_h2o2_vol_of_g_per_l(double g_per_l);
/* At 20 C; pct in [0, 70]; density of the table within 0.1 % (linear between its rows). */
double mdr_strength_h2o2_density_kg_per_l(double pct);
double mdr_strength_h2o2_g_per_l_of_pct(double pct);
/* g_per_l in [0, 901.3]; inverse of the above to 1e-9. */
double mdr_strength_h2o2_pct_of_g_per_l(double g_per_l);

/* Molar mass of the (anhydrous) substance, g/mol; 0 when it has none that counts here. */
double mdr_substance_molar_g_per_mol(int substance);
/* Acid equivalents that 1 kg of the substance can take up: NaOH 1, Na2CO3 2 (to carbonic acid),
 * NaHCO3 1 per mol; 0 for everything else. */
double mdr_substance_alkali_mol_per_kg(int substance);
/* Acid equivalents that 1 kg gives: acetic 1, formic 1, citric 3 per mol; 0 for the rest. */
double mdr_substance_acid_mol_per_kg(int substance);
/* Sodium ions that 1 kg brings: NaOH, Na2CO3, NaHCO3, NaCl, Na2SO4, Na2S2O4;
 * 0 for the rest. */
double mdr_substance_sodium_mol_per_kg(int substance);

#endif
