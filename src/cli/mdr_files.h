/*
 * mdr_files.h - whole files in and out, for the commands. Layer: cli.
 */
#ifndef MDR_FILES_H
#define MDR_FILES_H

#include <stdbool.h>

#include "app/mdr_app.h"
#include "base/mdr_arena.h"
#include "base/mdr_err.h"

/* The whole file, or the standard input for "-"; at most `max_bytes`.
 *   errors  MDR_E_NOTFOUND, MDR_E_IO, MDR_E_RANGE larger than max_bytes, MDR_E_NOMEM */
mdr_code mdr_file_read(const char *path, size_t max_bytes, mdr_arena *arena, mdr_blob *out,
                       mdr_err *err) MDR_MUST_CHECK;

/* Written beside and moved into place when complete; "-" is the standard output.
 *   errors  MDR_E_CONFLICT the file is there and `force` is not given; MDR_E_IO */
mdr_code mdr_file_write(const char *path, mdr_blob bytes, bool force, mdr_err *err) MDR_MUST_CHECK;
/* The same conflict, to be found before long work. */
mdr_code mdr_file_may_write(const char *path, bool force, mdr_err *err) MDR_MUST_CHECK;

#endif
