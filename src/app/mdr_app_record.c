/* All that was entered, as lines of JSON or CSV. */
#include <stdlib.h>
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

static mdr_code put_cell(const writing *w, const char *text, bool last, mdr_err *err)
{
    const bool formula = text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
    MDR_TRY(w->sink(w->ctx, formula ? "\"'" : "\"", formula ? 2 : 1, err));
    for (const char *p = text; *p != '\0';) {
        const size_t n = strcspn(p, "\"");
        MDR_TRY(w->sink(w->ctx, p, n, err));
        p += n;
        if (*p == '"') {
            MDR_TRY(w->sink(w->ctx, "\"\"", 2, err));
            p++;
        }
    }
    return w->sink(w->ctx, last ? "\"\n" : "\",", 2, err);
}

static mdr_code put_int(const writing *w, int64_t n, mdr_err *err)
{
    const char *text = mdr_arena_printf(w->arena, "%lld,", (long long)n);
    return text != NULL ? w->sink(w->ctx, text, strlen(text), err)
                        : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for a line of the record");
}

static mdr_code csv_line(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const writing *w = ctx;
    const mdr_arena_mark here = mdr_arena_here(w->arena);
    char hash[MDR_SHA256_TEXT];
    mdr_hex(row->hash, MDR_SHA256_BYTES, hash);
    MDR_TRY(put_int(w, row->seq, err));
    MDR_TRY(put_cell(w, row->batch_id, false, err));
    MDR_TRY(put_cell(w, row->kind, false, err));
    MDR_TRY(put_int(w, row->at_utc_ms, err));
    MDR_TRY(put_int(w, row->device_utc_ms, err));
    MDR_TRY(put_int(w, row->happened_utc_ms, err));
    MDR_TRY(put_cell(w, row->by, false, err));
    MDR_TRY(put_cell(w, row->entry_id, false, err));
    MDR_TRY(put_cell(w, row->body, false, err));
    MDR_TRY(put_cell(w, hash, true, err));
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

mdr_code mdr_app_record_lines(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                              mdr_err *err)
{
    writing w = {.sink = sink, .ctx = ctx};
    return write_all(app, batch_id, json_line, &w, err);
}

mdr_code mdr_app_record_csv(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                            mdr_err *err)
{
    static const char HEAD[] = "seq,batch_id,kind,at_utc_ms,device_utc_ms,happened_utc_ms,by,"
                               "entry_id,body,hash\n";
    writing w = {.sink = sink, .ctx = ctx};
    MDR_TRY(sink(ctx, HEAD, sizeof HEAD - 1, err));
    return write_all(app, batch_id, csv_line, &w, err);
}
