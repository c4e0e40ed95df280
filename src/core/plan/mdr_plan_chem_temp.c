/* How warm the bath is, as far as it must be known before times are reckoned. */
#include "core/plan/mdr_planner.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* Heat of everything there with this much liquor. */
static mdr_fig_id heat_of(mdr_planner *p, mdr_fig_id liquor, mdr_where at)
{
    return MDR_FIG(p->f, MDR_QTY_CHEM_HEAT, at, MDR_RULE_HEAT_CAPACITY, p->plan->load_kg, liquor,
                   p->i.steel);
}

void mdr_plan_chem_fill_temp(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < bath->asked->n_steps; i++) {
        const mdr_route_step *step = &bath->asked->steps[i];
        if (step->kind == MDR_STEP_FILL && step->has_temp) {
            at.step = (int16_t)(i + 1);
            p->chem_temp = mdr_plan_route_input(p, step->temp_c, "degC", "Temperature asked for",
                                                "temp_c", at);
            return;
        }
    }
    const mdr_fig_id water =
        MDR_FIG(p->f, MDR_QTY_CHEM_FILL, at, MDR_RULE_LESS, bath->liquor_l, bath->carried_l);
    p->chem_temp = MDR_FIG(p->f, MDR_QTY_CHEM_TEMP, at, MDR_RULE_MIX_TEMP,
                           heat_of(p, bath->carried_l, at), p->chem_temp, water, p->i.cold);
}

/* A ramp takes the time of its rate; where the exchanger is slower, the plan's time is longer than
 * what is reckoned with here. */
static mdr_fig_id ramp(mdr_planner *p, const mdr_route_step *asked, mdr_where at)
{
    const bool heat = asked->kind == MDR_STEP_HEAT;
    const mdr_fig_id from = p->chem_temp;
    const mdr_fig_id to =
        mdr_plan_route_input(p, asked->temp_c, "degC", "Temperature asked for", "temp_c", at);
    if (heat ? asked->temp_c <= value(p, from) : asked->temp_c >= value(p, from)) {
        return p->i.zero; /* nothing to do, and the plan says so */
    }
    const mdr_fig_id most = heat ? p->i.heat_max : p->i.cool_max;
    const mdr_fig_id rate =
        asked->rate_c_per_min > 0.0
            ? MDR_FIG(p->f, MDR_QTY_CHEM_RATE, at, MDR_RULE_LEAST,
                      mdr_plan_route_input(p, asked->rate_c_per_min, "degC/min", "Rate asked for",
                                           "rate_c_per_min", at),
                      most)
            : most;
    p->chem_temp = to;
    return MDR_FIG(p->f, MDR_QTY_CHEM_MINUTES, at, MDR_RULE_RATE_TIME, from, to, rate);
}

static mdr_fig_id rinse_minutes(mdr_planner *p, const mdr_plan_bath *bath,
                                const mdr_plan_step *step, mdr_where at)
{
    mdr_fig_id water = p->i.cold;
    if (step->asked->has_temp) {
        water = MDR_FIG(p->f, MDR_QTY_CHEM_WATER, at, MDR_RULE_WITHIN,
                        mdr_plan_route_input(p, step->asked->temp_c, "degC",
                                             "Temperature asked for", "temp_c", at),
                        p->i.cold, p->i.hot);
    }
    p->chem_temp =
        MDR_FIG(p->f, MDR_QTY_CHEM_TEMP, at, MDR_RULE_RINSE_TEMP, heat_of(p, bath->liquor_l, at),
                p->chem_temp, water, step->rinse_flow_l_per_min, step->minutes);
    return step->minutes;
}

mdr_fig_id mdr_plan_chem_interval(mdr_planner *p, const mdr_plan_bath *bath,
                                  const mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    switch (asked->kind) {
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        return ramp(p, asked, at);
    case MDR_STEP_RINSE:
        return rinse_minutes(p, bath, step, at);
    case MDR_STEP_HOLD:
    case MDR_STEP_CHECK:
        return mdr_plan_route_input(
            p, asked->minutes, "min",
            asked->kind == MDR_STEP_CHECK ? "Time for the check" : "Running time", "minutes", at);
    case MDR_STEP_DOSE:
        return asked->with_next
                   ? p->i.zero
                   : mdr_plan_route_input(p, asked->minutes, "min", "Dosing time", "minutes", at);
    case MDR_STEP_LOAD:
    case MDR_STEP_FILL:
    case MDR_STEP_DRAIN:
    case MDR_STEP_UNLOAD:
        break;
    }
    return p->i.zero;
}
