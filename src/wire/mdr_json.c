#include "wire/mdr_json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mdr_print15.h"

enum { LEAST_ROOM = 256, NUMBER_MAX = 40 };

mdr_json mdr_json_make(mdr_arena *arena, size_t size_hint, bool indent)
{
    mdr_json j = {.arena = arena, .indent = indent};
    j.room = size_hint > LEAST_ROOM ? size_hint : LEAST_ROOM;
    j.text = mdr_arena_alloc(arena, j.room, 1);
    j.no_memory = j.text == NULL;
    return j;
}

/* Room for n bytes and the terminator. */
static bool make_room(mdr_json *j, size_t n)
{
    if (j->no_memory) {
        return false;
    }
    if (n < j->room - j->len) {
        return true;
    }
    const size_t room = j->room * 2 > j->len + n + 1 ? j->room * 2 : j->len + n + 1;
    char *more = mdr_arena_alloc(j->arena, room, 1);
    if (more == NULL) {
        j->no_memory = true;
        return false;
    }
    memcpy(more, j->text, j->len);
    j->text = more;
    j->room = room;
    return true;
}

static void put(mdr_json *j, const char *bytes, size_t n)
{
    if (make_room(j, n)) {
        memcpy(j->text + j->len, bytes, n);
        j->len += n;
    }
}

static void put_char(mdr_json *j, char c)
{
    if (make_room(j, 1)) { /* half of all calls: not worth a memcpy */
        j->text[j->len++] = c;
    }
}

static void new_line(mdr_json *j)
{
    put_char(j, '\n');
    for (int i = 0; i < j->depth; i++) {
        put(j, "  ", 2);
    }
}

/* Whether members stand on lines of their own here. */
static bool in_lines(const mdr_json *j)
{
    return j->indent && (j->flat == 0 || j->depth < j->flat);
}

/* Bytes that a character with this first byte has, 0 when none begins so. */
static size_t lead_length(unsigned char lead)
{
    if (lead < 0x80u) {
        return 1;
    }
    if (lead < 0xC2u || lead > 0xF4u) {
        return 0;
    }
    return lead < 0xE0u ? 2 : lead < 0xF0u ? 3 : 4;
}

/* Bytes of the well-formed UTF-8 character at p, 0 when there is none (Unicode 15, table 3-7). */
static size_t utf8_length(const unsigned char *p)
{
    const size_t n = lead_length(p[0]);
    for (size_t i = 1; i < n; i++) {
        if ((p[i] & 0xC0u) != 0x80u) { /* the terminating NUL too */
            return 0;
        }
    }
    const bool overlong = (p[0] == 0xE0u && p[1] < 0xA0u) || (p[0] == 0xF0u && p[1] < 0x90u);
    const bool surrogate = p[0] == 0xEDu && p[1] > 0x9Fu;
    const bool beyond = p[0] == 0xF4u && p[1] > 0x8Fu;
    return overlong || surrogate || beyond ? 0 : n;
}

/* Bytes that may stand in a JSON text as they are. */
static size_t plain_length(const char *text)
{
    size_t n = 0;
    for (size_t more = 1; more > 0; n += more) {
        const unsigned char c = (unsigned char)text[n];
        more = c < 0x20u || c == '"' || c == '\\' ? 0
               : c < 0x80u                        ? 1
                                                  : utf8_length((const unsigned char *)text + n);
    }
    return n;
}

/* The letter behind the backslash, as a browser writes it; 0: none, RFC 8259 section 7. */
static char short_form(unsigned char c)
{
    static const char FORMS[] = {
        ['\b'] = 'b', ['\t'] = 't', ['\n'] = 'n', ['\f'] = 'f', ['\r'] = 'r'};
    return (char)(c < sizeof FORMS ? FORMS[c] : '\0');
}

static void put_text(mdr_json *j, const char *text)
{
    static const char HEX[] = "0123456789abcdef";
    put_char(j, '"');
    for (const char *p = text;;) {
        const size_t n = plain_length(p);
        put(j, p, n);
        p += n;
        const unsigned char c = (unsigned char)*p;
        if (c == '\0') {
            break;
        }
        if (c >= 0x80u) { /* half a character, from a message that was cut: U+FFFD */
            put(j, "\xEF\xBF\xBD", 3);
        } else if (c >= 0x20u) {
            put(j, (const char[]){'\\', *p}, 2);
        } else if (short_form(c) != '\0') {
            put(j, (const char[]){'\\', short_form(c)}, 2);
        } else {
            put(j, (const char[]){'\\', 'u', '0', '0', HEX[c >> 4], HEX[c & 15u]}, 6);
        }
        p++;
    }
    put_char(j, '"');
}

/* What stands before a value: comma, line, key. */
static void before(mdr_json *j, const char *key)
{
    if (j->comma) {
        put_char(j, ',');
    }
    if (in_lines(j) && j->depth > 0) {
        new_line(j);
    } else if (j->comma && j->indent) {
        put_char(j, ' ');
    }
    if (key != NULL) {
        put_char(j, '"');
        put(j, key, strlen(key));
        put(j, "\": ", j->indent ? 3 : 2);
    }
    j->comma = true;
}

static void begin(mdr_json *j, const char *key, char bracket)
{
    before(j, key);
    put_char(j, bracket);
    j->depth++;
    j->comma = false;
}

static void end(mdr_json *j, char bracket)
{
    const bool lines = in_lines(j) && j->comma;
    j->depth--;
    if (j->depth < j->flat) {
        j->flat = 0;
    }
    if (lines) {
        new_line(j);
    }
    put_char(j, bracket);
    j->comma = true;
}

void mdr_json_object(mdr_json *j, const char *key)
{
    begin(j, key, '{');
}

void mdr_json_array(mdr_json *j, const char *key)
{
    begin(j, key, '[');
}

void mdr_json_flat_object(mdr_json *j, const char *key)
{
    begin(j, key, '{');
    if (j->flat == 0) {
        j->flat = j->depth;
    }
}

void mdr_json_end_object(mdr_json *j)
{
    end(j, '}');
}

void mdr_json_end_array(mdr_json *j)
{
    end(j, ']');
}

void mdr_json_text(mdr_json *j, const char *key, const char *value)
{
    before(j, key);
    if (value == NULL) {
        put(j, "null", 4);
    } else {
        put_text(j, value);
    }
}

void mdr_json_number(mdr_json *j, const char *key, double value)
{
    /* Whole numbers are common (minutes, litres, degrees) and cheap. */
    if (fabs(value) < 1e15 && value == floor(value)) {
        mdr_json_int(j, key, (int64_t)value);
        return;
    }
    before(j, key);
    if (!isfinite(value)) {
        j->not_finite = true;
        put(j, "null", 4);
        return;
    }
    char digits[NUMBER_MAX];
    int n = mdr_print15(digits, value);
    if (j->exact && strtod(digits, NULL) != value) {
        n = snprintf(digits, sizeof digits, "%.17g", value);
    }
    put(j, digits, n > 0 ? (size_t)n : 0);
}

void mdr_json_int(mdr_json *j, const char *key, int64_t value)
{
    before(j, key);
    char digits[NUMBER_MAX];
    size_t at = sizeof digits;
    /* -(value + 1) + 1 so that the least int64 has a magnitude too */
    uint64_t rest = value < 0 ? (uint64_t)(-(value + 1)) + 1u : (uint64_t)value;
    do {
        digits[--at] = (char)('0' + (char)(rest % 10u));
        rest /= 10u;
    } while (rest > 0);
    if (value < 0) {
        digits[--at] = '-';
    }
    put(j, digits + at, sizeof digits - at);
}

void mdr_json_bool(mdr_json *j, const char *key, bool value)
{
    before(j, key);
    put(j, value ? "true" : "false", value ? 4 : 5);
}

void mdr_json_null(mdr_json *j, const char *key)
{
    before(j, key);
    put(j, "null", 4);
}

void mdr_json_date(mdr_json *j, const char *key, int64_t utc_ms)
{
    /* Days to civil date, proleptic Gregorian; derivation: years that begin on 1 March make the
     * leap day the last one, 400 of them have 146 097 days. Floor division for times before 1970. */
    const int64_t ms_per_day = 86400000;
    int64_t day = utc_ms / ms_per_day - (utc_ms % ms_per_day < 0 ? 1 : 0);
    day += 719468; /* days from 0000-03-01 to 1970-01-01 */
    const int64_t era = (day >= 0 ? day : day - 146096) / 146097;
    const int64_t doe = day - era * 146097;
    const int64_t yoe = (doe - doe / 1460 + doe / 36524 - doe / 146096) / 365;
    const int64_t doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    const int64_t mp = (5 * doy + 2) / 153;
    const int64_t month = mp < 10 ? mp + 3 : mp - 9;
    const int64_t year = yoe + era * 400 + (month <= 2 ? 1 : 0);
    char text[64];
    (void)snprintf(text, sizeof text, "%04d-%02d-%02d", (int)year, (int)month,
                   (int)(doy - (153 * mp + 2) / 5 + 1));
    mdr_json_text(j, key, text);
}

mdr_code mdr_json_done(mdr_json *j, char **text, size_t *len, mdr_err *err)
{
    if (j->indent) {
        put_char(j, '\n');
    }
    if (!make_room(j, 0)) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to write the document");
    }
    if (j->not_finite) {
        return MDR_FAIL(err, MDR_E_RANGE, "", "a number of the document is not finite");
    }
    j->text[j->len] = '\0';
    *text = j->text;
    *len = j->len;
    return MDR_OK;
}
