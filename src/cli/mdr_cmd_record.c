/* batches, report, record, verify, backup: what was run, and that it is kept. */
#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_cmd_record.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_report.h"
#include "cli/mdr_files.h"
#include "cli/mdr_jout.h"

const mdr_own_opt mdr_record_options[] = {
    {"csv", NULL, "a table for a spreadsheet, not lines of JSON", "", 1, false},
    {"batch", "ID", "only this batch", "", 1, true},
    {NULL, NULL, NULL, NULL, 0, false}};

static int64_t now_utc_ms(void)
{
    return (int64_t)time(NULL) * 1000;
}

static mdr_app_run_ask ask_of(mdr_cli *c, const mdr_who *who)
{
    return (mdr_app_run_ask){
        .id = c->n_args > 0 ? c->args[0] : "", .who = who, .now_utc_ms = now_utc_ms()};
}

/* The command line acts for nobody who signed in. */
static const mdr_who NOBODY = {.person_id = "", .name = ""};

int mdr_cmd_batches(mdr_cli *c)
{
    mdr_app_batch_line *lines = NULL;
    mdr_blob json = {0};
    int n = 0;
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    const mdr_app_run_ask ask = ask_of(c, &NOBODY);
    if (c->json) {
        return mdr_app_hall_json(c->app, &ask, c->arena, &json, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, json)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_batch_lines(c->app, c->arena, &lines, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (n > 0) {
        (void)printf("%-16s %-8s %-22s %5s  %s\n", "batch", "machine", "state", "done", "now");
    }
    for (int i = 0; i < n; i++) {
        (void)printf("%-16s %-8s %-22s %3.0f %%  %s\n", lines[i].batch_id, lines[i].machine_id,
                     lines[i].state, lines[i].done_pct, lines[i].step);
    }
    if (n == 0) {
        (void)puts("no batch is open");
    }
    return MDR_EXIT_DONE;
}

static int report_pdf(mdr_cli *c, const char *path)
{
    char printed_at[40];
    mdr_blob pdf = {0};
    const mdr_app_run_ask ask = ask_of(c, &NOBODY);
    mdr_cli_now(printed_at, sizeof printed_at);
    if (mdr_file_may_write(path, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK ||
        mdr_app_report_pdf(c->app, &ask, printed_at, c->arena, &pdf, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return mdr_cli_put_pdf(c, path, pdf);
}

int mdr_cmd_report(mdr_cli *c)
{
    char name[160];
    mdr_blob json = {0};
    const char *path = c->opts[MDR_OPT_OUT];
    if (path == NULL && strchr(c->args[0], '/') != NULL) {
        return mdr_cli_misuse(c, "`madder batches` lists them", "%s is no number of a batch",
                              c->args[0]);
    }
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (c->json) {
        const mdr_app_run_ask ask = ask_of(c, &NOBODY);
        return mdr_app_report_json(c->app, &ask, c->arena, &json, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, json)
                   : mdr_cli_fail(c);
    }
    if (path == NULL) {
        (void)snprintf(name, sizeof name, "%s-report.pdf", c->args[0]);
        path = name;
    }
    return report_pdf(c, path);
}

/* -- all of it as a file -- */

static mdr_code to_file(void *ctx, const char *bytes, size_t len, mdr_err *err)
{
    if (fwrite(bytes, 1, len, ctx) == len) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_IO, "record", "it cannot be written out");
    mdr_err_remedy(err, "look whether the disk is full, then try again; nothing was changed");
    return rc;
}

static mdr_code write_record(mdr_cli *c, FILE *to)
{
    const char *batch = c->own[MDR_RECORD_BATCH];
    return c->own[MDR_RECORD_CSV] != NULL
               ? mdr_app_record_csv(c->app, batch, to_file, to, &c->err)
               : mdr_app_record_lines(c->app, batch, to_file, to, &c->err);
}

int mdr_cmd_record(mdr_cli *c)
{
    mdr_file_out out;
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (mdr_file_begin(c->n_args > 0 ? c->args[0] : "-", c->opts[MDR_OPT_FORCE] != NULL, &out,
                       &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    mdr_err of_end = {0};
    const mdr_code rc = write_record(c, out.to);
    const mdr_code ended = mdr_file_end(&out, rc == MDR_OK, &of_end);
    if (rc == MDR_OK && ended != MDR_OK) {
        c->err = of_end;
    }
    return rc == MDR_OK && ended == MDR_OK ? MDR_EXIT_DONE : mdr_cli_fail(c);
}

/* -- is it whole -- */

int mdr_cmd_verify(mdr_cli *c)
{
    mdr_chain_report r;
    char head[MDR_SHA256_TEXT];
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (mdr_app_verify(c->app, &r, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const bool whole = r.fault == MDR_CHAIN_WHOLE;
    mdr_hex(r.head.hash, MDR_SHA256_BYTES, head);
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "state", mdr_chain_fault_id(r.fault));
        mdr_jout_text(&j, "words", mdr_chain_fault_words(r.fault));
        mdr_jout_number(&j, "checked", (double)r.checked);
        mdr_jout_number(&j, "seq", (double)r.seq);
        mdr_jout_text(&j, "batch_id", r.batch_id);
        mdr_jout_text(&j, "head", head);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else if (whole) {
        (void)printf("%lld events, %s\nnewest hash %s\n", (long long)r.checked,
                     mdr_chain_fault_words(r.fault), head);
    } else {
        (void)printf("event %lld of batch %s: %s\n%lld events before it are whole, to hash %s\n"
                     "Keep this file as it is; go back to a backup copy to work on.\n",
                     (long long)r.seq, r.batch_id, mdr_chain_fault_words(r.fault),
                     (long long)r.checked, head);
    }
    return whole ? MDR_EXIT_DONE : MDR_EXIT_BAD;
}

int mdr_cmd_backup(mdr_cli *c)
{
    mdr_backup_report r;
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (mdr_app_backup(c->app, c->args[0], &r, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "file", c->args[0]);
        mdr_jout_number(&j, "bytes", (double)r.bytes);
        mdr_jout_number(&j, "events", (double)r.events);
        mdr_jout_text(&j, "head", r.head);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else {
        (void)printf("%s: %lld bytes, %lld events, whole\nnewest hash %s\n", c->args[0],
                     (long long)r.bytes, (long long)r.events, r.head);
    }
    return MDR_EXIT_DONE;
}
