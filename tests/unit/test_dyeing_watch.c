/* What is seen of a rope at the times of the samples, which are not those of its steps. */
#include "t.h"

#include "core/exhaust/mdr_dyeing.h"
#include "dyeing_jet.h"

/* Looking more often changes nothing but what is seen. */
static void samples(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(10);
    const mdr_dyeing *often = run(&in);
    in.sample_min = 7;
    const mdr_dyeing *seldom = run(&in);
    assert_int_equal(often->n_samples, 61);
    assert_int_equal(seldom->n_samples, 10); /* 0, 7 .. 56, 60 */
    CHECK_NEAR(seldom->t_min[9], 60, 0, "D: the end");
    for (int s = 0; s < 9; s++) {
        CHECK_NEAR(seldom->on_fibre[s], often->on_fibre[7 * s], 1e-6, "D: the same time");
        CHECK_NEAR(seldom->held[s], often->held[7 * s], 1e-6, "D: the same time");
    }
    /* a look between two visits of the zone lies on the way */
    in.sample_min = 0.125;
    in.slices = 1;
    const mdr_dyeing *close = run(&in);
    for (int s = 1; s < close->n_samples; s++) {
        assert_true(close->on_fibre[s] >= close->on_fibre[s - 1] - 2e-3);
    }
}

/* What is seen on the way is what a run that ends there reckons to the very time: the mean closely, the
 * spread and single slices as a curve through three points can. */
static void seen_on_the_way(void **state)
{
    (void)state;
    static const int AT[] = {104, 111, 127, 151, 209, 373}; /* tenths of a minute */
    mdr_dyeing_in in = jet(10);
    in.sample_min = 0.1;
    in.slices = 23; /* off the times of the samples: none comes to the zone with one */
    const mdr_dyeing *whole = run(&in);
    for (size_t i = 0; i < N_OF(AT); i++) {
        const int k = AT[i];
        course[1].t_min = 0.1 * k;
        in.sample_min = 50;
        const mdr_dyeing *ends = run(&in);
        const int last = ends->n_samples - 1;
        const double turn = whole->on_fibre[k] - whole->on_fibre[k - 25]; /* at first 0.18 */
        const double mean = ends->on_fibre[last] * dose.kg / in.rope.load_kg;
        CHECK_NEAR(whole->bath_active[k], ends->bath_active[last], 1e-6,
                   "O: reckoned to that time");
        CHECK_NEAR(whole->on_fibre[k], ends->on_fibre[last], 0.015 * turn, "O: to that time");
        CHECK_NEAR(whole->held[k], ends->held[last], 0.015 * turn, "O: to that time");
        CHECK_NEAR(whole->spread[k] / ends->spread[last], 1.0, 0.06, "O: to that time");
        for (int s = 0; s < 23; s++) {
            CHECK_NEAR((double)whole->map[k * 23 + s] / mean,
                       (double)ends->map[last * 23 + s] / mean, 0.2 * turn, "O: to that time");
        }
    }
}

/* The largest difference along the rope, where salt drives evenly spread dye on: what the slices' steps leave of a
 * pattern goes with their square. */
static void peak_by_salt(void **state)
{
    (void)state;
    double error[3];
    mdr_dyeing_in in = jet(0);
    course[0].sodium_mol_per_l = 0;
    course[1] = course[0];
    course[1].t_min = 10;
    course[2] = course[3] = course[0];
    course[2].t_min = 20;
    course[3].t_min = 30;
    course[2].sodium_mol_per_l = course[3].sodium_mol_per_l = 0.3;
    in.n_moments = 4;
    in.sample_min = 0.23;
    in.slices = 23;
    in.steps_per_turn = 960;
    const double exact = unlevel(run(&in));
    for (int i = 0; i < 3; i++) {
        in.steps_per_turn = MDR_DYEING_STEPS_USUAL << i;
        error[i] = fabs(unlevel(run(&in)) / exact - 1);
    }
    assert_true(error[0] < 0.16 && error[1] < 0.03 && error[2] < 0.01);
    order("peak of the spread", error, 3, 2, 1.8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(samples, fresh, clear),
        cmocka_unit_test_setup_teardown(seen_on_the_way, fresh, clear),
        cmocka_unit_test_setup_teardown(peak_by_salt, fresh, clear)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
