/* Temperature and time of every step, and the process curve. */
#include <math.h>

#include "core/plan/mdr_plan_time.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

void mdr_plan_point_add(mdr_planner *p, double t_min, double temp_c, double liquor_l)
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

void mdr_plan_step_open(mdr_planner *p, mdr_plan_step *step)
{
    step->start_min = p->now;
    step->temp_start_c = p->temp;
    step->liquor_start_l = value(p, p->liquor);
    mdr_plan_point_add(p, value(p, p->now), value(p, p->temp), value(p, p->liquor));
}

void mdr_plan_step_close(mdr_planner *p, mdr_plan_step *step, mdr_where at, mdr_fig_id minutes,
                         mdr_fig_id temp)
{
    step->minutes = minutes;
    step->end_min = MDR_FIG(p->f, MDR_QTY_END, at, MDR_RULE_END, step->start_min, minutes);
    step->temp_end_c = temp;
    step->liquor_end_l = value(p, p->liquor);
    p->now = step->end_min;
    p->temp = temp;
    mdr_plan_point_add(p, value(p, p->now), value(p, temp), value(p, p->liquor));
}

mdr_fig_id mdr_plan_capacity(mdr_planner *p, mdr_qty qty, mdr_where at)
{
    return MDR_FIG(p->f, qty, at, MDR_RULE_HEAT_CAPACITY, p->plan->load_kg, p->liquor, p->i.steel);
}

void mdr_plan_liquor_add(mdr_planner *p, mdr_fig_id volume, mdr_where at)
{
    p->liquor = MDR_FIG(p->f, MDR_QTY_LIQUOR_NOW, at, MDR_RULE_SUM, p->liquor, volume);
}

static void rinse(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_route_step *asked = step->asked;
    mdr_plan_step_open(p, step);
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
    const mdr_fig_id heat = mdr_plan_capacity(p, MDR_QTY_HEAT_CAPACITY, at);
    const mdr_fig_id end = MDR_FIG(f, MDR_QTY_TEMP_END, at, MDR_RULE_RINSE_TEMP, heat, p->temp,
                                   step->water_temp_c, flow, minutes);
    mdr_plan_step_close(p, step, at, minutes, end);
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
    mdr_plan_step_open(p, step);
    if (value(p, p->temp) > p->in->machine->drain_temp_max_c) {
        MDR_PLAN_WARN(p, MDR_WARN_DRAIN_HOT, at, p->temp, mdr_arg_number(value(p, p->temp), 0),
                      mdr_arg_number(p->in->machine->drain_temp_max_c, 0));
    }
    check_beside(p, at);
    const mdr_fig_id minutes =
        MDR_FIG(p->f, MDR_QTY_MINUTES, at, MDR_RULE_FLOW_TIME, bath->drained_l, p->i.drain_flow);
    p->liquor = bath->retained_l;
    mdr_plan_step_close(p, step, at, minutes, p->temp);
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
        mdr_plan_step_open(p, step);
        mdr_plan_liquor_add(p, step->volume_l, at);
        mdr_plan_step_close(p, step, at, minutes, p->temp);
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
    mdr_plan_liquor_add(p, step->volume_l, at);
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
    mdr_plan_step_open(p, step);
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
    mdr_plan_step_close(p, step, at, minutes, p->temp);
}

static void load_or_unload(mdr_planner *p, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    mdr_plan_step_open(p, step);
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
    mdr_plan_step_close(p, step, at, minutes, p->temp);
}

static void one_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    switch (step->asked->kind) {
    case MDR_STEP_LOAD:
    case MDR_STEP_UNLOAD:
        load_or_unload(p, step, at);
        break;
    case MDR_STEP_FILL:
        mdr_plan_fill(p, bath, step, at);
        break;
    case MDR_STEP_DOSE:
        dose(p, step, at);
        break;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        mdr_plan_heat_or_cool(p, step, at);
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
