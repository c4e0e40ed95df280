/* An invented dyeing on an overflow machine, and its search for a shorter programme. */
#ifndef SHORTEN_KIT_H
#define SHORTEN_KIT_H

#include <string.h>

#include "core/exhaust/mdr_dye_shorten.h"
#include "t.h"

/* I: two reactive dyes of unlike affinity. */
static const mdr_dye_rates KIT_RATES[2] = {{.dye_id = "A",
                                            .molar_kg_per_mol = 0.9,
                                            .charge = 3,
                                            .affinity_kj_per_mol = 16,
                                            .enthalpy_kj_per_mol = -35,
                                            .diffusion_per_min = 0.004,
                                            .diffusion_ea_kj_per_mol = 55,
                                            .fix_per_min = 0.05,
                                            .fix_ea_kj_per_mol = 70,
                                            .hydrolysis_per_min = 0.008,
                                            .hydrolysis_ea_kj_per_mol = 80,
                                            .hydrolysed_affinity_kj_per_mol = 14},
                                           {.dye_id = "B",
                                            .molar_kg_per_mol = 1.0,
                                            .charge = 4,
                                            .affinity_kj_per_mol = 15,
                                            .enthalpy_kj_per_mol = -35,
                                            .diffusion_per_min = 0.006,
                                            .diffusion_ea_kj_per_mol = 55,
                                            .fix_per_min = 0.08,
                                            .fix_ea_kj_per_mol = 70,
                                            .hydrolysis_per_min = 0.012,
                                            .hydrolysis_ea_kj_per_mol = 80,
                                            .hydrolysed_affinity_kj_per_mol = 13}};
static const double KIT_WEIGHT[2] = {1.0, 0.7};

static inline mdr_dye_step kit_dose(mdr_dye_gives gives, int number, double minutes)
{
    return (mdr_dye_step){.kind = MDR_DYE_DOSE,
                          .gives = gives,
                          .number = number,
                          .minutes = minutes,
                          .exponent = 1.0,
                          .amount = 1.0,
                          .volume_l = 30.0,
                          .least_min = 4.0};
}

static inline mdr_dye_step kit_wait(int number, double minutes)
{
    return (mdr_dye_step){.kind = MDR_DYE_RUN, .number = number, .minutes = minutes, .amount = 1.0};
}

/* 500 kg at 8 L/kg: salt 60 g/L, 2 + 1 % of dye, soda 15 g/L, isothermal at 60 degC. */
static inline void kit_programme(mdr_dye_programme *p)
{
    *p = (mdr_dye_programme){.n_steps = 7,
                             .n_dyes = 2,
                             .start_c = 60.0,
                             .start_l = 3900.0,
                             .conc_l = 4000.0,
                             .speed_m_per_min = 250.0,
                             .speed_least_m_per_min = 120.0,
                             .speed_most_m_per_min = 300.0};
    p->vessel = (mdr_dye_vessel){.load_kg = 500,
                                 .steel_kg = 4600,
                                 .ua_kw_per_k = 15,
                                 .steam_c = 150,
                                 .steam_max_kw = 1200,
                                 .cooling_c = 15,
                                 .heat_max_c_per_min = 4,
                                 .cool_max_c_per_min = 3};
    mdr_dye_step salt = kit_dose(MDR_GIVES_SALT, 1, 20), dye = kit_dose(MDR_GIVES_DYE, 3, 30);
    mdr_dye_step soda = kit_dose(MDR_GIVES_ALKALI, 5, 45);
    salt.mol[MDR_TOTAL_NA] = 3380;
    salt.mol[MDR_TOTAL_SO4] = 1690;
    salt.salt_kg = 240;
    dye.dye_kg[0] = 10;
    dye.dye_kg[1] = 5;
    soda.mol[MDR_TOTAL_NA] = 1132;
    soda.mol[MDR_TOTAL_CARBONATE] = 566;
    soda.alkali_kg = 60;
    const mdr_dye_step steps[] = {salt, kit_wait(2, 10), dye,           kit_wait(4, 25),
                                  soda, kit_wait(6, 60), kit_wait(7, 5)};
    memcpy(p->steps, steps, sizeof steps);
}

/* In the arena, with programme `p` in it. */
static inline mdr_shorten_in kit_shorten(const mdr_dye_programme *p, mdr_arena *arena)
{
    mdr_dyeing_case *study = MDR_NEW(arena, mdr_dyeing_case);
    assert_non_null(study);
    study->programme = *p;
    study->rope = (mdr_dyeing_rope){.load_kg = 500,
                                    .tubes = 4,
                                    .tube_share = {0.25, 0.25, 0.25, 0.25},
                                    .held_l_per_kg = 2.5,
                                    .zone_fraction = 0.05,
                                    .exchange_per_min = 60,
                                    .flow_l_per_min = 7000};
    study->rope_m = 600; /* a turn in 2.4 min at 250 m/min */
    study->rates = KIT_RATES;
    study->limit_pct_per_contact = 1.0;
    study->reactive = true;
    mdr_shorten_in in = {.study = study,
                         .base = &study->programme,
                         .usual = {KIT_RATES},
                         .weight = KIT_WEIGHT,
                         .fixes = true};
    mdr_err err = {0};
    mdr_shorten_usual(&in);
    if (mdr_ph_table_make(in.base, arena, &in.table, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    in.keep[6] = true; /* a check */
    return in;
}

#endif
