/* Amounts of one dose: what to weigh, how much liquor it makes, what it brings into the bath. */
#include <string.h>

#include "core/plan/mdr_planner.h"

typedef mdr_plan_work work;

mdr_code mdr_plan_place(const mdr_plan_work *w, mdr_code rc, const char *field)
{
    mdr_err *err = w->p->err;
    if (rc != MDR_OK && err != NULL) {
        const bool known = err->place[0] != '\0'; /* a room below named its own field */
        mdr_err_within(err, "bath %d \"%.40s\", step %d, item %d%s%s", w->at.bath,
                       w->bath->asked->name, w->at.step, w->at.item,
                       !known && field[0] != '\0' ? ", " : "", known ? "" : field);
    }
    return rc;
}

void mdr_plan_settle(mdr_plan_work *w, mdr_fig_id stated, bool of_active)
{
    mdr_figs *f = w->p->f;
    if (of_active) {
        w->item->active_kg = stated;
        w->item->mass_kg =
            MDR_FIG(f, MDR_QTY_MASS, w->at, MDR_RULE_DELIVERED, stated, w->stuff->strength);
    } else {
        w->item->mass_kg = stated;
        w->item->active_kg =
            MDR_FIG(f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_ACTIVE, stated, w->stuff->strength);
    }
}

static mdr_qty mass_qty(bool of_active)
{
    return of_active ? MDR_QTY_ACTIVE_MASS : MDR_QTY_MASS;
}

static void route_amount(work *w, const char *unit)
{
    w->item->amount =
        mdr_plan_route_input(w->p, w->asked->amount, unit, "Amount on the route", "amount", w->at);
}

static mdr_code by_volume(work *w)
{
    mdr_figs *f = w->p->f;
    if (w->stuff->density == MDR_FIG_NONE) {
        const mdr_code rc = MDR_FAIL(w->p->err, MDR_E_CONFLICT, "", "mL/L of a solid product");
        mdr_err_value(w->p->err, "%s", w->stuff->material->material_id);
        mdr_err_allowed(w->p->err, "mL/L for liquids and pastes only");
        mdr_err_remedy(w->p->err, "give the amount in g/L");
        return mdr_plan_place(w, rc, "basis");
    }
    route_amount(w, "mL/L");
    const mdr_fig_id volume = MDR_FIG(f, MDR_QTY_PRODUCT_VOLUME, w->at, MDR_RULE_VOLUME_PER_L,
                                      w->item->amount, w->bath->liquor_l, w->share);
    w->item->volume_l = volume;
    mdr_plan_settle(
        w, MDR_FIG(f, MDR_QTY_MASS, w->at, MDR_RULE_VOLUME_MASS, volume, w->stuff->density), false);
    return MDR_OK;
}

/* Dyes are doses by the recipe: each at its own depth, all as standard strength. */
static void by_recipe(work *w, const mdr_recipe_dye *dye)
{
    mdr_figs *f = w->p->f;
    w->item->amount = mdr_plan_depth(w->p, dye, w->at);
    if (w->asked->amount != 1.0) {
        const mdr_fig_id factor = mdr_plan_route_input(w->p, w->asked->amount, "",
                                                       "Factor on the recipe", "amount", w->at);
        w->item->amount =
            MDR_FIG(f, MDR_QTY_DEPTH, w->at, MDR_RULE_PRODUCT, w->item->amount, factor);
    }
    mdr_plan_settle(w,
                    MDR_FIG(f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_MASS_OWF, w->item->amount,
                            w->p->plan->load_kg, w->share),
                    true);
}

static mdr_code amounts(work *w, const mdr_recipe_dye *dye)
{
    mdr_figs *f = w->p->f;
    const bool active = w->asked->of_active;
    switch (w->asked->basis) {
    case MDR_BASIS_G_PER_L:
        route_amount(w, "g/L");
        mdr_plan_settle(w,
                        MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_PER_L, w->item->amount,
                                w->bath->liquor_l, w->share),
                        active);
        return MDR_OK;
    case MDR_BASIS_ML_PER_L:
        return by_volume(w);
    case MDR_BASIS_PCT_OWF:
        route_amount(w, "% owf");
        mdr_plan_settle(w,
                        MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_OWF, w->item->amount,
                                w->p->plan->load_kg, w->share),
                        active);
        return MDR_OK;
    case MDR_BASIS_KG_PER_LOAD:
        route_amount(w, "kg");
        mdr_plan_settle(
            w, MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_LOAD, w->item->amount, w->share),
            active);
        return MDR_OK;
    case MDR_BASIS_TABLE:
    case MDR_BASIS_DYE_TABLE:
        MDR_TRY(mdr_plan_table_amount(w));
        mdr_plan_settle(w,
                        MDR_FIG(f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_MASS_PER_L, w->item->amount,
                                w->bath->liquor_l, w->share),
                        true);
        return MDR_OK;
    case MDR_BASIS_RECIPE:
        if (dye != NULL) { /* a recipe's item always comes with its dye */
            by_recipe(w, dye);
        }
        return MDR_OK;
    case MDR_BASIS_WHITEN:
        return mdr_plan_whiten(w);
    case MDR_BASIS_NEUTRALISE:
    case MDR_BASIS_SEQUESTER:
    case MDR_BASIS_CATALASE:
    case MDR_BASIS_OXIDISE:
        return mdr_plan_need(w);
    }
    MDR_UNREACHABLE();
}

/* Volume, concentration, cost of the product; water it takes in the tank. */
static void consequences(work *w, mdr_fig_id *tank_water)
{
    mdr_figs *f = w->p->f;
    mdr_plan_item *item = w->item;
    item->material = w->stuff->material;
    item->asked = w->asked;
    if (w->stuff->density != MDR_FIG_NONE && mdr_form_is_liquid((mdr_form)item->material->form)) {
        if (item->volume_l == MDR_FIG_NONE) { /* else it was asked for by volume */
            item->volume_l = MDR_FIG(f, MDR_QTY_PRODUCT_VOLUME, w->at, MDR_RULE_PRODUCT_VOLUME,
                                     item->mass_kg, w->stuff->density);
        }
        *tank_water = MDR_FIG(f, MDR_QTY_ITEM_WATER, w->at, MDR_RULE_DILUTE, item->volume_l,
                              w->p->i.dilution);
    } else {
        *tank_water = MDR_FIG(f, MDR_QTY_ITEM_WATER, w->at, MDR_RULE_DISSOLVE, item->mass_kg,
                              w->stuff->solubility);
    }
    item->conc_g_per_l =
        MDR_FIG(f, MDR_QTY_CONC, w->at, MDR_RULE_CONC, item->mass_kg, w->bath->liquor_l);
    item->cost_minor =
        MDR_FIG(f, MDR_QTY_ITEM_COST, w->at, MDR_RULE_COST, item->mass_kg, w->stuff->price);
    w->stuff->used = true;
}

/* What was made up in the tank, and what of it is new in the bath. */
static void tank(mdr_planner *p, mdr_plan_step *step, mdr_where at, const mdr_fig_id *waters,
                 const mdr_fig_id *volumes)
{
    mdr_figs *f = p->f;
    const int n = step->n_items;
    const mdr_fig_id water = mdr_fig_rule(f, MDR_QTY_DISSOLVING, at, MDR_RULE_SUM, waters, n);
    const mdr_fig_id products = mdr_fig_rule(f, MDR_QTY_ADDED, at, MDR_RULE_SUM, volumes, n);
    const mdr_fig_id made = MDR_FIG(f, MDR_QTY_TANK_VOLUME, at, MDR_RULE_SUM, water, products);
    const bool fresh = p->in->machine->tank_water == MDR_TANK_FRESH;
    step->tank_water_l = fresh ? MDR_FIG(f, MDR_QTY_TANK_WATER, at, MDR_RULE_SAME, water)
                               : mdr_fig_rule(f, MDR_QTY_TANK_WATER, at, MDR_RULE_NOTHING, NULL, 0);
    step->volume_l = fresh ? made : products;
    step->tank_loads = MDR_FIG(f, MDR_QTY_TANK_LOADS, at, MDR_RULE_TANK_LOADS, made, p->i.tank_l);
    step->least_minutes = MDR_FIG(f, MDR_QTY_DOSE_LEAST, at, MDR_RULE_DOSE_LEAST, made,
                                  p->i.tank_flow, step->tank_loads, p->i.tank_prepare);
}

/* Which product it is, how much, and what follows. */
static mdr_code one_item(work *w, const mdr_recipe_dye *dye, mdr_plan_step *step, mdr_fig_id *water)
{
    mdr_planner *p = w->p;
    const char *id = dye != NULL ? dye->dye->material_id : w->asked->material_id;
    w->item = &step->items[w->at.item - 1];
    w->item->volume_l = MDR_FIG_NONE;
    w->stuff = mdr_plan_stuff_of(p, id);
    if (w->stuff == NULL) {
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_NOTFOUND, "", "the route names a product that is not there");
        mdr_err_value(p->err, "%s", id);
        mdr_err_allowed(p->err, "a dye or chemical of this mill");
        mdr_err_remedy(p->err, "import the product, or name another on the route");
        return mdr_plan_place(w, rc, "material_id");
    }
    MDR_TRY(amounts(w, dye));
    consequences(w, water);
    mdr_plan_chem_item(p, w->item, w->at);
    w->stuff->in_liquor_kg +=
        w->stuff->material->is_dye ? 0.0 : mdr_fig_value(p->f, w->item->active_kg);
    step->cautions |= w->stuff->material->cautions;
    return MDR_OK;
}

/* Products of the dose; the recipe stands for each of its dyes. */
static int count_items(const mdr_route_step *asked, const mdr_shade *shade)
{
    int n = 0;
    for (int i = 0; i < asked->n_items; i++) {
        n += asked->items[i].basis == MDR_BASIS_RECIPE ? shade->n_dyes : 1;
    }
    return n;
}

static mdr_code all_items(work *w, mdr_plan_step *step, mdr_fig_id *waters)
{
    const mdr_shade *shade = w->p->in->lot->shade;
    int k = 0;
    for (int i = 0; i < w->step->n_items; i++) {
        w->asked = &w->step->items[i];
        const bool recipe = w->asked->basis == MDR_BASIS_RECIPE;
        const int parts = recipe ? shade->n_dyes : 1;
        for (int d = 0; d < parts; d++, k++) {
            w->at.item = (int16_t)(k + 1);
            MDR_TRY(one_item(w, recipe ? &shade->dyes[d] : NULL, step, &waters[k]));
        }
    }
    return MDR_OK;
}

mdr_code mdr_plan_dose(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    const mdr_route_step *asked = step->asked;
    const int n = count_items(asked, p->in->lot->shade);
    if (!p->f->failed && !(mdr_fig_value(p->f, bath->liquor_l) > 0.0)) {
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_CONFLICT, "", "a dose into a bath without liquor");
        mdr_err_within(p->err, "bath %d \"%.40s\", step %d", at.bath, bath->asked->name, at.step);
        mdr_err_remedy(p->err, "begin the bath with a fill");
        return rc;
    }
    step->items = n > 0 ? MDR_NEW_N(p->arena, mdr_plan_item, (size_t)n) : NULL;
    mdr_fig_id *waters = n > 0 ? MDR_NEW_N(p->arena, mdr_fig_id, 2 * (size_t)n) : NULL;
    if (step->items == NULL || waters == NULL) {
        p->failed = p->failed || n > 0;
        return MDR_OK;
    }
    step->n_items = n;
    work w = {.p = p, .bath = bath, .step = asked, .at = at};
    w.share = asked->share_pct == 100.0
                  ? p->i.whole
                  : mdr_plan_route_input(p, asked->share_pct, "%", "Share given in this dose",
                                         "share_pct", at);
    MDR_TRY(all_items(&w, step, waters));
    for (int k = 0; k < n; k++) {
        waters[n + k] = step->items[k].volume_l;
    }
    tank(p, step, at, waters, waters + n);
    return MDR_OK;
}
