#define _POSIX_C_SOURCE 200809L
#include "mill/mdr_backup.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mill/mdr_mill_in.h"

enum {
    PATH_LIMIT = 4096,
    TABLES_MOST = 64,
    PIECE = 256 /* rows copied under one lock: some milliseconds; invented */
};

static mdr_code damaged(const mdr_mill *mill, const char *what, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_PARSE, mill->path, "the mill file is damaged: %s", what);
    mdr_err_remedy(err, "go back to a backup copy; keep this file for whoever looks into it");
    return MDR_E_PARSE;
}

/* The first line that a PRAGMA gives, "" for none. */
static mdr_code first_line(mdr_mill *mill, const char *sql, char *out, size_t size, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = false;
    out[0] = '\0';
    MDR_TRY(mdr_mill_sql_prepare(mill, sql, &stmt, err));
    const mdr_code rc = mdr_mill_sql_step(mill, stmt, &row, err);
    if (rc == MDR_OK && row) {
        const char *text = (const char *)sqlite3_column_text(stmt, 0);
        (void)snprintf(out, size, "%s", text != NULL ? text : "");
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_inspect(mdr_mill *mill, mdr_chain_report *out, mdr_err *err)
{
    char line[160];
    mdr_chain_report report;
    MDR_TRY(first_line(mill, "PRAGMA integrity_check(1)", line, sizeof line, err));
    if (strcmp(line, "ok") != 0) {
        return damaged(mill, line, err);
    }
    MDR_TRY(first_line(mill, "PRAGMA foreign_key_check", line, sizeof line, err));
    if (line[0] != '\0') {
        return damaged(mill, "a record refers to one that is not there", err);
    }
    MDR_TRY(mdr_record_verify(mill, NULL, 0, &report, err));
    if (report.fault != MDR_CHAIN_WHOLE) {
        (void)damaged(mill, mdr_chain_fault_words(report.fault), err);
        mdr_err_value(err, "event %lld", (long long)report.seq);
        return MDR_E_PARSE;
    }
    *out = report;
    return MDR_OK;
}

static mdr_code cannot(const char *path, const char *what, int why, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_IO, path, "the backup cannot be %s: %s", what, strerror(why));
    mdr_err_remedy(err, "look at the disk and the folder, then try again");
    return MDR_E_IO;
}

/* -- copying -- */

/* What only grows is copied a piece at a time, so that whoever writes waits for one piece at most; what
 * came meanwhile follows with the rest. */
static const char *const GROWING[] = {"event", "batch", "stock_move"};

typedef struct table {
    char name[64];
    bool grows;
    int64_t rowid; /* up to here it is copied */
} table;

typedef struct copying {
    mdr_mill *from, *to;
    table tables[TABLES_MOST];
    int n;
} copying;

static bool grows(const char *name)
{
    for (size_t i = 0; i < sizeof GROWING / sizeof GROWING[0]; i++) {
        if (strcmp(name, GROWING[i]) == 0) {
            return true;
        }
    }
    return false;
}

static mdr_code list_tables(copying *c, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = false;
    MDR_TRY(mdr_mill_sql_prepare(c->from,
                                 "SELECT name FROM sqlite_schema WHERE type='table' AND name NOT "
                                 "LIKE 'sqlite%' ORDER BY rowid",
                                 &stmt, err));
    mdr_code rc = MDR_OK;
    while ((rc = mdr_mill_sql_step(c->from, stmt, &row, err)) == MDR_OK && row) {
        if (c->n == TABLES_MOST) {
            rc = MDR_FAIL(err, MDR_E_RANGE, c->from->path, "the mill file has too many tables");
            break;
        }
        table *t = &c->tables[c->n++];
        (void)snprintf(t->name, sizeof t->name, "%s", (const char *)sqlite3_column_text(stmt, 0));
        t->grows = grows(t->name);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* "INSERT INTO t(columns) VALUES(?,...)": all columns of the SELECT but the first, the rowid. */
static mdr_code prepare_insert(const copying *c, const table *t, sqlite3_stmt *select,
                               sqlite3_stmt **out, mdr_err *err)
{
    const int n = sqlite3_column_count(select);
    sqlite3_str *s = sqlite3_str_new(c->to->db);
    sqlite3_str_appendf(s, "INSERT INTO \"%w\"(", t->name);
    for (int i = 1; i < n; i++) {
        sqlite3_str_appendf(s, "%s\"%w\"", i > 1 ? "," : "", sqlite3_column_name(select, i));
    }
    sqlite3_str_appendall(s, ") VALUES(");
    for (int i = 1; i < n; i++) {
        sqlite3_str_appendf(s, "%s?%d", i > 1 ? "," : "", i);
    }
    sqlite3_str_appendall(s, ")");
    char *sql = sqlite3_str_finish(s);
    const mdr_code rc = mdr_mill_sql_prepare(c->to, sql, out, err);
    sqlite3_free(sql);
    return rc;
}

static mdr_code copy_row(const copying *c, sqlite3_stmt *select, sqlite3_stmt *insert, mdr_err *err)
{
    const int n = sqlite3_column_count(select);
    for (int i = 1; i < n; i++) {
        const int bound = sqlite3_bind_value(insert, i, sqlite3_column_value(select, i));
        if (bound != SQLITE_OK) {
            return mdr_mill_sql_fail(c->to, bound, err);
        }
    }
    bool row = false;
    const mdr_code rc = mdr_mill_sql_step(c->to, insert, &row, err);
    (void)sqlite3_reset(insert);
    return rc == MDR_E_CONFLICT ? damaged(c->from, sqlite3_errmsg(c->to->db), err) : rc;
}

/* At most so many rows (below 0: all there are); *copied tells how many there were. */
static mdr_code copy_rows(copying *c, table *t, int most, int64_t *copied, mdr_err *err)
{
    sqlite3_stmt *select = NULL, *insert = NULL;
    bool row = false;
    char *sql =
        sqlite3_mprintf("SELECT rowid,* FROM \"%w\" WHERE rowid>%lld ORDER BY rowid LIMIT %d",
                        t->name, (long long)t->rowid, most);
    mdr_code rc = mdr_mill_sql_prepare(c->from, sql, &select, err);
    sqlite3_free(sql);
    rc = rc == MDR_OK ? prepare_insert(c, t, select, &insert, err) : rc;
    *copied = 0;
    while (rc == MDR_OK && (rc = mdr_mill_sql_step(c->from, select, &row, err)) == MDR_OK && row) {
        rc = copy_row(c, select, insert, err);
        t->rowid = sqlite3_column_int64(select, 0);
        ++*copied;
    }
    (void)sqlite3_finalize(insert);
    (void)sqlite3_finalize(select);
    return rc;
}

static mdr_code copy_growing(copying *c, mdr_err *err)
{
    for (int i = 0; i < c->n; i++) {
        int64_t copied = c->tables[i].grows ? PIECE : 0;
        while (copied == PIECE) {
            MDR_TRY(copy_rows(c, &c->tables[i], PIECE, &copied, err));
        }
    }
    return MDR_OK;
}

/* Everything else, and what grew meanwhile, as it stands in one moment. */
static mdr_code copy_rest(copying *c, mdr_err *err)
{
    int64_t copied = 0;
    MDR_TRY(mdr_mill_snapshot_begin(c->from, err));
    mdr_code rc = MDR_OK;
    for (int i = 0; i < c->n && rc == MDR_OK; i++) {
        rc = copy_rows(c, &c->tables[i], -1, &copied, err);
    }
    mdr_mill_snapshot_end(c->from);
    return rc;
}

/* The copy is nobody's yet, and is brought to the disk as a whole: it needs no journal of its own. */
static mdr_code copy_tables(copying *c, mdr_err *err)
{
    MDR_TRY(mdr_mill_sql_exec(
        c->to, "PRAGMA journal_mode=MEMORY;PRAGMA synchronous=OFF;PRAGMA foreign_keys=OFF", err));
    MDR_TRY(list_tables(c, err));
    MDR_TRY(mdr_mill_begin(c->to, err));
    mdr_code rc = copy_growing(c, err);
    rc = rc == MDR_OK ? copy_rest(c, err) : rc;
    if (rc != MDR_OK) {
        mdr_mill_rollback(c->to);
        return rc;
    }
    return mdr_mill_commit(c->to, err);
}

static mdr_code copy_into(mdr_mill *mill, const char *beside, mdr_err *err)
{
    copying c = {.from = mill};
    MDR_TRY(mdr_mill_create(beside, err));
    MDR_TRY(mdr_mill_open(beside, true, &c.to, err));
    const mdr_code rc = copy_tables(&c, err);
    mdr_mill_close(c.to);
    return rc;
}

/* -- the copy is looked through, and gets its name -- */

/* The copy opened as anybody would, and looked through. */
static mdr_code check_copy(const char *beside, mdr_backup_report *out, mdr_err *err)
{
    mdr_mill *copy = NULL;
    mdr_chain_report chain;
    struct stat st;
    MDR_TRY(mdr_mill_open(beside, false, &copy, err));
    const mdr_code rc = mdr_mill_inspect(copy, &chain, err);
    mdr_mill_close(copy);
    if (rc != MDR_OK) {
        return rc;
    }
    if (stat(beside, &st) != 0) {
        return cannot(beside, "seen", errno, err);
    }
    out->bytes = (int64_t)st.st_size;
    out->events = chain.head.seq;
    mdr_hex(chain.head.hash, MDR_SHA256_BYTES, out->head);
    return MDR_OK;
}

/* On the disk, and under its name only when it is there; the folder is brought to the disk too. */
static mdr_code bring_to_disk(const char *beside, const char *path, mdr_err *err)
{
    char folder[PATH_LIMIT];
    (void)snprintf(folder, sizeof folder, "%s", path);
    char *slash = strrchr(folder, '/');
    if (slash == NULL) {
        (void)snprintf(folder, sizeof folder, ".");
    } else {
        slash[slash == folder ? 1 : 0] = '\0';
    }
    int fd = open(beside, O_RDONLY | O_CLOEXEC);
    if (fd < 0 || fsync(fd) != 0) {
        const int why = errno;
        if (fd >= 0) {
            (void)close(fd);
        }
        return cannot(path, "brought to the disk", why, err);
    }
    (void)close(fd);
    if (link(beside, path) != 0) { /* unlike rename it never replaces a file */
        return cannot(path, "given its name", errno, err);
    }
    (void)unlink(beside);
    fd = open(folder, O_RDONLY | O_CLOEXEC);
    if (fd >= 0) {
        (void)fsync(fd);
        (void)close(fd);
    }
    return MDR_OK;
}

mdr_code mdr_mill_backup(mdr_mill *mill, const char *path, mdr_backup_report *out, mdr_err *err)
{
    char beside[PATH_LIMIT];
    struct stat st;
    mdr_backup_report report = {0};
    if (stat(path, &st) == 0) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, path, "a file of this name exists already");
        mdr_err_remedy(err, "choose another name; a backup never overwrites anything");
        return MDR_E_CONFLICT;
    }
    const int n = snprintf(beside, sizeof beside, "%s.%ld.part", path, (long)getpid());
    if (n < 0 || (size_t)n >= sizeof beside) {
        return cannot(path, "named", ENAMETOOLONG, err);
    }
    (void)unlink(beside);
    mdr_code rc = copy_into(mill, beside, err);
    rc = rc == MDR_OK ? check_copy(beside, &report, err) : rc;
    rc = rc == MDR_OK ? bring_to_disk(beside, path, err) : rc;
    if (rc != MDR_OK) {
        (void)unlink(beside);
        return rc;
    }
    *out = report;
    return MDR_OK;
}
