/*
 * mdr_stenter.h - what drying in hot air costs: water, air and heat of a stenter (or any dryer
 * that blows hot air through itself), and what squeezing better or exhausting less would save.
 *
 * Layer: core/finish (pure). Steady state. Latent heat is taken up at the fabric's entry
 * temperature and the vapour warmed to the exhaust's, which comes to the same total wherever
 * inside the water really leaves.
 * Methods: docs/methods/drying.md#stenter-balance
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]    water out of the fabric = water into the air; heat likewise
 *   [ashrae-psychro]  heats of air and vapour
 *   [perry-heat]      specific heat of cotton
 *   [eu-bref-2003]    exhaust humidity 0.10 .. 0.15 kg/kg is good, 0.05 common: the check
 */
#ifndef MDR_STENTER_H
#define MDR_STENTER_H

#include "base/mdr_err.h"

/* Exhaust humidity to aim at, kg/kg; and what is often found. [eu-bref-2003] */
#define MDR_STENTER_EXHAUST_GOOD_KG_PER_KG 0.10
#define MDR_STENTER_EXHAUST_MOST_KG_PER_KG 0.15
#define MDR_STENTER_EXHAUST_POOR_KG_PER_KG 0.05

typedef struct mdr_stenter_in {
    double dry_kg_per_h; /* bone dry fabric, mdr_web_dry_kg_per_h */
    double moisture_in_kg_per_kg, moisture_out_kg_per_kg;
    double fresh_kg_per_kg, fresh_c;     /* air drawn in */
    double exhaust_kg_per_kg, exhaust_c; /* air blown out */
    double fabric_in_c, fabric_out_c;
    double loss_fraction; /* of the heat put in, through walls and openings */
    double pressure_pa;
} mdr_stenter_in;

typedef struct mdr_stenter {
    double evaporated_kg_per_h, air_kg_per_h; /* air: dry, in = out */
    double evaporation_mj_per_h, air_mj_per_h, fabric_mj_per_h, loss_mj_per_h;
    double heat_mj_per_h; /* the four together: what the burners give */
    double mj_per_kg_evaporated, kwh_per_kg_evaporated;
    double mj_per_kg_dry; /* per kg of bone dry fabric */
} mdr_stenter;

/*
 *   dry_kg_per_h 0.1 .. 20000; moistures 0 .. 5; air 0 .. 10 kg/kg (fresh up to 0.1), 0 .. 200 C
 *   (fresh -20 .. 60); fabric -20 .. 300 C; loss 0 .. 0.9; 50 .. 120 kPa
 *   errors  MDR_E_RANGE   one of these
 *           MDR_E_INFEAS  nothing to evaporate (place "moisture_out_kg_per_kg"); exhaust no more
 *                         humid than the fresh air, or over saturation ("exhaust_kg_per_kg");
 *                         exhaust cooler than the fresh air ("exhaust_c")
 */
mdr_code mdr_stenter_balance(const mdr_stenter_in *in, mdr_stenter *out,
                             mdr_err *err) MDR_MUST_CHECK;

/* Part of the heat per kg of fabric that `changed` saves against `now`; below 0 it takes more. */
double mdr_stenter_saving_fraction(const mdr_stenter *now, const mdr_stenter *changed);

#endif
