/* Answers read off a dyeing that was written down by hand: two dyes, two ropes of two slices, five
 * samples. */
#include "t.h"

#include "core/exhaust/mdr_dyeing_answers.h"

enum { DYES = 2, SAMPLES = 5, SLICES = 4, TUBES = 2 };

static const double T_MIN[SAMPLES] = {0, 10, 20, 30, 40};
static const double GIVEN[SAMPLES * DYES] = {0, 0, 1, 0.5, 1, 1, 1, 1, 1, 1};
static const double ON[SAMPLES * DYES] = {0, 0, 0.3, 0.1, 0.4, 0.3, 0.6, 0.7, 0.8, 0.9};
static const double FIXED[SAMPLES * DYES] = {0, 0, 0, 0, 0, 0, 0.3, 0.5, 0.6, 0.85};
static const double HYDROLYSED[SAMPLES * DYES] = {0, 0, 0, 0, 0, 0, 0.05, 0.05, 0.2, 0.1};
static const double BATH[SAMPLES * DYES] = {0, 0, 0.6, 0.35, 0.5, 0.6, 0.3, 0.2, 0.05, 0.02};
static const double BATH_GONE[SAMPLES * DYES] = {0, 0, 0, 0, 0, 0, 0, 0, 0.1, 0.05};
static const double HELD[SAMPLES * DYES] = {0, 0, 0.1, 0.05, 0.1, 0.1, 0.1, 0.1, 0.05, 0.03};
static const double STRIKE[SAMPLES * DYES] = {0, 0, 1.5, 0.5, 0.5, 1.0, 1.0, 2.0, 1.0, 1.0};
static const double SPREAD[SAMPLES * DYES] = {0, 0, 0.5, 0.4, 0.2, 0.2, 0.1, 0.1, 0.05, 0.02};
static const double CONTACTS[SAMPLES] = {0, 20, 40, 60, 85};
/* kg/kg; 1 and 2 in the first rope */
static const float MAP[SAMPLES * SLICES * DYES] = {
    0,     0,     0,     0,     0,     0,     0,     0,     /* */
    0.01f, 0.01f, 0.02f, 0.02f, 0.01f, 0.01f, 0.01f, 0.01f, /* */
    0.01f, 0.01f, 0.02f, 0.02f, 0.02f, 0.01f, 0.01f, 0.02f, /* */
    0.03f, 0.03f, 0.03f, 0.03f, 0.03f, 0.03f, 0.03f, 0.03f, /* */
    0.04f, 0.02f, 0.04f, 0.04f, 0.05f, 0.03f, 0.05f, 0.03f};

/* of it fixed: at the end 0.03 0.05 | 0.05 0.05, at 30 min half of 0.06 */
static const float FIXED_MAP[SAMPLES * SLICES * DYES] = {
    0,     0,     0,     0,     0,     0,     0,     0,     /* */
    0,     0,     0,     0,     0,     0,     0,     0,     /* */
    0,     0,     0,     0,     0,     0,     0,     0,     /* */
    0.01f, 0.02f, 0.01f, 0.02f, 0.01f, 0.02f, 0.01f, 0.02f, /* */
    0.02f, 0.01f, 0.02f, 0.03f, 0.03f, 0.02f, 0.03f, 0.02f};

static mdr_dyeing by_hand(void)
{
    return (mdr_dyeing){.t_min = T_MIN,
                        .given = GIVEN,
                        .on_fibre = ON,
                        .fixed = FIXED,
                        .hydrolysed = HYDROLYSED,
                        .bath_active = BATH,
                        .bath_hydrolysed = BATH_GONE,
                        .held = HELD,
                        .strike_per_contact_pct = STRIKE,
                        .spread = SPREAD,
                        .contacts = CONTACTS,
                        .map = MAP,
                        .fixed_map = FIXED_MAP,
                        .n_samples = SAMPLES,
                        .n_slices = SLICES,
                        .n_dyes = DYES};
}

static mdr_dyeing_answers answers_of(mdr_dyeing d, double before_min)
{
    const mdr_dyeing_rope rope = {.load_kg = 100, .tubes = TUBES, .tube_share = {0.5, 0.5}};
    const double kg[DYES] = {3, 1};
    mdr_dyeing_answers a;
    mdr_dyeing_answers_of(&d, &rope, kg, before_min, 1.0, &a);
    return a;
}

static mdr_dyeing_answers answers(double before_min)
{
    return answers_of(by_hand(), before_min);
}

static void uptake_of_each_dye(void **state)
{
    (void)state;
    const mdr_dyeing_answers a = answers(20);
    assert_int_equal(a.n_dyes, 2);
    const mdr_dye_answer *r = &a.dyes[0], *b = &a.dyes[1];
    CHECK_NEAR(r->exhaustion_pct, 80, 1e-12, "D: last sample");
    CHECK_NEAR(r->fixation_pct, 60, 1e-12, "D: last sample");
    CHECK_NEAR(r->yield_pct, 75, 1e-12, "D: 60 of 80");
    CHECK_NEAR(r->loose_pct, 20, 1e-12, "D: 80 - 60");
    CHECK_NEAR(r->hydrolysed_pct, 20, 1e-12, "D: last sample");
    CHECK_NEAR(r->left_pct, 20, 1e-12, "D: bath 5 + 10, rope's liquor 5");
    CHECK_NEAR(r->half_min, 20, 1e-9, "D: 40 of 80 % at 20 min");
    CHECK_NEAR(b->half_min, 23.75, 1e-9, "D: 45 % between 30 and 70");
    CHECK_NEAR(r->before_alkali_pct, 40, 1e-12, "D: at 20 min");
    CHECK_NEAR(r->spread_end_pct, 5, 1e-12, "D: last sample");
    CHECK_NEAR(r->kg, 3, 0, "D: given");
    CHECK_NEAR(a.exhaustion_pct, 82.5, 1e-12, "D: (3 x 80 + 90) / 4");
    CHECK_NEAR(a.fixation_pct, 66.25, 1e-12, "D: (3 x 60 + 85) / 4");
    CHECK_NEAR(a.loose_mg_per_kg, (3 * 0.20 + 0.05) * 1e4, 1e-6, "D: kg / 100 kg");
    /* dye that is not all in has no uptake before the alkali */
    const mdr_dyeing_answers early = answers(10);
    CHECK_NEAR(early.dyes[0].before_alkali_pct, 30, 1e-12, "D: at 10 min");
    CHECK_NEAR(early.dyes[1].before_alkali_pct, -1, 0, "D: half of it is given");
    const mdr_dyeing_answers none = answers(-1);
    CHECK_NEAR(none.dyes[0].before_alkali_pct, -1, 0, "D: no alkali");
    assert_true(!none.has_before);
    static const double AT_ONCE[SAMPLES * DYES] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
    mdr_dyeing all_in = by_hand();
    all_in.given = AT_ONCE;
    CHECK_NEAR(answers_of(all_in, 0).dyes[0].before_alkali_pct, 0, 0,
               "D: alkali with the dye, from the first minute: nothing was taken up before");
}

static void strike_against_the_limit(void **state)
{
    (void)state;
    const mdr_dyeing_answers a = answers(20);
    CHECK_NEAR(a.strike_most_pct, 2.0, 0, "D: the second dye in the third stretch");
    assert_int_equal(a.strike_dye, 1);
    CHECK_NEAR(a.strike_at_min, 25, 0, "D: middle of it");
    CHECK_NEAR(a.over_limit_min, 20, 0, "D: first and third stretch; 1.0 itself is not over");
    CHECK_NEAR(a.dyes[0].strike_most_pct, 1.5, 0, "D: first stretch");
    CHECK_NEAR(a.dyes[0].over_limit_min, 10, 0, "D: first stretch");
    CHECK_NEAR(a.dyes[1].over_limit_min, 10, 0, "D: third stretch");
    CHECK_NEAR(a.contacts_per_min, 2.5, 1e-12, "D: 25 in the last 10 min");
}

static void evenness_of_ropes(void **state)
{
    (void)state;
    const mdr_dyeing d = by_hand();
    const mdr_dyeing_rope rope = {.tubes = TUBES, .tube_share = {0.5, 0.5}};
    const mdr_dyeing_answers a = answers(20);
    /* on the fibre 0.06 0.08 | 0.08 0.08: mean 0.075, ropes 0.07 and 0.08 */
    const mdr_dyeing_answers held = answers(-1);
    CHECK_NEAR(held.end.spread_pct, 100 * 0.02 / 0.075, 1e-4, "D: by hand");
    CHECK_NEAR(held.end.along_pct, 100 * 0.02 / 0.07, 1e-4, "D: the first rope");
    CHECK_NEAR(held.end.between_pct, 100 * 0.01 / 0.075, 1e-4, "D: by hand");
    /* what stays, 0.03 0.05 | 0.05 0.05: mean 0.045, ropes 0.04 and 0.05 */
    CHECK_NEAR(a.end.spread_pct, 100 * 0.02 / 0.045, 1e-4, "D: of what is fixed");
    CHECK_NEAR(a.end.along_pct, 100 * 0.02 / 0.04, 1e-4, "D: of what is fixed");
    CHECK_NEAR(a.end.between_pct, 100 * 0.01 / 0.045, 1e-4, "D: of what is fixed");
    assert_true(a.fixes && !held.fixes);
    assert_int_equal(a.end.sample, 4);
    assert_true(a.has_before);
    assert_int_equal(a.before.sample, 2);
    CHECK_NEAR(a.before.along_pct, 100 * 0.02 / 0.03, 1e-4, "D: 0.02 and 0.04");
    CHECK_NEAR(mdr_dyeing_evenness(&d, MAP, &rope, 3).spread_pct, 0, 1e-4, "D: all alike");
    CHECK_NEAR(mdr_dyeing_evenness(&d, MAP, &rope, 0).spread_pct, 0, 0, "D: bare");
    CHECK_NEAR(mdr_dyeing_slice(&d, MAP, 4, 1), 0.08, 1e-7, "D: both dyes");
    assert_true(!answers(0).has_before); /* nothing is on yet */
}

/* Ropes of a quarter and three quarters of the load: 0.06 0.08 | 0.08 0.08. */
static void a_long_rope_counts_for_what_it_weighs(void **state)
{
    (void)state;
    const mdr_dyeing d = by_hand();
    const mdr_dyeing_rope rope = {.tubes = TUBES, .tube_share = {0.25, 0.75}};
    const mdr_evenness e = mdr_dyeing_evenness(&d, MAP, &rope, 4);
    const double mean = 0.25 * 0.07 + 0.75 * 0.08;
    CHECK_NEAR(mdr_dyeing_slice_share(&d, &rope, 1), 0.125, 1e-15, "D: half of a quarter");
    CHECK_NEAR(mdr_dyeing_slice_share(&d, &rope, 2), 0.375, 1e-15, "D: half of three quarters");
    CHECK_NEAR(e.spread_pct, 100 * 0.02 / mean, 1e-4, "D: by hand");
    CHECK_NEAR(e.between_pct, 100 * 0.01 / mean, 1e-4, "D: by hand");
    CHECK_NEAR(e.along_pct, 100 * 0.02 / 0.07, 1e-4, "D: the short rope by itself");
}

/* Fixed of all dye at 20, 30, 40 min: 0, 0.35 and 0.6625. */
static void the_time_while_dye_is_fixed(void **state)
{
    (void)state;
    const mdr_dyeing_answers a = answers(20), none = answers(-1);
    assert_int_equal(a.fixing_first, 2);
    assert_int_equal(a.fixing_last, 4); /* at 30 min 53 % of what will be are fixed, less than 80 */
    assert_int_equal(none.fixing_first, -1);
    assert_int_equal(none.fixing_last, -1);
    assert_int_equal(answers(0).fixing_first, 1); /* bare at the alkali: from where there is dye */
    assert_int_equal(answers(40).fixing_last, 4);
}

static void together_or_apart(void **state)
{
    (void)state;
    const mdr_dyeing_answers a = answers(20);
    /* of their ends: 37.5 and 11.1; 50 and 33.3; 75 and 77.8 % */
    CHECK_NEAR(a.apart_most_pct, 37.5 - 100.0 / 9, 1e-9, "D: at 10 min");
    CHECK_NEAR(a.apart_at_min, 10, 0, "D: at 10 min");
    assert_int_equal(a.apart_first, 0);
    assert_int_equal(a.apart_last, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(uptake_of_each_dye),
        cmocka_unit_test(strike_against_the_limit),
        cmocka_unit_test(evenness_of_ropes),
        cmocka_unit_test(a_long_rope_counts_for_what_it_weighs),
        cmocka_unit_test(the_time_while_dye_is_fixed),
        cmocka_unit_test(together_or_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
