/* Rules of the chemistry of a bath: pH, hardness, peroxide, reduction, wash-off, footprint. */
#include <math.h>

#include "core/bath/mdr_drain_load.h"
#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_peroxide.h"
#include "core/bath/mdr_reduction.h"
#include "core/bath/mdr_salt.h"
#include "core/bath/mdr_sequester.h"
#include "core/bath/mdr_washoff.h"
#include "core/plan/mdr_plan.h"
#include "core/plan/mdr_rules.h"
#include "core/units/mdr_strength.h"

/* A rule that takes a fixed number of inputs is handed exactly these by the planner. */
#define UNUSED_COUNT (void)n

static const double G_PER_KG = 1000.0;
static const double MG_PER_KG = 1e6;

/* depth, depth and amount below it, depth and amount above it */
double mdr_rule_between(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_salt_knots knots = {in[1], in[2], in[3], in[4]};
    return mdr_salt_between(&knots, in[0]);
}

/* -- pH: temperature, liquor_l, kg of each of MDR_DISSOLVED -- */

static mdr_mix mix_of(double temp_c, double liquor_l, const double *kg)
{
    mdr_mix mix = {.temp_c = temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    kg[i] * G_PER_KG / liquor_l);
    }
    return mix;
}

double mdr_rule_ph(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_mix mix = mix_of(in[0], in[1], in + 2);
    return mdr_equil_ph(&mix);
}

/* target pH, factor, then as for the pH. The planner has seen that the need can be met. */
static double acid_need_kg(const double *in, int substance)
{
    const mdr_mix mix = mix_of(in[2], in[3], in + 4);
    double g_per_kg = 0.0;
    const mdr_code rc =
        mdr_equil_need(&mix, substance, in[0], MDR_EQUIL_NEED_MOST_G_PER_KG, &g_per_kg, NULL);
    return rc == MDR_OK ? g_per_kg * in[3] / G_PER_KG * in[1] : 0.0;
}

double mdr_rule_need_acetic(const double *in, int n)
{
    UNUSED_COUNT;
    return acid_need_kg(in, MDR_SUB_HAC);
}

double mdr_rule_need_formic(const double *in, int n)
{
    UNUSED_COUNT;
    return acid_need_kg(in, MDR_SUB_FORMIC);
}

double mdr_rule_need_citric(const double *in, int n)
{
    UNUSED_COUNT;
    return acid_need_kg(in, MDR_SUB_CITRIC);
}

double mdr_rule_need_sulphuric(const double *in, int n)
{
    UNUSED_COUNT;
    return acid_need_kg(in, MDR_SUB_H2SO4);
}

/* product kg, mol/kg */
double mdr_rule_as_acetic(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] * mdr_substance_molar_g_per_mol(MDR_SUB_HAC) / G_PER_KG;
}

/* alkalinity mmol/L */
double mdr_rule_bicarbonate(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * mdr_substance_molar_g_per_mol(MDR_SUB_NAHCO3) / G_PER_KG;
}

/* liquor, carried, content per litre */
double mdr_rule_water_brings(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, in[0] - in[1]) * in[2];
}

double mdr_rule_water_brings_kg(const double *in, int n)
{
    return mdr_rule_water_brings(in, n) / G_PER_KG;
}

/* what was there, part left, liquor, content per litre */
double mdr_rule_rinse_mix(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] + in[2] * in[3] * (1.0 - in[1]);
}

double mdr_rule_rinse_mix_kg(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] + in[2] * in[3] / G_PER_KG * (1.0 - in[1]);
}

/* -- hardness -- */

static mdr_hardness mmol_per_l(double value)
{
    return (mdr_hardness){value};
}

double mdr_rule_hardness_of_water(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_hardness_of(in[0], MDR_HARD_DH).mmol_per_l;
}

double mdr_rule_fabric_hardness(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_sequester_fabric_mmol_per_kg(in[0], in[1]);
}

double mdr_rule_fabric_left(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_sequester_fabric_left_mmol_per_kg(in[0], in[1]);
}

/* product kg, capacity */
double mdr_rule_binding(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_sequester_bound(in[0] * G_PER_KG, in[1]).mmol_per_l; /* of a bath of one litre */
}

/* mmol, liquor */
double mdr_rule_dh(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_hardness_in(mmol_per_l(in[0] / in[1]), MDR_HARD_DH);
}

/* total mmol, bound mmol, liquor */
double mdr_rule_free_dh(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_hardness left =
        mdr_sequester_free(mmol_per_l(in[0] / in[2]), mmol_per_l(in[1] / in[2]));
    return mdr_hardness_in(left, MDR_HARD_DH);
}

/* total mmol, bound mmol, capacity, factor */
double mdr_rule_sequester(const double *in, int n)
{
    UNUSED_COUNT;
    const mdr_hardness open = mdr_sequester_free(mmol_per_l(in[0]), mmol_per_l(in[1]));
    return mdr_sequester_need_g_per_l(open, mmol_per_l(0.0), in[2]) / G_PER_KG * in[3];
}

/* -- peroxide -- */

/* whiteness W10, factor; the planner has checked the range */
double mdr_rule_whiten(const double *in, int n)
{
    UNUSED_COUNT;
    double g_per_l = 0.0;
    const mdr_code rc = mdr_peroxide_for_whiteness(in[0], &g_per_l, NULL);
    return rc == MDR_OK ? g_per_l * in[1] : 0.0;
}

/* kg, then minutes, start and end temperature of each step */
double mdr_rule_peroxide_left(const double *in, int n)
{
    double minutes = 0.0;
    for (int i = 1; i + 2 < n; i += 3) {
        minutes += mdr_peroxide_equivalent_min(in[i], in[i + 1], in[i + 2]);
    }
    return in[0] * mdr_peroxide_left_fraction(minutes);
}

/* kg, catalase kg, capacity, liquor */
double mdr_rule_after_catalase(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_peroxide_after_catalase_mg_per_l(in[0] * MG_PER_KG / in[3], in[1], in[3], in[2]) *
           in[3] / MG_PER_KG;
}

/* kg, aim mg/L, liquor, capacity, factor */
double mdr_rule_catalase(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_peroxide_catalase_kg(in[0] * MG_PER_KG / in[2], in[1], in[2], in[3]) * in[4];
}

/* -- reduction -- */

/* water temperature; the planner has checked its range */
double mdr_rule_oxygen(const double *in, int n)
{
    UNUSED_COUNT;
    double mg_per_l = 0.0;
    const mdr_code rc = mdr_reduction_oxygen_mg_per_l(in[0], &mg_per_l, NULL);
    return rc == MDR_OK ? mg_per_l : 0.0;
}

/* liquor, carried, oxygen mg/L */
double mdr_rule_taken_water(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, in[0] - in[1]) / in[0] * in[2] / G_PER_KG *
           mdr_reduction_dithionite_per_oxygen_g_per_g();
}

/* dye kg, dithionite per g of dye, liquor */
double mdr_rule_taken_dye(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] * G_PER_KG / in[2];
}

/* oxygen g/(kg h), load, liquor */
double mdr_rule_air_loss(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_reduction_air_loss_g_per_l_min(in[0], in[1], in[2]);
}

/* there, water, dye, air g/(L min), first and last temperature, minutes */
double mdr_rule_reserve(const double *in, int n)
{
    UNUSED_COUNT;
    const double start = fmax(0.0, in[0] - in[1] - in[2]);
    return mdr_reduction_left_g_per_l(start, in[3], mdr_reduction_heat_mean_per_min(in[4], in[5]),
                                      in[6]);
}

/* acid there kg, dithionite before and after g/L, water, dye, air g/(L min), minutes, liquor */
double mdr_rule_acid_made(const double *in, int n)
{
    UNUSED_COUNT;
    const double used = fmax(0.0, in[1] - in[2]);
    const double water = fmin(in[3], used);
    const double dye = fmin(in[4], used - water);
    const double air = fmin(in[5] * in[6], used - water - dye);
    const double heat = used - water - dye - air;
    const double dithionite_g_per_l = water + air + 2.0 * dye + 0.5 * heat;
    return in[0] + dithionite_g_per_l * in[7] / G_PER_KG *
                       mdr_substance_molar_g_per_mol(MDR_SUB_H2SO4) /
                       mdr_substance_molar_g_per_mol(MDR_SUB_DITHIONITE);
}

/* sulphate there kg, dithionite before and after kg */
double mdr_rule_sulphate_made(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] + fmax(0.0, in[1] - in[2]) * mdr_substance_molar_g_per_mol(MDR_SUB_NA2SO4) /
                       mdr_substance_molar_g_per_mol(MDR_SUB_DITHIONITE);
}

/* peroxide kg, dithionite kg, reduced dye kg, dithionite per g of dye */
double mdr_rule_oxidant_left(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, in[0] - mdr_reduction_oxidant_kg(in[2], in[3], in[1], 1.0));
}

/* dithionite kg, peroxide kg */
double mdr_rule_reducer_left(const double *in, int n)
{
    UNUSED_COUNT;
    return fmax(0.0, in[0] - in[1] / mdr_reduction_h2o2_per_dithionite_g_per_g());
}

/* reduced dye kg, peroxide kg, dithionite kg, dithionite per g of dye */
double mdr_rule_leuco_left(const double *in, int n)
{
    UNUSED_COUNT;
    const double over = fmax(0.0, in[1] - in[2] * mdr_reduction_h2o2_per_dithionite_g_per_g());
    return fmax(0.0, in[0] - over / mdr_reduction_h2o2_per_dye_g_per_g(in[3]));
}

/* dye kg, dithionite per g of dye, dithionite kg, excess, least g/L, liquor, factor */
double mdr_rule_oxidise(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_reduction_oxidant_given_kg(in[0], in[1], in[2], in[3], in[4], in[5]) * in[6];
}

/* -- wash-off -- */

/* dye kg, exhaustion %, fixation % */
double mdr_rule_loose(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * fmax(0.0, in[1] - in[2]) / 100.0;
}

/* dye kg, fixation % */
double mdr_rule_unfixed(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (100.0 - in[1]) / 100.0;
}

/* kg, electrolyte g/L, then minutes and temperature of each step */
double mdr_rule_wash_off(const double *in, int n)
{
    double left = in[0];
    for (int i = 2; i + 1 < n; i += 2) {
        left *= mdr_washoff_left(mdr_washoff_rate_per_min(in[i + 1], in[1]), in[i]);
    }
    return left;
}

/* -- footprint -- */

/* steam kg, kg/t, power kWh, kg/MWh, water L, kg/m3, then pairs of product kg and factor */
double mdr_rule_co2(const double *in, int n)
{
    double total = 0.0;
    for (int i = 0; i + 1 < n; i += 2) {
        total += in[i] * in[i + 1] / (i < 6 ? G_PER_KG : 1.0);
    }
    return total;
}

/* kg, litres */
double mdr_rule_mean_mg_per_l(const double *in, int n)
{
    UNUSED_COUNT;
    return in[1] > 0.0 ? mdr_drain_mean_mg_per_l(in[0], in[1]) : 0.0;
}
