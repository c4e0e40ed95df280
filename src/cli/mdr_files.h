/*
 * mdr_files.h - whole files in and out, for the commands. Layer: cli.
 */
#ifndef MDR_FILES_H
#define MDR_FILES_H

#include <stdbool.h>
#include <stdio.h>

#include "app/mdr_app.h"
#include "base/mdr_arena.h"
#include "base/mdr_err.h"

/* The whole file, or the standard input for "-"; at most `max_bytes`.
 *   errors  MDR_E_NOTFOUND, MDR_E_IO, MDR_E_RANGE larger than max_bytes, MDR_E_NOMEM */
mdr_code mdr_file_read(const char *path, size_t max_bytes, mdr_arena *arena, mdr_blob *out,
                       mdr_err *err) MDR_MUST_CHECK;

/* A file under way. */
typedef struct mdr_file_out {
    FILE *to;
    const char *path;
    char beside[4096]; /* "" when it is written straight */
    bool force;
} mdr_file_out;

/* Written beside and moved into place by mdr_file_end, when it is whole; else nothing is left of it
 * and an old file stays. "-" is the standard output; what is no file, as a pipe, is written to.
 *   errors  MDR_E_CONFLICT the file is there and `force` is not given; MDR_E_IO */
mdr_code mdr_file_begin(const char *path, bool force, mdr_file_out *out,
                        mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_file_end(mdr_file_out *out, bool whole, mdr_err *err) MDR_MUST_CHECK;

/* All of it at once.
 *   errors  MDR_E_CONFLICT the file is there and `force` is not given; MDR_E_IO */
mdr_code mdr_file_write(const char *path, mdr_blob bytes, bool force, mdr_err *err) MDR_MUST_CHECK;
/* "-", or any name of what the standard output goes to: /dev/stdout, and the file that it was sent to. Nothing
 * else may be said there then. */
bool mdr_file_is_stdout(const char *path);
/* The same conflict, to be found before long work. */
mdr_code mdr_file_may_write(const char *path, bool force, mdr_err *err) MDR_MUST_CHECK;

#endif
