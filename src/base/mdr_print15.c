#include "base/mdr_print15.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { DIGITS = 15 };
/* Quick between these: no exponent is written, and the power of ten that makes 15 digits a whole
 * number, 10^18 at most, has no rounding in a long double of 64 bits. */
static const double LEAST = 1.1e-4, MOST = 9e14;
/* The product is good to 2^-14 of the last digit; nearer to a half than this, printf decides. */
static const long double NEAR_HALF = 1e-3L;

static const double POWER[DIGITS + 1] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                         1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
static const long double SCALE[DIGITS + 4] = {1e0L,  1e1L,  1e2L,  1e3L,  1e4L,  1e5L,  1e6L,
                                              1e7L,  1e8L,  1e9L,  1e10L, 1e11L, 1e12L, 1e13L,
                                              1e14L, 1e15L, 1e16L, 1e17L, 1e18L};

/* Decimals that leave 15 significant digits. */
static int decimals_of(double v)
{
    if (v < 1.0) {
        return v >= 0.1 ? DIGITS : v >= 0.01 ? DIGITS + 1 : v >= 0.001 ? DIGITS + 2 : DIGITS + 3;
    }
    int whole = 1;
    while (v >= POWER[whole]) {
        whole++;
    }
    return DIGITS - whole;
}

static int put(char *out, int n, bool negative, uint64_t digits, int decimals)
{
    char back[MDR_PRINT15_MAX];
    int k = 0;
    while (decimals > 0 && digits % 10 == 0) {
        digits /= 10;
        decimals--;
    }
    for (int i = 0; digits > 0 || i <= decimals; i++) {
        if (i == decimals && decimals > 0) {
            back[k++] = '.';
        }
        back[k++] = (char)('0' + digits % 10);
        digits /= 10;
    }
    if (negative) {
        back[k++] = '-';
    }
    while (k > 0) {
        out[n++] = back[--k];
    }
    out[n] = '\0';
    return n;
}

int mdr_print15(char *out, double value)
{
    const double v = fabs(value);
    if (v >= LEAST && v < MOST) { /* false for a NaN */
        const int decimals = decimals_of(v);
        const long double scaled = (long double)v * SCALE[decimals];
        const uint64_t whole = (uint64_t)scaled;
        const long double rest = scaled - (long double)whole;
        if (fabsl(rest - 0.5L) > NEAR_HALF) {
            return put(out, 0, value < 0.0, whole + (rest > 0.5L ? 1 : 0), decimals);
        }
    }
    return snprintf(out, MDR_PRINT15_MAX, "%.15g", value);
}
