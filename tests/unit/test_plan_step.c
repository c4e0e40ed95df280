/* What a step's figures are called, and the least a lot can weigh. */
#include "t.h"

#include <string.h>

#include "plan_kit.h"

/* Is there a figure of this name and value? */
static bool has(const kit_bench *b, const char *label, double value)
{
    for (int i = 0; i < b->plan->figs.count; i++) {
        const mdr_fig *f = &b->plan->figs.items[i];
        if (f->label != NULL && strcmp(f->label, label) == 0 && fabs(f->value - value) < 1e-12) {
            return true;
        }
    }
    return false;
}

static void times_are_called_what_they_are(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 500, 8, MDR_CLASS_NONE);
    const mdr_route_step steps[] = {kit_fill(30), kit_hold(20), kit_check(MDR_CHECK_PH, 6, 8),
                                    kit_drain()};
    kit_bench_bath(&b, steps, (int)N_OF(steps));
    assert_int_equal(kit_bench_run(&b), MDR_OK);
    assert_true(has(&b, "Running time", 20) && has(&b, "Time for the check", 3)); /* I: the kit's */
    assert_false(has(&b, "Running time", 3) || has(&b, "Time for the check", 20));
    kit_bench_free(&b);
}

/* D: 0.1 kg is the least that docs/formats.md allows, and a weighed lot needs no rolls. */
static void the_least_lot(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 500, 8, MDR_CLASS_NONE);
    const mdr_route_step steps[] = {kit_fill(30), kit_hold(20), kit_drain()};
    kit_bench_bath(&b, steps, (int)N_OF(steps));
    b.lot.lot.n_rolls = 0;
    b.lot.lot.weighed_kg = 0.1;
    if (kit_bench_run(&b) != MDR_OK) {
        fail_msg("%s: %s", b.err.place, b.err.msg);
    }
    b.lot.lot.weighed_kg = 0;
    assert_int_equal(kit_bench_run(&b), MDR_E_RANGE);
    assert_string_equal(b.err.place, "lot.rolls");
    kit_bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(times_are_called_what_they_are),
                                       cmocka_unit_test(the_least_lot)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
