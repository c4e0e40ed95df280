/* realpath is not needed: a relative path gets "./" before it, so that SQLite takes ":memory:"
 * and "file:..." for what they are here, names of files. */
#define _POSIX_C_SOURCE 200809L

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mdr_embedded.h"
#include "mill/mdr_mill_in.h"

extern const mdr_embedded mdr_embed_schema[];

enum { PATH_LIMIT = 4096, MILL_ARENA_BYTES = 16 * 1024 };

/* -- paths ------------------------------------------------------------------------------------ */

static mdr_code refuse_folder(const char *path, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_PARSE, path, "this is a folder, not a mill file");
    mdr_err_remedy(err, "name the file in it");
    return MDR_E_PARSE;
}

static mdr_code check_path(const char *path, mdr_err *err)
{
    if (path == NULL || path[0] == '\0' || strlen(path) >= PATH_LIMIT - 16) {
        (void)MDR_FAIL(err, MDR_E_ARG, "", "a mill file must be named");
        mdr_err_remedy(err, "give a path of at most %d bytes", PATH_LIMIT - 16);
        return MDR_E_ARG;
    }
    return MDR_OK;
}

static mdr_code check_exists(const char *path, mdr_err *err)
{
    struct stat st;
    MDR_TRY(check_path(path, err));
    if (stat(path, &st) != 0) {
        const int why = errno;
        if (why == ENOENT || why == ENOTDIR) {
            (void)MDR_FAIL(err, MDR_E_NOTFOUND, path, "there is no such mill file");
            mdr_err_remedy(err, "check the path, or make a new mill with madder new");
            return MDR_E_NOTFOUND;
        }
        return MDR_FAIL(err, MDR_E_IO, path, "the mill file cannot be reached: %s", strerror(why));
    }
    if (S_ISDIR(st.st_mode)) {
        return refuse_folder(path, err);
    }
    if (!S_ISREG(st.st_mode)) {
        return MDR_FAIL(err, MDR_E_PARSE, path, "this is a device or a pipe, not a mill file");
    }
    if (faccessat(AT_FDCWD, path, R_OK, AT_EACCESS) != 0) {
        (void)MDR_FAIL(err, MDR_E_IO, path, "the mill file may not be read");
        mdr_err_remedy(err, "ask its owner for permission to read it");
        return MDR_E_IO;
    }
    return MDR_OK;
}

/* A journal is written beside the file: both must be writable. */
static mdr_code check_writable(const char *path, mdr_err *err)
{
    char folder[PATH_LIMIT];
    (void)snprintf(folder, sizeof folder, "%s", path);
    char *slash = strrchr(folder, '/');
    if (slash == NULL) {
        (void)snprintf(folder, sizeof folder, ".");
    } else {
        slash[slash == folder ? 1 : 0] = '\0';
    }
    const bool file = faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) == 0;
    if (file && faccessat(AT_FDCWD, folder, W_OK, AT_EACCESS) == 0) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_IO, path, "the %s is read-only",
                   file ? "folder of the mill file" : "mill file");
    mdr_err_remedy(err, "give write permission to the file and to its folder (a journal is written "
                        "beside the file)");
    return MDR_E_IO;
}

/* -- opening ---------------------------------------------------------------------------------- */

static mdr_code connect(mdr_mill *mill, const char *path, bool for_writing, mdr_err *err)
{
    char local[PATH_LIMIT];
    (void)snprintf(local, sizeof local, "%s%s", path[0] == '/' ? "" : "./", path);
    const int flags = (for_writing ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY) |
                      SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
    const int rc = sqlite3_open_v2(local, &mill->db, flags, NULL);
    if (mill->db == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    if (rc != SQLITE_OK) {
        return mdr_mill_sql_fail(mill, rc, err);
    }
    (void)sqlite3_busy_timeout(mill->db, 5000);
    (void)sqlite3_db_config(mill->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    MDR_TRY(mdr_mill_sql_exec(mill,
                              "PRAGMA trusted_schema=OFF;"
                              "PRAGMA cell_size_check=ON;"
                              "PRAGMA foreign_keys=ON;"
                              "PRAGMA recursive_triggers=ON;" /* a REPLACE deletes too */
                              "PRAGMA synchronous=FULL;",
                              err));
    return mdr_mill_sql_prepare(mill, "ROLLBACK", &mill->undo, err);
}

static mdr_code new_mill(const char *path, bool for_writing, mdr_mill **out, mdr_err *err)
{
    mdr_arena *arena = mdr_arena_new(MILL_ARENA_BYTES);
    mdr_mill *mill = arena == NULL ? NULL : MDR_NEW(arena, mdr_mill);
    const char *copy = mill == NULL ? NULL : mdr_arena_text(arena, path);
    if (copy == NULL) {
        mdr_arena_free(arena);
        (void)MDR_FAIL(err, MDR_E_NOMEM, path, "memory limit reached");
        return MDR_E_NOMEM;
    }
    mill->arena = arena;
    mill->path = copy;
    const mdr_code rc = connect(mill, path, for_writing, err);
    if (rc != MDR_OK) {
        mdr_mill_close(mill);
        return rc;
    }
    *out = mill;
    return MDR_OK;
}

void mdr_mill_close(mdr_mill *mill)
{
    if (mill == NULL) {
        return;
    }
    (void)sqlite3_finalize(mill->undo);
    (void)sqlite3_close_v2(mill->db);
    mdr_arena_free(mill->arena);
}

const char *mdr_mill_path(const mdr_mill *mill)
{
    return mill->path;
}

/* One file at rest, see docs/decisions/0001-one-file-without-wal.md. */
static mdr_code set_journal(mdr_mill *mill, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    MDR_TRY(mdr_mill_sql_prepare(mill, "PRAGMA journal_mode=DELETE", &stmt, err));
    mdr_code rc = mdr_mill_sql_step(mill, stmt, &row, err);
    const char *mode = rc == MDR_OK && row ? (const char *)sqlite3_column_text(stmt, 0) : "";
    if (rc == MDR_OK && (mode == NULL || strcmp(mode, "delete") != 0)) {
        rc = MDR_FAIL(err, MDR_E_IO, mill->path, "the mill file is in use in another journal mode");
        mdr_err_remedy(err, "close the program that holds it, then try again");
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code check_identity(mdr_mill *mill, int64_t *version, mdr_err *err)
{
    int64_t id = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "PRAGMA application_id", NULL, &id, err));
    MDR_TRY(mdr_mill_sql_number(mill, "PRAGMA user_version", NULL, version, err));
    if (id != MDR_MILL_APPLICATION_ID || *version < 1) {
        (void)MDR_FAIL(err, MDR_E_PARSE, mill->path, "this is a database, but not a mill file");
        mdr_err_remedy(err, "name a file that madder new made");
        return MDR_E_PARSE;
    }
    if (*version > MDR_MILL_SCHEMA) {
        (void)MDR_FAIL(err, MDR_E_VERSION, mill->path,
                       "the mill file was made by a newer version of this program");
        mdr_err_value(err, "schema %lld", (long long)*version);
        mdr_err_allowed(err, "schema 1 to %d", (int)MDR_MILL_SCHEMA);
        mdr_err_remedy(err, "update this program; the file was not touched");
        return MDR_E_VERSION;
    }
    return MDR_OK;
}

/* -- schema ----------------------------------------------------------------------------------- */

mdr_code mdr_mill_migrate(mdr_mill *mill, int from, mdr_err *err)
{
    char sql[64];
    for (int v = from + 1; v <= MDR_MILL_SCHEMA; v++) {
        const mdr_embedded *file = mdr_embed_schema;
        while (file->name != NULL && strtol(file->name, NULL, 10) != v) {
            file++;
        }
        if (file->name == NULL) {
            return MDR_FAIL(err, MDR_E_VERSION, mill->path, "no migration to schema %d", v);
        }
        MDR_TRY(mdr_mill_sql_exec(mill, (const char *)file->bytes, err));
    }
    (void)snprintf(sql, sizeof sql, "PRAGMA user_version=%d", (int)MDR_MILL_SCHEMA);
    return mdr_mill_sql_exec(mill, sql, err);
}

static mdr_code migrate_if_older(mdr_mill *mill, bool for_writing, mdr_err *err)
{
    int64_t version;
    MDR_TRY(check_identity(mill, &version, err));
    if (version == MDR_MILL_SCHEMA) {
        return MDR_OK;
    }
    if (!for_writing) {
        (void)MDR_FAIL(err, MDR_E_IO, mill->path, "the mill file has an older schema");
        mdr_err_remedy(err, "bring it up to date: start madder serve on it, or import a table; "
                            "nothing in it is lost");
        return MDR_E_IO;
    }
    MDR_TRY(mdr_mill_begin(mill, err));
    /* Another process may have done it in between. */
    mdr_code rc = check_identity(mill, &version, err);
    if (rc == MDR_OK) {
        rc = mdr_mill_migrate(mill, (int)version, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

mdr_code mdr_mill_open(const char *path, bool for_writing, mdr_mill **out, mdr_err *err)
{
    mdr_mill *mill = NULL;
    MDR_TRY(check_exists(path, err));
    if (for_writing) {
        MDR_TRY(check_writable(path, err));
    }
    MDR_TRY(new_mill(path, for_writing, &mill, err));
    mdr_code rc = migrate_if_older(mill, for_writing, err);
    if (rc == MDR_OK && for_writing) {
        rc = set_journal(mill, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_close(mill);
        return rc;
    }
    *out = mill;
    return MDR_OK;
}

/* -- creating --------------------------------------------------------------------------------- */

static mdr_code create_file(const char *path, mdr_err *err)
{
    struct stat st;
    /* its owner's alone: it holds what passwords are checked by. A journal gets the same. */
    const int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd >= 0) {
        (void)close(fd);
        return MDR_OK;
    }
    const int why = errno;
    if (why == EEXIST && stat(path, &st) == 0 && S_ISDIR(st.st_mode)) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, path, "a folder of this name exists already");
        mdr_err_remedy(err, "name a file in it");
        return MDR_E_CONFLICT;
    }
    if (why == EEXIST) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, path, "the file exists already");
        mdr_err_remedy(err, "choose another name; an existing mill is never overwritten");
        return MDR_E_CONFLICT;
    }
    (void)MDR_FAIL(err, MDR_E_IO, path, "the mill file cannot be made: %s", strerror(why));
    mdr_err_remedy(err, why == ENOENT ? "make its folder first"
                                      : "choose a folder that you may "
                                        "write to");
    return MDR_E_IO;
}

static mdr_code fill_new(mdr_mill *mill, mdr_err *err)
{
    char sql[64];
    MDR_TRY(set_journal(mill, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    (void)snprintf(sql, sizeof sql, "PRAGMA application_id=%d", (int)MDR_MILL_APPLICATION_ID);
    mdr_code rc = mdr_mill_sql_exec(mill, sql, err);
    if (rc == MDR_OK) {
        rc = mdr_mill_migrate(mill, 0, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

mdr_code mdr_mill_create(const char *path, mdr_err *err)
{
    mdr_mill *mill = NULL;
    MDR_TRY(check_path(path, err));
    MDR_TRY(create_file(path, err));
    mdr_code rc = new_mill(path, true, &mill, err);
    if (rc == MDR_OK) {
        rc = fill_new(mill, err);
        mdr_mill_close(mill);
    }
    if (rc != MDR_OK) {
        (void)unlink(path);
    }
    return rc;
}

/* -- state ------------------------------------------------------------------------------------ */

mdr_code mdr_mill_state(mdr_mill *mill, int64_t *out, mdr_err *err)
{
    int64_t others = 0; /* changed by commits of other connections only */
    MDR_TRY(mdr_mill_sql_number(mill, "PRAGMA data_version", NULL, &others, err));
    const uint64_t own = (uint64_t)sqlite3_total_changes64(mill->db) - mill->aside;
    *out = (int64_t)((((uint64_t)others << 32) | (own & 0xFFFFFFFFu)) & INT64_MAX);
    return MDR_OK;
}
