/* Differences against printed pairs and against other programs; tables in tests/oracle. */
#include "t.h"

#include "core/colour/mdr_difference.h"

enum { PAIR_NO, PAIR_COLS = 8, CHECK_COLS = 14 };
extern const double ciede2000_pairs[][PAIR_COLS], difference_checks[][CHECK_COLS];
extern const int ciede2000_pairs_rows, difference_checks_rows;

static mdr_lab lab_at(const double *v)
{
    return (mdr_lab){v[0], v[1], v[2]};
}

static void printed_pairs(void **state)
{
    (void)state;
    assert_int_equal(ciede2000_pairs_rows, 34);
    for (int i = 0; i < ciede2000_pairs_rows; i++) {
        const double *row = ciede2000_pairs[i];
        const mdr_lab p = lab_at(row + 1), q = lab_at(row + 4);
        CHECK_NEAR(mdr_difference_2000(p, q, 1, 1, 1), row[7], 5e-5, "S: sharma-ciede2000");
        CHECK_NEAR(mdr_difference_2000(q, p, 1, 1, 1), row[7], 5e-5, "S: sharma-ciede2000");
    }
}

static void like_other_programs(void **state)
{
    (void)state;
    const char *src = "O: difference_checks.csv";
    for (int i = 0; i < difference_checks_rows; i++) {
        const double *row = difference_checks[i];
        const mdr_lab p = lab_at(row), q = lab_at(row + 3);
        CHECK_NEAR(mdr_difference_76(p, q), row[6], 6e-7, src);
        CHECK_NEAR(mdr_difference_cmc(p, q, 1, 1), row[7], 6e-7, src);
        CHECK_NEAR(mdr_difference_cmc(p, q, 2, 1), row[8], 6e-7, src);
        CHECK_NEAR(mdr_difference_94(p, q, 1, 0.045, 0.015), row[9], 6e-7, src);
        CHECK_NEAR(mdr_difference_94(p, q, 2, 0.048, 0.014), row[10], 6e-7, src);
        CHECK_NEAR(mdr_difference_2000(p, q, 1, 1, 1), row[11], 6e-7, src);
        CHECK_NEAR(mdr_difference_2000(p, q, 2, 1, 1), row[12], 6e-7, src);
        CHECK_NEAR(mdr_difference_din99(p, q, 1, 1), row[13], 6e-7, src);
    }
}

/* The parts say the same as the plain functions, and make up the whole. */
static void parts(void **state)
{
    (void)state;
    for (int i = 0; i < difference_checks_rows; i++) {
        const mdr_lab p = lab_at(difference_checks[i]), q = lab_at(difference_checks[i] + 3);
        for (int f = 0; f < MDR_DE_COUNT; f++) {
            const mdr_difference_spec spec = {(mdr_difference_formula)f, 1.7, 1.2, 0.9};
            const mdr_difference d = mdr_difference_of(p, q, &spec);
            CHECK_NEAR(d.wl * d.wl + d.wc * d.wc + d.wh * d.wh + d.rotation * d.wc * d.wh,
                       d.de * d.de, 1e-12 * (1 + d.de * d.de), "D: Pythagoras, and the rotation");
            CHECK_NEAR(d.dc * d.dc + d.dh * d.dh, d.da * d.da + d.db * d.db, 1e-10,
                       "D: chroma and hue are a* and b* turned");
            assert_true(d.dl == q.l - p.l && d.da == q.a - p.a && d.db == q.b - p.b);
        }
        const mdr_difference_spec cmc = {MDR_DE_CMC, 1.7, 1.2, 1.0};
        CHECK_NEAR(mdr_difference_of(p, q, &cmc).de, mdr_difference_cmc(p, q, 1.7, 1.2), 1e-12,
                   "D: the same formula");
        const mdr_difference_spec din = {MDR_DE_DIN99, 1.7, 1.2, 1.0};
        CHECK_NEAR(mdr_difference_of(p, q, &din).de, mdr_difference_din99(p, q, 1.7, 1.2), 1e-12,
                   "D: the same formula");
        const mdr_difference_spec k = {MDR_DE_2000, 1.7, 1.2, 0.9};
        CHECK_NEAR(mdr_difference_of(p, q, &k).de, mdr_difference_2000(p, q, 1.7, 1.2, 0.9), 0,
                   "D: the same formula");
        const mdr_difference_spec textile = mdr_difference_usual(MDR_DE_94);
        CHECK_NEAR(mdr_difference_of(p, q, &textile).de, difference_checks[i][10], 6e-7,
                   "O: CIE94 for textiles");
    }
}

/* D: a* = C cos h, b* = C sin h; a hue that rises has dh > 0. */
static void signs(void **state)
{
    (void)state;
    const mdr_difference_spec spec = mdr_difference_usual(MDR_DE_76);
    const mdr_lab p = mdr_lab_of_lch((mdr_lch){50, 30, 350});
    const mdr_lab q = mdr_lab_of_lch((mdr_lch){48, 33, 4});
    const mdr_difference d = mdr_difference_of(p, q, &spec);
    CHECK_NEAR(d.dl, -2, 1e-12, "D");
    CHECK_NEAR(d.dc, 3, 1e-12, "D");
    CHECK_NEAR(d.dh, 2 * sqrt(30.0 * 33.0) * sin(7 * 3.14159265358979323846 / 180), 1e-12,
               "D: chord of 14 degree across 0");
    CHECK_NEAR(mdr_difference_of(q, p, &spec).dh, -d.dh, 1e-12, "D");
    /* more than a right angle apart: the other formula of the chord */
    const mdr_lab far = mdr_lab_of_lch((mdr_lch){50, 30, 120});
    CHECK_NEAR(mdr_difference_of(p, far, &spec).dh, 2 * 30 * sin(65 * 3.14159265358979323846 / 180),
               1e-12, "D: chord of 130 degree");
    CHECK_NEAR(mdr_difference_of(far, p, &spec).dh,
               -2 * 30 * sin(65 * 3.14159265358979323846 / 180), 1e-12, "D");
}

/* A hue difference far below what a square root of a difference of squares can tell. */
static void small_hue_differences(void **state)
{
    (void)state;
    const mdr_difference_spec spec = mdr_difference_usual(MDR_DE_76);
    const mdr_difference d =
        mdr_difference_of((mdr_lab){50, 60, 0}, (mdr_lab){50, 60, 1e-9}, &spec);
    CHECK_NEAR(d.dh, 1e-9, 1e-15, "D");
    const mdr_difference none = mdr_difference_of((mdr_lab){50, 0, 0}, (mdr_lab){50, 0, 0}, &spec);
    CHECK_NEAR(none.de + none.dh, 0, 0, "D");
}

/* The hues of two colours opposite each other to the last bit, whatever atan2 makes of them. */
static void opposite_hues(void **state)
{
    (void)state;
    const char *src = "S: sharma-ciede2000 pairs 9 to 16, at other lightness: continuous";
    for (int i = 1; i < 2000; i++) {
        const double a = 2.49, b = 0.001 * i;
        const mdr_lab p = {50, a, -b}, q = {50, -a, b};
        const double there = mdr_difference_2000(p, q, 1, 1, 1);
        const double back = mdr_difference_2000(q, p, 1, 1, 1);
        CHECK_NEAR(there, back, 1e-9, src);
    }
    /* on this side of opposite by less than the tolerance: as opposite; by more: a step away */
    const mdr_lab from = mdr_lab_of_lch((mdr_lch){50, 2.5, 20});
    const double exactly =
        mdr_difference_2000(from, mdr_lab_of_lch((mdr_lch){50, 2.5, 200}), 1, 1, 1);
    CHECK_NEAR(mdr_difference_2000(from, mdr_lab_of_lch((mdr_lch){50, 2.5, 200 + 4e-10}), 1, 1, 1),
               exactly, 1e-8, "contract: tolerance 1e-9 degree");
    const double beyond =
        mdr_difference_2000(from, mdr_lab_of_lch((mdr_lch){50, 2.5, 200 + 1e-6}), 1, 1, 1);
    assert_true(fabs(beyond - exactly) > 1e-3);
    /* chroma made by rounding is no hue */
    const mdr_lab grey = {50, -1e-15, 1e-16}, red = {50, 3, 0};
    CHECK_NEAR(mdr_difference_2000(grey, red, 1, 1, 1),
               mdr_difference_2000((mdr_lab){50, 0, 0}, red, 1, 1, 1), 1e-12, "contract");
}

/* CMC's limits: hue 164 and 345, L* 16. D: the formula on either side. */
static void cmc_limits(void **state)
{
    (void)state;
    static const struct {
        double h_deg, t;
    } ROWS[] = {{163.999999, 0.36 + 0.4 * 0.94551858},
                {164, 0.56 + 0.2 * 0.88294759},
                {345, 0.56 + 0.2 * 0.89100652},
                {345.000001, 0.36 + 0.4 * 0.93969262}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_lab p = mdr_lab_of_lch((mdr_lch){50, 40, ROWS[i].h_deg});
        const mdr_cmc from = mdr_cmc_from(p, 2, 1);
        const double f = sqrt(2560000.0 / (2560000.0 + 1900.0));
        const double sc = 0.0638 * 40 / (1 + 0.0131 * 40) + 0.638;
        CHECK_NEAR(1 / from.over_h, sc * (f * ROWS[i].t + 1 - f), 2e-7, "D: iso-105-j03");
    }
    CHECK_NEAR(1 / mdr_cmc_from((mdr_lab){15.999, 0, 0}, 1, 1).over_l, 0.511, 1e-12, "S");
    CHECK_NEAR(1 / mdr_cmc_from((mdr_lab){16, 0, 0}, 1, 1).over_l,
               0.040975 * 16 / (1 + 0.01765 * 16), 1e-12, "S");
}

static void weights_checked(void **state)
{
    (void)state;
    mdr_err err;
    mdr_difference_spec spec = mdr_difference_usual(MDR_DE_CMC);
    assert_int_equal(mdr_difference_check(&spec, &err), MDR_OK);
    CHECK_NEAR(spec.l, 2, 0, "P: CMC 2:1");
    spec.c = 0;
    assert_int_equal(mdr_difference_check(&spec, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "c");
    spec = (mdr_difference_spec){MDR_DE_2000, (double)NAN, 1, 1};
    assert_int_equal(mdr_difference_check(&spec, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "l");
    spec = (mdr_difference_spec){MDR_DE_2000, 1, 1, 11};
    assert_int_equal(mdr_difference_check(&spec, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "h");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_pairs),
        cmocka_unit_test(like_other_programs),
        cmocka_unit_test(parts),
        cmocka_unit_test(signs),
        cmocka_unit_test(small_hue_differences),
        cmocka_unit_test(opposite_hues),
        cmocka_unit_test(cmc_limits),
        cmocka_unit_test(weights_checked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
