/* A new mill: empty, or the invented demo mill. Made beside and moved into place when whole. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_new.h"
#include "base/mdr_embedded.h"
#include "wire/mdr_wire.h"

extern const mdr_embedded mdr_embed_demo[];

enum { PATH_ROOM = 4096, DEMO_BYTES = 64 << 20, ROUTES_MOST = 64 };

static const char ROUTE_FOLDER[] = "routes/";

static const mdr_embedded *demo_file(const char *name)
{
    for (const mdr_embedded *e = mdr_embed_demo; e->name != NULL; e++) {
        if (strcmp(e->name, name) == 0) {
            return e;
        }
    }
    return NULL;
}

static mdr_code demo_table(mdr_app *app, const mdr_table *table, mdr_err *err)
{
    char name[64];
    int rows = 0;
    (void)snprintf(name, sizeof name, "%s.csv", table->name);
    const mdr_embedded *file = demo_file(name);
    if (file == NULL) {
        return MDR_FAIL(err, MDR_E_NOTFOUND, name, "the demo mill lacks a table");
    }
    return mdr_mill_import(app->mill, table, name, (const char *)file->bytes, file->len, NULL,
                           &rows, err);
}

static mdr_code read_routes(mdr_arena *arena, const mdr_route **routes, int *n, mdr_err *err)
{
    for (const mdr_embedded *e = mdr_embed_demo; e->name != NULL; e++) {
        if (strncmp(e->name, ROUTE_FOLDER, sizeof ROUTE_FOLDER - 1) != 0 || *n == ROUTES_MOST) {
            continue;
        }
        const mdr_code rc =
            mdr_wire_route_read((const char *)e->bytes, e->len, arena, NULL, &routes[*n], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "%s", e->name);
            return rc;
        }
        (*n)++;
    }
    return MDR_OK;
}

/* All are read before any is stored: they take stages from each other. */
static mdr_code demo_routes(mdr_app *app, mdr_arena *arena, mdr_err *err)
{
    const mdr_route *routes[ROUTES_MOST];
    int n = 0;
    MDR_TRY(read_routes(arena, routes, &n, err));
    mdr_app_shelf shelf = {.app = app, .fresh = routes, .n_fresh = n};
    for (int i = 0; i < n; i++) {
        const mdr_code rc = mdr_app_route_verify(&shelf, routes[i], arena, NULL, NULL, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "route %s", routes[i]->route_id);
            return rc;
        }
        MDR_TRY(mdr_app_route_store(app, routes[i], 1, arena, err));
    }
    return MDR_OK;
}

/* Readings are not kept twice: they come out of the files of spectra. */
static mdr_code demo_tables(mdr_app *app, int from, int to, mdr_arena *arena, mdr_err *err)
{
    for (int i = from; i < to; i++) {
        MDR_TRY(strcmp(mdr_tables[i].name, "lab_reading") == 0
                    ? mdr_app_demo_readings(app, arena, err)
                    : demo_table(app, &mdr_tables[i], err));
    }
    return MDR_OK;
}

/* Lots refer to routes, and routes to the tables before them. */
static mdr_code demo_rows(mdr_app *app, mdr_arena *arena, mdr_err *err)
{
    const int lot = (int)(mdr_table_find("lot") - mdr_tables);
    MDR_TRY(demo_tables(app, 0, lot, arena, err));
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(demo_routes(app, arena, err));
    return demo_tables(app, lot, mdr_tables_count, arena, err);
}

static mdr_code fill_demo(const char *path, mdr_err *err)
{
    mdr_app *app = NULL;
    MDR_TRY(mdr_app_open(path, true, &app, err));
    mdr_arena *arena = mdr_arena_new(DEMO_BYTES);
    mdr_code rc = arena == NULL ? MDR_FAIL(err, MDR_E_NOMEM, path, "no memory for the demo mill")
                                : mdr_mill_begin(app->mill, err);
    if (rc == MDR_OK) {
        rc = demo_rows(app, arena, err);
        rc = rc == MDR_OK ? mdr_mill_commit(app->mill, err) : rc;
        if (rc != MDR_OK) {
            mdr_mill_rollback(app->mill);
        }
    }
    mdr_arena_free(arena);
    mdr_app_close(app);
    return rc;
}

static mdr_code in_the_way(const char *path, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, path, "a file of this name exists already");
    mdr_err_remedy(err, "choose another name, or move the old file away");
    return rc;
}

/* Gives the finished file its name; an existing file is never replaced. */
static mdr_code move_into_place(const char *part, const char *path, mdr_err *err)
{
    const int fd = open(part, O_RDONLY);
    const bool kept = fd >= 0 && fsync(fd) == 0;
    if (fd >= 0) {
        (void)close(fd);
    }
    if (kept && link(part, path) == 0) {
        return MDR_OK;
    }
    if (errno == EEXIST) {
        return in_the_way(path, err);
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_IO, path, "the mill could not be written: %s", strerror(errno));
    mdr_err_remedy(err, "check free space and rights of the folder");
    return rc;
}

static void remove_part(const char *part)
{
    char journal[PATH_ROOM + 16];
    (void)snprintf(journal, sizeof journal, "%s-journal", part);
    (void)unlink(journal);
    (void)unlink(part);
}

mdr_code mdr_app_new(const char *path, bool demo, mdr_err *err)
{
    char part[PATH_ROOM];
    const int n = snprintf(part, sizeof part, "%s.part-%ld", path, (long)getpid());
    if (n < 0 || (size_t)n >= sizeof part) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, path, "the name of the file is too long");
        mdr_err_allowed(err, "up to %d bytes", PATH_ROOM - 32);
        return rc;
    }
    if (access(path, F_OK) == 0) {
        return in_the_way(path, err);
    }
    mdr_code rc = mdr_mill_create(part, err);
    rc = rc == MDR_OK && demo ? fill_demo(part, err) : rc;
    rc = rc == MDR_OK ? move_into_place(part, path, err) : rc;
    remove_part(part);
    return rc;
}
