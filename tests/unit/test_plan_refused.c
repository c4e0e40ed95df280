/* What a machine cannot do, what the planner refuses, and where memory runs out. */
#include "plan_bath_kit.h"

/* Whether a plan of these steps says this. */
static bool says(const mdr_route_step *steps, int n, mdr_warn_id id)
{
    bench b;
    ready(&b, 1000, 8, true);
    add(&b, steps, n);
    PLAN(b);
    const bool said = warned(&b, id) != NULL;
    mdr_arena_free(b.arena);
    return said;
}

/* One tank, hot vessels, full vessels, flows and volumes the machine has not. */
static void what_a_machine_cannot(void **state)
{
    (void)state;
    const mdr_route_item peroxide = kit_item("peroxide", MDR_BASIS_G_PER_L, 3);
    const mdr_route_item caustic = kit_item("caustic", MDR_BASIS_G_PER_L, 2);
    mdr_route_step one = kit_dose(&peroxide, 30);
    mdr_route_step two = kit_dose(&caustic, 30);
    const mdr_route_step unload = {.kind = MDR_STEP_UNLOAD, .note = ""};
    const mdr_route_step check = {.kind = MDR_STEP_CHECK, .note = "", .minutes = 5};
    const mdr_route_step apart[] = {kit_fill(40), one, two, kit_hold(60), kit_drain()};
    assert_false(says(apart, 5, MDR_WARN_TANK_BUSY));
    one.with_next = two.with_next = true;
    const mdr_route_step together[] = {kit_fill(40), one, two, kit_hold(60), kit_drain()};
    assert_true(says(together, 5, MDR_WARN_TANK_BUSY));
    const mdr_route_step into_heat[] = {kit_fill(60),    one,        kit_heat(98, 2), kit_hold(30),
                                        kit_cool(70, 2), kit_drain()};
    assert_true(says(into_heat, 6, MDR_WARN_DOSE_HOT));
    const mdr_route_step hot_sample[] = {kit_fill(60), kit_heat(96, 2), check, kit_cool(70, 2),
                                         kit_drain()};
    assert_true(says(hot_sample, 5, MDR_WARN_OPEN_HOT));
    const mdr_route_step at_limit[] = {kit_fill(60), kit_heat(85, 2), check, kit_drain()};
    assert_false(says(at_limit, 4, MDR_WARN_OPEN_HOT)); /* 85 degC: not above it */
    const mdr_route_step hot_fill[] = {kit_fill(120), kit_drain()};
    assert_true(says(hot_fill, 2, MDR_WARN_TEMP_OVER));
    const mdr_route_step full[] = {kit_fill(40), unload};
    assert_true(says(full, 2, MDR_WARN_UNLOAD_FULL));
    const mdr_route_step late[] = {kit_fill(40), one, kit_hold(5), unload};
    assert_true(says(late, 4, MDR_WARN_DOSE_OUTLIVES));
    const mdr_route_step flood[] = {kit_fill(40), kit_rinse(5, 5000), kit_drain()};
    assert_true(says(flood, 3, MDR_WARN_RINSE_FLOW));
    const mdr_route_step early[] = {kit_fill(40), kit_rinse(5, 0), kit_dose(&caustic, 10),
                                    kit_drain()};
    assert_true(says(early, 4, MDR_WARN_RINSE_EARLY));
    mdr_route_step low = kit_fill(40);
    low.level_l = 3000;
    const mdr_route_step shallow[] = {low, kit_drain()};
    assert_true(says(shallow, 2, MDR_WARN_RATIO_RAISED));
    assert_true(says(shallow, 2, MDR_WARN_RATIO_UNDER));
}

/* A bath that goes on in what was there. */
static void going_on(void **state)
{
    (void)state;
    bench b;
    ready(&b, 1000, 8, true);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 80);
    const mdr_route_step first[] = {kit_fill(40), kit_hold(5)};
    const mdr_route_step second[] = {kit_dose(&salt, 60), kit_rinse(10, 300), kit_drain()};
    add(&b, first, 2);
    add(&b, second, 3);
    PLAN(b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    CHECK_NEAR(val(&b, bath->steps[0].items[0].mass_kg), 640, 1e-9,
               "D: 80 g/L of the 8000 L it begins with");
    CHECK_NEAR(val(&b, bath->final_l), 8000 + 3200, 1e-6,
               "D: and 3200 L that dissolve 640 kg at 200 g/L");
    assert_non_null(warned(&b, MDR_WARN_GROWS));
    CHECK_NEAR(val(&b, bath->steps[1].kept_fraction), exp(-300.0 * 10 / 11200), 1e-12,
               "D: of the liquor that is there");
    mdr_arena_free(b.arena);
}

static void refusals(void **state)
{
    (void)state;
    const mdr_route_item unknown = kit_item("nothing-like-it", MDR_BASIS_G_PER_L, 1);
    const mdr_route_item solid_ml = kit_item("soda", MDR_BASIS_ML_PER_L, 1);
    const mdr_route_item no_acid = kit_item("soda", MDR_BASIS_NEUTRALISE, 1);
    const mdr_route_item no_table = {
        .material_id = "soda", .basis = MDR_BASIS_TABLE, .amount = 1, .table_id = "T-NONE"};
    const struct {
        const mdr_route_item *item;
        double kg, speed;
        mdr_code code;
        const char *place;
    } rows[] = {
        {&unknown, 1000, 0, MDR_E_NOTFOUND, "bath 1 \"Bath\", step 2, item 1, material_id"},
        {&solid_ml, 1000, 0, MDR_E_CONFLICT, "bath 1 \"Bath\", step 2, item 1, basis"},
        {&no_acid, 1000, 0, MDR_E_CONFLICT, "bath 1 \"Bath\", step 2, item 1, material_id"},
        {&no_table, 1000, 0, MDR_E_NOTFOUND, "bath 1 \"Bath\", step 2, item 1, table_id"},
        {NULL, -5, 0, MDR_E_RANGE, "lot.weighed_kg"},
        {NULL, (double)NAN, 0, MDR_E_RANGE, "lot.weighed_kg"},
        {NULL, 1000, -1, MDR_E_RANGE, "lot.speed_m_per_min"},
    };
    for (size_t i = 0; i < N_OF(rows); i++) {
        bench b;
        ready(&b, rows[i].kg, 8, true);
        b.lot.lot.speed_m_per_min = rows[i].speed;
        const mdr_route_step with[] = {kit_fill(0), kit_dose(rows[i].item, 10), kit_drain()};
        const mdr_route_step without[] = {kit_fill(0), kit_drain()};
        add(&b, rows[i].item != NULL ? with : without, rows[i].item != NULL ? 3 : 2);
        assert_int_equal(run(&b), rows[i].code);
        assert_string_equal(b.err.place, rows[i].place);
        assert_true(strlen(b.err.msg) > 5 && strlen(b.err.remedy) > 5);
        assert_null(b.plan);
        mdr_arena_free(b.arena);
    }
}

/* Every allocation fails once: an error each time, never a crash or half a plan. */
static void memory_runs_out(void **state)
{
    (void)state;
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 60);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    const mdr_route_step steps[] = {kit_fill(50),    kit_dose(&salt, 30), kit_dose(&dye, 30),
                                    kit_heat(60, 1), kit_hold(30),        kit_drain()};
    unsigned n = 0;
    mdr_code rc = MDR_E_NOMEM;
    while (rc != MDR_OK) {
        bench b;
        ready(&b, 1000, 8, false);
        add(&b, steps, 6);
        mdr_arena_fail_at(++n);
        rc = run(&b);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        mdr_arena_free(b.arena);
    }
    assert_true(n > 3);
}

static void sentences(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    for (int id = 0; id < MDR_WARN_COUNT; id++) {
        mdr_warn w = {.id = (mdr_warn_id)id, .n_args = 5};
        for (int a = 0; a < 5; a++) {
            w.args[a] = (mdr_arg){.number = 1234.5 + a, .decimals = 1};
        }
        const char *text = mdr_say_warn(&w, arena);
        assert_true(strlen(text) > 10);
        assert_null(strchr(text, '{')); /* a sentence of the catalogue, every parameter filled */
        assert_null(strstr(text, mdr_warn_text_id(w.id)) == text ? text : NULL);
    }
    mdr_warn w = {.id = MDR_WARN_CYCLE,
                  .n_args = 2,
                  .args = {{.number = 12345.678, .decimals = 1}, {.number = 0.04, .decimals = 1}}};
    const char *text = mdr_say_warn(&w, arena);
    assert_non_null(strstr(text, "12\u00a0345.7 min"));
    assert_non_null(strstr(text, "0.0 min"));
    char name[801]; /* a sentence is never cut, however long the names in it */
    memset(name, 'x', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    w = (mdr_warn){.id = MDR_WARN_STOCK, .n_args = 3, .args = {{.text = name}}};
    assert_non_null(strstr(mdr_say_warn(&w, arena), "x: 0 kg are needed, 0 kg are in stock."));
    w.n_args = 1; /* what is not given stays visible */
    assert_non_null(strstr(mdr_say_warn(&w, arena), "{1} kg are needed"));
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_machine_cannot), cmocka_unit_test(going_on),
        cmocka_unit_test(refusals), cmocka_unit_test(memory_runs_out), cmocka_unit_test(sentences)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
