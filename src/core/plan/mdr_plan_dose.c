/* Amounts of one dose: what to weigh, how much liquor it makes, what it brings into the bath. */
#include <string.h>

#include "core/plan/mdr_planner.h"

/* Depths are kept to a millionth of a percent; their sum in binary may come out a hair above the
 * edge of a band that it meets: 0.1 + 0.2 is more than 0.3. */
static const double DEPTH_ROUNDING_PCT = 1e-9;

/* One item while it is worked out. */
typedef struct work {
    mdr_planner *p;
    const mdr_plan_bath *bath;
    const mdr_route_step *step;
    const mdr_route_item *asked;
    mdr_plan_stuff *stuff;
    mdr_plan_item *item;
    mdr_fig_id share;
    mdr_where at;
} work;

static mdr_code missing(mdr_err *err, const char *what, const char *id, const char *remedy)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "", "the route names a %s that is not there", what);
    mdr_err_value(err, "%s", id);
    mdr_err_allowed(err, "a %s of this mill", what);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code place_error(const work *w, mdr_code rc, const char *field)
{
    if (rc != MDR_OK && w->p->err != NULL && w->p->err->place[0] == '\0') {
        mdr_err_within(w->p->err, "bath %d \"%.40s\", step %d, item %d%s%s", w->at.bath,
                       w->bath->asked->name, w->at.step, w->at.item, field[0] != '\0' ? ", " : "",
                       field);
    }
    return rc;
}

/* The band for this depth; bands are in rising order and the last reaches beyond it. */
static mdr_code band_of(work *w, const char *table_id, mdr_fig_id *out)
{
    mdr_planner *p = w->p;
    for (int t = 0; t < p->in->n_tables; t++) {
        const mdr_dose_table *table = p->in->tables[t];
        if (strcmp(table->table_id, table_id) != 0) {
            continue;
        }
        const double depth = mdr_fig_value(p->f, p->depth);
        for (int b = 0; b < table->n_bands; b++) {
            if (depth <= table->bands[b].depth_max_pct_owf + DEPTH_ROUNDING_PCT) {
                const mdr_fig_id band =
                    mdr_fig_input(p->f, table->bands[b].amount_g_per_l, "g/L", "Amount of the band",
                                  (mdr_fig_source){.table = "dose_table",
                                                   .record_id = table->table_id,
                                                   .field = "amount_g_per_l"});
                *out = MDR_FIG(p->f, MDR_QTY_BAND, w->at, MDR_RULE_BAND, band, p->depth);
                return MDR_OK;
            }
        }
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_RANGE, "",
                     "the depth of the shade is beyond the last band of table %s", table_id);
        mdr_err_value(p->err, "%g %% owf", depth);
        mdr_err_allowed(p->err, "up to %g %% owf",
                        table->n_bands > 0 ? table->bands[table->n_bands - 1].depth_max_pct_owf
                                           : 0.0);
        mdr_err_remedy(p->err, "add a band that reaches this depth");
        return place_error(w, rc, "table_id");
    }
    return place_error(
        w,
        missing(p->err, "dose table", table_id, "import the table, or name another on the route"),
        "table_id");
}

static const char *table_of(const mdr_material *dye, mdr_dye_table which)
{
    return which == MDR_DYE_TABLE_SALT ? dye->salt_table : dye->alkali_table;
}

/* The table of the dye that is deepest in the recipe; says so when the others carry another. */
static mdr_code dye_table_of(work *w, const char **out)
{
    const mdr_shade *shade = w->p->in->lot->shade;
    if (shade->n_dyes == 0) {
        const mdr_code rc = MDR_FAIL(w->p->err, MDR_E_CONFLICT, "",
                                     "amounts by the table of the dyes, but the shade has no dyes");
        mdr_err_remedy(w->p->err, "state the amount in g/L, or give the shade a recipe");
        return place_error(w, rc, "basis");
    }
    const mdr_recipe_dye *main_dye = &shade->dyes[0];
    for (int i = 1; i < shade->n_dyes; i++) {
        if (shade->dyes[i].depth_pct_owf > main_dye->depth_pct_owf) {
            main_dye = &shade->dyes[i];
        }
    }
    *out = table_of(main_dye->dye, w->asked->dye_table);
    if ((*out)[0] == '\0') {
        return place_error(w,
                           missing(w->p->err, "dose table for this dye", main_dye->dye->material_id,
                                   "give the dye its salt and alkali table"),
                           "dye_table");
    }
    for (int i = 0; i < shade->n_dyes; i++) {
        if (strcmp(table_of(shade->dyes[i].dye, w->asked->dye_table), *out) != 0) {
            MDR_PLAN_WARN(w->p, MDR_WARN_TABLES_DIFFER, w->at, MDR_FIG_NONE,
                          mdr_arg_text(shade->dyes[i].dye->name),
                          mdr_arg_text(main_dye->dye->name));
            break;
        }
    }
    return MDR_OK;
}

static mdr_code table_amount(work *w)
{
    const char *table_id = w->asked->table_id;
    if (w->asked->basis == MDR_BASIS_DYE_TABLE) {
        MDR_TRY(dye_table_of(w, &table_id));
    }
    MDR_TRY(band_of(w, table_id, &w->item->amount));
    if (w->asked->amount != 1.0) {
        const mdr_fig_id factor = mdr_plan_route_input(w->p, w->asked->amount, "",
                                                       "Factor on the table", "amount", w->at);
        w->item->amount = MDR_FIG(w->p->f, MDR_QTY_AMOUNT_G_PER_L, w->at, MDR_RULE_BAND_TIMES,
                                  w->item->amount, factor);
    }
    return MDR_OK;
}

/* Mass in the sense the amount was stated (active or product) -> both. */
static void settle_masses(work *w, mdr_fig_id stated, bool of_active)
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
        mdr_err_remedy(w->p->err, "state the amount in g/L");
        return place_error(w, rc, "basis");
    }
    route_amount(w, "mL/L");
    const mdr_fig_id volume = MDR_FIG(f, MDR_QTY_PRODUCT_VOLUME, w->at, MDR_RULE_VOLUME_PER_L,
                                      w->item->amount, w->bath->liquor_l, w->share);
    w->item->volume_l = volume;
    settle_masses(
        w, MDR_FIG(f, MDR_QTY_MASS, w->at, MDR_RULE_VOLUME_MASS, volume, w->stuff->density), false);
    return MDR_OK;
}

/* Dyes are doses by the recipe: each at its own depth, all as standard strength. */
static void by_recipe(work *w, const mdr_recipe_dye *dye)
{
    mdr_figs *f = w->p->f;
    w->item->amount = mdr_fig_input(f, dye->depth_pct_owf, "% owf", "Depth in the recipe",
                                    (mdr_fig_source){.table = "recipe",
                                                     .record_id = dye->dye->material_id,
                                                     .field = "depth_pct_owf"});
    if (w->asked->amount != 1.0) {
        const mdr_fig_id factor = mdr_plan_route_input(w->p, w->asked->amount, "",
                                                       "Factor on the recipe", "amount", w->at);
        w->item->amount =
            MDR_FIG(f, MDR_QTY_DEPTH, w->at, MDR_RULE_PRODUCT, w->item->amount, factor);
    }
    settle_masses(w,
                  MDR_FIG(f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_MASS_OWF, w->item->amount,
                          w->p->plan->load_kg, w->share),
                  true);
}

static mdr_code by_neutralising(work *w)
{
    mdr_planner *p = w->p;
    if (w->stuff->acid_per_kg == MDR_FIG_NONE) {
        const mdr_code rc = MDR_FAIL(p->err, MDR_E_CONFLICT, "",
                                     "this product is no acid whose need can be computed");
        mdr_err_value(p->err, "%s", w->stuff->material->material_id);
        mdr_err_allowed(p->err, "acetic, formic or citric acid");
        mdr_err_remedy(p->err, "name an acid, or state the amount in g/L");
        return place_error(w, rc, "material_id");
    }
    if (w->step->share_pct != 100.0) {
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_CONFLICT, "",
                     "a need is met whole: what is open after one part would be parted again");
        mdr_err_value(p->err, "%g %%", w->step->share_pct);
        mdr_err_allowed(p->err, "100 %%");
        mdr_err_remedy(p->err, "give it in one dose, or state the parts in g/L");
        return place_error(w, rc, "share_pct");
    }
    const mdr_fig_id factor =
        mdr_plan_route_input(p, w->asked->amount, "", "Factor on the need", "amount", w->at);
    const mdr_fig_id need = MDR_FIG(p->f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_NEUTRALISE,
                                    p->alkali_mol, p->acid_mol, w->stuff->acid_per_kg, factor);
    settle_masses(w, need, true);
    w->item->amount = need;
    if (mdr_fig_value(p->f, need) <= 0.0) {
        MDR_PLAN_WARN(p, MDR_WARN_NO_ALKALI, w->at, need, mdr_arg_text(w->stuff->material->name));
    }
    return MDR_OK;
}

static mdr_code amounts(work *w, const mdr_recipe_dye *dye)
{
    mdr_figs *f = w->p->f;
    const bool active = w->asked->of_active;
    switch (w->asked->basis) {
    case MDR_BASIS_G_PER_L:
        route_amount(w, "g/L");
        settle_masses(w,
                      MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_PER_L, w->item->amount,
                              w->bath->liquor_l, w->share),
                      active);
        return MDR_OK;
    case MDR_BASIS_ML_PER_L:
        return by_volume(w);
    case MDR_BASIS_PCT_OWF:
        route_amount(w, "% owf");
        settle_masses(w,
                      MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_OWF, w->item->amount,
                              w->p->plan->load_kg, w->share),
                      active);
        return MDR_OK;
    case MDR_BASIS_KG_PER_LOAD:
        route_amount(w, "kg");
        settle_masses(
            w, MDR_FIG(f, mass_qty(active), w->at, MDR_RULE_MASS_LOAD, w->item->amount, w->share),
            active);
        return MDR_OK;
    case MDR_BASIS_TABLE:
    case MDR_BASIS_DYE_TABLE:
        MDR_TRY(table_amount(w));
        settle_masses(w,
                      MDR_FIG(f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_MASS_PER_L, w->item->amount,
                              w->bath->liquor_l, w->share),
                      true);
        return MDR_OK;
    case MDR_BASIS_RECIPE:
        if (dye != NULL) { /* a recipe's item always comes with its dye */
            by_recipe(w, dye);
        }
        return MDR_OK;
    case MDR_BASIS_NEUTRALISE:
        return by_neutralising(w);
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

static void add_equivalents(work *w)
{
    mdr_planner *p = w->p;
    if (w->stuff->alkali_per_kg != MDR_FIG_NONE) {
        const mdr_fig_id mol = MDR_FIG(p->f, MDR_QTY_EQUIVALENTS, w->at, MDR_RULE_EQUIVALENTS,
                                       w->item->active_kg, w->stuff->alkali_per_kg);
        p->alkali_mol = MDR_FIG(p->f, MDR_QTY_ALKALI, w->at, MDR_RULE_SUM, p->alkali_mol, mol);
    }
    if (w->stuff->acid_per_kg != MDR_FIG_NONE) {
        const mdr_fig_id mol = MDR_FIG(p->f, MDR_QTY_EQUIVALENTS, w->at, MDR_RULE_EQUIVALENTS,
                                       w->item->active_kg, w->stuff->acid_per_kg);
        p->acid_mol = MDR_FIG(p->f, MDR_QTY_ACID, w->at, MDR_RULE_SUM, p->acid_mol, mol);
    }
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
        return place_error(w,
                           missing(p->err, "dye or chemical", id,
                                   "import the product, or name another on the route"),
                           "material_id");
    }
    MDR_TRY(amounts(w, dye));
    consequences(w, water);
    add_equivalents(w);
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
