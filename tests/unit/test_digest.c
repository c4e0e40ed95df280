#include "t.h"

#include <string.h>

#include "lock/mdr_digest.h"

typedef struct row {
    const char *text;
    int times;
    const char *want, *source;
} row;

static const row ROWS[] = {
    {"abc", 1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
     "S: FIPS 180-2 appendix B.1"},
    {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1,
     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
     "S: FIPS 180-2 appendix B.2"},
    {"aaaaaaaaaa", 100000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
     "S: FIPS 180-2 appendix B.3, a million times a"},
    {"", 1, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
     "O: sha256sum of coreutils 9.1"},
};

static void known(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const row *r = &ROWS[i];
        uint8_t digest[MDR_SHA256_BYTES];
        char got[MDR_SHA256_TEXT];
        mdr_sha256_sum sum;
        mdr_sha256_begin(&sum);
        for (int k = 0; k < r->times; k++) {
            mdr_sha256_add(&sum, r->text, strlen(r->text));
        }
        mdr_sha256_end(&sum, digest);
        mdr_hex(digest, sizeof digest, got);
        if (strcmp(got, r->want) != 0) {
            fail_msg("got %s, want %s\n    source: %s", got, r->want, r->source);
        }
        if (r->times == 1) {
            mdr_sha256_text(r->text, strlen(r->text), got);
            assert_string_equal(got, r->want);
        }
    }
    char got[MDR_SHA256_TEXT];
    mdr_sha256_text(NULL, 0, got);
    assert_string_equal(got, ROWS[3].want);
}

/* D: the cut between two pieces must not show, wherever in a block it falls. */
static void pieces(void **state)
{
    (void)state;
    char text[200];
    uint8_t whole[MDR_SHA256_BYTES], parts[MDR_SHA256_BYTES], branch[MDR_SHA256_BYTES];
    for (size_t i = 0; i < sizeof text; i++) {
        text[i] = (char)(i * 37);
    }
    mdr_sha256(text, sizeof text, whole);
    for (size_t cut = 0; cut <= sizeof text; cut++) {
        mdr_sha256_sum sum;
        mdr_sha256_begin(&sum);
        mdr_sha256_add(&sum, text, cut);
        mdr_sha256_sum other = sum;
        mdr_sha256_add(&sum, NULL, 0);
        mdr_sha256_add(&sum, text + cut, sizeof text - cut);
        mdr_sha256_end(&sum, parts);
        assert_memory_equal(parts, whole, sizeof whole);
        mdr_sha256_add(&other, text + cut, sizeof text - cut);
        mdr_sha256_end(&other, branch);
        assert_memory_equal(branch, whole, sizeof whole);
    }
}

static void hex(void **state)
{
    (void)state;
    const uint8_t bytes[] = {0x00, 0x0f, 0xa5, 0xff};
    char got[9];
    mdr_hex(bytes, sizeof bytes, got);
    assert_string_equal(got, "000fa5ff");
    mdr_hex(NULL, 0, got);
    assert_string_equal(got, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(known), cmocka_unit_test(pieces),
                                       cmocka_unit_test(hex)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
