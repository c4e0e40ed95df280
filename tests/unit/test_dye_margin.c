#include "shorten_kit.h"

#include <math.h>

static mdr_arena *arena;
static mdr_dye_programme *base;

enum { STRIKE, BEFORE_END, FIXED_A, FIXED_B, NUMBERS };

static void numbers_of(void *about, const mdr_dyeing_result *r, int direction, double *numbers)
{
    (void)about;
    (void)direction;
    numbers[STRIKE] = r->answers.strike_most_pct;
    numbers[BEFORE_END] = mdr_dyeing_last(r->dyeing, r->dyeing->on_fibre, 0);
    numbers[FIXED_A] = mdr_dyeing_last(r->dyeing, r->dyeing->fixed, 0);
    numbers[FIXED_B] = mdr_dyeing_last(r->dyeing, r->dyeing->fixed, 1);
}

static void run(const mdr_dyeing_case *study, const mdr_dye_rates *rates, mdr_ph_table *table,
                double *numbers)
{
    mdr_dyeing_result r;
    mdr_err err = {0};
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    *c = *study;
    c->rates = rates;
    if (mdr_dyeing_case_run(c, table, arena, &r, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    numbers_of(NULL, &r, 0, numbers);
}

/* In a wide zone the reruns look at the rope less often: the margin is that of reruns on a finer rope. */
static void coarse_margin_is_near_the_fine_one(void **state)
{
    (void)state;
    static const double TURNS_MIN[] = {0.7, 1.9, 3.2}; /* at the highest speed */
    const mdr_shorten_in in = kit_shorten(base, arena);
    mdr_dye_rates other[2] = {KIT_RATES[0], KIT_RATES[1]};
    other[0].diffusion_per_min *= 1.3;
    other[0].fix_per_min *= 0.9;
    other[1].affinity_kj_per_mol += 0.5;
    const mdr_dye_away away = {.rates = {other}, .n = 1};
    for (size_t i = 0; i < N_OF(TURNS_MIN); i++) {
        mdr_dyeing_case *winch = MDR_NEW(arena, mdr_dyeing_case);
        double coarse[NUMBERS], usual[NUMBERS], moved[NUMBERS];
        *winch = *in.study;
        winch->rope.zone_fraction = 0.7;
        winch->rope.exchange_per_min = 1.5;
        winch->rope_m = TURNS_MIN[i] * base->speed_most_m_per_min;
        winch->sample_min = 1.0;
        const mdr_margin_in margin = {.study = winch,
                                      .away = &away,
                                      .table = in.table,
                                      .read = numbers_of,
                                      .n_numbers = NUMBERS};
        assert_int_equal(mdr_dye_margin_of(&margin, arena, coarse, NULL), MDR_OK);
        winch->slices = 40;
        winch->steps_per_turn = 48;
        run(winch, KIT_RATES, in.table, usual);
        run(winch, other, in.table, moved);
        CHECK_NEAR(coarse[STRIKE], fabs(moved[STRIKE] - usual[STRIKE]), 0.01 * usual[STRIKE],
                   "O: finer rope; 1 % of the strike");
        for (int k = BEFORE_END; k < NUMBERS; k++) {
            assert_true(fabs(moved[k] - usual[k]) > 1e-3);
            CHECK_NEAR(coarse[k], fabs(moved[k] - usual[k]), 1e-4, "O: finer rope; 0.01 %");
        }
    }
}

/* D: minutes of a turn over 0.45, rounded, 4 to 12; none where the zone is narrow. */
static void stations_of_a_wide_zone(void **state)
{
    (void)state;
    static const struct {
        double zone, turn_min;
        int steps;
    } CASES[] = {{0.49, 3.0, 0}, {0.5, 3.0, 7},  {0.7, 0.5, 4},  {0.7, 2.0, 4},
                 {0.7, 2.1, 5},  {1.0, 5.3, 12}, {1.0, 20.0, 12}};
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    c->programme.speed_most_m_per_min = 200.0;
    for (size_t i = 0; i < N_OF(CASES); i++) {
        c->rope.zone_fraction = CASES[i].zone;
        c->rope_m = CASES[i].turn_min * 200.0;
        assert_int_equal(mdr_dye_wide_steps(c), CASES[i].steps);
    }
}

/* Who looks less often already is not made to look more often. */
static void coarser_stays(void **state)
{
    (void)state;
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    *c = *kit_shorten(base, arena).study;
    c->rope.zone_fraction = 0.7;
    c->rope_m = 3.0 * base->speed_most_m_per_min;
    c->steps_per_turn = 5;
    mdr_dye_margin_coarsen(c);
    assert_int_equal(c->steps_per_turn, 5);
    c->steps_per_turn = 24;
    mdr_dye_margin_coarsen(c);
    assert_int_equal(c->steps_per_turn, 7);
    c->rope.zone_fraction = 0.2;
    c->steps_per_turn = 24;
    mdr_dye_margin_coarsen(c);
    assert_int_equal(c->steps_per_turn, 24);
}

int main(void)
{
    arena = mdr_arena_new((size_t)64 << 20);
    base = MDR_NEW(arena, mdr_dye_programme);
    kit_programme(base);
    const struct CMUnitTest tests[] = {cmocka_unit_test(coarse_margin_is_near_the_fine_one),
                                       cmocka_unit_test(stations_of_a_wide_zone),
                                       cmocka_unit_test(coarser_stays)};
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    mdr_arena_free(arena);
    return failed;
}
