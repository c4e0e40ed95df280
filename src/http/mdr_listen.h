/*
 * mdr_listen.h - the socket that the server listens on. Layer: http, inside only.
 */
#ifndef MDR_LISTEN_H
#define MDR_LISTEN_H

#include "base/mdr_err.h"

/* The loopback address only. errors: those of mdr_http_start that speak of host and port. */
mdr_code mdr_listen_check(const char *host, int port, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_listen_on(int port, int *fd_out, int *port_out, mdr_err *err) MDR_MUST_CHECK;

#endif
