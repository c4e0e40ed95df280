/*
 * mdr_salt.h - salt and alkali by the depth of the shade, and one salt in place of another.
 *
 * What a dose table asks for at a depth, read in steps or in proportion, and what the ratio of a
 * short liquor takes off; how much sodium sulphate stands in for common salt, by three rules that
 * do NOT agree with one another (equal mass is the trade's, the other two are chemistry's).
 *
 * Layer: core/bath (pure). Amounts in g of active substance per litre, depths in % on weight of
 * fabric. Substances and swaps are mdr_substance and mdr_swap of core/plan/mdr_records.h.
 * Methods: docs/methods/salt-and-alkali.md
 *
 * Sources (keys of docs/sources.md)
 *   [dose-table]       the table itself; it carries its own source
 *   [salt-soda-pages]  published tables that the reading was tried on
 *   [common-practice]  one band less below 6 L/kg; salts swapped mass for mass
 *   [stoichiometry]    equal sodium, equal ionic strength
 */
#ifndef MDR_SALT_H
#define MDR_SALT_H

#include <stdbool.h>

#include "core/plan/mdr_records.h"

/* Shorter than this, L/kg, a table with the rule "one band less" is read with band_less. */
#define MDR_SALT_SHORT_RATIO_L_PER_KG 6.0 /* common practice */

/*
 * Amount at a depth. Band i of n >= 1 holds for depths above that of band i-1 (above 0 for the
 * first) up to and including depth_max[i]; depth_max is strictly increasing and > 0.
 *   linear     false: the amount of the band. true: each amount stands at the middle of its band,
 *              that of the last at the band's LOWER end, because its upper end only says "and all
 *              above"; straight lines between, constant outside. Continuous, and nowhere beyond
 *              the two amounts it lies between.
 *   band_less  every band takes the amount of the band before it, the first keeps its own
 *   depth_pct_owf  in [0, depth_max_pct_owf of the last]. A deeper shade is the CALLER's to refuse before it
 *              asks; here it would get the last amount.
 */
double mdr_salt_of_depth(const mdr_dose_band *bands, int n, double depth_pct_owf, bool linear,
                         bool band_less);

/* The two depths and amounts that mdr_salt_of_depth() goes by at this depth; the same depth twice
 * where it goes by one amount (a step, or before the first and beyond the last middle). */
typedef struct mdr_salt_knots {
    double depth_below_pct_owf, below_g_per_l, depth_above_pct_owf, above_g_per_l;
} mdr_salt_knots;
mdr_salt_knots mdr_salt_knots_at(const mdr_dose_band *bands, int n, double depth_pct_owf,
                                 bool linear, bool band_less);
/* The amount at this depth on the line through both. */
double mdr_salt_between(const mdr_salt_knots *knots, double depth_pct_owf);

/* kg of `to_substance` that takes the place of 1 kg of `from_substance`, both anhydrous and 100 %:
 * 1 for the same substance; for NaCl and Na2SO4 by `swap`; 0 for every other pair and for a swap
 * outside the list: these cannot stand in for one another, and the caller must say so. */
double mdr_salt_swap_factor(int from_substance, int to_substance, int swap);

/* Sodium ions of a solution, mol/L; 0 for a substance that brings none. */
double mdr_salt_sodium_mol_per_l(int substance, double conc_g_per_l);
/* Ionic strength, mol/L, of NaCl or Na2SO4 counted as fully dissociated; 0 for everything else:
 * it is not reckoned here. */
double mdr_salt_ionic_mol_per_l(int substance, double conc_g_per_l);

#endif
