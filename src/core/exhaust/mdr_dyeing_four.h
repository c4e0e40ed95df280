/*
 * mdr_dyeing_four.h - four modes of the fibre at once; for the files of this folder only.
 *
 * Layer: core/exhaust (pure, total). Methods: docs/methods/exhaust.md#steps
 *
 * In whatever registers there are: each lane is what one number alone would be, to the last bit, on
 * every machine.
 */
#ifndef MDR_DYEING_FOUR_H
#define MDR_DYEING_FOUR_H

#include <stdint.h>

#include "core/exhaust/mdr_dyeing.h"

enum { FOUR = MDR_DYEING_MODES_USUAL };
typedef double four __attribute__((vector_size(FOUR * sizeof(double)), aligned(8), may_alias));
typedef int64_t four_bits
    __attribute__((vector_size(FOUR * sizeof(int64_t)), aligned(8), may_alias));
#define AT(p)  (*(four *)(void *)(p))
#define OF(p)  (*(const four *)(const void *)(p))
#define SUM(v) (((v)[0] + (v)[2]) + ((v)[1] + (v)[3]))
#define ALL(v) ((four){(v), (v), (v), (v)})

static inline four four_if(four_bits mask, four yes, four no)
{
    return (four)((mask & (four_bits)yes) | (~mask & (four_bits)no));
}

/* Least that four_exp_less gives. */
#define FOUR_LEAST 2.1717382813898271e-300 /* exp(-690) */

/* exp(-x), x >= 0: by powers of two and the series of what is left, |r| <= ln 2 / 2, to 3e-16 of itself;
 * what is below it is taken for FOUR_LEAST. */
static inline four four_exp_less(four x)
{
    static const double MOST = 690.0, LOG2_E = 1.4426950408889634;
    /* added and taken away: to the nearest whole number, which then stands in the last bits */
    static const double WHOLE = 6755399441055744.0; /* 1.5 x 2^52 */
    /* ln 2 in two parts, the first of so few digits that n times it is exact */
    static const double LN2 = 6.93147180369123816490e-01, LN2_REST = 1.90821492927058770002e-10;
    static const double OVER[] = {1.0 / 6227020800.0,
                                  1.0 / 479001600.0,
                                  1.0 / 39916800.0,
                                  1.0 / 3628800.0,
                                  1.0 / 362880.0,
                                  1.0 / 40320.0,
                                  1.0 / 5040.0,
                                  1.0 / 720.0,
                                  1.0 / 120.0,
                                  1.0 / 24.0,
                                  1.0 / 6.0,
                                  0.5,
                                  1.0,
                                  1.0}; /* 1/13! .. 1/0! */
    const four bound = four_if(x > ALL(MOST), ALL(MOST), x);
    const four shifted = -bound * LOG2_E + WHOLE;
    const four n = shifted - WHOLE;
    const four r = (-bound - n * LN2) - n * LN2_REST;
    four sum = ALL(OVER[0]);
    for (int k = 1; k < 14; k++) {
        sum = sum * r + OVER[k];
    }
    const four_bits power = ((four_bits)shifted + 1023) << 52;
    return sum * (four)power;
}

#endif
