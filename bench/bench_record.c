/* The record as years let it grow: one batch that was run is written again and again under new lots, and
 * at each size is measured what people wait for.
 *   usage: bench_record FILE OPEN SIZE...    FILE: a mill with one batch, released; it grows. At
 *   each SIZE (events, rising) a line of JSON. OPEN batches stay under way. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_report.h"
#include "app/mdr_app_run_in.h"
#include "mill/mdr_mill_in.h"

enum { EVENTS_MOST = 1000, AT_ONCE = 50, ROUNDS = 21, LOT_TEXT = 8 };

static const char LOT[] = "L26-0101";

typedef struct template
{
    mdr_arena *arena;
    mdr_batch_row batch;
    mdr_event_row events[EVENTS_MOST];
    int n;
}
template;

static void must(mdr_code rc, const mdr_err *err)
{
    if (rc != MDR_OK) {
        char text[600];
        (void)mdr_err_format(err, text, sizeof text);
        (void)fprintf(stderr, "%s\n", text);
        exit(1);
    }
}

static double now_ms(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + (double)t.tv_nsec / 1e6;
}

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y ? 1 : 0;
}

static double median(double *v, int n)
{
    qsort(v, (size_t)n, sizeof *v, by_value);
    return v[n / 2];
}

/* -- growing -- */

static mdr_code keep(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    template *t = ctx;
    if (t->n == EVENTS_MOST) {
        return MDR_FAIL(err, MDR_E_RANGE, "", "the batch has too many events");
    }
    mdr_event_row *e = &t->events[t->n++];
    *e = *row;
    e->kind = mdr_arena_text(t->arena, row->kind);
    e->by = mdr_arena_text(t->arena, row->by);
    e->body = mdr_arena_text(t->arena, row->body);
    return e->kind != NULL && e->by != NULL && e->body != NULL
               ? MDR_OK
               : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory");
}

static void read_template(mdr_app *app, template *t)
{
    mdr_err err = {0};
    t->arena = mdr_arena_new((size_t)64 << 20);
    must(mdr_record_batch(app->mill, "L26-0101.1", t->arena, &t->batch, &err), &err);
    const mdr_event_query of = {.batch_id = "L26-0101.1"};
    must(mdr_record_events(app->mill, &of, keep, t, &err), &err);
}

/* The lot and its rolls under another name. */
static void copy_lot(mdr_app *app, const char *lot_id)
{
    mdr_err err = {0};
    char sql[800];
    (void)snprintf(
        sql, sizeof sql,
        "CREATE TEMP TABLE t AS SELECT * FROM lot WHERE lot_id='%s';"
        "UPDATE t SET lot_id='%s',stage='done';INSERT INTO lot SELECT * FROM t;DROP TABLE t;"
        "CREATE TEMP TABLE t AS SELECT * FROM roll WHERE lot_id='%s';"
        "UPDATE t SET lot_id='%s',roll_id='%s-'||roll_id;INSERT INTO roll SELECT * FROM t;"
        "DROP TABLE t;",
        LOT, lot_id, LOT, lot_id, lot_id);
    must(mdr_mill_sql_exec(app->mill, sql, &err), &err);
}

/* The body with the digest of its own plan, and with numbers of events that are its own. */
static const char *body_of(const template *t, const mdr_event_row *e, const mdr_batch_row *batch,
                           int64_t first, mdr_arena *arena)
{
    static const char OF[] = "\"of_seq\":";
    if (strcmp(e->kind, "batch-made") == 0) {
        return mdr_arena_printf(arena, "{\"recipe_sha256\":\"%s\"}", batch->recipe_sha256);
    }
    const char *at = strstr(e->body, OF);
    if (at == NULL) {
        return e->body;
    }
    char *end = NULL;
    const long long of = strtoll(at + sizeof OF - 1, &end, 10) - t->events[0].seq + first;
    return mdr_arena_printf(arena, "%.*s%lld%s", (int)(at + sizeof OF - 1 - e->body), e->body, of,
                            end);
}

static void copy_batch(mdr_app *app, const template *t, int number, int n_events)
{
    mdr_err err = {0};
    mdr_record_head head;
    mdr_arena *arena = mdr_arena_new((size_t)8 << 20);
    char lot_id[16], batch_id[24], entry[40];
    (void)snprintf(lot_id, sizeof lot_id, "Y%07d", number);
    (void)snprintf(batch_id, sizeof batch_id, "%s.1", lot_id);
    copy_lot(app, lot_id);
    mdr_batch_row row = t->batch;
    char *recipe = mdr_arena_text_n(arena, row.recipe, row.recipe_len);
    for (char *at = recipe; (at = strstr(at, LOT)) != NULL; at += LOT_TEXT) {
        memcpy(at, lot_id, LOT_TEXT);
    }
    row.batch_id = batch_id;
    row.lot_id = lot_id;
    row.recipe = recipe;
    must(mdr_record_batch_add(app->mill, &row, &err), &err);
    must(mdr_record_head_get(app->mill, &head, &err), &err);
    for (int i = 0; i < n_events; i++) {
        mdr_event_row e = t->events[i];
        (void)snprintf(entry, sizeof entry, "entry-%07d-%04d", number, i);
        e.batch_id = batch_id;
        e.entry_id = entry;
        e.body = body_of(t, &t->events[i], &row, head.seq + 1, arena);
        must(mdr_record_append(app->mill, &e, &err), &err);
    }
    mdr_arena_free(arena);
}

static void grow(mdr_app *app, const template *t, int *number, int64_t to, int open)
{
    mdr_err err = {0};
    mdr_record_head head = {0};
    /* what is grown here needs no power cut to be thought of; measured is as it always is */
    must(mdr_mill_sql_exec(
             app->mill,
             "PRAGMA journal_mode=MEMORY;PRAGMA synchronous=OFF;PRAGMA cache_size=-200000", &err),
         &err);
    while (head.seq < to) {
        must(mdr_mill_begin(app->mill, &err), &err);
        for (int i = 0; i < AT_ONCE && head.seq < to; i++) {
            ++*number;
            copy_batch(app, t, *number, *number <= open ? t->n * 2 / 5 : t->n);
            must(mdr_record_head_get(app->mill, &head, &err), &err);
        }
        must(mdr_mill_commit(app->mill, &err), &err);
    }
}

/* -- measuring -- */

typedef mdr_code view(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena, mdr_blob *out,
                      mdr_err *err);

static double time_of(mdr_app *app, view *v, const mdr_app_run_ask *ask)
{
    double ms[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        mdr_err err = {0};
        mdr_blob out = {0};
        mdr_arena *arena = mdr_arena_new((size_t)256 << 20);
        const double begun = now_ms();
        must(v(app, ask, arena, &out, &err), &err);
        ms[i] = now_ms() - begun;
        mdr_arena_free(arena);
    }
    return median(ms, ROUNDS);
}

static mdr_code lots_view(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err)
{
    (void)ask;
    return mdr_app_lots_page_json(app, &(mdr_app_lots_ask){0}, arena, out, err);
}

static double append_ms(mdr_app *app, const char *batch_id, int64_t size)
{
    double ms[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        mdr_err err = {0};
        mdr_blob out = {0};
        mdr_arena *arena = mdr_arena_new((size_t)256 << 20);
        mdr_err_list found = mdr_err_list_make(arena, 10);
        const char *body = mdr_arena_printf(
            arena, "{\"entry_id\":\"bench-%lld-%d\",\"kind\":\"remark\",\"text\":\"a remark\"}",
            (long long)size, i);
        static const mdr_who WHO = {
            .person_id = "demo", .name = "", .signed_in = true, .demo = true, .roles = 0xFFFFu};
        const mdr_app_run_ask ask = {
            .id = batch_id, .body = {body, strlen(body)}, .who = &WHO, .now_utc_ms = 1795674519603};
        const double begun = now_ms();
        must(mdr_app_batch_enter(app, &ask, arena, &found, &out, &err), &err);
        ms[i] = now_ms() - begun;
        mdr_arena_free(arena);
    }
    return median(ms, ROUNDS);
}

static void measure(const char *path, int64_t size, int number)
{
    mdr_err err = {0};
    mdr_app *app = NULL;
    mdr_chain_report chain;
    char last[24];
    static const mdr_who NOBODY = {.person_id = "", .name = ""};
    mdr_app_run_ask ask = {.id = "Y0000001.1", .who = &NOBODY, .now_utc_ms = 1795674519603};
    (void)snprintf(last, sizeof last, "Y%07d.1", number);
    double begun = now_ms();
    must(mdr_app_open(path, true, &app, &err), &err);
    mdr_arena *arena = mdr_arena_new((size_t)256 << 20);
    mdr_blob out = {0};
    must(mdr_app_hall_json(app, &ask, arena, &out, &err), &err);
    const double open_ms = now_ms() - begun;
    mdr_arena_free(arena);
    const double hall_ms = time_of(app, mdr_app_hall_json, &ask);
    const double floor_ms = time_of(app, mdr_app_batch_json, &ask);
    const double add_ms = append_ms(app, ask.id, size);
    ask.id = last;
    const double over_ms = time_of(app, mdr_app_batch_json, &ask);
    const double report_ms = time_of(app, mdr_app_report_json, &ask);
    const double lots_ms = time_of(app, lots_view, &ask);
    begun = now_ms();
    must(mdr_app_verify(app, &chain, &err), &err);
    const double verify_ms = now_ms() - begun;
    if (chain.fault != MDR_CHAIN_WHOLE) {
        (void)fprintf(stderr, "event %lld: the chain is broken\n", (long long)chain.seq);
        exit(1);
    }
    (void)printf(
        "{\"events\":%lld,\"batches\":%d,\"open_ms\":%.3f,\"hall_ms\":%.3f,\"floor_ms\":%.3f,"
        "\"over_ms\":%.3f,\"report_ms\":%.3f,\"append_ms\":%.3f,\"lots_ms\":%.3f,"
        "\"verify_ms\":%.3f,\"verify_per_s\":%.0f}\n",
        (long long)chain.checked, number + 1, open_ms, hall_ms, floor_ms, over_ms, report_ms,
        add_ms, lots_ms, verify_ms, 1e3 * (double)chain.checked / verify_ms);
    (void)fflush(stdout);
    mdr_app_close(app);
}

int main(int argc, char **argv)
{
    static template t;
    mdr_err err = {0};
    int number = 0;
    if (argc < 4) {
        (void)fprintf(stderr, "usage: bench_record FILE OPEN SIZE...\n");
        return 2;
    }
    for (int i = 3; i < argc; i++) {
        const int64_t size = strtoll(argv[i], NULL, 10);
        mdr_app *app = NULL;
        must(mdr_app_open(argv[1], true, &app, &err), &err);
        if (t.n == 0) {
            read_template(app, &t);
        }
        grow(app, &t, &number, size, (int)strtol(argv[2], NULL, 10));
        mdr_app_close(app);
        measure(argv[1], size, number);
    }
    mdr_arena_free(t.arena);
    return 0;
}
