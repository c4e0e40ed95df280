#include "core/colour/mdr_shade_matrix.h"

#include <math.h>

#include "core/colour/mdr_difference_many.h"

static const double MOST = 1000.0; /* invented: no colour reaches so far */

static mdr_code check(const mdr_lab *rolls, int n, mdr_err *err)
{
    if (n < 1 || n > MDR_ROLLS_MAX) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "n", "that is more rolls than can be sorted");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "1 to 1000");
        return rc;
    }
    for (int i = 0; i < n; i++) {
        if (!(fabs(rolls[i].l) <= MOST && fabs(rolls[i].a) <= MOST && fabs(rolls[i].b) <= MOST)) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "this is not a colour");
            mdr_err_within(err, "rolls[%d]", i);
            mdr_err_value(err, "%g, %g, %g", rolls[i].l, rolls[i].a, rolls[i].b);
            return rc;
        }
    }
    return MDR_OK;
}

static void worse_way(const mdr_lab *rolls, size_t n, const mdr_difference_spec *spec, double *de)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++) {
            de[i * n + k] = fmax(mdr_difference_of(rolls[i], rolls[k], spec).de,
                                 mdr_difference_of(rolls[k], rolls[i], spec).de);
        }
    }
}

mdr_code mdr_shade_matrix_of(const mdr_lab *rolls, int n, const mdr_difference_spec *spec,
                             mdr_arena *arena, mdr_shade_matrix *out, mdr_err *err)
{
    MDR_TRY(mdr_difference_check(spec, err));
    MDR_TRY(check(rolls, n, err));
    const size_t count = (size_t)n;
    double *de = MDR_NEW_N(arena, double, count *count);
    mdr_lab *same = MDR_NEW_N(arena, mdr_lab, count);
    if (de == NULL || same == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d rolls", n);
    }
    if (spec->formula == MDR_DE_2000) {
        for (size_t i = 0; i < count; i++) {
            for (size_t k = 0; k < i; k++) {
                same[k] = rolls[i];
            }
            mdr_difference_2000_many(same, rolls, i, spec->l, spec->c, spec->h, de + i * count);
        }
    } else {
        worse_way(rolls, count, spec, de);
    }
    for (size_t i = 0; i < count; i++) { /* the diagonal is 0 from the arena */
        for (size_t k = 0; k < i; k++) {
            de[k * count + i] = de[i * count + k];
        }
    }
    *out = (mdr_shade_matrix){n, de};
    return MDR_OK;
}
