#define _POSIX_C_SOURCE 200809L
#include "http/mdr_house.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "http/mdr_listen.h"

enum {
    PAPERS_BYTES = 1 << 20, /* cap of key and certificates */
    WAITING = 8,            /* calculations, besides one a core; invented */
    GOODBYE_S = 5           /* for the last answers to go out when the server stops */
};

void mdr_house_count(mdr_http *http, int more)
{
    (void)pthread_mutex_lock(&http->lock);
    http->aside += more;
    (void)pthread_cond_signal(&http->less);
    (void)pthread_mutex_unlock(&http->lock);
}

void mdr_house_free(mdr_http *http)
{
    mdr_workers_free(http->workers);
    mdr_workers_free(http->hasher);
    mdr_group_free(http->group);
    (void)pthread_mutex_destroy(&http->app_lock);
    (void)pthread_cond_destroy(&http->less);
    (void)pthread_mutex_destroy(&http->lock);
    mdr_kept_free(&http->kept);
    mdr_arena_free(http->arena);
    free(http);
}

/* Names it may be called by: those of the certificate, those given, the address itself. */
static void gather_names(mdr_http *http, const mdr_http_options *o)
{
    int n = 0;
    for (int i = 0; i < http->tls.n_names; i++) {
        http->names[n++] = http->tls.names[i];
    }
    for (int i = 0; i < o->n_names && i < MDR_HTTP_NAMES_MOST; i++) {
        http->names[n++] = o->names[i];
    }
    if (http->on_net && strcmp(o->host, "0.0.0.0") != 0 && strcmp(o->host, "::") != 0) {
        http->names[n++] = o->host;
    }
    http->ours.names = http->names;
    http->ours.n = n;
}

static mdr_code prepare(mdr_http *http, const mdr_http_options *o, int *fd, mdr_err *err)
{
    http->app = o->app;
    http->on_net = !mdr_listen_is_loopback(o->host);
    http->arena = mdr_arena_new(PAPERS_BYTES);
    if (http->arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    MDR_TRY(mdr_kept_start(&http->kept, err));
    MDR_TRY(mdr_group_start(http->app, &http->app_lock, &http->group, err));
    MDR_TRY(mdr_workers_start(mdr_workers_usual(), WAITING, &http->workers, err));
    MDR_TRY(mdr_workers_start(1, MDR_WORKERS_WAITING_MAX, &http->hasher, err));
    if (o->tls_dir != NULL) {
        MDR_TRY(mdr_tls_load(o->tls_dir, http->arena, &http->tls, err));
        http->ours.tls = true;
    }
    gather_names(http, o);
    return mdr_listen_open(o, fd, &http->ours.port, err);
}

mdr_code mdr_house_new(const mdr_http_options *options, mdr_http **out, int *fd, mdr_err *err)
{
    mdr_http *http = calloc(1, sizeof *http);
    if (http == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    (void)pthread_mutex_init(&http->lock, NULL);
    (void)pthread_mutex_init(&http->app_lock, NULL);
    (void)pthread_cond_init(&http->less, NULL);
    const mdr_code rc = prepare(http, options, fd, err);
    if (rc != MDR_OK) {
        mdr_house_free(http);
        return rc;
    }
    *out = http;
    return MDR_OK;
}

/* Nobody may be suspended when the daemon stops: whoever waits for a calculation gets what there is of
 * it, or is told. Who does not take the answer is not waited for. */
void mdr_house_wait(mdr_http *http)
{
    struct timespec until;
    mdr_workers_finish(http->workers);
    mdr_workers_finish(http->hasher);
    mdr_group_finish(http->group);
    (void)clock_gettime(CLOCK_REALTIME, &until);
    until.tv_sec += GOODBYE_S;
    (void)pthread_mutex_lock(&http->lock);
    while (http->aside > 0 && pthread_cond_timedwait(&http->less, &http->lock, &until) == 0) {
    }
    (void)pthread_mutex_unlock(&http->lock);
}

int mdr_http_port(const mdr_http *http)
{
    return http->ours.port;
}

const char *mdr_http_name(const mdr_http *http)
{
    return http->ours.n > 0 ? http->ours.names[0] : "127.0.0.1";
}
