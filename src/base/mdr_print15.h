/*
 * mdr_print15.h - a double with 15 significant digits, as printf's "%.15g" writes it, several times as
 * fast: a plan has ten thousand of them.
 *
 * Layer: base.
 */
#ifndef MDR_PRINT15_H
#define MDR_PRINT15_H

enum { MDR_PRINT15_MAX = 32 };

/* Byte for byte what snprintf(out, MDR_PRINT15_MAX, "%.15g", value) writes in the C locale; returns
 * the length. Total. */
int mdr_print15(char *out, double value);

#endif
