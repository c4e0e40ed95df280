/* JSON out and in, below the documents: escapes, numbers, dates, near words, changes of a lot. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "wire/mdr_json.h"
#include "wire/mdr_near.h"
#include "wire/mdr_wire.h"

enum { ARENA_BYTES = 1 << 20 };

static mdr_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = mdr_arena_new(ARENA_BYTES);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

/* -- texts: what stands in memory, and what it is as JSON -- */

static const struct {
    const char *text, *json, *src;
} TEXTS[] = {
    {"", "\"\"", "D: nothing"},
    {"a\"b\\c", "\"a\\\"b\\\\c\"", "S: RFC 8259, 7"},
    {"a\nb\x1f", "\"a\\nb\\u001f\"", "S: RFC 8259, 7: U+0000 to U+001F are escaped"},
    {"\x7f", "\"\x7f\"", "S: RFC 8259, 7: U+007F need not be"},
    {"90 \xC2\xB0", "\"90 \xC2\xB0\"", "D: a whole character stays"},
    {"\xF0\x9F\xA7\xB5", "\"\xF0\x9F\xA7\xB5\"", "D: of four bytes too"},
    {"cut \xE0\xA6", "\"cut \xEF\xBF\xBD\xEF\xBF\xBD\"", "S: Unicode 15, 3.9: not a character"},
    {"\xC0\xAF", "\"\xEF\xBF\xBD\xEF\xBF\xBD\"", "S: Unicode 15, table 3-7: overlong"},
    {"\xED\xA0\x80", "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"", "S: the same: half a surrogate"},
    {"\xF4\x90\x80\x80", "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"",
     "S: the same: beyond U+10FFFF"},
};

static void texts(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        mdr_json j = mdr_json_make(arena, 0, false);
        char *got = NULL;
        size_t len = 0;
        mdr_json_text(&j, NULL, TEXTS[i].text);
        assert_int_equal(mdr_json_done(&j, &got, &len, NULL), MDR_OK);
        if (strcmp(got, TEXTS[i].json) != 0 || len != strlen(TEXTS[i].json)) {
            fail_msg("%s, want %s\n    source: %s", got, TEXTS[i].json, TEXTS[i].src);
        }
    }
}

/* -- numbers -- */

static const struct {
    double number;
    const char *json;
} NUMBERS[] = {
    {0, "0"},         {-0.0, "0"},        {0.1, "0.1"},
    {-12.5, "-12.5"}, {0.1 + 0.2, "0.3"}, {1.0 / 3.0, "0.333333333333333"},
    {60000, "60000"}, {1e300, "1e+300"},  {999999999999999.0, "999999999999999"},
    {1e15, "1e+15"},  {-3, "-3"},         {2.5e-7, "2.5e-07"},
};

static void numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(NUMBERS); i++) {
        mdr_json j = mdr_json_make(arena, 0, false);
        char *got = NULL;
        size_t len = 0;
        mdr_json_number(&j, NULL, NUMBERS[i].number);
        assert_int_equal(mdr_json_done(&j, &got, &len, NULL), MDR_OK);
        assert_string_equal(got, NUMBERS[i].json); /* D: 15 significant digits */
    }
    mdr_json j = mdr_json_make(arena, 0, false);
    char *got = NULL;
    size_t len = 0;
    mdr_json_int(&j, NULL, INT64_MIN);
    assert_int_equal(mdr_json_done(&j, &got, &len, NULL), MDR_OK);
    assert_string_equal(got, "-9223372036854775808"); /* D: -2^63 */
}

/* JSON has no number for these: the document is refused, not silently wrong. */
static void not_finite(void **state)
{
    (void)state;
    const double BAD[] = {(double)NAN, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        mdr_json j = mdr_json_make(arena, 0, false);
        char *got = NULL;
        size_t len = 0;
        mdr_json_number(&j, NULL, BAD[i]);
        assert_int_equal(mdr_json_done(&j, &got, &len, NULL), MDR_E_RANGE);
        assert_null(got);
    }
}

/* -- dates; source of the days: date -u -d DATE +%s -- */

static const struct {
    int64_t utc_s;
    const char *date;
} DATES[] = {
    {0, "1970-01-01"},          {-1, "1969-12-31"},         {951782400, "2000-02-29"},
    {951868799, "2000-02-29"},  {951868800, "2000-03-01"},  {1797292800, "2026-12-15"},
    {4107542400, "2100-03-01"}, {4107542399, "2100-02-28"}, {-11644473600, "1601-01-01"},
};

static void dates(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(DATES); i++) {
        mdr_json j = mdr_json_make(arena, 0, false);
        char *got = NULL;
        size_t len = 0;
        char want[16];
        (void)snprintf(want, sizeof want, "\"%s\"", DATES[i].date);
        mdr_json_date(&j, NULL, DATES[i].utc_s * 1000);
        assert_int_equal(mdr_json_done(&j, &got, &len, NULL), MDR_OK);
        assert_string_equal(got, want);
    }
}

/* -- near words -- */

static const struct {
    const char *a, *b;
    int distance;
} WORDS[] = {
    {"", "", 0},
    {"", "abc", 3},
    {"temp_c", "temp_c", 0},
    {"temp", "temp_c", 2},
    {"kitten", "sitting", 3}, /* S: the textbook pair of Levenshtein's distance */
    {"tmep_c", "temp_c", 1},  /* D: two neighbours exchanged count once */
    {"ca", "abc", 3},         /* D: optimal string alignment edits no letter twice */
};

static void near_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(WORDS); i++) {
        assert_int_equal(mdr_near_distance(WORDS[i].a, WORDS[i].b), WORDS[i].distance);
        assert_int_equal(mdr_near_distance(WORDS[i].b, WORDS[i].a), WORDS[i].distance);
    }
}

/* -- changes of a lot -- */

static const struct {
    const char *json;
    mdr_code code;
    const char *place;
} CHANGES[] = {
    {"", MDR_OK, ""},
    {"{}", MDR_OK, ""},
    {"{\"load_kg\":null}", MDR_OK, ""},
    {"{\"load_kg\":0}", MDR_OK, ""}, /* what the rolls weigh */
    {"{\"load_kg\":5000,\"ratio_l_per_kg\":2,\"speed_m_per_min\":1000,\"tubes_used\":16}", MDR_OK,
     ""},
    {"{\"load_kg\":-1}", MDR_E_RANGE, "load_kg"},
    {"{\"load_kg\":0.05}", MDR_E_RANGE, "load_kg"},
    {"{\"load_kg\":5000.5}", MDR_E_RANGE, "load_kg"},
    {"{\"load_kg\":\"300\"}", MDR_E_PARSE, "load_kg"},
    {"{\"ratio_l_per_kg\":0}", MDR_E_RANGE, "ratio_l_per_kg"},
    {"{\"ratio_l_per_kg\":1.99}", MDR_E_RANGE, "ratio_l_per_kg"},
    {"{\"tubes_used\":17}", MDR_E_RANGE, "tubes_used"},
    {"{\"tubes_used\":1.5}", MDR_E_PARSE, "tubes_used"},
    {"{\"tubes_used\":4294967297}", MDR_E_PARSE, "tubes_used"}, /* would be 1 in 32 bits */
    {"{\"machine_id\":\"a b\"}", MDR_E_RANGE, "machine_id"},
    {"{\"machine_id\":\"\"}", MDR_E_RANGE, "machine_id"},
    {"{\"revision\":-1}", MDR_E_RANGE, "revision"},
    {"{\"loadkg\":1}", MDR_E_PARSE, "loadkg"},
    {"{\"load_kg\":1,\"load_kg\":2}", MDR_E_PARSE, "1:22"},
    {"{\"load_kg\":NaN}", MDR_E_PARSE, "1:14"},
    {"{\"load_kg\":1e999}", MDR_E_PARSE, "1:16"},
    {"[]", MDR_E_PARSE, "the document"},
    {"{} {}", MDR_E_PARSE, "1:4"},
    {"{\"route\":{}}", MDR_E_PARSE, "route.format"},
};

static void changes(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(CHANGES); i++) {
        mdr_err_list found = mdr_err_list_make(arena, 50);
        mdr_what_if w;
        mdr_err e = {.code = MDR_OK};
        const mdr_code rc =
            mdr_wire_what_if_read(CHANGES[i].json, strlen(CHANGES[i].json), arena, &found, &w, &e);
        if (rc != CHANGES[i].code || strcmp(e.place, CHANGES[i].place) != 0) {
            fail_msg("%s: %s at \"%s\" (%s), want %s at \"%s\"", CHANGES[i].json, mdr_code_id(rc),
                     e.place, e.msg, mdr_code_id(CHANGES[i].code), CHANGES[i].place);
        }
        assert_int_equal(found.total > 0, rc != MDR_OK);
    }
}

static void a_near_key_is_offered(void **state)
{
    (void)state;
    static const char TYPED[] = "{\"raito_l_per_kg\":7}";
    mdr_what_if w;
    mdr_err e = {.code = MDR_OK};
    assert_int_equal(mdr_wire_what_if_read(TYPED, strlen(TYPED), arena, NULL, &w, &e), MDR_E_PARSE);
    char all[sizeof e.allowed + sizeof e.remedy];
    (void)snprintf(all, sizeof all, "%s%s", e.allowed, e.remedy);
    assert_non_null(strstr(all, "ratio_l_per_kg"));
}

/* -- errors -- */

static void an_error_needs_no_memory(void **state)
{
    (void)state;
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "load_kg", "too heavy");
    assert_non_null(strstr(mdr_wire_error(&e, NULL, arena), "\"code\":\"out_of_range\""));
    mdr_arena *none = mdr_arena_new(1);
    assert_non_null(none);
    assert_non_null(strstr(mdr_wire_error(&e, NULL, none), "\"code\":\"no_memory\""));
    mdr_arena_free(none);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(texts, set_up, tear_down),
        cmocka_unit_test_setup_teardown(numbers, set_up, tear_down),
        cmocka_unit_test_setup_teardown(not_finite, set_up, tear_down),
        cmocka_unit_test_setup_teardown(dates, set_up, tear_down),
        cmocka_unit_test_setup_teardown(near_words, set_up, tear_down),
        cmocka_unit_test_setup_teardown(changes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_near_key_is_offered, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_error_needs_no_memory, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
