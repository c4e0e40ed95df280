/*
 * mdr_shade_matrix.h - differences of all rolls from all others, as grouping and ordering need them.
 *
 * A formula that depends on which of two is the standard is taken the worse way: a limit kept by the
 * matrix is kept both ways.
 *
 * Layer: core/colour (pure).
 */
#ifndef MDR_SHADE_MATRIX_H
#define MDR_SHADE_MATRIX_H

#include <stddef.h>

#include "core/colour/mdr_difference.h"

enum { MDR_ROLLS_MAX = 1000 };

typedef struct mdr_shade_matrix {
    int n;
    const double *de; /* n rows of n; symmetric, 0 on the diagonal */
} mdr_shade_matrix;

/* errors: MDR_E_RANGE "n" outside 1 .. 1000, "rolls[i]" not finite or beyond +-1000, or as
 * mdr_difference_check; MDR_E_NOMEM.   cost: O(n^2) differences, 8 n^2 bytes */
mdr_code mdr_shade_matrix_of(const mdr_lab *rolls, int n, const mdr_difference_spec *spec,
                             mdr_arena *arena, mdr_shade_matrix *out, mdr_err *err) MDR_MUST_CHECK;

static inline double mdr_shade_de(const mdr_shade_matrix *m, int i, int k)
{
    return m->de[(size_t)i * (size_t)m->n + (size_t)k];
}

#endif
