/* Amounts that follow from what is in the bath: acid to a pH, sequestrant for the hardness,
 * catalase for the peroxide left, peroxide for the vat dye. */
#include "core/bath/mdr_peroxide.h"
#include "core/bath/mdr_reduction.h"
#include "core/plan/mdr_planner.h"
#include "core/units/mdr_strength.h"

static mdr_code wrong_product(const mdr_plan_work *w, const char *msg, const char *allowed)
{
    mdr_err *err = w->p->err;
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "", "%s", msg);
    mdr_err_value(err, "%s", w->stuff->material->material_id);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "name another product, or state the amount in g/L");
    return mdr_plan_place(w, rc, "material_id");
}

static mdr_fig_id factor_of(mdr_plan_work *w)
{
    return mdr_plan_route_input(w->p, w->asked->amount, "", "Factor on the need", "amount", w->at);
}

static mdr_fig_id constant(mdr_planner *p, double value, const char *unit, const char *label,
                           const char *source, const char *field)
{
    return mdr_fig_input(p->f, value, unit, label,
                         (mdr_fig_source){.table = "const", .record_id = source, .field = field});
}

static void say_if_none(mdr_plan_work *w, mdr_warn_id id, mdr_fig_id need)
{
    if (mdr_fig_value(w->p->f, need) <= 0.0) {
        MDR_PLAN_WARN(w->p, id, w->at, need, mdr_arg_text(w->stuff->material->name));
    }
}

/* -- acid -- */

static bool acid_rule(int substance, mdr_rule *out)
{
    switch (substance) {
    case MDR_SUB_HAC:
        *out = MDR_RULE_NEED_ACETIC;
        return true;
    case MDR_SUB_FORMIC:
        *out = MDR_RULE_NEED_FORMIC;
        return true;
    case MDR_SUB_CITRIC:
        *out = MDR_RULE_NEED_CITRIC;
        return true;
    case MDR_SUB_H2SO4:
        *out = MDR_RULE_NEED_SULPHURIC;
        return true;
    default:
        return false;
    }
}

/* A weak acid is forgiving, a strong one is not: what a little too much of it does. */
static void warn_overshoot(mdr_plan_work *w, const mdr_mix *mix, double need_kg, double target_ph)
{
    static const double TOO_MUCH = 1.25, PH_OVER = 1.0; /* common practice */
    mdr_planner *p = w->p;
    mdr_mix over = *mix;
    mdr_mix_add(&over, w->stuff->material->substance,
                TOO_MUCH * need_kg * 1000.0 / mdr_fig_value(p->f, w->bath->liquor_l));
    if (!(need_kg > 0.0) || !mdr_mix_valid(&over)) {
        return;
    }
    const double ph = mdr_equil_ph(&over);
    if (ph < target_ph - PH_OVER) {
        MDR_PLAN_WARN(p, MDR_WARN_OVERSHOOT, w->at, MDR_FIG_NONE,
                      mdr_arg_number(100.0 * (TOO_MUCH - 1.0), 0), mdr_arg_number(ph, 1),
                      mdr_arg_number(target_ph, 1));
    }
}

/* Above 100 degC the equilibria are not known: the need is reckoned at 100, and said so. */
static mdr_fig_id known_temp(mdr_plan_work *w)
{
    static const double MOST_C = 100.0;
    mdr_planner *p = w->p;
    if (mdr_fig_value(p->f, p->chem_temp) <= MOST_C) {
        return p->chem_temp;
    }
    MDR_PLAN_WARN(p, MDR_WARN_PH_HOT, w->at, p->chem_temp,
                  mdr_arg_number(mdr_fig_value(p->f, p->chem_temp), 0), mdr_arg_number(MOST_C, 0));
    return constant(p, MOST_C, "degC", "Hottest that the equilibria are known for",
                    "plummer-busenberg", "ph_most_c");
}

static mdr_code neutralise(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    const int substance = w->stuff->material->substance;
    mdr_rule rule = MDR_RULE_NEED_ACETIC;
    if (!acid_rule(substance, &rule)) {
        return wrong_product(w, "this product is no acid whose need can be computed",
                             "acetic, formic, citric or sulphuric acid");
    }
    const double target_ph = w->asked->to_ph > 0.0 ? w->asked->to_ph : MDR_ROUTE_TO_PH;
    const mdr_fig_id temp = known_temp(w);
    const mdr_mix mix =
        mdr_plan_mix(p, mdr_fig_value(p->f, temp), mdr_fig_value(p->f, w->bath->liquor_l));
    double need_g_per_l = 0.0;
    if (p->f->failed) {
        return MDR_OK;
    }
    MDR_TRY(mdr_plan_place(w,
                           mdr_equil_need(&mix, substance, target_ph, MDR_EQUIL_NEED_MOST_G_PER_KG,
                                          &need_g_per_l, p->err),
                           ""));
    mdr_fig_id in[4 + MDR_DISSOLVED_COUNT] = {
        w->asked->to_ph > 0.0
            ? mdr_plan_route_input(p, target_ph, "pH", "pH wanted", "to_ph", w->at)
            : constant(p, target_ph, "pH", "pH wanted", "common-practice", "to_ph"),
        factor_of(w), temp, w->bath->liquor_l};
    mdr_plan_dissolved_inputs(p, in + 4);
    const mdr_fig_id need =
        mdr_fig_rule(p->f, MDR_QTY_ACTIVE_MASS, w->at, rule, in, 4 + MDR_DISSOLVED_COUNT);
    mdr_plan_settle(w, need, true);
    w->item->amount = need;
    say_if_none(w, MDR_WARN_NO_ALKALI, need);
    warn_overshoot(w, &mix, mdr_fig_value(p->f, need), target_ph);
    return MDR_OK;
}

/* -- products with a capacity -- */

static mdr_fig_id capacity_of(mdr_plan_work *w, const char *label)
{
    const mdr_material *m = w->stuff->material;
    return mdr_fig_input(w->p->f, m->capacity_mg_per_g, "mg/g", label,
                         (mdr_fig_source){.table = "material",
                                          .record_id = m->material_id,
                                          .field = "capacity_mg_per_g"});
}

static void settle_product(mdr_plan_work *w, mdr_fig_id need)
{
    mdr_plan_settle(w, MDR_FIG(w->p->f, MDR_QTY_MASS, w->at, MDR_RULE_SAME, need), false);
    w->item->amount = need;
    say_if_none(w, MDR_WARN_NO_NEED, need);
}

static mdr_code sequester(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    const mdr_material *m = w->stuff->material;
    if (m->substance != MDR_SUB_SEQUESTRANT || !(m->capacity_mg_per_g > 0.0)) {
        return wrong_product(w, "this product holds no hardness that is known",
                             "a sequestrant with its capacity_mg_per_g");
    }
    const mdr_fig_id total = p->hardness_mmol != MDR_FIG_NONE ? p->hardness_mmol : p->i.absent;
    const mdr_fig_id bound = p->binding_mmol != MDR_FIG_NONE ? p->binding_mmol : p->i.absent;
    settle_product(w, MDR_FIG(p->f, MDR_QTY_NEED_PRODUCT, w->at, MDR_RULE_SEQUESTER, total, bound,
                              capacity_of(w, "CaCO3 that 1 g holds"), factor_of(w)));
    return MDR_OK;
}

static mdr_code catalase(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    const mdr_material *m = w->stuff->material;
    if (m->substance != MDR_SUB_CATALASE || !(m->capacity_mg_per_g > 0.0)) {
        return wrong_product(w, "this product destroys no peroxide that is known",
                             "a catalase with its capacity_mg_per_g");
    }
    const mdr_fig_id there =
        p->dissolved[MDR_IN_H2O2] != MDR_FIG_NONE ? p->dissolved[MDR_IN_H2O2] : p->i.absent;
    const mdr_fig_id aim = constant(p, MDR_PEROXIDE_AIM_MG_PER_L, "mg/L", "Peroxide aimed at",
                                    "common-practice", "peroxide_aim_mg_per_l");
    settle_product(w, MDR_FIG(p->f, MDR_QTY_NEED_PRODUCT, w->at, MDR_RULE_CATALASE, there, aim,
                              w->bath->liquor_l, capacity_of(w, "Peroxide that 1 g destroys"),
                              factor_of(w)));
    return MDR_OK;
}

/* -- oxidising a vat dye -- */

static mdr_fig_id vat_dye(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    return MDR_FIG(p->f, MDR_QTY_LEUCO_LEFT, w->at, MDR_RULE_SUM, p->leuco_kg, p->pigment_kg);
}

static mdr_code oxidise(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    if (w->stuff->material->substance != MDR_SUB_H2O2) {
        return wrong_product(w, "this product's need for oxidising is not known",
                             "hydrogen peroxide");
    }
    const mdr_fig_id dithionite = p->dissolved[MDR_IN_DITHIONITE] != MDR_FIG_NONE
                                      ? p->dissolved[MDR_IN_DITHIONITE]
                                      : p->i.absent;
    const mdr_fig_id need = MDR_FIG(
        p->f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_OXIDISE, vat_dye(w),
        constant(p, mdr_reduction_usual_per_dye_g_per_g(), "g/g", "Dithionite per g of dye",
                 "vat-practice", "dithionite_per_dye_g_per_g"),
        dithionite,
        constant(p, MDR_REDUCTION_OXIDANT_EXCESS, "", "Excess of peroxide", "common-practice",
                 "oxidant_excess"),
        constant(p, MDR_REDUCTION_OXIDANT_LEAST_G_PER_L, "g/L", "Peroxide that works at least",
                 "common-practice", "oxidant_least_g_per_l"),
        w->bath->liquor_l, factor_of(w));
    mdr_plan_settle(w, need, true);
    w->item->amount = need;
    say_if_none(w, MDR_WARN_NO_NEED, need);
    return MDR_OK;
}

mdr_code mdr_plan_whiten(mdr_plan_work *w)
{
    mdr_planner *p = w->p;
    double g_per_l = 0.0;
    if (w->stuff->material->substance != MDR_SUB_H2O2) {
        return wrong_product(w, "this product's need for a whiteness is not known",
                             "hydrogen peroxide");
    }
    MDR_TRY(mdr_plan_place(w, mdr_peroxide_for_whiteness(w->asked->to_whiteness, &g_per_l, p->err),
                           ""));
    w->item->amount = MDR_FIG(p->f, MDR_QTY_AMOUNT_G_PER_L, w->at, MDR_RULE_WHITEN,
                              mdr_plan_route_input(p, w->asked->to_whiteness, "W10",
                                                   "Whiteness wanted", "to_whiteness", w->at),
                              factor_of(w));
    mdr_plan_settle(w,
                    MDR_FIG(p->f, MDR_QTY_ACTIVE_MASS, w->at, MDR_RULE_MASS_PER_L, w->item->amount,
                            w->bath->liquor_l, w->share),
                    true);
    return MDR_OK;
}

mdr_code mdr_plan_need(mdr_plan_work *w)
{
    if (w->step->share_pct != 100.0) {
        const mdr_code rc =
            MDR_FAIL(w->p->err, MDR_E_CONFLICT, "",
                     "a need is met whole: what is open after one part would be parted again");
        mdr_err_value(w->p->err, "%g %%", w->step->share_pct);
        mdr_err_allowed(w->p->err, "100 %%");
        mdr_err_remedy(w->p->err, "give it in one dose, or state the parts in g/L");
        return mdr_plan_place(w, rc, "share_pct");
    }
    switch (w->asked->basis) {
    case MDR_BASIS_NEUTRALISE:
        return neutralise(w);
    case MDR_BASIS_SEQUESTER:
        return sequester(w);
    case MDR_BASIS_CATALASE:
        return catalase(w);
    case MDR_BASIS_OXIDISE:
        return oxidise(w);
    case MDR_BASIS_G_PER_L:
    case MDR_BASIS_ML_PER_L:
    case MDR_BASIS_PCT_OWF:
    case MDR_BASIS_KG_PER_LOAD:
    case MDR_BASIS_TABLE:
    case MDR_BASIS_DYE_TABLE:
    case MDR_BASIS_RECIPE:
    case MDR_BASIS_WHITEN:
        break;
    }
    MDR_UNREACHABLE();
}
