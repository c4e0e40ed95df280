/*
 * mdr_difference_many.h - CIEDE2000 of many pairs at once, for grouping, searching and sorting.
 *
 * The same differences as mdr_difference_2000, within 1e-9 of them for colours of cloth and screens
 * (L* 0 to 100, |a*|, |b*| up to 128; test_difference_many), several times as fast as one after the
 * other. How: nothing in the formula needs the hue angles themselves. With the two colours as
 * vectors in the plane of a' and b',
 *   hue difference   the chord between them, from their dot and cross product
 *   mean hue         the direction half way between them, from the sum of both at equal length
 *   T                cosines of one to four times that angle: products of its cosine and sine
 *   rotation         exp(-((h - 275)/25)^2) from the cosine of (h - 275) alone: the square of an arc
 *                    cosine is a smooth function of the cosine
 * so that all of it is square roots, products and three short polynomials, without a branch, and a
 * compiler can put as many pairs side by side as the machine's registers hold.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#many-differences
 * Source (key of docs/sources.md): [sharma-ciede2000]
 */
#ifndef MDR_DIFFERENCE_MANY_H
#define MDR_DIFFERENCE_MANY_H

#include <stddef.h>

#include "core/colour/mdr_cielab.h"

/* de[i] from standard[i] to sample[i], n of them. kL, kC, kH above 0. Total. */
void mdr_difference_2000_many(const mdr_lab *standard, const mdr_lab *sample, size_t n, double kl,
                              double kc, double kh, double *de);

#endif
