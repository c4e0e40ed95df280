/* Worked examples through the whole planner, one at a time, and what it must remark.
 * E16, E17, E18, E20, E26, E28: worked examples published with docs/methods. */
#include "plan_bath_kit.h"

static void one_tonne_medium(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, false);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 60);
    const mdr_route_item crystals = {.material_id = "glauber10",
                                     .basis = MDR_BASIS_G_PER_L,
                                     .amount = 60,
                                     .of_active = true,
                                     .table_id = ""};
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    mdr_route_item soda = kit_item("soda", MDR_BASIS_DYE_TABLE, 1);
    soda.dye_table = MDR_DYE_TABLE_ALKALI;
    const mdr_route_item caustic = {.material_id = "caustic",
                                    .basis = MDR_BASIS_G_PER_L,
                                    .amount = 2,
                                    .of_active = true,
                                    .table_id = ""};
    const mdr_route_item peroxide = kit_item("peroxide", MDR_BASIS_G_PER_L, 3);
    const mdr_route_step steps[] = {
        kit_fill(0),         kit_dose(&salt, 30),    kit_dose(&crystals, 30), kit_dose(&dye, 30),
        kit_dose(&soda, 30), kit_dose(&caustic, 10), kit_dose(&peroxide, 10), kit_drain()};
    add(&b, steps, 8);
    PLAN(b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    CHECK_NEAR(val(&b, bath->liquor_l), 8000, 1e-9, "E16: 1000 kg at 1:8");
    CHECK_NEAR(val(&b, bath->steps[1].items[0].mass_kg), 480, 1e-9,
               "E16: 60 g/L Glauber, anhydrous");
    CHECK_NEAR(val(&b, bath->steps[2].items[0].mass_kg), 1088.8, 0.1,
               "E16: the same as decahydrate, 480 x 322.20 / 142.04");
    CHECK_NEAR(val(&b, bath->steps[3].items[0].mass_kg), 20, 1e-9, "E16: 2 % of 1000 kg");
    CHECK_NEAR(val(&b, bath->steps[4].items[0].mass_kg), 120, 1e-9, "E16: 15 g/L soda");
    CHECK_NEAR(val(&b, bath->steps[5].items[0].mass_kg), 32, 1e-9, "E26: 2 g/L NaOH from 50 %");
    CHECK_NEAR(val(&b, bath->steps[5].items[0].volume_l), 20.98, 0.005,
               "E26: litres, Perry density");
    CHECK_NEAR(val(&b, bath->steps[6].items[0].mass_kg), 24, 1e-9, "E27: 3 g/L of 50 % product");
    CHECK_NEAR(val(&b, bath->steps[6].items[0].volume_l), 20.07, 0.005, "E27: litres");
    CHECK_NEAR(val(&b, bath->final_l), 8000, 1e-6,
               "D: the final volume meets the ratio, not the first fill");
    assert_true(val(&b, bath->fill_l) < 8000 - 480 / 0.2); /* salt alone brings 2400 L of water */
    mdr_arena_free(b.arena);
}

static void rope(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_step steps[] = {kit_fill(0), kit_drain()};
    add(&b, steps, 2);
    PLAN(b);
    CHECK_NEAR(val(&b, b.plan->fabric_m), 3472.2, 0.05, "E17: 1000 kg, 160 g/m2, 1.80 m");
    CHECK_NEAR(val(&b, b.plan->rope_m), 868.1, 0.05, "E17: four ropes");
    CHECK_NEAR(val(&b, b.plan->cycle_min), 2.894, 0.0005, "E17: at 300 m/min");
    mdr_arena_free(b.arena);
}

/* A solid leaves by draining as (R/LR)^n. */
static void three_rinses(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_KG_PER_LOAD, 100);
    const mdr_route_step first[] = {kit_fill(0), kit_dose(&salt, 30), kit_drain()};
    const mdr_route_step rinse[] = {kit_fill(0), kit_hold(10), kit_drain()};
    add(&b, first, 3);
    add(&b, rinse, 3);
    add(&b, rinse, 3);
    PLAN(b);
    const mdr_plan_mass *left = &b.plan->baths[2].masses[0];
    CHECK_NEAR(left->carried_out_kg / 100.0, 0.03052, 5e-6,
               "E18: LR 8, retained 2.5 L/kg, three drains");
    CHECK_NEAR(val(&b, b.plan->baths[1].fill_l), 5500, 1e-9, "D: 8000 - 2500 retained");
    mdr_arena_free(b.arena);
}

static void neutralising(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_item caustic = {.material_id = "caustic",
                                    .basis = MDR_BASIS_G_PER_L,
                                    .amount = 1,
                                    .of_active = true,
                                    .table_id = ""};
    const mdr_route_item acid = kit_item("acid", MDR_BASIS_NEUTRALISE, 1);
    const mdr_route_step scour[] = {kit_fill(0), kit_dose(&caustic, 10), kit_drain()};
    const mdr_route_step neutral[] = {kit_fill(0), kit_dose(&acid, 10), kit_dose(&acid, 10),
                                      kit_drain()};
    add(&b, scour, 3);
    add(&b, neutral, 4);
    PLAN(b);
    const mdr_plan_step *first = &b.plan->baths[1].steps[1];
    /* at pH 6.3 a part of the acid is not dissociated: 10^(4.717 - 6.3) of the acetate, from
       pKa 4.758 at 15 degC (Harned) less 0.041 for the activity of acetate */
    CHECK_NEAR(val(&b, first->items[0].active_kg), 3.754 * 1.0261, 0.004,
               "E28: 2.5 L/kg at 1 g/L NaOH, 1000 kg");
    CHECK_NEAR(val(&b, first->items[0].mass_kg), 3.754 * 1.0261 / 0.8, 0.005, "E28: of 80 % acid");
    CHECK_NEAR(val(&b, first->ph), 6.3, 1e-6, "D: the acid brings the bath where it is wanted");
    CHECK_NEAR(val(&b, b.plan->baths[1].steps[2].items[0].mass_kg), 0, 1e-9,
               "D: nothing is left to neutralise a second time");
    assert_non_null(warned(&b, MDR_WARN_NO_ALKALI));
    mdr_arena_free(b.arena);
}

static void heating(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    b.machine.steel_kg = 1; /* the example heats cotton and water only */
    b.site.room_c = 20;
    b.site.cold_water_c = 20;
    const mdr_route_step steps[] = {kit_fill(20), kit_heat(60, 1), kit_drain()};
    add(&b, steps, 3);
    PLAN(b);
    const mdr_plan_step *heat = &b.plan->baths[0].steps[1];
    CHECK_NEAR(val(&b, heat->steam_kg), 660.1, 0.1,
               "E20: 20 to 60 degC, 8 t water and 1 t cotton, 4 bar g");
    CHECK_NEAR(val(&b, heat->minutes), 40, 0.5, "D: 40 K at 1 degC/min, which 20 kW/K can");
    mdr_arena_free(b.arena);
}

/* Drained and unloaded in one bath. */
static void drain_then_unload(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_step unload = {.kind = MDR_STEP_UNLOAD, .note = ""};
    const mdr_route_step steps[] = {kit_fill(40), kit_drain(), unload};
    add(&b, steps, 3);
    PLAN(b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    CHECK_NEAR(val(&b, bath->drained_l), 5500, 1e-9, "D: 8000 less 2.5 L/kg of 1000 kg");
    CHECK_NEAR(val(&b, bath->steps[1].volume_l), 5500, 1e-9, "D: shown at the drain");
    CHECK_NEAR(val(&b, bath->steps[2].minutes), 15, 1e-9, "D: the machine's unloading time");
    assert_null(warned(&b, MDR_WARN_NOT_DRAINED));
    mdr_arena_free(b.arena);
}

/* A ramp that the exchanger cannot make is planned as it will be, and said. */
static void slow_ramp(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    b.machine.exchanger_kw_per_k = 5;
    const mdr_route_step steps[] = {kit_fill(40), kit_heat(98, 2), kit_cool(78, 1.5), kit_drain()};
    add(&b, steps, 4);
    PLAN(b);
    const mdr_warn *w = warned(&b, MDR_WARN_RAMP_SLOWER);
    assert_non_null(w);
    assert_int_equal(w->at.step, 2);
    assert_true(val(&b, b.plan->baths[0].steps[1].minutes) > 40); /* 29 min at 2 degC/min */
    assert_non_null(strstr(mdr_say_warn(w, b.arena), "the heat exchanger"));
    mdr_arena_free(b.arena);
}

static void beside(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_item soap = kit_item("soap", MDR_BASIS_G_PER_L, 1);
    mdr_route_step dose = kit_dose(&soap, 30);
    dose.with_next = true;
    dose.offset_min = 5;
    const mdr_route_step steps[] = {kit_fill(0), dose, kit_hold(20), kit_drain()};
    add(&b, steps, 4);
    PLAN(b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    CHECK_NEAR(val(&b, bath->steps[1].start_min), val(&b, bath->steps[2].start_min) + 5, 1e-9,
               "D: offset after the next step's start");
    const mdr_warn *w = warned(&b, MDR_WARN_DOSE_OUTLIVES);
    assert_non_null(w);
    CHECK_NEAR(w->args[0].number, 15, 1e-9, "D: 5 + 30 - 20");
    mdr_arena_free(b.arena);
}

static void dangerous_mixtures(void **state)
{
    (void)state;
    const struct {
        const char *one, *two;
        mdr_warn_id warn;
    } rows[] = {{"peroxide", "caustic", MDR_WARN_PEROXIDE_CAUSTIC},
                {"peroxide", "caustic38be", MDR_WARN_PEROXIDE_CAUSTIC},
                {"dithionite", "acid", MDR_WARN_ACID_DITHIONITE}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        bench b;
        ready(&b, 1000, 8, true);
        const mdr_route_item items[] = {kit_item(rows[i].one, MDR_BASIS_G_PER_L, 1),
                                        kit_item(rows[i].two, MDR_BASIS_G_PER_L, 1)};
        mdr_route_step dose = kit_dose(items, 10);
        dose.n_items = 2;
        const mdr_route_step steps[] = {kit_fill(0), dose, kit_drain()};
        add(&b, steps, 3);
        PLAN(b);
        const mdr_warn *w = warned(&b, rows[i].warn);
        assert_non_null(w);
        assert_int_equal(mdr_warn_severity(w->id), MDR_SEV_STOP);
        mdr_arena_free(b.arena);
    }
}

static void ratio_raised(void **state)
{
    (void)state;
    bench b;
    ready(&b, 400, 8, true);
    const mdr_route_step steps[] = {kit_fill(0), kit_drain()};
    add(&b, steps, 2);
    PLAN(b);
    CHECK_NEAR(val(&b, b.plan->liquor_l), 4000, 1e-9, "D: the machine's least, above 400 x 8");
    CHECK_NEAR(val(&b, b.plan->ratio_l_per_kg), 10, 1e-9, "D: 4000 / 400");
    assert_non_null(warned(&b, MDR_WARN_RATIO_RAISED));
    mdr_arena_free(b.arena);
}

/* A band reaches to its depth and includes it; the deepest dye's table counts. */
static void depth_tables(void **state)
{
    (void)state;
    static const struct {
        double depth, soda_kg;
    } ROWS[] = {
        {0.5, 40}, {0.500001, 80}, {1.5, 80}, {3, 120}, {9, 160}}; /* bands of plan_kit, 8000 L */
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        bench b;
        ready(&b, 1000, 8, false);
        mdr_material other = *kit_material("dye");
        other.material_id = "dye2";
        other.alkali_table = "T-SALT"; /* would give much more */
        mdr_recipe_dye dyes[] = {{&other, ROWS[i].depth * 0.2},
                                 {kit_material("dye"), ROWS[i].depth * 0.8}};
        b.lot.shade.dyes = dyes;
        b.lot.shade.n_dyes = 2;
        mdr_route_item soda = kit_item("soda", MDR_BASIS_DYE_TABLE, 1);
        soda.dye_table = MDR_DYE_TABLE_ALKALI;
        const mdr_route_step steps[] = {kit_fill(0), kit_dose(&soda, 30), kit_drain()};
        add(&b, steps, 3);
        PLAN(b);
        CHECK_NEAR(val(&b, b.plan->baths[0].steps[1].items[0].mass_kg), ROWS[i].soda_kg, 1e-9,
                   "D: band x 8000 L");
        assert_non_null(warned(&b, MDR_WARN_TABLES_DIFFER));
        mdr_arena_free(b.arena);
    }
}

/* Totals are what the steps say, in kilograms and in money. */
static void totals(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_KG_PER_LOAD, 100);
    const mdr_route_item soap = kit_item("soap", MDR_BASIS_KG_PER_LOAD, 10);
    const mdr_route_step steps[] = {kit_fill(0), kit_dose(&salt, 30), kit_dose(&soap, 30),
                                    kit_rinse(10, 300), kit_drain()};
    add(&b, steps, 5);
    add(&b, steps, 5);
    PLAN(b);
    assert_int_equal(b.plan->n_totals, 2);
    CHECK_NEAR(val(&b, b.plan->totals[0].mass_kg), 200, 1e-9, "D: twice 100 kg");
    CHECK_NEAR(val(&b, b.plan->chemicals_minor), 200 * 30 + 20 * 210, 1e-6,
               "D: 200 kg at 0.30, 20 kg at 2.10");
    CHECK_NEAR(val(&b, b.plan->chemicals_kg), 220, 1e-9, "D: 200 + 20");
    /* Water: what is let in, and with the additions; effluent: what is drained or runs over. */
    double water_l = 0;
    double gone_l = 0;
    for (int i = 0; i < 2; i++) {
        const mdr_plan_bath *bath = &b.plan->baths[i];
        water_l += val(&b, bath->fill_l) + 3000 + val(&b, bath->steps[1].tank_water_l) +
                   val(&b, bath->steps[2].tank_water_l);
        gone_l += val(&b, bath->drained_l) + 3000;
    }
    CHECK_NEAR(val(&b, b.plan->water_l), water_l, 1e-6, "D: sum");
    const double utilities = water_l / 1000 * 180 + gone_l / 1000 * 240 +
                             val(&b, b.plan->steam_kg) / 1000 * 3800 +
                             val(&b, b.plan->power_kwh) / 1000 * 14000;
    CHECK_NEAR(val(&b, b.plan->utilities_minor), utilities, 1e-6, "D: at the prices of the site");
    CHECK_NEAR(val(&b, b.plan->power_kwh), 18 * val(&b, b.plan->total_min) / 60, 1e-9, "D: 18 kW");
    CHECK_NEAR(val(&b, b.plan->cost_minor_per_kg) * 1000,
               val(&b, b.plan->chemicals_minor) + utilities, 1e-6, "D: both, per kg");
    mdr_arena_free(b.arena);
}

static void remarks(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    b.site.hot_water_c = 0; /* no hot water: the exchanger must warm the fill */
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 1);
    mdr_route_step off = kit_hold(10);
    off.has_temp = true;
    off.temp_c = 70;
    const mdr_route_step steps[] = {kit_fill(50), kit_dose(&salt, 5), kit_heat(65, 2), off,
                                    kit_drain()};
    add(&b, steps, 5);
    PLAN(b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    CHECK_NEAR(val(&b, bath->steps[0].water_temp_c), 15, 0, "D: cold water is all there is");
    assert_non_null(warned(&b, MDR_WARN_FILL_TEMP));
    assert_true(val(&b, bath->steps[0].steam_kg) > 0);
    CHECK_NEAR(val(&b, bath->steps[0].temp_end_c), 50, 1e-9, "D: and yet it gets there");
    assert_int_equal(warned(&b, MDR_WARN_HOLD_OFF)->at.step, 4);
    assert_int_equal(warned(&b, MDR_WARN_DOSE_CYCLES)->at.step, 2); /* 5 min are 1.7 turns */
    assert_true((bath->steps[4].cautions & 1u << MDR_CAUTION_HOT_LIQUOR) !=
                0); /* drained at 65 degC */
    assert_true((bath->steps[1].cautions & 1u << MDR_CAUTION_HOT_LIQUOR) ==
                0); /* dosed at 50 degC */
    mdr_arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(one_tonne_medium),
                                       cmocka_unit_test(rope),
                                       cmocka_unit_test(three_rinses),
                                       cmocka_unit_test(neutralising),
                                       cmocka_unit_test(heating),
                                       cmocka_unit_test(slow_ramp),
                                       cmocka_unit_test(drain_then_unload),
                                       cmocka_unit_test(beside),
                                       cmocka_unit_test(dangerous_mixtures),
                                       cmocka_unit_test(ratio_raised),
                                       cmocka_unit_test(depth_tables),
                                       cmocka_unit_test(totals),
                                       cmocka_unit_test(remarks)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
