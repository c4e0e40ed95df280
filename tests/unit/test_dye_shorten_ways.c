/* How a shorter dyeing is sought: its coarse rope, what is left out of a look, what is refused, where it stops. */
#include "dye_shorten_kit.h"

/* The coarse rope of the search against the one that judges. */
static void coarse_is_near_fine(void **state)
{
    (void)state;
    mdr_dye_effect coarse, fine;
    assert_int_equal(
        mdr_dye_effect_of(&usual_in, base, &usual_in.usual, false, arena, &coarse, NULL), MDR_OK);
    assert_int_equal(mdr_dye_effect_of(&usual_in, base, &usual_in.usual, true, arena, &fine, NULL),
                     MDR_OK);
    CHECK_NEAR(coarse.strike_pct_per_contact, fine.strike_pct_per_contact, 0.03, "O: finer rope");
    CHECK_NEAR(coarse.fixed[0], fine.fixed[0], 2e-3, "O: finer rope");
    CHECK_NEAR(coarse.spread_before, fine.spread_before, 2e-3, "O: finer rope");
}

/* D: what is left out of a look is what the search drops anyway: nothing that strikes more slowly than the limit is
 * cut short, and of what is not, each number is that of a look from the beginning. */
static void nothing_that_counts_is_left_out(void **state)
{
    (void)state;
    static const struct {
        int step;
        double minutes, exponent;
    } CHANGES[] = {{2, 30, 1}, {2, 31, 1}, {2, 26, 1}, {2, 30, 2}, {3, 20, 1}, {3, 26, 1},
                   {4, 40, 1}, {4, 46, 1}, {4, 45, 3}, {5, 50, 1}, {5, 61, 1}, {0, 19, 1}};
    static const double LIMITS_PCT[] = {0.0, 0.9, 1.1, 1.3};
    mdr_rope_trails *trails = NULL;
    mdr_dye_programme *p = MDR_NEW(arena, mdr_dye_programme);
    int cut = 0;
    assert_int_equal(mdr_shorten_trails(&usual_in, arena, &trails, NULL), MDR_OK);
    for (size_t i = 0; i < N_OF(CHANGES) * N_OF(LIMITS_PCT); i++) {
        const double limit_pct = LIMITS_PCT[i % N_OF(LIMITS_PCT)];
        mdr_dye_detail whole, seen;
        *p = *base;
        p->steps[CHANGES[i / N_OF(LIMITS_PCT)].step].minutes =
            CHANGES[i / N_OF(LIMITS_PCT)].minutes;
        p->steps[CHANGES[i / N_OF(LIMITS_PCT)].step].exponent =
            CHANGES[i / N_OF(LIMITS_PCT)].exponent;
        const mdr_shorten_eye plain = {.fine = false};
        const mdr_shorten_eye eye = {.strike_most_pct = limit_pct, .trails = trails};
        assert_int_equal(
            mdr_shorten_look(&usual_in, p, &usual_in.usual, &plain, arena, &whole, NULL), MDR_OK);
        assert_int_equal(mdr_shorten_look(&usual_in, p, &usual_in.usual, &eye, arena, &seen, NULL),
                         MDR_OK);
        assert_int_equal(seen.cut_short,
                         limit_pct > 0.0 && whole.effect.strike_pct_per_contact > limit_pct);
        cut += seen.cut_short;
        if (!seen.cut_short) {
            assert_memory_equal(&seen.effect, &whole.effect, sizeof whole.effect);
            assert_memory_equal(seen.strike_of_step, whole.strike_of_step,
                                sizeof whole.strike_of_step);
            assert_memory_equal(seen.turns_short, whole.turns_short, sizeof whole.turns_short);
        }
    }
    assert_true(cut > 5 && cut < (int)(N_OF(CHANGES) * N_OF(LIMITS_PCT)) - 15);
    assert_true(mdr_rope_spared_min(trails) > 1000.0);
}

/* D: salt that is in sooner or otherwise makes the same dyeing, begun sooner: it is not simulated again. What runs
 * beside may make it another one. */
static void before_the_dye_nothing_is_tried_twice(void **state)
{
    (void)state;
    mdr_shorten_search s = kit_search(&usual_in, arena);
    mdr_dye_detail first, again, direct;
    assert_true(mdr_shorten_try(&s, s.moves.base, &first));
    double x[MDR_MOVES_MAX];
    memcpy(x, s.moves.base, sizeof x);
    x[kit_move_of(&s, 0, MDR_MOVE_MINUTES)] = log(15.0); /* of 20 */
    x[kit_move_of(&s, 1, MDR_MOVE_MINUTES)] = log(13.0); /* of 10 */
    x[kit_move_of(&s, 0, MDR_MOVE_CURVE)] = log(2.0);
    assert_true(mdr_shorten_try(&s, x, &again));
    assert_int_equal(s.runs, 1);
    mdr_dye_programme *p = MDR_NEW(arena, mdr_dye_programme);
    mdr_moves_apply(&s.moves, base, x, p);
    const mdr_shorten_eye plain = {.fine = false};
    assert_int_equal(mdr_shorten_look(&usual_in, p, &usual_in.usual, &plain, arena, &direct, NULL),
                     MDR_OK);
    CHECK_NEAR(again.effect.minutes, first.effect.minutes - 2.0, 1e-9, "D: 5 less and 3 more");
    CHECK_NEAR(again.effect.minutes, direct.effect.minutes, 1e-9, "O: simulated");
    CHECK_NEAR(again.effect.strike_min, direct.effect.strike_min, 1e-9, "O: simulated");
    CHECK_NEAR(again.alkali_min, direct.alkali_min, 1e-9, "O: simulated");
    CHECK_NEAR(again.effect.strike_pct_per_contact, direct.effect.strike_pct_per_contact, 1e-9,
               "O: simulated");
    CHECK_NEAR(again.effect.spread_before, direct.effect.spread_before, 1e-9, "O: simulated");
    CHECK_NEAR(again.effect.spread_fixing, direct.effect.spread_fixing, 1e-9, "O: simulated");
    CHECK_NEAR(again.effect.spread_end, direct.effect.spread_end, 1e-9, "O: simulated");
    CHECK_NEAR(again.effect.fixed[1], direct.effect.fixed[1], 1e-9, "O: simulated");
    for (int i = 0; i < base->n_steps; i++) {
        CHECK_NEAR(again.strike_of_step[i], direct.strike_of_step[i], 1e-9, "O: simulated");
        CHECK_NEAR(again.turns_short[i], direct.turns_short[i], 1e-9, "O: counted");
    }
    x[kit_move_of(&s, 2, MDR_MOVE_MINUTES)] = log(29.0); /* the dye itself */
    assert_true(mdr_shorten_try(&s, x, &again));
    assert_int_equal(s.runs, 2);
    mdr_dye_programme *beside = MDR_NEW(arena, mdr_dye_programme);
    mdr_shorten_in in = usual_in;
    *beside = *base;
    beside->steps[0].beside = true;
    in.base = beside;
    s.in = &in;
    mdr_shorten_matters(&s);
    assert_true(s.matters[kit_move_of(&s, 1, MDR_MOVE_MINUTES)]);
}

/* The rope of the search where the zone is wide: fewer slices and stations, as near. */
static void coarse_is_near_fine_in_a_wide_zone(void **state)
{
    (void)state;
    static const double TURNS_MIN[] = {0.7, 1.9, 3.2}; /* at the highest speed */
    for (size_t i = 0; i < N_OF(TURNS_MIN); i++) {
        mdr_dyeing_case *winch = MDR_NEW(arena, mdr_dyeing_case);
        mdr_shorten_in in = usual_in;
        *winch = *usual_in.study;
        winch->rope.zone_fraction = 0.7;
        winch->rope.exchange_per_min = 1.5;
        winch->rope_m = TURNS_MIN[i] * base->speed_most_m_per_min;
        in.study = winch;
        mdr_dye_effect coarse, fine;
        assert_int_equal(mdr_dye_effect_of(&in, base, &in.usual, false, arena, &coarse, NULL),
                         MDR_OK);
        assert_int_equal(mdr_dye_effect_of(&in, base, &in.usual, true, arena, &fine, NULL), MDR_OK);
        CHECK_NEAR(coarse.strike_pct_per_contact, fine.strike_pct_per_contact,
                   0.02 * fine.strike_pct_per_contact, "O: finer rope");
        CHECK_NEAR(coarse.fixed[0], fine.fixed[0], 5e-4, "O: finer rope");
        CHECK_NEAR(coarse.fixed[1], fine.fixed[1], 5e-4, "O: finer rope");
        CHECK_NEAR(coarse.spread_before, fine.spread_before, 2e-3, "O: finer rope");
    }
}

static void bad(mdr_shorten_in in, mdr_code code, const char *place)
{
    const mdr_shorten_out *out = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_dye_shorten(&in, arena, &out, &err), code);
    assert_string_equal(err.place, place);
    assert_null(out);
}

static void refused(void **state)
{
    (void)state;
    mdr_shorten_in in = usual_in;
    in.points = 9;
    bad(in, MDR_E_ARG, "points");
    in = usual_in;
    in.away.n = 10;
    bad(in, MDR_E_ARG, "away");
    in = usual_in;
    in.strike_limit_pct = (double)NAN;
    bad(in, MDR_E_RANGE, "strike_limit_pct");
    in = usual_in;
    in.spread_limit = 0.0;
    bad(in, MDR_E_RANGE, "spread_limit");
    in = usual_in;
    in.spread_fixing_limit = -1.0;
    bad(in, MDR_E_RANGE, "spread_fixing_limit");
    in = usual_in;
    in.fixation_allowance = -0.1;
    bad(in, MDR_E_RANGE, "fixation_allowance");
    in = usual_in;
    in.fixation_allowance_worst = 1.5;
    bad(in, MDR_E_RANGE, "fixation_allowance_worst");
    mdr_dye_programme *odd = MDR_NEW(arena, mdr_dye_programme);
    *odd = *base;
    odd->steps[2].minutes = (double)NAN;
    in = usual_in;
    in.base = odd;
    bad(in, MDR_E_RANGE, "steps[2].minutes");
}

static bool until_none_is_left(void *about)
{
    int *left = about;
    return (*left)-- > 0;
}

/* D: what it has by then is what it would have had; nothing half done is among it. */
static void stops_when_nobody_wants_more(void **state)
{
    (void)state;
    static const int LOOKS[] = {0, 1, 20, 150, 400};
    int most = 0;
    for (size_t i = 0; i < N_OF(LOOKS); i++) {
        int left = LOOKS[i];
        mdr_shorten_in in = usual_in;
        in.go_on = (mdr_go_on){until_none_is_left, &left};
        const mdr_shorten_out *out = shorten(&in);
        assert_true(out->stopped);
        assert_true(out->runs >= in.away.n + 3 && out->runs <= LOOKS[i] + in.away.n + 3);
        CHECK_NEAR(out->base.minutes, 195, 1e-9, "D: the programme as it is has its numbers");
        assert_true(out->n_points >= most);
        most = out->n_points;
        for (int k = 0; k < out->n_points; k++) {
            bool known = false;
            for (int u = 0; u < usual->n_points; u++) {
                const mdr_shorten_point *a = &out->points[k], *b = &usual->points[u];
                known = known || memcmp(&a->programme, &b->programme, sizeof a->programme) == 0 ||
                        (a->as_now == b->as_now && b->effect.minutes <= a->effect.minutes);
            }
            assert_true(known);
        }
    }
    assert_true(most >= 1 && most < usual->n_points);
    assert_false(usual->stopped);
}

static void memory_fails_anywhere(void **state)
{
    (void)state;
    mdr_shorten_in in = usual_in;
    int refused_ones = 0;
    in.points = 1;
    in.runs_max = 40;
    for (unsigned n = 1; n <= 200; n += 7) {
        mdr_arena *scant = mdr_arena_new((size_t)64 << 20);
        const mdr_shorten_out *out = NULL;
        mdr_err err = {0};
        mdr_arena_fail_at(n);
        const mdr_code rc = mdr_dye_shorten(&in, scant, &out, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || (rc == MDR_E_NOMEM && out == NULL));
        refused_ones += rc == MDR_E_NOMEM;
        mdr_arena_free(scant);
    }
    assert_true(refused_ones > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(coarse_is_near_fine),
                                       cmocka_unit_test(nothing_that_counts_is_left_out),
                                       cmocka_unit_test(before_the_dye_nothing_is_tried_twice),
                                       cmocka_unit_test(coarse_is_near_fine_in_a_wide_zone),
                                       cmocka_unit_test(refused),
                                       cmocka_unit_test(stops_when_nobody_wants_more),
                                       cmocka_unit_test(memory_fails_anywhere)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
