/* How long a course may be for the samples and steps asked of it: up to its last moment. */
#include "t.h"

#include "core/exhaust/mdr_dyeing_parts.h"
#include "dyeing_kit.h"

static const mdr_dyeing_moment COURSE[] = {
    {0, 40, 1600, 0.3, 7, false}, {100, 60, 1600, 0.3, 7, false}, {200, 60, 1600, 0.3, 7, false}};
static const mdr_dyeing_dose DOSE = {.start_min = 0, .minutes = 20, .kg = 2, .exponent = 1};

static mdr_code check(double sample_min, int steps_per_turn, double cycle_min, mdr_err *err)
{
    const mdr_dye_rates dye = kit_reactive();
    mdr_dyeing_in in = {.rope = kit_rope(),
                        .course = COURSE,
                        .n_moments = (int)N_OF(COURSE),
                        .doses = &DOSE,
                        .n_doses = 1,
                        .dyes = &dye,
                        .n_dyes = 1,
                        .slices = 8,
                        .sample_min = sample_min,
                        .steps_per_turn = steps_per_turn};
    in.rope.cycle_min = cycle_min;
    return mdr_dyeing_check(&in, err);
}

static void samples(void **state)
{
    (void)state;
    mdr_err err = {0};
    assert_int_equal(check(1.0, 0, 2.5, &err), MDR_OK);
    /* D: 200 min in 3998 samples and the two ends */
    assert_int_equal(check(200.0 / 3997.0, 0, 2.5, &err), MDR_OK);
    assert_int_equal(check(200.0 / 3999.0, 0, 2.5, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "sample_min");
    assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
    assert_int_equal(check(0.0, 0, 2.5, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "sample_min");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(samples)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
