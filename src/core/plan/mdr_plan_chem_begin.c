/* What is in the bath when it begins: carried in, brought by the water, given off by the fabric. */
#include "core/bath/mdr_sequester.h"
#include "core/plan/mdr_planner.h"
#include "core/units/mdr_strength.h"

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* Fresh water brings its hydrogen carbonate. */
static void fill_water(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at)
{
    if (p->i.water_bicarbonate_g_per_l == MDR_FIG_NONE) {
        return;
    }
    const mdr_fig_id brought =
        MDR_FIG(p->f, MDR_QTY_FROM_WATER, at, MDR_RULE_WATER_BRINGS_KG, bath->liquor_l,
                bath->carried_l, p->i.water_bicarbonate_g_per_l);
    mdr_plan_of_substance(p, brought, MDR_IN_NAHCO3);
    mdr_fig_id *there = &p->dissolved[MDR_IN_NAHCO3];
    *there = MDR_FIG(p->f, MDR_QTY_DISSOLVED, at, MDR_RULE_SUM, *there, brought);
    mdr_plan_of_substance(p, *there, MDR_IN_NAHCO3);
}

static bool is_acid(const mdr_material *m)
{
    return m->acid_mol_per_kg > 0.0 || m->substance == MDR_SUB_HAC ||
           m->substance == MDR_SUB_FORMIC || m->substance == MDR_SUB_CITRIC ||
           m->substance == MDR_SUB_H2SO4;
}

static bool is_alkali(const mdr_material *m)
{
    return m->substance == MDR_SUB_NAOH || m->substance == MDR_SUB_NA2CO3;
}

/* What kind of bath it is by its products and heat, for what the fabric gives off in it. */
static double released_part(mdr_planner *p, const mdr_route_bath *bath)
{
    static const double HOT_C = 80.0;
    bool sequestrant = false, acid = false, alkali = false, hot = false;
    for (int s = 0; s < bath->n_steps; s++) {
        const mdr_route_step *step = &bath->steps[s];
        hot = hot || (step->kind == MDR_STEP_HEAT && step->temp_c >= HOT_C);
        for (int i = 0; i < step->n_items; i++) {
            const mdr_plan_stuff *stuff = mdr_plan_stuff_of(p, step->items[i].material_id);
            if (stuff == NULL) {
                continue;
            }
            sequestrant = sequestrant || stuff->material->substance == MDR_SUB_SEQUESTRANT;
            acid = acid || is_acid(stuff->material);
            alkali = alkali || is_alkali(stuff->material);
        }
    }
    if (sequestrant && acid && !alkali) {
        return MDR_SEQUESTER_RELEASED_ACID;
    }
    return sequestrant && alkali && hot ? MDR_SEQUESTER_RELEASED_HOT_ALKALI
                                        : MDR_SEQUESTER_RELEASED_OTHER;
}

static void hardness(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    mdr_figs *f = p->f;
    const mdr_fig_id water =
        bath->continues ? MDR_FIG_NONE
                        : MDR_FIG(f, MDR_QTY_HARDNESS_WATER, at, MDR_RULE_WATER_BRINGS,
                                  bath->liquor_l, bath->carried_l, p->i.water_hardness_mmol_per_l);
    const mdr_fig_id part = mdr_fig_input(
        f, released_part(p, bath->asked), "", "Part that the fabric gives off",
        (mdr_fig_source){
            .table = "const", .record_id = "common-practice", .field = "released_part", .at = at});
    const mdr_fig_id given = MDR_FIG(f, MDR_QTY_HARDNESS_FABRIC, at, MDR_RULE_RELEASED,
                                     p->fabric_mmol_per_kg, part, p->plan->load_kg);
    p->fabric_mmol_per_kg =
        MDR_FIG(f, MDR_QTY_FABRIC_HARDNESS, at, MDR_RULE_FABRIC_LEFT, p->fabric_mmol_per_kg, part);
    p->hardness_mmol =
        MDR_FIG(f, MDR_QTY_HARDNESS_TOTAL, at, MDR_RULE_SUM, p->hardness_mmol, water, given);
}

static void electrolyte(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    static const mdr_dissolved ELECTROLYTES[] = {MDR_IN_NACL, MDR_IN_NA2SO4, MDR_IN_NA2CO3,
                                                 MDR_IN_NAOH};
    mdr_fig_id parts[4];
    int n = 0;
    for (int i = 0; i < 4; i++) {
        if (p->dissolved[ELECTROLYTES[i]] != MDR_FIG_NONE) {
            parts[n++] = p->dissolved[ELECTROLYTES[i]];
        }
    }
    if (n > 0) {
        const mdr_fig_id sum =
            mdr_fig_rule(p->f, MDR_QTY_ELECTROLYTE_KG, at, MDR_RULE_SUM, parts, n);
        bath->electrolyte_g_per_l =
            MDR_FIG(p->f, MDR_QTY_ELECTROLYTE, at, MDR_RULE_CONC, sum, bath->liquor_l);
    }
}

/* Equivalents at the start: each substance by what it takes up or gives. */
static mdr_fig_id equivalents(mdr_planner *p, mdr_qty qty, mdr_where at,
                              double (*per_kg)(int substance), const char *label)
{
    mdr_fig_id pairs[2 * MDR_DISSOLVED_COUNT];
    int n = 0;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        const double mol_per_kg = per_kg((int)mdr_dissolved_substance((mdr_dissolved)i));
        if (mol_per_kg > 0.0 && p->dissolved[i] != MDR_FIG_NONE) {
            pairs[n++] = p->dissolved[i];
            pairs[n++] =
                mdr_fig_input(p->f, mol_per_kg, "mol/kg", label,
                              (mdr_fig_source){.table = "substance",
                                               .record_id = mdr_substance_id(
                                                   mdr_dissolved_substance((mdr_dissolved)i)),
                                               .field = "equivalents_mol_per_kg"});
        }
    }
    return mdr_fig_rule(p->f, qty, at, MDR_RULE_WEIGHTED, pairs, n);
}

bool mdr_plan_works_in_liquor(const mdr_route_bath *bath)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_step_kind kind = bath->steps[i].kind;
        if (kind != MDR_STEP_LOAD && kind != MDR_STEP_UNLOAD && kind != MDR_STEP_CHECK) {
            return true;
        }
    }
    return false;
}

void mdr_plan_chem_begin(mdr_planner *p, mdr_plan_bath *bath, mdr_where at)
{
    bath->ph_start = bath->ph_end = bath->electrolyte_g_per_l = MDR_FIG_NONE;
    bath->hardness_total_dh = bath->hardness_dh = MDR_FIG_NONE;
    bath->peroxide_mg_per_l = bath->dithionite_g_per_l = bath->loose_mg_per_kg = MDR_FIG_NONE;
    const mdr_fig_id alkali = equivalents(
        p, MDR_QTY_GIVEN_ALKALI, at, mdr_substance_alkali_mol_per_kg, "Acid that 1 kg takes up");
    const mdr_fig_id acid = equivalents(p, MDR_QTY_GIVEN_ACID, at, mdr_substance_acid_mol_per_kg,
                                        "Acid that 1 kg gives");
    bath->carried_alkali_mol =
        MDR_FIG(p->f, MDR_QTY_CARRIED_ALKALI, at, MDR_RULE_LESS, alkali, acid);
    bath->carried_acid_mol = MDR_FIG(p->f, MDR_QTY_CARRIED_ACID, at, MDR_RULE_LESS, acid, alkali);
    if (!bath->continues) {
        mdr_plan_chem_fill_temp(p, bath, at);
        fill_water(p, bath, at);
    }
    const bool liquor = value(p, bath->liquor_l) > 0.0 && mdr_plan_works_in_liquor(bath->asked);
    if (liquor) {
        hardness(p, bath, at);
        electrolyte(p, bath, at);
        mdr_plan_react_begin(p, bath, at);
    }
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        bath->start_kg[i] = p->dissolved[i];
        bath->start_g_per_l[i] = bath->end_g_per_l[i] = MDR_FIG_NONE;
        if (liquor && p->dissolved[i] != MDR_FIG_NONE) {
            bath->start_g_per_l[i] = MDR_FIG(p->f, MDR_QTY_START_CONC, at, MDR_RULE_CONC,
                                             p->dissolved[i], bath->liquor_l);
            mdr_plan_of_substance(p, bath->start_g_per_l[i], (mdr_dissolved)i);
        }
    }
    if (liquor) {
        bath->ph_start = mdr_plan_ph(p, MDR_QTY_PH_START, at, p->chem_temp, bath->liquor_l);
        p->ph = bath->ph_start;
    }
}
