/*
 * A change of one thing changes exactly what it should: the salt, the liquor ratio, the depth of the shade.
 * Grade D throughout: derived from what rests on what, not from a number.
 */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "plan_change_kit.h"

/* -- one dose of the route in place of another -- */

static const char *new_salt;
static void swap_salt(mdr_route_item *item)
{
    if (strcmp(item->material_id, "GLAUBER") == 0) {
        item->material_id = new_salt;
    }
}

static int new_swap;
/* The tables' own rule for the swap, and all salts of the mill at hand. */
static void with_salt(kit_desk *d)
{
    edit_route(d, swap_salt);
    mdr_dose_table *tables = MDR_NEW_N(d->arena, mdr_dose_table, (size_t)d->in.n_tables);
    const mdr_dose_table **list =
        MDR_NEW_N(d->arena, const mdr_dose_table *, (size_t)d->in.n_tables);
    for (int i = 0; i < d->in.n_tables; i++) {
        tables[i] = *d->in.tables[i];
        tables[i].swap = new_swap;
        list[i] = &tables[i];
    }
    d->in.tables = list;
    const int n = kit_app->masters.n_materials;
    const mdr_material **all = MDR_NEW_N(d->arena, const mdr_material *, (size_t)n);
    for (int i = 0; i < n; i++) {
        all[i] = &kit_app->masters.materials[i];
    }
    d->in.materials = all;
    d->in.n_materials = n;
}

static void salt_type(void **state)
{
    (void)state;
    const struct {
        const char *salt;
        int swap;
        double active, delivered; /* kg for 1 kg of sodium sulphate */
    } rows[] = {{"SALT", MDR_SWAP_MASS, 1, 1},
                {"SALT", MDR_SWAP_SODIUM, 2 * 58.443 / 142.042, 2 * 58.443 / 142.042},
                {"SALT", MDR_SWAP_IONIC, 3 * 58.443 / 142.042, 3 * 58.443 / 142.042},
                {"GLAUBER-10", MDR_SWAP_MASS, 1, 0.99 / 0.44084}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_desk d;
        new_salt = rows[i].salt;
        new_swap = rows[i].swap;
        const mdr_plan *before = before_and_after(&d, REACTIVE, NULL, with_salt);
        int was_in = 0, is_in = 0;
        const mdr_plan_item *was = item_of(before, "GLAUBER", &was_in);
        const mdr_plan_item *is = item_of(d.plan, rows[i].salt, &is_in);
        assert_int_equal(was_in, is_in);
        CHECK_NEAR(val(d.plan, is->active_kg) / val(before, was->active_kg), rows[i].active, 1e-4,
                   "D: docs/methods/salt-and-alkali.md#one-salt-for-another");
        CHECK_NEAR(val(d.plan, is->mass_kg) / val(before, was->mass_kg), rows[i].delivered, 1e-4,
                   "D: as delivered, both salts 99 %");
        const mdr_plan_bath *dyed = &before->baths[was_in - 1], *now = &d.plan->baths[is_in - 1];
        for (int s = 0; s < dyed->n_steps; s++) {
            if (dyed->steps[s].ph != MDR_FIG_NONE) {
                CHECK_NEAR(val(d.plan, now->steps[s].ph), val(before, dyed->steps[s].ph), 0.2,
                           "D: the salt moves the pH a little");
            }
        }
        same_before(before, d.plan, d.arena, was_in);
        kit_desk_close(&d);
    }
    CHECK_NEAR(322.20 / 142.04, 2.2684, 5e-5, "D: decahydrate for anhydrous");
}

/* -- liquor ratio -- */

static void longer_liquor(kit_desk *d)
{
    d->desk.full.lot.ratio_l_per_kg = 10;
}

/* Each dose by its own sense of an amount. */
static void liquor_ratio(void **state)
{
    (void)state;
    kit_desk d;
    const mdr_plan *before = before_and_after(&d, REACTIVE, NULL, longer_liquor);
    int by_litre = 0, by_kg = 0, dyes = 0;
    for (int b = 0; b < before->n_baths; b++) {
        for (int s = 0; s < before->baths[b].n_steps; s++) {
            for (int i = 0; i < before->baths[b].steps[s].n_items; i++) {
                const mdr_plan_item *was = &before->baths[b].steps[s].items[i];
                const mdr_plan_item *is = &d.plan->baths[b].steps[s].items[i];
                const double times = val(d.plan, is->mass_kg) / val(before, was->mass_kg);
                const mdr_basis basis = was->asked->basis;
                if (basis == MDR_BASIS_G_PER_L || basis == MDR_BASIS_DYE_TABLE) {
                    by_litre++;
                    CHECK_NEAR(times, 10.0 / 8.0, 1e-12, "D: g/L x liquor");
                } else if (basis == MDR_BASIS_PCT_OWF || basis == MDR_BASIS_RECIPE) {
                    by_kg++;
                    dyes += was->material->is_dye ? 1 : 0;
                    CHECK_NEAR(times, 1, 1e-12, "D: of the fabric");
                }
            }
        }
        const mdr_plan_bath *was = &before->baths[b], *is = &d.plan->baths[b];
        const bool carried = b > 0 && before->baths[b - 1].end_g_per_l[MDR_IN_NA2SO4] >= 0;
        if (carried && was->start_g_per_l[MDR_IN_NA2SO4] != MDR_FIG_NONE && !was->continues) {
            CHECK_NEAR(val(before, was->start_g_per_l[MDR_IN_NA2SO4]),
                       val(before, before->baths[b - 1].end_g_per_l[MDR_IN_NA2SO4]) * 2.5 / 8, 1e-9,
                       "D: carried 2.5 of 8 L/kg");
            CHECK_NEAR(val(d.plan, is->start_g_per_l[MDR_IN_NA2SO4]),
                       val(d.plan, d.plan->baths[b - 1].end_g_per_l[MDR_IN_NA2SO4]) * 2.5 / 10,
                       1e-9, "D: carried 2.5 of 10 L/kg");
        }
    }
    assert_true(by_litre > 8 && by_kg > 3 && dyes == 3);
    /* loose dye as made: of the dye, not of the liquor */
    int bath = 0;
    (void)item_of(before, "GLAUBER", &bath);
    CHECK_NEAR(val(d.plan, d.plan->baths[bath - 1].loose_mg_per_kg),
               val(before, before->baths[bath - 1].loose_mg_per_kg), 1e-9, "D: of the dye");
    kit_desk_close(&d);
}

/* -- depth -- */

static double scale;
static void deeper(kit_desk *d)
{
    mdr_shade *shade = MDR_NEW(d->arena, mdr_shade);
    const mdr_shade *was = d->desk.full.lot.shade;
    mdr_recipe_dye *dyes = MDR_NEW_N(d->arena, mdr_recipe_dye, (size_t)was->n_dyes);
    *shade = *was;
    for (int i = 0; i < was->n_dyes; i++) {
        dyes[i] = was->dyes[i];
        dyes[i].depth_pct_owf *= scale;
    }
    shade->dyes = dyes;
    d->desk.full.lot.shade = shade;
}

static double total_kg(const mdr_plan *p, int substance)
{
    double kg = 0;
    for (int i = 0; i < p->n_totals; i++) {
        kg += p->totals[i].material->substance == substance ? val(p, p->totals[i].mass_kg) : 0;
    }
    return kg;
}

static void depth(void **state)
{
    (void)state;
    static const double SCALES[] = {0.1, 0.3, 0.6, 0.9, 1.0, 1.1};
    double salt_before = 0, soda_before = 0;
    for (size_t i = 0; i < N_OF(SCALES); i++) {
        kit_desk d;
        scale = SCALES[i];
        const mdr_plan *before = before_and_after(&d, REACTIVE, NULL, deeper);
        int bath = 0;
        (void)item_of(before, "GLAUBER", &bath);
        same_before(before, d.plan, d.arena, bath);
        CHECK_NEAR(total_kg(d.plan, MDR_SUB_DYE) / total_kg(before, MDR_SUB_DYE), scale, 1e-12,
                   "D: dye by its depth");
        CHECK_NEAR(val(d.plan, d.plan->baths[bath - 1].loose_mg_per_kg) /
                       val(before, before->baths[bath - 1].loose_mg_per_kg),
                   scale, 1e-12, "D: loose dye is a part of the dye");
        CHECK_NEAR(val(d.plan, d.plan->foot.total.dye_kg) / val(before, before->foot.total.dye_kg),
                   scale, 1e-12, "D: and so is dye to the drain");
        const double salt = total_kg(d.plan, MDR_SUB_NA2SO4);
        const double soda = total_kg(d.plan, MDR_SUB_NA2CO3);
        assert_true(salt >= salt_before && soda >= soda_before); /* SODA-A falls from 1.5 % on */
        assert_true(i == 0 || salt > salt_before);
        salt_before = salt;
        soda_before = soda;
        kit_desk_close(&d);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(salt_type),
        cmocka_unit_test(liquor_ratio),
        cmocka_unit_test(depth),
    };
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
