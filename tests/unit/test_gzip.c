/* Which answers go out as gzip, and that what goes out is what was meant. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#include "http/mdr_gzip.h"

static void what_a_client_takes(void **state)
{
    (void)state;
    static const struct {
        const char *sent;
        bool wanted;
        const char *source;
    } ROWS[] = {
        {"gzip, deflate, br", true, "P: what browsers send"},
        {"gzip", true, "S: RFC 9110 12.5.3"},
        {"x-gzip", true, "S: RFC 9110 8.4.1.3, the same coding"},
        {"GZip", true, "S: RFC 9110 8.4.1, codings know no case"},
        {"*", true, "S: RFC 9110 12.5.3, any other"},
        {"compress, gzip;q=0.5", true, "S: RFC 9110 12.5.3, example"},
        {"gzip;q=1.0, identity; q=0.5, *;q=0", true, "S: RFC 9110 12.5.3, example"},
        {"gzip \t;\t q=0.001 ,br", true, "S: RFC 9110 12.4.2, least weight"},
        {"identity;q=0, gzip", true, "S: RFC 9110 12.5.3"},
        {",, gzip ,", true, "S: RFC 9110 5.6.1, empty members"},
        {NULL, false, "D: nothing is asked for"},
        {"", false, "S: RFC 9110 12.5.3, example: none but identity"},
        {"gzip;q=0", false, "S: RFC 9110 12.4.2, not acceptable"},
        {"gzip;q=0.000, *", false, "S: RFC 9110 12.5.3, * is for those not named"},
        {"GZIP;Q=0", false, "S: RFC 9110 12.4.2"},
        {"*;q=0", false, "S: RFC 9110 12.5.3"},
        {"identity", false, "S: RFC 9110 12.5.3"},
        {"br, deflate", false, "S: RFC 9110 12.5.3"},
        {"identity;q=1, gzip;q=0.5", false, "S: RFC 9110 12.4.2, the other is liked better"},
        {"gzipped", false, "D: another word"},
        {"xgzip", false, "D: another word"},
        {"gzip;q=2", false, "I: no weight, so refused"},
        {"gzip;q=1.001", false, "I: no weight"},
        {"gzip;q=0.1234", false, "S: RFC 9110 12.4.2, three places"},
        {"gzip;q=-1", false, "I: no weight"},
        {"gzip;q=", false, "I: no weight"},
        {"gzip;", false, "I: no weight"},
        {"gzip;level=9", false, "I: no weight"},
        {"gzip, gzip;q=0", false, "I: named twice"},
        {"gzip;q=0, gzip", false, "I: named twice, the other way round"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        if (mdr_gzip_accepted(ROWS[i].sent) != ROWS[i].wanted) {
            fail_msg("\"%s\" is %staken; source: %s", ROWS[i].sent != NULL ? ROWS[i].sent : "NULL",
                     ROWS[i].wanted ? "not " : "", ROWS[i].source);
        }
    }
}

static void what_is_worth_it(void **state)
{
    (void)state;
    static const struct {
        const char *type;
        size_t len;
        bool wanted;
    } ROWS[] = {{"application/json; charset=utf-8", MDR_GZIP_LEAST + 1, true},
                {"application/json; charset=utf-8", MDR_GZIP_LEAST, false},
                {"text/html; charset=utf-8", 100000, true},
                {"text/csv; charset=utf-8", 100000, true},
                {"image/svg+xml", 100000, true},
                {"application/pdf", 100000, false},
                {"font/woff2", 100000, false},
                {"application/octet-stream", 100000, false}}; /* I: the house's rule */
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        if (mdr_gzip_worth(ROWS[i].type, ROWS[i].len) != ROWS[i].wanted) {
            fail_msg("%s of %zu bytes", ROWS[i].type, ROWS[i].len);
        }
    }
}

/* Unpacks with the library's own reader: O, zlib's inflate. */
static void check_same(mdr_blob packed, const char *want, size_t len)
{
    unsigned char *got = malloc(len + 1);
    assert_non_null(got);
    z_stream z = {.next_in = (unsigned char *)(uintptr_t)packed.bytes,
                  .avail_in = (unsigned)packed.len,
                  .next_out = got,
                  .avail_out = (unsigned)len + 1};
    assert_int_equal(inflateInit2(&z, 15 + 16), Z_OK); /* gzip only */
    assert_int_equal(inflate(&z, Z_FINISH), Z_STREAM_END);
    assert_int_equal(z.total_out, len);
    assert_int_equal(z.avail_in, 0);
    assert_memory_equal(got, want, len);
    (void)inflateEnd(&z);
    free(got);
}

static void there_and_back(void **state)
{
    (void)state;
    static char text[300000];
    for (size_t i = 0; i < sizeof text; i++) {
        text[i] = "{\"value\": 12.5, \"unit\": \"kg\"}\0\xff"[(i * i / 7) % 31];
    }
    static const int LEVELS[] = {MDR_GZIP_FAST, MDR_GZIP_SMALL};
    for (size_t len = sizeof text; len > 100; len = len / 3) {
        for (size_t l = 0; l < N_OF(LEVELS); l++) {
            const int level = LEVELS[l];
            mdr_arena *arena = mdr_arena_new((size_t)4 << 20);
            mdr_blob one, two;
            assert_true(mdr_gzip_pack((mdr_blob){text, len}, level, arena, &one));
            assert_true(one.len < len);
            check_same(one, text, len);
            assert_true(mdr_gzip_pack((mdr_blob){text, len}, level, arena, &two));
            assert_int_equal(one.len, two.len);
            assert_memory_equal(one.bytes, two.bytes, one.len);
            mdr_arena_free(arena);
        }
    }
}

/* What would grow is not packed, and what was there stays. */
static void no_smaller(void **state)
{
    (void)state;
    static char noise[5000]; /* xorshift64: nothing to find */
    uint64_t x = 88172645463325252u;
    for (size_t i = 0; i < sizeof noise; i++) {
        x ^= x << 13;
        x ^= x >> 7;
        x ^= x << 17;
        noise[i] = (char)(x >> 56);
    }
    mdr_arena *arena = mdr_arena_new((size_t)4 << 20);
    mdr_blob out = {.bytes = "as it was", .len = 9};
    for (size_t len = 0; len <= sizeof noise; len += len < 3 ? 1 : 833) {
        assert_false(mdr_gzip_pack((mdr_blob){noise, len}, MDR_GZIP_SMALL, arena, &out));
        assert_int_equal(out.len, 9);
        assert_string_equal(out.bytes, "as it was");
    }
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_client_takes), cmocka_unit_test(what_is_worth_it),
        cmocka_unit_test(there_and_back), cmocka_unit_test(no_smaller)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
