/* Weights against the published table, against computed ones of another program, and against the
 * white points printed for them. */
#include "t.h"

#include <string.h>

#include "core/colour/mdr_cielab.h"

enum { E2022_COLS = 7, WHITE_COLS = 4 };
extern const double white_points[][WHITE_COLS];
extern const int white_points_rows;
extern const double e2022_10nm[][E2022_COLS], e2022_20nm[][E2022_COLS];
extern const int e2022_10nm_rows, e2022_20nm_rows;

static mdr_spectrum flat(double start_nm, double step_nm, int n, double v)
{
    mdr_spectrum s = {.start_nm = start_nm, .step_nm = step_nm, .n = n};
    for (int i = 0; i < n; i++) {
        s.v[i] = v;
    }
    return s;
}

/* Printed white points, and what the weights of the table add up to. */
static const struct {
    mdr_illuminant illuminant;
    mdr_observer observer;
    double x, z, within;
    const char *source;
} WHITES[] = {
    {MDR_ILL_A, MDR_OBSERVER_2, 109.850, 35.585, 0.003, "S: ASTM E308"},
    {MDR_ILL_C, MDR_OBSERVER_2, 98.074, 118.232, 0.003, "S: ASTM E308"},
    {MDR_ILL_D50, MDR_OBSERVER_2, 96.422, 82.521, 0.004, "S: ASTM E308"},
    {MDR_ILL_D55, MDR_OBSERVER_2, 95.682, 92.149, 0.007, "S: ASTM E308"},
    {MDR_ILL_D65, MDR_OBSERVER_2, 95.047, 108.883, 0.003, "S: ASTM E308"},
    {MDR_ILL_D75, MDR_OBSERVER_2, 94.972, 122.638, 0.006, "S: ASTM E308"},
    {MDR_ILL_F2, MDR_OBSERVER_2, 99.186, 67.393, 0.003, "S: ASTM E308"},
    {MDR_ILL_F7, MDR_OBSERVER_2, 95.041, 108.747, 0.003, "S: ASTM E308"},
    {MDR_ILL_F11, MDR_OBSERVER_2, 100.962, 64.350, 0.009, "S: ASTM E308"},
    {MDR_ILL_A, MDR_OBSERVER_10, 111.144, 35.200, 0.004, "M: ASTM E308"},
    {MDR_ILL_C, MDR_OBSERVER_10, 97.285, 116.145, 0.005, "M: ASTM E308"},
    {MDR_ILL_D50, MDR_OBSERVER_10, 96.720, 81.427, 0.004, "M: ASTM E308"},
    {MDR_ILL_D55, MDR_OBSERVER_10, 95.799, 90.926, 0.004, "M: ASTM E308"},
    {MDR_ILL_D65, MDR_OBSERVER_10, 94.811, 107.304, 0.004, "M: ASTM E308"},
    {MDR_ILL_D75, MDR_OBSERVER_10, 94.416, 120.641, 0.004, "M: ASTM E308"},
    {MDR_ILL_F2, MDR_OBSERVER_10, 103.279, 69.027, 0.005, "M: ASTM E308"},
    {MDR_ILL_F7, MDR_OBSERVER_10, 95.792, 107.686, 0.005, "M: ASTM E308"},
    {MDR_ILL_F11, MDR_OBSERVER_10, 103.863, 65.607, 0.023, "M: ASTM E308"},
};

static void whites(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(WHITES); i++) {
        const mdr_weights w = mdr_weights_of(WHITES[i].illuminant, WHITES[i].observer);
        CHECK_NEAR(w.white_x, WHITES[i].x, WHITES[i].within, WHITES[i].source);
        CHECK_NEAR(w.white_y, 100, 0.0035, WHITES[i].source);
        CHECK_NEAR(w.white_z, WHITES[i].z, WHITES[i].within, WHITES[i].source);
    }
}

/* The other program sums every 5 nm, this one every nm: lamps with lines tell a little. Those that have it
 * published are looked at above. */
static void whites_of_all(void **state)
{
    (void)state;
    static mdr_grid_weights w;
    const mdr_spectrum s = flat(380, 5, 81, 1);
    assert_int_equal(white_points_rows, 2 * MDR_ILL_COUNT);
    for (int i = 0; i < white_points_rows; i++) {
        const mdr_illuminant ill = (mdr_illuminant)white_points[i][0];
        const double within = 0.03;
        mdr_grid_weights_of(ill, (mdr_observer)white_points[i][1], &s, &w);
        CHECK_NEAR(w.white_x, white_points[i][2], within, mdr_illuminant_name(ill));
        CHECK_NEAR(w.white_z, white_points[i][3], within, mdr_illuminant_name(ill));
        CHECK_NEAR(w.white_y, 100, 1e-9, "D: normalised");
    }
}

/* A perfect white is white under every light, on every grid; so is every grey a grey. */
static void white_is_white(void **state)
{
    (void)state;
    static const struct {
        double start_nm, step_nm;
        int n;
    } GRIDS[] = {{400, 10, 31},          {360, 10, 43}, {380, 5, 81}, {400, 20, 16},
                 {380, 10.0 / 3.0, 106}, {340, 1, 491}, {415, 7, 40}};
    static mdr_grid_weights w;
    for (int ill = 0; ill < MDR_ILL_COUNT; ill++) {
        for (int o = 0; o < 2; o++) {
            const mdr_observer observer = o == 0 ? MDR_OBSERVER_2 : MDR_OBSERVER_10;
            const mdr_weights narrow = mdr_weights_of((mdr_illuminant)ill, observer);
            for (size_t g = 0; g < N_OF(GRIDS); g++) {
                const mdr_spectrum s = flat(GRIDS[g].start_nm, GRIDS[g].step_nm, GRIDS[g].n, 1.0);
                mdr_grid_weights_of((mdr_illuminant)ill, observer, &s, &w);
                mdr_xyz xyz;
                assert_int_equal(mdr_xyz_of_spectrum(&s, &w, &xyz, NULL), MDR_OK);
                const mdr_lab lab = mdr_lab_of_xyz(xyz, mdr_white_of_grid(&w));
                CHECK_NEAR(lab.l, 100, 1e-11, "D");
                CHECK_NEAR(fabs(lab.a) + fabs(lab.b), 0, 1e-11, "D");
                /* the same white, whatever the steps */
                CHECK_NEAR(w.white_y, narrow.white_y, 0.0035, "D: Y = 100");
                CHECK_NEAR(w.white_x, narrow.white_x, 0.09, "D: one illuminant, one white");
                CHECK_NEAR(w.white_z, narrow.white_z, 0.09, "D: one illuminant, one white");
            }
            for (int i = 0; i < MDR_BANDS; i++) {
                assert_true(narrow.y[i] > -0.6); /* F lamps have weights below 0, small ones */
            }
        }
    }
}

/* The published table, ends folded in: D65, 10 degree, at 400 and at 700 nm. */
static void folded_ends(void **state)
{
    (void)state;
    const mdr_weights w = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const char *src = "D: ASTM E308 table 5, 360 to 400 and 700 to 780 nm added up";
    CHECK_NEAR(w.x[0], 0.145, 1e-12, src);
    CHECK_NEAR(w.y[0], 0.015, 1e-12, src);
    CHECK_NEAR(w.z[0], 0.643, 1e-12, src);
    CHECK_NEAR(w.x[30], 0.109, 1e-12, src);
    CHECK_NEAR(w.y[30], 0.043, 1e-12, src);
    CHECK_NEAR(w.z[30], 0.000, 1e-12, src);
    CHECK_NEAR(w.x[2], 1.603, 1e-12, "S: ASTM E308 table 5, 420 nm");
    CHECK_NEAR(w.y[2], 0.168, 1e-12, "S: ASTM E308 table 5, 420 nm");
    CHECK_NEAR(w.z[2], 7.627, 1e-12, "S: ASTM E308 table 5, 420 nm");
    const mdr_weights two = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_2);
    CHECK_NEAR(two.x[2], 1.200, 1e-12, "S: ASTM E308 table 5, 420 nm, 2 degree");
}

/* One row of another program's table against the weights computed here. */
static void compare(const double *row, int i, const mdr_grid_weights *w, int column)
{
    const char *src = "O: colour-science 0.4.6, ASTM E2022";
    CHECK_NEAR(w->x[i], row[column], 6e-6, src);
    CHECK_NEAR(w->y[i], row[column + 1], 6e-6, src);
    CHECK_NEAR(w->z[i], row[column + 2], 6e-6, src);
}

static void computed_like_e2022(void **state)
{
    (void)state;
    static mdr_grid_weights w;
    const mdr_spectrum wide = flat(360, 20, 22, 0.5);
    /* a hair off 10 nm, so that the published table is not taken */
    const mdr_spectrum tens = flat(360, 10 - 2e-9, 43, 0.5);
    for (int o = 0; o < 2; o++) {
        const mdr_observer observer = o == 0 ? MDR_OBSERVER_10 : MDR_OBSERVER_2;
        mdr_grid_weights_of(MDR_ILL_D65, observer, &wide, &w);
        for (int i = 0; i < e2022_20nm_rows; i++) {
            compare(e2022_20nm[i], i, &w, 1 + 3 * o);
        }
        mdr_grid_weights_of(MDR_ILL_D65, observer, &tens, &w);
        for (int i = 0; i < e2022_10nm_rows; i++) {
            compare(e2022_10nm[i], i, &w, 1 + 3 * o);
        }
    }
}

/* What is computed for any steps comes out as published where it is published. */
static void computed_like_published(void **state)
{
    (void)state;
    static const mdr_illuminant PUBLISHED[] = {MDR_ILL_A,   MDR_ILL_C,   MDR_ILL_D50,
                                               MDR_ILL_D55, MDR_ILL_D65, MDR_ILL_D75,
                                               MDR_ILL_F2,  MDR_ILL_F7,  MDR_ILL_F11};
    static mdr_grid_weights got, want;
    const mdr_spectrum tens = flat(360, 10, 43, 0.5), hair = flat(360, 10 - 2e-9, 43, 0.5);
    for (size_t k = 0; k < 2 * N_OF(PUBLISHED); k++) {
        const mdr_illuminant ill = PUBLISHED[k / 2];
        const mdr_observer observer = k % 2 == 0 ? MDR_OBSERVER_2 : MDR_OBSERVER_10;
        const double within = ill == MDR_ILL_F11 ? 0.013 : 0.0016;
        mdr_grid_weights_of(ill, observer, &hair, &got);
        mdr_grid_weights_of(ill, observer, &tens, &want);
        for (int i = 0; i < want.n; i++) {
            CHECK_NEAR(got.x[i], want.x[i], within, "S: ASTM E308 table 5");
            CHECK_NEAR(got.y[i], want.y[i], within, "S: ASTM E308 table 5");
            CHECK_NEAR(got.z[i], want.z[i], within, "S: ASTM E308 table 5");
        }
    }
}

/* Curves whose XYZ was worked out elsewhere; printed with four digits. */
static void check_values(void **state)
{
    (void)state;
    static const struct {
        mdr_illuminant illuminant;
        mdr_observer observer;
        double x, y, z, l, a, b; /* of the ramp, CIELAB by the printed white point */
        mdr_xyz white;
    } ROWS[] = {
        {MDR_ILL_D65,
         MDR_OBSERVER_10,
         48.3615,
         47.3326,
         19.0311,
         74.4020,
         9.8362,
         43.4968,
         {94.811, 100, 107.304}},
        {MDR_ILL_A,
         MDR_OBSERVER_10,
         66.3740,
         52.8519,
         6.8431,
         77.7875,
         16.8003,
         45.8427,
         {111.144, 100, 35.200}},
        {MDR_ILL_F11,
         MDR_OBSERVER_10,
         56.5702,
         50.5887,
         11.0353,
         76.4292,
         9.9292,
         48.9595,
         {103.863, 100, 65.607}},
        {MDR_ILL_F2,
         MDR_OBSERVER_10,
         54.7001,
         50.5593,
         11.4418,
         76.4113,
         6.2161,
         49.4659,
         {103.279, 100, 69.027}},
        {MDR_ILL_D65,
         MDR_OBSERVER_2,
         49.4476,
         49.0317,
         20.3402,
         75.4711,
         7.8636,
         43.3783,
         {95.047, 100, 108.883}},
        {MDR_ILL_D50,
         MDR_OBSERVER_2,
         52.9153,
         50.1214,
         15.9225,
         76.1437,
         12.1885,
         43.2985,
         {96.422, 100, 82.521}},
        {MDR_ILL_C,
         MDR_OBSERVER_2,
         50.6004,
         49.2021,
         21.8455,
         75.5769,
         6.2958,
         43.9784,
         {98.074, 100, 118.232}},
    };
    const char *src = "O: NumPy, ASTM E308 table 5; ramp 0.02 to 0.92";
    mdr_curve ramp;
    for (int i = 0; i < MDR_BANDS; i++) {
        ramp.v[i] = 0.02 + 0.03 * i;
    }
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_weights w = mdr_weights_of(ROWS[i].illuminant, ROWS[i].observer);
        const mdr_xyz xyz = mdr_xyz_of_curve(&ramp, &w);
        CHECK_NEAR(xyz.x, ROWS[i].x, 5.1e-5, src);
        CHECK_NEAR(xyz.y, ROWS[i].y, 5.1e-5, src);
        CHECK_NEAR(xyz.z, ROWS[i].z, 5.1e-5, src);
        const mdr_lab lab = mdr_lab_of_xyz(xyz, ROWS[i].white);
        CHECK_NEAR(lab.l, ROWS[i].l, 5.1e-5, src);
        CHECK_NEAR(lab.a, ROWS[i].a, 5.1e-5, src);
        CHECK_NEAR(lab.b, ROWS[i].b, 5.1e-5, src);
        const mdr_spectrum s = mdr_spectrum_of_curve(&ramp);
        const mdr_lab one = mdr_lab_of_curve(&ramp, &w);
        const mdr_lab two = mdr_lab_of_spectrum(&s, ROWS[i].illuminant, ROWS[i].observer);
        CHECK_NEAR(fabs(one.l - two.l) + fabs(one.a - two.a) + fabs(one.b - two.b), 0, 0,
                   "D: a curve is a spectrum of 31 values");
    }
}

/* A smooth curve has one colour, however finely it was measured. */
static void steps_do_not_matter(void **state)
{
    (void)state;
    static const double STEPS_NM[] = {1, 2, 5, 10.0 / 3.0, 10, 20};
    for (int ill = 0; ill < MDR_ILL_COUNT; ill++) {
        mdr_lab first = {0, 0, 0};
        for (size_t k = 0; k < N_OF(STEPS_NM); k++) {
            mdr_spectrum s = {.start_nm = 360, .step_nm = STEPS_NM[k]};
            s.n = 1 + (int)(420 / STEPS_NM[k] + 1e-6);
            for (int i = 0; i < s.n; i++) {
                const double t = (360 + STEPS_NM[k] * i - 560) / 70;
                s.v[i] = 0.05 + 0.5 * exp(-t * t) + 0.2 / (1 + exp(-t * 2));
            }
            const mdr_lab lab = mdr_lab_of_spectrum(&s, (mdr_illuminant)ill, MDR_OBSERVER_10);
            if (k == 0) {
                first = lab;
            }
            const double d =
                sqrt((lab.l - first.l) * (lab.l - first.l) + (lab.a - first.a) * (lab.a - first.a) +
                     (lab.b - first.b) * (lab.b - first.b));
            /* D: interpolation of this curve; the published table of lamps has its own 5 nm sums */
            CHECK_NEAR(d, 0, STEPS_NM[k] < 20 ? 0.03 : 0.12,
                       mdr_illuminant_name((mdr_illuminant)ill));
        }
    }
}

/* What lies beyond the least range a spectrum must have. */
static void least_range(void **state)
{
    (void)state;
    static mdr_grid_weights w;
    const mdr_spectrum s = flat(380, 10, 41, 1);
    double worst[3] = {0};
    for (int ill = 0; ill < 2 * MDR_ILL_COUNT; ill++) {
        mdr_grid_weights_of((mdr_illuminant)(ill / 2),
                            ill % 2 == 0 ? MDR_OBSERVER_2 : MDR_OBSERVER_10, &s, &w);
        double beyond[3] = {0};
        for (int i = 0; i < w.n; i++) {
            const double nm = w.start_nm + w.step_nm * i;
            if (nm < MDR_SPECTRUM_FROM_NM || nm > MDR_SPECTRUM_TO_NM) {
                beyond[0] += w.x[i] / w.white_x;
                beyond[1] += w.y[i] / w.white_y;
                beyond[2] += w.z[i] / w.white_z;
            }
        }
        for (int k = 0; k < 3; k++) {
            worst[k] = fmax(worst[k], beyond[k]);
        }
    }
    CHECK_NEAR(worst[0], 0.03, 0.0015, "D: as the header says");
    CHECK_NEAR(worst[1], 0.012, 0.0015, "D: as the header says");
    CHECK_NEAR(worst[2], 0.12, 0.0015, "D: as the header says");
}

static void names(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        mdr_illuminant illuminant;
    } ROWS[] = {{"D65", MDR_ILL_D65},       {"d65", MDR_ILL_D65},       {"A", MDR_ILL_A},
                {"F11", MDR_ILL_F11},       {"FL11", MDR_ILL_F11},      {"fl2", MDR_ILL_F2},
                {"LED-B5", MDR_ILL_LED_B5}, {"led_v2", MDR_ILL_LED_V2}, {"F1", MDR_ILL_F1}};
    mdr_illuminant got = MDR_ILL_C;
    mdr_err err;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_int_equal(mdr_illuminant_of_name(ROWS[i].text, strlen(ROWS[i].text), &got, &err),
                         MDR_OK);
        assert_int_equal(got, ROWS[i].illuminant);
    }
    static const char *const WRONG[] = {"", "D", "D6", "D655", "F", "FL", "F13", "LED", "TL84"};
    for (size_t i = 0; i < N_OF(WRONG); i++) {
        got = MDR_ILL_C;
        assert_int_equal(mdr_illuminant_of_name(WRONG[i], strlen(WRONG[i]), &got, &err),
                         MDR_E_NOTFOUND);
        assert_string_equal(err.place, "illuminant");
        assert_int_equal(got, MDR_ILL_C);
    }
    for (int i = 0; i < MDR_ILL_COUNT; i++) {
        const char *name = mdr_illuminant_name((mdr_illuminant)i);
        assert_int_equal(mdr_illuminant_of_name(name, strlen(name), &got, &err), MDR_OK);
        assert_int_equal(got, i);
    }
    mdr_observer observer = MDR_OBSERVER_2;
    assert_int_equal(mdr_observer_of_degree(10, &observer, &err), MDR_OK);
    assert_int_equal(observer, MDR_OBSERVER_10);
    assert_int_equal(mdr_observer_of_degree(5, &observer, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "observer");
}

static void wrong_weights(void **state)
{
    (void)state;
    static mdr_grid_weights w;
    const mdr_spectrum s = flat(400, 10, 31, 1), shifted = flat(380, 10, 31, 1);
    mdr_xyz xyz = {7, 7, 7};
    mdr_err err;
    mdr_grid_weights_of(MDR_ILL_D65, MDR_OBSERVER_10, &s, &w);
    assert_int_equal(mdr_xyz_of_spectrum(&shifted, &w, &xyz, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "spectrum");
    CHECK_NEAR(xyz.x, 7, 0, "contract: written on success only");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whites),
        cmocka_unit_test(whites_of_all),
        cmocka_unit_test(white_is_white),
        cmocka_unit_test(folded_ends),
        cmocka_unit_test(computed_like_e2022),
        cmocka_unit_test(computed_like_published),
        cmocka_unit_test(check_values),
        cmocka_unit_test(steps_do_not_matter),
        cmocka_unit_test(least_range),
        cmocka_unit_test(names),
        cmocka_unit_test(wrong_weights),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
