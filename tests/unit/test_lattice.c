/* Whether a line of recipes between two that reach the shade has a better one on it. */
#include "t.h"

#include "core/recipe/mdr_lattice.h"

/* D: at the middle the cubic is (end0 + end1) / 2 + (slope0 - slope1) / 8; with the first slope of these rows just
 * the second end, and nowhere lower. A little steeper it dips, a little flatter it does not. */
static void a_line_dips(void **state)
{
    (void)state;
    static const struct {
        double end[2], slope[2];
    } JUST[] = {{{2.0, 1.0}, {-5.0, -1.0}}, {{3.0, 1.0}, {-10.0, -2.0}}};
    for (size_t i = 0; i < N_OF(JUST); i++) {
        CHECK_NEAR(0.5 * (JUST[i].end[0] + JUST[i].end[1]) +
                       0.125 * (JUST[i].slope[0] - JUST[i].slope[1]),
                   JUST[i].end[1], 1e-15, "D: the middle");
        const double steeper[2] = {1.01 * JUST[i].slope[0], JUST[i].slope[1]};
        const double flatter[2] = {0.99 * JUST[i].slope[0], JUST[i].slope[1]};
        assert_true(mdr_lattice_dips(JUST[i].end, steeper));
        assert_false(mdr_lattice_dips(JUST[i].end, flatter));
    }
}

/* D: what still falls at the second end comes from above; what rises there comes from below. */
static void how_it_arrives(void **state)
{
    (void)state;
    static const double END[2] = {1.0, 1.0}, FALLS[2] = {1.0, -1.0}, RISES[2] = {-1.0, 1.0};
    assert_false(mdr_lattice_dips(END, FALLS));
    assert_true(mdr_lattice_dips(END, RISES));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_line_dips),
                                       cmocka_unit_test(how_it_arrives)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
