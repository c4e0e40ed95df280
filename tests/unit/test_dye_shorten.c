/* What is found is shorter, as level, true by a finer rope, and each reason that forbids a minute is true. */
#include "dye_shorten_kit.h"

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
                                       cmocka_unit_test(a_limit_while_dye_is_fixed)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
