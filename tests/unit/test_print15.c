#include "t.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_print15.h"

static uint64_t seed = 11;

static uint64_t any(void)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return seed;
}

/* O: the C library's printf */
static void same(double v)
{
    char got[MDR_PRINT15_MAX], want[MDR_PRINT15_MAX];
    const int n = mdr_print15(got, v);
    (void)snprintf(want, sizeof want, "%.15g", v);
    if (strcmp(got, want) != 0 || n != (int)strlen(want)) {
        fail_msg("%.17g: got %s, want %s", v, got, want);
    }
}

static void corners(void **state)
{
    (void)state;
    const double ones[] = {0.0,
                           -0.0,
                           1.0,
                           -1.0,
                           0.1,
                           0.25,
                           1e15,
                           999999999999999.0,
                           1e14,
                           1e-4,
                           1.1e-4,
                           1e-5,
                           1e300,
                           5e-324,
                           (double)NAN,
                           (double)INFINITY,
                           0.5,
                           2.5,
                           0.3,
                           -0.3,
                           1e-3,
                           123.456,
                           99999.9999999999,
                           9.9999999999999995,
                           0.99999999999999989,
                           1.0 / 3.0,
                           2.0 / 3.0,
                           0.00011000000000000001,
                           899999999999999.9};
    for (size_t i = 0; i < N_OF(ones); i++) {
        same(ones[i]);
        same(-ones[i]);
        same(nextafter(ones[i], (double)INFINITY));
        same(nextafter(ones[i], -(double)INFINITY));
    }
}

/* Of every size, with many and with few digits, and half way between two of 15 digits. */
static void many(void **state)
{
    (void)state;
    for (int i = 0; i < 300000; i++) {
        const double unit = (double)(any() >> 11) / 9007199254740992.0;
        const double size = pow(10.0, (double)(any() % 22) - 6.0);
        same(unit * size);
        same(-(double)(any() % 1000000) / pow(10.0, (double)(any() % 9)));
        same(((double)(any() % 100000000) + 0.5) * 0x1p-20 * size);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(corners), cmocka_unit_test(many)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
