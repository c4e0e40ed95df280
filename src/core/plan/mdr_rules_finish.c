/* Rules of finishing: from the knit to the finished fabric, and what drying takes. */
#include <math.h>

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_stenter.h"
#include "core/finish/mdr_web.h"
#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_rules.h"

/* A rule that takes a fixed number of inputs is handed exactly these by the planner. */
#define UNUSED_COUNT (void)n

static const double PCT = 100.0;
static const double MM_PER_CM = 10.0;
static const double PRESSURE_PA = 101325.0; /* standard atmosphere */
/* Heat lost through walls and openings, of all put in: common practice. */
static const double LOSS_FRACTION = 0.10;

double mdr_rule_mean(const double *in, int n)
{
    return mdr_rule_sum(in, n) / n;
}

/* diameter, gauge */
double mdr_rule_needles(const double *in, int n)
{
    UNUSED_COUNT;
    return mdr_knit_needles(in[0], in[1]);
}

/* count per cm and mm of loop of each sample */
double mdr_rule_own_constant(const double *in, int n)
{
    double sum = 0.0;
    for (int i = 0; i + 1 < n; i += 2) {
        sum += in[i] * in[i + 1] / MM_PER_CM;
    }
    return sum / (n / 2.0);
}

/* measured and counted g/m2 of each sample */
double mdr_rule_own_factor(const double *in, int n)
{
    double sum = 0.0;
    for (int i = 0; i + 1 < n; i += 2) {
        sum += in[i] / in[i + 1];
    }
    return sum / (n / 2.0);
}

/* constant, mm of loop */
double mdr_rule_knit_count(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / (in[1] / MM_PER_CM);
}

/* faces, factor, courses, wales, mm of loop, Ne, elastane % */
double mdr_rule_knit_gsm(const double *in, int n)
{
    UNUSED_COUNT;
    mdr_tex yarn = {0.0};
    if (mdr_yarn_to_tex(in[5], MDR_YARN_NE, &yarn, NULL) != MDR_OK) {
        return 0.0; /* the planner has seen that there is a yarn */
    }
    const double loop_cm = in[4] / MM_PER_CM;
    const mdr_knit knit = {.yarn = yarn, .loop_cm = loop_cm, .elastane_pct = in[6]};
    const mdr_knit_constants c = {.kc_cm = in[2] * loop_cm,
                                  .kw_cm = in[3] * loop_cm,
                                  .beds = in[0],
                                  .gsm_factor = in[1],
                                  .length_factor = 1.0,
                                  .width_factor = 1.0};
    return mdr_knit_gsm(&knit, &c);
}

/* amount, % less */
double mdr_rule_less_pct(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (1.0 - in[1] / PCT);
}

/* amount, % more */
double mdr_rule_more_pct(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (1.0 + in[1] / PCT);
}

/* amount, regain */
double mdr_rule_bone_dry(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / (1.0 + in[1]);
}

/* amount, regain */
double mdr_rule_conditioned(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (1.0 + in[1]);
}

/* relaxed g/m2, relaxed width, g/m2, its tolerance %, width, its tolerance cm, length and width
 * shrinkage at most %, growth accepted % */
static mdr_spec_answer answer_of(const double *in)
{
    const mdr_spec_in spec = {
        .relaxed = {.gsm = in[0], .width_cm = in[1]},
        .demand = {.gsm = in[2],
                   .gsm_tol_pct = in[3],
                   .width_cm = in[4],
                   .width_tol_cm = in[5],
                   .length_shrink_max_frac = in[6] / PCT,
                   .width_shrink_max_frac = in[7] / PCT,
                   .length_shrink_min_frac = -in[8] / PCT,
                   .width_shrink_min_frac = -in[8] / PCT},
    };
    return mdr_spec_answer_of(&spec);
}

double mdr_rule_aim_across(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * answer_of(in).best.width_shrink_frac;
}

double mdr_rule_aim_length(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * answer_of(in).best.length_shrink_frac;
}

double mdr_rule_aim_strain(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * answer_of(in).strain;
}

/* relaxed width, shrinkage % */
double mdr_rule_width_at(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / (1.0 - in[1] / PCT);
}

/* relaxed g/m2, shrinkage % both ways */
double mdr_rule_gsm_at(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (1.0 - in[1] / PCT) * (1.0 - in[2] / PCT);
}

/* relaxed count, constant wet, constant fully relaxed */
double mdr_rule_wet_count(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * in[1] / in[2];
}

/* relaxed bone dry g/m2, courses, wales, relaxed courses, relaxed wales */
double mdr_rule_dry_gsm_at(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (in[1] * in[2]) / (in[3] * in[4]);
}

/* litres kept per kg (of 1 kg/L), regain */
double mdr_rule_rope_moisture(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * mdr_web_moisture_of_pickup(in[0], in[1]);
}

double mdr_rule_twice(const double *in, int n)
{
    UNUSED_COUNT;
    return 2.0 * in[0];
}

double mdr_rule_half(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / 2.0;
}

/* all of these changes in %, one after the other */
static double changes(const double *pct, int n)
{
    double times = 1.0;
    for (int i = 0; i < n; i++) {
        times *= 1.0 + pct[i] / PCT;
    }
    return times;
}

/* finished width, changes of the later passes */
double mdr_rule_width_before(const double *in, int n)
{
    return in[0] / changes(in + 1, n - 1);
}

/* courses to finish at, courses to start with, overfeeds of the other passes */
double mdr_rule_overfeed_wanted(const double *in, int n)
{
    return PCT * (in[0] / in[1] / changes(in + 2, n - 2) - 1.0);
}

double mdr_rule_length_loss(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * mdr_web_loss_of_overfeed(in[0] / PCT);
}

/* length, overfeed */
double mdr_rule_overfed_length(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] / (1.0 + in[1] / PCT);
}

/* g/m2, overfeed, width before, width behind */
double mdr_rule_overfed_gsm(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (1.0 + in[1] / PCT) * in[2] / in[3];
}

/* count, relaxed count */
double mdr_rule_shrinkage_left(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * (1.0 - in[0] / in[1]);
}

/* measured, expected */
double mdr_rule_off_pct(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * (in[0] / in[1] - 1.0);
}

/* feeders, wales, needles, courses */
double mdr_rule_feeder_drop(const double *in, int n)
{
    UNUSED_COUNT;
    return PCT * in[0] * in[1] / (in[2] * in[3]);
}

/* -- drying -- */

/* bone dry g/m2, moisture before and behind %, air, humidity, h, oven, fastest, then for
 * heat-setting the temperature and the dwell */
enum { SPEED_INPUTS_MAX = 10 };
/* Fabric that comes in dry has the temperature of the hall: common practice. */
static const double COLD_C = 25.0;
/* No line runs slower than this: below it the answer is "not in one pass". Invented. */
static const double SLOWEST_M_PER_MIN = 0.5;

mdr_code mdr_rule_drying_speed_of(const double *in, double *m_per_min, mdr_err *err)
{
    const double setting_c = in[8], dwell_s = in[9];
    const mdr_drying_in oven = {.dry_gsm = in[0],
                                .moisture_in_kg_per_kg = in[1] / PCT,
                                .moisture_out_kg_per_kg = in[2] / PCT,
                                .critical_kg_per_kg = MDR_DRYING_CRITICAL_KG_PER_KG,
                                .equilibrium_kg_per_kg = MDR_DRYING_EQUILIBRIUM_KG_PER_KG,
                                .air_c = in[3],
                                .air_kg_per_kg = in[4],
                                .pressure_pa = PRESSURE_PA,
                                .h_w_per_m2_k = in[5]};
    mdr_drying drying = {.wet_bulb_c = COLD_C}; /* dry already: it comes in cold, and only warms */
    const bool dries = in[1] > in[2];
    if (dries || dwell_s <= 0.0) {
        MDR_TRY(mdr_drying_time(&oven, &drying, err));
    }
    double warm_s = 0.0;
    if (dwell_s > 0.0) {
        MDR_TRY(
            mdr_drying_warm_up_s(&oven, in[2] / PCT, drying.wet_bulb_c, setting_c, &warm_s, err));
    }
    const mdr_oven machine = {.length_m = in[6],
                              .speed_min_m_per_min = SLOWEST_M_PER_MIN,
                              .speed_max_m_per_min = in[7],
                              .entry_s = MDR_DRYING_ENTRY_S,
                              .drying_s = drying.total_s,
                              .set_warm_up_s = warm_s,
                              .set_dwell_s = dwell_s};
    mdr_speed speed;
    MDR_TRY(mdr_drying_speed(&machine, &speed, err));
    if (speed.below_slowest) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_INFEAS, "oven_m", "it does not come dry in one pass");
        mdr_err_value(err, "%.2g m/min", speed.speed_m_per_min);
        mdr_err_allowed(err, "%g m/min or more", SLOWEST_M_PER_MIN);
        mdr_err_remedy(err, "look at the heated length and at the heat transfer, or pass it twice");
        return rc;
    }
    *m_per_min = speed.speed_m_per_min;
    return MDR_OK;
}

double mdr_rule_drying_speed(const double *in, int n)
{
    double all[SPEED_INPUTS_MAX] = {0.0};
    for (int i = 0; i < n && i < SPEED_INPUTS_MAX; i++) {
        all[i] = in[i];
    }
    double m_per_min = 0.0; /* the planner has seen that there is one */
    return mdr_rule_drying_speed_of(all, &m_per_min, NULL) == MDR_OK ? m_per_min : 0.0;
}

/* bone dry kg, moisture before and behind % */
double mdr_rule_evaporated(const double *in, int n)
{
    UNUSED_COUNT;
    return in[0] * (in[1] - in[2]) / PCT;
}

/* bone dry kg, moisture before and behind %, fresh air's temperature and humidity, exhaust
 * humidity, air, how much cooler exhaust and fabric leave */
mdr_code mdr_rule_drying_heat_of(const double *in, double *mj, mdr_err *err)
{
    /* a rate of dry_kg in one hour: MJ/h are then the MJ of the lot */
    const mdr_stenter_in balance = {.dry_kg_per_h = in[0],
                                    .moisture_in_kg_per_kg = in[1] / PCT,
                                    .moisture_out_kg_per_kg = in[2] / PCT,
                                    .fresh_c = in[3],
                                    .fresh_kg_per_kg = in[4],
                                    .exhaust_kg_per_kg = in[5],
                                    .exhaust_c = in[6] - in[7],
                                    .fabric_in_c = in[3],
                                    .fabric_out_c = in[6] - in[7],
                                    .loss_fraction = LOSS_FRACTION,
                                    .pressure_pa = PRESSURE_PA};
    mdr_stenter out;
    MDR_TRY(mdr_stenter_balance(&balance, &out, err));
    *mj = out.heat_mj_per_h;
    return MDR_OK;
}

double mdr_rule_drying_heat(const double *in, int n)
{
    UNUSED_COUNT;
    double mj = 0.0; /* the planner has seen that there is a balance */
    return mdr_rule_drying_heat_of(in, &mj, NULL) == MDR_OK ? mj : 0.0;
}
