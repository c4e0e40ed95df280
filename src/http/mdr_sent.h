/*
 * mdr_sent.h - an answer as it goes out: its bytes, packed or not, and its headers.
 * Layer: http, inside only; nothing of the transport.
 */
#ifndef MDR_SENT_H
#define MDR_SENT_H

#include "http/mdr_http_in.h"
#include "http/mdr_kept.h"

enum { MDR_SENT_HEADERS_MOST = 16 };

typedef struct mdr_sent_header {
    const char *name, *value; /* value NULL: not sent */
} mdr_sent_header;

typedef struct mdr_sent {
    int status;
    mdr_blob body; /* none of a 304 */
    mdr_sent_header headers[MDR_SENT_HEADERS_MOST];
    int n_headers;
} mdr_sent;

/* What the client says of what it takes and has: headers Accept-Encoding, If-None-Match, or NULL.
 * Packed bytes and long texts live in the arena of the request. */
mdr_sent mdr_sent_make(mdr_kept *kept, const mdr_request *q, const mdr_reply *reply,
                       const char *codings, const char *known);

#endif
