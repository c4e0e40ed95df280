#include "t.h"

#include <inttypes.h>
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_decimal.h"

/* D: by definition of decimal notation. */
static const struct {
    const char *text;
    int64_t digits;
    int decimals;
} READ[] = {
    {"0", 0, 0},
    {"12", 12, 0},
    {"+12", 12, 0},
    {"-12", -12, 0},
    {"1.5", 15, 1},
    {"1.50", 15, 1},
    {"-0.25", -25, 2},
    {"000.5", 5, 1},
    {"100", 100, 0},
    {"100.0", 100, 0},
    {"0.0", 0, 0},
    {"-0", 0, 0},
    {"0.000001", 1, 6},
    {"123456789012345", INT64_C(123456789012345), 0},
    {"0000123456789012345.000", INT64_C(123456789012345), 0},
    {"0.123456789012345", INT64_C(123456789012345), 15},
};

static void reads(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(READ); i++) {
        mdr_decimal d = {-7, -7};
        mdr_err err = {0};
        if (mdr_decimal_read(READ[i].text, strlen(READ[i].text), &d, &err) != MDR_OK) {
            fail_msg("\"%s\" refused: %s", READ[i].text, err.msg);
        }
        if (d.digits != READ[i].digits || d.decimals != READ[i].decimals) {
            fail_msg("\"%s\": got %" PRId64 " / 10^%d", READ[i].text, d.digits, d.decimals);
        }
    }
}

static const struct {
    const char *text;
    mdr_code code;
    const char *msg;    /* part of it */
    const char *remedy; /* part of it */
} REFUSED[] = {
    {"", MDR_E_PARSE, "missing", "1.5"},
    {"1,5", MDR_E_PARSE, "point", "write a point: 1.5"},
    {"-12,75", MDR_E_PARSE, "point", "write a point: -12.75"},
    {"0,125", MDR_E_PARSE, "point", "write a point: 0.125"},
    {"1,250", MDR_E_PARSE, "thousands", "write 1.250 or 1250"},
    {"1,", MDR_E_PARSE, "point", "1.5"},
    {"1,250,000", MDR_E_PARSE, "thousands", "without separators"},
    {"1,250.5", MDR_E_PARSE, "thousands", "without separators"},
    {"1.250.000", MDR_E_PARSE, "thousands", "without separators"},
    {"1.250,5", MDR_E_PARSE, "thousands", "without separators"},
    {"1 250", MDR_E_PARSE, "thousands", "without separators"},
    {"1'250", MDR_E_PARSE, "thousands", "without separators"},
    {"1\xC2\xA0"
     "250",
     MDR_E_PARSE, "thousands", "without separators"},
    {".5", MDR_E_PARSE, "before and after", "0.5"},
    {"5.", MDR_E_PARSE, "before and after", "0.5"},
    {"nan", MDR_E_PARSE, "no number that a plan", "digits"},
    {"NaN", MDR_E_PARSE, "no number that a plan", "digits"},
    {"-inf", MDR_E_PARSE, "no number that a plan", "digits"},
    {"Infinity", MDR_E_PARSE, "no number that a plan", "digits"},
    {"#DIV/0!", MDR_E_PARSE, "spreadsheet", "formula"},
    {"\xE2\x88\x92"
     "5",
     MDR_E_PARSE, "typographic", "keyboard"},
    {"12 kg", MDR_E_PARSE, "text after",
     "the unit belongs in the header, the cell holds only the "
     "number: 12"},
    {"12kg", MDR_E_PARSE, "text after", "number: 12"},
    {"60 \xC2\xB0"
     "C",
     MDR_E_PARSE, "text after", "header"},
    {"5%", MDR_E_PARSE, "text after", "header"},
    {"1e5", MDR_E_PARSE, "exponents", "all digits"},
    {"1.5E-3", MDR_E_PARSE, "exponents", "all digits"},
    {" 5", MDR_E_PARSE, "blank", "remove"},
    {"5 ", MDR_E_PARSE, "blank", "remove"},
    {"abc", MDR_E_PARSE, "not a number", "digits"},
    {"-", MDR_E_PARSE, "not a number", "digits"},
    {"--5", MDR_E_PARSE, "not a number", "digits"},
    {"0x10", MDR_E_PARSE, "text after", "header"},
    {"1234567890123456", MDR_E_RANGE, "too many digits", "round"},
    {"0.0000000000000001", MDR_E_RANGE, "too many digits", "round"},
};

static void refuses(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(REFUSED); i++) {
        mdr_decimal d = {-7, -7};
        mdr_err err = {0};
        const char *text = REFUSED[i].text;
        const mdr_code rc = mdr_decimal_read(text, strlen(text), &d, &err);
        if (rc != REFUSED[i].code || strstr(err.msg, REFUSED[i].msg) == NULL ||
            strstr(err.remedy, REFUSED[i].remedy) == NULL) {
            fail_msg("\"%s\": %s, \"%s\", \"%s\"", text, mdr_code_id(rc), err.msg, err.remedy);
        }
        assert_string_equal(err.value, text);
        assert_int_equal(d.digits, -7); /* out untouched */
        assert_int_equal(mdr_decimal_read(text, strlen(text), &d, NULL), rc);
    }
}

/* D: arithmetic. */
static const struct {
    const char *text;
    int64_t per_unit;
    mdr_code code;
    int64_t units;
    const char *shortest;
} UNITS[] = {
    {"1.5", 1000000, MDR_OK, 1500000, "1.5"},
    {"-1.5", 1000, MDR_OK, -1500, "-1.5"},
    {"0", 1000, MDR_OK, 0, "0"},
    {"-0.001", 1000, MDR_OK, -1, "-0.001"},
    {"7", 1, MDR_OK, 7, "7"},
    {"0.33333", 60000, MDR_OK, 20000, "0.33333"}, /* 20 s in minutes */
    {"0.01667", 60000, MDR_OK, 1000, "0.01667"},  /* 1 s */
    {"0.00001", 60000, MDR_OK, 1, "0.00002"},     /* 0.6 ms -> 1 ms */
    {"0.99999", 60000, MDR_OK, 59999, "0.99998"},
    {"12.3456", 10000, MDR_OK, 123456, "12.3456"},
    {"2.5", 1, MDR_E_RANGE, 0, ""},
    {"0.0000001", 1000000, MDR_E_RANGE, 0, ""},
    {"123456789012345", 1000000, MDR_E_RANGE, 0, ""},
    {"1000000", 1000000, MDR_OK, INT64_C(1000000000000), "1000000"},
};

static void scales(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(UNITS); i++) {
        mdr_decimal d;
        mdr_err err = {0};
        int64_t units = -7;
        char text[MDR_DECIMAL_TEXT_MAX];
        assert_int_equal(mdr_decimal_read(UNITS[i].text, strlen(UNITS[i].text), &d, NULL), MDR_OK);
        const mdr_code rc = mdr_decimal_units(d, UNITS[i].per_unit, &units, &err);
        if (rc != UNITS[i].code || (rc == MDR_OK && units != UNITS[i].units)) {
            fail_msg("\"%s\": %s, %" PRId64, UNITS[i].text, mdr_code_id(rc), units);
        }
        if (rc == MDR_OK) {
            const int n = mdr_decimal_write(text, sizeof text, units, UNITS[i].per_unit);
            assert_string_equal(text, UNITS[i].shortest);
            assert_int_equal(n, strlen(text));
        } else {
            assert_int_equal(units, -7);
        }
    }
}

/* Property: what is written is read back as the same units, and no shorter decimal does. */
static void round_trip(void **state)
{
    (void)state;
    static const int64_t SCALES[] = {1, 1000, 10000, 60000, 1000000};
    uint64_t seed = 12345;
    for (int i = 0; i < 200000; i++) {
        seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
        const int64_t per = SCALES[(size_t)i % N_OF(SCALES)];
        const int64_t range = i < 100000 ? 200000 : INT64_C(1000000000000);
        const int64_t units = (int64_t)(seed >> 20) % range - range / 4;
        char text[MDR_DECIMAL_TEXT_MAX];
        mdr_decimal d;
        int64_t back = 0;
        (void)mdr_decimal_write(text, sizeof text, units, per);
        assert_int_equal(mdr_decimal_read(text, strlen(text), &d, NULL), MDR_OK);
        assert_int_equal(mdr_decimal_units(d, per, &back, NULL), MDR_OK);
        if (back != units) {
            fail_msg("%" PRId64 " / %" PRId64 " written \"%s\", read %" PRId64, units, per, text,
                     back);
        }
        if (d.decimals > 0) { /* one decimal less, rounded either way, is another value */
            for (int up = 0; up <= 1; up++) {
                const mdr_decimal less = {d.digits / 10 + (d.digits < 0 ? -up : up),
                                          d.decimals - 1};
                assert_int_equal(mdr_decimal_units(less, per, &back, NULL), MDR_OK);
                assert_true(back != units);
            }
        }
    }
}

static void value_is_the_nearest_double(void **state)
{
    (void)state;
    mdr_decimal d;
    assert_int_equal(mdr_decimal_read("0.1", 3, &d, NULL), MDR_OK);
    CHECK_NEAR(mdr_decimal_value(d), 0.1, 0, "D: IEEE 754 division is correctly rounded");
    assert_int_equal(mdr_decimal_read("-1234.5678", 10, &d, NULL), MDR_OK);
    CHECK_NEAR(mdr_decimal_value(d), -1234.5678, 0, "D: as above");
}

static void locale_does_not_matter(void **state)
{
    (void)state;
    /* Where no such locale is installed the test still says that "C" works. */
    if (setlocale(LC_ALL, "de_DE.UTF-8") == NULL) {
        print_message("de_DE.UTF-8 is not installed\n");
    }
    mdr_decimal d;
    char text[MDR_DECIMAL_TEXT_MAX];
    assert_int_equal(mdr_decimal_read("1.5", 3, &d, NULL), MDR_OK);
    assert_int_equal(d.digits, 15);
    (void)mdr_decimal_write(text, sizeof text, 1500, 1000);
    assert_string_equal(text, "1.5");
    (void)setlocale(LC_ALL, "C");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(reads),
                                       cmocka_unit_test(refuses),
                                       cmocka_unit_test(scales),
                                       cmocka_unit_test(round_trip),
                                       cmocka_unit_test(value_is_the_nearest_double),
                                       cmocka_unit_test(locale_does_not_matter)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
