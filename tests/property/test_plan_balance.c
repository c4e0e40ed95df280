/*
 * 1,000 random lots x routes x machines: water, mass, salt and alkali balances close, every figure
 * is its rule applied to figures before it, and no step breaks a limit of the machine unnoticed.
 * The balances are computed here from what the plan says was given and drained, not by its code.
 */
#include "t.h"

#include <string.h>

#include "core/units/mdr_strength.h"
#include "plan_kit.h"

enum { ROUNDS = 1000, BATHS = 12, STEPS = 14 };

/* Deterministic: the same thousand everywhere. Numerical Recipes' quick generator. */
static uint32_t seed = 20261125u;
static double draw(double low, double high)
{
    seed = seed * 1664525u + 1013904223u;
    return low + (high - low) * ((double)(seed >> 8) / 16777216.0);
}
static int pick(int n)
{
    return (int)draw(0, n) % n;
}

/* A random case with everything it points at. */
typedef struct trial {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_route_item items[BATHS * STEPS];
    int n_items;
    mdr_route_step steps[BATHS][STEPS];
    mdr_route_bath baths[BATHS];
    mdr_route_stage stage;
    mdr_route route;
} trial;

static void random_machine(trial *t)
{
    mdr_machine *m = &t->machine;
    *m = kit_machine();
    m->tubes = 1 + pick(8);
    m->liquor_min_l = draw(500, 9000);
    m->liquor_max_l = m->liquor_min_l + draw(100, 9000);
    m->ratio_min_l_per_kg = draw(3, 12);
    m->temp_max_c = draw(90, 140);
    m->drain_temp_max_c = draw(60, 100);
    m->exchanger_kw_per_k = draw(2, 60);
    m->circulation_l_per_min = pick(2) ? draw(500, 6000) : 0.0;
    m->steam_max_kg_per_h = draw(300, 6000);
    m->heat_max_c_per_min = draw(0.5, 5);
    m->cool_max_c_per_min = draw(0.5, 5);
    m->tank_l = draw(50, 1500);
    m->tank_water = pick(2);
    m->speed_max_m_per_min = draw(150, 400);
    t->site = kit_site();
    t->site.hot_water_c = pick(3) ? draw(40, 80) : 0.0;
    t->site.hardness_dh = draw(0, 25);
    t->site.alkalinity_mmol_per_l = pick(4) ? draw(0.2, 6) : 0.0;
}

static mdr_route_step random_dose(trial *t)
{
    static const char *const IDS[] = {
        "salt", "glauber10",  "soda", "caustic", "caustic38be", "peroxide", "acid",
        "soap", "dithionite", "nacl", "formic",  "seq",         "catalase"};
    mdr_route_item *item = &t->items[t->n_items++];
    const char *id = IDS[pick((int)N_OF(IDS))];
    *item = kit_item(id, MDR_BASIS_G_PER_L, draw(0.1, 30));
    switch (pick(10)) {
    case 0:
        *item = kit_item(id, MDR_BASIS_PCT_OWF, draw(0.1, 5));
        break;
    case 1:
        *item = kit_item("acid", MDR_BASIS_NEUTRALISE, draw(0.5, 1.2));
        break;
    case 2:
        *item = kit_item("", MDR_BASIS_RECIPE, 1.0);
        break;
    case 3:
        *item = kit_item("soda", MDR_BASIS_DYE_TABLE, 1.0);
        item->dye_table = MDR_DYE_TABLE_ALKALI;
        break;
    case 4:
        *item = kit_item("caustic", MDR_BASIS_ML_PER_L, draw(0.2, 4));
        break;
    case 5:
        *item = kit_item("seq", MDR_BASIS_SEQUESTER, draw(0.5, 1.2));
        break;
    case 6:
        *item = kit_item("catalase", MDR_BASIS_CATALASE, draw(0.5, 1.2));
        break;
    case 7:
        *item = kit_item("peroxide", MDR_BASIS_OXIDISE, draw(0.5, 1.2));
        break;
    default:
        item->of_active = pick(2) == 1;
        break;
    }
    mdr_route_step dose = kit_dose(item, draw(1, 60));
    const bool need = item->basis == MDR_BASIS_NEUTRALISE || item->basis == MDR_BASIS_SEQUESTER ||
                      item->basis == MDR_BASIS_CATALASE || item->basis == MDR_BASIS_OXIDISE;
    dose.share_pct = need || pick(2) ? 100 : draw(10, 60);
    dose.with_next = pick(5) == 0;
    return dose;
}

static mdr_route_step random_step(trial *t)
{
    switch (pick(6)) {
    case 0:
        return kit_heat(draw(30, 130), pick(2) ? draw(0.5, 4) : 0);
    case 1:
        return kit_cool(draw(25, 90), pick(2) ? draw(0.5, 4) : 0);
    case 2:
        return kit_hold(draw(1, 60));
    case 3:
        return kit_rinse(draw(2, 30), pick(2) ? draw(50, 600) : 0);
    default:
        return random_dose(t);
    }
}

static void random_route(trial *t)
{
    const int n_baths = 1 + pick(BATHS);
    t->n_items = 0;
    for (int b = 0; b < n_baths; b++) {
        const int inner = 1 + pick(STEPS - 3);
        int n = 0;
        const bool goes_on =
            b > 0 && t->baths[b - 1].steps[t->baths[b - 1].n_steps - 1].kind != MDR_STEP_DRAIN;
        if (!goes_on) {
            t->steps[b][n] = kit_fill(pick(2) ? draw(20, 130) : 0);
            t->steps[b][n].ratio_l_per_kg = pick(3) == 0 ? draw(4, 14) : 0.0;
            n++;
        }
        for (int i = 0; i < inner; i++) {
            t->steps[b][n++] = random_step(t);
        }
        t->steps[b][n++] = kit_hold(1); /* a dose that runs beside has something to run beside */
        if (b == n_baths - 1 || pick(5) > 0) {
            t->steps[b][n++] = kit_drain();
        }
        t->baths[b] = (mdr_route_bath){.name = "Random bath", .steps = t->steps[b], .n_steps = n};
    }
    t->stage = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                 .name = "Random",
                                 .from_route = "",
                                 .from_stage = "",
                                 .baths = t->baths,
                                 .n_baths = n_baths};
    t->route = (mdr_route){.route_id = "R1",
                           .name = "Random",
                           .purpose = "",
                           .version = 1,
                           .dye_class = MDR_CLASS_REACTIVE,
                           .stages = &t->stage,
                           .n_stages = 1};
}

static const mdr_plan *plan_of(trial *t, mdr_arena *arena)
{
    random_machine(t);
    random_route(t);
    kit_lot_make(&t->lot, draw(40, 1500), draw(3, 14), false);
    const mdr_plan_in in = {.lot = &t->lot.lot,
                            .machine = &t->machine,
                            .route = &t->route,
                            .site = &t->site,
                            .materials = kit_materials,
                            .n_materials = kit_materials_count,
                            .tables = kit_tables,
                            .n_tables = kit_tables_count};
    const mdr_plan *plan = NULL;
    mdr_err err = {0};
    if (mdr_plan_make(&in, arena, &plan, &err) != MDR_OK) {
        fail_msg("%s (%s)", err.msg, err.place);
    }
    return plan;
}

static double val(const mdr_plan *p, mdr_fig_id id)
{
    return mdr_fig_value(&p->figs, id);
}

#define CLOSE(a, b, scale) CHECK_NEAR((a) / (scale), (b) / (scale), 1e-9, "D: conservation")

static void water_closes(const mdr_plan *p)
{
    double in_l = 0;
    double out_l = 0;
    double kept_l = 0;
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        double added_l = 0;
        double tank_l = 0;
        for (int s = 0; s < bath->n_steps; s++) {
            const mdr_plan_step *step = &bath->steps[s];
            if (step->asked->kind != MDR_STEP_DOSE) {
                continue;
            }
            double liquids_l = 0;
            for (int i = 0; i < step->n_items; i++) {
                const mdr_material *m = step->items[i].material;
                if (mdr_form_is_liquid((mdr_form)m->form)) {
                    const double density = m->density_kg_per_l > 0
                                               ? m->density_kg_per_l
                                               : 0.99904 * 145.0 / (145.0 - m->baume);
                    liquids_l += val(p, step->items[i].mass_kg) / density;
                }
            }
            tank_l += val(p, step->tank_water_l);
            added_l += val(p, step->tank_water_l) + liquids_l;
            CHECK_NEAR(val(p, step->volume_l), val(p, step->tank_water_l) + liquids_l,
                       1e-4 * (1 + liquids_l),
                       "D: an addition is its water and its liquids (density of water at 60 degF "
                       "0.99904)");
        }
        CLOSE(val(p, bath->additions_l), added_l, fmax(1.0, added_l) * 1e5);
        const double there_l = kept_l + val(p, bath->fill_l) + val(p, bath->additions_l);
        CLOSE(val(p, bath->final_l), there_l, fmax(1.0, there_l));
        CLOSE(val(p, bath->carried_l), kept_l, fmax(1.0, kept_l));
        kept_l = there_l;
        if (bath->drained_l != MDR_FIG_NONE) {
            CLOSE(val(p, bath->drained_l) + val(p, bath->retained_l), there_l, fmax(1.0, there_l));
            kept_l = val(p, bath->retained_l);
            out_l += val(p, bath->drained_l);
        }
        CLOSE(val(p, bath->water_l), val(p, bath->fill_l) + val(p, bath->rinse_l) + tank_l,
              1.0 + val(p, bath->water_l));
        in_l += val(p, bath->fill_l) + val(p, bath->additions_l);
    }
    CLOSE(in_l, out_l + kept_l, fmax(1.0, in_l));
}

static const mdr_plan_mass *mass_of(const mdr_plan_bath *bath, const mdr_material *m)
{
    for (int i = 0; i < bath->n_masses; i++) {
        if (bath->masses[i].material == m) {
            return &bath->masses[i];
        }
    }
    return NULL;
}

static double dosed_active(const mdr_plan *p, const mdr_plan_bath *bath, const mdr_material *m)
{
    double kg = 0;
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            if (bath->steps[s].items[i].material == m) {
                const double strength =
                    m->baume > 0 ? 32.21 /* 38 degBe: naoh_baume_to_conc.csv */ : m->strength_pct;
                const double active = val(p, bath->steps[s].items[i].mass_kg) * strength / 100.0;
                CHECK_NEAR(val(p, bath->steps[s].items[i].active_kg), active, 1e-3 * active + 1e-12,
                           "D: strength (38 degBe is 32.21 %, Perry)");
                kg += val(p, bath->steps[s].items[i].active_kg);
            }
        }
    }
    return kg;
}

/* Of each product, what goes in comes out, stays, or was used up by a reaction; and what a bath
 * leaves the next one finds, in the liquor and on the fibre. */
static void masses_close(const mdr_plan *p)
{
    for (int k = 0; k < kit_materials_count; k++) {
        const mdr_material *m = kit_materials[k];
        double carried = 0;
        double loose = 0;
        double in_kg = 0;
        double out_kg = 0;
        for (int b = 0; b < p->n_baths; b++) {
            const double dosed = dosed_active(p, &p->baths[b], m);
            const mdr_plan_mass *row = mass_of(&p->baths[b], m);
            if (row == NULL) {
                CHECK_NEAR(carried + loose + dosed, 0, 1e-12,
                           "D: no row only when there is nothing");
                continue;
            }
            const double there = carried + loose + dosed;
            const double gone = row->consumed_kg + row->drained_kg + row->rinsed_kg + row->fixed_kg;
            CLOSE(row->carried_in_kg, carried, fmax(1e-6, there));
            CLOSE(row->fibre_in_kg, loose, fmax(1e-6, there));
            CLOSE(row->dosed_kg, dosed, fmax(1e-6, there));
            CLOSE(gone + row->fibre_out_kg + row->carried_out_kg, there, fmax(1e-6, there));
            assert_true(row->consumed_kg >= -1e-12 && row->drained_kg >= 0 && row->rinsed_kg >= 0 &&
                        row->fixed_kg >= 0 && row->fibre_out_kg >= 0 && row->carried_out_kg >= 0);
            assert_true(m->is_dye || (row->fixed_kg <= 0 && row->fibre_out_kg <= 0));
            carried = row->carried_out_kg;
            loose = row->fibre_out_kg;
            in_kg += dosed;
            out_kg += gone;
        }
        CLOSE(in_kg, out_kg + carried + loose, fmax(1e-6, in_kg));
    }
}

/* What a bath was left with of a bath's own substances, kg, by the rows of its products. */
static double left_of(const mdr_plan_bath *bath, int substance)
{
    double kg = 0;
    for (int i = 0; i < bath->n_masses; i++) {
        if (bath->masses[i].material->substance == substance) {
            kg += bath->masses[i].carried_out_kg + bath->masses[i].drained_kg;
        }
    }
    return kg;
}

/* What is dissolved in the end is what the rows of the products say, by another path. Sulphate is
 * also made, by the dithionite. */
static void dissolved_is_the_ledger(const mdr_plan *p)
{
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
            if (bath->end_g_per_l[i] == MDR_FIG_NONE || i == MDR_IN_NAHCO3 || i == MDR_IN_H2SO4) {
                continue;
            }
            const double kg = val(p, bath->end_g_per_l[i]) * val(p, bath->final_l) / 1000;
            const double rows = left_of(bath, (int)mdr_dissolved_substance((mdr_dissolved)i));
            if (i == MDR_IN_NA2SO4) {
                assert_true(kg >= rows - 1e-9 * fmax(1.0, rows));
            } else {
                CLOSE(kg, rows, fmax(1e-3, rows));
            }
        }
    }
}

/* Hydrogen carbonate of the water, kg, that is left when a bath is over: brought by fills and
 * rinses, parted at drains; no product of the kit brings any. */
static double water_alkali_kg(const mdr_plan *p, const mdr_plan_bath *bath, double carried_kg)
{
    static const double NAHCO3_G_PER_MOL = 84.0066; /* [ciaaw] */
    const double g_per_l = p->site->alkalinity_mmol_per_l * NAHCO3_G_PER_MOL / 1000;
    const double fresh_l = fmax(0.0, val(p, bath->liquor_l) - val(p, bath->carried_l));
    double kg = carried_kg + (bath->continues ? 0.0 : fresh_l * g_per_l / 1000);
    for (int s = 0; s < bath->n_steps; s++) {
        if (bath->steps[s].kept_fraction != MDR_FIG_NONE) {
            const double kept = val(p, bath->steps[s].kept_fraction);
            kg = kg * kept + val(p, bath->liquor_l) * g_per_l / 1000 * (1 - kept);
        }
    }
    if (bath->drained_l != MDR_FIG_NONE) {
        kg *= val(p, bath->retained_l) / val(p, bath->final_l);
    }
    return kg;
}

/* Acid that is in the liquor when the bath begins without a product that brought it: no product of
 * the trials is sulphuric acid. */
static double made_mol(const mdr_plan *p, const mdr_plan_bath *bath)
{
    return val(p, bath->start_kg[MDR_IN_H2SO4]) * mdr_substance_acid_mol_per_kg(MDR_SUB_H2SO4);
}

/* The equivalents at the start are those of the masses and the water, by another path. */
static void alkali_closes(const mdr_plan *p)
{
    double from_water_kg = 0;
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        double alkali = from_water_kg * mdr_substance_alkali_mol_per_kg(MDR_SUB_NAHCO3);
        double acid = 0;
        for (int i = 0; i < bath->n_masses; i++) {
            const mdr_plan_mass *row = &bath->masses[i];
            alkali +=
                row->carried_in_kg * mdr_substance_alkali_mol_per_kg(row->material->substance);
            acid += row->carried_in_kg * mdr_substance_acid_mol_per_kg(row->material->substance);
        }
        /* what is left when both have met; the reduction leaves acid behind that no product brought */
        const double net = alkali - acid - made_mol(p, bath);
        const double scale = fmax(1e-3, fmax(alkali, acid));
        CHECK_NEAR(val(p, bath->carried_alkali_mol) / scale, fmax(0, net) / scale, 1e-5,
                   "D: conservation");
        CHECK_NEAR(val(p, bath->carried_acid_mol) / scale, fmax(0, -net) / scale, 1e-5,
                   "D: conservation");
        from_water_kg = water_alkali_kg(p, bath, from_water_kg);
    }
}

/* Calcium and magnesium of water and fabric: nothing is lost but down the drain; a sequestrant's
 * need leaves no hardness unless rinses or other baths follow. */
static void hardness_is_sound(const mdr_plan *p)
{
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        if (bath->hardness_total_dh != MDR_FIG_NONE) {
            const double total = val(p, bath->hardness_total_dh), left = val(p, bath->hardness_dh);
            assert_true(left >= 0 && left <= total * (1 + 1e-12));
            assert_true(total > 0 && total < 500);
        }
    }
}

/* Reactions only take; an end is never above what was given and carried. */
static void reactions_only_take(const mdr_plan *p)
{
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        for (int i = 0; i < bath->n_masses; i++) {
            const mdr_plan_mass *row = &bath->masses[i];
            const int substance = row->material->substance;
            assert_true(row->consumed_kg <= 1e-12 || substance == MDR_SUB_H2O2 ||
                        substance == MDR_SUB_DITHIONITE);
        }
        for (int s = 0; s < bath->n_steps; s++) {
            const mdr_plan_step *step = &bath->steps[s];
            assert_true(
                step->ph == MDR_FIG_NONE ||
                (val(p, step->ph) > 0 && val(p, step->ph) < 14.5 && step->ph_uncertainty > 0));
        }
    }
}

static void figures_are_their_rules(const mdr_plan *p)
{
    const mdr_figs *f = &p->figs;
    for (mdr_fig_id id = 0; id < f->count; id++) {
        const mdr_fig *fig = mdr_fig_at(f, id);
        assert_true(isfinite(fig->value));
        if (fig->rule < 0) {
            assert_non_null(fig->table);
            continue;
        }
        double in[256];
        assert_true(fig->n_inputs < 256);
        for (int i = 0; i < fig->n_inputs; i++) {
            assert_true(f->pool[fig->inputs + i] <
                        id); /* no figure rests on a later one: no circles */
            in[i] = mdr_fig_value(f, f->pool[fig->inputs + i]);
        }
        CHECK_NEAR(mdr_rule_of((mdr_rule)fig->rule)->compute(in, fig->n_inputs), fig->value, 0,
                   "D: a figure is its rule");
    }
}

/* A key names one computed figure; inputs read twice from one field carry the same value. */
static void keys_are_unique(const mdr_plan *p)
{
    const mdr_figs *f = &p->figs;
    char key[160];
    for (mdr_fig_id id = 0; id < f->count; id++) {
        (void)mdr_fig_key(f, id, key, sizeof key);
        const mdr_fig_id first = mdr_fig_find(f, key);
        if (first != id) {
            if (mdr_fig_at(f, id)->rule >= 0) {
                fail_msg("two figures are called %s", key);
            }
            CHECK_NEAR(mdr_fig_value(f, id), mdr_fig_value(f, first), 0, "D: one field, one value");
        }
    }
}

static bool warned(const mdr_plan *p, mdr_warn_id id, int bath, int step)
{
    for (int i = 0; i < p->n_warns; i++) {
        const mdr_warn *w = &p->warns[i];
        if (w->id == id && (bath == 0 || w->at.bath == bath) && (step == 0 || w->at.step == step)) {
            return true;
        }
    }
    return false;
}

/* Said of the lot as a whole. */
static bool warned_of_lot(const mdr_plan *p, mdr_warn_id id)
{
    for (int i = 0; i < p->n_warns; i++) {
        if (p->warns[i].id == id && p->warns[i].at.bath == 0) {
            return true;
        }
    }
    return false;
}

static void step_limits(const mdr_plan *p, const mdr_plan_bath *bath, int s)
{
    const mdr_machine *m = p->machine;
    const mdr_plan_step *step = &bath->steps[s];
    const int b = bath->number;
    const double minutes = val(p, step->minutes);
    const double rise = fabs(val(p, step->temp_end_c) - val(p, step->temp_start_c));
    const bool ramp = step->asked->kind == MDR_STEP_HEAT || step->asked->kind == MDR_STEP_COOL;
    assert_true(minutes >= 0);
    if (step->asked->kind == MDR_STEP_FILL && step->asked->has_temp &&
        step->asked->temp_c > m->temp_max_c) {
        assert_true(warned(p, MDR_WARN_TEMP_OVER, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_RINSE) {
        assert_true(val(p, step->volume_l) <=
                    m->rinse_l_per_min * step->asked->minutes * (1 + 1e-9));
        assert_true((step->asked->flow_l_per_min > m->rinse_l_per_min) ==
                    warned(p, MDR_WARN_RINSE_FLOW, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_FILL && step->asked->ratio_l_per_kg > 0) {
        const double ratio = step->asked->ratio_l_per_kg;
        assert_true((ratio < m->ratio_min_l_per_kg) == warned(p, MDR_WARN_RATIO_UNDER, b, 0));
        assert_true((ratio * val(p, p->load_kg) < m->liquor_min_l * (1 - 1e-9)) ==
                    warned(p, MDR_WARN_RATIO_RAISED, b, 0));
    }
    CHECK_NEAR(val(p, step->end_min), val(p, step->start_min) + minutes, 1e-9,
               "D: end = start + minutes");
    if (val(p, step->temp_end_c) > m->temp_max_c && ramp && rise > 0) {
        assert_true(warned(p, MDR_WARN_TEMP_OVER, b, s + 1));
    }
    if (ramp && rise > 0) {
        const double most =
            step->asked->kind == MDR_STEP_HEAT ? m->heat_max_c_per_min : m->cool_max_c_per_min;
        assert_true(rise / minutes <=
                    most * (1 + 1e-9)); /* never steeper than the control allows */
        if (step->asked->rate_c_per_min > 0 &&
            minutes > 1.06 * rise / step->asked->rate_c_per_min + 0.6) {
            assert_true(warned(p, MDR_WARN_RAMP_SLOWER, b, s + 1) ||
                        warned(p, MDR_WARN_NOT_REACHED, b, s + 1) ||
                        warned(p, MDR_WARN_RATE_OVER, b, s + 1));
        }
    }
    if (step->asked->kind == MDR_STEP_DRAIN && val(p, step->temp_start_c) > m->drain_temp_max_c) {
        assert_true(warned(p, MDR_WARN_DRAIN_HOT, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_DOSE && val(p, step->least_minutes) > minutes * (1 + 1e-9)) {
        assert_true(warned(p, MDR_WARN_TANK_TIME, b, s + 1));
    }
    if (step->beside) {
        const mdr_plan_step *last = &bath->steps[bath->n_steps - 1];
        if (last->asked->kind == MDR_STEP_DRAIN &&
            val(p, step->end_min) > val(p, last->start_min) + 1e-6) {
            assert_true(warned(p, MDR_WARN_DOSE_OUTLIVES, b, bath->n_steps));
        }
    }
}

static void limits_are_noticed(const mdr_plan *p)
{
    const mdr_machine *m = p->machine;
    const double load_kg = val(p, p->load_kg);
    assert_true((load_kg > m->load_max_kg) == warned_of_lot(p, MDR_WARN_LOAD_OVER));
    assert_true((load_kg < m->load_min_kg) == warned_of_lot(p, MDR_WARN_LOAD_UNDER));
    assert_true((p->lot->ratio_l_per_kg < m->ratio_min_l_per_kg) ==
                warned_of_lot(p, MDR_WARN_RATIO_UNDER));
    assert_true((load_kg * p->lot->ratio_l_per_kg < m->liquor_min_l) ==
                warned_of_lot(p, MDR_WARN_RATIO_RAISED));
    assert_true((val(p, p->cycle_min) > m->cycle_max_min) == warned_of_lot(p, MDR_WARN_CYCLE));
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        if (val(p, bath->final_l) > m->liquor_max_l + 1e-3) {
            assert_true(warned(p, MDR_WARN_LIQUOR_OVER, b + 1, 0));
        }
        if (!bath->continues && val(p, bath->final_l) > val(p, bath->liquor_l) + 1e-3) {
            assert_true(warned(p, MDR_WARN_ADDITIONS_OVER, b + 1, 0) ||
                        warned(p, MDR_WARN_CARRIED_OVER, b + 1, 0));
        }
        const double begun_l = val(p, bath->carried_l) + val(p, bath->fill_l);
        if (!bath->continues && begun_l < 0.98 * m->liquor_min_l - 1e-6) {
            assert_true(warned(p, MDR_WARN_CIRCULATION, b + 1, 0));
        }
        for (int s = 0; s < bath->n_steps; s++) {
            step_limits(p, bath, s);
        }
    }
}

static void curve_is_a_curve(const mdr_plan *p)
{
    assert_true(p->n_points > 2);
    for (int i = 0; i < p->n_points; i++) {
        assert_true(isfinite(p->curve[i].temp_c) && p->curve[i].temp_c > 0 &&
                    p->curve[i].temp_c < 160);
        assert_true(i == 0 || p->curve[i].t_min >= p->curve[i - 1].t_min - 1e-9);
    }
    CHECK_NEAR(p->curve[p->n_points - 1].t_min, val(p, p->total_min), 1e-6,
               "D: the curve ends with the lot");
}

static void a_thousand_plans(void **state)
{
    (void)state;
    static trial t;
    int warnings = 0;
    for (int i = 0; i < ROUNDS; i++) {
        mdr_arena *arena = mdr_arena_new(64u << 20);
        assert_non_null(arena);
        const mdr_plan *p = plan_of(&t, arena);
        water_closes(p);
        masses_close(p);
        alkali_closes(p);
        dissolved_is_the_ledger(p);
        hardness_is_sound(p);
        reactions_only_take(p);
        if (i % 4 == 0) { /* as long as planning again */
            figures_are_their_rules(p);
        }
        if (i < 12) { /* quadratic */
            keys_are_unique(p);
        }
        limits_are_noticed(p);
        curve_is_a_curve(p);
        warnings += p->n_warns;
        mdr_arena_free(arena);
    }
    assert_true(warnings > ROUNDS); /* the trials do run into limits */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_thousand_plans)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
