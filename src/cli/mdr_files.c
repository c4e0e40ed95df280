#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *remedy_of(int number)
{
    switch (number) {
    case ENOENT:
        return "check the name, and that the directory is there";
    case EACCES:
    case EPERM:
        return "choose a place you may use, or change its permissions";
    case EROFS:
        return "the file system is read-only: choose another place";
    case ENOSPC:
    case EDQUOT:
        return "the disk is full: free some space and try again; nothing was changed";
    case EISDIR:
        return "this is a directory: name a file";
    default:
        return "";
    }
}

static mdr_code io_fail(mdr_err *err, const char *path, const char *what, int number)
{
    const mdr_code code = number == ENOENT ? MDR_E_NOTFOUND : MDR_E_IO;
    const mdr_code rc = MDR_FAIL(err, code, path, "%s: %s", what, strerror(number));
    mdr_err_remedy(err, "%s", remedy_of(number));
    return rc;
}

static mdr_code read_stream(FILE *f, const char *path, size_t max_bytes, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err)
{
    size_t room = 1 << 16;
    size_t len = 0;
    char *bytes = mdr_arena_alloc(arena, room + 1, 1);
    while (bytes != NULL) {
        len += fread(bytes + len, 1, room - len, f);
        if (len < room) {
            break;
        }
        if (room > max_bytes) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, path, "the file is too large");
            mdr_err_allowed(err, "up to %zu MB", max_bytes >> 20);
            mdr_err_remedy(err, "split it, and import the parts one after the other");
            return rc;
        }
        room *= 2;
        char *more = mdr_arena_alloc(arena, room + 1, 1);
        if (more != NULL) {
            memcpy(more, bytes, len);
        }
        bytes = more;
    }
    if (bytes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, path, "no memory to read the file");
    }
    if (ferror(f)) {
        return io_fail(err, path, "cannot be read", errno);
    }
    bytes[len] = '\0';
    *out = (mdr_blob){bytes, len};
    return MDR_OK;
}

mdr_code mdr_file_read(const char *path, size_t max_bytes, mdr_arena *arena, mdr_blob *out,
                       mdr_err *err)
{
    if (strcmp(path, "-") == 0) {
        return read_stream(stdin, "standard input", max_bytes, arena, out, err);
    }
    struct stat st;
    FILE *f = fopen(path, "rb");
    if (f == NULL) {
        return io_fail(err, path, "cannot be opened", errno);
    }
    if (fstat(fileno(f), &st) == 0 && S_ISDIR(st.st_mode)) {
        (void)fclose(f);
        return io_fail(err, path, "cannot be read", EISDIR);
    }
    const mdr_code rc = read_stream(f, path, max_bytes, arena, out, err);
    (void)fclose(f);
    return rc;
}

bool mdr_file_is_stdout(const char *path)
{
    struct stat st, out;
    return strcmp(path, "-") == 0 || (stat(path, &st) == 0 && fstat(STDOUT_FILENO, &out) == 0 &&
                                      st.st_dev == out.st_dev && st.st_ino == out.st_ino);
}

/* A terminal, a printer, a pipe: written to as it stands, never replaced by a file. */
static bool is_device(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && !S_ISREG(st.st_mode) && !S_ISDIR(st.st_mode);
}

mdr_code mdr_file_may_write(const char *path, bool force, mdr_err *err)
{
    struct stat st;
    if (mdr_file_is_stdout(path) || lstat(path, &st) != 0 || is_device(path)) {
        return MDR_OK;
    }
    if (S_ISDIR(st.st_mode)) {
        return io_fail(err, path, "cannot be written", EISDIR);
    }
    if (force) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, path, "a file of this name exists already");
    mdr_err_remedy(err, "choose another name, or add --force to overwrite it");
    return rc;
}

/* link() refuses when another program has put a file there meanwhile; rename() would not. */
static int move_into_place(const char *from, const char *to, bool force)
{
    if (force) {
        return rename(from, to) != 0 ? errno : 0;
    }
    if (link(from, to) == 0) {
        (void)unlink(from);
        return 0;
    }
    if (errno == EPERM || errno == EOPNOTSUPP) { /* a file system without links */
        return rename(from, to) != 0 ? errno : 0;
    }
    return errno;
}

mdr_code mdr_file_begin(const char *path, bool force, mdr_file_out *out, mdr_err *err)
{
    *out = (mdr_file_out){.path = path, .force = force};
    if (mdr_file_is_stdout(path)) {
        out->path = "standard output";
        out->to = stdout;
        return MDR_OK;
    }
    MDR_TRY(mdr_file_may_write(path, force, err));
    const bool straight = is_device(path);
    const int n =
        straight ? 0
                 : snprintf(out->beside, sizeof out->beside, "%s.%ld.part", path, (long)getpid());
    if (n < 0 || (size_t)n >= sizeof out->beside) {
        return io_fail(err, path, "cannot be written", ENAMETOOLONG);
    }
    const int fd = straight ? open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY)
                            : open(out->beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    out->to = fd < 0 ? NULL : fdopen(fd, "wb");
    if (out->to != NULL) {
        return MDR_OK;
    }
    const int number = errno;
    if (fd >= 0) {
        (void)close(fd);
        (void)unlink(out->beside); /* a device has none: "" */
    }
    return io_fail(err, path, "cannot be written", number);
}

/* What is there to the disk; a device has none. */
static int flush(mdr_file_out *out)
{
    if (fflush(out->to) != 0) {
        return errno;
    }
    return out->beside[0] != '\0' && fsync(fileno(out->to)) != 0 ? errno : 0;
}

mdr_code mdr_file_end(mdr_file_out *out, bool whole, mdr_err *err)
{
    int failed = whole ? flush(out) : 0;
    if (out->to != stdout && fclose(out->to) != 0 && failed == 0) {
        failed = errno;
    }
    if (out->beside[0] != '\0' && whole && failed == 0) {
        failed = move_into_place(out->beside, out->path, out->force);
    }
    if (out->beside[0] != '\0' && (!whole || failed != 0)) {
        (void)unlink(out->beside);
    }
    if (failed == EEXIST) {
        return mdr_file_may_write(out->path, false, err);
    }
    return failed == 0 ? MDR_OK : io_fail(err, out->path, "cannot be written", failed);
}

mdr_code mdr_file_write(const char *path, mdr_blob bytes, bool force, mdr_err *err)
{
    mdr_file_out out;
    MDR_TRY(mdr_file_begin(path, force, &out, err));
    errno = 0;
    const bool whole = fwrite(bytes.bytes, 1, bytes.len, out.to) == bytes.len;
    const int number = errno != 0 ? errno : EIO;
    const mdr_code rc = mdr_file_end(&out, whole, err);
    return whole ? rc : io_fail(err, out.path, "cannot be written", number);
}
