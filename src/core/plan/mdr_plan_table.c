/* Salt and alkali by depth: which table counts, what it says at this depth and liquor ratio, and
 * what that is in the salt the route names. */
#include <string.h>

#include "core/bath/mdr_salt.h"
#include "core/plan/mdr_deciding_dye.h"
#include "core/plan/mdr_planner.h"

static mdr_code beyond(const mdr_plan_work *w, const mdr_dose_table *table, double depth_pct_owf)
{
    const mdr_code rc =
        MDR_FAIL(w->p->err, MDR_E_RANGE, "",
                 "the depth of the shade is beyond the last band of table %s", table->table_id);
    mdr_err_value(w->p->err, "%g %% owf", depth_pct_owf);
    mdr_err_allowed(w->p->err, "up to %g %% owf",
                    table->n_bands > 0 ? table->bands[table->n_bands - 1].depth_max_pct_owf : 0.0);
    mdr_err_remedy(w->p->err, "add a band that reaches this depth");
    return mdr_plan_place(w, rc, "table_id");
}

static mdr_fig_id of_table(mdr_planner *p, const mdr_dose_table *table, double value,
                           const char *unit, const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){.table = "dose_table", .record_id = table->table_id, .field = field});
}

/* What the table says: the band's amount, or between two of them. */
static void read_table(mdr_plan_work *w, const mdr_dose_table *table)
{
    mdr_planner *p = w->p;
    const double depth = mdr_fig_value(p->f, p->depth);
    const bool less = table->ratio_rule == MDR_RATIO_RULE_BAND_LESS &&
                      mdr_fig_value(p->f, w->bath->ratio_l_per_kg) < MDR_SALT_SHORT_RATIO_L_PER_KG;
    const mdr_salt_knots k = mdr_salt_knots_at(table->bands, table->n_bands, depth,
                                               table->between == MDR_BETWEEN_LINEAR, less);
    if (less) {
        MDR_PLAN_WARN(p, MDR_WARN_BAND_LESS, w->at, MDR_FIG_NONE, mdr_arg_text(table->title),
                      mdr_arg_number(MDR_SALT_SHORT_RATIO_L_PER_KG, 0));
    }
    /* short liquor: the ratio and its limit belong to the derivation */
    const mdr_fig_id ratio = less ? w->bath->ratio_l_per_kg : MDR_FIG_NONE;
    const mdr_fig_id limit =
        less ? mdr_fig_input(p->f, MDR_SALT_SHORT_RATIO_L_PER_KG, "L/kg", "Short below",
                             (mdr_fig_source){.table = "const",
                                              .record_id = "common-practice",
                                              .field = "short_ratio_l_per_kg"})
             : MDR_FIG_NONE;
    if (!(k.depth_above_pct_owf > k.depth_below_pct_owf)) {
        w->item->amount =
            MDR_FIG(p->f, MDR_QTY_BAND, w->at, less ? MDR_RULE_BAND_LESS : MDR_RULE_BAND,
                    of_table(p, table, k.below_g_per_l, "g/L", "Amount of the band",
                             less ? "less_g_per_l" : "amount_g_per_l"),
                    p->depth, ratio, limit);
        return;
    }
    w->item->amount = MDR_FIG(p->f, MDR_QTY_BAND, w->at,
                              less ? MDR_RULE_BETWEEN_LESS : MDR_RULE_BETWEEN, p->depth,
                              of_table(p, table, k.depth_below_pct_owf, "% owf",
                                       "Middle of the band below", "below_depth_pct_owf"),
                              of_table(p, table, k.below_g_per_l, "g/L", "Amount below",
                                       less ? "less_below_g_per_l" : "below_g_per_l"),
                              of_table(p, table, k.depth_above_pct_owf, "% owf",
                                       "Middle of the band above", "above_depth_pct_owf"),
                              of_table(p, table, k.above_g_per_l, "g/L", "Amount above",
                                       less ? "less_above_g_per_l" : "above_g_per_l"),
                              ratio, limit);
}

/* The table counts one salt, the route names another. */
static mdr_code swap(mdr_plan_work *w, const mdr_dose_table *table)
{
    mdr_planner *p = w->p;
    const int to = w->stuff->material->substance;
    if (table->counted_as == MDR_SUB_OTHER || table->counted_as == to) {
        return MDR_OK;
    }
    const double factor = mdr_salt_swap_factor(table->counted_as, to, table->swap);
    if (!(factor > 0.0)) {
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_CONFLICT, "", "table %s counts %s: this product is another",
                     table->table_id, mdr_substance_id((mdr_substance)table->counted_as));
        mdr_err_value(p->err, "%s (%s)", w->stuff->material->material_id,
                      mdr_substance_id((mdr_substance)to));
        mdr_err_allowed(p->err, "the same substance; salts may stand in for one another");
        mdr_err_remedy(p->err, "name a product of that substance, or another table");
        return mdr_plan_place(w, rc, "material_id");
    }
    const mdr_fig_id per =
        of_table(p, table, factor, "kg/kg", mdr_swap_words((mdr_swap)table->swap),
                 to == MDR_SUB_NACL ? "swap_to_nacl" : "swap_to_na2so4");
    w->item->amount = MDR_FIG(p->f, MDR_QTY_SWAPPED, w->at, MDR_RULE_SWAP, w->item->amount, per);
    return MDR_OK;
}

static mdr_code amount_of(mdr_plan_work *w, const char *table_id)
{
    mdr_planner *p = w->p;
    for (int t = 0; t < p->in->n_tables; t++) {
        const mdr_dose_table *table = p->in->tables[t];
        if (strcmp(table->table_id, table_id) != 0) {
            continue;
        }
        /* depths are kept to a millionth: their sum may come out a hair above the last edge */
        const double depth = mdr_fig_value(p->f, p->depth);
        if (table->n_bands == 0 ||
            depth > table->bands[table->n_bands - 1].depth_max_pct_owf + 1e-9) {
            return beyond(w, table, depth);
        }
        read_table(w, table);
        return swap(w, table);
    }
    const mdr_code rc =
        MDR_FAIL(p->err, MDR_E_NOTFOUND, "", "the route names a dose table that is not there");
    mdr_err_value(p->err, "%s", table_id);
    mdr_err_allowed(p->err, "a dose table of this mill");
    mdr_err_remedy(p->err, "import the table, or name another on the route");
    return mdr_plan_place(w, rc, "table_id");
}

/* -- which table: that of the dye that decides -- */

static const char *table_of(const mdr_material *dye, mdr_dye_table which)
{
    return which == MDR_DYE_TABLE_SALT ? dye->salt_table : dye->alkali_table;
}

static mdr_code dye_table(mdr_plan_work *w, const char **out)
{
    mdr_planner *p = w->p;
    const mdr_shade *shade = p->in->lot->shade;
    if (shade->n_dyes == 0) {
        const mdr_code rc = MDR_FAIL(p->err, MDR_E_CONFLICT, "",
                                     "amounts by the table of the dyes, but the shade has no dyes");
        mdr_err_remedy(p->err, "give the amount in g/L, or give the shade a recipe");
        return mdr_plan_place(w, rc, "basis");
    }
    const mdr_recipe_dye *decides =
        mdr_deciding_dye(shade->dyes, shade->n_dyes, mdr_fig_value(p->f, p->depth));
    *out = table_of(decides->dye, w->asked->dye_table);
    if ((*out)[0] == '\0') {
        const mdr_code rc =
            MDR_FAIL(p->err, MDR_E_NOTFOUND, "", "the dye that decides has no such dose table");
        mdr_err_value(p->err, "%s", decides->dye->material_id);
        mdr_err_allowed(p->err, "a dye with its salt and alkali table");
        mdr_err_remedy(p->err, "give the dye its salt and alkali table");
        return mdr_plan_place(w, rc, "dye_table");
    }
    for (int i = 0; i < shade->n_dyes; i++) {
        if (strcmp(table_of(shade->dyes[i].dye, w->asked->dye_table), *out) != 0) {
            MDR_PLAN_WARN(p, MDR_WARN_TABLES_DIFFER, w->at, MDR_FIG_NONE,
                          mdr_arg_text(shade->dyes[i].dye->name), mdr_arg_text(decides->dye->name));
            break;
        }
    }
    return MDR_OK;
}

/* Chloride makes phthalocyanines come out of solution and dull; sulphate is preferred. */
static void warn_chloride(mdr_plan_work *w)
{
    const mdr_shade *shade = w->p->in->lot->shade;
    if (w->stuff->material->substance != MDR_SUB_NACL) {
        return;
    }
    for (int i = 0; i < shade->n_dyes; i++) {
        if (shade->dyes[i].dye->nature == MDR_NATURE_PHTHALOCYANINE) {
            MDR_PLAN_WARN(w->p, MDR_WARN_CHLORIDE, w->at, MDR_FIG_NONE,
                          mdr_arg_text(shade->dyes[i].dye->name),
                          mdr_arg_text(w->stuff->material->name));
            return;
        }
    }
}

mdr_code mdr_plan_table_amount(mdr_plan_work *w)
{
    const char *table_id = w->asked->table_id;
    if (w->asked->basis == MDR_BASIS_DYE_TABLE) {
        MDR_TRY(dye_table(w, &table_id));
    }
    MDR_TRY(amount_of(w, table_id));
    warn_chloride(w);
    if (w->asked->amount != 1.0) {
        const mdr_fig_id factor = mdr_plan_route_input(w->p, w->asked->amount, "",
                                                       "Factor on the table", "amount", w->at);
        w->item->amount = MDR_FIG(w->p->f, MDR_QTY_AMOUNT_G_PER_L, w->at, MDR_RULE_BAND_TIMES,
                                  w->item->amount, factor);
    }
    return MDR_OK;
}
