#include "t.h"

#include <math.h>

#include "num/mdr_minimise.h"

/* Hock and Schittkowski, Test Examples for Nonlinear Programming Codes (1981), printed answers. */

static int calls;
static mdr_arena *arena;

/* No 43 (Rosen and Suzuki): f = -44 at (0, 1, 2, -1) */
static bool rosen_suzuki(void *about, const double *x, double *f, double *g)
{
    (void)about;
    calls++;
    *f = x[0] * x[0] + x[1] * x[1] + 2 * x[2] * x[2] + x[3] * x[3] - 5 * x[0] - 5 * x[1] -
         21 * x[2] + 7 * x[3];
    g[0] = -(8 - x[0] * x[0] - x[1] * x[1] - x[2] * x[2] - x[3] * x[3] - x[0] + x[1] - x[2] + x[3]);
    g[1] = -(10 - x[0] * x[0] - 2 * x[1] * x[1] - x[2] * x[2] - 2 * x[3] * x[3] + x[0] + x[3]);
    g[2] = -(5 - 2 * x[0] * x[0] - x[1] * x[1] - x[2] * x[2] - 2 * x[0] + x[1] + x[3]);
    return true;
}

/* No 76: f = -4.681818 at (0.2727273, 2.090909, -0.26e-10, 0.5454545) */
static bool number_76(void *about, const double *x, double *f, double *g)
{
    (void)about;
    *f = x[0] * x[0] + 0.5 * x[1] * x[1] + x[2] * x[2] + 0.5 * x[3] * x[3] - x[0] * x[2] +
         x[2] * x[3] - x[0] - 3 * x[1] + x[2] - x[3];
    g[0] = x[0] + 2 * x[1] + x[2] + x[3] - 5;
    g[1] = 3 * x[0] + x[1] + 2 * x[2] - x[3] - 4;
    g[2] = 1.5 - x[1] - 4 * x[2];
    return true;
}

/* A valley by Rosenbrock, without conditions: 0 at (1, 1). */
static bool valley(void *about, const double *x, double *f, double *g)
{
    (void)about;
    (void)g;
    const double a = x[1] - x[0] * x[0], b = 1 - x[0];
    *f = 100 * a * a + b * b;
    return true;
}

static bool never(void *about, const double *x, double *f, double *g)
{
    (void)x;
    (void)f;
    (void)g;
    return *(const int *)about > 0;
}

/* Cannot be kept: x >= 2 and x <= 1. */
static bool torn(void *about, const double *x, double *f, double *g)
{
    (void)about;
    *f = x[0];
    g[0] = 2 - x[0];
    g[1] = x[0] - 1;
    return true;
}

static mdr_minimise_problem problem(bool (*value)(void *, const double *, double *, double *),
                                    int n, int m, const double *low, const double *high)
{
    return (mdr_minimise_problem){.n = n,
                                  .m = m,
                                  .low = low,
                                  .high = high,
                                  .difference = 1e-6,
                                  .within = 1e-6,
                                  .values_max = 3000,
                                  .value = value};
}

static void printed_answers(void **state)
{
    (void)state;
    const double low[4] = {-4, -4, -4, -4}, high[4] = {4, 4, 4, 4}, zero[4] = {0};
    double x[4] = {0};
    mdr_minimise_result r;
    mdr_minimise_problem p = problem(rosen_suzuki, 4, 3, low, high);
    assert_int_equal(mdr_minimise(&p, arena, x, &r, NULL), MDR_OK);
    CHECK_NEAR(r.f, -44, 2e-3, "S: Hock and Schittkowski 43");
    CHECK_NEAR(x[2], 2, 2e-2, "S: Hock and Schittkowski 43");
    assert_true(r.kept && r.worst <= 1e-6);
    assert_int_equal(calls, r.values);
    double y[4] = {0.5, 0.5, 0.5, 0.5};
    p = problem(number_76, 4, 3, zero, high);
    assert_int_equal(mdr_minimise(&p, arena, y, &r, NULL), MDR_OK);
    CHECK_NEAR(r.f, -4.681818, 1e-4, "S: Hock and Schittkowski 76");
    CHECK_NEAR(y[1], 2.090909, 1e-2, "S: Hock and Schittkowski 76");
}

static void limits_and_what_stays(void **state)
{
    (void)state;
    const double low[2] = {-2, -2}, high[2] = {2, 2}, shut_high[2] = {0.5, 2}, flat[2] = {0.5, -2};
    mdr_minimise_result r;
    double x[2] = {-1.2, 1};
    mdr_minimise_problem p = problem(valley, 2, 0, low, high);
    assert_int_equal(mdr_minimise(&p, arena, x, &r, NULL), MDR_OK);
    CHECK_NEAR(r.f, 0, 1e-3, "S: Rosenbrock's valley");
    assert_true(r.kept && r.worst == 0);
    double y[2] = {9, 9}; /* outside: moved in */
    p = problem(valley, 2, 0, low, shut_high);
    assert_int_equal(mdr_minimise(&p, arena, y, &r, NULL), MDR_OK);
    CHECK_NEAR(r.f, 0.25, 1e-3, "D: (1 - 0.5)^2 on the limit");
    assert_true(y[0] <= 0.5 && y[1] <= 2);
    double z[2] = {0, 0}; /* x0 cannot move */
    p = problem(valley, 2, 0, flat, shut_high);
    assert_int_equal(mdr_minimise(&p, arena, z, &r, NULL), MDR_OK);
    assert_true(z[0] == 0.5);
    CHECK_NEAR(z[1], 0.25, 1e-2, "D: x1 = x0^2");
}

static void torn_between(void **state)
{
    (void)state;
    const double low = -5, high = 5;
    double x = 4;
    mdr_minimise_result r;
    const mdr_minimise_problem p = problem(torn, 1, 2, &low, &high);
    assert_int_equal(mdr_minimise(&p, arena, &x, &r, NULL), MDR_OK);
    assert_false(r.kept);
    assert_true(r.worst >= 0.5 && r.worst <= 1.0); /* D: 0.5 half way between the two; 3 at x = 4 */
}

static void few_values(void **state)
{
    (void)state;
    const double low[4] = {-4, -4, -4, -4}, high[4] = {4, 4, 4, 4};
    double x[4] = {0};
    mdr_minimise_result r;
    mdr_minimise_problem p = problem(rosen_suzuki, 4, 3, low, high);
    p.values_max = 7;
    calls = 0;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, NULL), MDR_OK);
    assert_true(calls == 7 && r.values == 7 && r.f <= 0);
}

static void refused(void **state)
{
    (void)state;
    const double low[1] = {1}, high[1] = {0}, ok[1] = {2};
    int yes = 0;
    double x[1] = {0};
    mdr_minimise_result r = {.values = -3};
    mdr_err err = {0};
    mdr_minimise_problem p = problem(never, 1, 0, low, high);
    p.about = &yes;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "low");
    p.high = ok;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "x");
    p.n = 0;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "n");
    p.n = 1;
    p.m = MDR_MINIMISE_G_MAX + 1;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "m");
    p.m = 0;
    p.difference = 0;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "difference");
    p.difference = 0.1;
    p.values_max = 0;
    assert_int_equal(mdr_minimise(&p, arena, x, &r, &err), MDR_E_ARG);
    assert_string_equal(err.place, "values_max");
    assert_int_equal(r.values, -3);
}

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)4 << 20);
    return arena == NULL;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_answers), cmocka_unit_test(limits_and_what_stays),
        cmocka_unit_test(torn_between), cmocka_unit_test(few_values), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
