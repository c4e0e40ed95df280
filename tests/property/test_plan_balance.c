/* 1,000 random lots x routes x machines: water, mass, salt and alkali balances close.
 * The balances are computed here from what the plan says was given and drained, not by its code.
 */
#include "t.h"

#include "core/units/mdr_strength.h"
#include "plan_trial_kit.h"

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

static void a_thousand_balances(void **state)
{
    (void)state;
    static trial t;
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
        mdr_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_thousand_balances),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
