/* Temperature and time of every step, and the process curve. */
#include <math.h>

#include "core/bath/mdr_heat.h"
#include "core/plan/mdr_planner.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

static void add_point(mdr_planner *p, double t_min, double temp_c, double liquor_l)
{
    mdr_plan *plan = p->plan;
    if (plan->n_points == p->point_room) {
        const int room = p->point_room == 0 ? 128 : 2 * p->point_room;
        mdr_plan_point *more = MDR_NEW_N(p->arena, mdr_plan_point, (size_t)room);
        if (more == NULL) {
            p->failed = true;
            return;
        }
        for (int i = 0; i < plan->n_points; i++) {
            more[i] = plan->curve[i];
        }
        plan->curve = more;
        p->point_room = room;
    }
    plan->curve[plan->n_points++] = (mdr_plan_point){t_min, temp_c, liquor_l};
}

/* Begins a step: the curve gets its left corner. */
static void open_step(mdr_planner *p, mdr_plan_step *step)
{
    step->start_min = p->now;
    step->temp_start_c = p->temp;
    step->liquor_start_l = value(p, p->liquor);
    add_point(p, value(p, p->now), value(p, p->temp), value(p, p->liquor));
}

/* Ends it `minutes` later at `temp`, with the liquor as p->liquor says by then. */
static void close_step(mdr_planner *p, mdr_plan_step *step, mdr_where at, mdr_fig_id minutes,
                       mdr_fig_id temp)
{
    step->minutes = minutes;
    step->end_min = MDR_FIG(p->f, MDR_QTY_END, at, MDR_RULE_END, step->start_min, minutes);
    step->temp_end_c = temp;
    step->liquor_end_l = value(p, p->liquor);
    p->now = step->end_min;
    p->temp = temp;
    add_point(p, value(p, p->now), value(p, temp), value(p, p->liquor));
}

/* Heat to warm fabric, steel and the liquor that is there now. */
static mdr_fig_id capacity(mdr_planner *p, mdr_qty qty, mdr_where at)
{
    return MDR_FIG(p->f, qty, at, MDR_RULE_HEAT_CAPACITY, p->plan->load_kg, p->liquor, p->i.steel);
}

/* More liquor is in the machine from here on. */
static void add_liquor(mdr_planner *p, mdr_fig_id volume, mdr_where at)
{
    p->liquor = MDR_FIG(p->f, MDR_QTY_LIQUOR_NOW, at, MDR_RULE_SUM, p->liquor, volume);
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
                      mdr_arg_text(heating ? "steam" : "cooling water"));
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
            add_point(p, start + t, mdr_heat_ramp_temp_c(ramp, t), value(p, p->liquor));
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
                      mdr_arg_text(ramp->limit == MDR_HEAT_LIMIT_VALVE ? "the steam valve"
                                                                       : "the heat exchanger"));
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

static void heat_or_cool(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    const bool heating = asked->kind == MDR_STEP_HEAT;
    open_step(p, step);
    const mdr_fig_id target =
        mdr_plan_route_input(p, asked->temp_c, "degC", "Temperature asked for", "temp_c", at);
    const double gap =
        heating ? asked->temp_c - value(p, p->temp) : value(p, p->temp) - asked->temp_c;
    warn_too_hot(p, target, at);
    if (gap <= 0.0) {
        MDR_PLAN_WARN(p, MDR_WARN_NO_RAMP, at, target, mdr_arg_number(value(p, p->temp), 0),
                      mdr_arg_number(asked->temp_c, 0));
        const mdr_fig_id none = mdr_fig_rule(p->f, MDR_QTY_MINUTES, at, MDR_RULE_NOTHING, NULL, 0);
        close_step(p, step, at, none, p->temp);
        return;
    }
    const mdr_fig_id heat = capacity(p, MDR_QTY_HEAT_CAPACITY, at);
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
    close_step(p, step, at, minutes, target);
}

/* Lets the water in; brings the bath to the wanted temperature when the water alone does not. */
static void fill(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_route_step *asked = step->asked;
    open_step(p, step);
    step->volume_l = bath->fill_l;
    const mdr_fig_id flow_min =
        MDR_FIG(f, MDR_QTY_FLOW_TIME, at, MDR_RULE_FLOW_TIME, bath->fill_l, p->i.fill_flow);
    const mdr_fig_id before = capacity(p, MDR_QTY_HEAT_CAPACITY, at);
    add_liquor(p, bath->fill_l, at);
    if (!asked->has_temp) {
        step->water_temp_c = p->i.cold;
        const mdr_fig_id mixed = MDR_FIG(f, MDR_QTY_MIX_TEMP, at, MDR_RULE_MIX_TEMP, before,
                                         p->temp, bath->fill_l, p->i.cold);
        close_step(p, step, at, flow_min, mixed);
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
        close_step(p, step, at, flow_min, wanted);
        return;
    }
    MDR_PLAN_WARN(p, MDR_WARN_FILL_TEMP, at, mixed, mdr_arg_number(value(p, mixed), 0),
                  mdr_arg_number(asked->temp_c, 0));
    p->temp = mixed;
    add_point(p, value(p, p->now) + value(p, flow_min), value(p, mixed), value(p, p->liquor));
    const bool heating = asked->temp_c > value(p, mixed);
    const mdr_fig_id heat = capacity(p, MDR_QTY_HEAT_FULL, at);
    const mdr_fig_id trim = ramp_minutes(p, wanted, heating ? p->i.heat_max : p->i.cool_max, heat,
                                         MDR_QTY_TRIM_TIME, at);
    if (heating) {
        step->steam_kg = MDR_FIG(f, MDR_QTY_STEAM, at, MDR_RULE_STEAM_MASS, heat, mixed, wanted,
                                 p->i.steam_kj_per_kg);
    }
    close_step(p, step, at, MDR_FIG(f, MDR_QTY_MINUTES, at, MDR_RULE_SUM, flow_min, trim), wanted);
}

static void rinse(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_route_step *asked = step->asked;
    open_step(p, step);
    const mdr_fig_id minutes = step->minutes;
    const mdr_fig_id flow = step->rinse_flow_l_per_min;
    step->water_temp_c = p->i.cold;
    if (asked->has_temp) {
        const mdr_fig_id wanted =
            mdr_plan_route_input(p, asked->temp_c, "degC", "Temperature asked for", "temp_c", at);
        step->water_temp_c =
            MDR_FIG(f, MDR_QTY_WATER_TEMP, at, MDR_RULE_WITHIN, wanted, p->i.cold, p->i.hot);
        if (value(p, step->water_temp_c) + MDR_TEMP_TOLERANCE_C < asked->temp_c) {
            MDR_PLAN_WARN(p, MDR_WARN_FILL_TEMP, at, step->water_temp_c,
                          mdr_arg_number(value(p, step->water_temp_c), 0),
                          mdr_arg_number(asked->temp_c, 0));
        }
    }
    const mdr_fig_id heat = capacity(p, MDR_QTY_HEAT_CAPACITY, at);
    const mdr_fig_id end = MDR_FIG(f, MDR_QTY_TEMP_END, at, MDR_RULE_RINSE_TEMP, heat, p->temp,
                                   step->water_temp_c, flow, minutes);
    close_step(p, step, at, minutes, end);
}

/* The bath ends here: no dose may still be running beside. */
static void check_beside(mdr_planner *p, mdr_where at)
{
    if (p->beside_end != MDR_FIG_NONE && value(p, p->beside_end) > value(p, p->now) + 1e-9) {
        MDR_PLAN_WARN(p, MDR_WARN_DOSE_OUTLIVES, at, p->beside_end,
                      mdr_arg_number(value(p, p->beside_end) - value(p, p->now), 0));
    }
    p->beside_end = MDR_FIG_NONE;
}

static void drain(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    open_step(p, step);
    if (value(p, p->temp) > p->in->machine->drain_temp_max_c) {
        MDR_PLAN_WARN(p, MDR_WARN_DRAIN_HOT, at, p->temp, mdr_arg_number(value(p, p->temp), 0),
                      mdr_arg_number(p->in->machine->drain_temp_max_c, 0));
    }
    check_beside(p, at);
    const mdr_fig_id minutes =
        MDR_FIG(p->f, MDR_QTY_MINUTES, at, MDR_RULE_FLOW_TIME, bath->drained_l, p->i.drain_flow);
    p->liquor = bath->retained_l;
    close_step(p, step, at, minutes, p->temp);
}

/* There is one addition tank: the next dose cannot begin before the last one is through. */
static void take_tank(mdr_planner *p, const mdr_plan_step *step, mdr_where at)
{
    const double start = value(p, step->start_min);
    if (step->n_items > 0 && p->tank_until_min > start + 1e-9) {
        MDR_PLAN_WARN(p, MDR_WARN_TANK_BUSY, at, step->start_min,
                      mdr_arg_number(p->tank_until_min - start, 1));
    }
    p->tank_until_min = fmax(p->tank_until_min, value(p, step->end_min));
}

/* The bath waits for the dose, or the dose runs beside what follows. */
static void dose(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_route_step *asked = step->asked;
    const mdr_fig_id minutes =
        mdr_plan_route_input(p, asked->minutes, "min", "Dosing time", "minutes", at);
    step->cycles =
        MDR_FIG(f, MDR_QTY_DOSE_CYCLES, at, MDR_RULE_DOSE_CYCLES, minutes, p->plan->cycle_min);
    if (step->tank_water_l != MDR_FIG_NONE) {
        step->steam_kg = MDR_FIG(f, MDR_QTY_STEAM, at, MDR_RULE_STEAM_DOSE, step->tank_water_l,
                                 p->i.cold, p->temp, p->i.steam_kj_per_kg);
    }
    if (!step->beside) {
        open_step(p, step);
        add_liquor(p, step->volume_l, at);
        close_step(p, step, at, minutes, p->temp);
        take_tank(p, step, at);
        mdr_plan_warn_dose(p, step, at);
        return;
    }
    const mdr_fig_id offset = mdr_plan_route_input(
        p, asked->offset_min, "min", "Begins this long after the next step", "offset_min", at);
    step->minutes = minutes;
    step->start_min = MDR_FIG(f, MDR_QTY_START, at, MDR_RULE_START_BESIDE, p->now, offset);
    step->end_min = MDR_FIG(f, MDR_QTY_END, at, MDR_RULE_END, step->start_min, minutes);
    step->temp_start_c = step->temp_end_c = p->temp;
    step->liquor_start_l = value(p, p->liquor);
    add_liquor(p, step->volume_l, at);
    step->liquor_end_l = value(p, p->liquor);
    if (p->beside_end == MDR_FIG_NONE || value(p, step->end_min) > value(p, p->beside_end)) {
        p->beside_end = step->end_min;
    }
    take_tank(p, step, at);
    mdr_plan_warn_dose(p, step, at);
}

/* Nobody reaches into a vessel that may not even be drained. */
static void warn_open_hot(mdr_planner *p, mdr_where at)
{
    const double most_c = fmax(p->in->machine->drain_temp_max_c, MDR_DOSE_OPEN_MAX_C);
    if (value(p, p->temp) > most_c) {
        MDR_PLAN_WARN(p, MDR_WARN_OPEN_HOT, at, p->temp, mdr_arg_number(value(p, p->temp), 0),
                      mdr_arg_number(most_c, 0));
    }
}

static void hold(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    open_step(p, step);
    if (asked->has_temp && fabs(asked->temp_c - value(p, p->temp)) > MDR_TEMP_TOLERANCE_C) {
        MDR_PLAN_WARN(p, MDR_WARN_HOLD_OFF, at, p->temp, mdr_arg_number(asked->temp_c, 0),
                      mdr_arg_number(value(p, p->temp), 0));
    }
    if (asked->kind == MDR_STEP_CHECK) {
        warn_open_hot(p, at);
    }
    const mdr_fig_id minutes = mdr_plan_route_input(
        p, asked->minutes, "min",
        asked->kind == MDR_STEP_CHECK ? "Time for the check" : "Running time", "minutes", at);
    close_step(p, step, at, minutes, p->temp);
}

static void load_or_unload(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    open_step(p, step);
    const mdr_fig_id usual = asked->kind == MDR_STEP_LOAD ? p->i.load_time : p->i.unload_time;
    const mdr_fig_id minutes =
        asked->minutes > 0.0
            ? mdr_plan_route_input(p, asked->minutes, "min", "Time asked for", "minutes", at)
            : usual;
    step->cautions |= 1u << MDR_CAUTION_ROTATING;
    const double kept_l = value(p, p->plan->load_kg) * value(p, p->i.retained_l_per_kg);
    if (value(p, p->liquor) > 0.0) {
        warn_open_hot(p, at);
    }
    if (value(p, p->liquor) > kept_l * (1.0 + 1e-9)) {
        MDR_PLAN_WARN(p, MDR_WARN_UNLOAD_FULL, at, p->liquor,
                      mdr_arg_number(value(p, p->liquor), 0));
    }
    if (asked->kind == MDR_STEP_UNLOAD) {
        check_beside(p, at);
    }
    close_step(p, step, at, minutes, p->temp);
}

static void one_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    switch (step->asked->kind) {
    case MDR_STEP_LOAD:
    case MDR_STEP_UNLOAD:
        load_or_unload(p, step, at);
        break;
    case MDR_STEP_FILL:
        fill(p, bath, step, at);
        break;
    case MDR_STEP_DOSE:
        dose(p, step, at);
        break;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        heat_or_cool(p, step, at);
        break;
    case MDR_STEP_HOLD:
    case MDR_STEP_CHECK:
        hold(p, step, at);
        break;
    case MDR_STEP_RINSE:
        rinse(p, step, at);
        break;
    case MDR_STEP_DRAIN:
        drain(p, bath, step, at);
        break;
    }
}

/* Hot liquor may splash where people handle the bath: doses, checks, drains, unloading. */
static void heat_cautions(const mdr_planner *p, mdr_plan_step *step)
{
    const double temp_c = fmax(value(p, step->temp_start_c), value(p, step->temp_end_c));
    const mdr_step_kind kind = step->asked->kind;
    const bool handled = kind == MDR_STEP_DOSE || kind == MDR_STEP_CHECK ||
                         kind == MDR_STEP_DRAIN || kind == MDR_STEP_UNLOAD;
    if (handled && temp_c >= MDR_HOT_LIQUOR_C) {
        step->cautions |= 1u << MDR_CAUTION_HOT_LIQUOR;
    }
    if (temp_c > MDR_PRESSURE_C) {
        step->cautions |= 1u << MDR_CAUTION_PRESSURE;
    }
}

/* Hottest that the bath gets while a dose runs beside it. */
static double hottest(const mdr_planner *p, const mdr_plan_step *step)
{
    double most_c = value(p, step->temp_start_c);
    for (int i = 0; i < p->plan->n_points; i++) {
        const mdr_plan_point *at = &p->plan->curve[i];
        if (at->t_min >= value(p, step->start_min) && at->t_min <= value(p, step->end_min)) {
            most_c = fmax(most_c, at->temp_c);
        }
    }
    return most_c;
}

static void judge_beside(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < bath->n_steps; i++) {
        mdr_plan_step *step = &bath->steps[i];
        if (!step->beside) {
            continue;
        }
        at.step = (int16_t)(i + 1);
        const double most_c = hottest(p, step);
        if (most_c > MDR_DOSE_OPEN_MAX_C && value(p, step->temp_start_c) <= MDR_DOSE_OPEN_MAX_C) {
            MDR_PLAN_WARN(p, MDR_WARN_DOSE_HOT, at, MDR_FIG_NONE, mdr_arg_number(most_c, 0),
                          mdr_arg_number(MDR_DOSE_OPEN_MAX_C, 0));
        }
        step->cautions |= most_c >= MDR_HOT_LIQUOR_C ? 1u << MDR_CAUTION_HOT_LIQUOR : 0u;
        step->cautions |= most_c > MDR_PRESSURE_C ? 1u << MDR_CAUTION_PRESSURE : 0u;
    }
}

static void sums(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    mdr_fig_id water[MDR_ROUTE_STEPS_MAX + 2];
    mdr_fig_id steam[MDR_ROUTE_STEPS_MAX + 1];
    int n_water = 0;
    int n_steam = 0;
    water[n_water++] = bath->fill_l;
    water[n_water++] = bath->rinse_l;
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].tank_water_l != MDR_FIG_NONE) {
            water[n_water++] = bath->steps[i].tank_water_l;
        }
        if (bath->steps[i].steam_kg != MDR_FIG_NONE) {
            steam[n_steam++] = bath->steps[i].steam_kg;
        }
    }
    bath->water_l = mdr_fig_rule(f, MDR_QTY_WATER, at, MDR_RULE_SUM, water, n_water);
    bath->steam_kg = mdr_fig_rule(f, MDR_QTY_STEAM, at, MDR_RULE_SUM, steam, n_steam);
    bath->minutes =
        MDR_FIG(f, MDR_QTY_MINUTES, at, MDR_RULE_DURATION, bath->end_min, bath->start_min);
}

void mdr_plan_bath_time(mdr_planner *p, mdr_plan_bath *bath)
{
    mdr_where at = {.bath = (int16_t)bath->number};
    bath->start_min = p->now;
    for (int i = 0; i < bath->n_steps; i++) {
        at.step = (int16_t)(i + 1);
        one_step(p, bath, &bath->steps[i], at);
        heat_cautions(p, &bath->steps[i]);
    }
    judge_beside(p, bath, at);
    at.step = 0;
    bath->end_min = p->now;
    sums(p, bath, at);
    mdr_plan_warn_bath(p, bath);
}

void mdr_plan_end(mdr_planner *p)
{
    check_beside(p, (mdr_where){.bath = (int16_t)p->plan->n_baths});
}
