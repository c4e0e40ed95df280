#include "core/plan/mdr_rules.h"

#include <math.h>

#include "core/bath/mdr_dosing.h"
#include "core/bath/mdr_heat.h"
#include "core/bath/mdr_liquor.h"
#include "core/bath/mdr_rope.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_steam.h"
#include "core/units/mdr_strength.h"

/* A rule that takes a fixed number of inputs is handed exactly these by the planner. */
#define UNUSED_COUNT (void)n

double mdr_rule_sum(const double *in, int n)
{
    double total = 0.0;
    for (int i = 0; i < n; i++) {
        total += in[i];
    }
    return total;
}

/* pairs of amount and factor */
double mdr_rule_weighted(const double *in, int n)
{
    double total = 0.0;
    for (int i = 0; i + 1 < n; i += 2) {
        total += in[i] * in[i + 1];
    }
    return total;
}

double mdr_rule_product(const double *in, int n)
{
    double product = 1.0;
    for (int i = 0; i < n; i++) {
        product *= in[i];
    }
    return product;
}

double mdr_rule_same(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0];
}

double mdr_rule_least(const double *in, int n)
{
    double least = in[0];
    for (int i = 1; i < n; i++) {
        least = fmin(least, in[i]);
    }
    return least;
}

double mdr_rule_most(const double *in, int n)
{
    double most = in[0];
    for (int i = 1; i < n; i++) {
        most = fmax(most, in[i]);
    }
    return most;
}

double mdr_rule_nothing(const double *in, int n)
{
    (void)in;
    UNUSED_COUNT;
    return 0.0;
}

double mdr_rule_quotient(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / in[1];
}

double mdr_rule_difference(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] - in[1];
}

double mdr_rule_less(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, in[0] - in[1]);
}

double mdr_rule_within(const double *in, int n)
{
    UNUSED_COUNT;
    return fmin(fmax(in[0], in[1]), in[2]);
}

/* load_kg, gsm, width_cm */
double mdr_rule_rope_length(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_rope_fabric_m(in[0], in[1], in[2] / 100.0);
}

/* fabric_m, tubes */
double mdr_rule_rope_per_tube(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_rope_per_tube_m(in[0], in[1]);
}

/* rope_m, speed */
double mdr_rule_rope_cycle(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_rope_cycle_min(in[0], in[1]);
}

/* liquor_l, load_kg */
double mdr_rule_ratio(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_liquor_ratio_l_per_kg(in[0], in[1]);
}

/* minutes, cycle */
double mdr_rule_dose_cycles(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_dosing_cycles(in[0], in[1]);
}

double mdr_rule_liquor(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_liquor_wanted_l(in[0], in[1]);
}

/* wanted, carried, additions */
double mdr_rule_fresh_fill(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, mdr_liquor_fresh_fill_l(in[0], in[1], in[2]));
}

/* load_kg, retained_l_per_kg, liquor there */
double mdr_rule_retained(const double *in, int n)
{
    UNUSED_COUNT;
    return fmin(mdr_liquor_retained_l(in[0], in[1]), in[2]);
}

/* flow, minutes, liquor */
double mdr_rule_rinse_kept(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_liquor_overflow_kept(in[0], in[1], in[2]);
}

/* quantity, part, whole */
double mdr_rule_share(const double *in, int n)
{
    UNUSED_COUNT;
    return in[2] > 0.0 ? in[0] * in[1] / in[2] : 0.0;
}

/* g_per_l (or mL/L), liquor_l, share_pct */
double mdr_rule_mass_per_l(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] / 1000.0 * (in[2] / 100.0);
}

/* pct_owf, load_kg, share_pct */
double mdr_rule_mass_owf(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / 100.0 * in[1] * (in[2] / 100.0);
}

/* kg, share_pct */
double mdr_rule_mass_load(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (in[1] / 100.0);
}

double mdr_rule_delivered(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_strength_delivered(in[0], in[1]);
}

double mdr_rule_active(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_strength_active(in[0], in[1]);
}

double mdr_rule_mg_per_l(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * 1e6 / in[1];
}

/* g_per_l, liquor_l */
double mdr_rule_kg_of_conc(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] / 1000.0;
}

double mdr_rule_conc(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * 1000.0 / in[1];
}

/* The planner has checked that the table knows the degree Baume. */
static double strength_of_baume(int substance, double baume)
{
    double strength_pct = 0.0;
    double density_kg_per_l = 0.0;
    const mdr_code rc =
        mdr_strength_of_baume(substance, baume, &strength_pct, &density_kg_per_l, NULL);
    return rc == MDR_OK ? strength_pct : 0.0;
}

double mdr_rule_baume_naoh(const double *in, int n)
{
    UNUSED_COUNT;
    return strength_of_baume(MDR_SUB_NAOH, in[0]);
}

double mdr_rule_baume_nacl(const double *in, int n)
{
    UNUSED_COUNT;
    return strength_of_baume(MDR_SUB_NACL, in[0]);
}

double mdr_rule_baume_na2so4(const double *in, int n)
{
    UNUSED_COUNT;
    return strength_of_baume(MDR_SUB_NA2SO4, in[0]);
}

double mdr_rule_baume_density(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_strength_density_of_baume(in[0]);
}

double mdr_rule_dissolve(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_dosing_water_l(in[0], in[1]);
}

double mdr_rule_tank_loads(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_dosing_tank_loads(in[0], in[1]);
}

/* volume, flow, loads, prepare */
double mdr_rule_dose_least(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_dosing_least_min(in[0], in[1], in[2], in[3]);
}

/* load_kg, liquor_l, steel_kg */
double mdr_rule_heat_capacity(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_heat_capacity_kj_per_k(in[0], in[1], in[2]);
}

double mdr_rule_steam_temp(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_steam_sat_temp_c(in[0]);
}

double mdr_rule_steam_heat(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_steam_hfg_kj_per_kg(in[0]);
}

/* exchanger_kw_per_k, circulation_l_per_min */
double mdr_rule_ua(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_heat_effective_kw_per_k(in[0], in[1]);
}

/* from, to, rate, capacity, ua, steam temperature, steam valve kg/h, steam heat */
double mdr_rule_heat_time(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_heat_ramp_in ramp = {.from_c = in[0],
                                   .to_c = in[1],
                                   .rate_c_per_min = in[2],
                                   .capacity_kj_per_k = in[3],
                                   .ua_kw_per_k = in[4],
                                   .medium_c = in[5],
                                   .medium_max_kw = mdr_heat_steam_kw(in[6], in[7])};
    return mdr_heat_ramp_make(&ramp).minutes;
}

/* from, to, rate, capacity, ua, cooling water */
double mdr_rule_cool_time(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_heat_ramp_in ramp = {.from_c = in[0],
                                   .to_c = in[1],
                                   .rate_c_per_min = in[2],
                                   .capacity_kj_per_k = in[3],
                                   .ua_kw_per_k = in[4],
                                   .medium_c = in[5]};
    return mdr_heat_ramp_make(&ramp).minutes;
}

/* from, to, rate */
double mdr_rule_rate_time(const double *in, int n)
{
    UNUSED_COUNT;
    return fabs(in[1] - in[0]) / in[2];
}

/* capacity, from, to, steam heat */
double mdr_rule_steam_mass(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, mdr_heat_steam_kg(in[0], in[2] - in[1], in[3]));
}

/* water_l, cold water, bath, steam heat */
double mdr_rule_steam_dose(const double *in, int n)
{
    UNUSED_COUNT;
    const double water_kj_per_k = mdr_heat_capacity_kj_per_k(0.0, in[0], 0.0);
    return fmax(0.0, mdr_heat_steam_kg(water_kj_per_k, in[2] - in[1], in[3]));
}

/* capacity before the fill, vessel, water_l, wanted, cold, hot */
double mdr_rule_water_temp(const double *in, int n)
{
    UNUSED_COUNT;
    const double needed_c = in[2] > 0.0 ? mdr_heat_water_c(in[0], in[1], in[2], in[3]) : in[4];
    return fmin(fmax(needed_c, in[4]), in[5]);
}

/* capacity before the fill, vessel, water_l, water */
double mdr_rule_mix_temp(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_heat_mixed_c(in[0], in[1], in[2], in[3]);
}

/* capacity, start, water, flow, minutes */
double mdr_rule_rinse_temp(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_heat_rinse_end_c(in[0], in[1], in[2], in[3], in[4]);
}

/* kW, minutes */
double mdr_rule_power(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] / 60.0;
}

/* quantity, price of a thousand */
double mdr_rule_per_thousand(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / 1000.0 * in[1];
}
