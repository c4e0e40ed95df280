/* Secrets looked at beside: noted the first time, found the second, never of another secret. Grades: D. */
#include "t.h"

#include <string.h>

#include "app/mdr_hashing.h"

static const char SECRET[] = "four words in row";

static void on_the_spot(void **state)
{
    (void)state;
    char hash[MDR_SECRET_TEXT];
    bool fits = false;
    mdr_err err;
    assert_int_equal(mdr_hashing_make(NULL, SECRET, hash, &err), MDR_OK);
    assert_int_equal(mdr_hashing_fits(NULL, hash, SECRET, &fits, NULL, &err), MDR_OK);
    assert_true(fits);
    assert_int_equal(mdr_hashing_fits(NULL, hash, "another", &fits, NULL, &err), MDR_OK);
    assert_false(fits);
}

/* A password tried and a new one made: asked three times, the last time to its end. */
static void asked_again(void **state)
{
    (void)state;
    mdr_hashing h = {.n = 0};
    mdr_hash_job *note = NULL;
    mdr_err err;
    char hash[MDR_SECRET_TEXT], made[MDR_SECRET_TEXT] = "";
    bool fits = false;
    assert_int_equal(mdr_secret_hash(SECRET, hash, &err), MDR_OK);
    mdr_hashing_again(&h);
    assert_null(mdr_hashing_here(&h));
    assert_int_equal(mdr_hashing_fits(&h, hash, SECRET, &fits, &note, &err), MDR_E_CONFLICT);
    assert_true(h.wanted);
    note->before_failures = 7;
    mdr_hashing_run(&h);
    mdr_hashing_again(&h);
    assert_false(h.wanted);
    assert_int_equal(mdr_hashing_here(&h)->before_failures, 7);
    assert_int_equal(mdr_hashing_fits(&h, hash, SECRET, &fits, NULL, &err), MDR_OK);
    assert_true(fits);
    assert_int_equal(mdr_hashing_make(&h, "five new words", made, &err), MDR_E_CONFLICT);
    assert_true(h.wanted);
    assert_string_equal(made, "");
    mdr_hashing_run(&h);
    mdr_hashing_again(&h);
    assert_int_equal(mdr_hashing_fits(&h, hash, SECRET, &fits, NULL, &err), MDR_OK);
    assert_int_equal(mdr_hashing_make(&h, "five new words", made, &err), MDR_OK);
    assert_false(h.wanted);
    assert_true(mdr_secret_fits(made, "five new words"));
    mdr_hashing_forget(&h);
    for (size_t i = 0; i < sizeof h; i++) {
        assert_int_equal(((const unsigned char *)&h)[i], 0);
    }
}

static mdr_hashing tried(const char *hash)
{
    mdr_hashing h = {.n = 0};
    bool fits = false;
    mdr_err err;
    assert_int_equal(mdr_hashing_fits(&h, hash, SECRET, &fits, NULL, &err), MDR_E_CONFLICT);
    return h;
}

/* What was found is of that hash and that secret, and of nothing else that comes to the same place. */
static void of_nothing_else(void **state)
{
    (void)state;
    mdr_err err;
    char hash[MDR_SECRET_TEXT], other[MDR_SECRET_TEXT];
    bool fits = true;
    assert_int_equal(mdr_secret_hash(SECRET, hash, &err), MDR_OK);
    assert_int_equal(mdr_secret_hash(SECRET, other, &err), MDR_OK); /* another salt */
    const struct {
        const char *hash, *secret;
        bool fits;
    } rows[] = {{hash, SECRET, true},
                {hash, "another", false},
                {other, SECRET, false},
                {NULL, SECRET, false}};
    mdr_hashing h = tried(hash);
    h = tried(hash);
    mdr_hashing_run(&h);
    for (size_t i = 0; i < N_OF(rows); i++) {
        mdr_hashing_again(&h);
        assert_int_equal(mdr_hashing_fits(&h, rows[i].hash, rows[i].secret, &fits, NULL, &err),
                         MDR_OK);
        assert_int_equal(fits, rows[i].fits);
    }
    mdr_hashing_again(&h);
    char made[MDR_SECRET_TEXT] = "";
    assert_int_equal(mdr_hashing_make(&h, SECRET, made, &err),
                     MDR_E_CONFLICT); /* tried, not made */
    assert_string_equal(made, "");
    assert_false(h.wanted);
    h = tried(NULL); /* nobody's */
    mdr_hashing_run(&h);
    mdr_hashing_again(&h);
    assert_int_equal(mdr_hashing_fits(&h, NULL, SECRET, &fits, NULL, &err), MDR_OK);
    assert_false(fits);
}

static void no_more_than_there_is_room_for(void **state)
{
    (void)state;
    mdr_err err;
    mdr_hashing h = {.n = MDR_HASHES_MAX, .at = MDR_HASHES_MAX};
    char made[MDR_SECRET_TEXT], longest[MDR_PASSWORD_MOST + 2];
    assert_int_equal(mdr_hashing_make(&h, SECRET, made, &err), MDR_E_ARG);
    assert_string_equal(err.place, "secret");
    memset(longest, 'x', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    h = (mdr_hashing){.n = 0};
    assert_int_equal(mdr_hashing_make(&h, longest, made, &err), MDR_E_ARG);
    assert_false(h.wanted);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(on_the_spot), cmocka_unit_test(asked_again),
                                       cmocka_unit_test(of_nothing_else),
                                       cmocka_unit_test(no_more_than_there_is_room_for)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
