#include "core/plan/mdr_plan.h"

#include "core/plan/mdr_planner.h"

/* Mass of the lot: weighed, or the rolls added up. */
static mdr_fig_id load_of(mdr_planner *p)
{
    const mdr_lot *lot = p->in->lot;
    const mdr_where none = {0};
    if (lot->weighed_kg > 0.0) {
        const mdr_fig_id weighed = mdr_fig_input(
            p->f, lot->weighed_kg, "kg", "Mass at loading",
            (mdr_fig_source){.table = "lot", .record_id = lot->lot_id, .field = "weighed_kg"});
        return MDR_FIG(p->f, MDR_QTY_LOAD, none, MDR_RULE_SAME, weighed);
    }
    mdr_fig_id *rolls = MDR_NEW_N(p->arena, mdr_fig_id, (size_t)lot->n_rolls);
    if (rolls == NULL) {
        p->failed = true;
        return MDR_FIG_NONE;
    }
    for (int i = 0; i < lot->n_rolls; i++) {
        rolls[i] = mdr_fig_input(p->f, lot->rolls[i].grey_kg, "kg", "Grey mass of the roll",
                                 (mdr_fig_source){.table = "roll",
                                                  .record_id = lot->rolls[i].roll_id,
                                                  .field = "grey_kg"});
    }
    return mdr_fig_rule(p->f, MDR_QTY_LOAD, none, MDR_RULE_SUM, rolls, lot->n_rolls);
}

/* What the shade's recipe was multiplied by for this dye; 1: it is the laboratory's. */
static double bulk_factor_of(const mdr_shade *shade, const mdr_recipe_dye *dye)
{
    const ptrdiff_t line = dye - shade->dyes;
    return shade->bulk != NULL && line >= 0 && line < MDR_RECIPE_LINES_MAX
               ? shade->bulk->factor[line]
               : 1.0;
}

mdr_fig_id mdr_plan_depth(mdr_planner *p, const mdr_recipe_dye *dye, mdr_where at)
{
    const char *dye_id = dye->dye->material_id;
    const double bulk = bulk_factor_of(p->in->lot->shade, dye);
    if (bulk == 1.0) {
        return mdr_fig_input(
            p->f, dye->depth_pct_owf, "% owf", "Depth in the recipe",
            (mdr_fig_source){.table = "recipe", .record_id = dye_id, .field = "depth_pct_owf"});
    }
    const mdr_fig_id laboratory = mdr_fig_input(
        p->f, dye->depth_pct_owf / bulk, "% owf", "Depth of the laboratory",
        (mdr_fig_source){.table = "recipe", .record_id = dye_id, .field = "laboratory_pct_owf"});
    const mdr_fig_id factor = mdr_fig_input(
        p->f, bulk, "", "Laboratory to bulk",
        (mdr_fig_source){.table = "recipe", .record_id = dye_id, .field = "bulk_factor"});
    const mdr_fig_id depth =
        MDR_FIG(p->f, MDR_QTY_BULK_DEPTH, at, MDR_RULE_BULK, laboratory, factor);
    if (at.bath == 0) { /* of the shade as such: every dye has one */
        mdr_fig_belongs(p->f, depth, "recipe", dye_id);
    }
    return depth;
}

static mdr_fig_id depth_of(mdr_planner *p)
{
    const mdr_shade *shade = p->in->lot->shade;
    mdr_fig_id parts[8];
    int n = 0;
    for (int i = 0; i < shade->n_dyes && n < 8; i++) {
        parts[n++] = mdr_plan_depth(p, &shade->dyes[i], (mdr_where){0});
    }
    return n > 0 ? mdr_fig_rule(p->f, MDR_QTY_DEPTH, (mdr_where){0}, MDR_RULE_DEPTH, parts, n)
                 : mdr_fig_rule(p->f, MDR_QTY_DEPTH, (mdr_where){0}, MDR_RULE_NOTHING, NULL, 0);
}

static void headline(mdr_planner *p)
{
    mdr_figs *f = p->f;
    mdr_plan *plan = p->plan;
    const mdr_where lot = {0};
    plan->load_kg = load_of(p);
    plan->liquor_nominal_l =
        MDR_FIG(f, MDR_QTY_LIQUOR_NOMINAL, lot, MDR_RULE_LIQUOR_NOMINAL, plan->load_kg, p->i.ratio);
    plan->liquor_l = MDR_FIG(f, MDR_QTY_LIQUOR, lot, MDR_RULE_LIQUOR_TRUE, plan->liquor_nominal_l,
                             p->i.liquor_min_l);
    plan->ratio_l_per_kg =
        MDR_FIG(f, MDR_QTY_RATIO, lot, MDR_RULE_RATIO_TRUE, plan->liquor_l, plan->load_kg);
    plan->fabric_m = MDR_FIG(f, MDR_QTY_FABRIC_LENGTH, lot, MDR_RULE_ROPE_LENGTH, plan->load_kg,
                             p->i.gsm, p->i.width_cm);
    plan->rope_m =
        MDR_FIG(f, MDR_QTY_ROPE, lot, MDR_RULE_ROPE_PER_TUBE, plan->fabric_m, p->i.tubes);
    plan->speed_m_per_min = MDR_FIG(f, MDR_QTY_SPEED, lot, MDR_RULE_SAME, p->i.speed);
    plan->cycle_min =
        MDR_FIG(f, MDR_QTY_CYCLE, lot, MDR_RULE_ROPE_CYCLE, plan->rope_m, plan->speed_m_per_min);
    p->depth = depth_of(p);
    plan->depth_pct_owf = p->depth;
    mdr_plan_warn_loading(p);
}

static mdr_code count_baths(const mdr_route *route, int *out, mdr_err *err)
{
    int n = 0;
    for (int s = 0; s < route->n_stages; s++) {
        for (int b = 0; b < route->stages[s].n_baths; b++) {
            if (route->stages[s].baths[b].n_steps > MDR_ROUTE_STEPS_MAX) {
                n = MDR_ROUTE_BATHS_MAX + 1;
            }
        }
        n += route->stages[s].n_baths;
    }
    if (n < 1 || n > MDR_ROUTE_BATHS_MAX) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "route", "the route has too few or too many baths or steps");
        mdr_err_value(err, "%d baths", n);
        mdr_err_allowed(err, "1 to %d baths of at most %d steps", MDR_ROUTE_BATHS_MAX,
                        MDR_ROUTE_STEPS_MAX);
        mdr_err_remedy(err, "split the route, or resolve the stages it takes from others");
        return rc;
    }
    *out = n;
    return MDR_OK;
}

/* Amounts first, then time: what time takes from the bath, the next bath finds gone. */
static mdr_code all_baths(mdr_planner *p)
{
    const mdr_route *route = p->in->route;
    mdr_plan *plan = p->plan;
    p->carried_l = mdr_fig_rule(p->f, MDR_QTY_CARRIED, (mdr_where){0}, MDR_RULE_NOTHING, NULL, 0);
    p->now = p->i.zero;
    p->temp = p->i.room;
    p->liquor = mdr_fig_rule(p->f, MDR_QTY_LIQUOR_NOW, (mdr_where){0}, MDR_RULE_NOTHING, NULL, 0);
    p->beside_end = MDR_FIG_NONE;
    mdr_plan_chem_lot(p);
    for (int s = 0; s < route->n_stages; s++) {
        for (int b = 0; b < route->stages[s].n_baths; b++) {
            mdr_plan_bath *bath = &plan->baths[plan->n_baths++];
            bath->stage = &route->stages[s];
            bath->asked = &route->stages[s].baths[b];
            bath->number = plan->n_baths;
            MDR_TRY(mdr_plan_bath_liquor(p, bath));
            if (p->failed || p->f->failed) { /* no memory: what follows would be void */
                return MDR_OK;
            }
            mdr_plan_bath_time(p, bath);
            mdr_plan_bath_close(p, bath);
        }
    }
    mdr_plan_end(p);
    return MDR_OK;
}

static mdr_code no_memory(mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOMEM, "plan", "the plan needs more memory than it may take");
    mdr_err_remedy(err, "shorten the route, or give the request a larger limit");
    return rc;
}

mdr_code mdr_plan_make(const mdr_plan_in *in, mdr_arena *arena, const mdr_plan **out, mdr_err *err)
{
    int n_baths = 0;
    MDR_TRY(mdr_plan_validate(in, err));
    MDR_TRY(count_baths(in->route, &n_baths, err));
    mdr_plan *plan = MDR_NEW(arena, mdr_plan);
    if (plan == NULL) {
        return no_memory(err);
    }
    *plan = (mdr_plan){.lot = in->lot,
                       .machine = in->machine,
                       .route = in->route,
                       .site = in->site,
                       .figs = mdr_figs_make(arena)};
    plan->baths = MDR_NEW_N(arena, mdr_plan_bath, (size_t)n_baths);
    mdr_planner p = {.in = in,
                     .plan = plan,
                     .f = &plan->figs,
                     .arena = arena,
                     .err = err,
                     .failed = plan->baths == NULL};
    if (p.failed) {
        return no_memory(err);
    }
    mdr_plan_read_inputs(&p);
    MDR_TRY(mdr_plan_read_stuff(&p));
    if (!p.failed) {
        headline(&p);
    }
    if (!p.failed) {
        const mdr_code rc = all_baths(&p);
        if (rc != MDR_OK && !p.failed && !plan->figs.failed) {
            return rc; /* else the complaint is about numbers that no memory was left for */
        }
        if (rc == MDR_OK) {
            mdr_plan_totals(&p);
            mdr_plan_finish_make(&p);
        }
    }
    if (p.failed || plan->figs.failed) {
        return no_memory(err);
    }
    *out = plan;
    return MDR_OK;
}

int mdr_plan_stops(const mdr_plan *plan)
{
    int n = 0;
    for (int i = 0; i < plan->n_warns; i++) {
        n += mdr_warn_severity(plan->warns[i].id) == MDR_SEV_STOP ? 1 : 0;
    }
    return n;
}

mdr_fig_id mdr_plan_expected(const mdr_plan_bath *bath, const mdr_plan_step *step)
{
    if (step->asked->kind != MDR_STEP_CHECK) {
        return MDR_FIG_NONE;
    }
    switch (step->asked->check.kind) {
    case MDR_CHECK_PH:
    case MDR_CHECK_CORE_PH:
        return step->asked->check.cooled ? step->ph_cold : step->ph;
    case MDR_CHECK_PEROXIDE:
        return step->peroxide_mg_per_l;
    case MDR_CHECK_HARDNESS:
        return bath->hardness_total_dh;
    case MDR_CHECK_ABSORBENCY:
    case MDR_CHECK_WHITENESS:
    case MDR_CHECK_WEIGHT_LOSS:
    case MDR_CHECK_LEVEL:
    case MDR_CHECK_SHADE:
    case MDR_CHECK_REDUCTION:
    case MDR_CHECK_REDOX:
    case MDR_CHECK_SALT:
    case MDR_CHECK_WASH_OFF:
    case MDR_CHECK_MOISTURE:
    case MDR_CHECK_SAMPLE:
        break;
    }
    return MDR_FIG_NONE;
}
