#include "core/plan/mdr_deciding_dye.h"

/* A phthalocyanine (turquoise) that is at least this part of the shade decides on salt and alkali:
 * it needs more of both than its partners; common practice. */
static const double DECIDES_PART = 0.3;

const mdr_recipe_dye *mdr_deciding_dye(const mdr_recipe_dye *dyes, int n, double depth_pct_owf)
{
    const mdr_recipe_dye *deepest = &dyes[0];
    const mdr_recipe_dye *turquoise = NULL;
    for (int i = 0; i < n; i++) {
        const mdr_recipe_dye *dye = &dyes[i];
        if (dye->depth_pct_owf > deepest->depth_pct_owf) {
            deepest = dye;
        }
        if (dye->dye->nature == MDR_NATURE_PHTHALOCYANINE &&
            dye->depth_pct_owf >= DECIDES_PART * depth_pct_owf) {
            turquoise = dye;
        }
    }
    return turquoise != NULL ? turquoise : deepest;
}
