/* All that was entered, as lines of JSON or CSV. */
#include <string.h>

#include "app/mdr_app_report.h"
#include "app/mdr_app_run_in.h"
#include "wire/mdr_run_doc.h"

enum { LINE_BYTES = 8 << 20 };

typedef struct writing {
    mdr_arena *arena;
    mdr_app_sink *sink;
    void *ctx;
} writing;

/* -- lines of JSON -- */

static mdr_code json_line(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const writing *w = ctx;
    const mdr_arena_mark here = mdr_arena_here(w->arena);
    char hash[MDR_SHA256_TEXT], *text = NULL;
    size_t len = 0;
    mdr_hex(row->hash, MDR_SHA256_BYTES, hash);
    mdr_json j = mdr_json_make(w->arena, strlen(row->body) + 512, false);
    mdr_json_object(&j, NULL);
    mdr_json_int(&j, "seq", row->seq);
    mdr_json_text(&j, "batch_id", row->batch_id);
    mdr_json_text(&j, "kind", row->kind);
    mdr_json_int(&j, "at_utc_ms", row->at_utc_ms);
    mdr_json_int(&j, "device_utc_ms", row->device_utc_ms);
    mdr_json_int(&j, "happened_utc_ms", row->happened_utc_ms);
    mdr_json_text(&j, "by", row->by);
    mdr_json_text(&j, "entry_id", row->entry_id);
    mdr_json_text(&j, "body", row->body); /* as a text: its bytes are what the hash is made of */
    mdr_json_text(&j, "hash", hash);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    MDR_TRY(w->sink(w->ctx, text, len, err));
    MDR_TRY(w->sink(w->ctx, "\n", 1, err));
    mdr_arena_back(w->arena, here);
    return MDR_OK;
}

/* -- CSV, RFC 4180 -- */

/* The text in quotes, or NULL; what a spreadsheet would take for a formula gets an apostrophe. */
static const char *quoted(mdr_arena *arena, const char *text)
{
    const bool formula = text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
    const size_t most = 2 * strlen(text) + 4;
    char *out = mdr_arena_alloc(arena, most, 1), *to = out;
    if (out == NULL) {
        return NULL;
    }
    *to++ = '"';
    if (formula) {
        *to++ = '\'';
    }
    for (const char *p = text; *p != '\0'; p++) {
        if (*p == '"') {
            *to++ = '"';
        }
        *to++ = *p;
    }
    *to = '"'; /* the memory is zeroed */
    return out;
}

static mdr_code csv_line(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    enum { TEXTS = 5 };
    const writing *w = ctx;
    const mdr_arena_mark here = mdr_arena_here(w->arena);
    const char *const texts[TEXTS] = {row->batch_id, row->kind, row->by, row->entry_id, row->body};
    const char *cells[TEXTS];
    char hash[MDR_SHA256_TEXT];
    bool whole = true;
    for (int i = 0; i < TEXTS; i++) {
        cells[i] = quoted(w->arena, texts[i]);
        whole = whole && cells[i] != NULL;
    }
    mdr_hex(row->hash, MDR_SHA256_BYTES, hash);
    const char *line =
        !whole
            ? NULL
            : mdr_arena_printf(w->arena, "%lld,%s,%s,%lld,%lld,%lld,%s,%s,%s,%s\n",
                               (long long)row->seq, cells[0], cells[1], (long long)row->at_utc_ms,
                               (long long)row->device_utc_ms, (long long)row->happened_utc_ms,
                               cells[2], cells[3], cells[4], hash);
    if (line == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for a line of the record");
    }
    MDR_TRY(w->sink(w->ctx, line, strlen(line), err));
    mdr_arena_back(w->arena, here);
    return MDR_OK;
}

static mdr_code write_all(mdr_app *app, const char *batch_id, mdr_event_visit *visit, writing *w,
                          mdr_err *err)
{
    const mdr_event_query which = {.batch_id = batch_id};
    w->arena = mdr_arena_new(LINE_BYTES);
    if (w->arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the record");
    }
    const mdr_code rc = mdr_record_events(app->mill, &which, visit, w, err);
    mdr_arena_free(w->arena);
    return rc;
}

/* One that is not there has no entries, and nothing to write looks like nothing entered. */
static mdr_code look_for(mdr_app *app, const char *batch_id, mdr_err *err)
{
    mdr_batch_row row;
    if (batch_id == NULL) {
        return MDR_OK;
    }
    mdr_arena *arena = mdr_arena_new(LINE_BYTES);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the record");
    }
    const mdr_code rc = mdr_record_batch(app->mill, batch_id, arena, &row, err);
    mdr_arena_free(arena);
    return rc;
}

mdr_code mdr_app_record_lines(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                              mdr_err *err)
{
    writing w = {.sink = sink, .ctx = ctx};
    MDR_TRY(look_for(app, batch_id, err));
    return write_all(app, batch_id, json_line, &w, err);
}

mdr_code mdr_app_record_csv(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                            mdr_err *err)
{
    static const char HEAD[] = "seq,batch_id,kind,at_utc_ms,device_utc_ms,happened_utc_ms,by,"
                               "entry_id,body,hash\n";
    writing w = {.sink = sink, .ctx = ctx};
    MDR_TRY(look_for(app, batch_id, err));
    MDR_TRY(sink(ctx, HEAD, sizeof HEAD - 1, err));
    return write_all(app, batch_id, csv_line, &w, err);
}
