#include "core/bath/mdr_heat.h"

#include <math.h>

static const double S_PER_MIN = 60.0, S_PER_H = 3600.0, MIN_PER_H = 60.0;

double mdr_heat_capacity_kj_per_k(double fabric_kg, double liquor_l, double steel_kg)
{
    return fabric_kg * MDR_HEAT_COTTON_KJ_PER_KG_K + liquor_l * MDR_HEAT_WATER_KJ_PER_KG_K +
           steel_kg * MDR_HEAT_STEEL_KJ_PER_KG_K;
}

double mdr_heat_mixed_c(double capacity_kj_per_k, double vessel_c, double water_l, double water_c)
{
    const double water_kj_per_k = water_l * MDR_HEAT_WATER_KJ_PER_KG_K;
    return (capacity_kj_per_k * vessel_c + water_kj_per_k * water_c) /
           (capacity_kj_per_k + water_kj_per_k);
}

double mdr_heat_water_c(double capacity_kj_per_k, double vessel_c, double water_l, double wanted_c)
{
    return wanted_c +
           capacity_kj_per_k * (wanted_c - vessel_c) / (water_l * MDR_HEAT_WATER_KJ_PER_KG_K);
}

double mdr_heat_effective_kw_per_k(double exchanger_kw_per_k, double circulation_l_per_min)
{
    if (circulation_l_per_min <= 0.0) {
        return exchanger_kw_per_k;
    }
    const double flow_kw_per_k = circulation_l_per_min / S_PER_MIN * MDR_HEAT_WATER_KJ_PER_KG_K;
    return -flow_kw_per_k * expm1(-exchanger_kw_per_k / flow_kw_per_k);
}

double mdr_heat_steam_kg(double capacity_kj_per_k, double rise_c, double hfg_kj_per_kg)
{
    return capacity_kj_per_k * rise_c / hfg_kj_per_kg;
}

double mdr_heat_steam_kg_per_h(double capacity_kj_per_k, double rate_c_per_min,
                               double hfg_kj_per_kg)
{
    return capacity_kj_per_k * rate_c_per_min * MIN_PER_H / hfg_kj_per_kg;
}

double mdr_heat_steam_kw(double steam_kg_per_h, double hfg_kj_per_kg)
{
    return steam_kg_per_h * hfg_kj_per_kg / S_PER_H;
}

double mdr_heat_rinse_end_c(double capacity_kj_per_k, double start_c, double water_c,
                            double flow_l_per_min, double minutes)
{
    const double flow_kj_per_min_k = flow_l_per_min * MDR_HEAT_WATER_KJ_PER_KG_K;
    return water_c + (start_c - water_c) * exp(-flow_kj_per_min_k * minutes / capacity_kj_per_k);
}

/* The rate that the control can hold at first: the wanted one, or what the valve passes.
 * HUGE_VAL when neither limits. */
static double first_rate_c_per_min(const mdr_heat_ramp_in *in)
{
    double rate = in->rate_c_per_min > 0.0 ? in->rate_c_per_min : HUGE_VAL;
    if (in->medium_max_kw > 0.0) {
        rate = fmin(rate, in->medium_max_kw * S_PER_MIN / in->capacity_kj_per_k);
    }
    return rate;
}

/*
 * In terms of the gap g = |Ts - T|: at constant rate r it falls from g0 by r t, until the
 * exchanger's own rate UA g / C has come down to r, at g* = r tau with tau = C/UA. From there
 * g = g* exp(-t/tau). Heating and cooling differ only in the sign of Ts - T.
 */
mdr_heat_ramp mdr_heat_ramp_make(const mdr_heat_ramp_in *in)
{
    const double tau_min = in->capacity_kj_per_k / in->ua_kw_per_k / S_PER_MIN;
    mdr_heat_ramp ramp = {.from_c = in->from_c,
                          .end_c = in->to_c,
                          .takeover_c = in->to_c,
                          .medium_c = in->medium_c,
                          .time_constant_min = tau_min,
                          .reachable = true,
                          .limit = MDR_HEAT_AS_ASKED};
    const double side = in->to_c >= in->from_c ? 1.0 : -1.0;
    const double gap_from = side * (in->medium_c - in->from_c);
    double gap_to = side * (in->medium_c - in->to_c);
    if (in->to_c == in->from_c) {
        return ramp;
    }
    if (gap_to < MDR_HEAT_APPROACH_K) {
        ramp.reachable = false;
        ramp.limit = MDR_HEAT_LIMIT_EXCHANGER;
        /* already closer than that, or past it: stays where it is, in no time */
        gap_to = fmin(MDR_HEAT_APPROACH_K, gap_from);
        ramp.end_c = ramp.takeover_c = in->medium_c - side * gap_to;
    }
    const double rate = first_rate_c_per_min(in);
    const double gap_takeover = fmin(fmax(rate * tau_min, gap_to), gap_from);
    if (gap_takeover < gap_from) {
        ramp.rate_c_per_min = rate;
        ramp.constant_min = (gap_from - gap_takeover) / rate;
        if (ramp.reachable && (in->rate_c_per_min <= 0.0 || rate < in->rate_c_per_min)) {
            ramp.limit = MDR_HEAT_LIMIT_VALVE;
        }
    }
    ramp.minutes = ramp.constant_min;
    if (gap_takeover > gap_to) {
        ramp.takeover_c = in->medium_c - side * gap_takeover;
        ramp.minutes += tau_min * log(gap_takeover / gap_to);
        ramp.limit = MDR_HEAT_LIMIT_EXCHANGER;
    }
    return ramp;
}

double mdr_heat_ramp_temp_c(const mdr_heat_ramp *ramp, double t_min)
{
    if (t_min >= ramp->minutes) {
        return ramp->end_c;
    }
    if (t_min < ramp->constant_min) {
        const double side = ramp->end_c >= ramp->from_c ? 1.0 : -1.0;
        return ramp->from_c + side * ramp->rate_c_per_min * t_min;
    }
    const double since_min = t_min - ramp->constant_min;
    return ramp->medium_c +
           (ramp->takeover_c - ramp->medium_c) * exp(-since_min / ramp->time_constant_min);
}
