/* Cells from CSV text, by the kind of the column. The database side is in mdr_mill_cell_db.c. */
#include "mill/mdr_mill_cell.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_decimal.h"
#include "mill/mdr_mill_cell_in.h"

enum { ID_MAX = 40, TEXT_MAX_BYTES = 200 };

static void show_value(mdr_err *err, const char *text, size_t len)
{
    mdr_err_value(err, "%.*s", (int)len, text);
}

/* -- text ------------------------------------------------------------------------------------- */

bool mdr_mill_is_formula(const char *text, size_t len)
{
    size_t i = 0;
    while (i < len && text[i] == '\'') {
        i++;
    }
    return i < len && strchr("=+-@", text[i]) != NULL;
}

/* Takes away the apostrophe that an export put before what a spreadsheet would compute. */
static void strip_apostrophe(const char **text, size_t *len)
{
    if (*len > 1 && **text == '\'' && mdr_mill_is_formula(*text, *len)) {
        ++*text;
        --*len;
    }
}

static bool is_id_char(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_' || c == '.';
}

static mdr_code check_id(const char *text, size_t len, mdr_err *err)
{
    size_t i = 0;
    while (i < len && is_id_char(text[i])) {
        i++;
    }
    if (i == len && len <= ID_MAX) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_PARSE, "",
                   i == len ? "the number (id) is too long"
                            : "a character that a number (id) cannot hold");
    show_value(err, text, len);
    mdr_err_allowed(err, "1 to %d of A-Z a-z 0-9 - _ .", (int)ID_MAX);
    mdr_err_remedy(err, len > 0 && (text[0] == ' ' || text[len - 1] == ' ')
                            ? "remove the blank before or after it"
                            : "shorten it, and write - or _ for what is not allowed");
    return MDR_E_PARSE;
}

/* C0, DEL and C1; also the marks that change the direction of what follows, because a name could
 * show other characters than it holds. The text is UTF-8 already. */
static bool has_control(const char *text, size_t len)
{
    const unsigned char *p = (const unsigned char *)text;
    for (size_t i = 0; i < len; i++) {
        const unsigned next = i + 1 < len ? p[i + 1] : 0;
        const unsigned third = i + 2 < len ? p[i + 2] : 0;
        const bool c1 = p[i] == 0xC2 && next < 0xA0;
        const bool direction = p[i] == 0xE2 && ((next == 0x80 && third >= 0xAA && third <= 0xAE) ||
                                                (next == 0x81 && third >= 0xA6 && third <= 0xA9));
        if (p[i] < 0x20 || p[i] == 0x7F || c1 || direction) {
            return true;
        }
    }
    return false;
}

static mdr_code check_text(const char *text, size_t len, mdr_err *err)
{
    if (len > TEXT_MAX_BYTES) {
        (void)MDR_FAIL(err, MDR_E_RANGE, "", "the text is too long");
        mdr_err_value(err, "%zu bytes", len);
        mdr_err_allowed(err, "at most %d bytes of UTF-8", (int)TEXT_MAX_BYTES);
        mdr_err_remedy(err, "shorten it");
        return MDR_E_RANGE;
    }
    if (has_control(text, len)) {
        (void)MDR_FAIL(err, MDR_E_PARSE, "", "a control character in the text");
        mdr_err_remedy(err, "remove line breaks, tabs and other control characters");
        return MDR_E_PARSE;
    }
    return MDR_OK;
}

/* -- numbers ---------------------------------------------------------------------------------- */

void mdr_mill_range_words(const mdr_col *col, char *out, size_t size)
{
    char least[MDR_DECIMAL_TEXT_MAX], most[MDR_DECIMAL_TEXT_MAX];
    const char *unit = mdr_mill_unit_words(col);
    (void)mdr_decimal_write(least, sizeof least, mdr_mill_least(col), mdr_mill_per_unit(col));
    (void)mdr_decimal_write(most, sizeof most, mdr_mill_most(col), mdr_mill_per_unit(col));
    (void)snprintf(out, size, "%s to %s%s%s%s", least, most, unit[0] != '\0' ? " " : "", unit,
                   (col->flags & MDR_COL_MUST) != 0 ? "" : ", or empty");
}

int64_t mdr_mill_per_unit(const mdr_col *col)
{
    return col->kind == MDR_COL_QUANTITY ? (int64_t)col->per_unit : 1;
}

int64_t mdr_mill_least(const mdr_col *col)
{
    return (int64_t)llround(col->least * (double)mdr_mill_per_unit(col));
}

int64_t mdr_mill_most(const mdr_col *col)
{
    return (int64_t)llround(col->most * (double)mdr_mill_per_unit(col));
}

mdr_code mdr_mill_check_range(const mdr_col *col, int64_t units, mdr_err *err)
{
    char range[96];
    if (units >= mdr_mill_least(col) && units <= mdr_mill_most(col)) {
        return MDR_OK;
    }
    mdr_mill_range_words(col, range, sizeof range);
    (void)MDR_FAIL(err, MDR_E_RANGE, "", "the value is outside the allowed range");
    mdr_err_allowed(err, "%s", range);
    mdr_err_remedy(err, "check the value and its unit");
    return MDR_E_RANGE;
}

static mdr_code read_number(const mdr_col *col, const char *text, size_t len, int64_t *out,
                            mdr_err *err)
{
    mdr_decimal d = {0};
    char range[96];
    mdr_code rc = mdr_decimal_read(text, len, &d, err);
    if (rc != MDR_OK) {
        mdr_mill_range_words(col, range, sizeof range);
        mdr_err_allowed(err, "%s", range);
        return rc;
    }
    rc = mdr_decimal_units(d, mdr_mill_per_unit(col), out, err);
    if (rc == MDR_OK) {
        rc = mdr_mill_check_range(col, *out, err);
    }
    if (rc != MDR_OK) {
        show_value(err, text, len);
    }
    return rc;
}

mdr_code mdr_mill_cell_number(const mdr_col *col, double value, mdr_mill_cell *out, mdr_err *err)
{
    char range[96];
    const double slack = 0.5 / (double)mdr_mill_per_unit(col);
    if (!(value > col->least - slack && value < col->most + slack)) {
        mdr_mill_range_words(col, range, sizeof range);
        (void)MDR_FAIL(err, MDR_E_RANGE, col->name, "the value is outside the allowed range");
        mdr_err_value(err, "%g", value);
        mdr_err_allowed(err, "%s", range);
        mdr_err_remedy(err, "check the value and its unit");
        return MDR_E_RANGE;
    }
    *out = (mdr_mill_cell){.given = true,
                           .number = (int64_t)llround(value * (double)mdr_mill_per_unit(col))};
    return MDR_OK;
}

/* -- words ------------------------------------------------------------------------------------ */

/* "winch|overflow" as "winch, overflow"; cut when there are too many. */
static void choices_words(const char *choices, char *out, size_t size)
{
    size_t n = 0;
    for (const char *p = choices; *p != '\0' && n + 3 < size; p++) {
        if (*p == '|') {
            out[n++] = ',';
            out[n++] = ' ';
        } else {
            out[n++] = *p;
        }
    }
    out[n] = '\0';
}

/* The choice that differs only in capitals, or that the text begins; "" when there is none. */
static void near_choice(const mdr_col *col, const char *text, size_t len, char *out, size_t size)
{
    const char *id;
    size_t n;
    out[0] = '\0';
    for (int i = 0; (id = mdr_mill_choice_text(col->choices, i, &n)) != NULL; i++) {
        size_t same = 0;
        while (same < n && same < len && (id[same] | 0x20) == (text[same] | 0x20)) {
            same++;
        }
        if (same == n || (same == len && len >= 3)) {
            (void)snprintf(out, size, "%.*s", (int)n, id);
            return;
        }
    }
}

static mdr_code refuse_choice(const mdr_col *col, const char *text, size_t len, mdr_err *err)
{
    char all[96], near[64];
    choices_words(col->choices, all, sizeof all);
    near_choice(col, text, len, near, sizeof near);
    (void)MDR_FAIL(err, MDR_E_PARSE, "", "not one of the allowed words");
    show_value(err, text, len);
    mdr_err_allowed(err, "%s", all);
    mdr_err_remedy(err, "write %s",
                   near[0] != '\0' ? near
                                   : "one of the allowed words, in lower "
                                     "or upper case as they stand");
    return MDR_E_PARSE;
}

static mdr_code read_choice(const mdr_col *col, const char *text, size_t len, int64_t *out,
                            mdr_err *err)
{
    const int i = mdr_mill_choice_index(col->choices, text, len);
    if (i < 0) {
        return refuse_choice(col, text, len, err);
    }
    *out = i;
    return MDR_OK;
}

mdr_code mdr_mill_read_set(const mdr_col *col, const char *text, size_t len, int64_t *out,
                           mdr_err *err)
{
    int64_t bits = 0, one = 0;
    for (size_t i = 0; i < len;) {
        size_t n = 0;
        while (i + n < len && text[i + n] != ' ') {
            n++;
        }
        if (n > 0) {
            MDR_TRY(read_choice(col, text + i, n, &one, err));
            bits |= INT64_C(1) << one;
        }
        i += n + 1;
    }
    *out = bits;
    return MDR_OK;
}

static mdr_code read_bool(const char *text, size_t len, int64_t *out, mdr_err *err)
{
    if ((len == 3 && memcmp(text, "yes", 3) == 0) || (len == 2 && memcmp(text, "no", 2) == 0)) {
        *out = len == 3;
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_PARSE, "", "neither yes nor no");
    show_value(err, text, len);
    mdr_err_allowed(err, "yes, no");
    mdr_err_remedy(err, "write yes or no");
    return MDR_E_PARSE;
}

static mdr_code read_date(const char *text, size_t len, int64_t *out, mdr_err *err)
{
    if (mdr_mill_date_read(text, len, out)) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_PARSE, "", "not a date");
    show_value(err, text, len);
    mdr_err_allowed(err, "2000-01-01 to 2099-12-31");
    mdr_err_remedy(err, "write year-month-day: 2026-12-15");
    return MDR_E_PARSE;
}

/* -- all kinds -------------------------------------------------------------------------------- */

static mdr_code read_empty(const mdr_col *col, mdr_mill_cell *out, mdr_err *err)
{
    char range[96];
    if ((col->flags & MDR_COL_MUST) == 0) {
        *out = (mdr_mill_cell){0};
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_PARSE, "", "the cell is empty");
    if (col->kind == MDR_COL_QUANTITY || col->kind == MDR_COL_COUNT) {
        mdr_mill_range_words(col, range, sizeof range);
        mdr_err_allowed(err, "%s", range);
    } else if (col->kind == MDR_COL_ENUM) {
        choices_words(col->choices, range, sizeof range);
        mdr_err_allowed(err, "%s", range);
    }
    mdr_err_remedy(err, "fill in: %s", col->what);
    return MDR_E_PARSE;
}

static mdr_code read_kind(const mdr_col *col, const char *text, size_t len, mdr_mill_cell *c,
                          mdr_err *err)
{
    switch (col->kind) {
    case MDR_COL_ID:
    case MDR_COL_REF:
        return check_id(text, len, err);
    case MDR_COL_TEXT:
        return check_text(text, len, err);
    case MDR_COL_QUANTITY:
    case MDR_COL_COUNT:
        return read_number(col, text, len, &c->number, err);
    case MDR_COL_ENUM:
        return read_choice(col, text, len, &c->number, err);
    case MDR_COL_BOOL:
        return read_bool(text, len, &c->number, err);
    case MDR_COL_DATE:
        return read_date(text, len, &c->number, err);
    case MDR_COL_SET:
        return mdr_mill_read_set(col, text, len, &c->number, err);
    }
    MDR_UNREACHABLE();
}

mdr_code mdr_mill_cell_read(const mdr_col *col, const char *text, size_t len, mdr_mill_cell *out,
                            mdr_err *err)
{
    if (len == 0) {
        return read_empty(col, out, err);
    }
    if (col->kind == MDR_COL_ID || col->kind == MDR_COL_REF || col->kind == MDR_COL_TEXT) {
        strip_apostrophe(&text, &len);
    }
    mdr_mill_cell c = {.given = true, .text = text, .len = len};
    MDR_TRY(read_kind(col, text, len, &c, err));
    *out = c;
    return MDR_OK;
}
