#include "shorten_search_kit.h"

#include <math.h>

static mdr_arena *arena;
static mdr_dye_programme *base;
static mdr_shorten_in usual_in;

/* What is fixed at x is the least that is asked for: no step that fixes can give a minute by itself. */
static void hold_what_is_fixed(mdr_shorten_search *s, const double *x, mdr_dye_detail *d)
{
    assert_true(mdr_shorten_try(s, x, d));
    memcpy(s->coarse_fixed, d->effect.fixed, sizeof s->coarse_fixed);
    s->aim.less = 0.0;
    assert_true(mdr_shorten_kept(s, x));
}

/* D: with the alkali slowly in, a minute of its dose fixes less than a minute behind it does: the dose gives, the
 * wait takes fewer, and as much is fixed. Reckoned again without what the search knows. */
static void a_dose_gives_a_wait_takes(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 4, 5);
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX], before[MDR_MOVES_MAX];
    memcpy(x, s.moves.base, sizeof x);
    const int dose = kit_move_of(&s, 4, MDR_MOVE_MINUTES),
              wait = kit_move_of(&s, 5, MDR_MOVE_MINUTES);
    x[dose] = log(70.0);
    x[wait] = log(40.0);
    memcpy(before, x, sizeof before);
    mdr_dye_detail was, is;
    static const mdr_shorten_reason UNTOUCHED = MDR_SHORTEN_MACHINE;
    mdr_shorten_reason why[MDR_DYE_STEPS_MAX];
    for (int i = 0; i < MDR_DYE_STEPS_MAX; i++) {
        why[i] = UNTOUCHED;
    }
    hold_what_is_fixed(&s, x, &was);
    assert_int_equal(mdr_shorten_whittle(&s, x, why), MDR_OK);
    for (int i = 0; i < MDR_DYE_STEPS_MAX; i++) { /* said of the two, and of no other */
        assert_int_equal(why[i] == UNTOUCHED, i != 4 && i != 5);
    }
    assert_memory_equal(x, before, (size_t)s.moves.n * sizeof *x); /* alone none gives any */
    assert_int_equal(mdr_shorten_trade(&s, x), MDR_OK);
    assert_true(exp(x[dose]) < 69.5 && exp(x[wait]) > 40.5);
    mdr_dye_programme *p = MDR_NEW(arena, mdr_dye_programme);
    const mdr_shorten_eye plain = {.fine = false};
    mdr_moves_apply(&s.moves, base, x, p);
    assert_int_equal(mdr_shorten_look(&in, p, &in.usual, &plain, arena, &is, NULL), MDR_OK);
    assert_true(is.effect.minutes <= was.effect.minutes - 3.0);
    for (int k = 0; k < 2; k++) {
        assert_true(is.effect.fixed[k] >= was.effect.fixed[k] - 0.05 * MDR_SHORTEN_WITHIN - 1e-9);
    }
    CHECK_NEAR(exp(x[dose]), rint(exp(x[dose])), 1e-9, "D: whole minutes");
    CHECK_NEAR(exp(x[wait]), rint(exp(x[wait])), 1e-9, "D: whole minutes");
}

/* D: one step alone has nobody to trade with, where it may give minutes least of all. */
static void alone_nothing_is_traded(void **state)
{
    (void)state;
    const mdr_shorten_in in = kit_only(&usual_in, 5, 5);
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX];
    mdr_dye_detail d;
    memcpy(x, s.moves.base, sizeof x);
    assert_true(mdr_shorten_kept(&s, x)); /* wide limits */
    assert_int_equal(mdr_shorten_trade(&s, x), MDR_OK);
    assert_memory_equal(x, s.moves.base, (size_t)s.moves.n * sizeof *x);
    hold_what_is_fixed(&s, x, &d);
    assert_int_equal(mdr_shorten_trade(&s, x), MDR_OK);
    assert_memory_equal(x, s.moves.base, (size_t)s.moves.n * sizeof *x);
}

static bool no_more(void *about)
{
    int *left = about;
    return --*left >= 0;
}

static void a_trade_is_stopped(void **state)
{
    (void)state;
    int left = 3;
    mdr_shorten_in in = usual_in;
    in.go_on = (mdr_go_on){no_more, &left};
    mdr_shorten_search s = kit_search(&in, arena);
    double x[MDR_MOVES_MAX];
    memcpy(x, s.moves.base, sizeof x);
    assert_int_equal(mdr_shorten_trade(&s, x), MDR_OK);
    assert_true(s.stopped);
    assert_memory_equal(x, s.moves.base, (size_t)s.moves.n * sizeof *x);
}

/* D: the part is coarse by judged; where nothing strikes, or the judged less, the limit stays as it is. */
static void what_the_judge_said_is_kept(void **state)
{
    (void)state;
    mdr_shorten_search s = {.in = &usual_in};
    const mdr_dye_effect coarse = {.strike_pct_per_contact = 0.9};
    mdr_shorten_point *judged = MDR_NEW(arena, mdr_shorten_point);
    judged->worst.strike_pct_per_contact = 1.2;
    mdr_shorten_learn(&s, &coarse, judged);
    CHECK_NEAR(s.strike_part, 0.75, 1e-12, "D: 0.9 / 1.2");
    judged->worst.strike_pct_per_contact = 0.8;
    mdr_shorten_learn(&s, &coarse, judged);
    CHECK_NEAR(s.strike_part, 1.0, 0.0, "D: never let out");
    judged->worst.strike_pct_per_contact = 0.0;
    mdr_shorten_learn(&s, &coarse, judged);
    CHECK_NEAR(s.strike_part, 1.0, 0.0, "D: nothing strikes");
}

int main(void)
{
    arena = mdr_arena_new((size_t)64 << 20);
    base = MDR_NEW(arena, mdr_dye_programme);
    kit_programme(base);
    usual_in = kit_shorten(base, arena);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dose_gives_a_wait_takes), cmocka_unit_test(alone_nothing_is_traded),
        cmocka_unit_test(a_trade_is_stopped), cmocka_unit_test(what_the_judge_said_is_kept)};
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    mdr_arena_free(arena);
    return failed;
}
