#include <string.h>

#include "mill/mdr_mill_bound.h"
#include "mill/mdr_people.h"

/* -- sessions -- */

#define SESSION_COLUMNS                                                             \
    "SELECT \"token_sha256\", \"person_id\", \"by_pin\", \"device\", \"address\", " \
    "\"created_utc_ms\", \"last_seen_utc_ms\", \"expires_utc_ms\", \"locked\", "    \
    "\"device_sha256\" FROM \"session\" "

static mdr_code read_session(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena, mdr_session *out,
                             mdr_err *err)
{
    enum { TOKEN, PERSON, BY_PIN, DEVICE, ADDRESS, CREATED, SEEN, EXPIRES, LOCKED, DEVICE_SHA256 };
    bool ok = true;
    *out = (mdr_session){.token_sha256 = mdr_mill_column_text(stmt, TOKEN, arena, &ok),
                         .person_id = mdr_mill_column_text(stmt, PERSON, arena, &ok),
                         .device = mdr_mill_column_text(stmt, DEVICE, arena, &ok),
                         .address = mdr_mill_column_text(stmt, ADDRESS, arena, &ok),
                         .device_sha256 = mdr_mill_column_text(stmt, DEVICE_SHA256, arena, &ok),
                         .created_utc_ms = sqlite3_column_int64(stmt, CREATED),
                         .last_seen_utc_ms = sqlite3_column_int64(stmt, SEEN),
                         .expires_utc_ms = sqlite3_column_int64(stmt, EXPIRES),
                         .by_pin = sqlite3_column_int64(stmt, BY_PIN) != 0,
                         .locked = sqlite3_column_int64(stmt, LOCKED) != 0};
    return ok ? MDR_OK : mdr_mill_no_memory(mill, err);
}

mdr_code mdr_mill_session(mdr_mill *mill, const char *token_sha256, mdr_arena *arena,
                          const mdr_session **out, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_session *session = NULL;
    const mdr_mill_call call = {
        SESSION_COLUMNS "WHERE \"token_sha256\" = ?1", {MDR_BOUND_TEXT(token_sha256)}, 1};
    mdr_code rc = mdr_mill_call_open(mill, &call, &stmt, err);
    rc = rc == MDR_OK ? mdr_mill_sql_step(mill, stmt, &row, err) : rc;
    if (rc == MDR_OK && row) {
        session = MDR_NEW(arena, mdr_session);
        rc = session != NULL ? read_session(mill, stmt, arena, session, err)
                             : mdr_mill_no_memory(mill, err);
    }
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK) {
        *out = session;
    }
    return rc;
}

static mdr_code list_sessions(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena,
                              mdr_session *list, int n, mdr_err *err)
{
    bool row = false;
    for (int i = 0; i < n; i++) {
        MDR_TRY(mdr_mill_sql_step(mill, stmt, &row, err));
        MDR_TRY(read_session(mill, stmt, arena, &list[i], err));
    }
    return MDR_OK;
}

static mdr_code sessions_seen(mdr_mill *mill, mdr_arena *arena, mdr_session **out, int *n_out,
                              mdr_err *err)
{
    int64_t n = 0;
    sqlite3_stmt *stmt = NULL;
    const mdr_mill_call call = {
        SESSION_COLUMNS "ORDER BY \"created_utc_ms\" DESC, \"token_sha256\"", {{0}}, 0};
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"session\"", NULL, &n, err));
    mdr_session *list = MDR_NEW_N(arena, mdr_session, (size_t)n + 1);
    if (list == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_code rc = mdr_mill_call_open(mill, &call, &stmt, err);
    rc = rc == MDR_OK ? list_sessions(mill, stmt, arena, list, (int)n, err) : rc;
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK) {
        *out = list;
        *n_out = (int)n;
    }
    return rc;
}

mdr_code mdr_mill_sessions(mdr_mill *mill, mdr_arena *arena, mdr_session **out, int *n_out,
                           mdr_err *err)
{
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = sessions_seen(mill, arena, out, n_out, err);
    mdr_mill_snapshot_end(mill);
    return rc;
}

mdr_code mdr_mill_session_add(mdr_mill *mill, const mdr_session *s, mdr_err *err)
{
    const mdr_mill_call call = {
        "INSERT INTO \"session\" (\"token_sha256\", \"person_id\", \"by_pin\", \"device\", "
        "\"address\", \"created_utc_ms\", \"last_seen_utc_ms\", \"expires_utc_ms\", \"locked\", "
        "\"device_sha256\") VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
        {MDR_BOUND_TEXT(s->token_sha256), MDR_BOUND_TEXT(s->person_id),
         MDR_BOUND_NUMBER(s->by_pin ? 1 : 0), MDR_BOUND_TEXT(s->device), MDR_BOUND_TEXT(s->address),
         MDR_BOUND_NUMBER(s->created_utc_ms), MDR_BOUND_NUMBER(s->last_seen_utc_ms),
         MDR_BOUND_NUMBER(s->expires_utc_ms), MDR_BOUND_NUMBER(s->locked ? 1 : 0),
         MDR_BOUND_TEXT(s->device_sha256 != NULL ? s->device_sha256 : "")},
        10};
    return mdr_mill_call_aside(mill, &call, NULL, err);
}

mdr_code mdr_mill_session_touch(mdr_mill *mill, const mdr_session *s, mdr_err *err)
{
    const mdr_mill_call call = {"UPDATE \"session\" SET \"last_seen_utc_ms\" = ?2, \"locked\" = ?3 "
                                "WHERE \"token_sha256\" = ?1",
                                {MDR_BOUND_TEXT(s->token_sha256),
                                 MDR_BOUND_NUMBER(s->last_seen_utc_ms),
                                 MDR_BOUND_NUMBER(s->locked ? 1 : 0)},
                                3};
    return mdr_mill_call_aside(mill, &call, NULL, err);
}

mdr_code mdr_mill_session_end(mdr_mill *mill, const char *token_sha256, mdr_err *err)
{
    const mdr_mill_call call = {
        "DELETE FROM \"session\" WHERE \"token_sha256\" = ?1", {MDR_BOUND_TEXT(token_sha256)}, 1};
    return mdr_mill_call_aside(mill, &call, NULL, err);
}

mdr_code mdr_mill_sessions_end(mdr_mill *mill, const char *person_id, const char *but_token_sha256,
                               mdr_err *err)
{
    const mdr_mill_call call = {
        "DELETE FROM \"session\" WHERE \"person_id\" = ?1 AND \"token_sha256\" <> ?2",
        {MDR_BOUND_TEXT(person_id),
         MDR_BOUND_TEXT(but_token_sha256 != NULL ? but_token_sha256 : "")},
        2};
    return mdr_mill_call_aside(mill, &call, NULL, err);
}

mdr_code mdr_mill_sessions_sweep(mdr_mill *mill, int64_t now_utc_ms, int64_t tries_before_utc_ms,
                                 mdr_err *err)
{
    MDR_TRY(mdr_mill_call_aside(
        mill,
        &(mdr_mill_call){"DELETE FROM \"session\" WHERE \"expires_utc_ms\" <= ?1",
                         {MDR_BOUND_NUMBER(now_utc_ms)},
                         1},
        NULL, err));
    return mdr_mill_call_aside(
        mill,
        &(mdr_mill_call){"DELETE FROM \"sign_in_try\" WHERE \"last_utc_ms\" < ?1",
                         {MDR_BOUND_NUMBER(tries_before_utc_ms)},
                         1},
        NULL, err);
}

/* -- failed tries -- */

mdr_code mdr_mill_try_read(mdr_mill *mill, mdr_try *t, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    const mdr_mill_call call = {"SELECT \"failures\", \"last_utc_ms\" FROM \"sign_in_try\" WHERE "
                                "\"account\" = ?1 AND \"address\" = ?2",
                                {MDR_BOUND_TEXT(t->account), MDR_BOUND_TEXT(t->address)},
                                2};
    mdr_code rc = mdr_mill_call_open(mill, &call, &stmt, err);
    rc = rc == MDR_OK ? mdr_mill_sql_step(mill, stmt, &row, err) : rc;
    if (rc == MDR_OK) {
        t->failures = row ? sqlite3_column_int64(stmt, 0) : 0;
        t->last_utc_ms = row ? sqlite3_column_int64(stmt, 1) : 0;
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_try_write(mdr_mill *mill, const mdr_try *t, mdr_err *err)
{
    const mdr_mill_call forget = {
        "DELETE FROM \"sign_in_try\" WHERE \"account\" = ?1 AND \"address\" = ?2",
        {MDR_BOUND_TEXT(t->account), MDR_BOUND_TEXT(t->address)},
        2};
    const mdr_mill_call keep = {
        "INSERT INTO \"sign_in_try\" (\"account\", \"address\", \"failures\", \"last_utc_ms\") "
        "VALUES (?1, ?2, ?3, ?4) ON CONFLICT (\"account\", \"address\") DO UPDATE SET "
        "\"failures\" = excluded.\"failures\", \"last_utc_ms\" = excluded.\"last_utc_ms\"",
        {MDR_BOUND_TEXT(t->account), MDR_BOUND_TEXT(t->address), MDR_BOUND_NUMBER(t->failures),
         MDR_BOUND_NUMBER(t->last_utc_ms)},
        4};
    return mdr_mill_call_aside(mill, t->failures == 0 ? &forget : &keep, NULL, err);
}
