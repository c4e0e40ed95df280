/* The remedies of a failed check, and the one that an entry approves. */
#include <string.h>

#include "app/mdr_app_run_in.h"

mdr_code mdr_app_run_remedy(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                            mdr_err *err)
{
    (void)app;
    (void)b;
    (void)arena;
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "remedy_id", "there is no such remedy");
    mdr_err_value(err, "%s", in->remedy_id);
    mdr_err_remedy(err, "decide otherwise");
    return rc;
}
