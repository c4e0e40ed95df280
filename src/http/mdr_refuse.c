/* Requests that are answered without being asked further. */
#include <string.h>

#include "http/mdr_http_in.h"

void mdr_reply_refuse(mdr_request *request, mdr_reply *reply, const mdr_refusal *r)
{
    mdr_err err = {0};
    (void)MDR_FAIL(&err, r->code, r->place, "%s", r->msg);
    mdr_err_remedy(&err, "%s", r->remedy);
    mdr_reply_error(request, reply, &err, r->status);
}

mdr_method mdr_method_of(const char *text)
{
    if (strcmp(text, "GET") == 0 || strcmp(text, "HEAD") == 0) {
        return MDR_GET;
    }
    return strcmp(text, "POST") == 0 ? MDR_POST : strcmp(text, "PUT") == 0 ? MDR_PUT : MDR_OTHER;
}

void mdr_reply_no_path(mdr_request *request, mdr_reply *reply, unsigned allowed)
{
    if (allowed == 0) {
        mdr_reply_refuse(request, reply,
                         &(mdr_refusal){404, MDR_E_NOTFOUND, request->path, "there is nothing here",
                                        "see docs/api.md for what there is"});
        return;
    }
    reply->allow = mdr_arena_printf(
        request->arena, "%s%s%s", (allowed & 1u << MDR_GET) != 0 ? "GET, HEAD" : "",
        (allowed & 1u << MDR_POST) != 0 ? (allowed & 1u << MDR_GET) != 0 ? ", POST" : "POST" : "",
        (allowed & 1u << MDR_PUT) != 0
            ? (allowed & (1u << MDR_GET | 1u << MDR_POST)) != 0 ? ", PUT" : "PUT"
            : "");
    mdr_reply_refuse(request, reply,
                     &(mdr_refusal){405, MDR_E_ARG, request->path, "this cannot be done here",
                                    "see the header Allow for what can"});
}
