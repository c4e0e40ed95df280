#include "t.h"

#include <string.h>

#include "core/colour/mdr_verdict.h"

static const mdr_lab STANDARD = {50, 30, 10};

static mdr_verdict judged(mdr_lab sample, const mdr_tolerance *t)
{
    mdr_lab standards[MDR_LIGHTS_MAX], samples[MDR_LIGHTS_MAX];
    mdr_verdict v;
    mdr_err err;
    for (int i = 0; i < MDR_LIGHTS_MAX; i++) {
        standards[i] = STANDARD;
        samples[i] = sample;
    }
    if (mdr_verdict_of_labs(standards, samples, t, &v, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return v;
}

/* The limit itself passes. */
static void limit_of_the_formula(void **state)
{
    (void)state;
    const mdr_tolerance t = mdr_tolerance_simple(MDR_DE_76, 1.0);
    assert_true(judged((mdr_lab){51, 30, 10}, &t).passes);
    assert_true(judged((mdr_lab){50.999, 30, 10}, &t).passes);
    const mdr_verdict over = judged((mdr_lab){51.001, 30, 10}, &t);
    assert_false(over.passes);
    assert_true(over.light[0].over_de);
    assert_int_equal(over.light[0].words.word[0], MDR_WORD_LIGHTER);
    /* 0.1 + 0.2 is not 0.3, yet passes a limit of 0.3 */
    const mdr_tolerance narrow = mdr_tolerance_simple(MDR_DE_76, 0.3);
    assert_true(judged((mdr_lab){50 + 0.1 + 0.2, 30, 10}, &narrow).passes);
    const mdr_tolerance cmc = mdr_tolerance_simple(MDR_DE_CMC, 1.0);
    CHECK_NEAR(judged((mdr_lab){51, 31, 10}, &cmc).light[0].difference.de,
               mdr_difference_cmc(STANDARD, (mdr_lab){51, 31, 10}, 2, 1), 1e-12, "D: CMC 2:1");
}

static void limits_on_axes(void **state)
{
    (void)state;
    static const struct {
        mdr_axis axis;
        double least, most;
        mdr_lab sample;
        bool passes;
    } ROWS[] = {
        {MDR_AXIS_DL, -0.5, 1, {51, 30, 10}, true},
        {MDR_AXIS_DL, -0.5, 1, {51.01, 30, 10}, false},
        {MDR_AXIS_DL, -0.5, 1, {49.4, 30, 10}, false},
        {MDR_AXIS_DL, -0.5, 1, {49.5, 30, 10}, true},
        {MDR_AXIS_DL, 0, 0.7, {50.7, 30, 10}, true}, /* 50.7 - 50 is a hair more than 0.7 */
        {MDR_AXIS_DA, 0, 2, {50, 29.9, 10}, false},
        {MDR_AXIS_DA, 0, 2, {50, 32, 10}, true},
        {MDR_AXIS_DB, -1, 0, {50, 30, 10.1}, false},
        {MDR_AXIS_DB, -1, 0, {50, 30, 9}, true},
        {MDR_AXIS_DC, -1, 1, {50, 31, 10.4}, false},
        {MDR_AXIS_DC, -1, 1, {50, 30, 11}, true},
        {MDR_AXIS_DH, -0.5, 0.5, {50, 30, 11}, false},
        {MDR_AXIS_DH, -1, 1, {50, 30, 11}, true},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_tolerance t = mdr_tolerance_simple(MDR_DE_76, 100);
        t.limit[ROWS[i].axis] = (mdr_axis_limit){ROWS[i].least, ROWS[i].most, true};
        const mdr_verdict v = judged(ROWS[i].sample, &t);
        assert_int_equal(v.passes, ROWS[i].passes);
        for (int a = 0; a < MDR_AXIS_COUNT; a++) {
            assert_int_equal(v.light[0].over_axis[a], a == (int)ROWS[i].axis && !ROWS[i].passes);
        }
        assert_false(v.light[0].over_de);
    }
}

static void several_lights(void **state)
{
    (void)state;
    mdr_tolerance t = mdr_tolerance_simple(MDR_DE_76, 1.0);
    t.n_lights = 3;
    t.light[1] = (mdr_light){MDR_ILL_A, MDR_OBSERVER_10, 0.5};
    t.light[2] = (mdr_light){MDR_ILL_F11, MDR_OBSERVER_10, 3.0};
    t.limit[MDR_AXIS_DL] = (mdr_axis_limit){-0.1, 0.1, true};
    const mdr_lab standard[3] = {STANDARD, STANDARD, STANDARD};
    const mdr_lab sample[3] = {{50, 30.4, 10}, {50.5, 30, 10}, {52, 30, 10}};
    mdr_verdict v;
    assert_int_equal(mdr_verdict_of_labs(standard, sample, &t, &v, NULL), MDR_OK);
    assert_true(v.passes);        /* limits on axes hold under the first light only */
    assert_int_equal(v.worst, 1); /* 0.5 of 0.5, against 0.4 of 1 and 2 of 3 */
    const mdr_lab off[3] = {{50, 30.4, 10}, {50.6, 30, 10}, {52, 30, 10}};
    assert_int_equal(mdr_verdict_of_labs(standard, off, &t, &v, NULL), MDR_OK);
    assert_false(v.passes);
    assert_true(v.light[0].passes && !v.light[1].passes && v.light[2].passes);
}

/* By curves: the same as the colours worked out one by one. */
static void by_curves(void **state)
{
    (void)state;
    static mdr_spectrum p = {.start_nm = 400, .step_nm = 10, .n = 31}, q;
    q = p;
    for (int k = 0; k < 31; k++) {
        p.v[k] = 0.1 + 0.01 * k;
        q.v[k] = 0.1 + 0.01 * k + (k % 7) * 0.002;
    }
    mdr_tolerance t = mdr_tolerance_simple(MDR_DE_2000, 0.5);
    t.n_lights = 2;
    t.light[1] = (mdr_light){MDR_ILL_LED_B3, MDR_OBSERVER_2, 0.5};
    mdr_verdict v;
    assert_int_equal(mdr_verdict_of(&p, &q, &t, &v, NULL), MDR_OK);
    CHECK_NEAR(v.light[1].difference.de,
               mdr_difference_2000(mdr_lab_of_spectrum(&p, MDR_ILL_LED_B3, MDR_OBSERVER_2),
                                   mdr_lab_of_spectrum(&q, MDR_ILL_LED_B3, MDR_OBSERVER_2), 1, 1,
                                   1),
               0, "D");
    CHECK_NEAR(v.light[0].standard.l, mdr_lab_of_spectrum(&p, MDR_ILL_D65, MDR_OBSERVER_10).l, 0,
               "D");
}

static void refused(void **state)
{
    (void)state;
    mdr_err err;
    mdr_verdict v = {.worst = 7};
    const mdr_lab labs[MDR_LIGHTS_MAX] = {STANDARD};
#define REFUSE(change, code, at)                                               \
    do {                                                                       \
        mdr_tolerance t = mdr_tolerance_simple(MDR_DE_CMC, 1.0);               \
        change;                                                                \
        assert_int_equal(mdr_verdict_of_labs(labs, labs, &t, &v, &err), code); \
        assert_string_equal(err.place, at);                                    \
        assert_int_equal(v.worst, 7);                                          \
    } while (0)
    REFUSE(t.n_lights = 0, MDR_E_RANGE, "n_lights");
    REFUSE(t.n_lights = 9, MDR_E_RANGE, "n_lights");
    REFUSE(t.light[0].most_de = 0, MDR_E_RANGE, "light[0].most_de");
    REFUSE(t.light[0].most_de = (double)NAN, MDR_E_RANGE, "light[0].most_de");
    REFUSE((t.n_lights = 2, t.light[1] = t.light[0]), MDR_E_CONFLICT, "light[1]");
    REFUSE(t.spec.l = 0, MDR_E_RANGE, "l");
    const mdr_axis_limit reversed = {1, -1, true};
    REFUSE(t.limit[MDR_AXIS_DH] = reversed, MDR_E_RANGE, "limit.dH");
    const mdr_axis_limit open = {-1, (double)INFINITY, true};
    REFUSE(t.limit[MDR_AXIS_DL] = open, MDR_E_RANGE, "limit.dL");
#undef REFUSE
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limit_of_the_formula), cmocka_unit_test(limits_on_axes),
        cmocka_unit_test(several_lights), cmocka_unit_test(by_curves), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
