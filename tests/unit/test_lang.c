/* The language catalogue: every key is found, sentences are filled, cuts respect characters. */
#include "t.h"

#include <string.h>

#include "base/mdr_lang.h"
#include "base/mdr_lang_table.h"

static void every_key_is_found(void **state)
{
    (void)state;
    assert_true(mdr_lang_count > 11);
    for (int i = 0; i < mdr_lang_count; i++) {
        assert_ptr_equal(mdr_lang_text(mdr_lang_entries[i].key), mdr_lang_entries[i].text);
    }
    assert_null(mdr_lang_text(""));
    assert_null(mdr_lang_text("caution"));
    assert_null(mdr_lang_text("zzz"));
}

/* The first sentence with the parameter {1}, whichever it is. */
static const mdr_lang_entry *with_two(void)
{
    for (int i = 0; i < mdr_lang_count; i++) {
        if (strstr(mdr_lang_entries[i].text, "{1}") != NULL) {
            return &mdr_lang_entries[i];
        }
    }
    fail_msg("no sentence has {1}");
    return NULL;
}

static void parameters_are_filled(void **state)
{
    (void)state;
    char out[600];
    const mdr_lang_entry *e = with_two();
    const char *params[] = {"<zero>", "<one>", "<two>", "<three>", "<four>"};
    const int n = mdr_lang_fill(out, sizeof out, e->key, params, 5);
    assert_int_equal(n, strlen(out));
    assert_non_null(strstr(out, "<one>"));
    assert_null(strchr(out, '{'));
    (void)mdr_lang_fill(out, sizeof out, e->key, params, 1);
    assert_non_null(strstr(out, "{1}")); /* not given: stays visible */
    (void)mdr_lang_fill(out, sizeof out, "no.such.key", params, 5);
    assert_string_equal(out, "no.such.key");
}

static void cuts_keep_characters_whole(void **state)
{
    (void)state;
    const mdr_lang_entry *e = with_two();
    const char *params[] = {"\xC3\xA4\xE2\x82\xAC", "\xF0\x9F\x98\x80\xC3\xA4", "x", "x", "x"};
    char whole[600];
    const int full = mdr_lang_fill(whole, sizeof whole, e->key, params, 5);
    for (int size = 1; size <= full + 1; size++) {
        char out[601];
        memset(out, 'x', sizeof out);
        const int n = mdr_lang_fill(out, (size_t)size, e->key, params, 5);
        assert_true(n < size && n > size - 5);
        assert_int_equal(n, strlen(out));
        assert_memory_equal(out, whole, (size_t)n);
        assert_true(((unsigned char)whole[n] & 0xC0u) != 0x80u); /* cut before a character */
        assert_int_equal(out[size], 'x');
    }
    char none = 'x';
    assert_int_equal(mdr_lang_fill(&none, 0, e->key, params, 5), 0);
    assert_int_equal(none, 'x');
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_is_found),
        cmocka_unit_test(parameters_are_filled),
        cmocka_unit_test(cuts_keep_characters_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
