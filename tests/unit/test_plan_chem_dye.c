/* The chemistry of the plan, what dye is taken up, fixed and rinsed off: worked numbers by hand. */
#define _XOPEN_SOURCE 700
#include <stdio.h>

#include "t.h"

#include "plan_chem_kit.h"

/* 60 g/L of salt, four fills and drains at 8 and 2.5 L/kg: the table of rinses. */
static void rinsing(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(0), pure("salt", 60), kit_drain());
    for (int i = 0; i < 4; i++) {
        BATH(&b, kit_fill(0), kit_drain());
    }
    run(&b);
    double want = 60;
    for (int i = 1; i <= 4; i++) {
        want *= 2.5 / 8;
        CHECK_NEAR(val(&b, b.plan->baths[i].end_g_per_l[MDR_IN_NA2SO4]), want, 1e-9,
                   "D: x 2.5/8 each");
        CHECK_NEAR(val(&b, b.plan->baths[i].electrolyte_g_per_l), want, 1e-9, "D: the salt");
    }
    CHECK_NEAR(want, 0.57, 5e-3, "D: docs/methods/rinsing.md, four baths");
    kit_bench_free(&b);
}

/* However many doses the dye comes in, all of it is reduced, goes on, and is oxidised. */
static void dye_in_many_doses(void **state)
{
    (void)state;
    kit_bench b;
    mdr_material many[8];
    READY(b, MDR_CLASS_VAT);
    for (int i = 0; i < 8; i++) {
        static const char *const IDS[] = {"v1", "v2", "v3", "v4", "v5", "v6", "v7", "v8"};
        many[i] = *kit_material("vat-in");
        many[i].material_id = IDS[i];
        b.dyes[i] = (mdr_recipe_dye){&many[i], 5};
    }
    b.lot.shade.n_dyes = 8;
    mdr_route_step part = dye();
    part.share_pct = 10;
    mdr_route_step dithionite = pure("dithionite", 12);
    dithionite.minutes = 1e-6;
    BATH(&b, kit_fill(60), part, part, part, part, part, part, part, part, part, part,
         pure("caustic", 5), dithionite, kit_drain());
    for (int i = 0; i < 4; i++) {
        BATH(&b, kit_fill(0), kit_hold(60), kit_drain()); /* the air takes what is carried */
    }
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 1), kit_drain());
    run(&b);
    const mdr_plan_bath *vat = &b.plan->baths[0];
    CHECK_NEAR(val(&b, vat->steps[12].dithionite_g_per_l),
               12 - 10.08e-3 * DITHIONITE / O2 - 50 * 0.105, 2e-3, "D: 400 kg of dye, 80 items");
    CHECK_NEAR(val(&b, vat->loose_mg_per_kg), 0.02 * 400e3, 1e-6, "P: 90 less 88 % of 400 g/kg");
    CHECK_NEAR(val(&b, b.plan->baths[5].steps[1].items[0].active_kg),
               2 * 400 * 0.105 * H2O2 / DITHIONITE, 1e-3, "D: 400 kg of dye");
    kit_bench_free(&b);
}

/* Loose dye: 20 kg, 80 % on, 70 % fixed; half of it leaves in 10 min at 95 degC. */
static void wash_off(void **state)
{
    (void)state;
    for (int own = 0; own < 2; own++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        mdr_material mine = *kit_material("dye");
        mine.exhaustion_pct = 90;
        mine.fixation_pct = 84;
        b.dyes[0].dye = own == 1 ? &mine : b.dyes[0].dye;
        BATH(&b, kit_fill(60), dye(), kit_drain());
        BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
        run(&b);
        const double loose = own == 1 ? 20 * 0.06 : 20 * 0.10; /* kg */
        CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), loose * 1000, 1e-9,
                   own == 1 ? "D: 90 less 84 %" : "P: usual of reactive dyes, 80 and 70 %");
        CHECK_NEAR(val(&b, b.plan->baths[1].loose_mg_per_kg), loose * 500, 1e-6,
                   "P: half of it in 10 min at 95 degC, no electrolyte");
        const mdr_plan_mass *m = &b.plan->baths[0].masses[0];
        CHECK_NEAR(m->fixed_kg, own == 1 ? 16.8 : 14, 1e-9, "D: fixed");
        CHECK_NEAR(m->fibre_out_kg, loose, 1e-9, "D: loose on the fibre");
        CHECK_NEAR(m->drained_kg + m->carried_out_kg, own == 1 ? 2 : 4, 1e-9, "D: in the liquor");
        kit_bench_free(&b);
    }
}

/* Usual of the class; a fixation above the usual exhaustion lifts that with it. */
static void uptake_by_class(void **state)
{
    (void)state;
    const struct {
        mdr_dye_class dye_class;
        double fixation, loose_pct;
    } rows[] = {{MDR_CLASS_REACTIVE, 0, 10},
                {MDR_CLASS_DIRECT, 0, 3},
                {MDR_CLASS_VAT, 0, 2},
                {MDR_CLASS_DIRECT, 95, 0},
                {MDR_CLASS_REACTIVE, 75, 5}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, rows[i].dye_class);
        mdr_material mine = *b.dyes[0].dye;
        mine.fixation_pct = rows[i].fixation;
        b.dyes[0].dye = &mine;
        BATH(&b, kit_fill(60), dye(), kit_drain());
        run(&b);
        CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), rows[i].loose_pct * 200, 1e-9,
                   "P: exhaustion less fixation of 20 g/kg");
        char key[48];
        (void)snprintf(key, sizeof key, "material.%s.usual_exhaustion_pct", mine.material_id);
        const double shown = val(&b, mdr_fig_find(&b.plan->figs, key));
        assert_true(shown >= rows[i].fixation); /* never less goes on than stays */
        kit_bench_free(&b);
    }
}

/* Salt and alkali hold the loose dye back. */
static void electrolyte_hinders(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    BATH(&b, kit_fill(60), dye(), pure("salt", 5), pure("soda", 1.4), kit_drain());
    BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[1].electrolyte_g_per_l), 2, 1e-9, "D: 6.4 x 2.5/8");
    CHECK_NEAR(val(&b, b.plan->baths[1].loose_mg_per_kg), 2000 * sqrt(0.5), 1e-6,
               "P: half the rate at 2 g/L");
    kit_bench_free(&b);
}

/* A dye with its exhaustion alone: no more is fixed than goes on. */
static void fixed_within_exhaustion(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    mdr_material mine = *kit_material("dye");
    mine.exhaustion_pct = 60;
    b.dyes[0].dye = &mine;
    BATH(&b, kit_fill(60), dye(), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), 0, 1e-12, "D: 60 less 60 %");
    CHECK_NEAR(b.plan->baths[0].masses[0].fixed_kg, 12, 1e-9, "D: of 20 kg");
    CHECK_NEAR(val(&b, b.plan->foot.total.dye_kg), 8, 1e-9, "D: the rest goes to the drain");
    kit_bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rinsing),
                                       cmocka_unit_test(dye_in_many_doses),
                                       cmocka_unit_test(wash_off),
                                       cmocka_unit_test(uptake_by_class),
                                       cmocka_unit_test(electrolyte_hinders),
                                       cmocka_unit_test(fixed_within_exhaustion)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
