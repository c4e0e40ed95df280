/*
 * mdr_app_dyeing.h - a lot's dyeing reckoned through as it is planned, or with changes: uptake,
 * strike, levelness, what goes wrong when something is off.
 *
 * Layer: app. The numbers come from core/exhaust, core/plan and core/recipe.
 */
#ifndef MDR_APP_DYEING_H
#define MDR_APP_DYEING_H

#include "app/mdr_answer.h"
#include "app/mdr_app_work.h"
#include "wire/mdr_dyeing_out.h"

/*
 * `ask` is JSON (may be empty: len 0): docs/api.md, POST /api/lots/{id}/dyeing. What it points to
 * lives in the arena and in the records of the app: use it before the next call on the app.
 *   errors  those of a plan; MDR_E_PARSE, MDR_E_RANGE of the document ("steps[0].minutes");
 *           MDR_E_NOTFOUND "bath"; MDR_E_NOMEM
 */
mdr_code mdr_app_dyeing(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                        mdr_err_list *found, const mdr_dyeing_out **out,
                        mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_dyeing_json(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* The same in two parts (mdr_app_work.h); `ask` must last as long as the work. */
mdr_code mdr_app_dyeing_begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                              mdr_err_list *found, mdr_app_work **out, mdr_err *err) MDR_MUST_CHECK;

/* Everything the answer rests on, for the test of the methods' pages. */
const mdr_dyeing_reason *mdr_app_dyeing_whys(int *n);

#endif
