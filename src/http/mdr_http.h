/*
 * mdr_http.h - serves a mill to a browser on this machine.
 *
 * Layer: http; the only folder that sees libmicrohttpd. One thread of its own answers all
 * connections in turn and is the only one that uses the mdr_app while the server runs. Long
 * calculations run on as many threads as there are cores (mdr_workers.h, app/mdr_app_work.h); a few
 * more wait, and what comes then is refused for the time being.
 *
 * Nobody signs in to this version, therefore it listens on the loopback address only, answers
 * only requests that name it as host (a page elsewhere cannot reach it by a borrowed name), and
 * changes something only on requests that come from its own pages. The endpoints are described
 * in docs/api.md.
 */
#ifndef MDR_HTTP_H
#define MDR_HTTP_H

#include "app/mdr_app.h"
#include "base/mdr_err.h"

typedef struct mdr_http mdr_http;

typedef struct mdr_http_options {
    mdr_app *app;     /* must outlive the server */
    const char *host; /* NULL or "127.0.0.1" */
    int port;         /* 0: any free one */
} mdr_http_options;

/*
 * Starts to listen; returns at once.
 *   errors   MDR_E_ARG     another address than 127.0.0.1; a port that is none
 *            MDR_E_CONFLICT the port is in use
 *            MDR_E_IO      the system refuses otherwise
 *            MDR_E_NOMEM
 */
mdr_code mdr_http_start(const mdr_http_options *options, mdr_http **out,
                        mdr_err *err) MDR_MUST_CHECK;
/* The port it listens on. */
int mdr_http_port(const mdr_http *http);
/* Finishes what is being answered, stops what is being calculated, tells who waits for it, and closes.
 * NULL is allowed. */
void mdr_http_stop(mdr_http *http);

#endif
