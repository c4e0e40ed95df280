#include "t.h"

#include <string.h>

#include "core/colour/mdr_grey_scale.h"

enum { CHECK_COLS = 10 };
extern const double grey_scale_checks[][CHECK_COLS];
extern const int grey_scale_checks_rows;

static void like_another_program(void **state)
{
    (void)state;
    for (int i = 0; i < grey_scale_checks_rows; i++) {
        const double *r = grey_scale_checks[i];
        const mdr_lab p = {r[0], r[1], r[2]}, q = {r[3], r[4], r[5]};
        const mdr_grey_grade change = mdr_grey_change(p, q), stain = mdr_grey_staining(p, q);
        CHECK_NEAR(change.difference, r[6], 6e-7, "O: grey_scale_checks.csv");
        CHECK_NEAR(change.rating, r[7], 6e-7, "O: grey_scale_checks.csv");
        CHECK_NEAR(stain.difference, r[8], 6e-7, "O: grey_scale_checks.csv");
        CHECK_NEAR(stain.rating, r[9], 6e-7, "O: grey_scale_checks.csv");
    }
}

/* The scales themselves, as pure differences of lightness: each step must get its own grade. */
static void steps_of_the_scales(void **state)
{
    (void)state;
    static const struct {
        const char *grade;
        double a02_de, a03_de;
    } STEPS[] = {{"5", 0, 0},       {"4-5", 0.8, 2.2},  {"4", 1.7, 4.3},
                 {"3-4", 2.5, 6.0}, {"3", 3.4, 8.5},    {"2-3", 4.8, 12.0},
                 {"2", 6.8, 16.9},  {"1-2", 9.6, 24.0}, {"1", 13.6, 34.1}};
    const mdr_lab grey = {45, 0, 0}, white = {95, 0, 0};
    for (size_t i = 0; i < N_OF(STEPS); i++) {
        const mdr_grey_grade change = mdr_grey_change(grey, (mdr_lab){45 + STEPS[i].a02_de, 0, 0});
        const mdr_grey_grade stain =
            mdr_grey_staining(white, (mdr_lab){95 - STEPS[i].a03_de, 0, 0});
        assert_string_equal(mdr_grey_name(change.half_grades), STEPS[i].grade); /* S: iso-105-a02 */
        assert_string_equal(mdr_grey_name(stain.half_grades), STEPS[i].grade);  /* M: iso-105-a03 */
        CHECK_NEAR(change.rating, 5 - 0.5 * (double)i, 0.035, "S: iso-105-a02 steps");
        CHECK_NEAR(stain.rating, 5 - 0.5 * (double)i, 0.025, "M: iso-105-a03 steps");
    }
}

/* Ends of the bands of change: from the end on, it is the worse grade. */
static void bands(void **state)
{
    (void)state;
    static const double ENDS[] = {0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60};
    for (size_t i = 0; i < N_OF(ENDS); i++) {
        const int below =
            mdr_grey_change((mdr_lab){0, 0, 0}, (mdr_lab){ENDS[i] - 1e-9, 0, 0}).half_grades;
        const int at = mdr_grey_change((mdr_lab){0, 0, 0}, (mdr_lab){ENDS[i], 0, 0}).half_grades;
        assert_int_equal(below, MDR_GRADE_BEST - (int)i);
        assert_int_equal(at, MDR_GRADE_BEST - (int)i - 1);
    }
    /* far beyond the scale: still a grade, the worst */
    assert_int_equal(mdr_grey_change((mdr_lab){0, 0, 0}, (mdr_lab){100, 0, 0}).half_grades, 2);
    assert_int_equal(mdr_grey_staining((mdr_lab){100, 0, 0}, (mdr_lab){0, 0, 0}).half_grades, 2);
    assert_true(mdr_grey_staining((mdr_lab){100, 0, 0}, (mdr_lab){0, 0, 0}).rating < 1);
}

/* In staining, chroma counts 0.6 of lightness. D: the formula. */
static void coloured_stain(void **state)
{
    (void)state;
    const mdr_grey_grade g = mdr_grey_staining((mdr_lab){90, 0, 0}, (mdr_lab){90, 6, 8});
    CHECK_NEAR(g.difference, 6, 1e-12, "D: 10 - 0.4 x 10");
    CHECK_NEAR(g.rating, 6.1 - 1.45 * log(6.0), 1e-12, "D");
    const mdr_grey_grade none = mdr_grey_staining((mdr_lab){90, 1, 1}, (mdr_lab){90, 1, 1});
    CHECK_NEAR(none.rating, 5, 0, "D");
    assert_string_equal(mdr_grey_name(none.half_grades), "5");
}

/* A change of hue across 0 degree is a small one. */
static void across_red(void **state)
{
    (void)state;
    const mdr_lab p = mdr_lab_of_lch((mdr_lch){50, 40, 358});
    const mdr_lab q = mdr_lab_of_lch((mdr_lch){50, 41, 2});
    const double shift = 1.0 * 40.5 * exp(-(80.0 / 30) * (80.0 / 30)) / 100;
    const double dh = 2 * sqrt(40.0 * 41.0) * sin(2 * 3.14159265358979323846 / 180) - shift;
    const double dc = (1 - shift) / (1 + 0.81 * 0.81);
    const double want = sqrt(dc * dc + dh * dh / (1 + 0.405 * 0.405) / (1 + 0.405 * 0.405));
    CHECK_NEAR(mdr_grey_change(p, q).difference, want, 1e-9, "D: iso-105-a05, mean hue 0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(like_another_program),
        cmocka_unit_test(steps_of_the_scales),
        cmocka_unit_test(bands),
        cmocka_unit_test(coloured_stain),
        cmocka_unit_test(across_red),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
