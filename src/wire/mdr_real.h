/*
 * mdr_real.h - a number as an instrument's program writes it: "0.0123", "-1.5e-03", ".5".
 *
 * Layer: wire. Unlike mdr_decimal.h, which reads what people type, this takes exponents and any
 * number of digits; like it, it takes no comma, no nan, no inf, no hexadecimal, whatever the locale.
 * The value is within 2 units of its last binary digit of what is written.
 */
#ifndef MDR_REAL_H
#define MDR_REAL_H

#include <stdbool.h>
#include <stddef.h>

/* Whether all of `text` is one number, below 1e300; then it is in *out. */
bool mdr_real_read(const char *text, size_t len, double *out);

#endif
