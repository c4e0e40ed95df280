/* The lot report, as JSON and on paper. */
#define _POSIX_C_SOURCE 200809L
#include "app/mdr_app_report.h"

#include <time.h>

#include "app/mdr_app_run_in.h"
#include "card/mdr_lot_report.h"
#include "wire/mdr_report_write.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lot report");
}

typedef struct gathering {
    mdr_arena *arena;
    mdr_event *events;
    int n, room;
} gathering;

static mdr_code count_one(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    (void)row;
    (void)err;
    ((gathering *)ctx)->room++;
    return MDR_OK;
}

static mdr_code take_one(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    gathering *g = ctx;
    return g->n < g->room ? mdr_app_run_event(row, g->arena, &g->events[g->n++], err) : MDR_OK;
}

static mdr_code make_report(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            const mdr_run_report **out, mdr_err *err)
{
    const mdr_batch *batch = NULL;
    gathering g = {.arena = arena};
    const mdr_event_query of = {.batch_id = ask->id};
    MDR_TRY(mdr_app_run_find(app, ask->id, arena, &batch, err));
    MDR_TRY(mdr_record_events(app->mill, &of, count_one, &g, err));
    g.events = MDR_NEW_N(arena, mdr_event, (size_t)g.room + 1);
    if (g.events == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_record_events(app->mill, &of, take_one, &g, err));
    return mdr_run_report_make(batch, g.events, g.n, arena, out, err);
}

mdr_code mdr_app_report_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_blob *out, mdr_err *err)
{
    const mdr_run_report *report = NULL;
    char head[MDR_SHA256_TEXT], *text = NULL;
    size_t len = 0;
    MDR_TRY(make_report(app, ask, arena, &report, err));
    mdr_hex(app->runs->head, MDR_SHA256_BYTES, head);
    MDR_TRY(mdr_wire_report(report, ask->now_utc_ms, head, arena, &text, &len, err));
    *out = (mdr_blob){text, len};
    return MDR_OK;
}

/* The zone of this computer: the one that its mill works by. */
static void local_words(int64_t utc_ms, char *out, size_t out_size)
{
    const time_t at = (time_t)(utc_ms / 1000);
    struct tm parts;
    if (localtime_r(&at, &parts) == NULL ||
        strftime(out, out_size, "%Y-%m-%d %H:%M", &parts) == 0) {
        out[0] = '\0';
    }
}

mdr_code mdr_app_report_pdf(mdr_app *app, const mdr_app_run_ask *ask, const char *printed_at,
                            mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_run_report *report = NULL;
    char head[MDR_SHA256_TEXT];
    unsigned char *pdf = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(make_report(app, ask, arena, &report, err));
    mdr_hex(app->runs->head, MDR_SHA256_BYTES, head);
    const mdr_site *site = app->masters.site;
    const mdr_lot_report_print what = {.report = report,
                                       .place = site != NULL ? site->name : "",
                                       .currency = site != NULL ? site->currency : "",
                                       .head_hex = head,
                                       .time_words = local_words,
                                       .invented = site != NULL && site->invented};
    const mdr_card_print print = {
        .printed_at = printed_at, .printed_by = ask->who->name, .version = MDR_VERSION};
    MDR_TRY(mdr_card_lot_report(&what, &print, arena, &pdf, &len, err));
    *out = (mdr_blob){(const char *)pdf, len};
    return MDR_OK;
}

mdr_code mdr_app_backup(mdr_app *app, const char *path, mdr_backup_report *out, mdr_err *err)
{
    return mdr_mill_backup(app->mill, path, out, err);
}
