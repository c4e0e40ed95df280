/*
 * mdr_app_hold_batch.h - the remedies of a reading of a batch. Layer: app, inside only.
 */
#ifndef MDR_APP_HOLD_BATCH_H
#define MDR_APP_HOLD_BATCH_H

#include "app/mdr_app.h"
#include "core/run/mdr_batch.h"
#include "core/run/mdr_hold.h"
#include "mill/mdr_mill.h"

typedef struct mdr_app_hold_point {
    const mdr_batch *batch;
    const char *step;                  /* key of the check */
    int n_failed;                      /* readings of it outside its limits before the newest */
    double ph;                         /* newest pH read in this bath, 0: none */
    const struct mdr_app_shade *shade; /* NULL: no sample was measured */
} mdr_app_hold_point;

/*
 * Judges the newest reading of the step. The bath is that of the control recipe, changed by the
 * remedies that were run since the check was reached first.
 *   errors  MDR_E_NOTFOUND  no such step ("step"); the mill has no such machine ("machine_id"), or no
 *                           site
 *           MDR_E_CONFLICT  the step is no check, has no reading, or its bath was not reckoned ("step")
 *           MDR_E_RANGE     as mdr_hold_judge; MDR_E_NOMEM
 */
mdr_code mdr_app_hold_judge(const mdr_app_hold_point *point, const mdr_masters *masters,
                            mdr_arena *arena, const mdr_hold **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as the document of GET /api/batches/{id}/remedies. */
mdr_code mdr_app_hold_remedies(const mdr_app_hold_point *point, const mdr_masters *masters,
                               mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* The remedy of this id, to be approved; MDR_E_NOTFOUND ("remedy_id") when it is not offered. */
mdr_code mdr_app_hold_remedy(const mdr_hold *hold, const char *remedy_id, const mdr_remedy **out,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
