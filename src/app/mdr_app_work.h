/*
 * mdr_app_work.h - a long calculation in two parts: the first reads what it needs of the mill, the
 * second only calculates, so that others can be answered meanwhile.
 *
 * Layer: app. For a server that must not keep everybody waiting for one. The command line runs both
 * parts in one go (mdr_app_shorten_json and the like) and gets the same answer to the last byte.
 *
 * The first part (mdr_app_shorten_begin, ...) and mdr_app_work_end belong to the thread of the app;
 * mdr_app_work_run may run in any one thread, while the app is used and the records change: those
 * that the work was begun with are kept for it until its end.
 */
#ifndef MDR_APP_WORK_H
#define MDR_APP_WORK_H

#include "app/mdr_app.h"
#include "base/mdr_go_on.h"

typedef struct mdr_app_work mdr_app_work;

/* Once. `go_on` may be NULL; when it ends, the answer is what was found until then, and says so, or,
 * where nothing is worth an answer before its end, is finished all the same.
 * *out lives in the arena of the first part, which nobody else may use meanwhile.
 *   errors  those of the use case */
mdr_code mdr_app_work_run(mdr_app_work *work, const mdr_go_on *go_on, mdr_blob *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* Whether it was run or not; before the arena goes. NULL is allowed. */
void mdr_app_work_end(mdr_app *app, mdr_app_work *work);

#endif
