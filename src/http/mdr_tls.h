/*
 * mdr_tls.h - a certificate of the mill's own: made with one command, read when the server starts.
 *
 * Layer: http; the only file that sees GnuTLS besides what libmicrohttpd does with it. A private
 * authority signs the server's certificate; tablets trust the authority once (ca.crt) and every
 * later certificate of the server with it. Keys are EC P-256, their files are readable by their
 * owner alone. Sources: [cab-baseline] (398 days), [rfc-5280].
 */
#ifndef MDR_TLS_H
#define MDR_TLS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

enum { MDR_TLS_NAMES_MOST = 16, MDR_TLS_DAYS = 397, MDR_TLS_CA_DAYS = 3650 };

typedef struct mdr_tls_ask {
    const char *dir;                       /* made when it is not there */
    const char *names[MDR_TLS_NAMES_MOST]; /* "mill.lan", "192.168.1.5" */
    int n_names;
} mdr_tls_ask;

/*
 * Writes DIR/ca.key, ca.crt (kept when they are there), server.key, server.crt.
 *   errors  MDR_E_ARG no name, a name that is none; MDR_E_IO; MDR_E_NOMEM
 */
mdr_code mdr_tls_init(const mdr_tls_ask *ask, mdr_err *err) MDR_MUST_CHECK;

/* What a server needs; texts in the arena. */
typedef struct mdr_tls {
    const char *key, *certificates; /* PEM */
    const char *ca;                 /* PEM, for /ca.crt */
    const char *names[MDR_TLS_NAMES_MOST];
    int n_names;
    int64_t ends_utc_s; /* of the certificate */
} mdr_tls;
/* errors: MDR_E_NOTFOUND no certificate there; MDR_E_PARSE; MDR_E_IO unreadable, or readable by
 * others */
mdr_code mdr_tls_load(const char *dir, mdr_arena *arena, mdr_tls *out, mdr_err *err) MDR_MUST_CHECK;

#endif
