/* A packed answer when memory is short: whichever allocation fails, the client gets the answer as
 * gzip, the answer as it is, or 503 - never half of one. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/t.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>
#include <zlib.h>

#include "http/mdr_gzip.h"
#include "http/mdr_http.h"

/* -- the packer alone -- */

static void every_allocation(void **state)
{
    (void)state;
    static char text[50000];
    for (size_t i = 0; i < sizeof text; i++) {
        text[i] = "figure"[i % 6];
    }
    bool packed = false;
    unsigned n = 0;
    while (!packed) {
        mdr_arena *arena = mdr_arena_new((size_t)2 << 20);
        mdr_blob out = {.bytes = "as it was", .len = 9};
        mdr_arena_fail_at(++n);
        packed = mdr_gzip_pack((mdr_blob){text, sizeof text}, MDR_GZIP_FAST, arena, &out);
        mdr_arena_fail_at(0);
        assert_true(packed ? out.len < 1000 : out.len == 9);
        mdr_arena_free(arena);
    }
    assert_in_range(n, 4, 100); /* its own room, and zlib's state and tables */
}

static void arena_too_small(void **state)
{
    (void)state;
    static const char TEXT[50000] = {0};
    for (size_t limit = 0; limit < 400000; limit += 20000) {
        mdr_arena *arena = mdr_arena_new(limit);
        mdr_blob out = {.bytes = NULL, .len = 0};
        /* D: zlib.h: 256 KiB for a window of 15 bits and memory level 8, besides the room */
        const bool packed = mdr_gzip_pack((mdr_blob){TEXT, sizeof TEXT}, 1, arena, &out);
        assert_int_equal(packed, out.len > 0);
        assert_true(!packed || limit >= sizeof TEXT + 262144);
        mdr_arena_free(arena);
    }
}

/* -- the server -- */

enum { ANSWER_MAX = 1 << 20 };
static char folder[64], mill[96];

static int make_demo(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "/tmp/madder-gzip-XXXXXX");
    if (mkdtemp(folder) == NULL) {
        return -1;
    }
    (void)snprintf(mill, sizeof mill, "%s/a.mill", folder);
    return mdr_app_new(mill, true, NULL) == MDR_OK ? 0 : -1;
}

static int drop_demo(void **state)
{
    (void)state;
    (void)unlink(mill);
    return rmdir(folder);
}

/* All that the server says to one GET, in `answer`. */
static size_t ask(int port, const char *coding, char *answer)
{
    char text[256];
    const int n = snprintf(text, sizeof text,
                           "GET /api/machines HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n"
                           "Accept-Encoding: %s\r\nConnection: close\r\n\r\n",
                           port, coding);
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    const int fd = socket(AF_INET, SOCK_STREAM, 0);
    assert_int_equal(connect(fd, (struct sockaddr *)&at, sizeof at), 0);
    assert_int_equal(write(fd, text, (size_t)n), n);
    size_t len = 0;
    for (ssize_t got = 1; got > 0 && len < ANSWER_MAX - 1;) {
        got = read(fd, answer + len, ANSWER_MAX - 1 - len);
        len += got > 0 ? (size_t)got : 0;
    }
    (void)close(fd);
    answer[len] = '\0';
    return len;
}

static const char *body_of(const char *answer)
{
    const char *end = strstr(answer, "\r\n\r\n");
    assert_non_null(end);
    return end + 4;
}

static void check_packed(const char *body, size_t len, const char *want)
{
    static unsigned char got[ANSWER_MAX];
    z_stream z = {.next_in = (unsigned char *)(uintptr_t)body,
                  .avail_in = (unsigned)len,
                  .next_out = got,
                  .avail_out = sizeof got};
    assert_int_equal(inflateInit2(&z, 15 + 16), Z_OK);
    assert_int_equal(inflate(&z, Z_FINISH), Z_STREAM_END);
    assert_int_equal(z.avail_in, 0);
    assert_int_equal(z.total_out, strlen(want));
    assert_memory_equal(got, want, strlen(want));
    (void)inflateEnd(&z);
}

static void a_server_short_of_memory(void **state)
{
    (void)state;
    static char plain[ANSWER_MAX], answer[ANSWER_MAX];
    mdr_err err = {.code = MDR_OK};
    mdr_app *app = NULL;
    mdr_http *http = NULL;
    assert_int_equal(mdr_app_open(mill, false, &app, &err), MDR_OK);
    assert_int_equal(mdr_http_start(&(mdr_http_options){.app = app}, &http, &err), MDR_OK);
    const int port = mdr_http_port(http);
    (void)ask(port, "identity", plain);
    assert_null(strstr(plain, "Content-Encoding"));
    const char *want = body_of(plain);

    int as_it_is = 0, refused = 0, hung_up = 0;
    /* so many answers in a row with nothing amiss: no allocation is left that could fail; a single one
     * may fail and be done without */
    enum { SPARED_ENOUGH = 30 };
    int spared = 0;
    for (unsigned n = 1; spared < SPARED_ENOUGH; n++) {
        assert_in_range(n, 1, 100000);
        mdr_arena_fail_at(n);
        const size_t len = ask(port, "gzip", answer);
        mdr_arena_fail_at(0);
        const int before = spared;
        spared = 0;
        if (len == 0) {
            hung_up++; /* not even memory to begin with the request */
        } else if (strncmp(answer, "HTTP/1.1 503", 12) == 0) {
            refused++;
        } else if (strstr(answer, "\r\nContent-Encoding: gzip\r\n") == NULL) {
            assert_int_equal(strncmp(answer, "HTTP/1.1 200", 12), 0);
            assert_non_null(strstr(answer, "\r\nVary: Accept-Encoding\r\n"));
            assert_string_equal(body_of(answer), want);
            as_it_is++;
        } else {
            const char *body = body_of(answer);
            check_packed(body, len - (size_t)(body - answer), want);
            spared = before + 1;
        }
    }
    mdr_http_stop(http);
    mdr_app_close(app);
    print_message("hung up %d, refused %d, sent as it is %d\n", hung_up, refused, as_it_is);
    assert_true(refused > 0);
    assert_true(as_it_is >= 4); /* as many as the packer asks for */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_allocation), cmocka_unit_test(arena_too_small),
        cmocka_unit_test_setup_teardown(a_server_short_of_memory, make_demo, drop_demo)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
