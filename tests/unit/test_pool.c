#include "t.h"

#include "core/quality/mdr_pool.h"

/* Tuberculosis and a vaccine, thirteen trials: ill and well, with it and without. */
static const double BCG[13][4] = {
    {4, 119, 11, 128},       {6, 300, 29, 274},        {3, 228, 11, 209},
    {62, 13536, 248, 12619}, {33, 5036, 47, 5761},     {180, 1361, 372, 1079},
    {8, 2537, 10, 619},      {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
    {17, 1699, 65, 1600},    {186, 50448, 141, 27197}, {5, 2493, 3, 2338},
    {27, 16886, 29, 17825}};

static void vaccine(void **state)
{
    (void)state;
    const char *src = "S: tests of an R package for meta-analysis, data of Colditz et al. 1994";
    mdr_pool_in trials[13];
    for (int i = 0; i < 13; i++) {
        const double *t = BCG[i];
        const double with = t[0] + t[1], without = t[2] + t[3];
        trials[i] = (mdr_pool_in){log(t[0] / with) - log(t[2] / without),
                                  1 / t[0] - 1 / with + 1 / t[2] - 1 / without};
    }
    const mdr_pool_q q = mdr_pool_q_of(trials, 13);
    CHECK_NEAR(q.q, 152.2330, 5e-4, src);
    assert_int_equal(q.df, 12);
    const mdr_pool_mean fixed = mdr_pool_mean_of(trials, 13, 0);
    CHECK_NEAR(fixed.mean, -0.4303, 5e-5, src);
    const double tau2 = mdr_pool_tau2(q);
    CHECK_NEAR(tau2, 0.3088, 5e-5, "M: the same package");
    const mdr_pool_mean m = mdr_pool_mean_of(trials, 13, tau2);
    CHECK_NEAR(m.mean, -0.7141, 5e-5, src);
    CHECK_NEAR(m.mean - 1.959964 * sqrt(m.variance), -1.0644, 1e-4, src);
    CHECK_NEAR(m.mean + 1.959964 * sqrt(m.variance), -0.3638, 1e-4, src);
}

/* Coaching in eight schools: differences that are no larger than chance. */
static void schools(void **state)
{
    (void)state;
    static const double y[8] = {28, 8, -3, 7, -1, 1, 18, 12},
                        se[8] = {15, 10, 16, 11, 9, 11, 10, 18};
    mdr_pool_in s[8];
    for (int i = 0; i < 8; i++) {
        s[i] = (mdr_pool_in){y[i], se[i] * se[i]};
    }
    const char *src = "M: Rubin 1981 as in Gelman et al., Bayesian Data Analysis, section 5.5";
    const mdr_pool_mean m = mdr_pool_mean_of(s, 8, 0);
    CHECK_NEAR(m.mean, 7.7, 0.05, src);
    CHECK_NEAR(m.variance, 16.6, 0.05, src);
    assert_true(mdr_pool_q_of(s, 8).q < 7);
    CHECK_NEAR(mdr_pool_tau2(mdr_pool_q_of(s, 8)), 0, 0, "D: q below its degrees of freedom");
    /* spread as wide as can be: every school alike, its own precision apart */
    CHECK_NEAR(mdr_pool_mean_of(s, 8, 1e9).mean, 70.0 / 8, 1e-3, "D: plain mean");
}

static void alone(void **state)
{
    (void)state;
    const mdr_pool_in one = {3, 0.5};
    const mdr_pool_q q = mdr_pool_q_of(&one, 1);
    CHECK_NEAR(mdr_pool_tau2(q), 0, 0, "contract");
    CHECK_NEAR(mdr_pool_mean_of(&one, 1, 0.25).variance, 0.75, 1e-15, "D");
    const mdr_pool_in two[] = {{1, 1}, {5, 1}};
    /* by hand: q = 8, room 2 - 2/2 = 1, tau2 = 7: the variance 8 of the two less 1 */
    CHECK_NEAR(mdr_pool_tau2(mdr_pool_q_of(two, 2)), 7, 1e-12, "D");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(vaccine), cmocka_unit_test(schools),
                                       cmocka_unit_test(alone)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
