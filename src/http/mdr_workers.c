#define _POSIX_C_SOURCE 200809L
#include "http/mdr_workers.h"

#include <pthread.h>
#include <stdlib.h>
#include <unistd.h>

typedef struct piece {
    void (*run)(void *about);
    void *about;
} piece;

/* A ring: everything below `lock` belongs to who holds it. */
struct mdr_workers {
    pthread_t thread[MDR_WORKERS_MAX];
    int threads, to_join, waiting_most;
    pthread_mutex_t lock;
    pthread_cond_t wake;
    piece queue[MDR_WORKERS_MAX + MDR_WORKERS_WAITING_MAX];
    int first, waiting, running;
    bool closed;
};

enum { RING = MDR_WORKERS_MAX + MDR_WORKERS_WAITING_MAX };

static bool next(mdr_workers *w, piece *out)
{
    (void)pthread_mutex_lock(&w->lock);
    while (w->waiting == 0 && !w->closed) {
        (void)pthread_cond_wait(&w->wake, &w->lock);
    }
    const bool any = w->waiting > 0;
    if (any) {
        *out = w->queue[w->first];
        w->first = (w->first + 1) % RING;
        w->waiting--;
        w->running++;
    }
    (void)pthread_mutex_unlock(&w->lock);
    return any;
}

static void *serve(void *about)
{
    mdr_workers *w = about;
    piece p;
    while (next(w, &p)) {
        p.run(p.about);
        (void)pthread_mutex_lock(&w->lock);
        w->running--;
        (void)pthread_mutex_unlock(&w->lock);
    }
    return NULL;
}

int mdr_workers_usual(void)
{
    const long cores = sysconf(_SC_NPROCESSORS_ONLN);
    return cores < 1 ? 1 : cores > MDR_WORKERS_MAX ? MDR_WORKERS_MAX : (int)cores;
}

mdr_code mdr_workers_start(int threads, int waiting, mdr_workers **out, mdr_err *err)
{
    if (threads < 1 || threads > MDR_WORKERS_MAX) {
        return MDR_FAIL(err, MDR_E_ARG, "threads", "too few or too many threads");
    }
    if (waiting < 0 || waiting > MDR_WORKERS_WAITING_MAX) {
        return MDR_FAIL(err, MDR_E_ARG, "waiting", "no length of a queue");
    }
    mdr_workers *w = calloc(1, sizeof *w);
    if (w == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "threads", "no memory for the threads");
    }
    w->waiting_most = waiting;
    (void)pthread_mutex_init(&w->lock, NULL);
    (void)pthread_cond_init(&w->wake, NULL);
    while (w->threads < threads && pthread_create(&w->thread[w->threads], NULL, serve, w) == 0) {
        w->threads++;
    }
    w->to_join = w->threads;
    if (w->threads == 0) {
        mdr_workers_free(w);
        return MDR_FAIL(err, MDR_E_IO, "threads", "the system gives no thread");
    }
    *out = w;
    return MDR_OK;
}

static bool has_room(const mdr_workers *w)
{
    return !w->closed && w->running + w->waiting < w->threads + w->waiting_most;
}

bool mdr_workers_room(mdr_workers *w)
{
    (void)pthread_mutex_lock(&w->lock);
    const bool room = has_room(w);
    (void)pthread_mutex_unlock(&w->lock);
    return room;
}

bool mdr_workers_give(mdr_workers *w, void (*run)(void *about), void *about)
{
    (void)pthread_mutex_lock(&w->lock);
    const bool room = has_room(w);
    if (room) {
        w->queue[(w->first + w->waiting) % RING] = (piece){run, about};
        w->waiting++;
        (void)pthread_cond_signal(&w->wake);
    }
    (void)pthread_mutex_unlock(&w->lock);
    return room;
}

void mdr_workers_close(mdr_workers *w)
{
    (void)pthread_mutex_lock(&w->lock);
    w->closed = true;
    (void)pthread_cond_broadcast(&w->wake);
    (void)pthread_mutex_unlock(&w->lock);
}

bool mdr_workers_closed(mdr_workers *w)
{
    (void)pthread_mutex_lock(&w->lock);
    const bool closed = w->closed;
    (void)pthread_mutex_unlock(&w->lock);
    return closed;
}

void mdr_workers_finish(mdr_workers *w)
{
    mdr_workers_close(w);
    while (w->to_join > 0) {
        (void)pthread_join(w->thread[--w->to_join], NULL);
    }
}

void mdr_workers_free(mdr_workers *w)
{
    if (w != NULL) {
        mdr_workers_finish(w);
        (void)pthread_cond_destroy(&w->wake);
        (void)pthread_mutex_destroy(&w->lock);
        free(w);
    }
}
