#include "t.h"

#include <string.h>

#include "core/plan/mdr_advice.h"
#include "plan_kit.h"

static mdr_machine machine(const char *id, double least_kg, double most_kg, double ratio,
                           double liquor_max_l)
{
    mdr_machine m = kit_machine();
    m.machine_id = id;
    m.load_min_kg = least_kg;
    m.load_max_kg = most_kg;
    m.ratio_min_l_per_kg = ratio;
    m.liquor_min_l = ratio * least_kg;
    m.liquor_max_l = liquor_max_l;
    return m;
}

static mdr_advice *ask(double kg, const mdr_machine *machines, int n, mdr_arena *arena, int *n_out)
{
    static mdr_article article;
    article = kit_article();
    const mdr_advice_in in = {.order_kg = kg,
                              .article = &article,
                              .ratio_l_per_kg = 8,
                              .leave_sample_machines = true,
                              .machines = machines,
                              .n_machines = n};
    mdr_advice *out = NULL;
    assert_int_equal(mdr_advice_make(&in, arena, &out, n_out, NULL), MDR_OK);
    return out;
}

static void equal_lots_best_first(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_machine machines[] = {machine("SMALL", 100, 300, 6, 3000),
                              machine("BIG", 300, 1000, 6, 12000),
                              machine("HUGE", 2500, 5000, 6, 48000), machine("S", 1, 20, 6, 300)};
    machines[3].kind = MDR_MACHINE_SAMPLE;
    for (int i = 0; i < 3; i++) {
        machines[i].tubes = 8; /* the rope cycle does not limit here */
    }
    int n = 0;
    const mdr_advice *a = ask(2000, machines, 4, arena, &n);
    assert_int_equal(n, 3); /* the sample machine is left out */
    assert_string_equal(a[0].machine->machine_id, "BIG");
    assert_int_equal(a[0].lots, 2);
    CHECK_NEAR(a[0].lot_kg, 1000, 1e-9, "D: 2000 kg in two equal lots");
    CHECK_NEAR(a[0].fill_pct, 100, 1e-9, "D: 1000 of 1000 kg");
    assert_string_equal(a[1].machine->machine_id, "SMALL");
    assert_int_equal(a[1].lots, 7); /* D: 2000 / 300 rounded up */
    CHECK_NEAR(a[1].lot_kg * a[1].lots, 2000, 1e-9, "D: lots add up to the order");
    assert_string_equal(a[2].machine->machine_id, "HUGE");
    assert_false(a[2].suits);
    assert_int_equal(a[2].reasons[0].id, MDR_ADVICE_TOO_LIGHT);
    mdr_arena_free(arena);
}

/* The rope cycle sets a limit below the load the machine could carry. */
static void the_cycle_limits(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_machine m = machine("LONG", 100, 1000, 6, 12000);
    m.tubes = 1;
    int n = 0;
    const mdr_advice *a = ask(1000, &m, 1, arena, &n);
    /* 3.5 min x 300 m/min = 1050 m of one rope; x 160 g/m2 x 1.80 m = 302.4 kg */
    assert_int_equal(a[0].lots, 4);
    assert_true(a[0].cycle_min <= 3.5 * (1 + 1e-9));
    CHECK_NEAR(a[0].cycle_min, 250 / 302.4 * 3.5, 1e-9,
               "D: 250 kg of the 302.4 kg that turn in 3.5 min");
    mdr_arena_free(arena);
}

static void losses_divide(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_grey_need_kg(90, 10), 100, 1e-12, "D: 100 kg less 10 % are 90 kg");
    CHECK_NEAR(mdr_grey_need_kg(1000, 0), 1000, 0, "D: no loss");
}

static void refusals(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_article article = kit_article();
    mdr_machine m = kit_machine();
    mdr_advice_in in = {.order_kg = 0, .article = &article, .machines = &m, .n_machines = 1};
    mdr_advice *out = NULL;
    int n = 0;
    mdr_err err = {0};
    assert_int_equal(mdr_advice_make(&in, arena, &out, &n, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "order_kg");
    in.order_kg = 100;
    article.grey_gsm = 0;
    assert_int_equal(mdr_advice_make(&in, arena, &out, &n, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "article.grey_gsm");
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(equal_lots_best_first),
                                       cmocka_unit_test(the_cycle_limits),
                                       cmocka_unit_test(losses_divide), cmocka_unit_test(refusals)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
