/*
 * mdr_kept.h - files of the web app in their gzip form, made when they are first asked for: the
 * start does not wait for them.
 *
 * Layer: http, inside only. For one thread.
 */
#ifndef MDR_KEPT_H
#define MDR_KEPT_H

#include "http/mdr_http_in.h"

enum { MDR_KEPT_MAX = 64 };

typedef struct mdr_kept_file {
    const char *plain; /* its bytes in the program, by which it is known */
    mdr_blob packed;
} mdr_kept_file;

typedef struct mdr_kept {
    mdr_arena *arena;
    mdr_kept_file file[MDR_KEPT_MAX];
    int n;
} mdr_kept;

/* errors: MDR_E_NOMEM */
mdr_code mdr_kept_start(mdr_kept *kept, mdr_err *err) MDR_MUST_CHECK;
void mdr_kept_free(mdr_kept *kept);
/* The gzip form of a reply; what has no ETag is made anew each time, in the arena. False: there is
 * none, send it as it is. */
bool mdr_kept_pack(mdr_kept *kept, const mdr_reply *reply, mdr_arena *arena, mdr_blob *out);

#endif
