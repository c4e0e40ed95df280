#include "t.h"

#include <string.h>

#include "lock/mdr_secret.h"

/* D: what goes in comes out again and nothing else does; the text is of the stated parameters. */
static void hash(void **state)
{
    (void)state;
    char one[MDR_SECRET_TEXT], two[MDR_SECRET_TEXT];
    assert_int_equal(mdr_secret_hash("four words for anna", one, NULL), MDR_OK);
    assert_int_equal(mdr_secret_hash("four words for anna", two, NULL), MDR_OK);
    assert_memory_equal(one, "$argon2id$v=19$m=65536,t=3,p=1$", 31);
    assert_string_not_equal(one, two); /* each has its salt */
    assert_true(mdr_secret_fits(one, "four words for anna"));
    assert_false(mdr_secret_fits(one, "four words for ann"));
    assert_false(mdr_secret_fits(one, ""));
    assert_false(mdr_secret_is_old(one));
}

/* D: a hash of other parameters, or none at all, is old and fits nothing. */
static void others(void **state)
{
    (void)state;
    char weak[MDR_SECRET_TEXT];
    assert_int_equal(mdr_secret_hash("x", weak, NULL), MDR_OK);
    char *m = strstr(weak, "m=65536");
    assert_non_null(m);
    memcpy(m, "m=32768", 7);
    assert_true(mdr_secret_is_old(weak));
    assert_false(mdr_secret_fits(weak, "x")); /* other parameters, another hash */
    assert_true(mdr_secret_is_old("$argon2id$nonsense"));
    assert_false(mdr_secret_fits("$argon2id$nonsense", "x"));
    assert_false(mdr_secret_fits("nonsense", "nonsense"));
}

static void nobody(void **state)
{
    (void)state;
    assert_false(mdr_secret_fits(NULL, ""));
    assert_false(mdr_secret_fits(NULL, "x"));
    assert_false(mdr_secret_fits("", "x"));
}

static void tokens(void **state)
{
    (void)state;
    char a[MDR_TOKEN_TEXT], b[MDR_TOKEN_TEXT];
    mdr_token_new(a);
    mdr_token_new(b);
    assert_int_equal(strlen(a), 64);
    assert_int_equal(strspn(a, "0123456789abcdef"), 64);
    assert_string_not_equal(a, b);
    assert_true(mdr_same_bytes("abc", "abc", 3));
    assert_false(mdr_same_bytes("abc", "abd", 3));
    assert_false(mdr_same_bytes("bbc", "abc", 3));
    mdr_wipe(a, sizeof a);
    for (size_t i = 0; i < sizeof a; i++) {
        assert_int_equal(a[i], 0);
    }
}

typedef struct row {
    const char *text;
    bool good;
} row;

/* D: of the rules in mdr_secret.h. */
static void passwords(void **state)
{
    (void)state;
    char longest[MDR_PASSWORD_MOST + 2];
    static const row ROWS[] = {
        {"four words for anna", true},
        {"elevenchars", false},
        {"twelve chars", true},
        {"\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f"
         "abcdefg",
         false}, /* 11 characters in 15 bytes */
        {"\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f"
         "abcdefgh",
         true},
        {"password2026!", false},
        {"!!!PassWord!!!", false},
        {"welcometothemill", false},
        {"welcometothemillagain", true},
        {"qwertyuiop12", false},
        {"314159265358979", false},
        {"aaaaaaaaaaaab", false},
        {"anna.berg-2026", false},
        {"ANNA.BERGanna.berg", false},
        {"Anna Berg 1234", false},
        {"not anna.berg's one", true},
        {"with\ttab inside", false},
        {"not utf-8 \xff\xfe here", false},
        {"", false},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_err err = {0};
        const mdr_code rc = mdr_password_check(ROWS[i].text, "anna.berg", "Anna Berg", &err);
        if ((rc == MDR_OK) != ROWS[i].good) {
            fail_msg("\"%s\": %s", ROWS[i].text, err.msg);
        }
        if (rc != MDR_OK) {
            assert_int_equal(rc, MDR_E_RANGE);
            assert_string_equal(err.place, "password");
            assert_string_equal(err.value, "");
            assert_true(err.remedy[0] != '\0');
        }
    }
    memset(longest, 'x', sizeof longest);
    memcpy(longest, "abcdefg", 7);
    longest[MDR_PASSWORD_MOST] = '\0';
    assert_int_equal(mdr_password_check(longest, "", "", NULL), MDR_OK);
    longest[MDR_PASSWORD_MOST] = 'x';
    longest[MDR_PASSWORD_MOST + 1] = '\0';
    assert_int_equal(mdr_password_check(longest, "", "", NULL), MDR_E_RANGE);
}

static void pins_and_badges(void **state)
{
    (void)state;
    static const row PINS[] = {
        {"482913", true},  {"48291", false},   {"482913482913", true}, {"4829134829130", false},
        {"123456", false}, {"890123", false},  {"987654", false},      {"321098", false},
        {"111111", false}, {"121212", false},  {"123123", false},      {"48291a", false},
        {"", false},       {"482 913", false}, {"112233", true},
    };
    static const row BADGES[] = {{"U-000123", true},          {"U-00012", false},
                                 {"U-000 123", false},        {"U-000123\n", false},
                                 {"U\xc3\xa4-000123", false}, {"", false}};
    for (size_t i = 0; i < N_OF(PINS); i++) {
        mdr_err err = {0};
        const mdr_code rc = mdr_pin_check(PINS[i].text, &err);
        if ((rc == MDR_OK) != PINS[i].good) {
            fail_msg("PIN %s: %s", PINS[i].text, err.msg);
        }
        assert_true(rc == MDR_OK || strcmp(err.place, "pin") == 0);
    }
    for (size_t i = 0; i < N_OF(BADGES); i++) {
        mdr_err err = {0};
        const mdr_code rc = mdr_badge_check(BADGES[i].text, &err);
        if ((rc == MDR_OK) != BADGES[i].good) {
            fail_msg("badge %s: %s", BADGES[i].text, err.msg);
        }
        assert_true(rc == MDR_OK || strcmp(err.place, "badge") == 0);
    }
    char longest[MDR_BADGE_MOST + 2];
    memset(longest, '7', sizeof longest);
    longest[MDR_BADGE_MOST + 1] = '\0';
    assert_int_equal(mdr_badge_check(longest, NULL), MDR_E_RANGE);
    longest[MDR_BADGE_MOST] = '\0';
    assert_int_equal(mdr_badge_check(longest, NULL), MDR_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hash),   cmocka_unit_test(others),    cmocka_unit_test(nobody),
        cmocka_unit_test(tokens), cmocka_unit_test(passwords), cmocka_unit_test(pins_and_badges)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
