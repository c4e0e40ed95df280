/* What the chemistry says against a bath, before it is run. */
#include <math.h>
#include <string.h>

#include "core/bath/mdr_peroxide.h"
#include "core/bath/mdr_reduction.h"
#include "core/bath/mdr_sequester.h"
#include "core/bath/mdr_washoff.h"
#include "core/plan/mdr_planner.h"
#include "core/units/mdr_strength.h"

/* Common practice, both: more salt than this stops the wash-off; more alkali than this at the boil
 * breaks the bond of a reactive dye. */
static const double ELECTROLYTE_MOST_G_PER_L = 2.0;
static const double SOAP_PH_MOST = 9.0;

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* -- checks against what is predicted -- */

static void judge_ph(mdr_planner *p, const mdr_plan_bath *bath, const mdr_plan_step *step,
                     mdr_where at)
{
    const mdr_route_check *c = &step->asked->check;
    const mdr_fig_id read = mdr_plan_expected(bath, step);
    const double ph = value(p, read);
    const double slack = step->ph_uncertainty;
    const bool low = c->has_low && ph < c->low - slack;
    const bool high = c->has_high && ph > c->high + slack;
    if (low || high) {
        MDR_PLAN_WARN(p, MDR_WARN_PH_WINDOW, at, read, mdr_arg_number(ph, 1),
                      mdr_arg_number(slack, 2), mdr_arg_number(c->has_low ? c->low : 0.0, 1),
                      mdr_arg_number(c->has_high ? c->high : 14.0, 1));
    }
}

static void judge_checks(mdr_planner *p, const mdr_plan_bath *bath)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        const mdr_where at = {.bath = (int16_t)bath->number, .step = (int16_t)(i + 1)};
        if (step->asked->kind != MDR_STEP_CHECK) {
            continue;
        }
        const mdr_route_check *c = &step->asked->check;
        if ((c->kind == MDR_CHECK_PH || c->kind == MDR_CHECK_CORE_PH) &&
            mdr_plan_expected(bath, step) != MDR_FIG_NONE) {
            judge_ph(p, bath, step, at);
        }
        if (c->kind == MDR_CHECK_HARDNESS && c->has_high &&
            bath->hardness_total_dh != MDR_FIG_NONE &&
            value(p, bath->hardness_total_dh) > c->high) {
            MDR_PLAN_WARN(p, MDR_WARN_HARDNESS_CHECK, at, bath->hardness_total_dh,
                          mdr_arg_number(value(p, bath->hardness_total_dh), 0),
                          mdr_arg_number(c->high, 0));
        }
        if (step->peroxide_mg_per_l != MDR_FIG_NONE && c->has_high &&
            value(p, step->peroxide_mg_per_l) > c->high) {
            MDR_PLAN_WARN(p, MDR_WARN_PEROXIDE_LEFT, at, step->peroxide_mg_per_l,
                          mdr_arg_number(value(p, step->peroxide_mg_per_l), 0),
                          mdr_arg_number(c->high, 0));
        }
    }
}

/* -- the dyebath -- */

static void judge_hardness(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    const double dh = value(p, bath->hardness_dh);
    if (bath->hardness_dh == MDR_FIG_NONE || dh <= MDR_SEQUESTER_REMARK_DH) {
        return;
    }
    MDR_PLAN_WARN(p,
                  dh > MDR_SEQUESTER_WARNING_DH ? MDR_WARN_HARDNESS_OVER : MDR_WARN_HARDNESS_NEAR,
                  at, bath->hardness_dh, mdr_arg_number(dh, 1),
                  mdr_arg_number(value(p, bath->hardness_total_dh), 1),
                  mdr_arg_number(MDR_SEQUESTER_WARNING_DH, 0));
}

/* Peroxide that is there when the first dye comes. */
static void judge_peroxide_before_dye(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        if (!mdr_plan_step_gives_dye(step)) {
            continue;
        }
        const mdr_fig_id peroxide = step->dissolved_kg[MDR_IN_H2O2];
        const double mg_per_l = 1e6 * value(p, peroxide) / value(p, bath->liquor_l);
        at.step = (int16_t)(i + 1);
        if (peroxide != MDR_FIG_NONE && !mdr_peroxide_passes(mg_per_l)) {
            MDR_PLAN_WARN(p, MDR_WARN_PEROXIDE_DYE, at, peroxide, mdr_arg_number(mg_per_l, 0),
                          mdr_arg_number(MDR_PEROXIDE_LIMIT_MG_PER_L, 0));
        }
        return;
    }
}

static bool gives_salt(const mdr_plan_step *step)
{
    for (int i = 0; i < step->n_items; i++) {
        const int substance = step->items[i].material->substance;
        if (substance == MDR_SUB_NACL || substance == MDR_SUB_NA2SO4) {
            return true;
        }
    }
    return false;
}

/* Salt in portions: several doses of it, or one that rises or comes in parts. */
static bool salt_in_portions(const mdr_plan_bath *bath)
{
    int doses = 0;
    bool rising = false;
    for (int i = 0; i < bath->n_steps; i++) {
        if (gives_salt(&bath->steps[i])) {
            doses++;
            rising = rising || bath->steps[i].asked->curve == MDR_CURVE_PORTIONS ||
                     bath->steps[i].asked->curve == MDR_CURVE_PROGRESSIVE;
        }
    }
    return doses != 1 || rising;
}

static double steepest_c_per_min(const mdr_planner *p, const mdr_plan_bath *bath)
{
    double most = 0.0;
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        const double minutes = value(p, step->minutes);
        if (step->asked->kind == MDR_STEP_HEAT && minutes > 0.0) {
            most =
                fmax(most, (value(p, step->temp_end_c) - value(p, step->temp_start_c)) / minutes);
        }
    }
    return most;
}

static void judge_direct(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    const mdr_shade *shade = p->in->lot->shade;
    for (int i = 0; i < shade->n_dyes; i++) {
        const mdr_material *dye = shade->dyes[i].dye;
        mdr_direct_group group;
        if (dye->dye_class != MDR_CLASS_DIRECT || !mdr_direct_group_of(dye->group, &group)) {
            continue;
        }
        const mdr_direct_way way = mdr_direct_way_of(group);
        const double steepest = steepest_c_per_min(p, bath);
        if (way.salt == MDR_DIRECT_SALT_PORTIONS && !salt_in_portions(bath)) {
            MDR_PLAN_WARN(p, MDR_WARN_DIRECT_SALT, at, MDR_FIG_NONE, mdr_arg_text(dye->name),
                          mdr_arg_text(dye->group));
        }
        if (way.heat_max_c_per_min > 0.0 && steepest > way.heat_max_c_per_min + 1e-6) {
            MDR_PLAN_WARN(p, MDR_WARN_DIRECT_HEAT, at, MDR_FIG_NONE, mdr_arg_text(dye->name),
                          mdr_arg_text(dye->group), mdr_arg_number(steepest, 1),
                          mdr_arg_number(way.heat_max_c_per_min, 0));
        }
    }
}

static double vat_temp_c(const mdr_planner *p, const mdr_plan_bath *bath)
{
    double temp_c = 0.0; /* where most of its time is spent after the dithionite */
    double longest = -1.0;
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        if (step->asked->kind == MDR_STEP_HOLD && step->dithionite_g_per_l != MDR_FIG_NONE &&
            value(p, step->minutes) > longest) {
            longest = value(p, step->minutes);
            temp_c = value(p, step->temp_end_c);
        }
    }
    return longest >= 0.0 ? temp_c : mdr_plan_bath_hottest_c(p->f, bath);
}

static bool has_salt(const mdr_plan_bath *bath)
{
    for (int i = 0; i < bath->n_steps; i++) {
        if (gives_salt(&bath->steps[i])) {
            return true;
        }
    }
    return false;
}

static void judge_vat_group(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    static const double NEAR_K = 2.0;
    const mdr_shade *shade = p->in->lot->shade;
    for (int i = 0; i < shade->n_dyes; i++) {
        const mdr_material *dye = shade->dyes[i].dye;
        mdr_vat_group group;
        if (dye->dye_class != MDR_CLASS_VAT || !mdr_vat_group_of(dye->group, &group)) {
            continue;
        }
        const mdr_vat_window w = mdr_vat_window_of(group);
        const double temp_c = vat_temp_c(p, bath);
        if (temp_c < w.temp_min_c - NEAR_K || temp_c > w.temp_max_c + NEAR_K) {
            MDR_PLAN_WARN(p, MDR_WARN_VAT_TEMP, at, MDR_FIG_NONE, mdr_arg_text(dye->name),
                          mdr_arg_text(dye->group), mdr_arg_number(temp_c, 0),
                          mdr_arg_number(w.temp_min_c, 0), mdr_arg_number(w.temp_max_c, 0));
        }
        if (w.salt != has_salt(bath)) {
            MDR_PLAN_WARN(p, w.salt ? MDR_WARN_VAT_SALT_MISSING : MDR_WARN_VAT_SALT, at,
                          MDR_FIG_NONE, mdr_arg_text(dye->name), mdr_arg_text(dye->group));
        }
    }
}

/* Caustic that acid and reduction have left, g/L. */
static double caustic_left_g_per_l(const mdr_planner *p, const mdr_plan_bath *bath,
                                   const mdr_plan_step *step)
{
    double mol = 0.0;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        const int substance = (int)mdr_dissolved_substance((mdr_dissolved)i);
        const double net = i == MDR_IN_NAOH ? mdr_substance_alkali_mol_per_kg(substance)
                                            : -mdr_substance_acid_mol_per_kg(substance);
        mol += net * value(p, step->dissolved_kg[i]);
    }
    return mol * mdr_substance_molar_g_per_mol(MDR_SUB_NAOH) / value(p, bath->liquor_l);
}

/* Below this the leuco dye comes out of solution, g/L; common practice. */
static const double CAUSTIC_LEAST_G_PER_L = 1.0;

static void judge_vat_caustic(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        const double left = caustic_left_g_per_l(p, bath, step);
        if (step->asked->kind != MDR_STEP_DRAIN && step->dithionite_g_per_l != MDR_FIG_NONE &&
            left < CAUSTIC_LEAST_G_PER_L) {
            at.step = (int16_t)(i + 1);
            MDR_PLAN_WARN(p, MDR_WARN_VAT_CAUSTIC, at, step->ph, mdr_arg_number(left, 2),
                          mdr_arg_number(CAUSTIC_LEAST_G_PER_L, 0));
            return;
        }
    }
}

/* The reserve at the end of the last step before the drain. */
static void judge_vat(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    const mdr_plan_step *last = NULL;
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_plan_step *step = &bath->steps[i];
        if (step->asked->kind != MDR_STEP_DRAIN && step->dithionite_g_per_l != MDR_FIG_NONE) {
            last = step;
            at.step = (int16_t)(i + 1);
        }
    }
    if (last == NULL) {
        at.step = 0;
        MDR_PLAN_WARN(p, MDR_WARN_NO_REDUCTION, at, MDR_FIG_NONE, mdr_arg_text(""));
        return;
    }
    if (value(p, last->dithionite_g_per_l) < MDR_REDUCTION_RESERVE_G_PER_L) {
        MDR_PLAN_WARN(p, MDR_WARN_RESERVE_SHORT, at, last->dithionite_g_per_l,
                      mdr_arg_number(value(p, last->dithionite_g_per_l), 2),
                      mdr_arg_number(MDR_REDUCTION_RESERVE_G_PER_L, 1));
    }
    at.step = 0;
    judge_vat_caustic(p, bath, at);
    judge_vat_group(p, bath, at);
}

/* -- after dyeing -- */

static void judge_soap(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    if (p->loose_kg == MDR_FIG_NONE || !mdr_plan_bath_soaps(p->f, bath) ||
        p->in->route->dye_class != MDR_CLASS_REACTIVE) {
        return;
    }
    const double salt = value(p, bath->electrolyte_g_per_l);
    if (bath->electrolyte_g_per_l != MDR_FIG_NONE && salt > ELECTROLYTE_MOST_G_PER_L) {
        MDR_PLAN_WARN(p, MDR_WARN_SOAP_SALT, at, bath->electrolyte_g_per_l, mdr_arg_number(salt, 1),
                      mdr_arg_number(ELECTROLYTE_MOST_G_PER_L, 0));
    }
    const double ph = value(p, bath->ph_start);
    if (bath->ph_start != MDR_FIG_NONE && ph > SOAP_PH_MOST) {
        MDR_PLAN_WARN(p, MDR_WARN_SOAP_ALKALI, at, bath->ph_start, mdr_arg_number(ph, 1),
                      mdr_arg_number(SOAP_PH_MOST, 0));
    }
}

/* Acid on dithionite gives off sulphur dioxide; peroxide on it is heat and waste. */
static void judge_reducer(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    static const double LITTLE_G_PER_L = 0.1; /* common practice */
    const double left = value(p, bath->start_g_per_l[MDR_IN_DITHIONITE]);
    if (bath->start_g_per_l[MDR_IN_DITHIONITE] == MDR_FIG_NONE || left < LITTLE_G_PER_L) {
        return;
    }
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            const int substance = bath->steps[s].items[i].material->substance;
            if (mdr_substance_acid_mol_per_kg(substance) > 0.0 || substance == MDR_SUB_H2O2) {
                at.step = (int16_t)(s + 1);
                MDR_PLAN_WARN(p, MDR_WARN_REDUCER_LEFT, at, bath->start_g_per_l[MDR_IN_DITHIONITE],
                              mdr_arg_number(left, 2),
                              mdr_arg_text(bath->steps[s].items[i].material->name));
                return;
            }
        }
    }
}

void mdr_plan_judge(mdr_planner *p, const mdr_plan_bath *bath)
{
    const mdr_where at = {.bath = (int16_t)bath->number};
    if (p->f->failed) {
        return;
    }
    judge_checks(p, bath);
    judge_soap(p, bath, at);
    judge_reducer(p, bath, at);
    if (!mdr_plan_bath_gives_dye(bath)) {
        return;
    }
    judge_hardness(p, bath, at);
    judge_peroxide_before_dye(p, bath, at);
    if (p->in->route->dye_class == MDR_CLASS_DIRECT) {
        judge_direct(p, bath, at);
    }
    if (p->in->route->dye_class == MDR_CLASS_VAT) {
        judge_vat(p, bath, at);
    }
}

/* Number of hot soaps against the usual of the depth; black and turquoise count as the deepest. */
static void judge_soaps(mdr_planner *p)
{
    static const double DEEPEST_PCT_OWF = 5.0, BLACK_FROM_PCT_OWF = 2.0;
    const mdr_plan *plan = p->plan;
    const mdr_shade *shade = p->in->lot->shade;
    double depth = value(p, p->depth);
    for (int i = 0; i < shade->n_dyes; i++) {
        const bool main_part = shade->dyes[i].depth_pct_owf > 0.5 * value(p, p->depth);
        const int nature = shade->dyes[i].dye->nature;
        const bool black =
            nature == MDR_NATURE_BLACK && depth > BLACK_FROM_PCT_OWF; /* not a grey */
        if (main_part && (black || nature == MDR_NATURE_PHTHALOCYANINE)) {
            depth = fmax(depth, DEEPEST_PCT_OWF);
        }
    }
    int soaps = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        const mdr_plan_bath *bath = &plan->baths[b];
        soaps += mdr_plan_bath_soaps(p->f, bath) ? 1 : 0;
    }
    const mdr_washoff_usual_baths usual = mdr_washoff_usual(depth);
    const bool few = soaps < usual.hot_soaps_least;
    if (few || soaps > usual.hot_soaps_most) {
        MDR_PLAN_WARN(p, few ? MDR_WARN_SOAPS_FEW : MDR_WARN_SOAPS_MANY, (mdr_where){0}, p->depth,
                      mdr_arg_number(soaps, 0), mdr_arg_number(value(p, p->depth), 2),
                      mdr_arg_number(few ? usual.hot_soaps_least : usual.hot_soaps_most, 0));
    }
}

/* At the end: is the loose dye out, and is the vat dye oxidised? */
void mdr_plan_judge_lot(mdr_planner *p)
{
    const mdr_where lot = {0};
    const mdr_plan *plan = p->plan;
    if (p->f->failed || plan->n_baths == 0 || p->loose_kg == MDR_FIG_NONE) {
        return;
    }
    const mdr_plan_bath *last = &plan->baths[0]; /* the last that says anything of it */
    for (int b = 1; b < plan->n_baths; b++) {
        last = plan->baths[b].loose_mg_per_kg != MDR_FIG_NONE ? &plan->baths[b] : last;
    }
    const double left = value(p, last->loose_mg_per_kg);
    if (p->in->route->dye_class == MDR_CLASS_REACTIVE && left > MDR_WASHOFF_TARGET_MG_PER_KG) {
        static const double USUAL_C = 95.0, USUAL_MIN = 10.0;
        const double more =
            mdr_washoff_baths_needed(left, MDR_WASHOFF_TARGET_MG_PER_KG, USUAL_C, USUAL_MIN, 0.0);
        MDR_PLAN_WARN(p, MDR_WARN_LOOSE_DYE, lot, last->loose_mg_per_kg, mdr_arg_number(left, 0),
                      mdr_arg_number(MDR_WASHOFF_TARGET_MG_PER_KG, 0), mdr_arg_number(more, 0));
    }
    if (p->in->route->dye_class == MDR_CLASS_REACTIVE) {
        judge_soaps(p);
    }
    if (p->in->route->dye_class == MDR_CLASS_VAT) {
        if (value(p, p->leuco_kg) + value(p, p->pigment_kg) > 1e-6) {
            MDR_PLAN_WARN(p, MDR_WARN_NOT_OXIDISED, lot, p->leuco_kg,
                          mdr_arg_number(value(p, p->leuco_kg) + value(p, p->pigment_kg), 2));
        }
    }
}
