/* import and export: master tables as CSV, routes as JSON. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_files.h"
#include "cli/mdr_jout.h"

enum { IMPORT_MAX_BYTES = 64 << 20 };

static bool is_table(const char *name)
{
    for (int i = 0; mdr_app_table_name(i) != NULL; i++) {
        if (strcmp(mdr_app_table_name(i), name) == 0) {
            return true;
        }
    }
    return false;
}

static int no_table(mdr_cli *c)
{
    const char *best = NULL;
    int least = 3;
    for (int i = 0; mdr_app_table_name(i) != NULL; i++) {
        const int d = mdr_word_distance(c->args[0], mdr_app_table_name(i));
        if (d < least) {
            least = d;
            best = mdr_app_table_name(i);
        }
    }
    if (mdr_word_distance(c->args[0], "route") < least) {
        best = "route";
    }
    char remedy[100];
    (void)snprintf(remedy, sizeof remedy, "%s%s%s`madder help %s` lists the tables",
                   best != NULL ? "did you mean " : "", best != NULL ? best : "",
                   best != NULL ? "? " : "", c->command->name);
    return mdr_cli_misuse(c, remedy, "there is no table %s", c->args[0]);
}

/* "r.json:12:4": a place in a document says of which file. */
static void name_file(const char *file, mdr_err *e)
{
    char place[sizeof e->place];
    memcpy(place, e->place, sizeof place);
    e->place[0] = '\0';
    mdr_err_within(e, "%s%s%s", file, place[0] != '\0' ? ":" : "", place);
}

static int no_route(mdr_cli *c, const char *file)
{
    name_file(file, &c->err);
    for (int i = 0; i < c->found.count; i++) {
        name_file(file, &c->found.items[i]);
    }
    return mdr_cli_fail(c);
}

/* Of the flat answer of a save: what stands behind a member's name. */
static const char *behind(const char *json, const char *name)
{
    const char *at = strstr(json, name);
    return at != NULL ? at + strlen(name) : "";
}

static int import_route(mdr_cli *c, const char *file, mdr_blob doc)
{
    mdr_blob out = {0};
    /* whatever route the document says it is */
    if (mdr_app_route_save(c->app, "", doc, c->arena, &c->found, &out, &c->err) != MDR_OK) {
        return no_route(c, file);
    }
    if (c->json) {
        return mdr_cli_put_json(c, out);
    }
    const char *id = behind(out.bytes, "\"route_id\":\"");
    const long version = strtol(behind(out.bytes, "\"version\":"), NULL, 10);
    const long lots = strtol(behind(out.bytes, "\"lots\":"), NULL, 10);
    (void)printf("%s: saved as version %ld of %.*s; %ld lot%s go%s by it\n", c->args[1], version,
                 (int)strcspn(id, "\""), id, lots, lots == 1 ? "" : "s", lots == 1 ? "es" : "");
    return MDR_EXIT_DONE;
}

int mdr_cmd_import(mdr_cli *c)
{
    const bool route = strcmp(c->args[0], "route") == 0;
    if (!route && !is_table(c->args[0])) {
        return no_table(c);
    }
    mdr_blob text = {0};
    if (mdr_file_read(c->args[1], IMPORT_MAX_BYTES, c->arena, &text, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const int opened = mdr_cli_open(c, true);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    const char *shown = strrchr(c->args[1], '/');
    shown = shown != NULL ? shown + 1 : c->args[1];
    if (route) {
        return import_route(c, shown, text);
    }
    int rows = 0;
    if (mdr_app_import(c->app, c->args[0], shown, text, &c->found, &rows, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "table", c->args[0]);
        mdr_jout_number(&j, "rows", rows);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else {
        (void)printf("%s: %d row%s imported into %s\n", c->args[1], rows, rows == 1 ? "" : "s",
                     c->args[0]);
    }
    return MDR_EXIT_DONE;
}

static int put_document(mdr_cli *c, mdr_blob text, const char *path)
{
    if (path != NULL && !mdr_file_is_stdout(path)) {
        if (mdr_file_write(path, text, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
        if (c->json) {
            mdr_jout j = {.to = stdout};
            mdr_jout_begin(&j, NULL, '{');
            mdr_jout_text(&j, "file", path);
            mdr_jout_number(&j, "bytes", (double)text.len);
            mdr_jout_end(&j, '}');
            (void)fputc('\n', stdout);
        }
        return MDR_EXIT_DONE;
    }
    if (c->json && text.len > 0 && text.bytes[0] != '{') {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "table", c->args[0]);
        mdr_jout_text(&j, "csv", text.bytes);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
        return MDR_EXIT_DONE;
    }
    return mdr_cli_put_json(c, text);
}

int mdr_cmd_export(mdr_cli *c)
{
    const bool route = strcmp(c->args[0], "route") == 0;
    if (!route && !is_table(c->args[0])) {
        return no_table(c);
    }
    if (route && c->n_args < 2) {
        return mdr_cli_misuse(c, "`madder routes` lists them; write: madder export route ID",
                              "which route?");
    }
    if (!route && c->n_args > 2) {
        return mdr_cli_misuse(c, "write: madder export TABLE [FILE]",
                              "`madder export %s` has no use for the argument %s", c->args[0],
                              c->args[2]);
    }
    const char *path = c->args[route ? 2 : 1];
    if (path != NULL &&
        mdr_file_may_write(path, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    mdr_blob text = {0};
    const mdr_code rc = route ? mdr_app_route_json(c->app, c->args[1], c->arena, &text, &c->err)
                              : mdr_app_export(c->app, c->args[0], c->arena, &text, &c->err);
    if (rc != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return put_document(c, text, path);
}
