#include "t.h"

#include "core/colour/mdr_whiteness.h"

enum { CHECK_COLS = 9 };
extern const double whiteness_checks[][CHECK_COLS];
extern const int whiteness_checks_rows;

static void like_another_program(void **state)
{
    (void)state;
    const char *src = "O: whiteness_checks.csv";
    for (int i = 0; i < whiteness_checks_rows; i++) {
        const double *row = whiteness_checks[i];
        mdr_whiteness w;
        assert_int_equal(mdr_whiteness_of((mdr_xyz){row[0], row[1], row[2]},
                                          row[3] > 0 ? MDR_ILL_D65 : MDR_ILL_C,
                                          (mdr_observer)row[4], &w, NULL),
                         MDR_OK);
        CHECK_NEAR(w.whiteness, row[5], 6e-5, src);
        CHECK_NEAR(w.tint, row[6], 6e-5, src);
        CHECK_NEAR(w.yellowness, row[7], 6e-5, src);
        CHECK_NEAR(mdr_whiteness_counts(&w), row[8], 0, src);
    }
    assert_true(whiteness_checks_rows > 20);
}

/* The colour of a whiteness and a tint, worked back; D: the formula solved for x and y. */
static mdr_xyz of_w_t(double y, double w, double t)
{
    const double a = w - y, b = t; /* 800 dx + 1700 dy = a, 900 dx - 650 dy = b */
    const double det = -800.0 * 650.0 - 1700.0 * 900.0;
    const double cx = 0.3138 - (-650.0 * a - 1700.0 * b) / det;
    const double cy = 0.3310 - (800.0 * b - 900.0 * a) / det;
    return (mdr_xyz){cx / cy * y, y, (1 - cx - cy) / cy * y};
}

static void limits(void **state)
{
    (void)state;
    static const struct {
        double y, w, t;
        bool grey, strong, tinted;
    } ROWS[] = {
        {85, 40.01, 0, false, false, false},   {85, 39.99, 0, true, false, false},
        {85, 144.99, 0, false, false, false},  {85, 145.01, 0, false, true, false},
        {85, 100, 1.99, false, false, false},  {85, 100, 2.01, false, false, true},
        {85, 100, -3.99, false, false, false}, {85, 100, -4.01, false, false, true},
        {60, 50, 5, false, true, true},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_whiteness w;
        assert_int_equal(mdr_whiteness_of(of_w_t(ROWS[i].y, ROWS[i].w, ROWS[i].t), MDR_ILL_D65,
                                          MDR_OBSERVER_10, &w, NULL),
                         MDR_OK);
        CHECK_NEAR(w.whiteness, ROWS[i].w, 1e-9, "D");
        CHECK_NEAR(w.tint, ROWS[i].t, 1e-9, "D");
        assert_true(w.too_grey == ROWS[i].grey && w.too_strong == ROWS[i].strong &&
                    w.too_tinted == ROWS[i].tinted);
        assert_true(mdr_whiteness_counts(&w) ==
                    !(ROWS[i].grey || ROWS[i].strong || ROWS[i].tinted));
    }
}

static void refused(void **state)
{
    (void)state;
    mdr_whiteness w = {.whiteness = 7};
    mdr_err err;
    assert_int_equal(mdr_whiteness_of((mdr_xyz){90, 95, 80}, MDR_ILL_A, MDR_OBSERVER_10, &w, &err),
                     MDR_E_ARG);
    assert_string_equal(err.place, "illuminant");
    static const mdr_xyz BAD[] = {
        {0, 0, 0}, {1, -1, 1}, {1, (double)NAN, 1}, {(double)INFINITY, 1, 1}};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_int_equal(mdr_whiteness_of(BAD[i], MDR_ILL_D65, MDR_OBSERVER_10, &w, &err),
                         MDR_E_RANGE);
        assert_string_equal(err.place, "y");
    }
    CHECK_NEAR(w.whiteness, 7, 0, "contract");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(like_another_program),
                                       cmocka_unit_test(limits), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
