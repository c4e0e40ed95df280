/* Requests that are answered without being asked further. */
#include "http/mdr_http_in.h"

void mdr_reply_refuse(mdr_request *request, mdr_reply *reply, const mdr_refusal *r)
{
    mdr_err err = {0};
    (void)MDR_FAIL(&err, r->code, r->place, "%s", r->msg);
    mdr_err_remedy(&err, "%s", r->remedy);
    mdr_reply_error(request, reply, &err, r->status);
}

void mdr_reply_no_path(mdr_request *request, mdr_reply *reply, unsigned allowed)
{
    if (allowed == 0) {
        mdr_reply_refuse(request, reply,
                         &(mdr_refusal){404, MDR_E_NOTFOUND, request->path, "there is nothing here",
                                        "see docs/api.md for what there is"});
        return;
    }
    reply->allow = mdr_allow_text(allowed, request->arena);
    mdr_reply_refuse(request, reply,
                     &(mdr_refusal){405, MDR_E_ARG, request->path, "this cannot be done here",
                                    "see the header Allow for what can"});
}
