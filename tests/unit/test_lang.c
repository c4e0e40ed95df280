/* The language catalogue: every key is found, sentences are filled and never cut. */
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

static void a_sentence_is_said_whole(void **state)
{
    (void)state;
    mdr_arena *a = mdr_arena_new((size_t)1 << 20);
    assert_string_equal(mdr_lang_say(a, "hold.give.product", mdr_lang_num(0.125, 2),
                                     mdr_lang_str("{2} of it"), mdr_lang_num(9.5, 0)),
                        "0.12 of {2} of it, run 10 min, read again"); /* half to even */
    assert_string_equal(mdr_lang_say(a, "hold.give.product", mdr_lang_num(-1.0, 0),
                                     mdr_lang_str(NULL), mdr_lang_num(1e15, 1)),
                        "-1 of , run 1000000000000000.0 min, read again");
    char name[5001];
    memset(name, 'x', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    const char *said = mdr_lang_say(a, "hold.cannot.weigh", mdr_lang_str(name));
    assert_int_equal(strlen(said), strlen(mdr_lang_text("hold.cannot.weigh")) - 3 + 5000);
    assert_non_null(strstr(said, "xx would have to be weighed"));
    assert_null(strstr(mdr_lang_say(a, "hold.cannot.reach", mdr_lang_num(1e300, 0)), "{0}"));
    mdr_arena_free(a);
}

static void what_needs_no_filling_costs_nothing(void **state)
{
    (void)state;
    const char *key = "hold.rinse.dose-again";
    mdr_arena *a = mdr_arena_new(1 << 10);
    const size_t used = mdr_arena_used(a);
    assert_ptr_equal(mdr_lang_say(a, key), mdr_lang_text(key));
    assert_int_equal(mdr_arena_used(a), used);
    mdr_arena_free(a);
}

/* What is wrong is seen on the screen, and nothing worse comes of it. */
static void faults_stay_visible(void **state)
{
    (void)state;
    char key[] = "no.such.key";
    mdr_arena *a = mdr_arena_new(1 << 12);
    const char *said = mdr_lang_say(a, key, mdr_lang_num(1, 0));
    key[0] = 'x'; /* what is said outlives the key */
    assert_string_equal(said, "no.such.key");
    assert_string_equal(mdr_lang_say(a, "hold.cannot.temp", mdr_lang_num(98, 0)),
                        "the machine reaches 98 degC, this needs {1}");
    assert_string_equal(mdr_lang_say(a, "hold.cannot.temp"), mdr_lang_text("hold.cannot.temp"));
    assert_string_equal(
        mdr_lang_say(a, "hold.cannot.reach", mdr_lang_num(98, 0), mdr_lang_str("too many")),
        "98 degC cannot be reached on this machine");
    mdr_arena_free(a);
}

static void no_memory_no_half_sentence(void **state)
{
    (void)state;
    int refused = 0;
    const char *said = NULL;
    for (size_t cap = 1; said == NULL; cap += 8) {
        mdr_arena *a = mdr_arena_new(cap);
        said = mdr_lang_say(a, "hold.cannot.temp", mdr_lang_num(98, 0), mdr_lang_num(110, 0));
        refused += said == NULL;
        if (said != NULL) {
            assert_string_equal(said, "the machine reaches 98 degC, this needs 110");
        }
        mdr_arena_free(a);
    }
    assert_true(refused > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_is_found),
        cmocka_unit_test(a_sentence_is_said_whole),
        cmocka_unit_test(what_needs_no_filling_costs_nothing),
        cmocka_unit_test(faults_stay_visible),
        cmocka_unit_test(no_memory_no_half_sentence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
