/* Batches and events: added, read, walked through. */
#include "mill/mdr_record.h"

#include <string.h>

#include "mill/mdr_mill_in.h"

enum { PIECE = 256 }; /* events checked under one lock: some milliseconds; invented */

/* -- small helps -- */

static mdr_code bind_failed(mdr_mill *mill, sqlite3_stmt *stmt, int rc, mdr_err *err)
{
    const mdr_code code = mdr_mill_sql_fail(mill, rc, err);
    (void)sqlite3_finalize(stmt);
    return code;
}

static int bind_text(sqlite3_stmt *stmt, int at, const char *text)
{
    return mdr_mill_sql_bind_text(stmt, at, text, strlen(text));
}

static const char *text_of(sqlite3_stmt *stmt, int col)
{
    const char *text = (const char *)sqlite3_column_text(stmt, col);
    return text != NULL ? text : "";
}

/* Steps a statement that gives no rows, and ends it. */
static mdr_code run(mdr_mill *mill, sqlite3_stmt *stmt, mdr_err *err)
{
    bool row;
    const mdr_code rc = mdr_mill_sql_step(mill, stmt, &row, err);
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- the head -- */

mdr_code mdr_record_head_get(mdr_mill *mill, mdr_record_head *out, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    *out = (mdr_record_head){0};
    MDR_TRY(mdr_mill_sql_prepare(
        mill, "SELECT \"seq\",\"hash\" FROM \"event\" ORDER BY \"seq\" DESC LIMIT 1", &stmt, err));
    const mdr_code rc = mdr_mill_sql_step(mill, stmt, &row, err);
    if (rc == MDR_OK && row && sqlite3_column_bytes(stmt, 1) == MDR_SHA256_BYTES) {
        out->seq = sqlite3_column_int64(stmt, 0);
        memcpy(out->hash, sqlite3_column_blob(stmt, 1), MDR_SHA256_BYTES);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- batches -- */

mdr_code mdr_record_batch_add(mdr_mill *mill, mdr_batch_row *row, mdr_err *err)
{
    sqlite3_stmt *stmt;
    mdr_sha256_text(row->recipe, row->recipe_len, row->recipe_sha256);
    MDR_TRY(mdr_mill_sql_prepare(mill,
                                 "INSERT INTO \"batch\"(\"batch_id\",\"lot_id\",\"number\","
                                 "\"machine_id\",\"made_utc_ms\",\"recipe\",\"recipe_sha256\") "
                                 "VALUES(?1,?2,?3,?4,?5,?6,?7)",
                                 &stmt, err));
    int rc = bind_text(stmt, 1, row->batch_id);
    rc = rc == SQLITE_OK ? bind_text(stmt, 2, row->lot_id) : rc;
    rc = rc == SQLITE_OK ? sqlite3_bind_int(stmt, 3, row->number) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 4, row->machine_id) : rc;
    rc = rc == SQLITE_OK ? sqlite3_bind_int64(stmt, 5, row->made_utc_ms) : rc;
    rc = rc == SQLITE_OK ? mdr_mill_sql_bind_text(stmt, 6, row->recipe, row->recipe_len) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 7, row->recipe_sha256) : rc;
    return rc == SQLITE_OK ? run(mill, stmt, err) : bind_failed(mill, stmt, rc, err);
}

/* Columns: batch_id, lot_id, number, machine_id, made_utc_ms, recipe_sha256, recipe (or NULL). */
static mdr_code take_batch(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena, mdr_batch_row *out,
                           mdr_err *err)
{
    enum { RECIPE = 6 };
    const char *recipe = text_of(stmt, RECIPE);
    const size_t len = (size_t)sqlite3_column_bytes(stmt, RECIPE);
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
    *out = (mdr_batch_row){.batch_id = mdr_arena_text(arena, text_of(stmt, 0)),
                           .lot_id = mdr_arena_text(arena, text_of(stmt, 1)),
                           .number = sqlite3_column_int(stmt, 2),
                           .machine_id = mdr_arena_text(arena, text_of(stmt, 3)),
                           .made_utc_ms = sqlite3_column_int64(stmt, 4),
                           .recipe = mdr_arena_text_n(arena, recipe, len),
                           .recipe_len = len};
    const char *sha = text_of(stmt, 5);
    if (strlen(sha) == sizeof out->recipe_sha256 - 1) {
        memcpy(out->recipe_sha256, sha, sizeof out->recipe_sha256);
    }
    return out->batch_id != NULL && out->lot_id != NULL && out->machine_id != NULL &&
                   out->recipe != NULL
               ? MDR_OK
               : mdr_mill_no_memory(mill, err);
}

#define BATCH_COLS                                                              \
    "SELECT \"batch_id\",\"lot_id\",\"number\",\"machine_id\",\"made_utc_ms\"," \
    "\"recipe_sha256\","

mdr_code mdr_record_batch(mdr_mill *mill, const char *batch_id, mdr_arena *arena,
                          mdr_batch_row *out, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    MDR_TRY(mdr_mill_sql_prepare(mill, BATCH_COLS "\"recipe\" FROM \"batch\" WHERE \"batch_id\"=?1",
                                 &stmt, err));
    const int bound = bind_text(stmt, 1, batch_id);
    if (bound != SQLITE_OK) {
        return bind_failed(mill, stmt, bound, err);
    }
    mdr_code rc = mdr_mill_sql_step(mill, stmt, &row, err);
    if (rc == MDR_OK && !row) {
        rc = MDR_FAIL(err, MDR_E_NOTFOUND, "batch_id", "there is no such batch");
        mdr_err_value(err, "%s", batch_id);
        mdr_err_remedy(err, "look at the list of batches");
    } else if (rc == MDR_OK) {
        rc = take_batch(mill, stmt, arena, out, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_record_batches_of_lot(mdr_mill *mill, const char *lot_id, int *out, mdr_err *err)
{
    int64_t n = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT max(\"number\") FROM \"batch\" WHERE \"lot_id\"=?1",
                                lot_id, &n, err));
    *out = (int)n;
    return MDR_OK;
}

/* Found by two indexes alone: the rows of all batches, each with its plan, are not touched. */
#define IS_OVER "\"kind\" IN ('batch-stopped','batch-released','batch-rejected')"
#define OPEN_ONES                                                    \
    " FROM \"batch\" c WHERE NOT EXISTS (SELECT 1 FROM \"event\" e " \
    "WHERE e.\"batch_id\"=c.\"batch_id\" AND e." IS_OVER ")"

mdr_code mdr_record_batches(mdr_mill *mill, mdr_record_which which, mdr_arena *arena,
                            mdr_batch_row **out, int *n_out, mdr_err *err)
{
    static const char *const COUNTS[] = {"SELECT count(*)" OPEN_ONES,
                                         "SELECT count(*) FROM \"batch\""};
    static const char *const LISTS[] = {
        BATCH_COLS "NULL FROM \"batch\" WHERE rowid IN (SELECT c.rowid" OPEN_ONES
                   ") ORDER BY rowid",
        BATCH_COLS "NULL FROM \"batch\" ORDER BY rowid"};
    sqlite3_stmt *stmt;
    bool row = false;
    int64_t count = 0;
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    mdr_code rc = mdr_mill_sql_number(mill, COUNTS[which], NULL, &count, err);
    mdr_batch_row *rows = rc == MDR_OK ? MDR_NEW_N(arena, mdr_batch_row, (size_t)count + 1) : NULL;
    if (rc == MDR_OK && rows == NULL) {
        rc = mdr_mill_no_memory(mill, err);
    }
    int n = 0;
    if (rc == MDR_OK) {
        rc = mdr_mill_sql_prepare(mill, LISTS[which], &stmt, err);
        while (rc == MDR_OK && (rc = mdr_mill_sql_step(mill, stmt, &row, err)) == MDR_OK && row &&
               n < count) {
            rc = take_batch(mill, stmt, arena, &rows[n++], err);
        }
        (void)sqlite3_finalize(stmt);
    }
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = rows;
        *n_out = n;
    }
    return rc;
}

/* -- events -- */

#define EVENT_COLS                                                                              \
    "SELECT \"seq\",\"batch_id\",\"kind\",\"at_utc_ms\",\"device_utc_ms\",\"happened_utc_ms\"," \
    "\"by_id\",\"entry_id\",\"body\",\"hash\" FROM \"event\" "

/* Texts stay the statement's until it steps on. */
static void see_event(sqlite3_stmt *stmt, mdr_event_row *out)
{
    *out = (mdr_event_row){.seq = sqlite3_column_int64(stmt, 0),
                           .batch_id = text_of(stmt, 1),
                           .kind = text_of(stmt, 2),
                           .at_utc_ms = sqlite3_column_int64(stmt, 3),
                           .device_utc_ms = sqlite3_column_int64(stmt, 4),
                           .happened_utc_ms = sqlite3_column_int64(stmt, 5),
                           .by = text_of(stmt, 6),
                           .entry_id = text_of(stmt, 7),
                           .body = text_of(stmt, 8)};
    if (sqlite3_column_bytes(stmt, 9) == MDR_SHA256_BYTES) {
        memcpy(out->hash, sqlite3_column_blob(stmt, 9), MDR_SHA256_BYTES);
    }
}

static void add_field(mdr_sha256_sum *sum, const char *text)
{
    mdr_sha256_add(sum, text, strlen(text));
    mdr_sha256_add(sum, "\n", 1);
}

static void add_number(mdr_sha256_sum *sum, int64_t n)
{
    char text[24];
    (void)sqlite3_snprintf(sizeof text, text, "%lld", (long long)n);
    add_field(sum, text);
}

static void chain(const uint8_t before[MDR_SHA256_BYTES], const mdr_event_row *row,
                  uint8_t out[MDR_SHA256_BYTES])
{
    mdr_sha256_sum sum;
    mdr_sha256_begin(&sum);
    mdr_sha256_add(&sum, before, MDR_SHA256_BYTES);
    add_number(&sum, row->seq);
    add_field(&sum, row->batch_id);
    add_field(&sum, row->kind);
    add_number(&sum, row->at_utc_ms);
    add_number(&sum, row->device_utc_ms);
    add_number(&sum, row->happened_utc_ms);
    add_field(&sum, row->by);
    add_field(&sum, row->entry_id);
    add_field(&sum, row->body);
    mdr_sha256_end(&sum, out);
}

mdr_code mdr_record_append(mdr_mill *mill, mdr_event_row *row, mdr_err *err)
{
    sqlite3_stmt *stmt;
    mdr_record_head head;
    MDR_TRY(mdr_record_head_get(mill, &head, err));
    row->seq = head.seq + 1;
    chain(head.hash, row, row->hash);
    MDR_TRY(mdr_mill_sql_prepare(
        mill, "INSERT INTO \"event\" VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10)", &stmt, err));
    int rc = sqlite3_bind_int64(stmt, 1, row->seq);
    rc = rc == SQLITE_OK ? bind_text(stmt, 2, row->batch_id) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 3, row->kind) : rc;
    rc = rc == SQLITE_OK ? sqlite3_bind_int64(stmt, 4, row->at_utc_ms) : rc;
    rc = rc == SQLITE_OK ? sqlite3_bind_int64(stmt, 5, row->device_utc_ms) : rc;
    rc = rc == SQLITE_OK ? sqlite3_bind_int64(stmt, 6, row->happened_utc_ms) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 7, row->by) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 8, row->entry_id) : rc;
    rc = rc == SQLITE_OK ? bind_text(stmt, 9, row->body) : rc;
    rc = rc == SQLITE_OK
             ? sqlite3_bind_blob(stmt, 10, row->hash, MDR_SHA256_BYTES, SQLITE_TRANSIENT)
             : rc;
    return rc == SQLITE_OK ? run(mill, stmt, err) : bind_failed(mill, stmt, rc, err);
}

static mdr_code keep_event(mdr_mill *mill, const mdr_event_row *seen, mdr_arena *arena,
                           mdr_event_row *out, mdr_err *err)
{
    mdr_event_row row = *seen;
    row.batch_id = mdr_arena_text(arena, seen->batch_id);
    row.kind = mdr_arena_text(arena, seen->kind);
    row.by = mdr_arena_text(arena, seen->by);
    row.entry_id = mdr_arena_text(arena, seen->entry_id);
    row.body = mdr_arena_text(arena, seen->body);
    if (row.batch_id == NULL || row.kind == NULL || row.by == NULL || row.entry_id == NULL ||
        row.body == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    *out = row;
    return MDR_OK;
}

mdr_code mdr_record_entry(mdr_mill *mill, const char *entry_id, mdr_arena *arena,
                          mdr_event_row *out, bool *there, mdr_err *err)
{
    sqlite3_stmt *stmt;
    mdr_event_row seen;
    MDR_TRY(mdr_mill_sql_prepare(mill, EVENT_COLS "WHERE \"entry_id\"=?1", &stmt, err));
    const int bound = bind_text(stmt, 1, entry_id);
    if (bound != SQLITE_OK) {
        return bind_failed(mill, stmt, bound, err);
    }
    mdr_code rc = mdr_mill_sql_step(mill, stmt, there, err);
    if (rc == MDR_OK && *there) {
        see_event(stmt, &seen);
        rc = keep_event(mill, &seen, arena, out, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_record_events(mdr_mill *mill, const mdr_event_query *which, mdr_event_visit *visit,
                           void *ctx, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = false;
    MDR_TRY(mdr_mill_sql_prepare(
        mill,
        which->batch_id != NULL ? EVENT_COLS
            "WHERE \"seq\">?1 AND \"batch_id\"=?3 ORDER BY \"seq\" LIMIT ?2"
                                : EVENT_COLS "WHERE \"seq\">?1 ORDER BY \"seq\" LIMIT ?2",
        &stmt, err));
    int bound = sqlite3_bind_int64(stmt, 1, which->after_seq);
    bound = bound == SQLITE_OK ? sqlite3_bind_int64(stmt, 2, which->most > 0 ? which->most : -1)
                               : bound;
    if (bound == SQLITE_OK && which->batch_id != NULL) {
        bound = bind_text(stmt, 3, which->batch_id);
    }
    if (bound != SQLITE_OK) {
        return bind_failed(mill, stmt, bound, err);
    }
    mdr_code rc = MDR_OK;
    while (rc == MDR_OK && (rc = mdr_mill_sql_step(mill, stmt, &row, err)) == MDR_OK && row) {
        mdr_event_row seen;
        see_event(stmt, &seen);
        rc = visit(ctx, &seen, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- the chain -- */

#define FAULT_ID(name, id, words)    id,
#define FAULT_WORDS(name, id, words) words,

const char *mdr_chain_fault_id(mdr_chain_fault k)
{
    static const char *const IDS[] = {MDR_CHAIN_FAULTS(FAULT_ID)};
    return (size_t)k < sizeof IDS / sizeof IDS[0] ? IDS[k] : NULL;
}

const char *mdr_chain_fault_words(mdr_chain_fault k)
{
    static const char *const WORDS[] = {MDR_CHAIN_FAULTS(FAULT_WORDS)};
    return (size_t)k < sizeof WORDS / sizeof WORDS[0] ? WORDS[k] : NULL;
}

typedef struct walk {
    mdr_mill *mill;
    mdr_chain_report *report;
} walk;

static void found(mdr_chain_report *r, mdr_chain_fault fault, const mdr_event_row *row)
{
    r->fault = fault;
    r->seq = row->seq;
    (void)sqlite3_snprintf(sizeof r->batch_id, r->batch_id, "%s", row->batch_id);
}

/* The event that froze the plan names its digest; the plan as stored must still have it. */
static mdr_code check_recipe(mdr_mill *mill, const mdr_event_row *row, bool *whole, mdr_err *err)
{
    char sha[MDR_SHA256_TEXT];
    mdr_batch_row batch;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    if (arena == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    const mdr_code rc = mdr_record_batch(mill, row->batch_id, arena, &batch, err);
    if (rc == MDR_OK) {
        /* NOLINTNEXTLINE(clang-analyzer-core.CallAndMessage) the checker cannot see that it is set here */
        mdr_sha256_text(batch.recipe, batch.recipe_len, sha);
        *whole = strcmp(sha, batch.recipe_sha256) == 0 && strstr(row->body, sha) != NULL;
    }
    mdr_arena_free(arena);
    return rc == MDR_E_NOTFOUND ? MDR_OK : rc; /* a plan that was taken away was changed */
}

static mdr_code check_event(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const walk *w = ctx;
    mdr_chain_report *r = w->report;
    uint8_t hash[MDR_SHA256_BYTES];
    if (r->fault != MDR_CHAIN_WHOLE) {
        return MDR_OK;
    }
    if (row->seq != r->head.seq + 1) {
        found(r, MDR_CHAIN_GAP, row);
        return MDR_OK;
    }
    chain(r->head.hash, row, hash);
    if (memcmp(hash, row->hash, sizeof hash) != 0) {
        found(r, MDR_CHAIN_CHANGED, row);
        return MDR_OK;
    }
    if (strcmp(row->kind, "batch-made") == 0) {
        bool whole = false;
        MDR_TRY(check_recipe(w->mill, row, &whole, err));
        if (!whole) {
            found(r, MDR_CHAIN_RECIPE, row);
            return MDR_OK;
        }
    }
    memcpy(r->head.hash, hash, sizeof hash);
    r->head.seq = row->seq;
    r->seq = row->seq;
    r->checked++;
    return MDR_OK;
}

mdr_code mdr_record_verify(mdr_mill *mill, const mdr_record_head *from, int64_t most,
                           mdr_chain_report *out, mdr_err *err)
{
    mdr_chain_report report = {.fault = MDR_CHAIN_WHOLE};
    if (from != NULL) {
        report.head = *from;
        report.seq = from->seq;
    }
    walk w = {mill, &report};
    bool more = true;
    while (more) { /* in between whoever writes gets a turn */
        const int64_t before = report.checked;
        const int64_t left = most > 0 ? most - before : PIECE;
        const mdr_event_query of = {.after_seq = report.head.seq,
                                    .most = left < PIECE ? left : PIECE};
        MDR_TRY(mdr_record_events(mill, &of, check_event, &w, err));
        more = report.fault == MDR_CHAIN_WHOLE && report.checked - before == PIECE &&
               (most == 0 || report.checked < most);
    }
    *out = report;
    return MDR_OK;
}
