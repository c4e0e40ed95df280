/* A small reactive dyeing made by hand: 100 kg at 10 L/kg, salt, one dye (or two), soda. Everything
 * invented. Include after t.h. */
#ifndef PROGRAMME_KIT_H
#define PROGRAMME_KIT_H

#include <string.h>

#include "core/exhaust/mdr_dyeing_study.h"

enum { KIT_SALT, KIT_DYE, KIT_RAMP, KIT_RUN, KIT_SODA, KIT_FIX, KIT_STEPS };

static inline mdr_dye_step kit_step(mdr_dye_step_kind kind, int number)
{
    return (mdr_dye_step){.kind = kind, .number = number, .amount = 1.0, .exponent = 1.0};
}

/* 50 g/L of Na2SO4 in 20 min, 2 kg of each dye in 30 min, 40 to 60 degC at 1 degC/min, 10 min, 15 g/L of
 * Na2CO3 in 30 min, 60 min. */
static inline mdr_dye_programme *kit_programme(mdr_arena *arena, int n_dyes)
{
    mdr_dye_programme *out = MDR_NEW(arena, mdr_dye_programme);
    assert_non_null(out);
    *out = (mdr_dye_programme){.n_steps = KIT_STEPS,
                               .n_dyes = n_dyes,
                               .start_c = 40,
                               .start_l = 980,
                               .conc_l = 1000,
                               .speed_m_per_min = 200,
                               .speed_least_m_per_min = 100,
                               .speed_most_m_per_min = 300,
                               .vessel = {.load_kg = 100,
                                          .steel_kg = 500,
                                          .ua_kw_per_k = 50,
                                          .steam_c = 150,
                                          .cooling_c = 15,
                                          .heat_max_c_per_min = 4,
                                          .cool_max_c_per_min = 3}};
    out->start_mol[MDR_TOTAL_NA] = 1.0;
    out->start_mol[MDR_TOTAL_CARBONATE] = 1.0;
    out->steps[KIT_SALT] = kit_step(MDR_DYE_DOSE, 2);
    out->steps[KIT_SALT].gives = MDR_GIVES_SALT;
    out->steps[KIT_SALT].minutes = 20;
    out->steps[KIT_SALT].salt_kg = 50;
    out->steps[KIT_SALT].mol[MDR_TOTAL_NA] = 2 * 50e3 / 142.04;
    out->steps[KIT_SALT].mol[MDR_TOTAL_SO4] = 50e3 / 142.04;
    out->steps[KIT_DYE] = kit_step(MDR_DYE_DOSE, 3);
    out->steps[KIT_DYE].gives = MDR_GIVES_DYE;
    out->steps[KIT_DYE].minutes = 30;
    out->steps[KIT_DYE].volume_l = 20;
    out->steps[KIT_DYE].least_min = 5;
    for (int i = 0; i < n_dyes; i++) {
        out->steps[KIT_DYE].dye_kg[i] = 2;
    }
    out->steps[KIT_RAMP] = kit_step(MDR_DYE_RAMP, 4);
    out->steps[KIT_RAMP].to_c = 60;
    out->steps[KIT_RAMP].rate_c_per_min = 1;
    out->steps[KIT_RAMP].toward = 1;
    out->steps[KIT_RUN] = kit_step(MDR_DYE_RUN, 5);
    out->steps[KIT_RUN].minutes = 10;
    out->steps[KIT_SODA] = kit_step(MDR_DYE_DOSE, 6);
    out->steps[KIT_SODA].gives = MDR_GIVES_ALKALI;
    out->steps[KIT_SODA].minutes = 30;
    out->steps[KIT_SODA].alkali_kg = 15;
    out->steps[KIT_SODA].mol[MDR_TOTAL_NA] = 2 * 15e3 / 105.99;
    out->steps[KIT_SODA].mol[MDR_TOTAL_CARBONATE] = 15e3 / 105.99;
    out->steps[KIT_FIX] = kit_step(MDR_DYE_RUN, 7);
    out->steps[KIT_FIX].minutes = 60;
    return out;
}

/* A vinyl sulphone, or nearly. */
static inline mdr_dye_rates kit_rates(const char *id)
{
    return (mdr_dye_rates){.dye_id = id,
                           .molar_kg_per_mol = 0.8,
                           .charge = 3,
                           .affinity_kj_per_mol = 10,
                           .enthalpy_kj_per_mol = -35,
                           .diffusion_per_min = 0.02,
                           .diffusion_ea_kj_per_mol = 55,
                           .fix_per_min = 0.3,
                           .fix_ea_kj_per_mol = 70,
                           .hydrolysis_per_min = 0.05,
                           .hydrolysis_ea_kj_per_mol = 82,
                           .hydrolysed_affinity_kj_per_mol = 11};
}

static inline mdr_dyeing_rope kit_rope(int tubes)
{
    mdr_dyeing_rope r = {.load_kg = 100,
                         .tubes = tubes,
                         .held_l_per_kg = 2.5,
                         .zone_fraction = 0.1,
                         .exchange_per_min = 10,
                         .flow_l_per_min = 1000};
    for (int t = 0; t < tubes; t++) {
        r.tube_share[t] = 1.0 / tubes;
    }
    return r;
}

#endif
