/*
 * mdr_gzip.h - answers made smaller for tablets on a slow network.
 *
 * Layer: http, inside only; the only folder that sees zlib, behind one file.
 * Sources: RFC 9110 12.5.3 (Accept-Encoding) and 12.4.2 (weights), RFC 1952 (gzip).
 *
 * Nothing secret may stand in one compressed answer beside what a stranger can choose: the length
 * would tell it. Nobody signs in to this version and no answer holds a secret; whoever adds one
 * must leave that answer as it is.
 */
#ifndef MDR_GZIP_H
#define MDR_GZIP_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "http/mdr_http_in.h"

enum {
    MDR_GZIP_LEAST = 2048, /* below, the headers outweigh what is saved; invented */
    MDR_GZIP_FAST = 4,     /* zlib's levels: for what is made anew for each request, */
    MDR_GZIP_SMALL = 9     /* and for what is made once */
};

/* Does the client take gzip, and like it no less than the bytes as they are? NULL: it did not say,
 * and is taken not to. A coding with a weight that is none is taken as refused. */
bool mdr_gzip_accepted(const char *accept_encoding);
/* A type whose bytes shrink: JSON, text, SVG. Not what is compressed by itself (PDF, woff2). */
bool mdr_gzip_worth(const char *content_type, size_t len);
/* The gzip form of `in`, in the arena, into *out. False and nothing written when memory is short or
 * it would not be smaller: then `in` is to be sent. The same bytes always give the same. */
bool mdr_gzip_pack(mdr_blob in, int level, mdr_arena *arena, mdr_blob *out);

#endif
