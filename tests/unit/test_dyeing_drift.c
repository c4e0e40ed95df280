/* The tables of a step against the same formulas in more digits, for any number of modes. Grades: D throughout. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dyeing_parts.h"

/* phi1 and phi2 of x in long double: by their series when small. */
static void phis(long double x, long double *phi1, long double *phi2)
{
    if (x < 0.1L) {
        long double term = 1.0L, sum1 = 0.0L, sum2 = 0.0L;
        for (int k = 1; k < 25; k++) {
            term /= k;
            sum1 += term;
            sum2 += term / (k + 1);
            term *= -x;
        }
        *phi1 = sum1;
        *phi2 = sum2;
        return;
    }
    *phi1 = -expm1l(-x) / x;
    *phi2 = (1.0L - *phi1) / x;
}

static void near(double got, long double want, const char *what, long double x)
{
    if (!(fabsl((long double)got - want) <= 1e-12L * fabsl(want) + 1e-300L)) {
        fail_msg("%s at x = %Lg: %.17g, want %.20Lg", what, x, got, want);
    }
}

/* One mode of the tables, from what it rests on. */
static void mode_is_right(const mdr_drift *t, const mdr_dye_rates_at *at, const mdr_cylinder *fibre,
                          int p, double pace)
{
    const long double dt = (long double)t->dt_min;
    const long double fill =
        (long double)fibre->rate[p] * (long double)at->diffusion_per_min * (long double)pace;
    const long double fix = (long double)at->fix_per_min,
                      turn = (long double)at->fibre_hydrolysis_per_min;
    const long double all = fill + fix + turn, x = all * dt,
                      in = fill * (long double)fibre->weight[p] * dt;
    long double phi1, phi2;
    phis(x, &phi1, &phi2);
    near(t->active.keep[p], x < 690.0L ? expl(-x) : expl(-690.0L), "keep", x);
    near(t->active.back[p], fill * dt * phi1, "back", x);
    CHECK_NEAR(t->active.from_d[p] / (double)(in * (phi1 - phi2)), 1.0, 1e-10, "D: more digits");
    near(t->active.from_c1[p], in * phi2, "from_c1", x);
    near(t->fix[p], fix * dt * phi1, "fix", x);
    near(t->turn[p], turn * dt * phi1, "turn", x);
    phis(fill * dt, &phi1, &phi2);
    near(t->hydrolysed.back[p], fill * dt * phi1, "hydrolysed back", fill * dt);
    near(t->hydrolysed.from_c1[p], in * phi2, "hydrolysed from_c1", fill * dt);
    near(t->turn_stays[p], phi1, "turn_stays", fill * dt);
}

static void make(const mdr_dye_rates *dye, const mdr_dye_rates_at *at, const mdr_cylinder *fibre,
                 double dt_min, double pace, mdr_drift *out)
{
    mdr_drift_heat heat;
    mdr_drift_heat_make(dye, at, fibre, dt_min, pace, &heat);
    mdr_drift_make(dye, at, &heat, fibre->modes, dt_min, out);
}

static void every_mode(void **state)
{
    (void)state;
    static const double DT[] = {1e-9, 1e-4, 0.02, 0.0299, 0.031, 0.4, 1.7, 30.0, 500.0};
    const mdr_dye_rates dye = {.charge = 2.5, .fix_per_min = 0.1, .hydrolysis_per_min = 0.02};
    const mdr_dye_rates_at at = {.diffusion_per_min = 0.11,
                                 .fix_per_min = 0.05,
                                 .hydrolysis_per_min = 0.02,
                                 .fibre_hydrolysis_per_min = 0.003,
                                 .affinity = 100,
                                 .hydrolysed_affinity = 80};
    for (int modes = 1; modes <= MDR_CYLINDER_MODES_MAX; modes++) {
        const mdr_cylinder fibre = mdr_cylinder_of(modes);
        for (size_t i = 0; i < N_OF(DT); i++) {
            mdr_drift t;
            make(&dye, &at, &fibre, DT[i], 1.3, &t);
            for (int p = 0; p < modes; p++) {
                mode_is_right(&t, &at, &fibre, p, 1.3);
            }
            assert_int_equal(t.whole_charge, 0);
        }
    }
}

/* What leaves the liquor at d and c1 is what the modes, the fixed dye and the hydrolysed get of it. */
static void nothing_is_lost(void **state)
{
    (void)state;
    const mdr_dye_rates dye = {.charge = 3, .fix_per_min = 0.1, .hydrolysis_per_min = 0.02};
    const mdr_dye_rates_at at = {.diffusion_per_min = 0.05,
                                 .fix_per_min = 0.2,
                                 .hydrolysis_per_min = 0.02,
                                 .fibre_hydrolysis_per_min = 0.01};
    for (int modes = 1; modes <= MDR_CYLINDER_MODES_MAX; modes++) {
        const mdr_cylinder fibre = mdr_cylinder_of(modes);
        mdr_drift t;
        double d = 0.0, c1 = 0.0;
        make(&dye, &at, &fibre, 0.7, 1.0, &t);
        for (int p = 0; p < modes; p++) {
            d += t.active.from_d[p] + t.turn_d[p];
            c1 += t.active.from_c1[p] + t.turn_c1[p];
        }
        CHECK_NEAR(d + t.fix_d, t.active.loss_d, 1e-14, "D: conservation");
        CHECK_NEAR(c1 + t.fix_c1, t.active.loss_c1, 1e-14, "D: conservation");
        assert_int_equal(t.whole_charge, 3);
    }
}

/* 1 + 1/u - coth u, and never so much that a step takes more than there is. */
static void weight_of_one_store(void **state)
{
    (void)state;
    double before = 1.0;
    for (double u = 1e-4; u < 1e6; u *= 1.05) { /* NOLINT(cert-flp30-c) ratios, not sums */
        const double s = mdr_stage_weight_one(u);
        const long double v = (long double)u;
        const long double exact = u < 0.01 ? 1.0L - v / 3.0L : 1.0L + 1.0L / v - 1.0L / tanhl(v);
        CHECK_NEAR(s, (double)exact, 4e-5, "D: more digits");
        assert_true(s * u <= 1.0 && s > 0.0);
        assert_true(s <= before + 4e-5);
        before = s;
    }
    CHECK_NEAR(mdr_stage_weight_one(0.0), 1.0, 0.0, "D: a short step");
    CHECK_NEAR(mdr_stage_weight_one(1.0), 0.68696471450066854, 1e-13, "D: 2 - coth 1");
}

/* From nothing to much, over the place where the series ends: the last digit of the exact value. */
static void lost_to_the_last_digit(void **state)
{
    (void)state;
    for (double x = 1e-9; x < 20.0; x *= 1.01) { /* NOLINT(cert-flp30-c) ratios, not sums */
        CHECK_NEAR(mdr_drift_lost(x) / (double)-expm1l(-(long double)x), 1.0, 1e-15,
                   "D: more digits");
    }
    CHECK_NEAR(mdr_drift_lost(0.0), 0.0, 0.0, "D: no time");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_mode), cmocka_unit_test(nothing_is_lost),
        cmocka_unit_test(lost_to_the_last_digit), cmocka_unit_test(weight_of_one_store)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
