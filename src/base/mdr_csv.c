#include "base/mdr_csv.h"

#include <stdio.h>
#include <string.h>

#define FAIL_AT(err, csv, line, ...) \
    fail_at((csv), (line), MDR_FAIL((err), MDR_E_PARSE, "", __VA_ARGS__), (err))

static mdr_code fail_at(const mdr_csv *csv, int line, mdr_code code, mdr_err *err)
{
    if (err != NULL) {
        (void)snprintf(err->place, sizeof err->place, "%s:%d", csv->name, line);
    }
    return code;
}

/* -- the text as a whole ---------------------------------------------------------------------- */

static size_t length_by_lead(unsigned char a)
{
    if (a < 0x80) {
        return 1;
    }
    if (a >= 0xC2 && a <= 0xDF) {
        return 2;
    }
    if (a >= 0xE0 && a <= 0xEF) {
        return 3;
    }
    return a >= 0xF0 && a <= 0xF4 ? 4 : 0;
}

/* Length of the UTF-8 character at p, or 0 when it is none (overlong, surrogate, cut, beyond
 * U+10FFFF): the well-formed sequences of the Unicode standard, table 3-7. */
static size_t utf8_length(const unsigned char *p, size_t n)
{
    const unsigned char a = p[0];
    const size_t len = length_by_lead(a);
    if (len > n) {
        return 0;
    }
    for (size_t i = 1; i < len; i++) {
        if ((p[i] & 0xC0u) != 0x80u) {
            return 0;
        }
    }
    const bool bad = (a == 0xE0 && p[1] < 0xA0) || (a == 0xED && p[1] > 0x9F) ||
                     (a == 0xF0 && p[1] < 0x90) || (a == 0xF4 && p[1] > 0x8F);
    return bad ? 0 : len;
}

static mdr_code check_bytes(const mdr_csv *csv, mdr_err *err)
{
    const unsigned char *p = (const unsigned char *)csv->text;
    int line = 1;
    if (csv->len >= 2 && ((p[0] == 0xFF && p[1] == 0xFE) || (p[0] == 0xFE && p[1] == 0xFF))) {
        (void)FAIL_AT(err, csv, 1, "the file is UTF-16 text");
        mdr_err_remedy(err, "export it as \"CSV UTF-8\"");
        return MDR_E_PARSE;
    }
    for (size_t i = 0; i < csv->len;) {
        if (p[i] == 0) {
            (void)FAIL_AT(err, csv, line, "a NUL byte: this is no text file");
            mdr_err_remedy(err, "export the sheet as CSV; do not rename a spreadsheet file");
            return MDR_E_PARSE;
        }
        const size_t n = utf8_length(p + i, csv->len - i);
        if (n == 0) {
            (void)FAIL_AT(err, csv, line, "the text is not UTF-8");
            mdr_err_value(err, "byte 0x%02X", p[i]);
            mdr_err_remedy(err, "export it as \"CSV UTF-8\"");
            return MDR_E_PARSE;
        }
        line += p[i] == '\n';
        i += n;
    }
    return MDR_OK;
}

static mdr_code check_size(const mdr_csv *csv, mdr_err *err)
{
    if (csv->len <= MDR_CSV_BYTES_MAX) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_RANGE, csv->name, "the file is too large");
    mdr_err_value(err, "%zu bytes", csv->len);
    mdr_err_allowed(err, "at most %d bytes (%d MiB)", (int)MDR_CSV_BYTES_MAX,
                    (int)(MDR_CSV_BYTES_MAX / (1024 * 1024)));
    mdr_err_remedy(err, "split the file; repeat the header line in each part");
    return MDR_E_RANGE;
}

/* -- cells ------------------------------------------------------------------------------------ */

static bool at_line_end(const mdr_csv *csv, size_t at)
{
    return at == csv->len || csv->text[at] == '\n' ||
           (csv->text[at] == '\r' && (at + 1 == csv->len || csv->text[at + 1] == '\n'));
}

static void pass_line_end(mdr_csv *csv)
{
    if (csv->at < csv->len && csv->text[csv->at] == '\r') {
        csv->at++;
    }
    if (csv->at < csv->len) {
        csv->at++;
        csv->at_line++;
    }
}

static void pass_line(mdr_csv *csv)
{
    while (!at_line_end(csv, csv->at)) {
        csv->at++;
    }
    pass_line_end(csv);
}

static mdr_code undouble(const mdr_csv *csv, mdr_csv_cell *cell, mdr_err *err)
{
    char *copy = mdr_arena_alloc(csv->arena, cell->len, 1);
    if (copy == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, csv->name, "too little memory for the file");
    }
    size_t n = 0;
    for (size_t i = 0; i < cell->len; i++) {
        copy[n++] = cell->text[i];
        i += cell->text[i] == '"';
    }
    *cell = (mdr_csv_cell){copy, n};
    return MDR_OK;
}

/* csv->at stands on the opening quote. */
static mdr_code read_quoted(mdr_csv *csv, mdr_csv_cell *cell, mdr_err *err)
{
    const int first_line = csv->at_line;
    const size_t start = ++csv->at;
    bool doubled = false;
    for (;; csv->at++) {
        if (csv->at == csv->len) {
            csv->broken = true;
            (void)FAIL_AT(err, csv, first_line, "a quote is opened and never closed");
            mdr_err_value(err, "\"%.*s", (int)(csv->len - start), csv->text + start);
            mdr_err_remedy(err, "close the quote, or write two quotes for one inside a cell");
            return MDR_E_PARSE;
        }
        csv->at_line += csv->text[csv->at] == '\n';
        if (csv->text[csv->at] != '"') {
            continue;
        }
        if (csv->at + 1 < csv->len && csv->text[csv->at + 1] == '"') {
            doubled = true;
            csv->at++;
            continue;
        }
        break;
    }
    *cell = (mdr_csv_cell){csv->text + start, csv->at - start};
    csv->at++;
    if (!at_line_end(csv, csv->at) && csv->text[csv->at] != ',') {
        (void)FAIL_AT(err, csv, csv->at_line, "text after the closing quote");
        mdr_err_value(err, "%.*s", (int)(csv->len - csv->at), csv->text + csv->at);
        mdr_err_remedy(err, "write two quotes for one inside a cell");
        return MDR_E_PARSE;
    }
    return doubled ? undouble(csv, cell, err) : MDR_OK;
}

static mdr_code read_bare(mdr_csv *csv, mdr_csv_cell *cell, mdr_err *err)
{
    const size_t start = csv->at;
    while (!at_line_end(csv, csv->at) && csv->text[csv->at] != ',') {
        if (csv->text[csv->at] == '"') {
            (void)FAIL_AT(err, csv, csv->at_line, "a quote inside a cell without quotes");
            mdr_err_value(err, "%.*s", (int)(csv->at + 1 - start), csv->text + start);
            mdr_err_remedy(err, "put the whole cell in quotes and write each quote in it twice");
            return MDR_E_PARSE;
        }
        csv->at++;
    }
    *cell = (mdr_csv_cell){csv->text + start, csv->at - start};
    return MDR_OK;
}

/* One line of cells; keeps the first `room` and counts all. */
static mdr_code read_row(mdr_csv *csv, mdr_csv_cell *cells, int room, int *n, mdr_err *err)
{
    *n = 0;
    csv->line = csv->at_line;
    for (;;) {
        mdr_csv_cell cell;
        const bool quoted = csv->at < csv->len && csv->text[csv->at] == '"';
        const mdr_code rc = quoted ? read_quoted(csv, &cell, err) : read_bare(csv, &cell, err);
        if (rc != MDR_OK) {
            pass_line(csv);
            return rc;
        }
        if (*n < room) {
            cells[*n] = cell;
        }
        ++*n;
        if (csv->at == csv->len || csv->text[csv->at] != ',') {
            pass_line_end(csv);
            return MDR_OK;
        }
        csv->at++;
    }
}

/* -- header ----------------------------------------------------------------------------------- */

/* Empty lines, and comments where they are allowed. */
static void pass_blank_lines(mdr_csv *csv, bool comments)
{
    while (csv->at < csv->len) {
        if (comments && csv->text[csv->at] == '#') {
            pass_line(csv);
        } else if (at_line_end(csv, csv->at)) {
            pass_line_end(csv);
        } else {
            return;
        }
    }
}

static mdr_code refuse_separator(const mdr_csv *csv, mdr_err *err)
{
    bool semicolon = false, tab = false;
    for (size_t i = csv->at; !at_line_end(csv, i); i++) {
        if (csv->text[i] == ',') {
            return MDR_OK;
        }
        semicolon = semicolon || csv->text[i] == ';';
        tab = tab || csv->text[i] == '\t';
    }
    if (!semicolon && !tab) {
        return MDR_OK;
    }
    (void)FAIL_AT(err, csv, csv->at_line, "the cells are separated by %s, not by commas",
                  semicolon ? "semicolons" : "tabs");
    mdr_err_remedy(err, "export with commas between the cells and points for decimals");
    return MDR_E_PARSE;
}

static mdr_code read_header(mdr_csv *csv, mdr_err *err)
{
    mdr_csv_cell *header = MDR_NEW_N(csv->arena, mdr_csv_cell, MDR_CSV_CELLS_MAX);
    csv->cells = MDR_NEW_N(csv->arena, mdr_csv_cell, MDR_CSV_CELLS_MAX);
    if (header == NULL || csv->cells == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, csv->name, "too little memory for the file");
    }
    pass_blank_lines(csv, true);
    if (csv->at == csv->len) {
        (void)FAIL_AT(err, csv, csv->at_line, "the file is empty");
        mdr_err_remedy(err, "the first line holds the names of the columns");
        return MDR_E_PARSE;
    }
    MDR_TRY(refuse_separator(csv, err));
    MDR_TRY(read_row(csv, header, MDR_CSV_CELLS_MAX, &csv->n_cells, err));
    csv->header = header;
    csv->header_line = csv->line;
    if (csv->n_cells > MDR_CSV_CELLS_MAX) {
        (void)FAIL_AT(err, csv, csv->header_line, "too many columns");
        mdr_err_value(err, "%d", csv->n_cells);
        mdr_err_allowed(err, "at most %d", (int)MDR_CSV_CELLS_MAX);
        mdr_err_remedy(err, "delete the empty columns");
        return MDR_E_PARSE;
    }
    for (int i = 0; i < csv->n_cells; i++) {
        if (header[i].len == 0) {
            (void)FAIL_AT(err, csv, csv->header_line, "column %d has no name", i + 1);
            mdr_err_remedy(err, "name the column or delete it");
            return MDR_E_PARSE;
        }
    }
    return MDR_OK;
}

/* The end of a long name tells files apart. */
static void set_name(mdr_csv *csv, const char *name)
{
    const size_t n = strlen(name);
    if (n <= MDR_CSV_PLACE_NAME) {
        (void)snprintf(csv->name, sizeof csv->name, "%s", name);
        return;
    }
    const char *tail = name + n - MDR_CSV_PLACE_NAME;
    while (((unsigned char)*tail & 0xC0u) == 0x80u) {
        tail++;
    }
    (void)snprintf(csv->name, sizeof csv->name, "...%s", tail);
}

mdr_code mdr_csv_open(mdr_csv *csv, const char *name, const char *text, size_t len,
                      mdr_arena *arena, mdr_err *err)
{
    *csv = (mdr_csv){.text = text, .len = len, .at_line = 1, .arena = arena, .broken = true};
    set_name(csv, name);
    MDR_TRY(check_size(csv, err));
    MDR_TRY(check_bytes(csv, err));
    if (len >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        csv->at = 3;
    }
    MDR_TRY(read_header(csv, err));
    csv->broken = false;
    return MDR_OK;
}

mdr_code mdr_csv_next(mdr_csv *csv, bool *got, mdr_err *err)
{
    int n;
    *got = false;
    if (csv->broken) {
        return MDR_FAIL(err, MDR_E_ARG, csv->name, "the file cannot be read any further");
    }
    pass_blank_lines(csv, false);
    if (csv->at == csv->len) {
        return MDR_OK;
    }
    if (csv->rows == MDR_CSV_ROWS_MAX) {
        csv->broken = true;
        (void)fail_at(csv, csv->at_line, MDR_FAIL(err, MDR_E_RANGE, "", "too many rows"), err);
        mdr_err_allowed(err, "at most %d rows", (int)MDR_CSV_ROWS_MAX);
        mdr_err_remedy(err, "split the file; repeat the header line in each part");
        return MDR_E_RANGE;
    }
    csv->rows++;
    MDR_TRY(read_row(csv, csv->cells, csv->n_cells, &n, err));
    if (n != csv->n_cells) {
        (void)FAIL_AT(err, csv, csv->line, "the row has %s cells than the header",
                      n > csv->n_cells ? "more" : "fewer");
        mdr_err_value(err, "%d cells", n);
        mdr_err_allowed(err, "%d cells", csv->n_cells);
        mdr_err_remedy(err, n > csv->n_cells ? "put a cell with a comma in quotes; decimals are "
                                               "written with a point"
                                             : "write an empty cell as nothing between two commas");
        return MDR_E_PARSE;
    }
    *got = true;
    return MDR_OK;
}
