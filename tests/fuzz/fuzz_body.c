/* Any bytes as a request that carries a body, to the invented demo mill with a batch under way: a line
 * "POST /api/scan", the rest is the body. Every row of the route table that takes one is asked as the
 * server would ask it: it is refused with a reason, or answered; what it changed can be read again; the
 * mill is put back afterwards. */
#define _POSIX_C_SOURCE 200809L
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_run.h"
#include "http/mdr_http_in.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
#ifdef MDR_FUZZER
size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t max_size);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed);
#endif

enum { PATH_ROOM = 256, LINE_MOST = 200, ASKED_MOST = 20, ARENA_BYTES = 256 << 20 };

static char mill_path[PATH_ROOM + 16], mill_folder[PATH_ROOM];
static mdr_app *app;

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

/* -- the mill -- */

static void remove_mill(void)
{
    mdr_app_close(app);
    (void)unlink(mill_path);
    (void)rmdir(mill_folder);
}

static void open_mill(void)
{
    mdr_err err = {0};
    require(mdr_app_open(mill_path, true, &app, &err) == MDR_OK);
}

/* A plan frozen for every lot that lets itself be, so that there are batches to write into. */
static void freeze_lots(void)
{
    mdr_app_lot *lots = NULL;
    int n = 0, frozen = 0;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new(ARENA_BYTES);
    const mdr_who who = {.person_id = "demo", .name = "demo", .signed_in = true, .demo = true};
    require(arena != NULL && mdr_app_lots(app, arena, &lots, &n, &err) == MDR_OK);
    for (int i = 0; i < n; i++) {
        mdr_blob out = {0};
        const char *body = mdr_arena_printf(arena, "{\"revision\":%d}", lots[i].revision);
        const mdr_from from = {.address = "127.0.0.1", .device = "", .now_utc_ms = 1};
        const mdr_app_run_ask ask = {.id = lots[i].lot_id,
                                     .body = {body, strlen(body)},
                                     .who = &who,
                                     .from = &from,
                                     .now_utc_ms = mdr_now_utc_ms(),
                                     .step = ""};
        frozen += mdr_app_batch_make(app, &ask, arena, NULL, &out, &err) == MDR_OK;
    }
    require(frozen > 0);
    mdr_arena_free(arena);
}

static void make_mill(void)
{
    mdr_err err = {0};
    const char *dir = getenv("TMPDIR");
    (void)snprintf(mill_folder, sizeof mill_folder, "%s/madder-fuzz-XXXXXX",
                   dir != NULL ? dir : "/tmp");
    require(mkdtemp(mill_folder) != NULL);
    (void)snprintf(mill_path, sizeof mill_path, "%s/demo.mill", mill_folder);
    require(mdr_app_new(mill_path, true, &err) == MDR_OK);
    open_mill();
    freeze_lots();
    require(atexit(remove_mill) == 0);
}

static int64_t state_of_mill(void)
{
    int64_t state = 0;
    mdr_err err = {0};
    require(mdr_mill_state(app->mill, &state, &err) == MDR_OK);
    return state;
}

/* Whatever was stored can be read, and every table goes out as what may come in. */
static void read_again(const mdr_request *q)
{
    mdr_err err = {0};
    mdr_app_lot *lots = NULL;
    int n = 0, rows = 0;
    mdr_blob csv;
    mdr_arena *arena = mdr_arena_new(ARENA_BYTES);
    require(arena != NULL && mdr_app_lots(app, arena, &lots, &n, &err) == MDR_OK);
    if (strncmp(q->path, "/api/tables/", 12) == 0) {
        require(mdr_app_export(app, q->id, arena, &csv, &err) == MDR_OK);
        require(mdr_app_import(app, q->id, "again.csv", csv, NULL, &rows, &err) == MDR_OK);
    }
    mdr_arena_free(arena);
}

/* -- a request -- */

/* Nobody waits for long: a search ends with what it has. */
static bool some_more(void *asked)
{
    return ++*(int *)asked < ASKED_MOST;
}

static bool ends(const char *path, const char *with)
{
    const size_t n = strlen(path), k = strlen(with);
    return n >= k && strcmp(path + n - k, with) == 0;
}

/* A dyebath takes seconds under sanitizers and cannot be stopped on its way; the tests of the dyebath run
 * it. What stands before it, the reading of the question, was done when it was begun. */
static void calculate(mdr_request *q, mdr_reply *reply)
{
    int asked = 0;
    const mdr_go_on go_on = {some_more, &asked};
    mdr_err err = {0};
    if (ends(q->path, "/dyeing") || ends(q->path, "/shorten")) {
        reply->body = (mdr_blob){"{}", 2};
    } else if (mdr_app_work_run(q->work, &go_on, &reply->body, &err) != MDR_OK) {
        mdr_reply_error(q, reply, &err, 0);
    }
    mdr_app_work_end(app, q->work);
}

static void check_reply(const mdr_reply *reply)
{
    const bool json = strncmp(reply->type, "application/json", 16) == 0;
    require(reply->status == 200 || (reply->status >= 401 && reply->status <= 429));
    require(json || reply->status == 200);
    require(reply->body.len > 1 && (!json || reply->body.bytes[0] == '{'));
    require(!json || memchr(reply->body.bytes, '\0', reply->body.len) == NULL);
}

static void run(const mdr_endpoint *endpoint, mdr_request *q)
{
    mdr_reply reply = {0};
    mdr_err err = {0};
    const int64_t before = state_of_mill();
    require(mdr_app_together_begin(app, &err) == MDR_OK);
    if (mdr_admit(endpoint, q, &reply)) {
        mdr_endpoint_run(endpoint, q, &reply);
    }
    if (q->work != NULL) {
        calculate(q, &reply);
    }
    check_reply(&reply);
    const bool changed = state_of_mill() != before;
    if (changed) {
        read_again(q);
    }
    mdr_mill_rollback(app->mill);
    if (changed) { /* nothing that was kept in memory may outlive it */
        mdr_app_close(app);
        open_mill();
    }
}

static void ask(const char *line, const char *body, size_t n)
{
    unsigned allowed = 0;
    const char *path = strchr(line, ' ');
    mdr_arena *arena = mdr_arena_new(ARENA_BYTES);
    require(arena != NULL);
    if (path != NULL) {
        const char *method = mdr_arena_text_n(arena, line, (size_t)(path - line));
        mdr_request q = {.app = app,
                         .arena = arena,
                         .method = mdr_method_of(method),
                         .path = path + 1,
                         .body = {body, n},
                         .found = mdr_err_list_make(arena, MDR_FOUND_MAX),
                         .from = {.address = "127.0.0.1", .device = "", .now_utc_ms = 1}};
        const mdr_endpoint *endpoint = mdr_endpoint_find(&q, &allowed);
        if (endpoint != NULL && endpoint->body_type != NULL && n <= endpoint->body_max) {
            run(endpoint, &q);
        }
    }
    mdr_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char line[LINE_MOST];
    if (app == NULL) {
        make_mill();
    }
    const uint8_t *end = size > 0 ? memchr(data, '\n', size) : NULL;
    const size_t n = end != NULL ? (size_t)(end - data) : 0;
    if (end == NULL || n >= sizeof line || memchr(data, '\0', n) != NULL) {
        return 0;
    }
    memcpy(line, data, n);
    line[n] = '\0';
    const size_t len = size - n - 1;
    char *body = malloc(len > 0 ? len : 1); /* of its exact size: a step beyond it is seen */
    require(body != NULL);
    memcpy(body, end + 1, len);
    ask(line, body, len);
    free(body);
    return 0;
}

#ifdef MDR_FUZZER
/* Mutates the body and leaves the line alone: nearly every other line is a path that nobody knows. */
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed)
{
    enum { LINE_TOO = 16 };
    const uint8_t *end = size > 0 ? memchr(data, '\n', size) : NULL;
    const size_t n = end != NULL ? (size_t)(end - data) + 1 : 0;
    if (end == NULL || seed % LINE_TOO == 0 || n >= max_size) {
        return LLVMFuzzerMutate(data, size, max_size);
    }
    return n + LLVMFuzzerMutate(data + n, size - n, max_size - n);
}
#endif
