/* The weigh room over HTTP. */
#define _POSIX_C_SOURCE 200809L
#include <time.h>

#include "app/mdr_app_weigh.h"
#include "http/mdr_http_in.h"

static mdr_app_run_ask ask_of(const mdr_request *q)
{
    return (mdr_app_run_ask){
        .id = q->id, .body = q->body, .who = &q->who, .now_utc_ms = mdr_now_utc_ms()};
}

mdr_code mdr_get_weighing(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(reply, mdr_app_weighing_json(q->app, &ask, q->arena, &reply->body, err));
}

mdr_code mdr_get_stock(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(reply, mdr_app_stock_json(q->app, &ask, q->arena, &reply->body, err));
}

mdr_code mdr_post_judge(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(
        reply, mdr_app_weigh_judge(q->app, &ask, q->arena, &q->found, &reply->body, err));
}

mdr_code mdr_post_scan(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(reply,
                          mdr_app_scan(q->app, &ask, q->arena, &q->found, &reply->body, err));
}

mdr_code mdr_post_stock(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_run_ask ask = ask_of(q);
    return mdr_reply_json(
        reply, mdr_app_stock_receive(q->app, &ask, q->arena, &q->found, &reply->body, err));
}

mdr_code mdr_get_labels(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[32] = "";
    const mdr_app_run_ask ask = ask_of(q);
    const time_t t = (time_t)(ask.now_utc_ms / 1000);
    struct tm parts;
    if (localtime_r(&t, &parts) == NULL ||
        strftime(now, sizeof now, "%Y-%m-%d %H:%M", &parts) == 0) {
        now[0] = '\0';
    }
    reply->status = 200;
    reply->type = "application/pdf";
    reply->file_name = mdr_arena_printf(q->arena, "%s-labels.pdf", q->id);
    return mdr_app_weigh_labels(q->app, &ask, q->step != NULL ? q->step : "", now, q->arena,
                                &reply->body, err);
}
