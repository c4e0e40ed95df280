/* Labels are written and read back; what was misread, cut or forged is refused where it is. */
#include "t.h"

#include <stdlib.h>
#include <string.h>

#include "core/run/mdr_scan.h"

enum { YEAR = 2026 };
static mdr_arena *arena;

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new(16u << 20);
    return arena != NULL ? 0 : 1;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

/* -- check character -------------------------------------------------------------------------- */

static const struct {
    const char *text;
    char want;
    const char *src;
} CHECKS[] = {
    {"A12425GABC1234002", 'M', "S: recording number A1-2425G-ABC1234002-M, printed"},
    {"0000000189470000", '8', "O: python-stdnum, isan, 0000-0001-8947-0000-8-0000-0000-D"},
    {"000000018947000000000000", 'D', "O: the same, the second character"},
    {"00000000D07A0090", 'Q', "S: audiovisual number 0000-0000-D07A-0090-Q-0000-0000-X, printed"},
    {"00000000D07A009000000000", 'X', "S: the same"},
    {"000000003A8D0000", 'Z', "S: 0000-0000-3A8D-0000-Z-0000-0000-6, printed"},
    {"000000003A8D000000000000", '6', "S: the same"},
    {"B159D8FA01240000", 'K', "O: tests of two open libraries, Java and Swift"},
    {"188166C734200000", '3', "O: tests of an open Java library"},
    {"", '0', "D: nothing to check"},
    {"--..", '0', "D: nothing to check"},
};

static void check_characters(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(CHECKS); i++) {
        const char got = mdr_scan_check_char(CHECKS[i].text, strlen(CHECKS[i].text));
        if (got != CHECKS[i].want) {
            fail_msg("%s: got %c, want %c\n    source: %s", CHECKS[i].text, got, CHECKS[i].want,
                     CHECKS[i].src);
        }
    }
    /* capitals, dashes and points take no part */
    assert_int_equal(mdr_scan_check_char("a1-2425g.abc_1234002", 20), 'M');
}

/* D: what the standard promises. Every wrong character is found; swaps of neighbours nearly all. */
static void what_the_check_character_finds(void **state)
{
    (void)state;
    static const char ALL[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    char text[] = "LL260107X9Z";
    int swaps = 0, missed = 0;
    const size_t n = strlen(text);
    for (size_t i = 0; i < n; i++) {
        const char kept = text[i], check = mdr_scan_check_char(text, n);
        for (size_t k = 0; k < 36; k++) {
            text[i] = ALL[k];
            assert_true(ALL[k] == kept || mdr_scan_check_char(text, n) != check);
        }
        text[i] = kept;
    }
    for (int a = 0; a < 36; a++) {
        for (int b = 0; b < a; b++) {
            const char one[] = {'L', ALL[a], ALL[b], '1'}, two[] = {'L', ALL[b], ALL[a], '1'};
            swaps++;
            missed += mdr_scan_check_char(one, 4) == mdr_scan_check_char(two, 4);
        }
    }
    assert_true(missed * 100 < swaps); /* less than 1 % */
}

/* -- our own labels --------------------------------------------------------------------------- */

static mdr_code read_text(const char *text, size_t n, mdr_scan *s, mdr_err *err)
{
    return mdr_scan_read(text, n, YEAR, arena, s, err);
}

static const struct {
    mdr_scan_kind kind;
    const char *id, *text;
} LABELS[] = {
    {MDR_SCAN_LOT, "L26-0107", "L-L26-0107-"},   {MDR_SCAN_MACHINE, "J1", "M-J1-"},
    {MDR_SCAN_STOCK, "C26.0042", "C-C26.0042-"}, {MDR_SCAN_PRODUCT, "RY-1", "P-RY-1-"},
    {MDR_SCAN_VESSEL, "Eimer_7", "V-Eimer_7-"},  {MDR_SCAN_PERSON, "u.12", "U-u.12-"},
};

static void written_and_read(void **state)
{
    (void)state;
    mdr_err err = {0};
    for (size_t i = 0; i < N_OF(LABELS); i++) {
        const char *text = NULL;
        mdr_scan s;
        assert_int_equal(mdr_scan_write(LABELS[i].kind, LABELS[i].id, arena, &text, &err), MDR_OK);
        const size_t n = strlen(text);
        assert_int_equal(n, strlen(LABELS[i].text) + 1);
        assert_memory_equal(text, LABELS[i].text, n - 1);
        assert_int_equal(text[n - 1], mdr_scan_check_char(text, n - 1));
        assert_int_equal(read_text(text, n, &s, &err), MDR_OK);
        assert_int_equal(s.kind, LABELS[i].kind);
        assert_string_equal(s.id, LABELS[i].id);
        assert_string_equal(s.gtin, "");
        const char *around = mdr_arena_printf(arena, "\t %s\r\n", text);
        assert_int_equal(read_text(around, strlen(around), &s, &err), MDR_OK);
        assert_string_equal(s.id, LABELS[i].id);
    }
}

static void weighed_portions(void **state)
{
    (void)state;
    const char *text = NULL;
    mdr_scan s;
    mdr_err err = {0};
    assert_int_equal(mdr_scan_write_weighing("B26-7", "R2.11", 12, arena, &text, &err), MDR_OK);
    assert_memory_equal(text, "W-B26-7/R2.11/12-", 17);
    assert_int_equal(read_text(text, strlen(text), &s, &err), MDR_OK);
    assert_int_equal(s.kind, MDR_SCAN_WEIGHING);
    assert_string_equal(s.id, "B26-7");
    assert_string_equal(s.step, "R2.11");
    assert_int_equal(s.item, 12);
    assert_int_equal(mdr_scan_write_weighing("123456789012345678901234567890123456789012345678",
                                             "1.1", 1, arena, &text, &err),
                     MDR_OK);
    assert_int_equal(read_text(text, strlen(text), &s, &err), MDR_OK);
    assert_int_equal(strlen(s.id), 48);
    assert_int_equal(mdr_scan_write_weighing("", "3.4", 1, arena, &text, &err), MDR_E_ARG);
    assert_string_equal(err.place, "id");
    assert_int_equal(mdr_scan_write_weighing("B", "2R.1", 1, arena, &text, &err), MDR_E_ARG);
    assert_int_equal(mdr_scan_write_weighing("B", "3/4", 1, arena, &text, &err), MDR_E_ARG);
    assert_string_equal(err.place, "step");
    assert_int_equal(mdr_scan_write_weighing("B", "3.4", 0, arena, &text, &err), MDR_E_ARG);
    assert_string_equal(err.place, "item");
    assert_int_equal(mdr_scan_write_weighing("B", "3.4", 100, arena, &text, &err), MDR_E_ARG);
}

static void not_written(void **state)
{
    (void)state;
    static const char *const BAD[] = {
        "12345678901234567890123456789012345678901", "", "-.-", "a b", "ä", "L/1", NULL};
    const char *text = NULL;
    mdr_err err = {0};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_int_equal(mdr_scan_write(MDR_SCAN_LOT, BAD[i], arena, &text, &err), MDR_E_ARG);
        assert_string_equal(err.place, "id");
    }
    assert_int_equal(mdr_scan_write(MDR_SCAN_WEIGHING, "B", arena, &text, &err), MDR_E_ARG);
    assert_string_equal(err.place, "kind");
    assert_int_equal(mdr_scan_write(MDR_SCAN_GOODS, "B", arena, &text, &err), MDR_E_ARG);
    assert_null(text);
}

/* A label with its right check character, so that only what is in it can be wrong. */
static const char *checked(const char *text)
{
    return mdr_arena_printf(arena, "%s-%c", text, mdr_scan_check_char(text, strlen(text)));
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool complete; /* with its check character */
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {"", false, MDR_E_PARSE, "scan:1"},
        {"   ", false, MDR_E_PARSE, "scan:1"},
        {"hello", false, MDR_E_PARSE, "scan:1"},
        {"l-L26-0107", true, MDR_E_PARSE, "scan:1"}, /* Caps Lock */
        {"X-L26-0107", true, MDR_E_PARSE, "scan:1"},
        {"LL26-0107", true, MDR_E_PARSE, "scan:1"},
        {"L\xC3\x9FL26", true, MDR_E_PARSE, "scan:1"}, /* a German keyboard */
        {"L-L26\xC3\x9F"
         "0107",
         true, MDR_E_PARSE, "scan:6"},
        {"L-L26 0107", true, MDR_E_PARSE, "scan:6"},
        {"L--", true, MDR_E_PARSE, "scan:3"},
        {"L-1", false, MDR_E_PARSE, "scan:3"},
        {"L-L26-0107", false, MDR_E_PARSE, "scan:10"}, /* without check character */
        {"L-L26-0107-0", false, MDR_E_PARSE, "scan:12"},
        {" L-L26-0107-0", false, MDR_E_PARSE, "scan:13"}, /* counted as it was typed */
        {"L-12345678901234567890123456789012345678901", true, MDR_E_RANGE, "scan:3"},
        {"W-1234567890123456789012345678901234567890123456789/1.1/1", true, MDR_E_RANGE, "scan:3"},
        {"W-B26-7", true, MDR_E_PARSE, "scan:8"},
        {"W-B26-7/3.4", true, MDR_E_PARSE, "scan:8"},
        {"W-B26-7//1", true, MDR_E_PARSE, "scan:8"},
        {"W-B26-7/3.4/", true, MDR_E_PARSE, "scan:12"},
        {"W-B26-7/3.4/0", true, MDR_E_PARSE, "scan:13"},
        {"W-B26-7/3.4/x", true, MDR_E_PARSE, "scan:13"},
        {"W-B26-7/3.4/100", true, MDR_E_PARSE, "scan:15"},
        {"W-B26-7/A.4/1", true, MDR_E_PARSE, "scan:8"},
        {"W-B 26/3.4/1", true, MDR_E_PARSE, "scan:4"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_scan s = {.item = 7};
        mdr_err err = {0};
        const char *text = ROWS[i].complete ? checked(ROWS[i].text) : ROWS[i].text;
        const mdr_code rc = read_text(text, strlen(text), &s, &err);
        if (rc != ROWS[i].code || strcmp(err.place, ROWS[i].place) != 0) {
            fail_msg("\"%s\": %s at %s, want %s at %s", text, mdr_code_id(rc), err.place,
                     mdr_code_id(ROWS[i].code), ROWS[i].place);
        }
        assert_int_equal(s.item, 7); /* untouched */
        assert_true(err.msg[0] != '\0');
    }
}

static void too_long(void **state)
{
    (void)state;
    char text[MDR_SCAN_TEXT_MAX + 2];
    mdr_scan s;
    mdr_err err = {0};
    memset(text, 'A', sizeof text);
    assert_int_equal(read_text(text, MDR_SCAN_TEXT_MAX + 1, &s, &err), MDR_E_RANGE);
    assert_int_equal(read_text(text, MDR_SCAN_TEXT_MAX, &s, &err), MDR_E_PARSE);
}

/* -- goods that came in ----------------------------------------------------------------------- */

#define GS "\x1D"
enum { DAY_MS = 86400000 };

static mdr_scan goods(const char *text)
{
    mdr_scan s;
    mdr_err err = {0};
    if (read_text(text, strlen(text), &s, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", text, err.place, err.msg);
    }
    assert_int_equal(s.kind, MDR_SCAN_GOODS);
    return s;
}

static void gs1(void **state)
{
    (void)state;
    /* S: the example of an open parser's page, its FNC1 put back where the page lost them */
    mdr_scan s = goods("]C10104012345678901"
                       "17150129"
                       "10ABC123" GS "39329714711" GS "3103000525"
                       "39224711" GS "42127649716");
    assert_string_equal(s.gtin, "04012345678901");
    assert_string_equal(s.supplier_lot, "ABC123");
    assert_true(s.has_expiry && !s.has_made);
    assert_int_equal(s.expiry_utc_ms, INT64_C(16464) * DAY_MS); /* D: 2015-01-29, `date -u` */
    assert_int_equal(s.mass_mg, 525000);
    assert_string_equal(s.serial, "");
    /* every symbology, a leading FNC1, none; order does not matter; FNC1 at the end */
    static const char *const BEFORE[] = {"]C1", "]e0", "]d2", "]Q3", "]J1", GS, ""};
    for (size_t i = 0; i < N_OF(BEFORE); i++) {
        s = goods(mdr_arena_printf(arena,
                                   "%s21S/9" GS "310225000011261101"
                                   "10a-1" GS,
                                   BEFORE[i]));
        assert_string_equal(s.serial, "S/9");
        assert_string_equal(s.supplier_lot, "a-1");
        assert_int_equal(s.mass_mg, INT64_C(2500000000));         /* D: 250000 / 10^2 kg */
        assert_int_equal(s.made_utc_ms, INT64_C(20758) * DAY_MS); /* D: 2026-11-01 */
        assert_true(s.has_made && !s.has_expiry);
    }
    /* D: decimals 0 and 5; elements that are of no use are skipped, by length or by FNC1 */
    assert_int_equal(goods("10A" GS "3100000012").mass_mg, 12000000);
    assert_int_equal(goods("10A" GS "3105000001").mass_mg, 10);
    s = goods("003456789012345678902001"
              "99anything goes" GS "10B");
    assert_string_equal(s.supplier_lot, "B");
    assert_int_equal(s.mass_mg, 0);
}

static void dates_of_gs1(void **state)
{
    (void)state;
    /* days since 1970 from `date -u -d ... +%s` */
    static const struct {
        const char *digits;
        int year;
        int64_t day;
    } ROWS[] = {
        {"261101", 2026, 20758}, {"260200", 2026, 20512}, /* day 00: the 28th */
        {"240229", 2026, 19782}, {"240200", 2026, 19782}, {"770101", 2026, 2557}, /* 1977 */
        {"760101", 2026, 38716},                                                  /* 2076 */
        {"000101", 2060, 47482},                                                  /* 2100 */
        {"691231", 2019, 36524},                                                  /* 2069 */
        {"701231", 2019, 364},                                                    /* 1970 */
        {"100101", 2060, 51134},                                                  /* 2110 */
        {"691231", 2000, -1},                                                     /* 1969 */
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_scan s;
        mdr_err err = {0};
        const char *text = mdr_arena_printf(arena, "17%s10A", ROWS[i].digits);
        assert_int_equal(mdr_scan_read(text, strlen(text), ROWS[i].year, arena, &s, &err), MDR_OK);
        if (s.expiry_utc_ms != ROWS[i].day * DAY_MS) {
            fail_msg("%s in %d: day %lld, want %lld", ROWS[i].digits, ROWS[i].year,
                     (long long)(s.expiry_utc_ms / DAY_MS), (long long)ROWS[i].day);
        }
    }
}

static void goods_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {"0104012345678902", MDR_E_PARSE, "scan:3"}, /* its own check digit */
        {"010401234567890", MDR_E_PARSE, "scan:1"},  /* cut */
        {"0104012345678901"
         "1715012",
         MDR_E_PARSE, "scan:17"},
        {"17150129" GS "0104012345678" GS "901", MDR_E_PARSE, "scan:10"},
        {"17151301"
         "10A",
         MDR_E_RANGE, "scan:3"}, /* month 13 */
        {"17150001"
         "10A",
         MDR_E_RANGE, "scan:3"},
        {"17150229"
         "10A",
         MDR_E_RANGE, "scan:3"}, /* no leap year */
        {"17150132"
         "10A",
         MDR_E_RANGE, "scan:3"},
        {"17ab0132"
         "10A",
         MDR_E_PARSE, "scan:1"},
        {"10123456789012345678901", MDR_E_RANGE, "scan:3"}, /* FNC1 lost */
        {"10" GS "21A", MDR_E_RANGE, "scan:3"},
        {"10A B", MDR_E_PARSE, "scan:4"},
        {"10A\x01", MDR_E_PARSE, "scan:4"},
        {"10A" GS "10B", MDR_E_CONFLICT, "scan:7"},
        {"0104012345678901"
         "0104012345678918",
         MDR_E_CONFLICT, "scan:19"},
        {"10A" GS "17260101"
         "17260102",
         MDR_E_CONFLICT, "scan:15"},
        {"10A" GS "3103000525"
         "3103000526",
         MDR_E_CONFLICT, "scan:19"},
        {"10A" GS "3106000525", MDR_E_RANGE, "scan:8"},
        {"10A" GS "3103000000", MDR_E_RANGE, "scan:9"},
        {"10A" GS "X", MDR_E_PARSE, "scan:5"},
        {"10A" GS GS "21B", MDR_E_PARSE, "scan:5"},
        {"17260101", MDR_E_PARSE, "scan:1"}, /* names nothing */
        {"]C1", MDR_E_PARSE, "scan:1"},
        {"]C0Code 128", MDR_E_PARSE, "scan:1"},
        {"4", MDR_E_PARSE, "scan:1"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_scan s = {.item = 7};
        mdr_err err = {0};
        const mdr_code rc = read_text(ROWS[i].text, strlen(ROWS[i].text), &s, &err);
        if (rc != ROWS[i].code || strcmp(err.place, ROWS[i].place) != 0) {
            fail_msg("row %zu \"%s\": %s at %s, want %s at %s", i, ROWS[i].text, mdr_code_id(rc),
                     err.place, mdr_code_id(ROWS[i].code), ROWS[i].place);
        }
        assert_int_equal(s.item, 7);
    }
    assert_int_equal(goods("10A" GS "10A").item, 0); /* the same twice is no clash */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_characters), cmocka_unit_test(what_the_check_character_finds),
        cmocka_unit_test(written_and_read), cmocka_unit_test(weighed_portions),
        cmocka_unit_test(not_written),      cmocka_unit_test(refused),
        cmocka_unit_test(too_long),         cmocka_unit_test(gs1),
        cmocka_unit_test(dates_of_gs1),     cmocka_unit_test(goods_refused),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
