/* Batches over HTTP: frozen, looked at, written into. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_chain.h"
#include "app/mdr_app_learn.h"
#include "app/mdr_app_report.h"
#include "http/mdr_http_in.h"

static mdr_code after_of(const char *text, int64_t *out, mdr_err *err)
{
    char *end = NULL;
    const long long n = text != NULL ? strtoll(text, &end, 10) : 0;
    if (text != NULL && (end == text || *end != '\0' || n < 0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "after", "this is not the number of an event");
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
    return (mdr_app_run_ask){.id = q->id,
                             .body = q->body,
                             .who = &q->who,
                             .from = &q->from,
                             .now_utc_ms = mdr_now_utc_ms(),
                             .step = q->step != NULL ? q->step : ""};
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

mdr_code mdr_get_record(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return mdr_reply_json(reply, mdr_app_chain_json(q->app, q->arena, &reply->body, err));
}

mdr_code mdr_get_learn(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    int64_t after = 0;
    MDR_TRY(after_of(q->after, &after, err));
    const mdr_learn_in asked = {.from = after < INT32_MAX ? (int)after : INT32_MAX};
    return mdr_reply_json(reply,
                          mdr_app_learn_mill_json(q->app, &asked, q->arena, &reply->body, err));
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

mdr_code mdr_get_remedies(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return view_run(q, reply, mdr_app_batch_remedies_json, err);
}

mdr_code mdr_get_report(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return view_run(q, reply, mdr_app_report_json, err);
}

mdr_code mdr_get_report_pdf(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[MDR_LOCAL_TIME_TEXT];
    const mdr_app_run_ask ask = ask_of(q);
    mdr_local_time(now, sizeof now);
    reply->status = 200;
    reply->type = "application/pdf";
    reply->file_name = mdr_arena_printf(q->arena, "%s-report.pdf", q->id);
    return mdr_app_report_pdf(q->app, &ask, now, q->arena, &reply->body, err);
}

/* -- the record as a file -- */

/* Grows by doubling in the request's arena, whose cap is the file's. */
typedef struct growing {
    mdr_arena *arena;
    char *bytes;
    size_t len, room;
} growing;

static mdr_code grow(void *ctx, const char *bytes, size_t len, mdr_err *err)
{
    enum { FIRST = 64 << 10 };
    growing *g = ctx;
    if (g->len + len > g->room) {
        const size_t room = 2 * (g->len + len) + FIRST;
        char *more = mdr_arena_alloc(g->arena, room, 1);
        if (more == NULL) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_NOMEM, "record",
                                         "the record is too long to be sent in one piece");
            mdr_err_remedy(err, "write it with `madder record FILE` on the server");
            return rc;
        }
        if (g->len > 0) {
            memcpy(more, g->bytes, g->len);
        }
        g->bytes = more;
        g->room = room;
    }
    if (len > 0) {
        memcpy(g->bytes + g->len, bytes, len);
    }
    g->len += len;
    return MDR_OK;
}

static mdr_code record_file(mdr_request *q, mdr_reply *reply, bool csv, mdr_err *err)
{
    growing g = {.arena = q->arena};
    MDR_TRY(csv ? mdr_app_record_csv(q->app, NULL, grow, &g, err)
                : mdr_app_record_lines(q->app, NULL, grow, &g, err));
    reply->status = 200;
    reply->type = csv ? "text/csv; charset=utf-8" : "application/x-ndjson";
    reply->file_name = csv ? "record.csv" : "record.jsonl";
    reply->body = (mdr_blob){g.bytes != NULL ? g.bytes : "", g.len};
    return MDR_OK;
}

mdr_code mdr_get_record_lines(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return record_file(q, reply, false, err);
}

mdr_code mdr_get_record_csv(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return record_file(q, reply, true, err);
}
