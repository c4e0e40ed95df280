#include "core/plan/mdr_material_known.h"

mdr_dye_way mdr_class_way(int dye_class)
{
    switch ((mdr_dye_class)dye_class) {
    case MDR_CLASS_DIRECT:
        return MDR_WAY_DIRECT;
    case MDR_CLASS_VAT:
        return MDR_WAY_VAT;
    case MDR_CLASS_NONE:
    case MDR_CLASS_REACTIVE:
        break;
    }
    return MDR_WAY_REACTIVE;
}

mdr_dye_known mdr_material_known(const mdr_material *dye)
{
    mdr_dye_known k = mdr_dye_known_of(dye->material_id, (mdr_dye_group)dye->dyeing_group,
                                       mdr_class_way(dye->dye_class));
    k.number[MDR_NUMBER_EXHAUSTION] = dye->exhaustion_pct;
    k.number[MDR_NUMBER_HALF] = dye->half_dyeing_min;
    k.molar_g_per_mol = dye->molar_g_per_mol;
    k.charge = dye->charge;
    if (k.way == MDR_WAY_REACTIVE) {
        k.number[MDR_NUMBER_PRIMARY] = dye->primary_exhaustion_pct;
        k.number[MDR_NUMBER_FIRST] = dye->fix_first_pct;
        k.number[MDR_NUMBER_FIXATION] = dye->fixation_pct;
        k.standard.first_min = dye->fix_first_min > 0.0 ? dye->fix_first_min : k.standard.first_min;
    }
    return k;
}
