/* Dye: what goes onto the fibre, what of it is fixed, and what the baths after wash off. Reckoned
 * when the times of the bath's steps are known. */
#include <math.h>

#include "core/plan/mdr_planner.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* Of the dye used, per cent by class, when the dye does not say: common practice. */
static double usual_exhaustion_pct(int dye_class)
{
    return dye_class == MDR_CLASS_DIRECT ? 88.0 : dye_class == MDR_CLASS_VAT ? 90.0 : 80.0;
}

static double usual_fixation_pct(int dye_class)
{
    return dye_class == MDR_CLASS_DIRECT ? 85.0 : dye_class == MDR_CLASS_VAT ? 88.0 : 70.0;
}

static mdr_fig_id pct_of(mdr_planner *p, const mdr_material *m, double pct, const char *label,
                         const char *field)
{
    return mdr_fig_input(
        p->f, pct, "%", label,
        (mdr_fig_source){.table = "material", .record_id = m->material_id, .field = field});
}

/* The dye's own figure, or the usual of its class within what the other one leaves. */
mdr_fig_id mdr_plan_fixation(mdr_planner *p, const mdr_material *m)
{
    const double usual = m->exhaustion_pct > 0.0
                             ? fmin(usual_fixation_pct(m->dye_class), m->exhaustion_pct)
                             : usual_fixation_pct(m->dye_class);
    return m->fixation_pct > 0.0
               ? pct_of(p, m, m->fixation_pct, "Fixation", "fixation_pct")
               : pct_of(p, m, usual, "Fixation, usual of the class", "usual_fixation_pct");
}

static mdr_fig_id exhaustion(mdr_planner *p, const mdr_material *m)
{
    const double usual = fmax(usual_exhaustion_pct(m->dye_class), m->fixation_pct);
    return m->exhaustion_pct > 0.0
               ? pct_of(p, m, m->exhaustion_pct, "Exhaustion", "exhaustion_pct")
               : pct_of(p, m, usual, "Exhaustion, usual of the class", "usual_exhaustion_pct");
}

/* One dye of one dose: part stays in the liquor, part goes on, of that a part is fixed. */
static void goes_on(mdr_planner *p, mdr_plan_bath *bath, const mdr_plan_item *item, mdr_where at)
{
    const mdr_fig_id e = exhaustion(p, item->material);
    const mdr_fig_id fix = mdr_plan_fixation(p, item->material);
    const mdr_fig_id loose =
        MDR_FIG(p->f, MDR_QTY_LOOSE_DYE, at, MDR_RULE_LOOSE, item->active_kg, e, fix);
    p->loose_kg = MDR_FIG(p->f, MDR_QTY_LOOSE, at, MDR_RULE_SUM, p->loose_kg, loose);
    mdr_plan_stuff *stuff = mdr_plan_stuff_of(p, item->material->material_id);
    if (stuff == NULL) {
        return;
    }
    const double kg = value(p, item->active_kg);
    const double on = kg * fmax(value(p, e), value(p, fix)) / 100.0;
    stuff->loose_kg += value(p, loose);
    stuff->in_liquor_kg += kg - on;
    bath->masses[stuff - p->stuff].fixed_kg += on - value(p, loose);
}

static bool dye_goes_on(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    bool any = false;
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            if (bath->steps[s].items[i].material->is_dye) {
                at.step = (int16_t)(s + 1);
                at.item = (int16_t)(i + 1);
                goes_on(p, bath, &bath->steps[s].items[i], at);
                any = true;
            }
        }
    }
    return any;
}

/* A step that takes time of its own in the liquor; one that runs beside lies within others. */
static bool washes(const mdr_plan_step *step)
{
    const mdr_step_kind kind = step->asked->kind;
    return !step->beside && step->minutes != MDR_FIG_NONE && kind != MDR_STEP_LOAD &&
           kind != MDR_STEP_UNLOAD && kind != MDR_STEP_FILL && kind != MDR_STEP_DRAIN;
}

/* Loose dye comes off into the liquor. */
static void wash_off(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_fig_id in[2 + 2 * MDR_ROUTE_STEPS_MAX];
    int n = 0;
    in[n++] = p->loose_kg;
    in[n++] = bath->electrolyte_g_per_l != MDR_FIG_NONE ? bath->electrolyte_g_per_l : p->i.absent;
    for (int i = 0; i < bath->n_steps; i++) {
        if (washes(&bath->steps[i])) {
            in[n++] = bath->steps[i].minutes;
            in[n++] = bath->steps[i].temp_end_c;
        }
    }
    const double before = value(p, p->loose_kg);
    p->loose_kg = mdr_fig_rule(p->f, MDR_QTY_LOOSE, at, MDR_RULE_WASH_OFF, in, n);
    const double left = before > 0.0 ? value(p, p->loose_kg) / before : 1.0;
    for (int i = 0; i < p->n_stuff; i++) {
        p->stuff[i].in_liquor_kg += p->stuff[i].loose_kg * (1.0 - left);
        p->stuff[i].loose_kg *= left;
    }
}

void mdr_plan_uptake(mdr_planner *p, mdr_plan_bath *bath)
{
    const mdr_where at = {.bath = (int16_t)bath->number};
    if (p->f->failed || !(value(p, bath->final_l) > 0.0)) {
        return;
    }
    if (!dye_goes_on(p, bath, at) && p->loose_kg != MDR_FIG_NONE) {
        wash_off(p, bath, at);
    }
    if (p->loose_kg != MDR_FIG_NONE) {
        bath->loose_mg_per_kg =
            MDR_FIG(p->f, MDR_QTY_LOOSE_MG, at, MDR_RULE_MG_PER_KG, p->loose_kg, p->plan->load_kg);
    }
}
