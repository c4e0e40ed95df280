#include "t.h"

#include <stdlib.h>
#include <string.h>

#include "core/quality/mdr_fabric_result.h"

static mdr_readings readings(int n, double a, double b, double c)
{
    return (mdr_readings){.values = {a, b, c}, .n = n};
}

static mdr_result_limit at_most(double high)
{
    return (mdr_result_limit){0.0, high, false, true};
}

static mdr_result_limit at_least(double low)
{
    return (mdr_result_limit){low, 0.0, true, false};
}

static mdr_property_result judged(mdr_property p, mdr_readings r, mdr_result_limit l)
{
    mdr_result_in in = {0};
    mdr_fabric_result out;
    in.readings[p] = r;
    in.limits[p] = l;
    assert_int_equal(mdr_fabric_result_of(&in, &out, NULL), MDR_OK);
    return out.of[p];
}

static void marks(void **state)
{
    (void)state;
    const double before[] = {35, 35, 25.4}, after[] = {33.25, 33.6, 25.908};
    const char *src = "D: ISO 5077, 100 (after - before)/before";
    mdr_readings r;
    assert_int_equal(mdr_readings_of_marks(before, after, 3, &r, NULL), MDR_OK);
    assert_int_equal(r.n, 3);
    CHECK_NEAR(r.values[0], -5, 1e-12, src);
    CHECK_NEAR(r.values[1], -4, 1e-12, src);
    CHECK_NEAR(r.values[2], 2, 1e-12, src);
}

static void cutter(void **state)
{
    (void)state;
    const double mass[] = {1.62, 1.58};
    mdr_readings r;
    assert_int_equal(mdr_readings_of_cutter(mass, 2, 100, &r, NULL), MDR_OK);
    CHECK_NEAR(r.values[0], 162, 1e-12, "D: 100 cm2 cutter, g x 100");
    CHECK_NEAR(r.values[1], 158, 1e-12, "D: 100 cm2 cutter, g x 100");
    assert_int_equal(mdr_readings_of_cutter(mass, 1, 50, &r, NULL), MDR_OK);
    CHECK_NEAR(r.values[0], 324, 1e-12, "D: half the area");
    assert_int_equal(r.n, 1);
}

static void bow_and_twist(void **state)
{
    (void)state;
    const double d[] = {4.5, 3}, ac[] = {36.2, 34.6}, bd[] = {34.6, 36.2};
    mdr_readings r;
    assert_int_equal(mdr_readings_of_bow(d, 2, 150, &r, NULL), MDR_OK);
    CHECK_NEAR(r.values[0], 3, 1e-12, "D: ASTM D3882, 100 d/width");
    CHECK_NEAR(r.values[1], 2, 1e-12, "D: ASTM D3882, 100 d/width");
    assert_int_equal(mdr_readings_of_squares(ac, bd, 2, &r, NULL), MDR_OK);
    CHECK_NEAR(r.values[0], 200 * 1.6 / 70.8, 1e-12, "M: AATCC 179 option 1");
    CHECK_NEAR(r.values[1], -200 * 1.6 / 70.8, 1e-12, "M: AATCC 179 option 1");
}

static void mean_and_spread(void **state)
{
    (void)state;
    const mdr_property_result r =
        judged(MDR_PROPERTY_GSM, readings(3, 158, 160, 165), at_least(150));
    CHECK_NEAR(r.mean, 161, 1e-12, "D: 483/3");
    CHECK_NEAR(r.spread, sqrt(13), 1e-12, "D: (9 + 1 + 16)/2");
    CHECK_NEAR(r.margin, 11, 1e-12, "D: 161 - 150");
    CHECK_NEAR(r.limit, 150, 0, "D");
    assert_false(r.above);
    assert_int_equal(r.n, 3);
    assert_int_equal(r.n_beyond, 0);
    assert_int_equal(r.verdict, MDR_RESULT_MET);
}

static const struct {
    double a, b, c;
    int n;
    double limit; /* at most */
    mdr_result_verdict verdict;
    double margin;
    int n_beyond;
} VERDICTS[] = {
    {150, 150, 150, 3, 160, MDR_RESULT_MET, 10, 0},
    {158, 159, 160, 3, 160.5, MDR_RESULT_MET, 1.5, 0},                /* s is 1 */
    {158, 159, 160, 3, 160, MDR_RESULT_MET, 1, 0},                    /* as far as s: just met */
    {157, 159, 161, 3, 160.9, MDR_RESULT_NEAR, 1.9, 1},               /* one lies beyond */
    {150, 150, 154, 3, 153.9, MDR_RESULT_NEAR, 153.9 - 454.0 / 3, 1}, /* farther than s */
    {157, 159, 161, 3, 161, MDR_RESULT_MET, 2, 0},
    {158, 159, 160, 3, 159.5, MDR_RESULT_NEAR, 0.5, 1},
    {158, 159, 160, 3, 158.9, MDR_RESULT_MISSED, -0.1, 2}, /* scatter is no excuse */
    {158, 159, 160, 3, 150, MDR_RESULT_MISSED, -9, 3},
    {160, 0, 0, 1, 160, MDR_RESULT_MET, 0, 0}, /* one reading has no spread */
    {160.5, 0, 0, 1, 160, MDR_RESULT_MISSED, -0.5, 1},
    {160, 160, 0, 2, 160, MDR_RESULT_MET, 0, 0},
};

static void verdicts(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(VERDICTS); i++) {
        const mdr_property_result r =
            judged(MDR_PROPERTY_WIDTH,
                   readings(VERDICTS[i].n, VERDICTS[i].a, VERDICTS[i].b, VERDICTS[i].c),
                   at_most(VERDICTS[i].limit));
        if (r.verdict != VERDICTS[i].verdict || r.n_beyond != VERDICTS[i].n_beyond) {
            fail_msg("row %zu: %s, %d beyond; D: the rule of the header", i,
                     mdr_result_verdict_id(r.verdict), r.n_beyond);
        }
        CHECK_NEAR(r.margin, VERDICTS[i].margin, 1e-9, "D: limit - mean");
        assert_true(r.above);
    }
}

static void two_limits(void **state)
{
    (void)state;
    const mdr_result_limit l = {152, 168, true, true};
    mdr_property_result r = judged(MDR_PROPERTY_GSM, readings(1, 155, 0, 0), l);
    CHECK_NEAR(r.margin, 3, 1e-12, "D: the nearer one");
    CHECK_NEAR(r.limit, 152, 0, "D: the nearer one");
    assert_false(r.above);
    r = judged(MDR_PROPERTY_GSM, readings(1, 170, 0, 0), l);
    CHECK_NEAR(r.margin, -2, 1e-12, "D: beyond the upper one");
    assert_true(r.above);
    r = judged(MDR_PROPERTY_GSM, readings(1, 150, 0, 0), l);
    CHECK_NEAR(r.margin, -2, 1e-12, "D: beyond the lower one");
    assert_int_equal(r.verdict, MDR_RESULT_MISSED);
}

static void leaning_counts_either_way(void **state)
{
    (void)state;
    mdr_property_result r = judged(MDR_PROPERTY_TWIST_PCT, readings(2, 6, -6, 0), at_most(5));
    CHECK_NEAR(r.mean, 6, 1e-12, "D: magnitudes, they do not cancel");
    CHECK_NEAR(r.spread, 0, 1e-12, "D");
    assert_int_equal(r.verdict, MDR_RESULT_MISSED);
    r = judged(MDR_PROPERTY_SPIRALITY_DEG, readings(1, -3, 0, 0), at_most(4));
    CHECK_NEAR(r.mean, 3, 1e-12, "D");
    r = judged(MDR_PROPERTY_BOW, readings(2, -2, 2, 0), at_most(3));
    CHECK_NEAR(r.mean, 2, 1e-12, "D");
    r = judged(MDR_PROPERTY_SKEW, readings(1, -2, 0, 0), at_most(3));
    CHECK_NEAR(r.mean, 2, 1e-12, "D");
    r = judged(MDR_PROPERTY_LENGTH_CHANGE, readings(2, -2, 2, 0), at_least(-5));
    CHECK_NEAR(r.mean, 0, 1e-12, "D: a change has its sign");
}

/* Per cent and degrees are two methods: a limit of one is not answered by the other. */
static void twist_is_never_mixed(void **state)
{
    (void)state;
    mdr_result_in in = {0};
    mdr_fabric_result out;
    in.limits[MDR_PROPERTY_TWIST_PCT] = at_most(5);
    in.readings[MDR_PROPERTY_SPIRALITY_DEG] = readings(1, 2, 0, 0);
    assert_int_equal(mdr_fabric_result_of(&in, &out, NULL), MDR_OK);
    assert_int_equal(out.of[MDR_PROPERTY_TWIST_PCT].verdict, MDR_RESULT_NOT_MEASURED);
    assert_int_equal(out.of[MDR_PROPERTY_SPIRALITY_DEG].verdict, MDR_RESULT_NOT_ASKED);
    assert_int_equal(out.n_not_measured, 1);
    CHECK_NEAR(out.of[MDR_PROPERTY_SPIRALITY_DEG].mean, 2, 1e-12, "D: still reported");
}

static const struct {
    double a, b, c;
    int n;
    double mean;
    mdr_result_verdict verdict; /* at least 4 */
} GRADES[] = {
    {4, 0, 0, 1, 4, MDR_RESULT_MET},          {3.5, 0, 0, 1, 3.5, MDR_RESULT_MISSED},
    {4.5, 0, 0, 1, 4.5, MDR_RESULT_MET},      {4, 4, 3.5, 3, 4, MDR_RESULT_NEAR}, /* 3.83 */
    {4, 3.5, 3.5, 3, 3.5, MDR_RESULT_MISSED},                                     /* 3.67 */
    {4, 3.5, 0, 2, 3.5, MDR_RESULT_MISSED}, /* 3.75 lies between: the worse */
    {5, 5, 4.5, 3, 5, MDR_RESULT_MET},
};

static void grades(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(GRADES); i++) {
        const mdr_property_result r =
            judged(MDR_PROPERTY_PILLING,
                   readings(GRADES[i].n, GRADES[i].a, GRADES[i].b, GRADES[i].c), at_least(4));
        CHECK_NEAR(r.mean, GRADES[i].mean, 1e-12, "M: ISO 12945-4, to the nearest half");
        assert_int_equal(r.verdict, GRADES[i].verdict);
    }
    const mdr_property_result light =
        judged(MDR_PROPERTY_LIGHT, readings(1, 7.5, 0, 0), at_least(4));
    assert_int_equal(light.verdict, MDR_RESULT_MET);
}

static void limits_of_a_demand(void **state)
{
    (void)state;
    const mdr_spec_demand d = {.gsm = 160,
                               .gsm_tol_pct = 5,
                               .width_cm = 180,
                               .width_tol_cm = 2.5,
                               .length_shrink_max_frac = 0.05,
                               .width_shrink_max_frac = 0.06,
                               .length_shrink_min_frac = -0.02,
                               .width_shrink_min_frac = -0.01};
    mdr_result_limit l[MDR_PROPERTY_COUNT] = {0};
    const double want[][2] = {[MDR_PROPERTY_LENGTH_CHANGE] = {-5, 2},
                              [MDR_PROPERTY_WIDTH_CHANGE] = {-6, 1},
                              [MDR_PROPERTY_GSM] = {152, 168},
                              [MDR_PROPERTY_WIDTH] = {177.5, 182.5}};
    l[MDR_PROPERTY_BOW] = at_most(3);
    mdr_result_limit_by(&d, l);
    for (int i = 0; i <= MDR_PROPERTY_WIDTH; i++) {
        CHECK_NEAR(l[i].low, want[i][0], 1e-9, "D");
        CHECK_NEAR(l[i].high, want[i][1], 1e-9, "D");
        assert_true(l[i].has_low && l[i].has_high);
    }
    CHECK_NEAR(l[MDR_PROPERTY_BOW].high, 3, 0, "contract: the others stay");
    assert_false(l[MDR_PROPERTY_SKEW].has_high);
}

static void counts(void **state)
{
    (void)state;
    mdr_result_in in = {0};
    mdr_fabric_result out;
    in.limits[MDR_PROPERTY_GSM] = at_least(150);
    in.readings[MDR_PROPERTY_GSM] = readings(1, 160, 0, 0);
    in.limits[MDR_PROPERTY_BOW] = at_most(3);
    in.readings[MDR_PROPERTY_BOW] = readings(2, 2.5, 3.2, 0);
    in.limits[MDR_PROPERTY_RUB_WET] = at_least(3);
    in.readings[MDR_PROPERTY_RUB_WET] = readings(1, 2.5, 0, 0);
    in.limits[MDR_PROPERTY_LIGHT] = at_least(4);
    assert_int_equal(mdr_fabric_result_of(&in, &out, NULL), MDR_OK);
    assert_int_equal(out.n_met, 1);
    assert_int_equal(out.n_near, 1);
    assert_int_equal(out.n_missed, 1);
    assert_int_equal(out.n_not_measured, 1);
}

static void words(void **state)
{
    (void)state;
    for (int i = 0; i < MDR_PROPERTY_COUNT; i++) {
        const mdr_property p = (mdr_property)i;
        assert_true(mdr_property_words(p)[0] != '\0' && mdr_property_unit(p)[0] != '\0');
        assert_int_equal(mdr_property_is_grade(p), strcmp(mdr_property_unit(p), "grade") == 0);
        for (int k = 0; k < i; k++) {
            assert_string_not_equal(mdr_property_id(p), mdr_property_id((mdr_property)k));
        }
    }
    assert_int_equal(mdr_property_matter(MDR_PROPERTY_WIDTH), MDR_MATTER_LOOPS);
    assert_int_equal(mdr_property_matter(MDR_PROPERTY_SKEW), MDR_MATTER_LINES);
    assert_int_equal(mdr_property_matter(MDR_PROPERTY_TWIST_PCT), MDR_MATTER_FABRIC);
    assert_string_equal(mdr_result_verdict_id(MDR_RESULT_NEAR), "near");
    assert_true(mdr_result_verdict_words(MDR_RESULT_MISSED)[0] != '\0');
}

static void refused(mdr_property p, double value, mdr_result_limit l, const char *place)
{
    mdr_result_in in = {0};
    mdr_fabric_result out = {.n_met = 4711};
    mdr_err err;
    in.limits[p] = l;
    in.readings[p] = readings(2, 4, value, 0);
    assert_int_equal(mdr_fabric_result_of(&in, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, place);
    assert_true(err.remedy[0] != '\0');
    assert_int_equal(out.n_met, 4711);
}

static void refusals(void **state)
{
    (void)state;
    const mdr_result_limit none = {0};
    refused(MDR_PROPERTY_RUB_DRY, 4.25, none, "rub_dry[1]");
    refused(MDR_PROPERTY_RUB_DRY, 5.5, none, "rub_dry[1]");
    refused(MDR_PROPERTY_PILLING, 0.5, none, "pilling[1]");
    refused(MDR_PROPERTY_LIGHT, 8.5, none, "light[1]");
    refused(MDR_PROPERTY_WIDTH_CHANGE, -51, none, "width_change[1]");
    refused(MDR_PROPERTY_SPIRALITY_DEG, (double)NAN, none, "spirality[1]");
    refused(MDR_PROPERTY_LENGTH_CHANGE, 4, (mdr_result_limit){5, -5, true, true}, "length_change");
    mdr_result_in in = {0};
    mdr_fabric_result out;
    mdr_err err;
    in.readings[MDR_PROPERTY_RUB_DRY] = readings(1, 4.25, 0, 0);
    assert_int_equal(mdr_fabric_result_of(&in, &out, &err), MDR_E_RANGE);
    assert_non_null(strstr(err.remedy, "halves"));
    in.readings[MDR_PROPERTY_RUB_DRY].n = 0;
    in.readings[MDR_PROPERTY_GSM].n = MDR_READINGS_MAX + 1;
    assert_int_equal(mdr_fabric_result_of(&in, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "n");
}

static void refused_readings(void **state)
{
    (void)state;
    const double good[] = {35, 35}, far[] = {35, 16}, zero[] = {35, 0};
    mdr_readings r = {.n = 4711};
    mdr_err err;
    assert_int_equal(mdr_readings_of_marks(good, far, 2, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "after[1]");
    assert_int_equal(mdr_readings_of_marks(zero, good, 2, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "before[1]");
    assert_int_equal(mdr_readings_of_marks(good, good, 0, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "n");
    assert_string_equal(err.value, "0");
    assert_int_equal(strncmp(err.allowed, "1 to ", 5), 0);
    assert_int_equal(atoi(err.allowed + 5), MDR_READINGS_MAX);
    assert_int_equal(mdr_readings_of_cutter(zero, 2, 100, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "mass[1]");
    assert_int_equal(mdr_readings_of_cutter(good, 2, 0, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "area_cm2");
    assert_int_equal(mdr_readings_of_bow(good, 2, 60, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "distance[0]");
    assert_int_equal(mdr_readings_of_bow(good, 2, 0, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "width_cm");
    assert_int_equal(mdr_readings_of_squares(zero, good, 2, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "ac[1]");
    assert_int_equal(mdr_readings_of_squares(good, far, 2, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "bd[1]");
    assert_int_equal(r.n, 4711);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks),
        cmocka_unit_test(cutter),
        cmocka_unit_test(bow_and_twist),
        cmocka_unit_test(mean_and_spread),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(two_limits),
        cmocka_unit_test(leaning_counts_either_way),
        cmocka_unit_test(twist_is_never_mixed),
        cmocka_unit_test(grades),
        cmocka_unit_test(limits_of_a_demand),
        cmocka_unit_test(counts),
        cmocka_unit_test(words),
        cmocka_unit_test(refusals),
        cmocka_unit_test(refused_readings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
