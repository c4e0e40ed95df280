#include "t.h"

#include <string.h>

#include "core/colour/mdr_spectrum.h"

enum { POINTS = 60 };

/* D: any polynomial of third order is met exactly inside, of second order in the end intervals. */
static double parabola(double nm)
{
    const double t = (nm - 550.0) / 200.0;
    return 0.4 + 0.2 * t + 0.1 * t * t;
}

static double cubic(double nm)
{
    const double t = (nm - 550.0) / 200.0;
    return parabola(nm) - 0.15 * t * t * t;
}

static mdr_spectrum sampled(double (*f)(double), double start_nm, double step_nm, int n)
{
    double v[MDR_SPECTRUM_MAX];
    mdr_spectrum s;
    for (int i = 0; i < n; i++) {
        v[i] = f(start_nm + step_nm * i);
    }
    assert_int_equal(mdr_spectrum_make(start_nm, step_nm, v, n, &s, NULL), MDR_OK);
    return s;
}

static void between_points(void **state)
{
    (void)state;
    static const struct {
        double start_nm, step_nm;
        int n;
    } GRIDS[] = {{380, 20, 20}, {360, 10, 43}, {400, 5, 61}, {390, 10.0 / 3.0, 100}, {380, 1, 401}};
    for (size_t g = 0; g < N_OF(GRIDS); g++) {
        const double end_nm = GRIDS[g].start_nm + GRIDS[g].step_nm * (GRIDS[g].n - 1);
        const mdr_spectrum p = sampled(parabola, GRIDS[g].start_nm, GRIDS[g].step_nm, GRIDS[g].n);
        const mdr_spectrum c = sampled(cubic, GRIDS[g].start_nm, GRIDS[g].step_nm, GRIDS[g].n);
        for (double nm = GRIDS[g].start_nm; nm <= end_nm; nm += 0.37) {
            CHECK_NEAR(mdr_spectrum_at(&p, nm), parabola(nm), 1e-13, "D: parabola");
            if (nm > GRIDS[g].start_nm + GRIDS[g].step_nm && nm < end_nm - GRIDS[g].step_nm) {
                CHECK_NEAR(mdr_spectrum_at(&c, nm), cubic(nm), 1e-13, "D: cubic");
            }
        }
        CHECK_NEAR(mdr_spectrum_at(&p, 340), p.v[0], 0, "astm-e308: held below");
        CHECK_NEAR(mdr_spectrum_at(&p, 830), p.v[p.n - 1], 0, "astm-e308: held above");
    }
}

/* In the first and the last interval it is the parabola through three points, not a cubic. */
static void end_intervals(void **state)
{
    (void)state;
    const mdr_spectrum c = sampled(cubic, 400, 20, 16);
    const double t[3] = {cubic(400), cubic(420), cubic(440)};
    CHECK_NEAR(mdr_spectrum_at(&c, 410), 0.375 * t[0] + 0.75 * t[1] - 0.125 * t[2], 1e-15,
               "D: parabola half way");
    const double u[3] = {cubic(660), cubic(680), cubic(700)};
    CHECK_NEAR(mdr_spectrum_at(&c, 690), -0.125 * u[0] + 0.75 * u[1] + 0.375 * u[2], 1e-15,
               "D: parabola half way");
}

static void curves(void **state)
{
    (void)state;
    mdr_curve_notes notes;
    static mdr_spectrum same, shifted, narrow, back;
    same = sampled(cubic, 360, 10, 43);
    mdr_curve c = mdr_curve_of_spectrum(&same, &notes);
    assert_false(notes.held_low || notes.held_high);
    assert_int_equal(notes.cut, 0);
    for (int i = 0; i < MDR_BANDS; i++) {
        CHECK_NEAR(c.v[i], cubic(400 + 10 * i), 0, "D: measured bands are taken over exactly");
    }
    shifted = sampled(cubic, 380, 10, 31); /* 380 to 680 */
    c = mdr_curve_of_spectrum(&shifted, &notes);
    assert_false(notes.held_low);
    assert_true(notes.held_high);
    CHECK_NEAR(c.v[0], cubic(400), 0, "D: the third value, not the first");
    CHECK_NEAR(c.v[30], cubic(680), 0, "astm-e308: held");
    narrow = sampled(cubic, 420, 20, 13);
    c = mdr_curve_of_spectrum(&narrow, &notes);
    assert_true(notes.held_low && notes.held_high);
    CHECK_NEAR(c.v[1], cubic(420), 0, "astm-e308: held");

    back = mdr_spectrum_of_curve(&c);
    const mdr_curve again = mdr_curve_of_spectrum(&back, NULL);
    assert_memory_equal(&again, &c, sizeof c);
    assert_int_equal(mdr_spectrum_check(&back, NULL), MDR_OK);
}

/* A cubic between 0.5, 0, 0, 0.5 lies below 0: -0.0625 half way. */
static void swings_below_nothing(void **state)
{
    (void)state;
    double v[16];
    mdr_spectrum s;
    mdr_curve_notes notes;
    for (int i = 0; i < 16; i++) {
        v[i] = i == 5 || i == 6 ? 0.0 : 0.5;
    }
    assert_int_equal(mdr_spectrum_make(400, 20, v, 16, &s, NULL), MDR_OK);
    CHECK_NEAR(mdr_spectrum_at(&s, 510), -0.0625, 1e-15, "D");
    const mdr_curve c = mdr_curve_of_spectrum(&s, &notes);
    assert_int_equal(notes.cut, 1);
    CHECK_NEAR(c.v[11], 0, 0, "contract");
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        double start_nm, step_nm;
        int n;
        const char *place;
    } ROWS[] = {
        {400, 0.5, 491, "step_nm"}, {400, 20.5, 16, "step_nm"}, {400, (double)NAN, 31, "step_nm"},
        {339, 10, 40, "start_nm"},  {421, 10, 31, "start_nm"},  {(double)NAN, 10, 31, "start_nm"},
        {400, 10, 1, "n"},          {400, 10, 0, "n"},          {400, 10, -5, "n"},
        {400, 1, 492, "n"},         {400, 10, 26, "n"},         {400, 10, 45, "n"},
    };
    double v[MDR_SPECTRUM_MAX + 1];
    mdr_spectrum s = {.n = 77};
    mdr_err err;
    for (size_t i = 0; i < N_OF(v); i++) {
        v[i] = 0.5;
    }
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_int_equal(
            mdr_spectrum_make(ROWS[i].start_nm, ROWS[i].step_nm, v, ROWS[i].n, &s, &err),
            MDR_E_RANGE);
        assert_string_equal(err.place, ROWS[i].place);
        assert_int_equal(s.n, 77);
    }
    static const double BAD[] = {-0.001, 1.501, 35, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        mdr_curve c;
        v[7] = BAD[i];
        memcpy(c.v, v, sizeof c.v);
        assert_int_equal(mdr_spectrum_make(400, 10, v, 31, &s, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "v[7]");
        assert_int_equal(mdr_curve_check(&c, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "v[7]");
    }
    v[7] = 0.0;
    v[8] = 1.5;
    assert_int_equal(mdr_spectrum_make(400, 10, v, 31, &s, &err), MDR_OK);
    assert_int_equal(mdr_spectrum_make(420, 20, v, 13, &s, &err), MDR_OK);
}

static void points_in_any_order(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    mdr_spectral_point p[31];
    mdr_spectrum s;
    bool resampled = true;
    for (int i = 0; i < 31; i++) {
        const int k = (i * 17) % 31; /* every place once */
        p[i] = (mdr_spectral_point){380.0 + 10.0 * k, cubic(380.0 + 10.0 * k)};
    }
    assert_int_equal(mdr_spectrum_of_points(p, 31, arena, &s, &resampled, NULL), MDR_OK);
    assert_false(resampled);
    assert_int_equal(s.n, 31);
    CHECK_NEAR(s.start_nm, 380, 0, "D");
    CHECK_NEAR(s.step_nm, 10, 0, "D");
    for (int i = 0; i < 31; i++) {
        CHECK_NEAR(s.v[i], cubic(380 + 10 * i), 0, "D: sorted");
    }
    mdr_arena_free(arena);
}

/* Distances from 3 to 11 nm, 6.8 in the mean: brought to 5 nm. */
static void irregular_points(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    mdr_spectral_point p[POINTS];
    mdr_spectrum s;
    bool resampled = false;
    double nm = 383.0;
    int n = 0;
    for (; nm < 740.0; n++) {
        p[n] = (mdr_spectral_point){nm, cubic(nm)};
        nm += 3.0 + n % 3 * 4.0 - (n % 2 == 0 ? 0.0 : 0.5);
    }
    assert_int_equal(mdr_spectrum_of_points(p, n, arena, &s, &resampled, NULL), MDR_OK);
    assert_true(resampled);
    CHECK_NEAR(s.step_nm, 5, 0, "contract: widest step not above the mean distance");
    CHECK_NEAR(s.start_nm, 385, 0, "contract: first multiple inside");
    for (int i = 0; i < s.n; i++) {
        const double at_nm = s.start_nm + s.step_nm * i;
        if (at_nm > p[1].wavelength_nm && at_nm < p[n - 2].wavelength_nm) {
            CHECK_NEAR(s.v[i], cubic(at_nm), 1e-13, "D: a cubic is met exactly");
        } else {
            CHECK_NEAR(s.v[i], cubic(at_nm), 2e-4, "D: the parabola is near");
        }
    }
    assert_true(s.start_nm + s.step_nm * s.n > p[n - 1].wavelength_nm); /* to the end */
    mdr_arena_free(arena);
}

static void fine_points_become_every_nm(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    static mdr_spectral_point p[1001];
    mdr_spectrum s;
    bool resampled = false;
    for (int i = 0; i <= 1000; i++) {
        p[i] = (mdr_spectral_point){380.0 + 0.35 * i, cubic(380.0 + 0.35 * i)};
    }
    assert_int_equal(mdr_spectrum_of_points(p, 1001, arena, &s, &resampled, NULL), MDR_OK);
    assert_true(resampled);
    CHECK_NEAR(s.step_nm, 1, 0, "contract");
    assert_int_equal(s.n, 351);
    CHECK_NEAR(s.v[123], cubic(503), 1e-13, "D");
    mdr_arena_free(arena);
}

static void bad_points(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    mdr_spectral_point p[31], q[31];
    mdr_spectrum s = {.n = 77};
    bool resampled = false;
    mdr_err err;
    for (int i = 0; i < 31; i++) {
        q[i] = (mdr_spectral_point){400.0 + 10.0 * i, 0.5};
    }
#define TRY_POINTS(change, count, code, at)                                                    \
    do {                                                                                       \
        memcpy(p, q, sizeof p);                                                                \
        change;                                                                                \
        assert_int_equal(mdr_spectrum_of_points(p, count, arena, &s, &resampled, &err), code); \
        assert_string_equal(err.place, at);                                                    \
        assert_int_equal(s.n, 77);                                                             \
    } while (0)
    TRY_POINTS((void)0, 3, MDR_E_RANGE, "n");
    TRY_POINTS(p[4].wavelength_nm = 430, 31, MDR_E_CONFLICT, "wavelength_nm");
    TRY_POINTS(p[4].wavelength_nm = 450, 31, MDR_E_CONFLICT, "wavelength_nm");
    TRY_POINTS((p[4].wavelength_nm = 451, p[5].wavelength_nm = 452), 31, MDR_E_RANGE,
               "wavelength_nm"); /* 430 to 451 */
    TRY_POINTS(p[4].wavelength_nm = 339, 31, MDR_E_RANGE, "points[4].wavelength_nm");
    TRY_POINTS(p[4].wavelength_nm = (double)NAN, 31, MDR_E_RANGE, "points[4].wavelength_nm");
    TRY_POINTS(p[4].v = -0.01, 31, MDR_E_RANGE, "points[4].v");
    TRY_POINTS(p[4].v = (double)NAN, 31, MDR_E_RANGE, "points[4].v");
    TRY_POINTS((void)0, 20, MDR_E_RANGE, "n"); /* ends at 590 nm */
#undef TRY_POINTS
    mdr_arena_fail_at(1);
    mdr_arena *small = mdr_arena_new(64);
    if (small == NULL) { /* the one that was to fail */
        small = mdr_arena_new(64);
    }
    assert_int_equal(mdr_spectrum_of_points(q, 31, small, &s, &resampled, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(between_points),   cmocka_unit_test(end_intervals),
        cmocka_unit_test(curves),           cmocka_unit_test(swings_below_nothing),
        cmocka_unit_test(refused),          cmocka_unit_test(points_in_any_order),
        cmocka_unit_test(irregular_points), cmocka_unit_test(fine_points_become_every_nm),
        cmocka_unit_test(bad_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
