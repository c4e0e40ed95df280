/*
 * mdr_sequester.h - the hardness of a bath, from the water and out of the cotton, and the
 * sequestrant that holds it.
 *
 * Softened water does not make a soft bath: raw cotton brings more calcium and magnesium than most
 * waters do, and what the pretreatment has not taken out precipitates with soda in the dyebath.
 *
 * Layer: core/bath (pure). Hardness is mmol/L of Ca + Mg in its wrapper (mdr_hardness.h).
 * Methods: docs/methods/hardness.md
 *
 * Sources (keys of docs/sources.md)
 *   [cotton-metals]    calcium and magnesium of raw cotton, 400 to 1200 mg/kg each
 *   [mass-balance]     released into the liquor, added to the water's
 *   [stoichiometry]    one chelant molecule holds one metal ion; molar masses of [ciaaw]
 *   [common-practice]  the released parts and the two limits: to be replaced by titration
 *
 * Arguments are finite and >= 0; a ratio, a capacity and a molar mass are > 0.
 */
#ifndef MDR_SEQUESTER_H
#define MDR_SEQUESTER_H

#include "core/units/mdr_hardness.h"

/* Part of the fabric's Ca + Mg that one bath brings into the liquor; common practice. */
#define MDR_SEQUESTER_RELEASED_ACID       0.70 /* acid demineralising with sequestrant */
#define MDR_SEQUESTER_RELEASED_HOT_ALKALI 0.30 /* hot alkaline bath with sequestrant */
#define MDR_SEQUESTER_RELEASED_OTHER      0.05 /* any other bath */
/* Free hardness of a bath, degree German, from which to speak up; common practice. */
#define MDR_SEQUESTER_REMARK_DH  3.0
#define MDR_SEQUESTER_WARNING_DH 5.0

/* Ca + Mg of the fabric, mmol/kg. */
double mdr_sequester_fabric_mmol_per_kg(double calcium_mg_per_kg, double magnesium_mg_per_kg);
/* What a bath takes out of it into the liquor; released_part in [0, 1]. */
mdr_hardness mdr_sequester_released(double fabric_mmol_per_kg, double released_part,
                                    double ratio_l_per_kg);
/* What is left on the fabric for the next bath, mmol/kg; released_part in [0, 1]. */
double mdr_sequester_fabric_left_mmol_per_kg(double fabric_mmol_per_kg, double released_part);
mdr_hardness mdr_sequester_total(mdr_hardness water, mdr_hardness released);

/* Hardness that a sequestrant can hold; capacity in mg CaCO3 per g of the product as dosed. */
mdr_hardness mdr_sequester_bound(double conc_g_per_l, double capacity_mg_caco3_per_g);
/* Hardness that is not held: total - bound, 0 when the sequestrant is in excess. */
mdr_hardness mdr_sequester_free(mdr_hardness total, mdr_hardness bound);
/* Product, g/L, that brings the total down to the allowed free hardness; 0 when it is below. */
double mdr_sequester_need_g_per_l(mdr_hardness total, mdr_hardness allowed,
                                  double capacity_mg_caco3_per_g);

/* The most that 1 g of a chelant of this molar mass can hold, one metal ion a molecule,
 * mg CaCO3. In a bath it holds less: more acid, other ions and heat take from it. */
double mdr_sequester_capacity_1to1_mg_caco3_per_g(double molar_g_per_mol);

#endif
