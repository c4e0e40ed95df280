#include "t.h"

#include "core/knit/mdr_inspect.h"

static void dimensions(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_inspect_change_pct(35, 33.25), -5, 1e-12, "D: ISO 5077, minus is shrinkage");
    CHECK_NEAR(mdr_inspect_change_pct(25, 25.5), 2, 1e-12, "D: growth");
    CHECK_NEAR(mdr_inspect_residual_pct(6, 151.02 / 148), 7.88, 0.005,
               "D: textilelearner p=466, exact; its rule adds up to 8");
    CHECK_NEAR(mdr_inspect_residual_pct(12, 0.95), 7.37, 0.005,
               "D: textilelearner p=466, exact; its rule leaves 7");
    CHECK_NEAR(mdr_inspect_residual_pct(4.2, 1), 4.2, 1e-12, "D: nothing done");
    CHECK_NEAR(mdr_inspect_bow_pct(4.5, 150), 3, 1e-12, "D: 100 d/width");
    CHECK_NEAR(mdr_inspect_skew_pct(36.2, 34.6), 4.5198, 1e-4, "D: 200 x 1.6/70.8");
    CHECK_NEAR(mdr_inspect_skew_pct(34.6, 36.2), -4.5198, 1e-4, "D: the other diagonal");
    CHECK_NEAR(mdr_inspect_gsm_of_sample(1.62, 100), 162, 1e-12, "D: 100 cm2 cutter");
    CHECK_NEAR(mdr_inspect_gsm_of_sample(4.05, 250), 162, 1e-12, "D: another area");
}

/* 70 inch, 170 g/m2, length -10 %, width -3 %: widened by 2 %, then 8 % overfeed. The page prints
 * L -2 and W -3; the exact residuals are tested. */
static void published_overfeed(void **state)
{
    (void)state;
    const char *src = "S: textilelearner 2013/06; D: its residuals, exact";
    const double length = 1 / 1.08, width = 1.02;
    CHECK_NEAR(70 * width, 71.4, 1e-12, src);
    CHECK_NEAR(mdr_inspect_gsm_after(170, length, width), 180.0, 1e-9, src);
    CHECK_NEAR(mdr_inspect_residual_pct(10, length), 2.8, 1e-12, src);
    CHECK_NEAR(mdr_inspect_residual_pct(3, width), 4.9, 0.005, src);
    CHECK_NEAR(mdr_inspect_gsm_after(mdr_inspect_gsm_after(170, length, width), 0.972, 0.97 / 1.02),
               170 / 0.9 / 0.97, 1e-9, "D: the relaxed fabric is the same either way");
}

static void points_by_length(void **state)
{
    (void)state;
    static const struct {
        mdr_inspect_unit unit;
        double length;
        bool hole;
        int points;
    } ROWS[] = {
        {MDR_INSPECT_INCH, 0.1, false, 1},  {MDR_INSPECT_INCH, 3, false, 1},
        {MDR_INSPECT_INCH, 3.01, false, 2}, {MDR_INSPECT_INCH, 6, false, 2},
        {MDR_INSPECT_INCH, 6.01, false, 3}, {MDR_INSPECT_INCH, 9, false, 3},
        {MDR_INSPECT_INCH, 9.01, false, 4}, {MDR_INSPECT_INCH, 400, false, 4},
        {MDR_INSPECT_INCH, 1, true, 2},     {MDR_INSPECT_INCH, 1.01, true, 4},
        {MDR_INSPECT_MM, 75, false, 1},     {MDR_INSPECT_MM, 76, false, 2},
        {MDR_INSPECT_MM, 150, false, 2},    {MDR_INSPECT_MM, 151, false, 3},
        {MDR_INSPECT_MM, 230, false, 3},    {MDR_INSPECT_MM, 231, false, 4},
        {MDR_INSPECT_MM, 25, true, 2},      {MDR_INSPECT_MM, 26, true, 4},
        {MDR_INSPECT_MM, 0, false, 0},      {MDR_INSPECT_MM, 0, true, 0},
        {MDR_INSPECT_INCH, -2, false, 0},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        if (mdr_inspect_points(ROWS[i].unit, ROWS[i].length, ROWS[i].hole) != ROWS[i].points) {
            fail_msg("row %zu, M: ASTM D5430", i);
        }
    }
    assert_int_equal(mdr_inspect_points(MDR_INSPECT_INCH, (double)NAN, false), 0);
}

static int total(mdr_inspect_unit unit, const mdr_inspect_defect *d, int n)
{
    int points = -7;
    assert_int_equal(mdr_inspect_total(unit, d, n, &points, NULL), MDR_OK);
    return points;
}

static void four_a_yard(void **state)
{
    (void)state;
    /* yard 3: 2 + 3 + 1, at most 4; yard 4 begins at 4.0; yard 0: a small hole; given out of turn */
    const mdr_inspect_defect d[] = {
        {3.1, 5, false}, {0.2, 0.8, true}, {3.9, 8, false}, {4.0, 12, false}, {3.5, 1, false}};
    assert_int_equal(total(MDR_INSPECT_INCH, d, 5), 4 + 2 + 4);
    assert_int_equal(total(MDR_INSPECT_INCH, d, 1), 2);
    assert_int_equal(total(MDR_INSPECT_INCH, d, 0), 0);
    assert_int_equal(total(MDR_INSPECT_MM, d, 5), 3 + 2 + 1);
    const mdr_inspect_defect three[] = {{7.5, 2, false}, {7.2, 4, false}};
    assert_int_equal(total(MDR_INSPECT_INCH, three, 2), 3);
}

static void published_points(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_inspect_per_100_yd2(28, 150, 56), 12.0, 1e-12, "S: apparelscience.com example");
    CHECK_NEAR(mdr_inspect_per_100_m2(29, 100, 1500), 19.3, 0.05,
               "S: jozwiak.eu example, its list added up right (29, not 28)");
    /* the same cloth in both units: 1 yd2 is 0.83612736 m2 */
    CHECK_NEAR(mdr_inspect_per_100_m2(28, 150 * 0.9144, 56 * 25.4) * 0.83612736,
               mdr_inspect_per_100_yd2(28, 150, 56), 1e-9, "D: exact yard");
    assert_true(mdr_inspect_passes(40, 40));
    assert_false(mdr_inspect_passes(40.1, 40));
}

static void refused(void **state)
{
    (void)state;
    int points = -7;
    mdr_err err = {0};
    mdr_inspect_defect d[] = {{1, 1, false}, {2, 2, false}};
    assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, d, -1, &points, &err), MDR_E_ARG);
    assert_string_equal(err.place, "defects");
    assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, d, 5001, &points, &err), MDR_E_ARG);
    static const double BAD_AT[] = {-0.1, 1.1e6, (double)NAN, (double)INFINITY};
    static const double BAD_LENGTH[] = {0, -1, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < N_OF(BAD_AT); i++) {
        d[1] = (mdr_inspect_defect){BAD_AT[i], 1, false};
        assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, d, 2, &points, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "defects[1].at");
        d[1] = (mdr_inspect_defect){1, BAD_LENGTH[i], false};
        assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, d, 2, &points, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "defects[1].length");
    }
    d[0].at = -1; /* the first that is wrong is named */
    assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, d, 2, &points, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "defects[0].at");
    assert_int_equal(points, -7);
    static mdr_inspect_defect most[5000];
    for (size_t i = 0; i < N_OF(most); i++) {
        most[i] = (mdr_inspect_defect){(double)i, 1, false};
    }
    assert_int_equal(mdr_inspect_total(MDR_INSPECT_INCH, most, 5000, &points, &err), MDR_OK);
    assert_int_equal(points, 5000); /* D: one each, a yard each */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dimensions),       cmocka_unit_test(published_overfeed),
        cmocka_unit_test(points_by_length), cmocka_unit_test(four_a_yard),
        cmocka_unit_test(published_points), cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
