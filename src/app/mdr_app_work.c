#include "app/mdr_app_work.h"

#include <stdlib.h>

#include "app/mdr_app_in.h"

struct mdr_app_work {
    mdr_app_work_part part;
    mdr_app_records *records; /* NULL: of no mill */
};

/* -- records that outlive their renewal -- */

mdr_app_records *mdr_app_records_new(void)
{
    mdr_app_records *r = calloc(1, sizeof *r);
    mdr_arena *arena = mdr_arena_new(MDR_APP_CACHE_BYTES);
    if (r == NULL || arena == NULL) {
        free(r);
        mdr_arena_free(arena);
        return NULL;
    }
    *r = (mdr_app_records){.arena = arena, .users = 1};
    return r;
}

void mdr_app_records_drop(mdr_app_records *r)
{
    if (r != NULL && --r->users == 0) {
        mdr_arena_free(r->arena);
        free(r);
    }
}

/* -- the two parts -- */

mdr_code mdr_app_work_make(mdr_app *app, mdr_arena *arena, const mdr_app_work_part *part,
                           mdr_app_work **out, mdr_err *err)
{
    mdr_app_work *w = MDR_NEW(arena, mdr_app_work);
    if (w == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the calculation");
    }
    *w = (mdr_app_work){.part = *part, .records = app != NULL ? app->records : NULL};
    if (w->records != NULL) {
        w->records->users++;
    }
    *out = w;
    return MDR_OK;
}

mdr_code mdr_app_work_run(mdr_app_work *work, const mdr_go_on *go_on, mdr_blob *out, mdr_err *err)
{
    return work->part.run(work->part.about, go_on, out, err);
}

void mdr_app_work_end(mdr_app *app, mdr_app_work *work)
{
    if (work == NULL) {
        return;
    }
    if (work->part.keep != NULL && app != NULL && work->records == app->records) {
        work->part.keep(app, work->part.about);
    }
    mdr_app_records_drop(work->records);
    work->records = NULL;
}
