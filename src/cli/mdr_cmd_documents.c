/* card and slips: PDF documents of a planned lot. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_files.h"
#include "cli/mdr_jout.h"

void mdr_cli_now(char *out, size_t size)
{
    const time_t now = time(NULL);
    struct tm parts;
    if (localtime_r(&now, &parts) == NULL || strftime(out, size, "%Y-%m-%d %H:%M", &parts) == 0) {
        (void)snprintf(out, size, "time unknown");
    }
}

enum { CARD = -1, SETTINGS = -2 }; /* else the number of a bath whose slips are wanted, 0 for all */

static mdr_code make(mdr_cli *c, int what, mdr_blob *pdf)
{
    char printed_at[40];
    mdr_cli_now(printed_at, sizeof printed_at);
    if (what == CARD) {
        return mdr_app_card(c->app, c->args[0], printed_at, c->arena, pdf, &c->err);
    }
    if (what == SETTINGS) {
        return mdr_app_settings(c->app, c->args[0], (mdr_blob){0}, printed_at, c->arena, pdf,
                                &c->err);
    }
    return mdr_app_slips(c->app, c->args[0], what, printed_at, c->arena, pdf, &c->err);
}

static int document(mdr_cli *c, const char *suffix, int what)
{
    char name[160];
    const char *path = c->opts[MDR_OPT_OUT];
    const bool force = c->opts[MDR_OPT_FORCE] != NULL;
    if (path == NULL) {
        /* a lot's number is a plain name, so that this stays in the current directory */
        if (strchr(c->args[0], '/') != NULL) {
            return mdr_cli_misuse(c, "`madder lots` lists them", "%s is no lot number", c->args[0]);
        }
        (void)snprintf(name, sizeof name, "%s-%s.pdf", c->args[0], suffix);
        path = name;
    }
    const bool to_stdout = mdr_file_is_stdout(path);
    if (to_stdout && c->json) {
        return mdr_cli_misuse(c, "leave out --json, or name a file",
                              "a PDF and JSON cannot share the standard output");
    }
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    mdr_blob pdf = {0};
    if (mdr_file_may_write(path, force, &c->err) != MDR_OK || make(c, what, &pdf) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return mdr_cli_put_pdf(c, path, pdf);
}

int mdr_cli_put_pdf(mdr_cli *c, const char *path, mdr_blob pdf)
{
    if (mdr_file_write(path, pdf, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "file", path);
        mdr_jout_number(&j, "bytes", (double)pdf.len);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else if (!mdr_file_is_stdout(path)) {
        (void)printf("%s: written, %zu kB\n", path, (pdf.len + 1023) / 1024);
    }
    return MDR_EXIT_DONE;
}

int mdr_cmd_card(mdr_cli *c)
{
    return document(c, "card", CARD);
}

int mdr_cmd_settings(mdr_cli *c)
{
    return document(c, "settings", SETTINGS);
}

int mdr_cmd_slips(mdr_cli *c)
{
    long bath = 0;
    if (c->opts[MDR_OPT_BATH] != NULL && !mdr_cli_whole(c, MDR_OPT_BATH, 1, 999, &bath)) {
        return MDR_EXIT_USAGE;
    }
    return document(c, "slips", (int)bath);
}
