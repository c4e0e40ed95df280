/* Labels of goods that came in: element strings of GS1, one after the other. */
#include <string.h>

#include "core/run/mdr_scan_in.h"

enum { FNC1 = 29, GTIN_DIGITS = 14, DATE_DIGITS = 6, MASS_DIGITS = 6, MASS_AI = 4 };

/* [gs1-general], figure on predefined lengths: identifiers that begin like this have this many
 * characters, themselves included, and need no FNC1 behind them. Everything else ends at FNC1. */
static const struct {
    char first[3];
    size_t len;
} FIXED[] = {{"00", 20}, {"01", 16}, {"02", 16}, {"03", 16}, {"04", 18}, {"11", 8},
             {"12", 8},  {"13", 8},  {"14", 8},  {"15", 8},  {"16", 8},  {"17", 8},
             {"18", 8},  {"19", 8},  {"20", 4},  {"31", 10}, {"32", 10}, {"33", 10},
             {"34", 10}, {"35", 10}, {"36", 10}, {"41", 16}};

static bool all_digits(const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (text[i] < '0' || text[i] > '9') {
            return false;
        }
    }
    return true;
}

static int number_of(const char *text, size_t n)
{
    int v = 0;
    for (size_t i = 0; i < n; i++) {
        v = v * 10 + (text[i] - '0');
    }
    return v;
}

/* -- dates ------------------------------------------------------------------------------------ */

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in(int year, int month)
{
    static const int DAYS[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return DAYS[month - 1] + (month == 2 && is_leap(year) ? 1 : 0);
}

/* Days from 1970-01-01 to the 1st of January of the year (years from 1900 on). */
static int64_t days_before_year(int year)
{
    int64_t days = 0;
    for (int y = 1970; y < year; y++) {
        days += is_leap(y) ? 366 : 365;
    }
    for (int y = year; y < 1970; y++) {
        days -= is_leap(y) ? 366 : 365;
    }
    return days;
}

/* [gs1-general] 7.12: 51 to 99 years ahead is the century before, 50 to 99 behind the next one. */
static int century(int yy, int year)
{
    const int ahead = yy - year % 100;
    const int base = year - year % 100;
    return (ahead >= 51 ? base - 100 : ahead <= -50 ? base + 100 : base) + yy;
}

static bool read_day(const char *digits, int year, int64_t *utc_ms)
{
    const int y = century(number_of(digits, 2), year);
    const int month = number_of(digits + 2, 2);
    if (month < 1 || month > 12) {
        return false;
    }
    const int last = days_in(y, month);
    const int day = number_of(digits + 4, 2) == 0 ? last : number_of(digits + 4, 2);
    if (day > last) {
        return false;
    }
    int64_t days = days_before_year(y) + day - 1;
    for (int m = 1; m < month; m++) {
        days += days_in(y, m);
    }
    *utc_ms = days * 86400000;
    return true;
}

/* -- elements --------------------------------------------------------------------------------- */

typedef struct goods {
    const mdr_scan_text *t;
    mdr_arena *arena;
    mdr_scan *out;
    int year;
} goods;

/* [gs1-general] 7.9: weights 3 and 1 from the right, the sum a multiple of 10. */
static bool gtin_fits(const char *digits)
{
    int sum = 0;
    for (int i = 0; i < GTIN_DIGITS; i++) {
        sum += (digits[i] - '0') * (i % 2 == 0 ? 3 : 1);
    }
    return sum % 10 == 0;
}

/* The 82 characters that GS1 lets stand in a text. */
static bool is_text_char(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
           (c != '\0' && strchr("!\"%&'()*+,-./:;<=>?_", c) != NULL);
}

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read a label");
}

static mdr_code twice(const goods *g, size_t at, mdr_err *err)
{
    (void)mdr_scan_fail(g->t, at, MDR_E_CONFLICT,
                        "the label says the same thing twice, and different", err);
    mdr_err_remedy(err, "type in what is printed beside the code");
    return MDR_E_CONFLICT;
}

static mdr_code take_text(const goods *g, size_t at, size_t end, const char **to, mdr_err *err)
{
    const char *text = mdr_arena_text_n(g->arena, g->t->text + at, end - at);
    if (text == NULL) {
        return no_memory(err);
    }
    if (end == at || end - at > MDR_SCAN_GS1_TEXT_MAX) {
        (void)mdr_scan_fail(g->t, at, MDR_E_RANGE,
                            "a lot or serial number of this length cannot be", err);
        mdr_err_allowed(err, "1 to %d characters", (int)MDR_SCAN_GS1_TEXT_MAX);
        mdr_err_remedy(err, "the scanner must send FNC1 as ASCII 29 (GS)");
        return MDR_E_RANGE;
    }
    for (size_t i = at; i < end; i++) {
        if (!is_text_char(g->t->text[i])) {
            return mdr_scan_fail(g->t, i, MDR_E_PARSE, "GS1 has no such character", err);
        }
    }
    if ((*to)[0] != '\0' && strcmp(*to, text) != 0) {
        return twice(g, at, err);
    }
    *to = text;
    return MDR_OK;
}

static mdr_code take_gtin(const goods *g, size_t at, mdr_err *err)
{
    const char *text = g->t->text + at;
    if (!gtin_fits(text)) {
        return mdr_scan_fail(g->t, at, MDR_E_PARSE,
                             "the label was misread: the number of the goods does not check", err);
    }
    if (g->out->gtin[0] != '\0' && memcmp(g->out->gtin, text, GTIN_DIGITS) != 0) {
        return twice(g, at, err);
    }
    g->out->gtin = mdr_arena_text_n(g->arena, text, GTIN_DIGITS);
    return g->out->gtin == NULL ? no_memory(err) : MDR_OK;
}

static mdr_code take_date(const goods *g, size_t at, bool expiry, mdr_err *err)
{
    int64_t *to = expiry ? &g->out->expiry_utc_ms : &g->out->made_utc_ms;
    bool *has = expiry ? &g->out->has_expiry : &g->out->has_made;
    int64_t utc_ms = 0;
    if (!read_day(g->t->text + at, g->year, &utc_ms)) {
        (void)mdr_scan_fail(g->t, at, MDR_E_RANGE, "this is no day of the calendar", err);
        mdr_err_allowed(err, "YYMMDD; day 00 is the last of the month");
        return MDR_E_RANGE;
    }
    if (*has && *to != utc_ms) {
        return twice(g, at, err);
    }
    *to = utc_ms;
    *has = true;
    return MDR_OK;
}

/* 310n: n decimals of a kilogram. */
static mdr_code take_mass(const goods *g, size_t at, mdr_err *err)
{
    const int decimals = g->t->text[at - 1] - '0';
    int64_t mg = number_of(g->t->text + at, MASS_DIGITS);
    if (decimals > 5) {
        return mdr_scan_fail(g->t, at - 1, MDR_E_RANGE, "a mass has 0 to 5 decimals here", err);
    }
    for (int i = decimals; i < 6; i++) {
        mg *= 10;
    }
    if (mg == 0) {
        return mdr_scan_fail(g->t, at, MDR_E_RANGE, "a net mass of nothing", err);
    }
    if (g->out->mass_mg != 0 && g->out->mass_mg != mg) {
        return twice(g, at, err);
    }
    g->out->mass_mg = mg;
    return MDR_OK;
}

/* Where the element that begins at `at` ends. */
static mdr_code end_of(const goods *g, size_t at, size_t *end, mdr_err *err)
{
    const char *text = g->t->text + at;
    const size_t left = g->t->len - at;
    const char *mark = memchr(text, FNC1, left);
    const size_t to_mark = mark == NULL ? left : (size_t)(mark - text);
    if (left < 2 || !all_digits(text, 2)) {
        return mdr_scan_fail(g->t, at, MDR_E_PARSE, "an identifier of GS1 begins with two digits",
                             err);
    }
    *end = at + to_mark;
    for (size_t i = 0; i < sizeof FIXED / sizeof FIXED[0]; i++) {
        if (memcmp(FIXED[i].first, text, 2) != 0) {
            continue;
        }
        *end = at + FIXED[i].len;
        if (to_mark < FIXED[i].len || !all_digits(text, FIXED[i].len)) {
            (void)mdr_scan_fail(g->t, at, MDR_E_PARSE, "the label was cut off", err);
            mdr_err_allowed(err, "%zu digits from here", FIXED[i].len);
            mdr_err_remedy(err, "scan again");
            return MDR_E_PARSE;
        }
    }
    return MDR_OK;
}

static mdr_code take_element(const goods *g, size_t at, size_t end, mdr_err *err)
{
    const char *text = g->t->text + at;
    switch (number_of(text, 2)) {
    case 1:
        return take_gtin(g, at + 2, err);
    case 10:
        return take_text(g, at + 2, end, &g->out->supplier_lot, err);
    case 11:
        return take_date(g, at + 2, false, err);
    case 17:
        return take_date(g, at + 2, true, err);
    case 21:
        return take_text(g, at + 2, end, &g->out->serial, err);
    case 31:
        return text[2] == '0' ? take_mass(g, at + MASS_AI, err) : MDR_OK;
    default: /* of no use here */
        return MDR_OK;
    }
}

mdr_code mdr_scan_goods(const mdr_scan_text *t, size_t at, int year, mdr_arena *arena,
                        mdr_scan *out, mdr_err *err)
{
    const goods g = {t, arena, out, year};
    while (at < t->len) {
        size_t end = at;
        MDR_TRY(end_of(&g, at, &end, err));
        MDR_TRY(take_element(&g, at, end, err));
        at = end < t->len && t->text[end] == FNC1 ? end + 1 : end;
    }
    if (out->gtin[0] == '\0' && out->supplier_lot[0] == '\0' && out->serial[0] == '\0') {
        (void)mdr_scan_fail(t, 0, MDR_E_PARSE, "the label names no goods, lot or serial number",
                            err);
        mdr_err_allowed(err, "01, 10 or 21 of GS1 among the rest");
        return MDR_E_PARSE;
    }
    return MDR_OK;
}
