#include "t.h"

#include <string.h>

#include "core/knit/mdr_knit_fit.h"

/* A sample that has these constants exactly. */
static mdr_knit_sample sample(double loop_cm, double tex, double kc, double kw, double ks_eff)
{
    return (mdr_knit_sample){.loop_cm = loop_cm,
                             .yarn = {tex},
                             .courses_per_cm = kc / loop_cm,
                             .wales_per_cm = kw / loop_cm,
                             .gsm = ks_eff * tex / (10 * loop_cm)};
}

static mdr_knit_fit fit(const mdr_knit_sample *s, int n, double beds)
{
    mdr_knit_fit out = {0};
    assert_int_equal(mdr_knit_fit_samples(s, n, beds, &out, NULL), MDR_OK);
    return out;
}

static void three_samples(void **state)
{
    (void)state;
    /* different yarn and loop on purpose: neither may come into the constants */
    const mdr_knit_sample s[] = {sample(0.28, 19.685, 5.4, 4.1, 22.4),
                                 sample(0.30, 24.6, 5.5, 4.2, 23.0),
                                 sample(0.26, 14.8, 5.6, 4.3, 24.2)};
    const mdr_knit_fit f = fit(s, 3, 1);
    const char *src = "D: mean and sample deviation by hand";
    assert_int_equal(f.n, 3);
    CHECK_NEAR(f.kc_cm.mean, 5.5, 1e-12, src);
    CHECK_NEAR(f.kc_cm.sd, 0.1, 1e-12, src);
    CHECK_NEAR(f.kc_cm.se, 0.1 / sqrt(3), 1e-12, src);
    CHECK_NEAR(f.kc_cm.cv_pct, 100 * 0.1 / 5.5, 1e-12, src);
    CHECK_NEAR(f.kc_cm.low, 5.5 - 4.303 * 0.1 / sqrt(3), 1e-12, "M: t 4.303, 2 df");
    CHECK_NEAR(f.kc_cm.high, 5.5 + 4.303 * 0.1 / sqrt(3), 1e-12, "M: t 4.303, 2 df");
    CHECK_NEAR(f.kw_cm.mean, 4.2, 1e-12, src);
    CHECK_NEAR(f.kw_cm.sd, 0.1, 1e-12, src);
    CHECK_NEAR(f.ks_eff.mean, 23.2, 1e-12, src);
    CHECK_NEAR(f.ks_eff.sd, sqrt((0.64 + 0.04 + 1.0) / 2), 1e-12, src);
    CHECK_NEAR(f.gsm_factor.mean, (22.4 / 22.14 + 23.0 / 23.1 + 24.2 / 24.08) / 3, 1e-12, src);
    assert_int_equal(f.kc_cm.outlier, -1);
}

static void two_beds(void **state)
{
    (void)state;
    const mdr_knit_sample s[] = {sample(0.33, 14.76, 5.6, 3.9, 44.0),
                                 sample(0.33, 14.76, 5.7, 4.1, 46.0)};
    const mdr_knit_fit f = fit(s, 2, 2);
    CHECK_NEAR(f.ks_eff.mean, 45, 1e-12, "D: both beds counted");
    CHECK_NEAR(f.gsm_factor.mean, (44.0 / (2 * 21.84) + 46.0 / (2 * 23.37)) / 2, 1e-12, "D");
    CHECK_NEAR(f.kc_cm.high - f.kc_cm.mean, 12.706 * 0.05, 1e-12, "M: t 12.706, 1 df");
    assert_int_equal(f.kw_cm.outlier, -1);

    const mdr_knit_constants c = mdr_knit_fit_constants(&f, 2);
    assert_int_equal(c.grade, MDR_KNIT_OWN);
    CHECK_NEAR(mdr_knit_ks_eff(&c), 45, 1e-12, "contract: the mean ks_eff comes back");
    CHECK_NEAR(c.kc_cm, 5.65, 1e-12, "contract");
    CHECK_NEAR(c.kw_cm, 4.0, 1e-12, "contract");
    CHECK_NEAR(c.length_factor * c.width_factor, 1, 0, "contract");
    const mdr_knit k = {.yarn = {14.76}, .loop_cm = 0.33};
    CHECK_NEAR(mdr_knit_gsm(&k, &c), (s[0].gsm + s[1].gsm) / 2, 1e-10, "D: same yarn and loop");
}

/* n samples of kc 5.5 except where said */
static int kc_outlier(const double *kc, int n)
{
    mdr_knit_sample s[MDR_KNIT_SAMPLES_MAX] = {0};
    for (int i = 0; i < n; i++) {
        s[i] = sample(0.28, 20, kc[i], 4.2, 23.1);
    }
    const mdr_knit_fit f = fit(s, n, 1);
    assert_int_equal(f.kw_cm.outlier, -1);
    assert_int_equal(f.ks_eff.outlier, -1);
    return f.kc_cm.outlier;
}

static void outliers(void **state)
{
    (void)state;
    /* M: Dixon's table at 95 %, two-sided; the rows lie on both sides of its limit */
    assert_int_equal(kc_outlier((const double[]){5.0, 6.0, 5.028}, 3), 1);     /* Q 0.972 > 0.970 */
    assert_int_equal(kc_outlier((const double[]){5.0, 6.0, 5.035}, 3), -1);    /* Q 0.965 */
    assert_int_equal(kc_outlier((const double[]){6.0, 5.0, 5.972}, 3), 1);     /* from below */
    assert_int_equal(kc_outlier((const double[]){5.0, 5.1, 5.16, 6.0}, 4), 3); /* Q 0.84 > 0.829 */
    assert_int_equal(kc_outlier((const double[]){5.0, 5.1, 5.18, 6.0}, 4), -1); /* Q 0.82 */
    assert_int_equal(
        kc_outlier((const double[]){5.0, 5.1, 5.2, 5.3, 5.2, 5.1, 5.0, 5.2, 5.3, 5.6}, 10),
        9); /* Q 0.50 > 0.466 */
    assert_int_equal(
        kc_outlier((const double[]){5.0, 5.1, 5.2, 5.3, 5.2, 5.1, 5.0, 5.2, 5.3, 5.55}, 10),
        -1); /* Q 0.4545 */
    /* near twins and a stranger one reading error away */
    assert_int_equal(kc_outlier((const double[]){5.5, 5.5, 5.6}, 3), -1);
    assert_int_equal(kc_outlier((const double[]){5.5, 5.5, 5.5}, 3), -1);
}

static void outliers_of_many(void **state)
{
    (void)state;
    double kc[11] = {5.3, 5.4, 5.5, 5.6, 5.7, 5.3, 5.4, 5.5, 5.6, 5.7, 5.5};
    assert_int_equal(kc_outlier(kc, 11), -1);
    /* M: modified z; median 5.5, MAD 0.1: 3.5 x 0.1/0.6745 = 0.519 away */
    kc[4] = 6.01;
    assert_int_equal(kc_outlier(kc, 11), -1);
    kc[4] = 6.03;
    assert_int_equal(kc_outlier(kc, 11), 4);
    kc[4] = 4.97;
    assert_int_equal(kc_outlier(kc, 11), 4);
    for (int i = 0; i < 11; i++) {
        kc[i] = 5.5;
    }
    kc[2] = 5.6; /* MAD 0, but only a reading error */
    assert_int_equal(kc_outlier(kc, 11), -1);
}

static void t_table(void **state)
{
    (void)state;
    static const struct {
        int df;
        double t;
    } ROWS[] = {{1, 12.706}, {2, 4.303}, {5, 2.571}, {10, 2.228}, {20, 2.086}, {30, 2.042}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(mdr_knit_t95(ROWS[i].df), ROWS[i].t, 0, "M: Student's t, two-sided 95 %");
    }
    /* 95 % between -t and t: 1 and 2 degrees have closed distribution functions */
    CHECK_NEAR(2 / acos(-1.0) * atan(mdr_knit_t95(1)), 0.95, 2e-5, "D: Cauchy");
    CHECK_NEAR(mdr_knit_t95(2) / sqrt(2 + mdr_knit_t95(2) * mdr_knit_t95(2)), 0.95, 2e-5, "D");
    for (int df = 2; df <= 30; df++) {
        assert_true(mdr_knit_t95(df) < mdr_knit_t95(df - 1));
        if (df >= 4) { /* Hill's expansion about the normal deviate 1.959964 */
            const double z = 1.959964, g1 = (z * z * z + z) / 4,
                         g2 = (5 * pow(z, 5) + 16 * pow(z, 3) + 3 * z) / 96,
                         g3 = (3 * pow(z, 7) + 19 * pow(z, 5) + 17 * pow(z, 3) - 15 * z) / 384;
            const double near = z + g1 / df + g2 / df / df + g3 / df / df / df;
            CHECK_NEAR(mdr_knit_t95(df), near, 0.0006 + 3.2 / pow(df, 4), "D: expansion in 1/df");
        }
    }
}

static void refused(void **state)
{
    (void)state;
    static const mdr_knit_fit UNTOUCHED = {.n = -7};
    mdr_knit_fit out = UNTOUCHED;
    mdr_err err = {0};
    mdr_knit_sample s[32];
    for (int i = 0; i < 32; i++) {
        s[i] = sample(0.28, 20, 5.5, 4.2, 23.1);
    }
    assert_int_equal(mdr_knit_fit_samples(s, 1, 1, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "samples");
    assert_string_equal(err.value, "1");
    assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
    assert_int_equal(mdr_knit_fit_samples(s, 32, 1, &out, &err), MDR_E_ARG);
    assert_int_equal(mdr_knit_fit_samples(s, 31, 1, &out, NULL), MDR_OK);
    out = UNTOUCHED;
    assert_int_equal(mdr_knit_fit_samples(s, 3, 1.5, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "beds");

    static const struct {
        size_t at;
        const char *place;
        double low, high;
    } FIELDS[] = {
        {offsetof(mdr_knit_sample, loop_cm), "samples[2].loop_cm", 0.049, 2.8},
        {offsetof(mdr_knit_sample, yarn), "samples[2].yarn", 0.9, 501},
        {offsetof(mdr_knit_sample, courses_per_cm), "samples[2].courses_per_cm", 0.9, 101},
        {offsetof(mdr_knit_sample, wales_per_cm), "samples[2].wales_per_cm", 0.9, 101},
        {offsetof(mdr_knit_sample, gsm), "samples[2].gsm", 9.9, 2001}};
    for (size_t i = 0; i < N_OF(FIELDS); i++) {
        const double bad[] = {FIELDS[i].low, FIELDS[i].high, (double)NAN, (double)INFINITY, -1, 0};
        for (size_t b = 0; b < N_OF(bad); b++) {
            mdr_knit_sample with[3] = {s[0], s[1], s[2]};
            memcpy((char *)&with[2] + FIELDS[i].at, &bad[b], sizeof bad[b]);
            assert_int_equal(mdr_knit_fit_samples(with, 3, 1, &out, &err), MDR_E_RANGE);
            assert_string_equal(err.place, FIELDS[i].place);
            assert_true(strlen(err.value) > 0 && strlen(err.allowed) > 0 && strlen(err.remedy) > 0);
            assert_int_equal(mdr_knit_fit_samples(with, 3, 1, &out, NULL), MDR_E_RANGE);
        }
    }
    assert_int_equal(out.n, -7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_samples),    cmocka_unit_test(two_beds), cmocka_unit_test(outliers),
        cmocka_unit_test(outliers_of_many), cmocka_unit_test(t_table),  cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
