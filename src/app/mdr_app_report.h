/*
 * mdr_app_report.h - what comes out of the record: lot reports, all events as files, copies, checks.
 * Layer: app. Nothing here changes the mill.
 */
#ifndef MDR_APP_REPORT_H
#define MDR_APP_REPORT_H

#include "app/mdr_app_run.h"
#include "mill/mdr_backup.h"

/* What was done beside what was planned. errors: MDR_E_NOTFOUND no such batch */
mdr_code mdr_app_report_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_report_pdf(mdr_app *app, const mdr_app_run_ask *ask, const char *printed_at,
                            mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* Takes the next piece of a file; not MDR_OK: ends it. */
typedef mdr_code mdr_app_sink(void *ctx, const char *bytes, size_t len, mdr_err *err);
/* All events, or those of one batch (NULL: all), one a line: JSON, or CSV with a head line; cells that
 * a spreadsheet would take for a formula begin with an apostrophe. */
mdr_code mdr_app_record_lines(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                              mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_record_csv(mdr_app *app, const char *batch_id, mdr_app_sink *sink, void *ctx,
                            mdr_err *err) MDR_MUST_CHECK;

mdr_code mdr_app_backup(mdr_app *app, const char *path, mdr_backup_report *out,
                        mdr_err *err) MDR_MUST_CHECK;

#endif
