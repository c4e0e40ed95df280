#include "core/finish/mdr_bound.h"

mdr_code mdr_bound_check(const mdr_bound *all, int n, const char *msg, mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        const mdr_bound *b = &all[i];
        if (!(b->value >= b->low && b->value <= b->high)) { /* true for NaN too */
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, b->field, "%s", msg);
            mdr_err_value(err, "%g", b->value);
            mdr_err_allowed(err, "%g to %g", b->low, b->high);
            mdr_err_remedy(err, "check the number and its unit");
            return rc;
        }
    }
    return MDR_OK;
}
