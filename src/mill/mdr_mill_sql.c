#include <string.h>

#include "mill/mdr_mill_in.h"

typedef struct meaning {
    int sqlite_rc; /* extended, or primary for all that share it */
    mdr_code code;
    const char *msg, *remedy;
    bool with_detail; /* SQLite's own words follow: they name the table or the system's error */
} meaning;

static const meaning MEANINGS[] = {
    {SQLITE_IOERR_NOMEM, MDR_E_NOMEM, "too little memory", "close other programs, then try again",
     false},
    {SQLITE_READONLY_ROLLBACK, MDR_E_IO, "the mill file holds an unfinished change",
     "open it once for writing (madder check does), so that the change is undone", false},
    {SQLITE_READONLY_DIRECTORY, MDR_E_IO, "the folder of the mill file is read-only",
     "give write permission to the folder too: the journal is written beside the file", false},
    {SQLITE_BUSY, MDR_E_IO, "another program is changing the mill file",
     "wait until it has finished, or close it, then try again", false},
    {SQLITE_LOCKED, MDR_E_IO, "the mill file is being read in the middle of a change", "try again",
     false},
    {SQLITE_FULL, MDR_E_IO, "the disk is full; nothing was changed",
     "free some space on the disk of the mill file, then try again", false},
    {SQLITE_READONLY, MDR_E_IO, "the mill file is read-only",
     "give write permission to the file and to its folder", false},
    {SQLITE_PERM, MDR_E_IO, "the mill file may not be opened", "ask for permission to read it",
     false},
    {SQLITE_CANTOPEN, MDR_E_IO, "the mill file, or the journal beside it, cannot be opened",
     "check the permissions of the file and of its folder", false},
    {SQLITE_IOERR, MDR_E_IO, "reading or writing the mill file failed",
     "check the disk; nothing was changed", true},
    {SQLITE_NOTADB, MDR_E_PARSE, "this is not a mill file", "name a file that madder new made",
     false},
    {SQLITE_CORRUPT, MDR_E_PARSE, "the mill file is damaged", "go back to a backup copy", true},
    {SQLITE_NOMEM, MDR_E_NOMEM, "too little memory", "close other programs, then try again", false},
    {SQLITE_TOOBIG, MDR_E_RANGE, "the text is too large for the mill file", "make it shorter",
     false},
    {SQLITE_CONSTRAINT, MDR_E_CONFLICT, "the mill file refuses the change",
     "correct the record that breaks this rule", true},
    {SQLITE_ERROR, MDR_E_PARSE, "the mill file does not hold the tables that it should",
     "go back to a backup copy", true},
};

mdr_code mdr_mill_sql_fail(const mdr_mill *mill, int sqlite_rc, mdr_err *err)
{
    const int extended = sqlite3_extended_errcode(mill->db);
    const char *detail = sqlite3_errmsg(mill->db);
    const meaning *found = NULL;
    for (size_t i = 0; i < sizeof MEANINGS / sizeof MEANINGS[0] && found == NULL; i++) {
        if (MEANINGS[i].sqlite_rc == extended || MEANINGS[i].sqlite_rc == (sqlite_rc & 0xFF)) {
            found = &MEANINGS[i];
        }
    }
    if (found == NULL) {
        return MDR_FAIL(err, MDR_E_IO, mill->path, "the mill file cannot be used: %s (%d)", detail,
                        extended);
    }
    (void)MDR_FAIL(err, found->code, mill->path, "%s%s%s", found->msg,
                   found->with_detail ? ": " : "", found->with_detail ? detail : "");
    mdr_err_remedy(err, "%s", found->remedy);
    return found->code;
}

mdr_code mdr_mill_no_memory(const mdr_mill *mill, mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, mill->path, "memory limit reached");
}

mdr_code mdr_mill_sql_exec(mdr_mill *mill, const char *sql, mdr_err *err)
{
    const int rc = sqlite3_exec(mill->db, sql, NULL, NULL, NULL);
    return rc == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, rc, err);
}

mdr_code mdr_mill_sql_prepare(mdr_mill *mill, const char *sql, sqlite3_stmt **out, mdr_err *err)
{
    *out = NULL;
    if (sql == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    const int rc = sqlite3_prepare_v2(mill->db, sql, -1, out, NULL);
    return rc == SQLITE_OK ? MDR_OK : mdr_mill_sql_fail(mill, rc, err);
}

mdr_code mdr_mill_sql_step(mdr_mill *mill, sqlite3_stmt *stmt, bool *row, mdr_err *err)
{
    const int rc = sqlite3_step(stmt);
    *row = rc == SQLITE_ROW;
    return rc == SQLITE_ROW || rc == SQLITE_DONE ? MDR_OK : mdr_mill_sql_fail(mill, rc, err);
}

int mdr_mill_sql_bind_text(sqlite3_stmt *stmt, int at, const char *text, size_t len)
{
    return sqlite3_bind_text64(stmt, at, text, len, SQLITE_TRANSIENT, SQLITE_UTF8);
}

mdr_code mdr_mill_sql_number(mdr_mill *mill, const char *sql, const char *text, int64_t *out,
                             mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = false;
    MDR_TRY(mdr_mill_sql_prepare(mill, sql, &stmt, err));
    int bound = SQLITE_OK;
    if (text != NULL) {
        bound = mdr_mill_sql_bind_text(stmt, 1, text, strlen(text));
    }
    const mdr_code rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                           : mdr_mill_sql_fail(mill, bound, err);
    if (rc == MDR_OK) {
        *out = row ? sqlite3_column_int64(stmt, 0) : 0;
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- transactions ----------------------------------------------------------------------------- */

static const struct {
    const char *begin, *commit, *rollback;
} LEVELS[MDR_MILL_DEPTH_MAX] = {
    {"BEGIN IMMEDIATE", "COMMIT", "ROLLBACK"},
    {"SAVEPOINT inner_1", "RELEASE SAVEPOINT inner_1",
     "ROLLBACK TO SAVEPOINT inner_1; RELEASE SAVEPOINT inner_1"},
    {"SAVEPOINT inner_2", "RELEASE SAVEPOINT inner_2",
     "ROLLBACK TO SAVEPOINT inner_2; RELEASE SAVEPOINT inner_2"},
};

/* SQLite undoes a whole transaction by itself when the disk is full or fails; what follows must
 * not be written on its own then. */
static bool was_lost(const mdr_mill *mill)
{
    return mill->depth > 0 && sqlite3_get_autocommit(mill->db) != 0;
}

static mdr_code refuse_lost(const mdr_mill *mill, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_IO, mill->path, "the change was already undone after an error");
    mdr_err_remedy(err, "begin it again");
    return MDR_E_IO;
}

/* Undoes everything, with a statement prepared at opening: it must work when memory is short. */
static void undo_all(mdr_mill *mill)
{
    (void)sqlite3_step(mill->undo);
    (void)sqlite3_reset(mill->undo);
}

mdr_code mdr_mill_begin(mdr_mill *mill, mdr_err *err)
{
    if (mill->depth == MDR_MILL_DEPTH_MAX) {
        return MDR_FAIL(err, MDR_E_ARG, mill->path, "changes nest too deep");
    }
    if (was_lost(mill)) {
        return refuse_lost(mill, err);
    }
    MDR_TRY(mdr_mill_sql_exec(mill, LEVELS[mill->depth].begin, err));
    mill->depth++;
    return MDR_OK;
}

mdr_code mdr_mill_commit(mdr_mill *mill, mdr_err *err)
{
    if (mill->depth == 0) {
        return MDR_FAIL(err, MDR_E_ARG, mill->path, "no change is under way");
    }
    if (was_lost(mill)) {
        mill->depth--;
        return refuse_lost(mill, err);
    }
    const mdr_code rc = mdr_mill_sql_exec(mill, LEVELS[mill->depth - 1].commit, err);
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    mill->depth--;
    return MDR_OK;
}

void mdr_mill_rollback(mdr_mill *mill)
{
    if (mill->depth == 0) {
        return;
    }
    mill->depth--;
    if (sqlite3_get_autocommit(mill->db) != 0) {
        return;
    }
    /* Where the inner part cannot be undone by itself, all of it goes: what is around it finds
     * its change lost and says so. */
    if (mill->depth == 0 ||
        sqlite3_exec(mill->db, LEVELS[mill->depth].rollback, NULL, NULL, NULL) != SQLITE_OK) {
        undo_all(mill);
    }
}

mdr_code mdr_mill_snapshot_begin(mdr_mill *mill, mdr_err *err)
{
    return mill->depth > 0 ? MDR_OK : mdr_mill_sql_exec(mill, "BEGIN", err);
}

void mdr_mill_snapshot_end(mdr_mill *mill)
{
    if (mill->depth == 0 && sqlite3_get_autocommit(mill->db) == 0) {
        undo_all(mill); /* nothing was written: to undo is to let go */
    }
}
