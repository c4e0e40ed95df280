#include "t.h"

#include "core/bath/mdr_dosing.h"

static const struct {
    double exponent, given[11], end_rate;
} CURVES[] = {
    {0.5,
     {0.0000, 0.3162, 0.4472, 0.5477, 0.6325, 0.7071, 0.7746, 0.8367, 0.8944, 0.9487, 1.0000},
     0.5},
    {1,
     {0.0000, 0.1000, 0.2000, 0.3000, 0.4000, 0.5000, 0.6000, 0.7000, 0.8000, 0.9000, 1.0000},
     1},
    {1.5,
     {0.0000, 0.0316, 0.0894, 0.1643, 0.2530, 0.3536, 0.4648, 0.5857, 0.7155, 0.8538, 1.0000},
     1.5},
    {2,
     {0.0000, 0.0100, 0.0400, 0.0900, 0.1600, 0.2500, 0.3600, 0.4900, 0.6400, 0.8100, 1.0000},
     2},
    {2.5,
     {0.0000, 0.0032, 0.0179, 0.0493, 0.1012, 0.1768, 0.2789, 0.4100, 0.5724, 0.7684, 1.0000},
     2.5},
    {3,
     {0.0000, 0.0010, 0.0080, 0.0270, 0.0640, 0.1250, 0.2160, 0.3430, 0.5120, 0.7290, 1.0000},
     3},
    {4,
     {0.0000, 0.0001, 0.0016, 0.0081, 0.0256, 0.0625, 0.1296, 0.2401, 0.4096, 0.6561, 1.0000},
     4}};

static void curves(void **state)
{
    (void)state;
    for (size_t c = 0; c < N_OF(CURVES); c++) {
        for (int i = 0; i <= 10; i++) {
            CHECK_NEAR(mdr_dosing_power(i / 10.0, CURVES[c].exponent), CURVES[c].given[i], 5.1e-5,
                       "D: dosing_curves");
        }
        CHECK_NEAR(mdr_dosing_power_rate(1, CURVES[c].exponent), CURVES[c].end_rate, 0,
                   "D: dosing_curves");
    }
    for (int i = 0; i <= 10; i++) {
        CHECK_NEAR(mdr_dosing_linear(i / 10.0), mdr_dosing_power(i / 10.0, 1), 0,
                   "D: exponent 1 is even");
    }
    CHECK_NEAR(120 * mdr_dosing_power(15.0 / 30, 2), 30, 1e-14, "D: E25, kg of soda");
}

/* The flow is the slope of what is in. */
static void rate_is_the_slope(void **state)
{
    (void)state;
    const double h = 1e-5;
    for (double n = 0.3; n < 5; n += 0.31) {
        for (double tau = 0.05; tau < 0.99; tau += 0.07) {
            const double slope =
                (mdr_dosing_power(tau + h, n) - mdr_dosing_power(tau - h, n)) / (2 * h);
            CHECK_NEAR(mdr_dosing_power_rate(tau, n), slope, 1e-6, "D: central difference");
        }
    }
}

static void portions(void **state)
{
    (void)state;
    const char *src = "contract: portion i at once at tau = i/k";
    CHECK_NEAR(mdr_dosing_portions(0, 2), 0.5, 0, src);
    CHECK_NEAR(mdr_dosing_portions(0.499, 2), 0.5, 0, src);
    CHECK_NEAR(mdr_dosing_portions(0.5, 2), 1, 0, src);
    CHECK_NEAR(mdr_dosing_portions(1, 2), 1, 0, src);
    /* 1.0/49*49 is less than 1: a portion must not come late for that */
    for (int k = 1; k <= 100; k++) {
        for (int i = 0; i < k; i++) {
            CHECK_NEAR(mdr_dosing_portions((double)i / k, k), (i + 1.0) / k, 0, src);
            CHECK_NEAR(mdr_dosing_portions((i + 0.999) / k, k), (i + 1.0) / k, 0, src);
        }
        CHECK_NEAR(mdr_dosing_portions(1, k), 1, 0, "D: all of it at the end");
    }
}

static void tank(void **state)
{
    (void)state;
    static const struct {
        double volume_l, tank_l, loads;
    } L[] = {{0, 500, 0},     {0.1, 500, 1},  {500, 500, 1},
             {500.1, 500, 2}, {1999, 500, 4}, {0.1 + 0.2, 0.3, 1}};
    for (size_t i = 0; i < N_OF(L); i++) {
        CHECK_NEAR(mdr_dosing_tank_loads(L[i].volume_l, L[i].tank_l), L[i].loads, 0,
                   "D: by hand; 0.1 + 0.2 is a hair above 0.3");
    }
    CHECK_NEAR(mdr_dosing_water_l(480, 200), 2400, 0, "D: 480 kg at 200 g/L");
    CHECK_NEAR(mdr_dosing_least_min(2400, 100, 5, 8), 24 + 4 * 8, 0, "D: by hand");
    CHECK_NEAR(mdr_dosing_least_min(300, 100, 1, 8), 3, 0, "D: the first load is ready");
    CHECK_NEAR(mdr_dosing_least_min(0, 100, 0, 8), 0, 0, "D: nothing to give");
    CHECK_NEAR(mdr_dosing_cycles(30, 2.5), 12, 0, "D: by hand");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(curves),
                                       cmocka_unit_test(rate_is_the_slope),
                                       cmocka_unit_test(portions), cmocka_unit_test(tank)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
