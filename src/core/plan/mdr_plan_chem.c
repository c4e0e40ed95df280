/* What is dissolved in the bath, step by step: pH, peroxide, hardness. */
#include "core/bath/mdr_peroxide.h"
#include "core/plan/mdr_planner.h"

static const mdr_substance SUBSTANCE[MDR_DISSOLVED_COUNT] = {
#define OF(name, substance) [name] = (substance),
    MDR_DISSOLVED(OF)
#undef OF
};

mdr_substance mdr_dissolved_substance(mdr_dissolved what)
{
    return SUBSTANCE[what];
}

int mdr_dissolved_of(int substance)
{
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        if ((int)SUBSTANCE[i] == substance) {
            return i;
        }
    }
    return -1;
}

void mdr_plan_of_substance(mdr_planner *p, mdr_fig_id id, mdr_dissolved what)
{
    mdr_fig_belongs(p->f, id, "substance", mdr_substance_id(SUBSTANCE[what]));
}

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* -- the lot -- */

static mdr_fig_id metal_of(mdr_planner *p, double given_mg_per_kg, const char *label,
                           const char *field, const char *usual)
{
    static const double MIDDLE_MG_PER_KG = 800.0; /* of 400 to 1200, [cotton-metals] */
    const char *article_id = p->in->lot->article->article_id;
    return given_mg_per_kg > 0.0
               ? mdr_fig_input(
                     p->f, given_mg_per_kg, "mg/kg", label,
                     (mdr_fig_source){.table = "article", .record_id = article_id, .field = field})
               : mdr_fig_input(p->f, MIDDLE_MG_PER_KG, "mg/kg", label,
                               (mdr_fig_source){
                                   .table = "const", .record_id = "cotton-metals", .field = usual});
}

void mdr_plan_chem_lot(mdr_planner *p)
{
    const mdr_where lot = {0};
    const mdr_article *a = p->in->lot->article;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        p->dissolved[i] = MDR_FIG_NONE;
    }
    p->ph = MDR_FIG_NONE;
    p->hardness_mmol = p->binding_mmol = p->loose_kg = MDR_FIG_NONE;
    p->pigment_kg = p->leuco_kg = p->air_loss = p->oxygen_takes = MDR_FIG_NONE;
    const mdr_fig_id calcium = metal_of(p, a->calcium_mg_per_kg, "Calcium of the fabric",
                                        "calcium_mg_per_kg", "usual_calcium_mg_per_kg");
    const mdr_fig_id magnesium = metal_of(p, a->magnesium_mg_per_kg, "Magnesium of the fabric",
                                          "magnesium_mg_per_kg", "usual_magnesium_mg_per_kg");
    p->fabric_mmol_per_kg =
        MDR_FIG(p->f, MDR_QTY_FABRIC_HARDNESS, lot, MDR_RULE_FABRIC_HARDNESS, calcium, magnesium);
    p->chem_temp = p->i.room;
}

/* -- doses and rinses -- */

static void dissolve(mdr_planner *p, mdr_dissolved what, mdr_fig_id kg, mdr_where at)
{
    p->dissolved[what] = MDR_FIG(p->f, MDR_QTY_DISSOLVED, at, MDR_RULE_SUM, p->dissolved[what], kg);
    mdr_plan_of_substance(p, p->dissolved[what], what);
}

void mdr_plan_chem_item(mdr_planner *p, const mdr_plan_item *item, mdr_where at)
{
    const mdr_material *m = item->material;
    const int what = mdr_dissolved_of(m->substance);
    if (what >= 0) {
        dissolve(p, (mdr_dissolved)what, item->active_kg, at);
    } else if (m->acid_mol_per_kg > 0.0) {
        const mdr_fig_id strength = mdr_fig_input(
            p->f, m->acid_mol_per_kg, "mol/kg", "Acid of the product",
            (mdr_fig_source){
                .table = "material", .record_id = m->material_id, .field = "acid_mol_per_kg"});
        dissolve(p, MDR_IN_HAC,
                 MDR_FIG(p->f, MDR_QTY_AS_ACETIC, at, MDR_RULE_AS_ACETIC, item->mass_kg, strength),
                 at);
    }
    if (m->is_dye && m->dye_class == MDR_CLASS_VAT) {
        p->pigment_kg =
            MDR_FIG(p->f, MDR_QTY_PIGMENT, at, MDR_RULE_SUM, p->pigment_kg, item->mass_kg);
    }
    if (m->substance == MDR_SUB_SEQUESTRANT && m->capacity_mg_per_g > 0.0) {
        const mdr_fig_id capacity = mdr_fig_input(
            p->f, m->capacity_mg_per_g, "mg/g", "CaCO3 that 1 g holds",
            (mdr_fig_source){
                .table = "material", .record_id = m->material_id, .field = "capacity_mg_per_g"});
        const mdr_fig_id given =
            MDR_FIG(p->f, MDR_QTY_BINDING_GIVEN, at, MDR_RULE_BINDING, item->mass_kg, capacity);
        p->binding_mmol = MDR_FIG(p->f, MDR_QTY_BINDING, at, MDR_RULE_SUM, p->binding_mmol, given);
    }
}

void mdr_plan_chem_rinse(mdr_planner *p, const mdr_plan_bath *bath, mdr_fig_id kept, mdr_where at)
{
    mdr_figs *f = p->f;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        const bool water = i == MDR_IN_NAHCO3 && p->i.water_bicarbonate_g_per_l != MDR_FIG_NONE;
        if (p->dissolved[i] == MDR_FIG_NONE) {
            continue;
        }
        p->dissolved[i] =
            water ? MDR_FIG(f, MDR_QTY_DISSOLVED, at, MDR_RULE_RINSE_MIX_KG, p->dissolved[i], kept,
                            bath->liquor_l, p->i.water_bicarbonate_g_per_l)
                  : MDR_FIG(f, MDR_QTY_DISSOLVED, at, MDR_RULE_PRODUCT, p->dissolved[i], kept);
        mdr_plan_of_substance(p, p->dissolved[i], (mdr_dissolved)i);
    }
    if (p->hardness_mmol != MDR_FIG_NONE) {
        p->hardness_mmol =
            MDR_FIG(f, MDR_QTY_HARDNESS_TOTAL, at, MDR_RULE_RINSE_MIX, p->hardness_mmol, kept,
                    bath->liquor_l, p->i.water_hardness_mmol_per_l);
    }
    if (p->binding_mmol != MDR_FIG_NONE) {
        p->binding_mmol = MDR_FIG(f, MDR_QTY_BINDING, at, MDR_RULE_PRODUCT, p->binding_mmol, kept);
    }
}

/* -- pH -- */

mdr_mix mdr_plan_mix(const mdr_planner *p, double temp_c, double liquor_l)
{
    static const double G_PER_KG = 1000.0;
    mdr_mix mix = {.temp_c = temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)SUBSTANCE[i], value(p, p->dissolved[i]) * G_PER_KG / liquor_l);
    }
    return mix;
}

void mdr_plan_dissolved_inputs(const mdr_planner *p, mdr_fig_id *out)
{
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        out[i] = p->dissolved[i] != MDR_FIG_NONE ? p->dissolved[i] : p->i.absent;
    }
}

mdr_fig_id mdr_plan_ph(mdr_planner *p, mdr_qty qty, mdr_where at, mdr_fig_id temp,
                       mdr_fig_id liquor)
{
    if (p->f->failed || !(value(p, liquor) > 0.0)) {
        return MDR_FIG_NONE;
    }
    p->mix = mdr_plan_mix(p, value(p, temp), value(p, liquor));
    if (!mdr_mix_known(&p->mix)) {
        return MDR_FIG_NONE;
    }
    mdr_fig_id in[2 + MDR_DISSOLVED_COUNT] = {temp, liquor};
    mdr_plan_dissolved_inputs(p, in + 2);
    return mdr_fig_rule(p->f, qty, at, MDR_RULE_PH, in, 2 + MDR_DISSOLVED_COUNT);
}

/* The bath has another composition or temperature after such a step. */
static bool changes(const mdr_plan_step *step)
{
    switch (step->asked->kind) {
    case MDR_STEP_FILL:
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
    case MDR_STEP_RINSE:
        return true;
    case MDR_STEP_DOSE:
        return step->n_items > 0;
    case MDR_STEP_LOAD:
    case MDR_STEP_HOLD:
    case MDR_STEP_CHECK:
    case MDR_STEP_DRAIN:
    case MDR_STEP_UNLOAD:
        break;
    }
    return false;
}

/* Catalase destroys what it can, where it works. */
static void catalase(mdr_planner *p, mdr_plan_bath *bath, const mdr_plan_step *step, mdr_where at)
{
    for (int i = 0; i < step->n_items; i++) {
        const mdr_plan_item *item = &step->items[i];
        const mdr_material *m = item->material;
        if (m->substance != MDR_SUB_CATALASE || !(m->capacity_mg_per_g > 0.0)) {
            continue;
        }
        const double temp_c = value(p, p->chem_temp);
        const bool ph_fits =
            p->ph == MDR_FIG_NONE || mdr_peroxide_catalase_ph_fits(value(p, p->ph));
        if (!ph_fits || !mdr_peroxide_catalase_temp_fits(temp_c)) {
            MDR_PLAN_WARN(p, MDR_WARN_CATALASE_WINDOW, at, p->ph, mdr_arg_number(temp_c, 0),
                          mdr_arg_number(value(p, p->ph), 1),
                          mdr_arg_number(MDR_PEROXIDE_CATALASE_PH_MIN, 0),
                          mdr_arg_number(MDR_PEROXIDE_CATALASE_PH_MAX, 0),
                          mdr_arg_number(MDR_PEROXIDE_CATALASE_MAX_C, 0));
            continue;
        }
        if (p->dissolved[MDR_IN_H2O2] == MDR_FIG_NONE) {
            continue;
        }
        const mdr_fig_id capacity = mdr_fig_input(
            p->f, m->capacity_mg_per_g, "mg/g", "Peroxide that 1 g destroys",
            (mdr_fig_source){
                .table = "material", .record_id = m->material_id, .field = "capacity_mg_per_g"});
        const double before = value(p, p->dissolved[MDR_IN_H2O2]);
        at.item = (int16_t)(i + 1);
        p->dissolved[MDR_IN_H2O2] =
            MDR_FIG(p->f, MDR_QTY_PEROXIDE_AFTER, at, MDR_RULE_AFTER_CATALASE,
                    p->dissolved[MDR_IN_H2O2], item->mass_kg, capacity, bath->liquor_l);
        mdr_plan_consume(p, bath, MDR_SUB_H2O2,
                         before > 0.0 ? value(p, p->dissolved[MDR_IN_H2O2]) / before : 1.0);
    }
}

static void what_a_check_reads(mdr_planner *p, const mdr_plan_bath *bath, mdr_plan_step *step,
                               mdr_where at)
{
    const mdr_check_kind kind = step->asked->check.kind;
    if ((kind == MDR_CHECK_PH || kind == MDR_CHECK_CORE_PH) && p->ph != MDR_FIG_NONE) {
        step->ph_cold = mdr_plan_ph(p, MDR_QTY_PH_COLD, at, p->i.cold_reading, bath->liquor_l);
    }
    if (kind == MDR_CHECK_PEROXIDE && p->dissolved[MDR_IN_H2O2] != MDR_FIG_NONE) {
        step->peroxide_mg_per_l = MDR_FIG(p->f, MDR_QTY_PEROXIDE, at, MDR_RULE_MG_PER_L,
                                          p->dissolved[MDR_IN_H2O2], bath->liquor_l);
    }
}

void mdr_plan_chem_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at)
{
    const mdr_step_kind kind = step->asked->kind;
    at.item = 0;
    if (value(p, bath->liquor_l) > 0.0 && mdr_plan_works_in_liquor(bath->asked)) {
        const mdr_fig_id from = p->chem_temp;
        const mdr_fig_id minutes = mdr_plan_chem_interval(p, bath, step, at);
        const bool reacted = mdr_plan_react_step(p, bath, step, at, from, minutes);
        if (changes(step) || reacted) {
            p->ph = mdr_plan_ph(p, MDR_QTY_PH, at, p->chem_temp, bath->liquor_l);
        }
    }
    if (kind != MDR_STEP_LOAD && kind != MDR_STEP_UNLOAD && kind != MDR_STEP_DRAIN) {
        step->ph = p->ph;
        step->ph_uncertainty = p->ph != MDR_FIG_NONE ? mdr_equil_uncertainty_ph(&p->mix) : 0.0;
    }
    catalase(p, bath, step, at);
    if (kind == MDR_STEP_CHECK) {
        what_a_check_reads(p, bath, step, at);
    }
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        step->dissolved_kg[i] = p->dissolved[i];
    }
}
