/*
 * mdr_app_shorten.h - the shortest dyeing of a lot that stays safe, what more minutes would buy, and the
 * route that would run it.
 *
 * Layer: app. The search is core/exhaust/mdr_dye_shorten.h. Nothing is stored: a point is taken by
 * storing its route.
 */
#ifndef MDR_APP_SHORTEN_H
#define MDR_APP_SHORTEN_H

#include "app/mdr_app_dyeing.h"
#include "wire/mdr_shorten_out.h"

/*
 * `ask` is JSON (may be empty): docs/api.md, POST /api/lots/{id}/shorten. Takes seconds. What it
 * points to lives in the arena and in the records of the app.
 *   errors  those of mdr_app_dyeing and mdr_dye_shorten
 */
mdr_code mdr_app_shorten(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                         mdr_err_list *found, const mdr_shorten_answer **out,
                         mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_shorten_json(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                              mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* The same in two parts (mdr_app_work.h); `ask` must last as long as the work. A search that is not
 * wanted any more answers with the points it has. */
mdr_code mdr_app_shorten_begin(mdr_app *app, const char *lot_id, mdr_blob ask, mdr_arena *arena,
                               mdr_err_list *found, mdr_app_work **out,
                               mdr_err *err) MDR_MUST_CHECK;

/* What the answer rests on, for the test of the methods' pages. */
const mdr_dyeing_reason *mdr_app_shorten_why(void);

#endif
