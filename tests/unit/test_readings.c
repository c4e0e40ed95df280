#include "t.h"

#include <string.h>

#include "core/colour/mdr_readings.h"

enum { MOST = 40 };

static mdr_spectrum spectra[MOST];
static mdr_reading readings[MOST];

static const mdr_reading_light LIGHT = {MDR_ILL_D65, MDR_OBSERVER_10, {MDR_DE_CMC, 2.0, 1.0, 1.0}};

static double slope(int k)
{
    return 0.2 + 0.01 * k;
}

/* n readings, the i-th lighter by off[i] (as a factor). */
static void make(int n, const double *off)
{
    for (int i = 0; i < n; i++) {
        spectra[i] = (mdr_spectrum){.start_nm = 400, .step_nm = 10, .n = 31};
        for (int k = 0; k < 31; k++) {
            spectra[i].v[k] = slope(k) * (1 + off[i]);
        }
        readings[i] = (mdr_reading){&spectra[i], MDR_SPECULAR_INCLUDED};
    }
}

static const mdr_readings *mean_of(int n, mdr_arena *arena)
{
    const mdr_readings *r = NULL;
    mdr_err err;
    if (mdr_readings_of(readings, n, &LIGHT, arena, &r, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return r;
}

static void one_reading(void **state)
{
    mdr_arena *arena = *state;
    make(1, (const double[]){0});
    const mdr_readings *r = mean_of(1, arena);
    for (int k = 0; k < 31; k++) {
        CHECK_NEAR(r->mean.v[k], slope(k), 0, "D");
    }
    assert_int_equal(r->outlier, -1);
    CHECK_NEAR(r->sd_l + r->sd_a + r->sd_b + r->worst_de + r->pair_de, 0, 1e-12, "D");
    assert_int_equal(r->specular, MDR_SPECULAR_INCLUDED);
}

static void mean_and_scatter(void **state)
{
    mdr_arena *arena = *state;
    make(4, (const double[]){-0.02, 0.01, 0.03, -0.02});
    const mdr_readings *r = mean_of(4, arena);
    for (int k = 0; k < 31; k++) {
        CHECK_NEAR(r->mean.v[k], slope(k), 1e-15, "D: the offsets add up to 0");
    }
    double sum = 0, squares = 0, l[4];
    for (int i = 0; i < 4; i++) {
        l[i] = mdr_lab_of_spectrum(&spectra[i], MDR_ILL_D65, MDR_OBSERVER_10).l;
        sum += l[i];
        CHECK_NEAR(
            r->de[i],
            mdr_difference_cmc(
                r->lab, mdr_lab_of_spectrum(&spectra[i], MDR_ILL_D65, MDR_OBSERVER_10), 2, 1),
            1e-12, "D");
    }
    for (int i = 0; i < 4; i++) {
        squares += (l[i] - sum / 4) * (l[i] - sum / 4);
    }
    CHECK_NEAR(r->sd_l, sqrt(squares / 3), 1e-12, "D");
    CHECK_NEAR(r->mean_de, (r->de[0] + r->de[1] + r->de[2] + r->de[3]) / 4, 1e-12, "D");
    CHECK_NEAR(r->worst_de, r->de[2], 0, "D: the furthest from the mean");
    assert_int_equal(r->pair_first, 0);
    assert_int_equal(r->pair_second, 2);
    assert_int_equal(r->outlier, -1);
    assert_null(r->mean_without);
}

/* Five that agree and one that does not, wherever it stands. */
static void one_apart(void **state)
{
    mdr_arena *arena = *state;
    for (int at = 0; at < 6; at++) {
        double off[6] = {0.001, -0.002, 0.0015, -0.0005, 0.002, -0.001};
        off[at] = 0.05;
        make(6, off);
        const mdr_readings *r = mean_of(6, arena);
        assert_int_equal(r->outlier, at);
        assert_true(r->outlier_t > 4.851 && r->outlier_de > 0.5);
        assert_non_null(r->mean_without);
        double rest = 0;
        for (int i = 0; i < 6; i++) {
            rest += i == at ? 0 : off[i] / 5;
        }
        CHECK_NEAR(r->mean_without->v[7], slope(7) * (1 + rest), 1e-14, "D: the mean of five");
        CHECK_NEAR(r->mean.v[7], slope(7) * (1 + rest * 5 / 6 + 0.05 / 6), 1e-14,
                   "D: nothing is dropped from the mean");
    }
}

/* t of the third of three: d sqrt(2/3) over the scatter of two, at least 38.19 ([student-t]). */
static void how_far_is_apart(void **state)
{
    mdr_arena *arena = *state;
    /* L* goes nearly in proportion here: two readings 0.001 apart, the third at x */
    make(3, (const double[]){0, 0.001, 0.040});
    const mdr_readings *r = mean_of(3, arena);
    assert_int_equal(r->outlier, 2);
    make(3, (const double[]){0, 0.001, 0.025});
    r = mean_of(3, arena);
    assert_int_equal(r->outlier, -1);
    /* apart by statistics, but not by more than the instrument can tell */
    make(4, (const double[]){0, 1e-6, 0, 0.002});
    r = mean_of(4, arena);
    assert_int_equal(r->outlier, -1);
    make(2, (const double[]){0, 0.5});
    r = mean_of(2, arena);
    assert_int_equal(r->outlier, -1);
    /* others that agree to the last digit */
    make(4, (const double[]){0, 0, 0, 0.1});
    r = mean_of(4, arena);
    assert_int_equal(r->outlier, 3);
    assert_true(isfinite(r->outlier_t));
}

static void many_readings(void **state)
{
    mdr_arena *arena = *state;
    double off[MOST];
    for (int i = 0; i < MOST; i++) {
        off[i] = 0.002 * sin(i * 1.7);
    }
    make(MOST, off);
    assert_int_equal(mean_of(MOST, arena)->outlier, -1);
    off[33] = 0.03;
    make(MOST, off);
    assert_int_equal(mean_of(MOST, arena)->outlier, 33);
}

static void refused(void **state)
{
    mdr_arena *arena = *state;
    const mdr_readings *r = NULL;
    mdr_err err;
    make(4, (const double[]){0, 0, 0, 0});
    assert_int_equal(mdr_readings_of(readings, 0, &LIGHT, arena, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "n");
    assert_int_equal(mdr_readings_of(readings, 1001, &LIGHT, arena, &r, &err), MDR_E_RANGE);
    readings[2].specular = MDR_SPECULAR_EXCLUDED;
    assert_int_equal(mdr_readings_of(readings, 4, &LIGHT, arena, &r, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "readings[2].specular");
    readings[2].specular = MDR_SPECULAR_INCLUDED;
    spectra[1].start_nm = 390;
    assert_int_equal(mdr_readings_of(readings, 4, &LIGHT, arena, &r, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "readings[1]");
    spectra[1].start_nm = 400;
    spectra[3].v[5] = (double)NAN;
    assert_int_equal(mdr_readings_of(readings, 4, &LIGHT, arena, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "readings[3].v[5]");
    spectra[3].v[5] = 0.5;
    mdr_arena *small = mdr_arena_new(1024);
    assert_int_equal(mdr_readings_of(readings, 4, &LIGHT, small, &r, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
    assert_null(r);
}

static int arena_up(void **state)
{
    *state = mdr_arena_new(8 << 20);
    return *state == NULL;
}

static int arena_down(void **state)
{
    mdr_arena_free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_reading),   cmocka_unit_test(mean_and_scatter),
        cmocka_unit_test(one_apart),     cmocka_unit_test(how_far_is_apart),
        cmocka_unit_test(many_readings), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, arena_up, arena_down);
}
