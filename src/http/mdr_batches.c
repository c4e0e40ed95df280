/* Batches over HTTP: frozen, looked at, written into. */
#include <stdlib.h>

#include "app/mdr_app_run.h"
#include "http/mdr_http_in.h"

static mdr_code after_of(const char *text, int64_t *out, mdr_err *err)
{
    char *end = NULL;
    const long long n = text != NULL ? strtoll(text, &end, 10) : 0;
    if (text != NULL && (end == text || *end != '\0' || n < 0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "after", "this is no number of an event");
        mdr_err_value(err, "%s", text);
        mdr_err_allowed(err, "0 or more; leave it out for all");
        return rc;
    }
    *out = n;
    return MDR_OK;
}

typedef mdr_code run_view(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err);
typedef mdr_code run_change(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err);

static mdr_app_run_ask ask_of(const mdr_request *q)
{
    return (mdr_app_run_ask){
        .id = q->id, .body = q->body, .who = &q->who, .now_utc_ms = mdr_now_utc_ms()};
}

static mdr_code view_run(mdr_request *q, mdr_reply *reply, run_view *view, mdr_err *err)
{
    mdr_app_run_ask ask = ask_of(q);
    MDR_TRY(after_of(q->after, &ask.after_seq, err));
    return mdr_reply_json(reply, view(q->app, &ask, q->arena, &reply->body, err));
}

static mdr_code change_run(mdr_request *q, mdr_reply *reply, run_change *change, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(reply, change(q->app, &ask, q->arena, &q->found, &reply->body, err));
}

mdr_code mdr_get_hall(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return view_run(q, reply, mdr_app_hall_json, err);
}

mdr_code mdr_get_batch(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return view_run(q, reply, mdr_app_batch_json, err);
}

mdr_code mdr_get_batch_events(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return view_run(q, reply, mdr_app_batch_events_json, err);
}

mdr_code mdr_post_batch(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return change_run(q, reply, mdr_app_batch_make, err);
}

mdr_code mdr_post_entry(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return change_run(q, reply, mdr_app_batch_enter, err);
}
