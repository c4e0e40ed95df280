/*
 * mdr_house.h - what a server has besides its connections: threads, names, papers.
 * Layer: http, inside only; nothing of the transport but a name for its daemon.
 */
#ifndef MDR_HOUSE_H
#define MDR_HOUSE_H

#include <pthread.h>

#include "http/mdr_group.h"
#include "http/mdr_http.h"
#include "http/mdr_http_in.h"
#include "http/mdr_kept.h"
#include "http/mdr_tls.h"
#include "http/mdr_workers.h"

struct MHD_Daemon;

struct mdr_http {
    struct MHD_Daemon *daemon;
    mdr_app *app;
    mdr_arena *arena; /* of key and certificates */
    const char *names[MDR_HTTP_NAMES_MOST + MDR_TLS_NAMES_MOST + 1];
    mdr_guard_names ours;
    mdr_tls tls;
    bool on_net;
    mdr_kept kept;
    mdr_workers *workers;
    mdr_workers *hasher; /* one thread: a hash takes 64 MiB */
    mdr_group *group;
    pthread_mutex_t app_lock; /* held by whoever uses the app */
    pthread_mutex_t lock;     /* of what follows */
    pthread_cond_t less;
    int aside; /* requests that wait for a calculation or to be stored, or for their answer to go out */
};

/* All but the daemon, and the socket it is to listen on. errors: those of mdr_http_start */
mdr_code mdr_house_new(const mdr_http_options *options, mdr_http **out, int *fd,
                       mdr_err *err) MDR_MUST_CHECK;
void mdr_house_free(mdr_http *http);
/* So many requests more are set aside. */
void mdr_house_count(mdr_http *http, int more);
/* Stops what is calculated, stores what waits, and waits for the answers to go out, some seconds. */
void mdr_house_wait(mdr_http *http);

#endif
