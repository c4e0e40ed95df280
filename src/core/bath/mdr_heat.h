/*
 * mdr_heat.h - warming and cooling the vessel: heat capacity, mixing, ramps, steam.
 *
 * Layer: core/bath (pure). The vessel is one well-mixed body of fabric, liquor and steel without
 * heat loss; 1 L of liquor counts as 1 kg.
 * Methods: docs/methods/heat.md
 *
 * A ramp is driven by a heat exchanger between the bath and a medium of constant temperature Ts
 * (condensing steam, cooling water):  C dT/dt = UA (Ts - T).  The control holds a constant rate
 * as long as the exchanger can give it, then the bath closes in on Ts exponentially.
 */
#ifndef MDR_HEAT_H
#define MDR_HEAT_H

#include <stdbool.h>

/* Specific heats, kJ/(kg K). [perry-heat], from memory of engineering tables:
 * cotton 1.21 .. 1.34, the upper value is taken; water 4.18 .. 4.22 between 10 and 100 degC;
 * stainless steel 0.50. */
#define MDR_HEAT_COTTON_KJ_PER_KG_K 1.34
#define MDR_HEAT_WATER_KJ_PER_KG_K  4.18
#define MDR_HEAT_STEEL_KJ_PER_KG_K  0.50

/* An exchanger is not asked to bring the bath closer to its medium than this, K: the last
 * degree takes without end. Common practice. */
#define MDR_HEAT_APPROACH_K 1.0

/* Heat that warms everything in the vessel by 1 K, kJ/K. */
double mdr_heat_capacity_kj_per_k(double fabric_kg, double liquor_l, double steel_kg);
/* Temperature after letting `water_l` of `water_c` into a vessel of this capacity at vessel_c. */
double mdr_heat_mixed_c(double capacity_kj_per_k, double vessel_c, double water_l, double water_c);
/* Temperature the water must have so that the mixture has wanted_c; water_l > 0. Inverse of the
 * above; may come out below 0 or above 100: the caller must say so. */
double mdr_heat_water_c(double capacity_kj_per_k, double vessel_c, double water_l, double wanted_c);
/* What the exchanger transfers per degree when the pump brings only `circulation_l_per_min` of
 * liquor through it: G cp (1 - exp(-UA/(G cp))), kW/K; circulation 0: UA itself. */
double mdr_heat_effective_kw_per_k(double exchanger_kw_per_k, double circulation_l_per_min);
/* Steam condensed in a closed coil to warm the vessel by rise_c, kg. */
double mdr_heat_steam_kg(double capacity_kj_per_k, double rise_c, double hfg_kj_per_kg);
/* Steam that a rate asks for, kg/h. */
double mdr_heat_steam_kg_per_h(double capacity_kj_per_k, double rate_c_per_min,
                               double hfg_kj_per_kg);
/* Heat that a steam flow carries, kW. */
double mdr_heat_steam_kw(double steam_kg_per_h, double hfg_kj_per_kg);
/* Temperature after an overflow rinse with water of water_c at constant volume. */
double mdr_heat_rinse_end_c(double capacity_kj_per_k, double start_c, double water_c,
                            double flow_l_per_min, double minutes);

/* What keeps a ramp from going at the rate asked for. */
typedef enum mdr_heat_limit {
    MDR_HEAT_AS_ASKED,
    MDR_HEAT_LIMIT_VALVE,    /* all the way at the rate that the steam valve allows */
    MDR_HEAT_LIMIT_EXCHANGER /* from takeover_c on the exchanger sets the pace */
} mdr_heat_limit;

/* Heating and cooling alike: the medium is on the side of to_c. */
typedef struct mdr_heat_ramp_in {
    double from_c, to_c;
    double rate_c_per_min;    /* asked for, always positive; 0: as fast as can be */
    double capacity_kj_per_k; /* > 0 */
    double ua_kw_per_k;       /* effective, > 0 */
    double medium_c;          /* saturated steam, or cooling water */
    double medium_max_kw;     /* most that the valve passes; 0: not limiting */
} mdr_heat_ramp_in;

typedef struct mdr_heat_ramp {
    double from_c;
    double end_c;          /* to_c, or how far it can get when not reachable */
    double minutes;        /* until end_c */
    double constant_min;   /* of these at constant rate, then exponential */
    double rate_c_per_min; /* the constant rate held; 0 when constant_min is 0 */
    double takeover_c;     /* where the exchanger takes over; end_c when it never does */
    double medium_c;
    double time_constant_min; /* C/UA */
    bool reachable;           /* false: to_c is beyond, or closer than MDR_HEAT_APPROACH_K to
                                 the medium */
    mdr_heat_limit limit;
} mdr_heat_ramp;

/* Total: always finite. from_c == to_c: 0 min, reachable. Accuracy 1e-12 relative. */
mdr_heat_ramp mdr_heat_ramp_make(const mdr_heat_ramp_in *in);
/* Temperature t_min after the start, t_min >= 0; end_c from `minutes` on (the control holds). */
double mdr_heat_ramp_temp_c(const mdr_heat_ramp *ramp, double t_min);

#endif
