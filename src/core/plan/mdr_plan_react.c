/* What reacts in a bath, step by step: peroxide falls apart, dithionite meets oxygen, dye and air,
 * peroxide meets dithionite and reduced dye. Times are those the route asks for. */
#include <math.h>

#include "core/bath/mdr_reduction.h"
#include "core/plan/mdr_planner.h"

/* Less of it is followed no further, g/L: a tenth of what a strip can tell. */
static const double TRACE_G_PER_L = 1e-4;

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

static bool there(const mdr_planner *p, mdr_dissolved what)
{
    return p->dissolved[what] != MDR_FIG_NONE && value(p, p->dissolved[what]) > 0.0;
}

static mdr_fig_id constant(mdr_planner *p, double number, const char *unit, const char *label,
                           const char *source, const char *field)
{
    return mdr_fig_input(p->f, number, unit, label,
                         (mdr_fig_source){.table = "const", .record_id = source, .field = field});
}

static mdr_fig_id per_dye(mdr_planner *p)
{
    return constant(p, mdr_reduction_usual_per_dye_g_per_g(), "g/g", "Dithionite per g of dye",
                    "vat-practice", "dithionite_per_dye_g_per_g");
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

void mdr_plan_replace(mdr_planner *p, mdr_plan_bath *bath, mdr_dissolved what, mdr_fig_id after)
{
    const double before = value(p, p->dissolved[what]);
    mdr_plan_of_substance(p, after, what);
    p->dissolved[what] = after;
    if (before > 0.0 && value(p, after) < before) {
        mdr_plan_consume(p, bath, (int)mdr_dissolved_substance(what), value(p, after) / before);
    }
}

/* -- the beginning of a bath -- */

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

/* Only routes that reduce need to know of oxygen. */
static bool reduces(const mdr_planner *p)
{
    for (int i = 0; i < p->n_stuff; i++) {
        if (p->stuff[i].material->substance == MDR_SUB_DITHIONITE) {
            return true;
        }
    }
    return false;
}

void mdr_plan_react_begin(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    if (!reduces(p)) {
        return;
    }
    p->air_loss = MDR_FIG(p->f, MDR_QTY_AIR_LOSS, at, MDR_RULE_AIR_LOSS, air_draw(p),
                          p->plan->load_kg, bath->liquor_l);
    if (!bath->continues) { /* a bath that goes on has no fresh oxygen */
        const mdr_fig_id oxygen = MDR_FIG(p->f, MDR_QTY_OXYGEN, at, MDR_RULE_OXYGEN, p->i.cold);
        p->oxygen_takes = MDR_FIG(p->f, MDR_QTY_TAKEN_WATER, at, MDR_RULE_TAKEN_WATER,
                                  bath->liquor_l, bath->carried_l, oxygen);
    }
}

/* -- peroxide on dithionite and reduced dye: at once -- */

static bool oxidise(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    if (!there(p, MDR_IN_H2O2) ||
        (!there(p, MDR_IN_DITHIONITE) && !(value(p, p->leuco_kg) > 0.0))) {
        return false;
    }
    const mdr_fig_id peroxide = p->dissolved[MDR_IN_H2O2];
    const mdr_fig_id dithionite =
        there(p, MDR_IN_DITHIONITE) ? p->dissolved[MDR_IN_DITHIONITE] : p->i.absent;
    const mdr_fig_id leuco = p->leuco_kg != MDR_FIG_NONE ? p->leuco_kg : p->i.absent;
    const mdr_fig_id per = per_dye(p);
    mdr_plan_replace(p, bath, MDR_IN_H2O2,
                     MDR_FIG(f, MDR_QTY_PEROXIDE_REACTED, at, MDR_RULE_OXIDANT_LEFT, peroxide,
                             dithionite, leuco, per));
    if (p->leuco_kg != MDR_FIG_NONE) {
        p->leuco_kg = MDR_FIG(f, MDR_QTY_LEUCO_LEFT, at, MDR_RULE_LEUCO_LEFT, p->leuco_kg, peroxide,
                              dithionite, per);
    }
    if (there(p, MDR_IN_DITHIONITE)) {
        mdr_plan_replace(
            p, bath, MDR_IN_DITHIONITE,
            MDR_FIG(f, MDR_QTY_REDUCER_LEFT, at, MDR_RULE_REDUCER_LEFT, dithionite, peroxide));
    }
    return true;
}

/* -- dithionite over a step -- */

/* Acid and salt that used dithionite leaves behind. */
static void leave_behind(mdr_planner *p, mdr_fig_id before_kg, mdr_fig_id after_kg,
                         const mdr_fig_id *acid_inputs, int n, mdr_where at)
{
    mdr_figs *f = p->f;
    mdr_fig_id *acid = &p->dissolved[MDR_IN_H2SO4];
    mdr_fig_id *sulphate = &p->dissolved[MDR_IN_NA2SO4];
    mdr_fig_id in[8] = {*acid != MDR_FIG_NONE ? *acid : p->i.absent};
    for (int i = 0; i < n; i++) {
        in[i + 1] = acid_inputs[i];
    }
    *acid = mdr_fig_rule(f, MDR_QTY_ACID_MADE, at, MDR_RULE_ACID_MADE, in, n + 1);
    mdr_plan_of_substance(p, *acid, MDR_IN_H2SO4);
    *sulphate = MDR_FIG(f, MDR_QTY_SULPHATE_MADE, at, MDR_RULE_SULPHATE_MADE,
                        *sulphate != MDR_FIG_NONE ? *sulphate : p->i.absent, before_kg, after_kg);
    mdr_plan_of_substance(p, *sulphate, MDR_IN_NA2SO4);
}

/* What the dye takes when it first meets dithionite; from then on it is reduced. */
static mdr_fig_id dye_takes(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    if (!(value(p, p->pigment_kg) > 0.0)) {
        return p->i.absent;
    }
    const mdr_fig_id takes = MDR_FIG(p->f, MDR_QTY_TAKEN_DYE, at, MDR_RULE_TAKEN_DYE, p->pigment_kg,
                                     per_dye(p), bath->liquor_l);
    p->leuco_kg = MDR_FIG(p->f, MDR_QTY_LEUCO, at, MDR_RULE_SUM, p->leuco_kg, p->pigment_kg);
    p->pigment_kg = MDR_FIG_NONE;
    return takes;
}

static bool reduce(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at,
                   mdr_fig_id from, mdr_fig_id minutes)
{
    mdr_figs *f = p->f;
    if (!there(p, MDR_IN_DITHIONITE)) {
        return false;
    }
    const mdr_fig_id before_kg = p->dissolved[MDR_IN_DITHIONITE];
    const mdr_fig_id before =
        MDR_FIG(f, MDR_QTY_DITHIONITE_THERE, at, MDR_RULE_CONC, before_kg, bath->liquor_l);
    const mdr_fig_id water = p->oxygen_takes != MDR_FIG_NONE ? p->oxygen_takes : p->i.absent;
    const mdr_fig_id dye = dye_takes(p, bath, at);
    p->oxygen_takes = MDR_FIG_NONE;
    const mdr_fig_id left = MDR_FIG(f, MDR_QTY_DITHIONITE, at, MDR_RULE_RESERVE, before, water, dye,
                                    p->air_loss, from, p->chem_temp, minutes);
    step->dithionite_g_per_l = left;
    const mdr_fig_id after =
        MDR_FIG(f, MDR_QTY_AFTER, at, MDR_RULE_KG_OF_CONC, left, bath->liquor_l);
    mdr_plan_replace(p, bath, MDR_IN_DITHIONITE, after);
    const mdr_fig_id acid[] = {before, left, water, dye, p->air_loss, minutes, bath->liquor_l};
    leave_behind(p, before_kg, after, acid, 7, at);
    return true;
}

/* -- peroxide over a step -- */

static bool decay(mdr_planner *p, mdr_plan_bath *bath, mdr_where at, mdr_fig_id from,
                  mdr_fig_id minutes)
{
    const double g_per_l = 1000.0 * value(p, p->dissolved[MDR_IN_H2O2]) / value(p, bath->liquor_l);
    if (!there(p, MDR_IN_H2O2) || g_per_l < TRACE_G_PER_L || !(value(p, minutes) > 0.0)) {
        return false;
    }
    mdr_plan_replace(p, bath, MDR_IN_H2O2,
                     MDR_FIG(p->f, MDR_QTY_AFTER, at, MDR_RULE_PEROXIDE_LEFT,
                             p->dissolved[MDR_IN_H2O2], minutes, from, p->chem_temp));
    return true;
}

bool mdr_plan_react_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at,
                         mdr_fig_id from, mdr_fig_id minutes)
{
    if (p->f->failed) {
        return false;
    }
    const bool oxidised = oxidise(p, bath, at);
    const bool reduced = reduce(p, bath, step, at, from, minutes);
    const bool decayed = decay(p, bath, at, from, minutes);
    return oxidised || reduced || decayed;
}
