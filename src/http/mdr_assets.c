/* The web app's files, compiled in. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_embedded.h"
#include "http/mdr_http_in.h"

extern const mdr_embedded mdr_embed_web[];

static const char *type_of(const char *name)
{
    static const struct {
        const char *end, *type;
    } TYPES[] = {{".html", "text/html; charset=utf-8"},
                 {".js", "text/javascript; charset=utf-8"},
                 {".css", "text/css; charset=utf-8"},
                 {".woff2", "font/woff2"},
                 {".svg", "image/svg+xml"}};
    const size_t n = strlen(name);
    for (size_t i = 0; i < sizeof TYPES / sizeof TYPES[0]; i++) {
        const size_t m = strlen(TYPES[i].end);
        if (n > m && strcmp(name + n - m, TYPES[i].end) == 0) {
            return TYPES[i].type;
        }
    }
    return "application/octet-stream";
}

/* A fingerprint to tell one build's file from another's; nothing secret hangs on it.
 * FNV-1a, 64 bit: Fowler, Noll, Vo, IETF draft-eastlake-fnv. */
static uint64_t fingerprint(const mdr_embedded *e)
{
    uint64_t h = UINT64_C(0xcbf29ce484222325);
    for (size_t i = 0; i < e->len; i++) {
        h = (h ^ e->bytes[i]) * UINT64_C(0x100000001b3);
    }
    return h;
}

bool mdr_asset(mdr_request *request, mdr_reply *reply)
{
    const char *name = strcmp(request->path, "/") == 0 ? "index.html" : request->path + 1;
    for (const mdr_embedded *e = mdr_embed_web; e->name != NULL; e++) {
        if (strcmp(e->name, name) == 0) {
            const char *type = type_of(name);
            *reply =
                (mdr_reply){.status = 200, .type = type, .body = {(const char *)e->bytes, e->len}};
            reply->etag = mdr_arena_printf(request->arena, "\"%016" PRIx64 "\"", fingerprint(e));
            return true;
        }
    }
    return false;
}
