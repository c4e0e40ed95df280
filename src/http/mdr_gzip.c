#include "http/mdr_gzip.h"

#include <limits.h>
#include <string.h>
#include <strings.h>

#define ZLIB_CONST /* it reads, and says so */
#include <zlib.h>

/* -- Accept-Encoding: coding [;q=weight], ... -- */

enum { WEIGHT_ONE = 1000, NOT_NAMED = -1 };

static bool is_space(char c)
{
    return c == ' ' || c == '\t';
}

typedef struct word {
    const char *at;
    size_t len;
} word;

static word trimmed(const char *at, size_t len)
{
    while (len > 0 && is_space(*at)) {
        at++;
        len--;
    }
    while (len > 0 && is_space(at[len - 1])) {
        len--;
    }
    return (word){at, len};
}

static bool is(word w, const char *text)
{
    return w.len == strlen(text) && strncasecmp(w.at, text, w.len) == 0;
}

/* "q=0.75" in thousandths; 0 for anything that is no weight. */
static int weight_of(word w)
{
    static const int PLACES[] = {WEIGHT_ONE, 0, 100, 10, 1}; /* of "1.000" */
    if (w.len < 3 || w.len > 7 || strncasecmp(w.at, "q=", 2) != 0) {
        return 0;
    }
    int weight = 0;
    for (size_t i = 0; i < w.len - 2; i++) {
        const char c = w.at[i + 2];
        if (i == 1 ? c != '.' : c < '0' || c > '9') {
            return 0;
        }
        weight += i == 1 ? 0 : (c - '0') * PLACES[i];
    }
    return weight <= WEIGHT_ONE ? weight : 0;
}

/* Who names a coding twice is taken at the lesser word. */
static void keep_least(int *weight, int other)
{
    *weight = *weight == NOT_NAMED || other < *weight ? other : *weight;
}

bool mdr_gzip_accepted(const char *accept_encoding)
{
    int gzip = NOT_NAMED, identity = NOT_NAMED, any = NOT_NAMED;
    for (const char *p = accept_encoding; p != NULL && *p != '\0';) {
        const size_t len = strcspn(p, ",");
        const size_t name_len = strcspn(p, ",;");
        const word name = trimmed(p, name_len);
        const int weight =
            name_len == len ? WEIGHT_ONE : weight_of(trimmed(p + name_len + 1, len - name_len - 1));
        if (is(name, "gzip") || is(name, "x-gzip")) {
            keep_least(&gzip, weight);
        } else if (is(name, "identity")) {
            keep_least(&identity, weight);
        } else if (is(name, "*")) {
            keep_least(&any, weight);
        }
        p += p[len] == ',' ? len + 1 : len;
    }
    gzip = gzip == NOT_NAMED ? any : gzip;
    /* not named, the bytes as they are may be sent but are not asked for */
    return gzip > 0 && gzip >= identity;
}

bool mdr_gzip_worth(const char *content_type, size_t len)
{
    static const char *const TYPES[] = {"application/json", "text/", "image/svg+xml"};
    for (size_t i = 0; len > MDR_GZIP_LEAST && i < sizeof TYPES / sizeof TYPES[0]; i++) {
        if (strncmp(content_type, TYPES[i], strlen(TYPES[i])) == 0) {
            return true;
        }
    }
    return false;
}

/* -- packing; zlib's own memory comes from the arena too -- */

static voidpf from_arena(voidpf arena, uInt count, uInt size)
{
    return mdr_arena_alloc(arena, count, size);
}

static void with_the_arena(voidpf arena, voidpf memory)
{
    (void)arena;
    (void)memory; /* dies with the arena */
}

bool mdr_gzip_pack(mdr_blob in, int level, mdr_arena *arena, mdr_blob *out)
{
    enum { GZIP_HEADER = 16, WINDOW_BITS = 15, MEMORY_LEVEL = 8 }; /* zlib's manual */
    if (in.len == 0 || in.len > UINT_MAX) {
        return false;
    }
    const size_t room = in.len - 1; /* more would not be smaller */
    Bytef *bytes = mdr_arena_alloc(arena, room, 1);
    if (bytes == NULL) {
        return false;
    }
    z_stream z = {.zalloc = from_arena,
                  .zfree = with_the_arena,
                  .opaque = arena,
                  .next_in = (const Bytef *)in.bytes,
                  .avail_in = (uInt)in.len,
                  .next_out = bytes,
                  .avail_out = (uInt)room};
    if (deflateInit2(&z, level, Z_DEFLATED, WINDOW_BITS + GZIP_HEADER, MEMORY_LEVEL,
                     Z_DEFAULT_STRATEGY) != Z_OK) {
        return false;
    }
    const bool whole = deflate(&z, Z_FINISH) == Z_STREAM_END;
    const size_t len = (size_t)z.total_out;
    (void)deflateEnd(&z);
    if (whole) {
        *out = (mdr_blob){.bytes = (const char *)bytes, .len = len};
    }
    return whole;
}
