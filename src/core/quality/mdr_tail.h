/*
 * mdr_tail.h - how unlikely a count is: exact tails of the binomial and the Poisson distribution, and
 * the normal deviate that is as unlikely.
 *
 * Layer: core/quality (pure). Methods: docs/methods/quality-charts.md#few-lots
 *
 * Source (key of docs/sources.md): [definition]
 *
 * Symbols: p the probability of a hit, z a normal deviate; all without unit.
 */
#ifndef MDR_TAIL_H
#define MDR_TAIL_H

#include <stdbool.h>

/* Two-sided 95 % of the normal distribution. */
#define MDR_NORMAL_95 1.959964

/* P(X >= hits) of `of` trials, or with `upper` false P(X <= hits). 0 <= hits <= of, 0 < p < 1; within
 * 1e-12 up to 100 000 trials. O(of). */
double mdr_tail_binomial(int hits, int of, double p, bool upper);
/* The same of a count with this mean > 0. O(hits). */
double mdr_tail_poisson(int hits, double mean, bool upper);
/* P(Z >= z). */
double mdr_tail_normal(double z);
/* z >= 0 with P(Z >= z) = tail; 0 for a tail of a half and more, 38 for one too small to write. */
double mdr_tail_deviate(double tail);

#endif
