/* How fast one pass of the finishing line may run, how long it takes, and what heat it needs. */
#include <string.h>

#include "core/finish/mdr_stenter.h"
#include "core/plan/mdr_planner.h"
#include "core/plan/mdr_rules.h"

/* Temperature that elastane is set at, of the fabric: 185 to 195, common practice. */
static const double SETTING_C = 190.0;
/* Humidity of the air drawn in, kg/kg: a hall at 25 C and 50 %, common practice. */
static const double FRESH_KG_PER_KG = 0.01;
/* Exhaust and fabric leave so much cooler than the air that is blown: invented. */
static const double COOLER_BY_C = 20.0;

enum { SPEED_INPUTS = 8, SETTING_INPUTS = 10, HEAT_INPUTS = 8 };

static mdr_fig_id exhaust_of(mdr_planner *p, const mdr_finisher *m)
{
    return m->exhaust_kg_per_kg > 0.0
               ? mdr_plan_of_finisher(p, m, m->exhaust_kg_per_kg, "kg/kg",
                                      "Water in the exhaust air", "exhaust_kg_per_kg")
               : mdr_plan_constant(p, MDR_STENTER_EXHAUST_POOR_KG_PER_KG, "kg/kg",
                                   "Water in the exhaust air, as often found", "eu-bref-2003",
                                   "exhaust_kg_per_kg");
}

static void values_of(const mdr_planner *p, const mdr_fig_id *ids, int n, double *out)
{
    for (int i = 0; i < n; i++) {
        out[i] = mdr_fig_value(p->f, ids[i]);
    }
}

static void cannot_say(mdr_planner *p, const mdr_finisher *m, const mdr_err *why)
{
    /* the record lives on the stack; its sentence must outlive the plan */
    const char *text = mdr_arena_text_n(p->arena, why->msg, strlen(why->msg));
    p->failed = p->failed || text == NULL;
    MDR_PLAN_WARN(p, MDR_WARN_FINISH_DRYING, (mdr_where){0}, MDR_FIG_NONE, mdr_arg_text(m->name),
                  mdr_arg_text(text != NULL ? text : ""));
}

/* Fastest at which it comes out dry, and set; NONE: it does not say. */
static mdr_fig_id drying_speed(mdr_planner *p, const mdr_plan_pass *pass, mdr_fig_id before)
{
    const mdr_finisher *m = pass->machine;
    const mdr_fig_id in[SETTING_INPUTS] = {
        pass->dry_gsm,
        before,
        pass->moisture_pct,
        pass->temp_c,
        exhaust_of(p, m),
        mdr_plan_of_finisher(p, m, m->h_w_per_m2_k, "W/(m2 K)", "Heat transfer of each face",
                             "h_w_per_m2_k"),
        mdr_plan_of_finisher(p, m, m->oven_m, "m", "Heated length", "oven_m"),
        mdr_plan_of_finisher(p, m, m->speed_max_m_per_min, "m/min", "Fastest speed",
                             "speed_max_m_per_min"),
        pass->sets ? mdr_plan_constant(p, SETTING_C, "degC", "Fabric while it is set",
                                       "common-practice", "setting_c")
                   : MDR_FIG_NONE,
        pass->dwell_s,
    };
    const int n = pass->sets ? SETTING_INPUTS : SPEED_INPUTS;
    double values[SETTING_INPUTS] = {0.0};
    double m_per_min;
    mdr_err err;
    values_of(p, in, n, values);
    if (mdr_rule_drying_speed_of(values, &m_per_min, &err) != MDR_OK) {
        cannot_say(p, m, &err);
        return MDR_FIG_NONE;
    }
    return mdr_plan_of_pass(p, pass, MDR_QTY_DRYING_SPEED, MDR_RULE_DRYING_SPEED, in, n);
}

static void heat(mdr_planner *p, const mdr_plan_finish *f, mdr_plan_pass *pass, mdr_fig_id before)
{
    const mdr_fig_id in[HEAT_INPUTS] = {
        f->dry_kg,
        before,
        pass->moisture_pct,
        p->i.room,
        mdr_plan_constant(p, FRESH_KG_PER_KG, "kg/kg", "Water in the fresh air", "common-practice",
                          "fresh_kg_per_kg"),
        exhaust_of(p, pass->machine),
        pass->temp_c,
        mdr_plan_constant(p, COOLER_BY_C, "degC", "Exhaust and fabric cooler than the air by",
                          "common-practice", "cooler_by_c"),
    };
    double values[HEAT_INPUTS];
    double mj;
    mdr_err err;
    pass->evaporated_kg = MDR_PASS_FIG(p, pass, MDR_QTY_EVAPORATED, MDR_RULE_EVAPORATED, f->dry_kg,
                                       before, pass->moisture_pct);
    values_of(p, in, HEAT_INPUTS, values);
    if (mdr_rule_drying_heat_of(values, &mj, &err) != MDR_OK) {
        cannot_say(p, pass->machine, &err);
        return;
    }
    pass->heat_mj =
        mdr_plan_of_pass(p, pass, MDR_QTY_HEAT_MJ, MDR_RULE_DRYING_HEAT, in, HEAT_INPUTS);
}

void mdr_plan_pass_drying(mdr_planner *p, const mdr_plan_finish *f, mdr_plan_pass *pass,
                          mdr_fig_id moisture_before)
{
    const mdr_finisher *m = pass->machine;
    if (m == NULL) {
        return; /* how fast a machine runs that nobody knows is not guessed */
    }
    const mdr_fig_id usual =
        mdr_plan_of_finisher(p, m, m->speed_m_per_min, "m/min", "Usual speed", "speed_m_per_min");
    const bool dries =
        m->oven_m > 0.0 && pass->temp_c != MDR_FIG_NONE &&
        mdr_fig_value(p->f, pass->moisture_pct) < mdr_fig_value(p->f, moisture_before);
    mdr_fig_id limit = MDR_FIG_NONE;
    if (dries) {
        heat(p, f, pass, moisture_before);
    }
    if (pass->sets && !(m->oven_m > 0.0 && m->h_w_per_m2_k > 0.0)) {
        mdr_err unknown;
        (void)MDR_FAIL(&unknown, MDR_E_INFEAS, "h_w_per_m2_k",
                       "heated length or heat transfer is not known, so the time at temperature is "
                       "not sure");
        cannot_say(p, m, &unknown);
    } else if ((dries || pass->sets) && m->h_w_per_m2_k > 0.0) {
        limit = drying_speed(p, pass, moisture_before);
        if (limit == MDR_FIG_NONE) {
            return; /* a speed at which it does not come dry is no setting */
        }
    }
    pass->speed_m_per_min = MDR_PASS_FIG(p, pass, MDR_QTY_PASS_SPEED, MDR_RULE_LEAST, usual, limit);
    pass->minutes = MDR_PASS_FIG(p, pass, MDR_QTY_MINUTES, MDR_RULE_PASS_TIME, pass->length_m,
                                 pass->speed_m_per_min);
    pass->power_kwh = MDR_PASS_FIG(
        p, pass, MDR_QTY_POWER, MDR_RULE_POWER,
        mdr_plan_of_finisher(p, m, m->power_kw, "kW", "Power while running", "power_kw"),
        pass->minutes);
}
