/* Threads for long calculations: all of what was given runs, no more is taken than there is room for, and
 * who ends them waits. Grades: D throughout. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <pthread.h>

#include "http/mdr_workers.h"

/* Pieces that wait at a gate, and leave their names behind in the order they ran. */
enum { PIECES = 100 };
typedef struct gate {
    pthread_mutex_t lock;
    pthread_cond_t moved;
    bool open;
    int running, ran[PIECES], n;
} gate;

typedef struct piece {
    gate *at;
    int name;
} piece;

static void pass(void *about)
{
    const piece *p = about;
    gate *g = p->at;
    (void)pthread_mutex_lock(&g->lock);
    g->running++;
    (void)pthread_cond_broadcast(&g->moved);
    while (!g->open) {
        (void)pthread_cond_wait(&g->moved, &g->lock);
    }
    g->ran[g->n++] = p->name;
    (void)pthread_mutex_unlock(&g->lock);
}

static void wait_running(gate *g, int n)
{
    (void)pthread_mutex_lock(&g->lock);
    while (g->running < n) {
        (void)pthread_cond_wait(&g->moved, &g->lock);
    }
    (void)pthread_mutex_unlock(&g->lock);
}

static void open_gate(gate *g)
{
    (void)pthread_mutex_lock(&g->lock);
    g->open = true;
    (void)pthread_cond_broadcast(&g->moved);
    (void)pthread_mutex_unlock(&g->lock);
}

static mdr_workers *started(int threads, int waiting)
{
    mdr_workers *w = NULL;
    assert_int_equal(mdr_workers_start(threads, waiting, &w, NULL), MDR_OK);
    return w;
}

static void no_more_than_there_is_room_for(void **state)
{
    (void)state;
    static const struct {
        int threads, waiting;
    } ROWS[] = {{1, 0}, {1, 3}, {3, 0}, {2, 8}, {MDR_WORKERS_MAX, MDR_WORKERS_WAITING_MAX}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        gate g = {.lock = PTHREAD_MUTEX_INITIALIZER, .moved = PTHREAD_COND_INITIALIZER};
        piece p[PIECES];
        mdr_workers *w = started(ROWS[i].threads, ROWS[i].waiting);
        const int most = ROWS[i].threads + ROWS[i].waiting;
        for (int k = 0; k < most; k++) {
            p[k] = (piece){&g, k};
            assert_true(mdr_workers_room(w));
            assert_true(mdr_workers_give(w, pass, &p[k]));
        }
        assert_false(mdr_workers_room(w));
        assert_false(mdr_workers_give(w, pass, &p[0]));
        wait_running(&g, ROWS[i].threads); /* side by side */
        assert_false(mdr_workers_room(w));
        assert_int_equal(g.n, 0);
        open_gate(&g);
        mdr_workers_finish(w);
        assert_int_equal(g.n, most); /* also those that still waited */
        for (int k = 0; k < most && ROWS[i].threads == 1; k++) {
            assert_int_equal(g.ran[k], k);
        }
        assert_false(mdr_workers_room(w));
        assert_false(mdr_workers_give(w, pass, &p[0]));
        mdr_workers_free(w);
        assert_int_equal(g.n, most);
    }
}

/* Far more than the queue holds, one after the other: it comes round. */
static void room_comes_back(void **state)
{
    (void)state;
    gate g = {.lock = PTHREAD_MUTEX_INITIALIZER, .moved = PTHREAD_COND_INITIALIZER, .open = true};
    piece p[PIECES];
    mdr_workers *w = started(1, 1);
    for (int k = 0; k < PIECES; k++) {
        p[k] = (piece){&g, k};
        while (!mdr_workers_give(w, pass, &p[k])) {
        }
    }
    mdr_workers_free(w);
    assert_int_equal(g.n, PIECES);
    for (int k = 0; k < PIECES; k++) {
        assert_int_equal(g.ran[k], k);
    }
}

static void closed_ones_take_nothing(void **state)
{
    (void)state;
    gate g = {.lock = PTHREAD_MUTEX_INITIALIZER, .moved = PTHREAD_COND_INITIALIZER};
    piece p[2] = {{&g, 0}, {&g, 1}};
    mdr_workers *w = started(1, 4);
    assert_true(mdr_workers_give(w, pass, &p[0]));
    wait_running(&g, 1);
    assert_false(mdr_workers_closed(w));
    mdr_workers_close(w);
    assert_true(mdr_workers_closed(w)); /* while the first still runs */
    assert_false(mdr_workers_give(w, pass, &p[1]));
    open_gate(&g);
    mdr_workers_finish(w);
    mdr_workers_finish(w); /* once more does no harm */
    assert_int_equal(g.n, 1);
    mdr_workers_free(w);
    mdr_workers_free(NULL);
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        int threads, waiting;
        const char *place;
    } ROWS[] = {{0, 1, "threads"},
                {MDR_WORKERS_MAX + 1, 1, "threads"},
                {1, -1, "waiting"},
                {1, MDR_WORKERS_WAITING_MAX + 1, "waiting"}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_workers *w = NULL;
        mdr_err err = {0};
        assert_int_equal(mdr_workers_start(ROWS[i].threads, ROWS[i].waiting, &w, &err), MDR_E_ARG);
        assert_string_equal(err.place, ROWS[i].place);
        assert_null(w);
    }
    const int usual = mdr_workers_usual();
    assert_true(usual >= 1 && usual <= MDR_WORKERS_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_more_than_there_is_room_for), cmocka_unit_test(room_comes_back),
        cmocka_unit_test(closed_ones_take_nothing), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
