#include "http/mdr_sent.h"

#include <string.h>

#include "http/mdr_gzip.h"

static const char POLICY[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'";

/* What of an answer depends on the codings that the client takes. */
typedef struct form {
    mdr_blob body;
    const char *etag;
    bool varies, packed;
} form;

static form choose(mdr_kept *kept, const mdr_request *q, const mdr_reply *reply,
                   const char *codings)
{
    form f = {.body = reply->body, .etag = reply->etag};
    f.varies = mdr_gzip_worth(reply->type, reply->body.len);
    mdr_blob packed;
    if (!f.varies || !mdr_gzip_accepted(codings) ||
        !mdr_kept_pack(kept, reply, q->arena, &packed)) {
        return f;
    }
    /* other bytes must have another tag: RFC 9110 8.8.3.3 */
    const char *etag =
        f.etag == NULL ? NULL
                       : mdr_arena_printf(q->arena, "%.*s-gzip\"", (int)strlen(f.etag) - 1, f.etag);
    if ((etag == NULL) == (f.etag == NULL)) {
        f = (form){.body = packed, .etag = etag, .varies = true, .packed = true};
    }
    return f;
}

static void add(mdr_sent *s, const char *name, const char *value)
{
    if (value != NULL && s->n_headers < MDR_SENT_HEADERS_MOST) {
        s->headers[s->n_headers++] = (mdr_sent_header){name, value};
    }
}

static void add_headers(mdr_sent *s, const mdr_request *q, const mdr_reply *reply, const form *f)
{
    const bool api = strncmp(q->path, "/api/", 5) == 0;
    add(s, "Content-Type", reply->type);
    add(s, "Content-Encoding", f->packed ? "gzip" : NULL);
    add(s, "Vary", f->varies ? "Accept-Encoding" : NULL);
    if (strcmp(reply->type, "application/pdf") != 0) { /* a browser's own viewer needs its parts */
        add(s, "Content-Security-Policy", POLICY);
    }
    add(s, "X-Content-Type-Options", "nosniff");
    add(s, "Referrer-Policy", "no-referrer");
    add(s, "Cross-Origin-Opener-Policy", "same-origin");
    add(s, "Cache-Control", api ? "no-store" : "no-cache"); /* the ETag spares the second time */
    add(s, "ETag", f->etag);
    add(s, "Allow", reply->allow);
    add(s, "Set-Cookie", reply->set_cookie);
    add(s, "Retry-After", reply->retry_after);
    if (reply->file_name != NULL) {
        add(s, "Content-Disposition",
            mdr_arena_printf(q->arena, "inline; filename=\"%s\"", reply->file_name));
    }
}

mdr_sent mdr_sent_make(mdr_kept *kept, const mdr_request *q, const mdr_reply *reply,
                       const char *codings, const char *known)
{
    form f = choose(kept, q, reply, codings);
    const bool same = f.etag != NULL && known != NULL && strcmp(known, f.etag) == 0;
    f.packed = f.packed && !same; /* 304 has no body that could be */
    mdr_sent s = {.status = same ? 304 : reply->status};
    if (!same) {
        s.body = f.body;
    }
    add_headers(&s, q, reply, &f);
    return s;
}
