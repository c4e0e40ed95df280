/*
 * mdr_listen.h - the socket of the server, and whether it may be opened.
 * Layer: http, inside only.
 */
#ifndef MDR_LISTEN_H
#define MDR_LISTEN_H

#include <stdbool.h>

#include "http/mdr_http.h"

/* Reaches this machine alone. */
bool mdr_listen_is_loopback(const char *host);
/* Of a client, in numbers; "unknown" when it has none, NULL without memory. */
struct sockaddr;
const char *mdr_listen_address(const struct sockaddr *at, mdr_arena *arena);
/* errors: MDR_E_ARG an address that is none, a port that is none; on an address that others reach:
 * MDR_E_CONFLICT nobody signs in, MDR_E_ARG no TLS */
mdr_code mdr_listen_check(const mdr_http_options *o, mdr_err *err) MDR_MUST_CHECK;
/* errors: MDR_E_CONFLICT the port is in use; MDR_E_IO */
mdr_code mdr_listen_open(const mdr_http_options *o, int *fd, int *port,
                         mdr_err *err) MDR_MUST_CHECK;

#endif
