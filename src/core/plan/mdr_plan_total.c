/* Water, steam, power, products and money of the whole lot. */
#include <string.h>

#include "core/plan/mdr_planner.h"

static mdr_fig_id sum_baths(mdr_planner *p, mdr_qty qty, const mdr_fig_id *ids)
{
    return mdr_fig_rule(p->f, qty, (mdr_where){0}, MDR_RULE_SUM, ids, p->plan->n_baths);
}

static void water_and_steam(mdr_planner *p)
{
    mdr_plan *plan = p->plan;
    mdr_figs *f = p->f;
    const mdr_where lot = {0};
    mdr_fig_id water[MDR_ROUTE_BATHS_MAX];
    mdr_fig_id steam[MDR_ROUTE_BATHS_MAX];
    mdr_fig_id gone[2 * MDR_ROUTE_BATHS_MAX];
    int n_gone = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        water[b] = plan->baths[b].water_l;
        steam[b] = plan->baths[b].steam_kg;
        if (plan->baths[b].drained_l != MDR_FIG_NONE) {
            gone[n_gone++] = plan->baths[b].drained_l;
        }
        gone[n_gone++] = plan->baths[b].rinse_l;
    }
    plan->water_l = sum_baths(p, MDR_QTY_WATER, water);
    plan->steam_kg = sum_baths(p, MDR_QTY_STEAM, steam);
    plan->water_l_per_kg =
        MDR_FIG(f, MDR_QTY_WATER_PER_KG, lot, MDR_RULE_PER_KG, plan->water_l, plan->load_kg);
    plan->power_kwh = MDR_FIG(f, MDR_QTY_POWER, lot, MDR_RULE_POWER, p->i.power, plan->total_min);
    plan->effluent_l = mdr_fig_rule(f, MDR_QTY_EFFLUENT, lot, MDR_RULE_SUM, gone, n_gone);
    plan->water_minor =
        MDR_FIG(f, MDR_QTY_WATER_COST, lot, MDR_RULE_PER_THOUSAND, plan->water_l, p->i.water_price);
    plan->effluent_minor = MDR_FIG(f, MDR_QTY_EFFLUENT_COST, lot, MDR_RULE_PER_THOUSAND,
                                   plan->effluent_l, p->i.effluent_price);
    plan->steam_minor = MDR_FIG(f, MDR_QTY_STEAM_COST, lot, MDR_RULE_PER_THOUSAND, plan->steam_kg,
                                p->i.steam_price);
    plan->power_minor = MDR_FIG(f, MDR_QTY_POWER_COST, lot, MDR_RULE_PER_THOUSAND, plan->power_kwh,
                                p->i.power_price);
    plan->utilities_minor = MDR_FIG(f, MDR_QTY_UTILITIES_COST, lot, MDR_RULE_SUM, plan->water_minor,
                                    plan->effluent_minor, plan->steam_minor, plan->power_minor);
}

/* Calls `see` for every item of the plan, in its order. */
static void each_item(const mdr_plan *plan, void (*see)(void *ctx, const mdr_plan_item *item),
                      void *ctx)
{
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            const mdr_plan_step *step = &plan->baths[b].steps[s];
            for (int i = 0; i < step->n_items; i++) {
                see(ctx, &step->items[i]);
            }
        }
    }
}

/* Gathers the figures of one material. */
typedef struct gather {
    const mdr_material *material;
    mdr_fig_id *mass, *cost;
    int n, room;
} gather;

static void take(void *ctx, const mdr_plan_item *item)
{
    gather *g = ctx;
    if (item->material == g->material && g->n < g->room) {
        g->mass[g->n] = item->mass_kg;
        g->cost[g->n++] = item->cost_minor;
    }
}

static void count(void *ctx, const mdr_plan_item *item)
{
    (void)item;
    (*(int *)ctx)++;
}

/* The list of materials grows in the order of first use. */
static void enter(void *ctx, const mdr_plan_item *item)
{
    mdr_plan *plan = ctx;
    for (int i = 0; i < plan->n_totals; i++) {
        if (plan->totals[i].material == item->material) {
            return;
        }
    }
    plan->totals[plan->n_totals++].material = item->material;
}

static void products(mdr_planner *p)
{
    mdr_plan *plan = p->plan;
    mdr_figs *f = p->f;
    const mdr_where lot = {0};
    int room = 0;
    each_item(plan, count, &room);
    plan->totals = MDR_NEW_N(p->arena, mdr_plan_total, (size_t)p->n_stuff + 1);
    mdr_fig_id *ids = MDR_NEW_N(p->arena, mdr_fig_id, 2 * ((size_t)room + (size_t)p->n_stuff + 1));
    if (plan->totals == NULL || ids == NULL) {
        p->failed = true;
        return;
    }
    each_item(plan, enter, plan);
    mdr_fig_id *all_mass = ids + 2 * (size_t)room;
    mdr_fig_id *all_cost = all_mass + p->n_stuff + 1;
    for (int i = 0; i < plan->n_totals; i++) {
        mdr_plan_total *t = &plan->totals[i];
        gather g = {.material = t->material, .mass = ids, .cost = ids + room, .room = room};
        each_item(plan, take, &g);
        t->mass_kg = mdr_fig_rule(f, MDR_QTY_MATERIAL_MASS, lot, MDR_RULE_SUM, g.mass, g.n);
        t->cost_minor = mdr_fig_rule(f, MDR_QTY_MATERIAL_COST, lot, MDR_RULE_SUM, g.cost, g.n);
        mdr_fig_belongs(f, t->mass_kg, "material", t->material->material_id);
        mdr_fig_belongs(f, t->cost_minor, "material", t->material->material_id);
        all_mass[i] = t->mass_kg;
        all_cost[i] = t->cost_minor;
    }
    plan->chemicals_kg =
        mdr_fig_rule(f, MDR_QTY_CHEMICALS, lot, MDR_RULE_SUM, all_mass, plan->n_totals);
    plan->chemicals_minor =
        mdr_fig_rule(f, MDR_QTY_CHEMICALS_COST, lot, MDR_RULE_SUM, all_cost, plan->n_totals);
}

void mdr_plan_totals(mdr_planner *p)
{
    mdr_plan *plan = p->plan;
    const mdr_where lot = {0};
    plan->total_min = MDR_FIG(p->f, MDR_QTY_TOTAL_TIME, lot, MDR_RULE_LAST_END, p->now);
    water_and_steam(p);
    products(p);
    plan->cost_minor = MDR_FIG(p->f, MDR_QTY_COST, lot, MDR_RULE_SUM, plan->chemicals_minor,
                               plan->utilities_minor);
    plan->cost_minor_per_kg =
        MDR_FIG(p->f, MDR_QTY_COST_PER_KG, lot, MDR_RULE_PER_KG, plan->cost_minor, plan->load_kg);
    mdr_plan_footprint_make(p);
    mdr_plan_judge_lot(p);
    mdr_plan_warn_materials(p);
}
