/* Damped least squares: problems whose lowest point is known by algebra. */
#include "t.h"

#include <string.h>

#include "num/mdr_lm.h"

enum { N = MDR_LM_UNKNOWNS_MAX };

static const double WIDE_LEAST[N] = {-100, -100, -100}, WIDE_MOST[N] = {100, 100, 100};
static const double NUDGE[N] = {1e-7, 1e-7, 1e-7};

static mdr_lm problem(mdr_lm_of of, void *context, int unknowns, int rows)
{
    return (mdr_lm){.of = of,
                    .context = context,
                    .unknowns = unknowns,
                    .rows = rows,
                    .least = WIDE_LEAST,
                    .most = WIDE_MOST,
                    .nudge = NUDGE,
                    .small = 1e-20,
                    .calls_max = 400};
}

/* Rosenbrock's valley: lowest, 0, at (1, 1) whatever the start. */
static mdr_code valley(void *context, const double *x, double *r, mdr_err *err)
{
    (void)context, (void)err;
    r[0] = 10.0 * (x[1] - x[0] * x[0]);
    r[1] = 1.0 - x[0];
    return MDR_OK;
}

static void bent_valley(void **state)
{
    (void)state;
    static const double START[] = {-1.2, 1.0};
    mdr_lm_answer a;
    const mdr_lm p = problem(valley, NULL, 2, 2);
    assert_int_equal(mdr_lm_solve(&p, START, &a, NULL), MDR_OK);
    assert_true(a.settled);
    CHECK_NEAR(a.x[0], 1, 1e-7, "D: lowest point of the valley");
    CHECK_NEAR(a.x[1], 1, 1e-7, "D: lowest point of the valley");
    CHECK_NEAR(a.square, 0, 1e-14, "D: nothing left there");
    CHECK_NEAR(a.slope[0][0], -20, 1e-4, "D: -20 x");
    CHECK_NEAR(a.slope[1][1], 0, 1e-9, "D: no y in it");
}

/* The line a + b t through three readings, one of them off. */
typedef struct line {
    double t[4], y[4], sigma;
} line;

static mdr_code miss(void *context, const double *x, double *r, mdr_err *err)
{
    const line *l = context;
    (void)err;
    for (int i = 0; i < 4; i++) {
        r[i] = (x[0] + x[1] * l->t[i] - l->y[i]) / l->sigma;
    }
    return MDR_OK;
}

static void straight_line(void **state)
{
    (void)state;
    line l = {{0, 1, 2, 3}, {1, 3, 5, 8}, 0.5};
    static const double START[] = {0, 0};
    mdr_lm_answer a;
    mdr_lm_covariance cov;
    const mdr_lm p = problem(miss, &l, 2, 4);
    assert_int_equal(mdr_lm_solve(&p, START, &a, NULL), MDR_OK);
    CHECK_NEAR(a.x[1], 2.3, 1e-6, "D: sum (t - 1.5)(y - mean) / 5 = 11.5 / 5");
    CHECK_NEAR(a.x[0], 0.8, 1e-6, "D: mean 4.25 less 1.5 x 2.3");
    assert_true(mdr_lm_covariance_of(&a, 4, 2, &cov));
    CHECK_NEAR(cov.of[1][1], 0.25 / 5.0, 1e-6, "D: sigma^2 / sum (t - mean)^2");
    CHECK_NEAR(cov.of[0][0], 0.25 * (0.25 + 2.25 / 5.0), 1e-6, "D: sigma^2 (1/n + mean^2/S)");
    CHECK_NEAR(cov.of[0][1], -0.25 * 1.5 / 5.0, 1e-6, "D: -sigma^2 mean/S");
    CHECK_NEAR(cov.of[1][0], cov.of[0][1], 1e-15, "D: symmetric");
}

static void stays_within(void **state)
{
    (void)state;
    line l = {{0, 1, 2, 3}, {1, 3, 5, 8}, 1};
    static const double START[] = {1, 0}, LEAST[] = {1, -5}, MOST[] = {9, 2};
    mdr_lm_answer a;
    mdr_lm p = problem(miss, &l, 2, 4);
    p.least = LEAST;
    p.most = MOST;
    assert_int_equal(mdr_lm_solve(&p, START, &a, NULL), MDR_OK);
    assert_true(a.settled);
    CHECK_NEAR(a.x[1], 2, 0, "D: 2.3 lies outside");
    CHECK_NEAR(a.x[0], 1.25, 1e-6, "D: mean of y - 2 t");
    /* a held unknown stays and has no slope */
    static const double HELD_LEAST[] = {0.5, -5}, HELD_MOST[] = {0.5, 5}, AT[] = {0.5, 0};
    p.least = HELD_LEAST;
    p.most = HELD_MOST;
    assert_int_equal(mdr_lm_solve(&p, AT, &a, NULL), MDR_OK);
    CHECK_NEAR(a.x[0], 0.5, 0, "D: held");
    CHECK_NEAR(a.slope[2][0], 0, 0, "contract: 0 for what is held");
    CHECK_NEAR(a.x[1], (37 - 0.5 * 6) / 14.0, 1e-6, "D: sum t (y - 0.5) / sum t^2");
}

static void not_told_apart(void **state)
{
    (void)state;
    static const mdr_lm_answer TWINS = {.slope = {{1, 2}, {2, 4}, {3, 6}}};
    static const mdr_lm_answer ONE_DEAD = {.slope = {{1, 0}, {2, 0}, {2, 0}}};
    mdr_lm_covariance cov;
    assert_false(mdr_lm_covariance_of(&TWINS, 3, 2, &cov));
    assert_true(mdr_lm_covariance_of(&ONE_DEAD, 3, 2, &cov));
    CHECK_NEAR(cov.of[0][0], 1.0 / 9.0, 1e-12, "D: 1 / (1 + 4 + 4)");
    CHECK_NEAR(cov.of[1][1], 0, 0, "contract: 0 for what no row sees");
}

static mdr_code broken(void *context, const double *x, double *r, mdr_err *err)
{
    int *calls = context;
    r[0] = x[0] - 5.0;
    return ++*calls == 3 ? MDR_FAIL(err, MDR_E_NOMEM, "here", "no") : MDR_OK;
}

static mdr_code nowhere(void *context, const double *x, double *r, mdr_err *err)
{
    (void)context, (void)err;
    r[0] = sqrt(x[0] - 1.0); /* NaN below 1 */
    return MDR_OK;
}

/* Lowest at 2 of what is not defined below 1: steps that leave are taken back. */
static mdr_code edge(void *context, const double *x, double *r, mdr_err *err)
{
    (void)context, (void)err;
    r[0] = log(x[0] - 1.0);
    return MDR_OK;
}

static void what_fails(void **state)
{
    (void)state;
    static const double START[] = {0}, FAR[] = {6};
    mdr_err err;
    int calls = 0;
    mdr_lm_answer a = {.calls = -7};
    mdr_lm p = problem(broken, &calls, 1, 1);
    assert_int_equal(mdr_lm_solve(&p, START, &a, &err), MDR_E_NOMEM);
    assert_string_equal(err.place, "here");
    assert_int_equal(a.calls, -7); /* contract: written on success only */
    p = problem(nowhere, NULL, 1, 1);
    assert_int_equal(mdr_lm_solve(&p, START, &a, &err), MDR_E_CONVERGE);
    assert_string_equal(err.place, "start");
    p = problem(edge, NULL, 1, 1);
    assert_int_equal(mdr_lm_solve(&p, FAR, &a, NULL), MDR_OK);
    CHECK_NEAR(a.x[0], 2, 1e-7, "D: ln 1 = 0");
}

static void calls_are_counted(void **state)
{
    (void)state;
    static const double START[] = {-1.2, 1.0};
    mdr_lm_answer a;
    mdr_lm p = problem(valley, NULL, 2, 2);
    p.calls_max = 6;
    assert_int_equal(mdr_lm_solve(&p, START, &a, NULL), MDR_OK);
    assert_false(a.settled);
    assert_true(a.calls <= 6 + 2 * 2); /* the slopes of the last place come on top */
    CHECK_NEAR(fmin(a.square, 24.2), a.square, 0, "contract: never above the start's 24.2");
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(bent_valley),  cmocka_unit_test(straight_line),
        cmocka_unit_test(stays_within), cmocka_unit_test(not_told_apart),
        cmocka_unit_test(what_fails),   cmocka_unit_test(calls_are_counted),
    };
    return cmocka_run_group_tests(TESTS, NULL, NULL);
}
