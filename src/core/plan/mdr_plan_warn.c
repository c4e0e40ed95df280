/* What the machine, the fabric or the stock cannot do, said before it happens. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/mdr_lang.h"
#include "core/plan/mdr_planner.h"

const char *mdr_warn_text_id(mdr_warn_id id)
{
    static const char *const IDS[MDR_WARN_COUNT] = {
#define MDR_WARN(name, id, severity) [(name)] = (id),
#include "core/plan/mdr_warnings.def"
#undef MDR_WARN
    };
    return IDS[id];
}

mdr_severity mdr_warn_severity(mdr_warn_id id)
{
    static const mdr_severity SEVERITIES[MDR_WARN_COUNT] = {
#define MDR_WARN(name, id, severity) [(name)] = (severity),
#include "core/plan/mdr_warnings.def"
#undef MDR_WARN
    };
    return SEVERITIES[id];
}

bool mdr_warn_of_finishing(mdr_warn_id id)
{
    return id >= MDR_WARN_FINISH_LACKS && id <= MDR_WARN_FINISH_RAISED; /* they stand together */
}

mdr_arg mdr_arg_number(double value, int decimals)
{
    return (mdr_arg){.number = value, .decimals = decimals};
}

mdr_arg mdr_arg_text(const char *text)
{
    return (mdr_arg){.text = text};
}

mdr_arg mdr_arg_part(const char *key)
{
    const char *text = mdr_lang_text(key);
    return mdr_arg_text(text != NULL ? text : key);
}

void mdr_plan_warn_add(mdr_planner *p, mdr_warn_id id, mdr_where at, mdr_fig_id fig, int n_args,
                       const mdr_arg *args)
{
    mdr_plan *plan = p->plan;
    if (plan->n_warns == p->warn_room) {
        const int room = p->warn_room == 0 ? 32 : 2 * p->warn_room;
        mdr_warn *more = MDR_NEW_N(p->arena, mdr_warn, (size_t)room);
        if (more == NULL) {
            p->failed = true;
            return;
        }
        if (plan->n_warns > 0) {
            memcpy(more, plan->warns, (size_t)plan->n_warns * sizeof *more);
        }
        plan->warns = more;
        p->warn_room = room;
    }
    mdr_warn *w = &plan->warns[plan->n_warns++];
    *w = (mdr_warn){.id = id, .at = at, .fig = fig, .n_args = n_args};
    assert(n_args <= (int)(sizeof w->args / sizeof w->args[0]));
    memcpy(w->args, args, (size_t)n_args * sizeof *args);
}

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

static void warn_load(mdr_planner *p)
{
    const mdr_machine *m = p->in->machine;
    const mdr_plan *plan = p->plan;
    const mdr_where lot = {0};
    const double load_kg = value(p, plan->load_kg);
    if (load_kg > m->load_max_kg) {
        MDR_PLAN_WARN(p, MDR_WARN_LOAD_OVER, lot, plan->load_kg, mdr_arg_number(load_kg, 0),
                      mdr_arg_number(m->load_max_kg, 0), mdr_arg_text(m->name));
    }
    if (load_kg < m->load_min_kg) {
        MDR_PLAN_WARN(p, MDR_WARN_LOAD_UNDER, lot, plan->load_kg, mdr_arg_number(load_kg, 0),
                      mdr_arg_number(m->load_min_kg, 0), mdr_arg_text(m->name));
    }
}

/* "RB-1 \u00d7 1.1, RY-1 \u00d7 0.95"; NULL: no memory. */
static const char *factors_words(const mdr_shade *shade, mdr_arena *arena)
{
    const char *text = "";
    for (int i = 0; i < shade->n_dyes && i < MDR_RECIPE_LINES_MAX && text != NULL; i++) {
        const double factor = shade->bulk->factor[i];
        if (factor != 1.0) {
            text = mdr_arena_printf(arena, "%s%s%s \u00d7 %g", text, text[0] != '\0' ? ", " : "",
                                    shade->dyes[i].dye->material_id, factor);
        }
    }
    return text;
}

static void warn_bulk(mdr_planner *p)
{
    const mdr_shade *shade = p->in->lot->shade;
    const mdr_machine *m = p->in->machine;
    const mdr_where lot = {0};
    if (shade->bulk == NULL) {
        return;
    }
    const char *words = factors_words(shade, p->arena);
    if (words == NULL) {
        p->failed = true;
        return;
    }
    MDR_PLAN_WARN(p, MDR_WARN_BULK, lot, p->depth, mdr_arg_text(shade->bulk->machine_id),
                  mdr_arg_text(words));
    if (strcmp(shade->bulk->machine_id, m->machine_id) != 0) {
        MDR_PLAN_WARN(p, MDR_WARN_BULK_MACHINE, lot, p->depth,
                      mdr_arg_text(shade->bulk->machine_id), mdr_arg_text(m->machine_id));
    }
}

void mdr_plan_warn_loading(mdr_planner *p)
{
    const mdr_machine *m = p->in->machine;
    const mdr_plan *plan = p->plan;
    const mdr_where lot = {0};
    const double ratio = p->in->lot->ratio_l_per_kg;
    warn_load(p);
    warn_bulk(p);
    if (ratio < m->ratio_min_l_per_kg) {
        MDR_PLAN_WARN(p, MDR_WARN_RATIO_UNDER, lot, p->i.ratio, mdr_arg_number(ratio, 1),
                      mdr_arg_number(m->ratio_min_l_per_kg, 1), mdr_arg_text(m->name));
    }
    if (value(p, plan->liquor_nominal_l) < m->liquor_min_l) {
        MDR_PLAN_WARN(p, MDR_WARN_RATIO_RAISED, lot, plan->liquor_l,
                      mdr_arg_number(m->liquor_min_l, 0),
                      mdr_arg_number(value(p, plan->ratio_l_per_kg), 1), mdr_arg_number(ratio, 1));
    }
    if (value(p, plan->speed_m_per_min) > m->speed_max_m_per_min ||
        value(p, plan->speed_m_per_min) < m->speed_min_m_per_min) {
        MDR_PLAN_WARN(p, MDR_WARN_SPEED, lot, plan->speed_m_per_min,
                      mdr_arg_number(value(p, plan->speed_m_per_min), 0),
                      mdr_arg_number(m->speed_min_m_per_min, 0),
                      mdr_arg_number(m->speed_max_m_per_min, 0));
    }
    if (value(p, plan->cycle_min) > m->cycle_max_min) {
        MDR_PLAN_WARN(p, MDR_WARN_CYCLE, lot, plan->cycle_min,
                      mdr_arg_number(value(p, plan->cycle_min), 1),
                      mdr_arg_number(m->cycle_max_min, 1));
    }
}

/* A fill with a ratio or a level of its own is held against the machine like the lot's. */
static void warn_own_fill(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    const mdr_machine *m = p->in->machine;
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_route_step *asked = bath->steps[i].asked;
        if (asked->kind != MDR_STEP_FILL ||
            (asked->ratio_l_per_kg <= 0.0 && asked->level_l <= 0.0)) {
            continue;
        }
        const double load_kg = value(p, p->plan->load_kg);
        const double ratio =
            asked->level_l > 0.0 ? asked->level_l / load_kg : asked->ratio_l_per_kg;
        if (ratio < m->ratio_min_l_per_kg) {
            MDR_PLAN_WARN(p, MDR_WARN_RATIO_UNDER, at, bath->ratio_l_per_kg,
                          mdr_arg_number(ratio, 1), mdr_arg_number(m->ratio_min_l_per_kg, 1),
                          mdr_arg_text(m->name));
        }
        if (ratio * load_kg < m->liquor_min_l * (1.0 - 1e-9)) {
            MDR_PLAN_WARN(
                p, MDR_WARN_RATIO_RAISED, at, bath->liquor_l, mdr_arg_number(m->liquor_min_l, 0),
                mdr_arg_number(value(p, bath->ratio_l_per_kg), 1), mdr_arg_number(ratio, 1));
        }
    }
}

/* The bath comes out as large as it was reckoned. */
static void warn_volume(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    const double carried_l = value(p, bath->carried_l);
    const double wanted_l = value(p, bath->liquor_l);
    const double final_l = value(p, bath->final_l);
    const double over_l = carried_l + value(p, bath->additions_l) - wanted_l;
    if (bath->continues) {
        if (final_l > wanted_l * (1.0 + MDR_LEVEL_TOLERANCE)) {
            MDR_PLAN_WARN(p, MDR_WARN_GROWS, at, bath->final_l, mdr_arg_number(final_l, 0),
                          mdr_arg_number(wanted_l, 0),
                          mdr_arg_number(100.0 * (1.0 - wanted_l / final_l), 0));
        }
    } else if (carried_l > wanted_l + 1e-6) {
        MDR_PLAN_WARN(p, MDR_WARN_CARRIED_OVER, at, bath->carried_l, mdr_arg_number(carried_l, 0),
                      mdr_arg_number(wanted_l, 0));
    } else if (over_l > 1e-6) {
        MDR_PLAN_WARN(p, MDR_WARN_ADDITIONS_OVER, at, bath->additions_l,
                      mdr_arg_number(value(p, bath->additions_l), 0), mdr_arg_number(wanted_l, 0),
                      mdr_arg_number(over_l, 0));
    }
}

void mdr_plan_warn_bath(mdr_planner *p, const mdr_plan_bath *bath)
{
    const mdr_machine *m = p->in->machine;
    const mdr_where at = {.bath = (int16_t)bath->number};
    const double begun_l = value(p, bath->carried_l) + value(p, bath->fill_l);
    const double final_l = value(p, bath->final_l);
    warn_own_fill(p, bath, at);
    warn_volume(p, bath, at);
    if (!bath->continues && begun_l < m->liquor_min_l * (1.0 - MDR_LEVEL_TOLERANCE)) {
        MDR_PLAN_WARN(p, MDR_WARN_CIRCULATION, at, bath->fill_l, mdr_arg_number(begun_l, 0),
                      mdr_arg_number(m->liquor_min_l, 0));
    }
    if (final_l > m->liquor_max_l + 1e-6) {
        MDR_PLAN_WARN(p, MDR_WARN_LIQUOR_OVER, at, bath->final_l, mdr_arg_number(final_l, 0),
                      mdr_arg_number(m->liquor_max_l, 0));
    }
}

static bool holds(const mdr_plan_step *step, int substance)
{
    for (int i = 0; i < step->n_items; i++) {
        if (step->items[i].material->substance == substance) {
            return true;
        }
    }
    return false;
}

static void warn_mixture(mdr_planner *p, const mdr_plan_step *step, mdr_where at)
{
    const mdr_arg none = mdr_arg_text("");
    if (holds(step, MDR_SUB_H2O2) && holds(step, MDR_SUB_NAOH)) {
        MDR_PLAN_WARN(p, MDR_WARN_PEROXIDE_CAUSTIC, at, MDR_FIG_NONE, none);
    }
    if (holds(step, MDR_SUB_DITHIONITE) &&
        (holds(step, MDR_SUB_HAC) || holds(step, MDR_SUB_FORMIC) || holds(step, MDR_SUB_CITRIC))) {
        MDR_PLAN_WARN(p, MDR_WARN_ACID_DITHIONITE, at, MDR_FIG_NONE, none);
    }
}

/* Dye, salt and alkali strike the fabric where they meet it; auxiliaries do not. */
static bool strikes(const mdr_plan_step *step)
{
    for (int i = 0; i < step->n_items; i++) {
        const mdr_material *m = step->items[i].material;
        if (m->is_dye || m->substance == MDR_SUB_NA2CO3 || m->substance == MDR_SUB_NACL ||
            m->substance == MDR_SUB_NA2SO4) {
            return true;
        }
    }
    return false;
}

static void warn_tank(mdr_planner *p, const mdr_plan_step *step, mdr_where at)
{
    if (value(p, step->least_minutes) > value(p, step->minutes) + 1e-9) {
        MDR_PLAN_WARN(p, MDR_WARN_TANK_TIME, at, step->least_minutes,
                      mdr_arg_number(value(p, step->tank_loads), 0),
                      mdr_arg_number(p->in->machine->tank_l, 0),
                      mdr_arg_number(value(p, step->least_minutes), 1),
                      mdr_arg_number(value(p, step->minutes), 0));
    } else if (value(p, step->tank_loads) > MDR_TANK_LOADS_MANY) {
        MDR_PLAN_WARN(p, MDR_WARN_TANK_MANY, at, step->tank_loads,
                      mdr_arg_number(value(p, step->tank_loads), 0),
                      mdr_arg_number(p->in->machine->tank_l, 0));
    }
}

void mdr_plan_warn_dose(mdr_planner *p, const mdr_plan_step *step, mdr_where at)
{
    if (step->n_items == 0) {
        return;
    }
    const double cycles = value(p, step->cycles);
    const mdr_arg shown = mdr_arg_number(cycles, 1);
    warn_mixture(p, step, at);
    warn_tank(p, step, at);
    if (strikes(step) && cycles < MDR_DOSE_CYCLES_LEAST) {
        MDR_PLAN_WARN(p, MDR_WARN_DOSE_CYCLES, at, step->cycles, shown,
                      mdr_arg_number(MDR_DOSE_CYCLES_LEAST, 0),
                      mdr_arg_number(MDR_DOSE_CYCLES_LEAST * value(p, p->plan->cycle_min), 0));
    } else if (strikes(step) && cycles < MDR_DOSE_CYCLES_GOOD) {
        MDR_PLAN_WARN(p, MDR_WARN_DOSE_FEW, at, step->cycles, shown,
                      mdr_arg_number(MDR_DOSE_CYCLES_GOOD, 0));
    }
    if (value(p, step->temp_start_c) > MDR_DOSE_OPEN_MAX_C) {
        MDR_PLAN_WARN(p, MDR_WARN_DOSE_HOT, at, step->temp_start_c,
                      mdr_arg_number(value(p, step->temp_start_c), 0),
                      mdr_arg_number(MDR_DOSE_OPEN_MAX_C, 0));
    }
}

void mdr_plan_warn_materials(mdr_planner *p)
{
    const mdr_where lot = {0};
    for (int i = 0; i < p->plan->n_totals; i++) {
        const mdr_plan_total *t = &p->plan->totals[i];
        const double need_kg = value(p, t->mass_kg);
        if (need_kg > t->material->stock_kg) {
            /* more was weighed out than came in, by the books: there is none */
            const double there_kg = fmax(t->material->stock_kg, 0.0);
            MDR_PLAN_WARN(p, MDR_WARN_STOCK, lot, t->mass_kg, mdr_arg_text(t->material->name),
                          mdr_arg_number(need_kg, 1), mdr_arg_number(there_kg, 1));
        }
        if (t->material->price_minor_per_kg <= 0.0) {
            MDR_PLAN_WARN(p, MDR_WARN_NO_PRICE, lot, t->cost_minor,
                          mdr_arg_text(t->material->name));
        }
    }
    /* What the fabric keeps is not a bath left standing. */
    const double kept_l = value(p, p->plan->load_kg) * value(p, p->i.retained_l_per_kg);
    if (p->undrained && value(p, p->carried_l) > kept_l * (1.0 + 1e-9)) {
        MDR_PLAN_WARN(p, MDR_WARN_NOT_DRAINED, lot, p->carried_l,
                      mdr_arg_number(value(p, p->carried_l), 0));
    }
}
