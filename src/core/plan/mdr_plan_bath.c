/* Liquor balance of one bath, and where every dissolved product goes. */
#include "core/plan/mdr_planner.h"

static const mdr_route_step *fill_of(const mdr_route_bath *bath)
{
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].kind == MDR_STEP_FILL) {
            return &bath->steps[i];
        }
    }
    return NULL;
}

/* What the bath is to hold in the end. A bath without a fill goes on in what is there. */
static void wanted_liquor(mdr_planner *p, mdr_plan_bath *bath, const mdr_route_step *fill,
                          mdr_where at)
{
    mdr_figs *f = p->f;
    mdr_plan *plan = p->plan;
    if (fill == NULL) {
        bath->liquor_l = p->carried_l;
        bath->ratio_l_per_kg =
            MDR_FIG(f, MDR_QTY_RATIO, at, MDR_RULE_RATIO_TRUE, bath->liquor_l, plan->load_kg);
        return;
    }
    mdr_fig_id nominal;
    if (fill->level_l > 0.0) {
        nominal = mdr_plan_route_input(p, fill->level_l, "L", "Level asked for", "level_l", at);
    } else if (fill->ratio_l_per_kg > 0.0) {
        const mdr_fig_id ratio = mdr_plan_route_input(
            p, fill->ratio_l_per_kg, "L/kg", "Liquor ratio of this bath", "ratio_l_per_kg", at);
        nominal =
            MDR_FIG(f, MDR_QTY_LIQUOR_NOMINAL, at, MDR_RULE_LIQUOR_NOMINAL, plan->load_kg, ratio);
    } else {
        nominal = plan->liquor_nominal_l;
    }
    bath->liquor_l =
        MDR_FIG(f, MDR_QTY_LIQUOR, at, MDR_RULE_LIQUOR_TRUE, nominal, p->i.liquor_min_l);
    bath->ratio_l_per_kg =
        MDR_FIG(f, MDR_QTY_RATIO, at, MDR_RULE_RATIO_TRUE, bath->liquor_l, plan->load_kg);
}

/* Flow of a rinse: as asked, but the machine's valve sets a limit. */
static mdr_fig_id rinse_flow(mdr_planner *p, const mdr_route_step *asked, mdr_where at)
{
    if (asked->flow_l_per_min <= 0.0) {
        return p->i.rinse_flow;
    }
    const mdr_fig_id flow = mdr_plan_route_input(p, asked->flow_l_per_min, "L/min", "Rinsing flow",
                                                 "flow_l_per_min", at);
    const double most = p->in->machine->rinse_l_per_min;
    if (asked->flow_l_per_min > most) {
        MDR_PLAN_WARN(p, MDR_WARN_RINSE_FLOW, at, flow, mdr_arg_number(asked->flow_l_per_min, 0),
                      mdr_arg_number(most, 0));
    }
    return MDR_FIG(p->f, MDR_QTY_RINSE_FLOW, at, MDR_RULE_LEAST, flow, p->i.rinse_flow);
}

/* Liquor that is rinsed. A filled bath has its final liquor unless doses follow, which is said;
 * one that goes on in what was there has that and the doses so far. */
static mdr_fig_id rinsed_liquor(mdr_planner *p, const mdr_plan_bath *bath, int index, mdr_where at)
{
    mdr_fig_id parts[MDR_ROUTE_STEPS_MAX + 1];
    int n = 0;
    parts[n++] = bath->carried_l;
    for (int i = 0; i < bath->n_steps; i++) {
        const bool dose = bath->asked->steps[i].kind == MDR_STEP_DOSE;
        if (dose && i < index && bath->steps[i].volume_l != MDR_FIG_NONE) {
            parts[n++] = bath->steps[i].volume_l;
        } else if (dose && i > index && !bath->continues) {
            MDR_PLAN_WARN(p, MDR_WARN_RINSE_EARLY, at, MDR_FIG_NONE, mdr_arg_text(""));
            break;
        }
    }
    return bath->continues ? mdr_fig_rule(p->f, MDR_QTY_RINSED_LIQUOR, at, MDR_RULE_SUM, parts, n)
                           : bath->liquor_l;
}

/* An overflow rinse thins everything dissolved. */
static void rinse(mdr_planner *p, mdr_plan_bath *bath, int index, mdr_where at)
{
    mdr_figs *f = p->f;
    mdr_plan_step *step = &bath->steps[index];
    const mdr_fig_id liquor = rinsed_liquor(p, bath, index, at);
    step->rinse_flow_l_per_min = rinse_flow(p, step->asked, at);
    step->minutes =
        mdr_plan_route_input(p, step->asked->minutes, "min", "Rinsing time", "minutes", at);
    step->volume_l = MDR_FIG(f, MDR_QTY_VOLUME, at, MDR_RULE_RINSE_WATER,
                             step->rinse_flow_l_per_min, step->minutes);
    step->kept_fraction = MDR_FIG(f, MDR_QTY_KEPT, at, MDR_RULE_RINSE_KEPT,
                                  step->rinse_flow_l_per_min, step->minutes, liquor);
    mdr_plan_chem_rinse(p, bath, step->kept_fraction, at);
    const double kept = mdr_fig_value(f, step->kept_fraction);
    for (int i = 0; i < p->n_stuff; i++) {
        bath->masses[i].rinsed_kg += p->stuff[i].in_liquor_kg * (1.0 - kept);
        p->stuff[i].in_liquor_kg *= kept;
    }
}

static void clear_step(mdr_plan_step *step, const mdr_route_step *asked)
{
    *step = (mdr_plan_step){.asked = asked,
                            .start_min = MDR_FIG_NONE,
                            .minutes = MDR_FIG_NONE,
                            .end_min = MDR_FIG_NONE,
                            .temp_start_c = MDR_FIG_NONE,
                            .temp_end_c = MDR_FIG_NONE,
                            .volume_l = MDR_FIG_NONE,
                            .water_temp_c = MDR_FIG_NONE,
                            .steam_kg = MDR_FIG_NONE,
                            .kept_fraction = MDR_FIG_NONE,
                            .rinse_flow_l_per_min = MDR_FIG_NONE,
                            .ph = MDR_FIG_NONE,
                            .ph_cold = MDR_FIG_NONE,
                            .peroxide_mg_per_l = MDR_FIG_NONE,
                            .dithionite_g_per_l = MDR_FIG_NONE,
                            .tank_water_l = MDR_FIG_NONE,
                            .tank_loads = MDR_FIG_NONE,
                            .least_minutes = MDR_FIG_NONE,
                            .cycles = MDR_FIG_NONE,
                            .beside = asked->with_next};
}

/* Amounts in the order of the steps: what was dosed before counts for what is neutralised. */
static mdr_code walk_amounts(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < bath->n_steps; i++) {
        mdr_plan_step *step = &bath->steps[i];
        at.step = (int16_t)(i + 1);
        clear_step(step, &bath->asked->steps[i]);
        if (step->asked->kind == MDR_STEP_DOSE) {
            MDR_TRY(mdr_plan_dose(p, bath, step, at));
            for (int k = 0; k < step->n_items; k++) {
                const mdr_plan_stuff *s =
                    mdr_plan_stuff_of(p, step->items[k].material->material_id);
                bath->masses[s - p->stuff].dosed_kg +=
                    mdr_fig_value(p->f, step->items[k].active_kg);
            }
        } else if (step->asked->kind == MDR_STEP_RINSE) {
            rinse(p, bath, i, at);
        }
        mdr_plan_chem_step(p, bath, step, at);
    }
    return MDR_OK;
}

/* Sum of one volume over the steps of the bath that are of this kind. */
static mdr_fig_id sum_volumes(mdr_planner *p, const mdr_plan_bath *bath, mdr_step_kind kind,
                              mdr_qty qty, mdr_where at)
{
    mdr_fig_id parts[MDR_ROUTE_STEPS_MAX];
    int n = 0;
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].asked->kind == kind && bath->steps[i].volume_l != MDR_FIG_NONE) {
            parts[n++] = bath->steps[i].volume_l;
        }
    }
    return n > 0 ? mdr_fig_rule(p->f, qty, at, MDR_RULE_SUM, parts, n)
                 : mdr_fig_rule(p->f, qty, at, MDR_RULE_NOTHING, NULL, 0);
}

/* The drain of the bath, or NULL; at most an unload stands after it. */
static mdr_plan_step *drain_of(mdr_plan_bath *bath)
{
    for (int i = bath->n_steps - 1; i >= 0; i--) {
        if (bath->steps[i].asked->kind == MDR_STEP_DRAIN) {
            return &bath->steps[i];
        }
    }
    return NULL;
}

/* What goes down the drain, what stays in the fabric for the next bath. */
static void drain(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    mdr_figs *f = p->f;
    bath->retained_l = MDR_FIG(f, MDR_QTY_RETAINED, at, MDR_RULE_RETAINED, p->plan->load_kg,
                               p->i.retained_l_per_kg, bath->final_l);
    bath->drained_l =
        MDR_FIG(f, MDR_QTY_DRAINED, at, MDR_RULE_DRAINED, bath->final_l, bath->retained_l);
    step->volume_l = bath->drained_l;
    p->carried_l = bath->retained_l;
}

mdr_code mdr_plan_bath_liquor(mdr_planner *p, mdr_plan_bath *bath)
{
    mdr_figs *f = p->f;
    mdr_where at = {.bath = (int16_t)bath->number};
    const mdr_route_step *fill = fill_of(bath->asked);
    bath->continues = fill == NULL;
    bath->n_steps = bath->asked->n_steps;
    bath->steps = MDR_NEW_N(p->arena, mdr_plan_step, (size_t)(bath->n_steps + 1));
    bath->masses = MDR_NEW_N(p->arena, mdr_plan_mass, (size_t)(p->n_stuff + 1));
    if (bath->steps == NULL || bath->masses == NULL) {
        bath->n_steps = 0;
        p->failed = true;
        return MDR_OK;
    }
    bath->retained_l = bath->drained_l = MDR_FIG_NONE;
    bath->carried_l = MDR_FIG(f, MDR_QTY_CARRIED, at, MDR_RULE_CARRIED, p->carried_l);
    for (int i = 0; i < p->n_stuff; i++) {
        bath->masses[i] = (mdr_plan_mass){.carried_in_kg = p->stuff[i].in_liquor_kg,
                                          .fibre_in_kg = p->stuff[i].loose_kg};
    }
    wanted_liquor(p, bath, fill, at);
    mdr_plan_chem_begin(p, bath, at);
    MDR_TRY(walk_amounts(p, bath, at));
    bath->additions_l = sum_volumes(p, bath, MDR_STEP_DOSE, MDR_QTY_ADDITIONS, at);
    bath->rinse_l = sum_volumes(p, bath, MDR_STEP_RINSE, MDR_QTY_RINSED, at);
    bath->fill_l = fill == NULL ? mdr_fig_rule(f, MDR_QTY_FILL, at, MDR_RULE_NOTHING, NULL, 0)
                                : MDR_FIG(f, MDR_QTY_FILL, at, MDR_RULE_FRESH_FILL, bath->liquor_l,
                                          bath->carried_l, bath->additions_l);
    bath->final_l = MDR_FIG(f, MDR_QTY_FINAL, at, MDR_RULE_FINAL, bath->carried_l, bath->fill_l,
                            bath->additions_l);
    mdr_plan_step *drained = drain_of(bath);
    if (drained != NULL) {
        drain(p, bath, drained, at);
    } else {
        p->carried_l = bath->final_l;
    }
    p->undrained = drained == NULL;
    return MDR_OK;
}

/* -- after its time: uptake of dye, then what is dissolved parts with the liquor -- */

static mdr_fig_id carried_share(mdr_planner *p, const mdr_plan_bath *bath, mdr_qty qty,
                                mdr_fig_id amount, mdr_where at)
{
    return amount == MDR_FIG_NONE ? MDR_FIG_NONE
                                  : MDR_FIG(p->f, qty, at, MDR_RULE_CARRIED_SHARE, amount,
                                            bath->retained_l, bath->final_l);
}

static void part(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        p->dissolved[i] = carried_share(p, bath, MDR_QTY_CARRIED_KG, p->dissolved[i], at);
        if (p->dissolved[i] != MDR_FIG_NONE) {
            mdr_plan_of_substance(p, p->dissolved[i], (mdr_dissolved)i);
        }
    }
    p->hardness_mmol = carried_share(p, bath, MDR_QTY_HARDNESS_CARRIED, p->hardness_mmol, at);
    p->binding_mmol = carried_share(p, bath, MDR_QTY_BINDING_CARRIED, p->binding_mmol, at);
    const double final_l = mdr_fig_value(p->f, bath->final_l);
    const double kept = final_l > 0.0 ? mdr_fig_value(p->f, bath->retained_l) / final_l : 0.0;
    for (int i = 0; i < p->n_stuff; i++) {
        bath->masses[i].drained_kg = p->stuff[i].in_liquor_kg * (1.0 - kept);
        p->stuff[i].in_liquor_kg *= kept;
    }
}

/* Keeps the rows of products that take part, in the order of first use. */
static void close_masses(mdr_planner *p, mdr_plan_bath *bath)
{
    int n = 0;
    for (int i = 0; i < p->n_stuff; i++) {
        mdr_plan_mass m = bath->masses[i];
        m.material = p->stuff[i].material;
        m.carried_out_kg = p->stuff[i].in_liquor_kg;
        m.fibre_out_kg = p->stuff[i].loose_kg;
        if (m.carried_in_kg > 0.0 || m.fibre_in_kg > 0.0 || m.dosed_kg > 0.0) {
            bath->masses[n++] = m;
        }
    }
    bath->n_masses = n;
}

/* Concentrations in the end, with what a reader looks for in other units. */
static void end_of_chemistry(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    if (!(mdr_fig_value(f, bath->final_l) > 0.0)) {
        return;
    }
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        if (p->dissolved[i] != MDR_FIG_NONE) {
            bath->end_g_per_l[i] =
                MDR_FIG(f, MDR_QTY_END_CONC, at, MDR_RULE_CONC, p->dissolved[i], bath->final_l);
            mdr_plan_of_substance(p, bath->end_g_per_l[i], (mdr_dissolved)i);
        }
    }
    bath->ph_end = p->ph;
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].dithionite_g_per_l != MDR_FIG_NONE) {
            bath->dithionite_g_per_l = bath->steps[i].dithionite_g_per_l;
        }
    }
    if (p->dissolved[MDR_IN_H2O2] != MDR_FIG_NONE) {
        bath->peroxide_mg_per_l = MDR_FIG(f, MDR_QTY_PEROXIDE, at, MDR_RULE_MG_PER_L,
                                          p->dissolved[MDR_IN_H2O2], bath->final_l);
    }
    if (p->hardness_mmol != MDR_FIG_NONE) {
        const mdr_fig_id bound = p->binding_mmol != MDR_FIG_NONE ? p->binding_mmol : p->i.absent;
        bath->hardness_total_dh =
            MDR_FIG(f, MDR_QTY_HARDNESS_TOTAL_DH, at, MDR_RULE_DH, p->hardness_mmol, bath->final_l);
        bath->hardness_dh = MDR_FIG(f, MDR_QTY_HARDNESS_FREE_DH, at, MDR_RULE_FREE_DH,
                                    p->hardness_mmol, bound, bath->final_l);
    }
}

void mdr_plan_bath_close(mdr_planner *p, mdr_plan_bath *bath)
{
    const mdr_where at = {.bath = (int16_t)bath->number};
    if (mdr_plan_works_in_liquor(bath->asked)) {
        mdr_plan_uptake(p, bath);
        end_of_chemistry(p, bath, at);
    }
    if (bath->drained_l != MDR_FIG_NONE) {
        part(p, bath, at);
    }
    close_masses(p, bath);
    mdr_plan_judge(p, bath);
}
