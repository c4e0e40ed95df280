#include "shorten_search_kit.h"

#include <math.h>

static mdr_arena *arena;
static mdr_dye_programme *base;
static mdr_shorten_in usual_in;

/* D: salt that takes longer strikes no slower, so that no minute of it mends: all stays where it was. */
static void what_nothing_mends_stays(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 0, 1);
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX];
    memcpy(x, s.moves.base, sizeof x);
    s.aim.strike = 0.5;
    assert_true(mdr_shorten_passed_by(&s, x) > 0.5);
    assert_int_equal(mdr_shorten_mend(&s, x), MDR_OK);
    assert_memory_equal(x, s.moves.base, sizeof x);
}

/* D: what is little beyond its limit is mended by whole minutes, the fewest that do. */
static void a_little_is_mended(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 2, 2);
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX], wanted[MDR_MOVES_MAX];
    const int dye = kit_move_of(&s, 2, MDR_MOVE_MINUTES);
    mdr_dye_detail d;
    memcpy(x, s.moves.base, sizeof x);
    memcpy(wanted, x, sizeof wanted);
    wanted[dye] = log(exp(x[dye]) + 2.0);
    assert_true(mdr_shorten_try(&s, wanted, &d));
    s.aim.strike = d.effect.strike_pct_per_contact;
    assert_false(mdr_shorten_kept(&s, x));
    assert_int_equal(mdr_shorten_mend(&s, x), MDR_OK);
    assert_true(mdr_shorten_kept(&s, x));
    CHECK_NEAR(exp(x[dye]), exp(s.moves.base[dye]) + 2.0, 1e-9, "D: two minutes");
}

/* D: where six minutes will never do, they are not tried one by one: a round or two, not six. */
static void what_minutes_cannot_do_is_not_tried(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 2, 5);
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX];
    memcpy(x, s.moves.base, sizeof x);
    s.aim.strike = 0.2; /* a fifth of what it is */
    assert_true(mdr_shorten_passed_by(&s, x) > 2.0);
    assert_int_equal(mdr_shorten_mend(&s, x), MDR_OK);
    const int round = s.moves.n + 1;
    assert_true(s.runs > 2 && s.runs <= 2 * round);
    const int dye = kit_move_of(&s, 2, MDR_MOVE_MINUTES);
    CHECK_NEAR(exp(x[dye]), exp(s.moves.base[dye]) + 1.0, 1.0 + 1e-9, "D: one minute, two at most");
}

/* D: 0 where all is kept; else the part of the limit that is passed most, by hand. */
static void by_what_part_is_told(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 2, 5);
    mdr_shorten_search s = kit_search(&in, arena);
    mdr_dye_detail d;
    assert_true(mdr_shorten_try(&s, s.moves.base, &d));
    CHECK_NEAR(mdr_shorten_passed_by(&s, s.moves.base), 0.0, 0.0, "D: wide limits");
    s.aim.strike = d.effect.strike_pct_per_contact / 1.25;
    s.aim.fixing = d.effect.spread_fixing / 1.5;
    CHECK_NEAR(mdr_shorten_passed_by(&s, s.moves.base), 0.5, 1e-9, "D: 1.5 - 1");
    s.aim.fixing = 9.0;
    CHECK_NEAR(mdr_shorten_passed_by(&s, s.moves.base), 0.25, 1e-9, "D: 1.25 - 1");
}

int main(void)
{
    arena = mdr_arena_new((size_t)64 << 20);
    base = MDR_NEW(arena, mdr_dye_programme);
    kit_programme(base);
    usual_in = kit_shorten(base, arena);
    const struct CMUnitTest tests[] = {cmocka_unit_test(what_nothing_mends_stays),
                                       cmocka_unit_test(a_little_is_mended),
                                       cmocka_unit_test(what_minutes_cannot_do_is_not_tried),
                                       cmocka_unit_test(by_what_part_is_told)};
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    mdr_arena_free(arena);
    return failed;
}
