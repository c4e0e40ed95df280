/* What time takes from a bath: peroxide falls apart, dithionite is used up, dye goes on, is fixed
 * or washed off. Reckoned when the times of the bath's steps are known. */
#include <math.h>

#include "core/bath/mdr_reduction.h"
#include "core/plan/mdr_planner.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

static mdr_fig_id constant(mdr_planner *p, double number, const char *unit, const char *label,
                           const char *source, const char *field)
{
    return mdr_fig_input(p->f, number, unit, label,
                         (mdr_fig_source){.table = "const", .record_id = source, .field = field});
}

void mdr_plan_consume(mdr_planner *p, mdr_plan_bath *bath, int substance, double left)
{
    for (int i = 0; i < p->n_stuff; i++) {
        if (p->stuff[i].material->substance == substance) {
            bath->masses[i].consumed_kg += p->stuff[i].in_liquor_kg * (1.0 - left);
            p->stuff[i].in_liquor_kg *= left;
        }
    }
}

/* Replaces what is dissolved of one substance, and keeps the ledger of products with it. */
static void replace(mdr_planner *p, mdr_plan_bath *bath, mdr_dissolved what, mdr_fig_id after)
{
    const double before = value(p, p->dissolved[what]);
    mdr_plan_of_substance(p, after, what);
    p->dissolved[what] = after;
    if (before > 0.0 && value(p, after) < before) {
        mdr_plan_consume(p, bath, (int)mdr_dissolved_substance(what), value(p, after) / before);
    }
}

static bool gives(const mdr_plan_step *step, int substance)
{
    for (int i = 0; i < step->n_items; i++) {
        if (step->items[i].material->substance == substance) {
            return true;
        }
    }
    return false;
}

static int first_dose_of(const mdr_plan_bath *bath, int substance)
{
    for (int i = 0; i < bath->n_steps; i++) {
        if (gives(&bath->steps[i], substance)) {
            return i;
        }
    }
    return 0;
}

/* A step that takes time of its own; one that runs beside lies within others. */
static bool lasts(const mdr_plan_step *step)
{
    const mdr_step_kind kind = step->asked->kind;
    return !step->beside && step->minutes != MDR_FIG_NONE && kind != MDR_STEP_LOAD &&
           kind != MDR_STEP_UNLOAD;
}

/* -- peroxide -- */

static void peroxide(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    if (p->dissolved[MDR_IN_H2O2] == MDR_FIG_NONE) {
        return;
    }
    mdr_fig_id in[1 + 3 * MDR_ROUTE_STEPS_MAX];
    int n = 0;
    in[n++] = p->dissolved[MDR_IN_H2O2];
    for (int i = first_dose_of(bath, MDR_SUB_H2O2); i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        if (lasts(step)) {
            in[n++] = step->minutes;
            in[n++] = step->temp_start_c;
            in[n++] = step->temp_end_c;
        }
    }
    replace(p, bath, MDR_IN_H2O2,
            mdr_fig_rule(p->f, MDR_QTY_AFTER, at, MDR_RULE_PEROXIDE_LEFT, in, n));
}

/* -- dithionite -- */

/* What the first dithionite of a bath meets. */
typedef struct takers {
    mdr_fig_id water, dye, air;
} takers;

static mdr_fig_id dye_of_bath(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    mdr_fig_id parts[32];
    int n = 0;
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items && n < 32; i++) {
            const mdr_plan_item *item = &bath->steps[s].items[i];
            if (item->material->is_dye && item->material->dye_class == MDR_CLASS_VAT) {
                parts[n++] = item->mass_kg;
            }
        }
    }
    return mdr_fig_rule(p->f, MDR_QTY_LEUCO, at, MDR_RULE_SUM, parts, n);
}

static mdr_fig_id air_draw(mdr_planner *p)
{
    const mdr_machine *m = p->in->machine;
    return m->air_g_o2_per_kg_h > 0.0
               ? mdr_fig_input(p->f, m->air_g_o2_per_kg_h, "g/(kg h)",
                               "Oxygen that the rope draws from the air",
                               (mdr_fig_source){.table = "machine",
                                                .record_id = m->machine_id,
                                                .field = "air_g_o2_per_kg_h"})
               : constant(p, mdr_reduction_air_g_o2_per_kg_h(m->kind), "g/(kg h)",
                          "Oxygen that the rope draws from the air, usual of the kind",
                          "common-practice", "usual_air_g_o2_per_kg_h");
}

static takers takers_of(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_fig_id oxygen = MDR_FIG(f, MDR_QTY_OXYGEN, at, MDR_RULE_OXYGEN, p->i.cold);
    takers t;
    t.water = bath->continues ? p->i.absent
                              : MDR_FIG(f, MDR_QTY_TAKEN_WATER, at, MDR_RULE_TAKEN_WATER,
                                        bath->liquor_l, bath->carried_l, oxygen);
    const mdr_fig_id dye = dye_of_bath(p, bath, at);
    t.dye =
        MDR_FIG(f, MDR_QTY_TAKEN_DYE, at, MDR_RULE_TAKEN_DYE, dye,
                constant(p, mdr_reduction_usual_per_dye_g_per_g(), "g/g", "Dithionite per g of dye",
                         "vat-practice", "dithionite_per_dye_g_per_g"),
                bath->liquor_l);
    t.air = MDR_FIG(f, MDR_QTY_AIR_LOSS, at, MDR_RULE_AIR_LOSS, air_draw(p), p->plan->load_kg,
                    bath->liquor_l);
    return t;
}

/* Dithionite of this step, g/L. */
static mdr_fig_id given_in(mdr_planner *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                           mdr_where at)
{
    mdr_fig_id parts[MDR_ROUTE_ITEMS_MAX];
    int n = 0;
    for (int i = 0; i < step->n_items && n < MDR_ROUTE_ITEMS_MAX; i++) {
        if (step->items[i].material->substance == MDR_SUB_DITHIONITE) {
            parts[n++] = step->items[i].active_kg;
        }
    }
    if (n == 0) {
        return p->i.absent;
    }
    const mdr_fig_id kg = mdr_fig_rule(p->f, MDR_QTY_DISSOLVED, at, MDR_RULE_SUM, parts, n);
    mdr_fig_belongs(p->f, kg, "substance", "given-Na2S2O4");
    return MDR_FIG(p->f, MDR_QTY_GIVEN_CONC, at, MDR_RULE_CONC, kg, bath->liquor_l);
}

/* The reserve while it is followed through the steps of a bath. */
typedef struct follower {
    takers t;
    mdr_fig_id left;
    bool begun, met_water, met_dye;
} follower;

static void follow(mdr_planner *p, const mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at,
                   follower *w)
{
    const bool given = gives(step, MDR_SUB_DITHIONITE);
    if ((!w->begun && !given) || step->minutes == MDR_FIG_NONE) {
        return;
    }
    const bool water = !w->met_water;
    const bool dye = given && !w->met_dye;
    w->left = MDR_FIG(p->f, MDR_QTY_DITHIONITE, at, MDR_RULE_RESERVE, w->left,
                      given_in(p, bath, step, at), water ? w->t.water : p->i.absent,
                      dye ? w->t.dye : p->i.absent, w->t.air, step->temp_start_c, step->temp_end_c,
                      lasts(step) ? step->minutes : p->i.zero);
    step->dithionite_g_per_l = w->left;
    w->begun = w->met_water = true;
    w->met_dye = w->met_dye || dye;
}

/* The reserve from step to step; returns what is left at the end, g/L. What was carried in meets
 * the oxygen of the fresh water at once, what is given later when it is given. */
static mdr_fig_id reserve(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    const mdr_fig_id carried = bath->start_g_per_l[MDR_IN_DITHIONITE];
    follower w = {.t = takers_of(p, bath, at),
                  .left = carried != MDR_FIG_NONE ? carried : p->i.absent};
    w.begun = value(p, w.left) > 0.0;
    for (int i = 0; i < bath->n_steps; i++) {
        at.step = (int16_t)(i + 1);
        follow(p, bath, &bath->steps[i], at, &w);
    }
    return w.left;
}

static void dithionite(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_fig_id before = p->dissolved[MDR_IN_DITHIONITE];
    if (before == MDR_FIG_NONE) {
        return;
    }
    const mdr_fig_id left = reserve(p, bath, at);
    bath->dithionite_g_per_l = left;
    const mdr_fig_id after =
        MDR_FIG(f, MDR_QTY_AFTER, at, MDR_RULE_KG_OF_CONC, left, bath->liquor_l);
    const mdr_fig_id used = MDR_FIG(f, MDR_QTY_DITHIONITE_USED, at, MDR_RULE_LESS, before, after);
    replace(p, bath, MDR_IN_DITHIONITE, after);
    const mdr_fig_id caustic = MDR_FIG(f, MDR_QTY_CAUSTIC_USED, at, MDR_RULE_CAUSTIC_USED, used);
    if (p->dissolved[MDR_IN_NAOH] != MDR_FIG_NONE) {
        replace(p, bath, MDR_IN_NAOH,
                MDR_FIG(f, MDR_QTY_AFTER, at, MDR_RULE_LESS, p->dissolved[MDR_IN_NAOH], caustic));
    }
    const mdr_fig_id sulphate =
        p->dissolved[MDR_IN_NA2SO4] != MDR_FIG_NONE ? p->dissolved[MDR_IN_NA2SO4] : p->i.absent;
    p->dissolved[MDR_IN_NA2SO4] =
        MDR_FIG(f, MDR_QTY_AFTER, at, MDR_RULE_SULPHATE_MADE, sulphate, used);
    mdr_plan_of_substance(p, p->dissolved[MDR_IN_NA2SO4], MDR_IN_NA2SO4);
}

/* -- dye -- */

/* Of the dye used, per cent by class, when the dye does not say; [vat-practice] and common
 * practice: reactive 80 and 70, direct 88 and 85, vat 90 and 88. */
static double usual_exhaustion_pct(int dye_class)
{
    return dye_class == MDR_CLASS_DIRECT ? 88.0 : dye_class == MDR_CLASS_VAT ? 90.0 : 80.0;
}

static double usual_fixation_pct(int dye_class)
{
    return dye_class == MDR_CLASS_DIRECT ? 85.0 : dye_class == MDR_CLASS_VAT ? 88.0 : 70.0;
}

static mdr_fig_id pct_of(mdr_planner *p, const mdr_material *m, double given, double usual,
                         const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, given > 0.0 ? given : usual, "%", label,
        (mdr_fig_source){.table = "material", .record_id = m->material_id, .field = field});
}

mdr_fig_id mdr_plan_fixation(mdr_planner *p, const mdr_material *m)
{
    return pct_of(p, m, m->fixation_pct, usual_fixation_pct(m->dye_class),
                  m->fixation_pct > 0.0 ? "Fixation" : "Fixation, usual of the class",
                  "fixation_pct");
}

static mdr_fig_id exhaustion(mdr_planner *p, const mdr_material *m)
{
    const double usual = fmax(usual_exhaustion_pct(m->dye_class), m->fixation_pct);
    return pct_of(p, m, m->exhaustion_pct, usual,
                  m->exhaustion_pct > 0.0 ? "Exhaustion" : "Exhaustion, usual of the class",
                  "exhaustion_pct");
}

/* Dye of this bath: part stays in the liquor, part goes on, of that a part is fixed. */
static void dye_goes_on(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_fig_id parts[64];
    int n = 0;
    if (p->loose_kg != MDR_FIG_NONE) {
        parts[n++] = p->loose_kg;
    }
    const int had = n;
    for (int s = 0; s < bath->n_steps; s++) {
        at.step = (int16_t)(s + 1);
        for (int i = 0; i < bath->steps[s].n_items && n < 64; i++) {
            const mdr_plan_item *item = &bath->steps[s].items[i];
            if (!item->material->is_dye) {
                continue;
            }
            at.item = (int16_t)(i + 1);
            const mdr_fig_id e = exhaustion(p, item->material);
            const mdr_fig_id fix = mdr_plan_fixation(p, item->material);
            const mdr_fig_id loose =
                MDR_FIG(p->f, MDR_QTY_LOOSE_DYE, at, MDR_RULE_LOOSE, item->active_kg, e, fix);
            parts[n++] = loose;
            mdr_plan_stuff *stuff = mdr_plan_stuff_of(p, item->material->material_id);
            if (stuff == NULL) {
                continue;
            }
            const double kg = value(p, item->active_kg);
            const double on = kg * fmax(value(p, e), value(p, fix)) / 100.0;
            stuff->loose_kg += value(p, loose);
            stuff->in_liquor_kg += kg - on;
            bath->masses[stuff - p->stuff].fixed_kg += on - value(p, loose);
        }
    }
    if (n > had) {
        at = (mdr_where){.bath = at.bath};
        p->loose_kg = mdr_fig_rule(p->f, MDR_QTY_LOOSE, at, MDR_RULE_SUM, parts, n);
    }
}

static bool dyes(const mdr_plan_bath *bath)
{
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            if (bath->steps[s].items[i].material->is_dye) {
                return true;
            }
        }
    }
    return false;
}

/* Loose dye comes off into the liquor. */
static void wash_off(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_fig_id in[2 + 2 * MDR_ROUTE_STEPS_MAX];
    int n = 0;
    in[n++] = p->loose_kg;
    in[n++] = bath->electrolyte_g_per_l != MDR_FIG_NONE ? bath->electrolyte_g_per_l : p->i.absent;
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        if (lasts(step) && step->asked->kind != MDR_STEP_FILL &&
            step->asked->kind != MDR_STEP_DRAIN) {
            in[n++] = step->minutes;
            in[n++] = step->temp_end_c;
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

void mdr_plan_react(mdr_planner *p, mdr_plan_bath *bath)
{
    const mdr_where at = {.bath = (int16_t)bath->number};
    if (p->f->failed || !(value(p, bath->final_l) > 0.0)) {
        return;
    }
    peroxide(p, bath, at);
    dithionite(p, bath, at);
    if (dyes(bath)) {
        dye_goes_on(p, bath, at);
    } else if (p->loose_kg != MDR_FIG_NONE) {
        wash_off(p, bath, at);
    }
    if (p->loose_kg != MDR_FIG_NONE) {
        bath->loose_mg_per_kg =
            MDR_FIG(p->f, MDR_QTY_LOOSE_MG, at, MDR_RULE_MG_PER_KG, p->loose_kg, p->plan->load_kg);
    }
}
