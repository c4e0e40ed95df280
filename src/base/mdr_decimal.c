#include "base/mdr_decimal.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_sign(char c)
{
    return c == '+' || c == '-';
}

static int64_t power_of_ten(int n)
{
    int64_t p = 1;
    while (n-- > 0) {
        p *= 10;
    }
    return p;
}

/* -- why a text is not a plain decimal -------------------------------------------------------- */

typedef struct cell {
    const char *text;
    size_t len;
} cell;

/* For "%.*s"; the error record cuts at the border of a character. */
#define SHOWN(c) (int)((c).len < 1000 ? (c).len : 1000), (c).text

static bool starts_with(cell c, const char *word)
{
    const size_t n = strlen(word);
    return c.len >= n && memcmp(c.text, word, n) == 0;
}

static cell without_sign(cell c)
{
    if (c.len > 0 && is_sign(c.text[0])) {
        c.text++;
        c.len--;
    }
    return c;
}

static bool same_word(cell c, const char *lower_case)
{
    if (c.len != strlen(lower_case)) {
        return false;
    }
    for (size_t i = 0; i < c.len; i++) {
        const char ch = c.text[i];
        if ((ch >= 'A' && ch <= 'Z' ? (char)(ch - 'A' + 'a') : ch) != lower_case[i]) {
            return false;
        }
    }
    return true;
}

/* Length of a separator that stands between digits somewhere in the world, or 0. */
static size_t separator_length(cell c)
{
    static const char *const SEPARATORS[] = {
        ",",
        ".",
        "'",
        " ",
        "_",
        "\xC2\xA0",     /* no-break space */
        "\xE2\x80\xAF", /* narrow no-break space */
        "\xE2\x80\x89", /* thin space */
        "\xE2\x80\x99", /* typographic apostrophe */
    };
    for (size_t i = 0; i < sizeof SEPARATORS / sizeof SEPARATORS[0]; i++) {
        if (starts_with(c, SEPARATORS[i])) {
            return strlen(SEPARATORS[i]);
        }
    }
    return 0;
}

typedef struct shape {
    int digits, commas, points, others; /* of the part that looks like a number */
    size_t len;                         /* of that part */
    int after_comma;                    /* digits after the last comma */
} shape;

static shape shape_of(cell c)
{
    shape s = {0};
    while (s.len < c.len) {
        const cell rest = {c.text + s.len, c.len - s.len};
        const size_t sep = separator_length(rest);
        if (is_digit(rest.text[0])) {
            s.digits++;
            s.after_comma++;
            s.len++;
        } else if (sep > 0) {
            s.commas += rest.text[0] == ',';
            s.points += rest.text[0] == '.';
            s.others += rest.text[0] != ',' && rest.text[0] != '.';
            s.after_comma = rest.text[0] == ',' ? 0 : s.after_comma;
            s.len += sep;
        } else {
            break;
        }
    }
    return s;
}

static mdr_code refuse(mdr_err *err, cell c, const char *msg, const char *remedy)
{
    (void)MDR_FAIL(err, MDR_E_PARSE, "", "%s", msg);
    mdr_err_value(err, "%.*s", SHOWN(c));
    mdr_err_remedy(err, "%s", remedy);
    return MDR_E_PARSE;
}

static mdr_code refuse_comma(mdr_err *err, cell c, shape s)
{
    char point[64], none[64];
    size_t n = 0, m = 0;
    for (size_t i = 0; i < c.len && i < sizeof point - 1; i++) {
        if (c.text[i] == ',') {
            point[n++] = '.';
        } else {
            point[n++] = none[m++] = c.text[i];
        }
    }
    point[n] = none[m] = '\0';
    if (s.after_comma == 3 && s.digits > 3 && s.digits <= 6 && without_sign(c).text[0] != '0') {
        (void)refuse(err, c, "the comma may stand for decimals or for thousands", "");
        mdr_err_remedy(err, "write %s or %s", point, none);
        return MDR_E_PARSE;
    }
    (void)refuse(err, c, "decimals are written with a point, not with a comma", "");
    if (is_digit(c.text[c.len - 1]) && is_digit(without_sign(c).text[0])) {
        mdr_err_remedy(err, "write a point: %s", point);
    } else {
        mdr_err_remedy(err, "write a point with a digit on either side: 1.5");
    }
    return MDR_E_PARSE;
}

/* The text is made of digits and separators only. */
static mdr_code refuse_separators(mdr_err *err, cell c, shape s)
{
    if (s.commas == 1 && s.points == 0 && s.others == 0) {
        return refuse_comma(err, c, s);
    }
    if (s.points == 1 && s.commas == 0 && s.others == 0) {
        return refuse(err, c, "a digit must stand before and after the point",
                      "write 0.5 or 5, not .5 or 5.");
    }
    return refuse(err, c, "thousands are not separated here",
                  "write the digits without separators, decimals after a point: 1234567.5");
}

static bool is_exponent(cell c, size_t at)
{
    if (at == 0 || at + 1 >= c.len || (c.text[at] != 'e' && c.text[at] != 'E')) {
        return false;
    }
    const cell power = without_sign((cell){c.text + at + 1, c.len - at - 1});
    for (size_t i = 0; i < power.len; i++) {
        if (!is_digit(power.text[i])) {
            return false;
        }
    }
    return power.len > 0;
}

static mdr_code refuse_trailing(mdr_err *err, cell whole, cell c, shape s)
{
    if (is_exponent(c, s.len)) {
        return refuse(err, whole, "exponents are not read", "write all digits: 0.00015");
    }
    size_t n = s.len;
    while (n > 0 && !is_digit(c.text[n - 1])) {
        n--;
    }
    (void)refuse(err, whole, "text after the number", "");
    mdr_err_remedy(err, "the unit belongs in the header, the cell holds only the number: %.*s",
                   (int)(n < 40 ? n : 40), c.text);
    return MDR_E_PARSE;
}

static mdr_code explain(const char *text, size_t len, mdr_err *err)
{
    const cell whole = {text, len};
    const cell c = without_sign(whole);
    if (len == 0) {
        return refuse(err, whole, "a number is missing", "write a number, for example 1.5");
    }
    if (same_word(c, "nan") || same_word(c, "inf") || same_word(c, "infinity")) {
        return refuse(err, whole, "this is no number that a plan can use",
                      "write the number with digits, or leave an optional cell empty");
    }
    if (text[0] == '#') {
        return refuse(err, whole, "a spreadsheet wrote an error instead of a number",
                      "correct the formula in the spreadsheet and export again");
    }
    if (starts_with(whole, "\xE2\x88\x92")) {
        return refuse(err, whole, "the minus sign is a typographic one",
                      "write the minus sign of the keyboard: -");
    }
    if (text[0] == ' ' || text[len - 1] == ' ') {
        return refuse(err, whole, "a blank stands before or after the number", "remove the blank");
    }
    const shape s = shape_of(c);
    if (s.digits == 0) {
        return refuse(err, whole, "not a number", "write digits, for example 1.5");
    }
    return s.len == c.len ? refuse_separators(err, whole, s) : refuse_trailing(err, whole, c, s);
}

/* -- reading ---------------------------------------------------------------------------------- */

/* True when the text is sign, digits, and at most one point between digits. */
static bool is_plain(cell c)
{
    bool point = false;
    c = without_sign(c);
    for (size_t i = 0; i < c.len; i++) {
        if (c.text[i] == '.' && !point && i > 0 && i + 1 < c.len) {
            point = true;
        } else if (!is_digit(c.text[i])) {
            return false;
        }
    }
    return c.len > 0;
}

mdr_code mdr_decimal_read(const char *text, size_t len, mdr_decimal *out, mdr_err *err)
{
    const cell whole = {text, len};
    if (!is_plain(whole)) {
        return explain(text, len, err);
    }
    cell c = without_sign(whole);
    const bool fraction = memchr(c.text, '.', c.len) != NULL;
    while (c.len > 1 && c.text[0] == '0' && c.text[1] != '.') {
        c.text++;
        c.len--;
    }
    while (fraction && c.text[c.len - 1] == '0') {
        c.len--;
    }
    mdr_decimal d = {0};
    bool after_point = false;
    for (size_t i = 0; i < c.len; i++) {
        if (c.text[i] == '.') {
            after_point = true;
            continue;
        }
        if (d.digits >= power_of_ten(MDR_DECIMAL_DIGITS_MAX - 1) ||
            d.decimals == MDR_DECIMAL_DIGITS_MAX) {
            (void)MDR_FAIL(err, MDR_E_RANGE, "", "too many digits");
            mdr_err_value(err, "%.*s", SHOWN(whole));
            mdr_err_allowed(err, "at most %d digits", MDR_DECIMAL_DIGITS_MAX);
            mdr_err_remedy(err, "round the number");
            return MDR_E_RANGE;
        }
        d.digits = d.digits * 10 + (c.text[i] - '0');
        d.decimals += after_point;
    }
    d.digits = text[0] == '-' ? -d.digits : d.digits;
    *out = d;
    return MDR_OK;
}

double mdr_decimal_value(mdr_decimal d)
{
    return (double)d.digits / (double)power_of_ten(d.decimals);
}

/* -- units ------------------------------------------------------------------------------------ */

int mdr_decimal_places(int64_t per_unit)
{
    int n = 0;
    while (power_of_ten(n) < per_unit) {
        n++;
    }
    return n;
}

mdr_code mdr_decimal_units(mdr_decimal d, int64_t per_unit, int64_t *out, mdr_err *err)
{
    const int places = mdr_decimal_places(per_unit);
    const int64_t ten = power_of_ten(d.decimals);
    const int64_t size = d.digits < 0 ? -d.digits : d.digits;
    if (d.decimals > places) {
        (void)MDR_FAIL(err, MDR_E_RANGE, "", "more decimals than are kept");
        mdr_err_allowed(err, places == 0 ? "whole numbers" : "at most %d decimals", places);
        mdr_err_remedy(err, places == 0 ? "round to a whole number" : "round to %d decimals",
                       places);
        return MDR_E_RANGE;
    }
    if (size / ten >= INT64_MAX / per_unit) {
        return MDR_FAIL(err, MDR_E_RANGE, "", "the number is too large");
    }
    const int64_t units = size / ten * per_unit + (size % ten * per_unit + ten / 2) / ten;
    *out = d.digits < 0 ? -units : units;
    return MDR_OK;
}

int mdr_decimal_write(char *out, size_t out_size, int64_t units, int64_t per_unit)
{
    const uint64_t per = (uint64_t)per_unit;
    const uint64_t size = units < 0 ? 0 - (uint64_t)units : (uint64_t)units;
    const uint64_t rest = size % per;
    const char *sign = units < 0 ? "-" : "";
    uint64_t ten = 1, fraction = 0;
    int places = 0;
    while (rest != 0) {
        fraction = (rest * ten + per / 2) / per;
        if ((fraction * per + ten / 2) / ten == rest) {
            break;
        }
        ten *= 10;
        places++;
    }
    const int n = places == 0 ? snprintf(out, out_size, "%s%" PRIu64, sign, size / per + fraction)
                              : snprintf(out, out_size, "%s%" PRIu64 ".%0*" PRIu64, sign,
                                         size / per, places, fraction);
    return n;
}
