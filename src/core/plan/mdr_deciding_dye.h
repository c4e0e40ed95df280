/*
 * mdr_deciding_dye.h - the dye of a recipe whose tables tell how much salt and alkali it takes.
 *
 * Layer: core/plan (pure). Depths in % on weight of fabric. Methods: docs/methods/salt-and-alkali.md
 * Sources (keys of docs/sources.md)
 *   [common-practice]  the deepest dye; a phthalocyanine that is 30 % of the shade before it
 */
#ifndef MDR_DECIDING_DYE_H
#define MDR_DECIDING_DYE_H

#include "core/plan/mdr_records.h"

/* Total: `dyes` are 1 or more, depth_pct_owf is their sum. */
const mdr_recipe_dye *mdr_deciding_dye(const mdr_recipe_dye *dyes, int n, double depth_pct_owf);

#endif
