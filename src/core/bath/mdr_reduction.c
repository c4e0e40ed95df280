#include "core/bath/mdr_reduction.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"
#include "num/mdr_interp.h"

/* data/bath/oxygen_saturation.csv: degC, mg/L */
enum { TEMP, OXYGEN, OXYGEN_COLS };
extern const double oxygen_saturation[][OXYGEN_COLS];
extern const int oxygen_saturation_rows;

static const double O2_G = 31.998; /* g/mol, [ciaaw] */

/* moles that react with one mole, [stoichiometry] */
static const double NAOH_PER_O2 = 2.0;         /* with one dithionite: sulphite and sulphate */
static const double NAOH_PER_DYE = 4.0;        /* two for the leuco salt, two for the sulphite */
static const double NAOH_PER_DECAY = 1.0;      /* 2 Na2S2O4 + 2 NaOH = Na2S2O3 + 2 Na2SO3 + H2O */
static const double H2O2_PER_DITHIONITE = 3.0; /* to sulphate */
static const double H2O2_PER_LEUCO = 1.0;      /* two electrons each */

/* [vat-practice], from memory, weak */
static const double DECAY_AT_60_PER_H = 0.05, DECAY_REFERENCE_C = 60.0, DECAY_DOUBLING_K = 10.0;

static const double MIN_PER_H = 60.0, MG_PER_G = 1000.0;

static double dithionite_g(void)
{
    return mdr_substance_molar_g_per_mol(MDR_SUB_DITHIONITE);
}

static double naoh_g(void)
{
    return mdr_substance_molar_g_per_mol(MDR_SUB_NAOH);
}

static double h2o2_g(void)
{
    return mdr_substance_molar_g_per_mol(MDR_SUB_H2O2);
}

mdr_code mdr_reduction_oxygen_mg_per_l(double temp_c, double *oxygen_mg_per_l, mdr_err *err)
{
    const double least = oxygen_saturation[0][TEMP];
    const double most = oxygen_saturation[oxygen_saturation_rows - 1][TEMP];
    if (!(temp_c >= least && temp_c <= most)) { /* true for NaN too */
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "temp_c", "no oxygen content is known at this temperature");
        mdr_err_value(err, "%g", temp_c);
        mdr_err_allowed(err, "%g to %g degC", least, most);
        mdr_err_remedy(err, "give the temperature at which the vat is set");
        return rc;
    }
    *oxygen_mg_per_l = mdr_interp_linear(&oxygen_saturation[0][TEMP], &oxygen_saturation[0][OXYGEN],
                                         oxygen_saturation_rows, OXYGEN_COLS, temp_c);
    return MDR_OK;
}

double mdr_reduction_dithionite_per_oxygen_g_per_g(void)
{
    return dithionite_g() / O2_G;
}

double mdr_reduction_naoh_per_oxygen_g_per_g(void)
{
    return NAOH_PER_O2 * naoh_g() / O2_G;
}

double mdr_reduction_dithionite_per_dye_g_per_g(double dye_g_per_mol)
{
    return dithionite_g() / dye_g_per_mol;
}

double mdr_reduction_usual_per_dye_g_per_g(void)
{
    return MDR_REDUCTION_PER_PURE_DYE_G_PER_G * MDR_REDUCTION_PURE_DYE_FRACTION;
}

double mdr_reduction_naoh_per_dithionite_g_per_g(void)
{
    return NAOH_PER_DYE * naoh_g() / dithionite_g();
}

double mdr_reduction_air_g_o2_per_kg_h(int machine_kind)
{
    switch ((mdr_machine_kind)machine_kind) { /* invented, to be calibrated on each machine */
    case MDR_MACHINE_WINCH:
        return 7.0;
    case MDR_MACHINE_OVERFLOW:
        return 4.0;
    case MDR_MACHINE_JET:
        return 3.5;
    case MDR_MACHINE_AIRFLOW:
        return 12.0;
    case MDR_MACHINE_SAMPLE:
        return 6.0;
    }
    return 0.0;
}

double mdr_reduction_air_loss_g_per_l_min(double air_g_o2_per_kg_h, double load_kg, double liquor_l)
{
    const double oxygen_g_per_l_min = air_g_o2_per_kg_h * load_kg / liquor_l / MIN_PER_H;
    return oxygen_g_per_l_min * mdr_reduction_dithionite_per_oxygen_g_per_g();
}

double mdr_reduction_heat_per_min(double temp_c)
{
    return DECAY_AT_60_PER_H / MIN_PER_H * exp2((temp_c - DECAY_REFERENCE_C) / DECAY_DOUBLING_K);
}

/* (e^x - 1)/x, whole at 0: keeps its digits where the decay is too slow to be seen. */
static double growth(double x)
{
    return fabs(x) > 0.0 ? expm1(x) / x : 1.0;
}

double mdr_reduction_heat_mean_per_min(double start_c, double end_c)
{
    static const double LN2 = 0.6931471805599453;
    return mdr_reduction_heat_per_min(start_c) * growth(LN2 * (end_c - start_c) / DECAY_DOUBLING_K);
}

double mdr_reduction_left_g_per_l(double start_g_per_l, double air_loss_g_per_l_min,
                                  double heat_per_min, double minutes)
{
    const double x = heat_per_min * minutes;
    const double left = start_g_per_l * exp(-x) - air_loss_g_per_l_min * minutes * growth(-x);
    return fmax(left, 0.0); /* the equation ends when nothing is left */
}

bool mdr_reduction_spent_min(double start_g_per_l, double air_loss_g_per_l_min, double heat_per_min,
                             double *spent_min)
{
    if (!(air_loss_g_per_l_min > 0.0)) {
        return false;
    }
    const double without_decay_min = start_g_per_l / air_loss_g_per_l_min;
    const double x = heat_per_min * without_decay_min;
    *spent_min = x > 0.0 ? without_decay_min * log1p(x) / x : without_decay_min;
    return true;
}

double mdr_reduction_start_g_per_l(double reserve_g_per_l, double air_loss_g_per_l_min,
                                   double heat_per_min, double minutes)
{
    const double x = heat_per_min * minutes;
    return reserve_g_per_l * exp(x) + air_loss_g_per_l_min * minutes * growth(x);
}

mdr_reduction_need mdr_reduction_budget(const mdr_reduction_in *in)
{
    const double reserve = in->reserve_g_per_l;
    const double air = in->air_loss_g_per_l_min * in->minutes;
    const double start = mdr_reduction_start_g_per_l(reserve, in->air_loss_g_per_l_min,
                                                     in->heat_per_min, in->minutes);
    const double heat = start - air - reserve;
    const double water =
        in->oxygen_mg_per_l / MG_PER_G * mdr_reduction_dithionite_per_oxygen_g_per_g();
    const double dye = in->dye_g_per_l * in->dithionite_per_dye_g_per_g;
    const double naoh_mol =
        (NAOH_PER_O2 * (water + air) + NAOH_PER_DYE * dye + NAOH_PER_DECAY * heat) / dithionite_g();
    return (mdr_reduction_need){.water_g_per_l = water,
                                .dye_g_per_l = dye,
                                .air_g_per_l = air,
                                .heat_g_per_l = heat,
                                .reserve_g_per_l = reserve,
                                .total_g_per_l = water + dye + start,
                                .naoh_g_per_l = naoh_mol * naoh_g()};
}

double mdr_reduction_h2o2_per_dye_g_per_g(double dithionite_per_dye_g_per_g)
{
    return H2O2_PER_LEUCO * dithionite_per_dye_g_per_g * h2o2_g() / dithionite_g();
}

double mdr_reduction_h2o2_per_dithionite_g_per_g(void)
{
    return H2O2_PER_DITHIONITE * h2o2_g() / dithionite_g();
}

double mdr_reduction_oxidant_kg(double dye_kg, double dithionite_per_dye_g_per_g,
                                double dithionite_kg, double excess)
{
    return excess * (dye_kg * mdr_reduction_h2o2_per_dye_g_per_g(dithionite_per_dye_g_per_g) +
                     dithionite_kg * mdr_reduction_h2o2_per_dithionite_g_per_g());
}

/* Place of the text among n, or -1. */
static int find(const char *text, const char *const *names, int n)
{
    for (int i = 0; text != NULL && i < n; i++) {
        if (strcmp(text, names[i]) == 0) {
            return i;
        }
    }
    return -1;
}

double mdr_reduction_oxidant_given_kg(double dye_kg, double dithionite_per_dye_g_per_g,
                                      double dithionite_kg, double excess, double least_g_per_l,
                                      double liquor_l)
{
    static const double G_PER_KG = 1000.0;
    return fmax(mdr_reduction_oxidant_kg(dye_kg, dithionite_per_dye_g_per_g, dithionite_kg, excess),
                least_g_per_l * liquor_l / G_PER_KG);
}

bool mdr_vat_group_of(const char *text, mdr_vat_group *out)
{
    static const char *const NAMES[] = {"IN", "IW", "IK"};
    const int i = find(text, NAMES, 3);
    if (i >= 0) {
        *out = (mdr_vat_group)i;
    }
    return i >= 0;
}

/* [vat-practice], from memory */
mdr_vat_window mdr_vat_window_of(mdr_vat_group group)
{
    switch (group) {
    case MDR_VAT_IN:
        return (mdr_vat_window){50.0, 60.0, false, false};
    case MDR_VAT_IW:
        return (mdr_vat_window){45.0, 50.0, true, false};
    case MDR_VAT_IK:
        return (mdr_vat_window){20.0, 30.0, true, true};
    }
    MDR_UNREACHABLE();
}

bool mdr_direct_group_of(const char *text, mdr_direct_group *out)
{
    static const char *const NAMES[] = {"A", "B", "C"};
    const int i = find(text, NAMES, 3);
    if (i >= 0) {
        *out = (mdr_direct_group)i;
    }
    return i >= 0;
}

/* [common-practice] */
mdr_direct_way mdr_direct_way_of(mdr_direct_group group)
{
    switch (group) {
    case MDR_DIRECT_A:
        return (mdr_direct_way){MDR_DIRECT_SALT_ANY, 0.0};
    case MDR_DIRECT_B:
        return (mdr_direct_way){MDR_DIRECT_SALT_PORTIONS, 0.0};
    case MDR_DIRECT_C:
        return (mdr_direct_way){MDR_DIRECT_SALT_PORTIONS, 1.0};
    }
    MDR_UNREACHABLE();
}
