#define _POSIX_C_SOURCE 200809L
#include "mill/mdr_backup.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mill/mdr_mill_in.h"

enum { PATH_LIMIT = 4096 };

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

static mdr_code copy_into(mdr_mill *mill, const char *beside, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row;
    MDR_TRY(mdr_mill_sql_prepare(mill, "VACUUM INTO ?1", &stmt, err));
    const int bound = mdr_mill_sql_bind_text(stmt, 1, beside, strlen(beside));
    const mdr_code rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                           : mdr_mill_sql_fail(mill, bound, err);
    (void)sqlite3_finalize(stmt);
    return rc;
}

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
        (void)MDR_FAIL(err, MDR_E_CONFLICT, path, "a file of this name is there already");
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
