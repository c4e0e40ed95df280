/*
 * mdr_http.h - serves a mill to a browser on this machine.
 *
 * Layer: http; the only folder that sees libmicrohttpd. One thread of its own answers all
 * connections in turn; besides it only the one that stores entries (mdr_group.h) uses the mdr_app while
 * the server runs, each while it holds its lock. Long
 * calculations run on as many threads as there are cores (mdr_workers.h, app/mdr_app_work.h); a few
 * more wait, and what comes then is refused for the time being.
 *
 * On the loopback address a mill without people is a demo for one: nobody signs in. On an address
 * that others reach it starts only when there are people, and over TLS (or when that is waived in so
 * many words). It answers only requests that name it as host by one of its names (a page elsewhere
 * cannot reach it by a borrowed one), and changes something only on requests that come from its own
 * pages. Every endpoint says who may use it (app/mdr_rights.h); it is asked before the body is read.
 * The endpoints are described in docs/api.md, people in docs/people.md.
 */
#ifndef MDR_HTTP_H
#define MDR_HTTP_H

#include <stdbool.h>
#include <stddef.h>

#include "app/mdr_app.h"
#include "base/mdr_err.h"

typedef struct mdr_http mdr_http;

enum { MDR_HTTP_NAMES_MOST = 16 };

typedef struct mdr_http_options {
    mdr_app *app;        /* must outlive the server */
    const char *host;    /* an address in numbers, "localhost", or NULL: 127.0.0.1 */
    int port;            /* 0: any free one */
    const char *tls_dir; /* folder of mdr_tls_init, or NULL: plain HTTP */
    bool plain_anyway;   /* plain HTTP where others reach it: behind a proxy that does TLS */
    const char
        *names[MDR_HTTP_NAMES_MOST]; /* more names it answers to, besides the certificate's */
    int n_names;
} mdr_http_options;

/*
 * Starts to listen; returns at once.
 *   errors   MDR_E_ARG     an address or port that is none; no TLS where others reach it
 *            MDR_E_CONFLICT the port is in use; nobody signs in where others reach it
 *            MDR_E_IO      the system refuses otherwise; a key that others may read
 *            MDR_E_NOTFOUND, MDR_E_PARSE, MDR_E_RANGE  the certificate
 *            MDR_E_NOMEM
 */
mdr_code mdr_http_start(const mdr_http_options *options, mdr_http **out,
                        mdr_err *err) MDR_MUST_CHECK;
/* The port it listens on. */
int mdr_http_port(const mdr_http *http);
/* The name to open it by: "mill.lan", "127.0.0.1". */
const char *mdr_http_name(const mdr_http *http);

/* One row of the table of endpoints, for docs/api.md. */
typedef struct mdr_http_row {
    const char *method, *pattern, *action, *what;
    const char *body_type; /* NULL: none is taken */
    size_t body_most;      /* bytes */
} mdr_http_row;
/* Row `i` from 0 on; false: there is none. */
bool mdr_http_row_at(int i, mdr_http_row *out);

/* Finishes what is being answered, stops what is being calculated, tells who waits for it, and closes.
 * NULL is allowed. */
void mdr_http_stop(mdr_http *http);

#endif
