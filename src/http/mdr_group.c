#define _POSIX_C_SOURCE 200809L
#include "http/mdr_group.h"

#include <stdlib.h>
#include <time.h>

#include "app/mdr_app_run.h"

enum {
    GATHER_NS = 500000, /* who comes within this after another one goes with him; invented */
    GATHERS_MOST = 6    /* the first one waits no longer than so many times that */
};

struct mdr_group {
    mdr_app *app;
    pthread_mutex_t *app_lock;
    pthread_t thread;
    pthread_mutex_t lock; /* of what follows */
    pthread_cond_t wake;
    mdr_group_member *first, *last;
    int waiting;
    bool closed, joined;
};

bool mdr_group_is_for(const mdr_endpoint *endpoint)
{
    return endpoint->handler == mdr_post_entry;
}

static void run_each(mdr_group_member *m)
{
    for (; m != NULL; m = m->next) {
        m->request->found = mdr_err_list_make(m->request->arena, MDR_FOUND_MAX);
        *m->reply = (mdr_reply){0};
        mdr_hashing_again(m->request->from.hashing);
        mdr_endpoint_run(m->endpoint, m->request, m->reply);
    }
}

/* Alone it needs no transaction around its own. */
static void store(mdr_group *g, mdr_group_member *all)
{
    (void)pthread_mutex_lock(g->app_lock);
    if (all->next == NULL || mdr_app_together_begin(g->app, NULL) != MDR_OK) {
        run_each(all);
    } else {
        run_each(all);
        if (mdr_app_together_end(g->app, NULL) != MDR_OK) {
            run_each(all);
        }
    }
    (void)pthread_mutex_unlock(g->app_lock);
}

/* Waits for the first one, and then as long as more come; NULL: closed, and nobody is left. */
static mdr_group_member *take_all(mdr_group *g)
{
    (void)pthread_mutex_lock(&g->lock);
    while (g->first == NULL && !g->closed) {
        (void)pthread_cond_wait(&g->wake, &g->lock);
    }
    int before = 0;
    for (int i = 0; i < GATHERS_MOST && g->waiting > before && !g->closed; i++) {
        before = g->waiting;
        (void)pthread_mutex_unlock(&g->lock);
        (void)nanosleep(&(struct timespec){.tv_nsec = GATHER_NS}, NULL);
        (void)pthread_mutex_lock(&g->lock);
    }
    mdr_group_member *all = g->first;
    g->first = g->last = NULL;
    g->waiting = 0;
    (void)pthread_mutex_unlock(&g->lock);
    return all;
}

static void *serve(void *about)
{
    mdr_group *g = about;
    for (mdr_group_member *m; (m = take_all(g)) != NULL;) {
        store(g, m);
        while (m != NULL) {
            mdr_group_member *next = m->next; /* done gives the member away */
            m->done(m->about);
            m = next;
        }
    }
    return NULL;
}

mdr_code mdr_group_start(mdr_app *app, pthread_mutex_t *lock, mdr_group **out, mdr_err *err)
{
    mdr_group *g = calloc(1, sizeof *g);
    if (g == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    g->app = app;
    g->app_lock = lock;
    (void)pthread_mutex_init(&g->lock, NULL);
    (void)pthread_cond_init(&g->wake, NULL);
    if (pthread_create(&g->thread, NULL, serve, g) != 0) {
        g->joined = true;
        mdr_group_free(g);
        return MDR_FAIL(err, MDR_E_IO, "serve", "the system gives no thread");
    }
    *out = g;
    return MDR_OK;
}

bool mdr_group_give(mdr_group *g, mdr_group_member *member)
{
    (void)pthread_mutex_lock(&g->lock);
    const bool open = !g->closed;
    if (open) {
        member->next = NULL;
        if (g->last != NULL) {
            g->last->next = member;
        } else {
            g->first = member;
        }
        g->last = member;
        g->waiting++;
        (void)pthread_cond_signal(&g->wake);
    }
    (void)pthread_mutex_unlock(&g->lock);
    return open;
}

void mdr_group_finish(mdr_group *g)
{
    if (g == NULL || g->joined) {
        return;
    }
    (void)pthread_mutex_lock(&g->lock);
    g->closed = true;
    (void)pthread_cond_signal(&g->wake);
    (void)pthread_mutex_unlock(&g->lock);
    (void)pthread_join(g->thread, NULL);
    g->joined = true;
}

void mdr_group_free(mdr_group *g)
{
    if (g != NULL) {
        mdr_group_finish(g);
        (void)pthread_cond_destroy(&g->wake);
        (void)pthread_mutex_destroy(&g->lock);
        free(g);
    }
}
