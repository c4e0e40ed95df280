#include "t.h"

#include "core/exhaust/mdr_cylinder.h"

enum { ROOT_UPTAKE, ROOT_Q1, ROOT_COLS = 7 };
extern const double crank_roots[][ROOT_COLS];
extern const int crank_roots_rows;
enum { UPTAKE_END, UPTAKE_AT, TIMES = 14, UPTAKE_HALF = UPTAKE_AT + TIMES, UPTAKE_COLS };
extern const double crank_uptake[][UPTAKE_COLS];
static const double TAU[TIMES] = {0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05,
                                  0.1,    0.15,  0.2,   0.3,   0.4,  0.5,  1};

/* Bessel functions of the C library, which standard C does not declare. */
extern double j0(double x);
extern double j1(double x);

static void zeros(void **state)
{
    (void)state;
    for (int p = 1; p <= MDR_CYLINDER_MODES_MAX; p++) {
        const double q = mdr_cylinder_zero(p);
        CHECK_NEAR(j0(q) / j1(q), 0, 4e-15 * q, "O: Bessel functions of the C library");
        /* between two that follow each other there is no other: they lie about pi apart */
        CHECK_NEAR(q, (p - 0.25) * acos(-1.0), 0.05, "D: McMahon's first term");
    }
}

/* The table that the dyebath tests use is checked against its own equation. */
static void roots_of_the_limited_bath(void **state)
{
    (void)state;
    for (int i = 1; i < crank_roots_rows; i++) {
        const double end = crank_roots[i][ROOT_UPTAKE] / 100, a = (1 - end) / end;
        for (int k = ROOT_Q1; k < ROOT_COLS; k++) {
            const double q = crank_roots[i][k];
            CHECK_NEAR((a * q * j0(q) + 2 * j1(q)) / (1 + a * q), 0, 1e-4, "D: Crank's equation");
        }
    }
    for (int k = ROOT_Q1; k < ROOT_COLS; k++) {
        CHECK_NEAR(crank_roots[0][k], mdr_cylinder_zero(k), 5.1e-5, "D: unlimited bath");
    }
}

static void weights(void **state)
{
    (void)state;
    for (int n = 1; n <= MDR_CYLINDER_MODES_MAX; n++) {
        const mdr_cylinder c = mdr_cylinder_of(n);
        double sum = 0, mean = 0;
        assert_int_equal(c.modes, n);
        for (int p = 0; p < n; p++) {
            assert_true(c.weight[p] > 0 && c.rate[p] > (p > 0 ? c.rate[p - 1] : 0));
            sum += c.weight[p];
            mean += c.weight[p] / c.rate[p];
        }
        CHECK_NEAR(sum, 1, 1e-14, "D: the whole fibre");
        CHECK_NEAR(mean, 0.125, 1e-14, "D: Rayleigh, sum of 4/q^4");
    }
    const mdr_cylinder one = mdr_cylinder_of(1);
    CHECK_NEAR(one.rate[0], 8, 1e-13, "D: linear driving force");
}

/* Each mode more brings the early uptake nearer; the late one is right with two. */
static void unlimited_bath(void **state)
{
    (void)state;
    const mdr_cylinder all = mdr_cylinder_of(MDR_CYLINDER_MODES_MAX);
    const mdr_cylinder two = mdr_cylinder_of(2), usual = mdr_cylinder_of(4);
    for (int i = 0; i < TIMES; i++) {
        const double want = crank_uptake[0][UPTAKE_AT + i];
        CHECK_NEAR(mdr_cylinder_uptake(&all, TAU[i]), want, TAU[i] < 0.005 ? 6e-3 : 3e-4,
                   "O: series of many terms");
        if (TAU[i] >= 0.005) {
            CHECK_NEAR(mdr_cylinder_uptake(&usual, TAU[i]), want, 6e-3, "O: series of many terms");
        }
        if (TAU[i] >= 0.1) {
            CHECK_NEAR(mdr_cylinder_uptake(&two, TAU[i]), want, 6e-3, "O: series of many terms");
        }
    }
    CHECK_NEAR(mdr_cylinder_uptake(&all, crank_uptake[0][UPTAKE_HALF]), 0.5, 2e-5, "O: half");
    const double tau = 0.004, short_time = 4 / sqrt(acos(-1.0)) * sqrt(tau) - tau -
                                           pow(tau, 1.5) / (3 * sqrt(acos(-1.0)));
    CHECK_NEAR(mdr_cylinder_uptake(&all, tau), short_time, 3e-5, "D: expansion at short times");
    CHECK_NEAR(mdr_cylinder_uptake(&all, 0), 0, 0, "D: nothing yet");
    CHECK_NEAR(mdr_cylinder_uptake(&all, 50), 1, 1e-15, "D: full");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(zeros),
                                       cmocka_unit_test(roots_of_the_limited_bath),
                                       cmocka_unit_test(weights), cmocka_unit_test(unlimited_bath)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
