#define _POSIX_C_SOURCE 200809L
#include "app/mdr_search_threads.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

/* Sets of one size are shared out in chunks of this many: some take much longer than others. */
enum { CHUNK = 256 };

typedef struct work {
    mdr_search *search;
    pthread_mutex_t lock;
    int next, last;
} work;

static bool take(work *w, int *first, int *last)
{
    (void)pthread_mutex_lock(&w->lock);
    *first = w->next;
    *last = *first + CHUNK < w->last ? *first + CHUNK : w->last;
    w->next = *last;
    (void)pthread_mutex_unlock(&w->lock);
    return *first < *last;
}

static void *run(void *about)
{
    work *w = about;
    int first, last;
    while (take(w, &first, &last)) {
        mdr_search_run(w->search, first, last);
    }
    return NULL;
}

/* This thread works too, so that a system without threads to give is only slower. */
static void share_out(work *w, int threads)
{
    pthread_t helper[MDR_SEARCH_THREADS_MAX];
    int helpers = 0;
    while (helpers < threads - 1 && w->last - w->next > helpers * CHUNK &&
           pthread_create(&helper[helpers], NULL, run, w) == 0) {
        helpers++;
    }
    (void)run(w);
    for (int i = 0; i < helpers; i++) {
        (void)pthread_join(helper[i], NULL);
    }
}

int mdr_search_threads_usual(void)
{
    const long cores = sysconf(_SC_NPROCESSORS_ONLN);
    return cores < 1 ? 1 : cores > MDR_SEARCH_THREADS_MAX ? MDR_SEARCH_THREADS_MAX : (int)cores;
}

mdr_code mdr_search_on_threads(const mdr_search_in *in, int shown, int threads, mdr_arena *arena,
                               mdr_search_out *out, mdr_err *err)
{
    work w = {.lock = PTHREAD_MUTEX_INITIALIZER};
    MDR_TRY(mdr_search_make(in, arena, &w.search, err));
    for (int size = 1; size <= MDR_COMBO_MAX; size++) {
        mdr_search_span(w.search, size, &w.next, &w.last);
        share_out(&w, threads);
    }
    (void)pthread_mutex_destroy(&w.lock);
    return mdr_search_rank(w.search, shown, arena, out, err);
}
