/* Fills, heating and cooling: how warm, how long, how much steam. */
#include <math.h>

#include "core/bath/mdr_heat.h"
#include "core/plan/mdr_plan_time.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* The ramp as the rule computes it, for its shape and for what limits it. */
static mdr_heat_ramp shape_of(const mdr_planner *p, double to_c, double rate, double heat_kj_per_k,
                              bool heating)
{
    const mdr_heat_ramp_in in = {
        .from_c = value(p, p->temp),
        .to_c = to_c,
        .rate_c_per_min = rate,
        .capacity_kj_per_k = heat_kj_per_k,
        .ua_kw_per_k = value(p, p->i.ua),
        .medium_c = value(p, heating ? p->i.steam_c : p->i.cooling),
        .medium_max_kw =
            heating ? mdr_heat_steam_kw(value(p, p->i.steam_max), value(p, p->i.steam_kj_per_kg))
                    : 0.0};
    return mdr_heat_ramp_make(&in);
}

/* Minutes of a ramp from the present temperature to `target`; heating or cooling by sign. */
static mdr_fig_id ramp_minutes(mdr_planner *p, mdr_fig_id target, mdr_fig_id rate, mdr_fig_id heat,
                               mdr_qty qty, mdr_where at)
{
    mdr_figs *f = p->f;
    if (f->failed) { /* the numbers are void: nothing to shape */
        return MDR_FIG_NONE;
    }
    const bool heating = value(p, target) >= value(p, p->temp);
    const mdr_heat_ramp ramp =
        shape_of(p, value(p, target), value(p, rate), value(p, heat), heating);
    if (!ramp.reachable) {
        MDR_PLAN_WARN(p, MDR_WARN_NOT_REACHED, at, target, mdr_arg_number(value(p, target), 0),
                      mdr_arg_number(value(p, heating ? p->i.steam_c : p->i.cooling), 0),
                      mdr_arg_part(heating ? "part.steam" : "part.cooling-water"));
        return MDR_FIG(f, qty, at, MDR_RULE_RATE_TIME, p->temp, target, rate);
    }
    return heating ? MDR_FIG(f, qty, at, MDR_RULE_HEAT_TIME, p->temp, target, rate, heat, p->i.ua,
                             p->i.steam_c, p->i.steam_max, p->i.steam_kj_per_kg)
                   : MDR_FIG(f, qty, at, MDR_RULE_COOL_TIME, p->temp, target, rate, heat, p->i.ua,
                             p->i.cooling);
}

/* Rate of a ramp: as asked, but the machine's control sets a limit. */
static mdr_fig_id rate_of(mdr_planner *p, const mdr_route_step *asked, bool heating, mdr_where at)
{
    const mdr_fig_id most = heating ? p->i.heat_max : p->i.cool_max;
    if (asked->rate_c_per_min <= 0.0) {
        return most;
    }
    const mdr_fig_id rate = mdr_plan_route_input(p, asked->rate_c_per_min, "degC/min",
                                                 "Rate asked for", "rate_c_per_min", at);
    if (asked->rate_c_per_min > value(p, most)) {
        MDR_PLAN_WARN(p, MDR_WARN_RATE_OVER, at, rate, mdr_arg_number(asked->rate_c_per_min, 1),
                      mdr_arg_number(value(p, most), 1));
    }
    return MDR_FIG(p->f, MDR_QTY_RATE, at, MDR_RULE_LEAST, rate, most);
}

/* The part that bends is drawn with a few points. */
static void draw_ramp(mdr_planner *p, const mdr_heat_ramp *ramp)
{
    enum { BEND_POINTS = 8 };
    if (!ramp->reachable || ramp->minutes <= ramp->constant_min) {
        return;
    }
    const double start = value(p, p->now);
    const double bend = ramp->minutes - ramp->constant_min;
    for (int i = 0; i < BEND_POINTS; i++) {
        const double t = ramp->constant_min + bend * i / BEND_POINTS;
        if (t > 0.0) {
            mdr_plan_point_add(p, start + t, mdr_heat_ramp_temp_c(ramp, t), value(p, p->liquor));
        }
    }
}

static void warn_ramp(mdr_planner *p, const mdr_plan_step *step, const mdr_heat_ramp *ramp,
                      mdr_fig_id rate, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    const bool heating = asked->kind == MDR_STEP_HEAT;
    /* the machine's own limit on the rate was said before: this is about what comes on top */
    const double at_rate = fabs(asked->temp_c - value(p, p->temp)) / value(p, rate);
    const bool slower = ramp->minutes > 1.05 * at_rate + 0.5;
    if (asked->rate_c_per_min > 0.0 && ramp->reachable && slower) {
        MDR_PLAN_WARN(p, MDR_WARN_RAMP_SLOWER, at, MDR_FIG_NONE, mdr_arg_number(ramp->minutes, 1),
                      mdr_arg_number(at_rate, 1), mdr_arg_number(value(p, rate), 1),
                      mdr_arg_part(ramp->limit == MDR_HEAT_LIMIT_VALVE ? "part.steam-valve"
                                                                       : "part.heat-exchanger"));
    }
    if (!heating && value(p, p->temp) > MDR_COOL_CREASE_C &&
        ramp->rate_c_per_min > MDR_COOL_CREASE_C_PER_MIN) {
        MDR_PLAN_WARN(p, MDR_WARN_COOL_FAST, at, MDR_FIG_NONE,
                      mdr_arg_number(ramp->rate_c_per_min, 1), mdr_arg_number(MDR_COOL_CREASE_C, 0),
                      mdr_arg_number(MDR_COOL_CREASE_C_PER_MIN, 0));
    }
}

static void warn_too_hot(mdr_planner *p, mdr_fig_id asked, mdr_where at)
{
    const double most_c = p->in->machine->temp_max_c;
    if (value(p, asked) > most_c) {
        MDR_PLAN_WARN(p, MDR_WARN_TEMP_OVER, at, asked, mdr_arg_number(value(p, asked), 0),
                      mdr_arg_number(most_c, 0));
    }
}

void mdr_plan_heat_or_cool(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    const bool heating = asked->kind == MDR_STEP_HEAT;
    mdr_plan_step_open(p, step);
    const mdr_fig_id target =
        mdr_plan_route_input(p, asked->temp_c, "degC", "Temperature asked for", "temp_c", at);
    const double gap =
        heating ? asked->temp_c - value(p, p->temp) : value(p, p->temp) - asked->temp_c;
    warn_too_hot(p, target, at);
    if (gap <= 0.0) {
        MDR_PLAN_WARN(p, MDR_WARN_NO_RAMP, at, target, mdr_arg_number(value(p, p->temp), 0),
                      mdr_arg_number(asked->temp_c, 0));
        const mdr_fig_id none = mdr_fig_rule(p->f, MDR_QTY_MINUTES, at, MDR_RULE_NOTHING, NULL, 0);
        mdr_plan_step_close(p, step, at, none, p->temp);
        return;
    }
    const mdr_fig_id heat = mdr_plan_capacity(p, MDR_QTY_HEAT_CAPACITY, at);
    const mdr_fig_id rate = rate_of(p, asked, heating, at);
    const mdr_fig_id minutes = ramp_minutes(p, target, rate, heat, MDR_QTY_MINUTES, at);
    if (minutes == MDR_FIG_NONE) {
        return;
    }
    const mdr_heat_ramp ramp = shape_of(p, asked->temp_c, value(p, rate), value(p, heat), heating);
    warn_ramp(p, step, &ramp, rate, at);
    draw_ramp(p, &ramp);
    if (heating) {
        step->steam_kg = MDR_FIG(p->f, MDR_QTY_STEAM, at, MDR_RULE_STEAM_MASS, heat, p->temp,
                                 target, p->i.steam_kj_per_kg);
    }
    mdr_plan_step_close(p, step, at, minutes, target);
}

/* Lets the water in; brings the bath to the wanted temperature when the water alone does not. */
void mdr_plan_fill(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_route_step *asked = step->asked;
    mdr_plan_step_open(p, step);
    step->volume_l = bath->fill_l;
    const mdr_fig_id flow_min =
        MDR_FIG(f, MDR_QTY_FLOW_TIME, at, MDR_RULE_FLOW_TIME, bath->fill_l, p->i.fill_flow);
    const mdr_fig_id before = mdr_plan_capacity(p, MDR_QTY_HEAT_CAPACITY, at);
    mdr_plan_liquor_add(p, bath->fill_l, at);
    if (!asked->has_temp) {
        step->water_temp_c = p->i.cold;
        const mdr_fig_id mixed = MDR_FIG(f, MDR_QTY_MIX_TEMP, at, MDR_RULE_MIX_TEMP, before,
                                         p->temp, bath->fill_l, p->i.cold);
        mdr_plan_step_close(p, step, at, flow_min, mixed);
        return;
    }
    const mdr_fig_id wanted =
        mdr_plan_route_input(p, asked->temp_c, "degC", "Temperature asked for", "temp_c", at);
    warn_too_hot(p, wanted, at);
    step->water_temp_c = MDR_FIG(f, MDR_QTY_WATER_TEMP, at, MDR_RULE_WATER_TEMP, before, p->temp,
                                 bath->fill_l, wanted, p->i.cold, p->i.hot);
    const mdr_fig_id mixed = MDR_FIG(f, MDR_QTY_MIX_TEMP, at, MDR_RULE_MIX_TEMP, before, p->temp,
                                     bath->fill_l, step->water_temp_c);
    if (fabs(value(p, mixed) - asked->temp_c) <= MDR_TEMP_TOLERANCE_C) {
        mdr_plan_step_close(p, step, at, flow_min, wanted);
        return;
    }
    MDR_PLAN_WARN(p, MDR_WARN_FILL_TEMP, at, mixed, mdr_arg_number(value(p, mixed), 0),
                  mdr_arg_number(asked->temp_c, 0));
    p->temp = mixed;
    mdr_plan_point_add(p, value(p, p->now) + value(p, flow_min), value(p, mixed),
                       value(p, p->liquor));
    const bool heating = asked->temp_c > value(p, mixed);
    const mdr_fig_id heat = mdr_plan_capacity(p, MDR_QTY_HEAT_FULL, at);
    const mdr_fig_id trim = ramp_minutes(p, wanted, heating ? p->i.heat_max : p->i.cool_max, heat,
                                         MDR_QTY_TRIM_TIME, at);
    if (heating) {
        step->steam_kg = MDR_FIG(f, MDR_QTY_STEAM, at, MDR_RULE_STEAM_MASS, heat, mixed, wanted,
                                 p->i.steam_kj_per_kg);
    }
    mdr_plan_step_close(p, step, at, MDR_FIG(f, MDR_QTY_MINUTES, at, MDR_RULE_SUM, flow_min, trim),
                        wanted);
}
