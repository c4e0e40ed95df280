/* Who asks, and may they: before a handler runs, and before a body is read. */
#include <stdlib.h>
#include <string.h>

#include "http/mdr_http_in.h"

static void refuse(mdr_request *q, mdr_reply *reply, const mdr_err *err)
{
    mdr_reply_error(q, reply, err, 0);
    if (err->code == MDR_E_WAIT) {
        reply->retry_after = mdr_arena_text(q->arena, err->value);
    }
}

bool mdr_admit(const mdr_endpoint *endpoint, mdr_request *q, mdr_reply *reply)
{
    mdr_err err = {0};
    mdr_code rc = mdr_app_who(q->app, &q->from, q->arena, &q->who, &err);
    if (rc == MDR_OK && q->who.demo && q->on_net) {
        q->who = (mdr_who){.person_id = "", .name = ""}; /* a demo for one is for one machine */
    }
    rc = rc == MDR_OK ? mdr_app_may(&q->who, endpoint->action, &err) : rc;
    if (rc == MDR_OK) {
        return true;
    }
    refuse(q, reply, &err);
    return false;
}
