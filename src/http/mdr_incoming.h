/*
 * mdr_incoming.h - one request on its way in, and its body.
 * Layer: http, inside only; nothing of the transport but a name for its connection.
 */
#ifndef MDR_INCOMING_H
#define MDR_INCOMING_H

#include "app/mdr_hashing.h"
#include "http/mdr_beside.h"
#include "http/mdr_group.h"
#include "http/mdr_http_in.h"

struct MHD_Connection;
struct mdr_http;

/* What a suspended request waits for. */
typedef enum mdr_waits {
    MDR_WAITS_NOT,
    MDR_WAITS_FOR_WORK,
    MDR_WAITS_FOR_DISK,
    MDR_WAITS_FOR_SECRET
} mdr_waits;

typedef struct mdr_incoming {
    mdr_request request;
    const mdr_endpoint *endpoint;
    mdr_reply reply;
    bool decided; /* refused before its body was read, or answered */
    bool aside;   /* is or was suspended */
    mdr_waits waits;
    mdr_beside calculation;
    mdr_hashing hashing;
    mdr_group_member entry;
    struct mdr_http *http;
    struct MHD_Connection *connection;
    char *body;
    size_t len, room;
} mdr_incoming;

void mdr_incoming_refuse(mdr_incoming *in, const mdr_refusal *why);
/* No such path, or not with this method. */
void mdr_incoming_refuse_path(mdr_incoming *in, unsigned allowed);
/* What the headers say of the body: its type, its length (NULL: nothing). */
void mdr_incoming_check_body(mdr_incoming *in, const char *type, const char *length);
/* Keeps the next piece of the body. */
void mdr_incoming_take(mdr_incoming *in, const char *data, size_t n);
/* With everything it holds. */
void mdr_incoming_free(mdr_incoming *in);

#endif
