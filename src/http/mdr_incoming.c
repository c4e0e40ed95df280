#include "http/mdr_incoming.h"

#include <stdlib.h>
#include <string.h>

void mdr_incoming_refuse(mdr_incoming *in, const mdr_refusal *why)
{
    mdr_reply_refuse(&in->request, &in->reply, why);
    in->decided = true;
}

void mdr_incoming_refuse_path(mdr_incoming *in, unsigned allowed)
{
    mdr_reply_no_path(&in->request, &in->reply, allowed);
    in->decided = true;
}

static const mdr_refusal TOO_LARGE = {413, MDR_E_RANGE, "body",
                                      "the body is larger than is taken here",
                                      "JSON up to 1 MiB, CSV up to 32 MiB; split it"};

void mdr_incoming_check_body(mdr_incoming *in, const char *type, const char *length)
{
    const mdr_endpoint *e = in->endpoint;
    if (e->body_type == NULL) {
        return;
    }
    if (!mdr_guard_type(type, e->body_type)) {
        mdr_incoming_refuse(in, &(mdr_refusal){415, MDR_E_ARG, "Content-Type",
                                               "the body has another type than is taken here",
                                               e->body_type});
    } else if (length != NULL && strtoull(length, NULL, 10) > e->body_max) {
        mdr_incoming_refuse(in, &TOO_LARGE);
    }
}

void mdr_incoming_take(mdr_incoming *in, const char *data, size_t n)
{
    if (in->decided || in->endpoint == NULL || in->endpoint->body_type == NULL) {
        return; /* read and forgotten */
    }
    if (n > in->endpoint->body_max - in->len) {
        mdr_incoming_refuse(in, &TOO_LARGE);
        return;
    }
    if (in->len + n > in->room) {
        const size_t room = 2 * (in->len + n) + 4096;
        char *more = realloc(in->body, room);
        if (more == NULL) {
            mdr_incoming_refuse(in, &(mdr_refusal){503, MDR_E_NOMEM, "body",
                                                   "no memory for the body", "try again later"});
            return;
        }
        in->body = more;
        in->room = room;
    }
    memcpy(in->body + in->len, data, n);
    in->len += n;
}

void mdr_incoming_free(mdr_incoming *in)
{
    mdr_hashing_forget(&in->hashing);
    mdr_arena_free(in->request.arena);
    free(in->body);
    free(in);
}
