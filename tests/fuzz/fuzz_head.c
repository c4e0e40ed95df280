/* Any bytes as the head of a request, a line each for method, path, Host, Origin, Sec-Fetch-Site,
 * Content-Type, Content-Length, Cookie, Accept-Encoding; the rest is its body. Nothing foreign is let
 * in, and nothing is taken that is larger than its endpoint says. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "http/mdr_gzip.h"
#include "http/mdr_incoming.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { METHOD, PATH, HOST, ORIGIN, SITE, TYPE, LENGTH, COOKIE, CODINGS, LINES };

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static void check_guards(char *const line[LINES])
{
    static const char *const NAMES[] = {"mill.lan", "fd00::1"};
    const mdr_guard_names ours = {NAMES, 2, 8123, false};
    if (mdr_guard_host(line[HOST], &ours)) {
        const char *port = strrchr(line[HOST], ':');
        require(port != NULL && strcmp(port, ":8123") == 0);
    }
    if (mdr_guard_origin(line[SITE][0] != '\0' ? line[SITE] : NULL, line[ORIGIN], line[HOST],
                         false)) {
        require(line[SITE][0] != '\0' ? strcmp(line[SITE], "same-origin") == 0
                                      : strncmp(line[ORIGIN], "http://", 7) == 0);
    }
    if (mdr_gzip_accepted(line[CODINGS])) {
        require(line[CODINGS][0] != '\0');
    }
}

/* In pieces, as it comes off the line. */
static void take_body(mdr_incoming *in, const char *body, size_t n)
{
    for (size_t at = 0, piece = 1; at < n; at += piece, piece = piece * 3 + 1) {
        piece = piece < n - at ? piece : n - at;
        mdr_incoming_take(in, body + at, piece);
    }
    const bool wanted = in->endpoint != NULL && in->endpoint->body_type != NULL;
    require(in->len <= in->room && (wanted || in->len == 0));
    require(in->decided || !wanted || (in->len == n && (n == 0 || memcmp(in->body, body, n) == 0)));
}

static void request(char *const line[LINES], const char *body, size_t n)
{
    mdr_incoming *in = calloc(1, sizeof *in);
    mdr_arena *arena = mdr_arena_new((size_t)8 << 20);
    unsigned allowed = 0;
    require(in != NULL && arena != NULL);
    in->request = (mdr_request){.arena = arena,
                                .method = mdr_method_of(line[METHOD]),
                                .path = line[PATH],
                                .found = mdr_err_list_make(arena, 10)};
    const char *token = mdr_cookie_token(line[COOKIE], false, arena);
    require(token == NULL || strchr(token, ';') == NULL);
    in->endpoint = mdr_endpoint_find(&in->request, &allowed);
    require(strlen(in->request.id) < MDR_PATH_PART_MAX && strchr(in->request.id, '/') == NULL);
    if (in->endpoint == NULL) {
        mdr_incoming_refuse_path(in, allowed);
        require(in->reply.status == (allowed != 0 ? 405 : 404));
    } else {
        mdr_incoming_check_body(in, line[TYPE], line[LENGTH][0] != '\0' ? line[LENGTH] : NULL);
    }
    take_body(in, body, n);
    require(!in->decided || (in->reply.status >= 400 && in->reply.body.len > 0));
    mdr_incoming_free(in);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static char none[1] = "";
    char *line[LINES];
    char *text = malloc(size + 1);
    require(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    char *at = text;
    for (int i = 0; i < LINES; i++) {
        char *end = at != NULL ? memchr(at, '\n', (size_t)(text + size - at)) : NULL;
        line[i] = at != NULL ? at : none;
        if (end != NULL) {
            *end++ = '\0';
        }
        at = end;
    }
    check_guards(line);
    request(line, at != NULL ? at : none, at != NULL ? (size_t)(text + size - at) : 0);
    free(text);
    return 0;
}
