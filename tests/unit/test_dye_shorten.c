#define _XOPEN_SOURCE 700
#include "shorten_search_kit.h"

#include <math.h>

#include "core/exhaust/mdr_rope_mark.h"

static mdr_arena *arena;
static mdr_dye_programme *base;
static const mdr_shorten_out *usual; /* of the kit, made once */
static mdr_shorten_in usual_in;

static const mdr_shorten_out *shorten(const mdr_shorten_in *in)
{
    const mdr_shorten_out *out = NULL;
    mdr_err err = {0};
    if (mdr_dye_shorten(in, arena, &out, &err) != MDR_OK) {
        fail_msg("%s: %s (%s)", err.place, err.msg, err.value);
    }
    return out;
}

static void base_is_what_it_is(void **state)
{
    (void)state;
    CHECK_NEAR(usual->base.minutes, 195, 1e-9, "D: the sum of the steps");
    assert_false(usual->base_kept); /* its strike is above 1 % per contact */
    assert_true(usual->base.strike_pct_per_contact > 1.0);
    assert_true(usual->n_points >= 4);
}

static void points_are_in_order(void **state)
{
    (void)state;
    for (int i = 0; i < usual->n_points; i++) {
        const mdr_shorten_point *p = &usual->points[i];
        assert_true(i == 0 || p->effect.minutes >= usual->points[i - 1].effect.minutes);
        assert_true(p->kept == (p->worst.strike_pct_per_contact <= 1.0 * 1.001 &&
                                p->worst.spread_before <= usual_in.spread_limit * 1.001 &&
                                p->worst.spread_fixing <= usual_in.spread_fixing_limit * 1.001 &&
                                p->worst.spread_end <= usual_in.spread_limit * 1.001 &&
                                p->fixed_less <= usual_in.fixation_allowance + 0.001 &&
                                p->fixed_less_worst <= usual_in.fixation_allowance_worst + 0.001));
        assert_true(p->worst.strike_pct_per_contact >= p->effect.strike_pct_per_contact);
        assert_true(p->factor > 1.0 || p->kept || !p->less_level);
    }
    const mdr_shorten_point *wanted = &usual->points[usual->wanted];
    assert_true(wanted->kept && wanted->effect.minutes < usual->base.minutes - 10);
    const mdr_shorten_point *level = &usual->points[usual->as_level];
    assert_true(!level->less_level && level->effect.minutes < usual->base.minutes - 10);
}

/* Simulated once more by other means: all four ropes, more slices, modes and steps, not through
 * the search's own eyes. */
static void finer_ropes_say_the_same(void **state)
{
    (void)state;
    const mdr_shorten_point *p = &usual->points[usual->wanted];
    mdr_dye_course course;
    const mdr_dyeing *d = NULL;
    assert_int_equal(mdr_dye_programme_course(&p->programme, usual_in.table, arena, &course, NULL),
                     MDR_OK);
    mdr_dyeing_in run = {.dyes = KIT_RATES,
                         .course = course.moments,
                         .doses = course.doses,
                         .rope = usual_in.study->rope,
                         .sample_min = 0.5,
                         .n_dyes = 2,
                         .n_moments = course.n_moments,
                         .n_doses = course.n_doses,
                         .slices = 60,
                         .modes = 6,
                         .steps_per_turn = 48};
    run.rope.cycle_min = usual_in.study->rope_m / p->programme.speed_m_per_min;
    assert_int_equal(mdr_dyeing_run(&run, arena, &d, NULL), MDR_OK);
    double most = 0.0;
    for (int i = 0; i < d->n_samples * 2; i++) {
        most = fmax(most, d->strike_per_contact_pct[i]);
    }
    CHECK_NEAR(most, p->effect.strike_pct_per_contact, 0.03, "O: the model on a finer rope");
    assert_true(most <= 1.0 * 1.03);
    for (int k = 0; k < 2; k++) {
        CHECK_NEAR(mdr_dyeing_last(d, d->fixed, k), p->effect.fixed[k], 2e-3,
                   "O: the model on a finer rope");
        assert_true(mdr_dyeing_last(d, d->fixed, k) >= usual->base.fixed[k] - 0.008);
    }
    CHECK_NEAR(d->t_min[d->n_samples - 1], p->effect.minutes, 1e-9, "D: the sum of the steps");
}

/* What is set on a machine, and only what may be moved. */
static void programmes_can_be_set(void **state)
{
    (void)state;
    for (int i = 0; i < usual->n_points; i++) {
        const mdr_dye_programme *p = &usual->points[i].programme;
        assert_true(p->speed_m_per_min >= 120 && p->speed_m_per_min <= 300);
        for (int s = 0; s < p->n_steps; s++) {
            const mdr_dye_step *a = &base->steps[s], *b = &p->steps[s];
            CHECK_NEAR(b->minutes, round(b->minutes), 1e-9, "D: whole minutes");
            assert_true(b->kind == a->kind && b->amount == a->amount && b->number == a->number);
            assert_memory_equal(a->dye_kg, b->dye_kg, sizeof a->dye_kg);
            assert_memory_equal(a->mol, b->mol, sizeof a->mol);
            assert_true(b->kind != MDR_DYE_DOSE || (b->exponent >= 1.0 && b->exponent <= 3.0));
        }
        assert_true(p->steps[6].minutes == 5.0 && usual->points[i].why[6] == MDR_SHORTEN_KEPT);
        const double turn_min = usual_in.study->rope_m / p->speed_m_per_min;
        assert_true(p->steps[2].minutes >= 10 * turn_min * 0.99);
        assert_true(p->steps[4].minutes >= 15 * turn_min * 0.99);
    }
}

/* A minute less of any step breaks what was said to forbid it. */
static void reasons_are_true(void **state)
{
    (void)state;
    const mdr_shorten_point *p = &usual->points[usual->wanted];
    mdr_dye_programme *less = MDR_NEW(arena, mdr_dye_programme);
    int by_effect = 0;
    for (int s = 0; s < p->programme.n_steps; s++) {
        mdr_dye_effect e;
        *less = p->programme;
        less->steps[s].minutes -= 1.0;
        assert_true(p->why[s] != MDR_SHORTEN_NOTHING);
        assert_int_equal(
            mdr_dye_effect_of(&usual_in, less, &usual_in.usual, false, arena, &e, NULL), MDR_OK);
        if (p->why[s] == MDR_SHORTEN_STRIKE) {
            assert_true(e.strike_pct_per_contact > 1.0);
            by_effect++;
        } else if (p->why[s] == MDR_SHORTEN_FIXATION) {
            assert_true(e.fixed[0] < usual->base.fixed[0] - 0.004 ||
                        e.fixed[1] < usual->base.fixed[1] - 0.004);
            by_effect++;
        } else if (p->why[s] == MDR_SHORTEN_TURNS) {
            assert_true(less->steps[s].minutes <
                        15 * usual_in.study->rope_m / less->speed_m_per_min);
        } else if (p->why[s] == MDR_SHORTEN_WAIT) {
            assert_true(less->steps[s].minutes < 5.0);
        }
    }
    assert_true(by_effect >= 2);
}

/* What is found cannot be shortened once more by more than the grain of it. */
static void found_again_is_not_shorter(void **state)
{
    (void)state;
    mdr_shorten_in in = usual_in;
    mdr_dyeing_case *found = MDR_NEW(arena, mdr_dyeing_case);
    *found = *usual_in.study;
    found->programme = usual->points[usual->wanted].programme;
    in.study = found;
    in.base = &found->programme;
    in.fixation_allowance = 0.0;
    in.points = 3;
    assert_int_equal(mdr_ph_table_make(in.base, arena, &in.table, NULL), MDR_OK);
    const mdr_shorten_out *out = shorten(&in);
    assert_true(out->base_kept);
    assert_true(out->as_level < 0 ||
                out->points[out->as_level].effect.minutes >= out->base.minutes - 2.0);
}

static void what_is_kept_stays(void **state)
{
    (void)state;
    mdr_shorten_in in = usual_in;
    in.keep[2] = in.keep[4] = in.keep_speed = true;
    in.points = 2;
    const mdr_shorten_out *out = shorten(&in);
    for (int i = 0; i < out->n_points; i++) {
        const mdr_dye_programme *p = &out->points[i].programme;
        assert_true(p->speed_m_per_min == 250.0);
        assert_true(p->steps[2].minutes == 30.0 && p->steps[4].minutes == 45.0);
        assert_true(p->steps[2].exponent == 1.0);
    }
    for (int s = 0; s < base->n_steps; s++) {
        in.keep[s] = true;
    }
    const mdr_shorten_out *none = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_dye_shorten(&in, arena, &none, &err), MDR_E_ARG);
    assert_string_equal(err.place, "base");
}

/* A dye that may strike faster asks for more minutes. */
static void a_margin_takes_time(void **state)
{
    (void)state;
    mdr_dye_rates fast[2] = {KIT_RATES[0], KIT_RATES[1]};
    fast[0].affinity_kj_per_mol += 2.0;
    fast[0].diffusion_per_min *= 1.5;
    mdr_shorten_in in = usual_in;
    in.away = (mdr_dye_away){.rates = {fast}, .n = 1};
    in.points = 4;
    const mdr_shorten_out *out = shorten(&in);
    assert_true(out->base_worst.strike_pct_per_contact > out->base.strike_pct_per_contact);
    assert_true(out->wanted >= 0);
    const mdr_shorten_point *p = &out->points[out->wanted];
    assert_true(p->worst.strike_pct_per_contact > p->effect.strike_pct_per_contact);
    assert_true(p->fixed_less_worst > p->fixed_less + 1e-4);
    assert_true(p->effect.minutes >= usual->points[usual->wanted].effect.minutes);
    const mdr_dye_case fast_case = {fast};
    mdr_dye_effect e;
    assert_int_equal(mdr_dye_effect_of(&in, &p->programme, &fast_case, true, arena, &e, NULL),
                     MDR_OK);
    CHECK_NEAR(e.strike_pct_per_contact, p->worst.strike_pct_per_contact, 0.02,
               "D: of one direction the worst is that direction's, but for the coarse rope");
}

/* Where the dye may hardly lie unevenly while it is being fixed, that is what stands in the way. */
static void a_limit_while_dye_is_fixed(void **state)
{
    (void)state;
    mdr_shorten_in in = usual_in;
    const mdr_shorten_point *was = &usual->points[usual->wanted];
    assert_true(was->effect.spread_fixing > was->effect.spread_end);
    in.spread_fixing_limit = 0.6 * was->effect.spread_fixing;
    in.points = 3;
    const mdr_shorten_out *out = shorten(&in);
    assert_true(out->wanted >= 0);
    const mdr_shorten_point *p = &out->points[out->wanted];
    assert_true(p->worst.spread_fixing <= in.spread_fixing_limit * 1.001);
    assert_true(p->effect.minutes > was->effect.minutes);
}

/* At the end the dye counts that stays: looked up slice by slice in a run of the same grain. */
static void what_stays_counts_at_the_end(void **state)
{
    (void)state;
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    mdr_shorten_in in = usual_in;
    mdr_dyeing_result r;
    mdr_dye_effect e;
    *c = *usual_in.study;
    c->uneven_pct = 20;
    c->slices = 10;
    c->steps_per_turn = 12;
    c->sample_min = mdr_dyeing_sample_min(mdr_dye_programme_times(base, times));
    in.study = c;
    assert_int_equal(mdr_dye_effect_of(&in, base, &in.usual, true, arena, &e, NULL), MDR_OK);
    assert_int_equal(mdr_dyeing_case_run(c, in.table, arena, &r, NULL), MDR_OK);
    const mdr_dyeing *d = r.dyeing;
    double spread[2]; /* of what is fixed, of all on the fibre */
    for (int m = 0; m < 2; m++) {
        double low = HUGE_VAL, high = 0, mean = 0;
        for (int s = 0; s < 10; s++) {
            const float *q = (m == 0 ? d->fixed_map : d->map) + ((d->n_samples - 1) * 10 + s) * 2;
            const double v = KIT_WEIGHT[0] * (double)q[0] + KIT_WEIGHT[1] * (double)q[1];
            low = fmin(low, v);
            high = fmax(high, v);
            mean += v / 10;
        }
        spread[m] = (high - low) / mean;
    }
    CHECK_NEAR(e.spread_end, spread[0], 1e-12, "D: the fixed dye of ten slices");
    assert_true(fabs(spread[0] - spread[1]) > 1e-4);
}

/* Two directions that do the same count as root two of one. */
static void margins_add_in_squares(void **state)
{
    (void)state;
    mdr_dye_rates fast[2] = {KIT_RATES[0], KIT_RATES[1]};
    fast[0].diffusion_per_min *= 1.5;
    mdr_shorten_in in = usual_in;
    for (int i = 0; i < base->n_steps; i++) {
        in.keep[i] = i > 0; /* next to nothing to look for: only base is asked for */
    }
    in.keep_speed = true;
    in.points = 1;
    in.runs_max = 10;
    in.away = (mdr_dye_away){.rates = {fast}, .n = 1};
    const mdr_shorten_out *one = shorten(&in);
    in.away = (mdr_dye_away){.rates = {fast, fast}, .n = 2};
    const mdr_shorten_out *two = shorten(&in);
    const double by_one = one->base_worst.strike_pct_per_contact - one->base.strike_pct_per_contact;
    const double by_two = two->base_worst.strike_pct_per_contact - two->base.strike_pct_per_contact;
    assert_true(by_one > 0.005);
    CHECK_NEAR(two->base_worst.spread_before - two->base.spread_before,
               sqrt(2.0) * (one->base_worst.spread_before - one->base.spread_before), 1e-12,
               "D: squares");
    assert_true(one->base_worst.spread_before > one->base.spread_before &&
                one->base_worst.spread_fixing > one->base.spread_fixing &&
                one->base_worst.spread_end > one->base.spread_end);
    CHECK_NEAR(by_two, sqrt(2.0) * by_one, 1e-12, "D: squares");
    for (int k = 0; k < 2; k++) {
        assert_true(one->base_worst.fixed[k] < one->base.fixed[k]);
        CHECK_NEAR(two->base.fixed[k] - two->base_worst.fixed[k],
                   sqrt(2.0) * (one->base.fixed[k] - one->base_worst.fixed[k]), 1e-12,
                   "D: squares");
    }
}

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

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)512 << 20);
    base = MDR_NEW(arena, mdr_dye_programme);
    kit_programme(base);
    usual_in = kit_shorten(base, arena);
    usual = shorten(&usual_in);
    return 0;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(base_is_what_it_is),
                                       cmocka_unit_test(points_are_in_order),
                                       cmocka_unit_test(finer_ropes_say_the_same),
                                       cmocka_unit_test(programmes_can_be_set),
                                       cmocka_unit_test(reasons_are_true),
                                       cmocka_unit_test(found_again_is_not_shorter),
                                       cmocka_unit_test(what_is_kept_stays),
                                       cmocka_unit_test(a_margin_takes_time),
                                       cmocka_unit_test(what_stays_counts_at_the_end),
                                       cmocka_unit_test(margins_add_in_squares),
                                       cmocka_unit_test(a_limit_while_dye_is_fixed),
                                       cmocka_unit_test(coarse_is_near_fine),
                                       cmocka_unit_test(nothing_that_counts_is_left_out),
                                       cmocka_unit_test(before_the_dye_nothing_is_tried_twice),
                                       cmocka_unit_test(coarse_is_near_fine_in_a_wide_zone),
                                       cmocka_unit_test(refused),
                                       cmocka_unit_test(stops_when_nobody_wants_more),
                                       cmocka_unit_test(memory_fails_anywhere)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
