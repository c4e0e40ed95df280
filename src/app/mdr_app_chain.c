#define _POSIX_C_SOURCE 200809L
#include "app/mdr_app_chain.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_run_in.h"

enum {
    PIECE = 256,      /* events under one lock: some milliseconds; invented */
    TRIES = 5,        /* of a piece that could not be read, each after waiting its turn; invented */
    AGAIN_MS = 1000,  /* between two tries */
    LEAST_REST_MS = 1 /* the server's own thread gets a turn after every piece */
};

struct mdr_app_chain {
    pthread_t thread;
    pthread_mutex_t lock; /* of what follows */
    pthread_cond_t wake;
    bool ended;
    mdr_app_chain_seen seen;
    const char *path; /* of the mill, which outlives the thread */
    bool pause;
};

#define STATE_ID(name, id, words)    id,
#define STATE_WORDS(name, id, words) words,

const char *mdr_chain_state_id(mdr_chain_state s)
{
    static const char *const IDS[] = {MDR_CHAIN_STATES(STATE_ID)};
    return (size_t)s < sizeof IDS / sizeof IDS[0] ? IDS[s] : NULL;
}

const char *mdr_chain_state_words(mdr_chain_state s)
{
    static const char *const WORDS[] = {MDR_CHAIN_STATES(STATE_WORDS)};
    return (size_t)s < sizeof WORDS / sizeof WORDS[0] ? WORDS[s] : NULL;
}

/* -- in the thread of its own -- */

static double now_ms(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + (double)t.tv_nsec / 1e6;
}

/* False: it was ended meanwhile. */
static bool rest(mdr_app_chain *c, double ms)
{
    enum { NS_PER_S = 1000000000 };
    struct timespec until;
    (void)clock_gettime(CLOCK_MONOTONIC, &until); /* a clock that is set must not stretch it */
    const int64_t ns = until.tv_nsec + (int64_t)(ms * 1e6);
    until.tv_sec += (time_t)(ns / NS_PER_S);
    until.tv_nsec = (long)(ns % NS_PER_S);
    (void)pthread_mutex_lock(&c->lock);
    while (!c->ended && ms > 0.0 && pthread_cond_timedwait(&c->wake, &c->lock, &until) == 0) {
    }
    const bool goes_on = !c->ended;
    (void)pthread_mutex_unlock(&c->lock);
    return goes_on;
}

static void tell(mdr_app_chain *c, const mdr_app_chain_seen *seen)
{
    (void)pthread_mutex_lock(&c->lock);
    c->seen = *seen;
    (void)pthread_mutex_unlock(&c->lock);
}

/* The chain itself holds at an event whose plan was changed: what follows can be looked at from it on. */
static mdr_code stand_on(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    mdr_record_head *head = ctx;
    (void)err;
    head->seq = row->seq;
    memcpy(head->hash, row->hash, sizeof head->hash);
    return MDR_OK;
}

/* One piece; *done: that was the last one. */
static mdr_code piece(mdr_mill *mill, mdr_record_head *head, mdr_app_chain_seen *seen, bool *done,
                      mdr_err *err)
{
    mdr_chain_report r;
    mdr_record_head newest;
    MDR_TRY(mdr_record_head_get(mill, &newest, err));
    MDR_TRY(mdr_record_verify(mill, head, PIECE, &r, err));
    *head = r.head;
    if (r.fault == MDR_CHAIN_RECIPE) {
        const mdr_event_query of = {.after_seq = r.head.seq, .most = 1};
        MDR_TRY(mdr_record_events(mill, &of, stand_on, head, err));
        seen->report = seen->plans == 0 ? r : seen->report;
        seen->plans++;
    } else if (r.fault != MDR_CHAIN_WHOLE) {
        seen->report = r;
        seen->closed = true;
    } else if (seen->plans == 0) {
        seen->report = r;
    }
    seen->checked = head->seq;
    seen->of = newest.seq > head->seq ? newest.seq : head->seq;
    *done = seen->closed || (r.fault == MDR_CHAIN_WHOLE && r.checked < PIECE);
    return MDR_OK;
}

/* Another connection may be in the way for a moment; what is damaged stays so. */
static mdr_code piece_with_patience(mdr_app_chain *c, mdr_mill *mill, mdr_record_head *head,
                                    mdr_app_chain_seen *seen, bool *done)
{
    for (int left = TRIES; left > 0; left--) {
        const mdr_code rc = piece(mill, head, seen, done, &seen->err);
        if (rc == MDR_OK || rc == MDR_E_PARSE || !rest(c, AGAIN_MS)) {
            return rc;
        }
    }
    return seen->err.code;
}

static void look_through(mdr_app_chain *c, mdr_mill *mill)
{
    mdr_record_head head = {0};
    mdr_app_chain_seen seen = {.state = MDR_CHAIN_CHECKING};
    bool done = false;
    while (!done) {
        const double begun = now_ms();
        if (piece_with_patience(c, mill, &head, &seen, &done) != MDR_OK) {
            seen.state = MDR_CHAIN_FAILED;
            seen.closed = seen.err.code == MDR_E_PARSE;
            done = true;
        } else if (done) {
            seen.state = seen.closed || seen.plans > 0 ? MDR_CHAIN_BROKEN : MDR_CHAIN_SEEN;
        }
        tell(c, &seen);
        if (!done && !rest(c, c->pause ? now_ms() - begun + LEAST_REST_MS : 0.0)) {
            return;
        }
    }
}

static void *run(void *about)
{
    mdr_app_chain *c = about;
    mdr_mill *mill = NULL;
    mdr_app_chain_seen seen = {.state = MDR_CHAIN_FAILED};
    if (mdr_mill_open(c->path, false, &mill, &seen.err) != MDR_OK) {
        tell(c, &seen);
        return NULL;
    }
    look_through(c, mill);
    mdr_mill_close(mill);
    return NULL;
}

/* -- in the thread of the app -- */

static void forget(mdr_app_chain *c)
{
    (void)pthread_cond_destroy(&c->wake);
    (void)pthread_mutex_destroy(&c->lock);
    free(c);
}

mdr_code mdr_app_chain_start(mdr_app *app, bool pause, mdr_err *err)
{
    pthread_condattr_t steady;
    if (app->chain != NULL) {
        return MDR_FAIL(err, MDR_E_CONFLICT, "record", "the record is being checked already");
    }
    mdr_app_chain *c = calloc(1, sizeof *c);
    if (c == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "record", "no memory to check the record");
    }
    c->pause = pause;
    c->path = mdr_mill_path(app->mill);
    c->seen.state = MDR_CHAIN_CHECKING;
    (void)pthread_mutex_init(&c->lock, NULL);
    (void)pthread_condattr_init(&steady);
    (void)pthread_condattr_setclock(&steady, CLOCK_MONOTONIC);
    (void)pthread_cond_init(&c->wake, &steady);
    (void)pthread_condattr_destroy(&steady);
    if (pthread_create(&c->thread, NULL, run, c) != 0) {
        forget(c);
        return MDR_FAIL(err, MDR_E_IO, "record", "the system gives no thread to check the record");
    }
    app->chain = c;
    return MDR_OK;
}

void mdr_app_chain_stop(mdr_app *app)
{
    mdr_app_chain *c = app->chain;
    if (c != NULL) {
        (void)pthread_mutex_lock(&c->lock);
        c->ended = true;
        (void)pthread_cond_signal(&c->wake);
        (void)pthread_mutex_unlock(&c->lock);
        (void)pthread_join(c->thread, NULL);
        app->chain = NULL;
        forget(c);
    }
}

mdr_app_chain_seen mdr_app_chain_look(const mdr_app *app)
{
    mdr_app_chain_seen seen = {.state = MDR_CHAIN_UNSEEN};
    if (app->chain != NULL) {
        (void)pthread_mutex_lock(&app->chain->lock);
        seen = app->chain->seen;
        (void)pthread_mutex_unlock(&app->chain->lock);
    }
    return seen;
}

static const char REMEDY[] =
    "keep this file as it is for whoever looks into it, and go on from a backup copy";

/* A second changed plan is no slip of one batch any more. */
static bool is_closed(const mdr_app_chain_seen *seen, const char *batch_id)
{
    return seen->closed || seen->plans > 1 ||
           (seen->plans == 1 && strcmp(seen->report.batch_id, batch_id) == 0);
}

mdr_code mdr_app_chain_may_write(const mdr_app *app, const char *batch_id, mdr_err *err)
{
    const mdr_app_chain_seen seen = mdr_app_chain_look(app);
    if (!is_closed(&seen, batch_id)) {
        return MDR_OK;
    }
    char place[32] = "record";
    if (seen.state != MDR_CHAIN_FAILED) {
        (void)snprintf(place, sizeof place, "event %lld", (long long)seen.report.seq);
    }
    (void)MDR_FAIL(err, MDR_E_CONFLICT, place, "nothing more is entered here: %s",
                   seen.state == MDR_CHAIN_FAILED ? seen.err.msg
                                                  : mdr_chain_fault_words(seen.report.fault));
    mdr_err_value(err, "%s", seen.report.batch_id);
    mdr_err_remedy(err, "%s", REMEDY);
    return MDR_E_CONFLICT;
}

void mdr_app_chain_put(mdr_json *j, const char *key, const mdr_app_chain_seen *seen)
{
    const bool broken = seen->state == MDR_CHAIN_BROKEN || seen->closed || seen->plans > 0;
    mdr_json_object(j, key);
    mdr_json_text(j, "state", mdr_chain_state_id(broken ? MDR_CHAIN_BROKEN : seen->state));
    mdr_json_text(j, "words",
                  seen->state == MDR_CHAIN_FAILED ? seen->err.msg
                  : broken                        ? mdr_chain_fault_words(seen->report.fault)
                                                  : mdr_chain_state_words(seen->state));
    mdr_json_int(j, "checked", seen->checked);
    mdr_json_int(j, "of", seen->of);
    mdr_json_int(j, "seq", broken ? seen->report.seq : seen->checked);
    mdr_json_text(j, "batch_id",
                  broken && seen->report.batch_id[0] != '\0' ? seen->report.batch_id : NULL);
    mdr_json_text(j, "remedy",
                  broken                            ? REMEDY
                  : seen->state == MDR_CHAIN_FAILED ? "run madder verify on it"
                                                    : NULL);
    mdr_json_end_object(j);
}

mdr_code mdr_app_chain_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 512 };
    const mdr_app_chain_seen seen = mdr_app_chain_look(app);
    char *text = NULL;
    size_t len = 0;
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_app_chain_put(&j, NULL, &seen);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}
