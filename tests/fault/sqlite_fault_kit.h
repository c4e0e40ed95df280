/*
 * sqlite_fault_kit.h - SQLite whose n-th allocation, write, truncation or sync fails.
 */
#ifndef SQLITE_FAULT_KIT_H
#define SQLITE_FAULT_KIT_H

#include "mill_kit.h"

/* -- SQLite's memory: the n-th allocation fails ------------------------------------------------ */

static unsigned sqlite_countdown;
static bool sqlite_fails_on; /* after the n-th all fail, until it is disarmed */
static sqlite3_mem_methods system_memory;

static bool memory_fails(void)
{
    if (sqlite_countdown == 1 && sqlite_fails_on) {
        return true;
    }
    return sqlite_countdown != 0 && --sqlite_countdown == 0;
}
static void *failing_malloc(int n)
{
    return memory_fails() ? NULL : system_memory.xMalloc(n);
}
static void *failing_realloc(void *p, int n)
{
    return memory_fails() ? NULL : system_memory.xRealloc(p, n);
}

static void install_memory(void)
{
    assert_int_equal(sqlite3_config(SQLITE_CONFIG_GETMALLOC, &system_memory), SQLITE_OK);
    sqlite3_mem_methods mine = system_memory;
    mine.xMalloc = failing_malloc;
    mine.xRealloc = failing_realloc;
    assert_int_equal(sqlite3_config(SQLITE_CONFIG_MALLOC, &mine), SQLITE_OK);
    /* without this pool small allocations would never come here */
    assert_int_equal(sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0), SQLITE_OK);
}

/* -- SQLite's files: the n-th write, truncation or sync fails ---------------------------------- */

static unsigned write_countdown;
static int write_failure; /* the result code */
static sqlite3_vfs vfs, *system_vfs;
static struct patched {
    sqlite3_io_methods methods;
    const sqlite3_io_methods *system;
} patches[4];
static int n_patches;

static bool write_fails(void)
{
    return write_countdown != 0 && --write_countdown == 0;
}

/* `methods` is the first member of the patched table. */
static const sqlite3_io_methods *system_of(sqlite3_file *f)
{
    for (int i = 0; i < n_patches; i++) {
        if (f->pMethods == &patches[i].methods) {
            return patches[i].system;
        }
    }
    abort();
}
static int failing_write(sqlite3_file *f, const void *p, int n, sqlite3_int64 at)
{
    return write_fails() ? write_failure : system_of(f)->xWrite(f, p, n, at);
}
static int failing_truncate(sqlite3_file *f, sqlite3_int64 size)
{
    return write_fails() ? SQLITE_IOERR_TRUNCATE : system_of(f)->xTruncate(f, size);
}
static int failing_sync(sqlite3_file *f, int flags)
{
    return write_fails() ? SQLITE_IOERR_FSYNC : system_of(f)->xSync(f, flags);
}

static int patching_open(sqlite3_vfs *v, const char *name, sqlite3_file *f, int flags, int *out)
{
    (void)v;
    const int rc = system_vfs->xOpen(system_vfs, name, f, flags, out);
    if (f->pMethods == NULL) {
        return rc;
    }
    int i = 0;
    while (i < n_patches && patches[i].system != f->pMethods) {
        i++;
    }
    if (i == n_patches) {
        assert_true(n_patches < (int)N_OF(patches));
        patches[i].system = f->pMethods;
        patches[i].methods = *f->pMethods;
        patches[i].methods.xWrite = failing_write;
        patches[i].methods.xTruncate = failing_truncate;
        patches[i].methods.xSync = failing_sync;
        n_patches++;
    }
    f->pMethods = &patches[i].methods;
    return rc;
}

static void install_files(void)
{
    system_vfs = sqlite3_vfs_find(NULL);
    assert_non_null(system_vfs);
    vfs = *system_vfs;
    vfs.zName = "failing";
    vfs.xOpen = patching_open;
    assert_int_equal(sqlite3_vfs_register(&vfs, 1), SQLITE_OK);
}

#endif
