/* Dyes, ropes and programmes for tests of the dyebath model and for its benchmark. All invented. */
#ifndef DYEING_KIT_H
#define DYEING_KIT_H

#include "core/exhaust/mdr_dyeing.h"

/* Vinyl sulphone-like: takes up little before the alkali, fixes well. */
static inline mdr_dye_rates kit_reactive(void)
{
    return (mdr_dye_rates){.dye_id = "R1",
                           .molar_kg_per_mol = 0.8,
                           .charge = 3,
                           .affinity_kj_per_mol = 16,
                           .enthalpy_kj_per_mol = -30,
                           .diffusion_per_min = 0.01,
                           .diffusion_ea_kj_per_mol = 50,
                           .fix_per_min = 0.1,
                           .fix_ea_kj_per_mol = 70,
                           .hydrolysis_per_min = 0.02,
                           .hydrolysis_ea_kj_per_mol = 80,
                           .fibre_hydrolysis = 0,
                           .hydrolysed_affinity_kj_per_mol = 15};
}

static inline mdr_dye_rates kit_direct(void)
{
    return (mdr_dye_rates){.dye_id = "D1",
                           .molar_kg_per_mol = 0.7,
                           .charge = 2,
                           .affinity_kj_per_mol = 18,
                           .enthalpy_kj_per_mol = -40,
                           .diffusion_per_min = 0.003,
                           .diffusion_ea_kj_per_mol = 55,
                           .hydrolysed_affinity_kj_per_mol = 18};
}

/* A jet: one tube, 200 kg, a turn in 2.5 min, 2 % of it in the nozzle. */
static inline mdr_dyeing_rope kit_rope(void)
{
    return (mdr_dyeing_rope){.load_kg = 200,
                             .tube_share = {1},
                             .held_l_per_kg = 2.5,
                             .cycle_min = 2.5,
                             .zone_fraction = 0.02,
                             .exchange_per_min = 150,
                             .flow_l_per_min = 1500,
                             .tubes = 1};
}

#endif
