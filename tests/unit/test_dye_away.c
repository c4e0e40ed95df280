/* What the rates of several dyes may be, taken together: of the dyes that are asked for, and as far as each
 * goes. */
#include "t.h"

#include "core/exhaust/mdr_dye_margin.h"
#include "dyeing_kit.h"

static mdr_dye_fit one, two;

static void of_the_dyes_asked_for(void **state)
{
    (void)state;
    one = two = (mdr_dye_fit){.n_away = 1};
    two.n_away = 3;
    one.rates = two.rates = kit_reactive();
    one.rates.fix_per_min = 0.11; /* I: each another number */
    one.away[0] = one.rates;
    one.away[0].fix_per_min = 0.12;
    for (int k = 0; k < 3; k++) {
        two.away[k] = two.rates;
        two.away[k].fix_per_min = 0.21 + 0.01 * k;
    }
    const mdr_dye_fit *const fits[] = {&one, &two};
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_dye_away away;
    mdr_err err;
    assert_int_equal(mdr_dye_away_of(fits, 1, arena, &away, &err), MDR_OK);
    assert_int_equal(away.n, 1); /* the second is not asked for */
    CHECK_NEAR(away.rates[0][0].fix_per_min, 0.12, 0, "D");
    assert_int_equal(mdr_dye_away_of(fits, 2, arena, &away, &err), MDR_OK);
    assert_int_equal(away.n, 3);
    for (int k = 0; k < 3; k++) {
        CHECK_NEAR(away.rates[k][0].fix_per_min, k == 0 ? 0.12 : 0.11, 0,
                   "D: where a dye goes no further, its own rates");
        CHECK_NEAR(away.rates[k][1].fix_per_min, 0.21 + 0.01 * k, 0, "D");
    }
    mdr_arena_free(arena);
    mdr_arena *small = mdr_arena_new(sizeof(mdr_dye_rates));
    away.n = 4711;
    assert_int_equal(mdr_dye_away_of(fits, 2, small, &away, &err), MDR_E_NOMEM);
    assert_int_equal(away.n, 4711);
    mdr_arena_free(small);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(of_the_dyes_asked_for)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
