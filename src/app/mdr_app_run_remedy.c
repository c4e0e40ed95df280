/* The remedies of a failed check, and the one that an entry approves. */
#include <string.h>

#include "app/mdr_app_hold_batch.h"
#include "app/mdr_app_run_in.h"
#include "app/mdr_app_shade.h"

/* What was read before: how often this check failed, and the newest pH of its bath. */
typedef struct looking_back {
    const mdr_batch *batch;
    const mdr_batch_step *check;
    mdr_arena *arena;
    int n_outside;
    double ph;
} looking_back;

static mdr_code see_reading(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    looking_back *l = ctx;
    mdr_event e;
    if (strcmp(row->kind, mdr_event_id(MDR_EVENT_READING)) != 0) {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_run_event(row, l->arena, &e, err));
    const int at = mdr_batch_find(l->batch, e.step);
    if (at < 0) {
        return MDR_OK;
    }
    const mdr_control_step *asked = l->batch->steps[at].asked;
    if (asked == l->check->asked && e.seq != l->check->reading_seq) {
        l->n_outside += mdr_check_inside(&asked->check, e.value) ? 0 : 1;
    }
    if (asked->check.kind == MDR_CHECK_PH && asked->bath == l->check->asked->bath) {
        l->ph = e.value;
    }
    return MDR_OK;
}

static mdr_code no_such_step(const char *step, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "step", "the batch has no such step");
    mdr_err_value(err, "%s", step);
    mdr_err_remedy(err, "add ?step=KEY with the key of a hold point");
    return rc;
}

static mdr_code point_of(mdr_app *app, const mdr_batch *b, const char *step, mdr_arena *arena,
                         mdr_app_hold_point *out, mdr_err *err)
{
    const int at = mdr_batch_find(b, step);
    if (at < 0) {
        return no_such_step(step, err);
    }
    looking_back l = {.batch = b, .check = &b->steps[at], .arena = arena};
    const mdr_event_query of = {.batch_id = b->batch_id};
    MDR_TRY(mdr_record_events(app->mill, &of, see_reading, &l, err));
    *out = (mdr_app_hold_point){.batch = b, .step = step, .n_failed = l.n_outside, .ph = l.ph};
    return mdr_app_shade_correct(app, b, l.check, arena, &out->shade, err);
}

mdr_code mdr_app_run_remedy(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                            mdr_err *err)
{
    mdr_app_hold_point point;
    const mdr_hold *hold = NULL;
    const mdr_remedy *remedy = NULL;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(point_of(app, b, in->event.step, arena, &point, err));
    MDR_TRY(mdr_app_hold_judge(&point, &app->masters, arena, &hold, err));
    MDR_TRY(mdr_app_hold_remedy(hold, in->event.remedy_id, &remedy, err));
    in->event.steps = remedy->steps;
    in->event.n_steps = remedy->n_steps;
    return MDR_OK;
}

mdr_code mdr_app_batch_remedies_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                                     mdr_blob *out, mdr_err *err)
{
    mdr_app_hold_point point;
    const mdr_batch *b = NULL;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &b, err));
    MDR_TRY(point_of(app, b, ask->step, arena, &point, err));
    return mdr_app_hold_remedies(&point, &app->masters, arena, out, err);
}
