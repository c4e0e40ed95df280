#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mdr_csv.h"

/* Reads a text to its end. Rows become "a|b|c;" with their line before them. */
typedef struct outcome {
    mdr_code code; /* of the first fault */
    mdr_err err;
    char rows[512];
    int faults;
} outcome;

static outcome read_all_n(const char *text, size_t len)
{
    outcome o = {0};
    mdr_csv csv;
    mdr_err e;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    assert_non_null(arena);
    mdr_code rc = mdr_csv_open(&csv, "f.csv", text, len, arena, &e);
    bool got = true;
    size_t n = 0;
    while (rc == MDR_OK || !csv.broken) {
        if (rc == MDR_OK) {
            rc = mdr_csv_next(&csv, &got, &e);
        }
        if (rc != MDR_OK) {
            if (o.faults++ == 0) {
                o.code = rc;
                o.err = e;
            }
            rc = csv.broken ? rc : MDR_OK;
            continue;
        }
        if (!got) {
            break;
        }
        n += (size_t)snprintf(o.rows + n, sizeof o.rows - n, "%d:", csv.line);
        for (int i = 0; i < csv.n_cells; i++) {
            n += (size_t)snprintf(o.rows + n, sizeof o.rows - n, "%s%.*s", i > 0 ? "|" : "",
                                  (int)csv.cells[i].len, csv.cells[i].text);
        }
        n += (size_t)snprintf(o.rows + n, sizeof o.rows - n, ";");
    }
    if (o.faults == 0 && rc != MDR_OK) {
        o.code = rc;
        o.err = e;
        o.faults = 1;
    }
    mdr_arena_free(arena);
    return o;
}

/* The text stands in a block of its exact size, so that the sanitizers see a step beyond it. */
static outcome read_all(const char *text)
{
    const size_t len = strlen(text);
    char *exact = malloc(len > 0 ? len : 1);
    assert_non_null(exact);
    memcpy(exact, text, len);
    const outcome o = read_all_n(exact, len);
    free(exact);
    return o;
}

/* S: RFC 4180 section 2, rule numbers; "own" are the rules of mdr_csv.h. */
static const struct {
    const char *text, *rows, *rule;
} READ[] = {
    {"a,b\r\n1,2\r\n3,4\r\n", "2:1|2;3:3|4;", "1: CRLF"},
    {"a,b\n1,2\n3,4", "2:1|2;3:3|4;", "2: the last line may end without a line break"},
    {"a,b\r\n1,2\r\n3,4\r", "2:1|2;3:3|4;", "own: half a line end at the end"},
    {"a,b\n1, 2 \n", "2:1| 2 ;", "4: spaces are part of a cell"},
    {"a,b\n\"1\",\"2\"\n", "2:1|2;", "5: quotes"},
    {"a,b\n\"x,y\",\"p\nq\"\n3,4\n", "2:x,y|p\nq;4:3|4;", "6: commas and line breaks in quotes"},
    {"a,b\n\"x\r\ny\",2\n", "2:x\r\ny|2;", "6: CRLF in quotes"},
    {"a,b\n\"say \"\"yes\"\"\",\"\"\"\"\n", "2:say \"yes\"|\";", "7: doubled quotes"},
    {"a,b\n\"\",\n", "2:|;", "5: empty cells"},
    {"a,b\n,\n", "2:|;", "4: empty cells"},
    {"a,b\n\n1,2\n\r\n\n3,4\n\n", "3:1|2;6:3|4;", "own: empty lines"},
    {"\xEF\xBB\xBF"
     "a,b\n1,2\n",
     "2:1|2;", "own: UTF-8 mark"},
    {"# from, a \"book\n#x\n\na,b\n1,2\n", "5:1|2;", "own: comments before the header"},
    {"a,b\n#1,2\n", "2:#1|2;", "own: no comments after the header"},
    {"a,b\n\xC3\xA9\xE2\x82\xAC,\xF0\x9F\x90\x91\n", "2:\xC3\xA9\xE2\x82\xAC|\xF0\x9F\x90\x91;",
     "own: UTF-8"},
    {"a;b,c\n1;2,3\n", "2:1;2|3;", "own: a semicolon beside commas is text"},
    {"only\n1\n2\n", "2:1;3:2;", "4: one column"},
    {"a,b\n", "", "own: no rows"},
};

static void reads(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(READ); i++) {
        const outcome o = read_all(READ[i].text);
        if (o.faults != 0 || strcmp(o.rows, READ[i].rows) != 0) {
            fail_msg("%s: got \"%s\", %d faults: %s", READ[i].rule, o.rows, o.faults, o.err.msg);
        }
    }
}

static const struct {
    const char *text, *place, *msg;
    int faults;
    const char *rows; /* that were read nevertheless */
} REFUSED[] = {
    {"", "f.csv:1", "empty", 1, ""},
    {"\xEF\xBB\xBF", "f.csv:1", "empty", 1, ""},
    {"# only\n# comments\n", "f.csv:3", "empty", 1, ""},
    {"a,b\n1,\"2\n3,4\n", "f.csv:2", "never closed", 1, ""},
    {"a,b\n1,\"", "f.csv:2", "never closed", 1, ""},
    {"a,b\n\"x\ny\n\"\"\n", "f.csv:2", "never closed", 1, ""},
    {"a,\"b\n1,2\n", "f.csv:1", "never closed", 1, ""},
    {"a,b\n1,2\"x\"\n3,4\n", "f.csv:2", "a quote inside", 1, "3:3|4;"},
    {"a,b\n\"1\"2,3\n3,4\n", "f.csv:2", "after the closing quote", 1, "3:3|4;"},
    {"a,b\n1\n3,4\n5,6,7\n", "f.csv:2", "fewer cells", 2, "3:3|4;"},
    {"a,b\n1,2,3\n", "f.csv:2", "more cells", 1, ""},
    {"a,b\n\"x\ny\",2\n9\n", "f.csv:4", "fewer cells", 1, "2:x\ny|2;"},
    {"a;b\n1;2\n", "f.csv:1", "semicolons", 1, ""},
    {"#c\na\tb\n1\t2\n", "f.csv:2", "tabs", 1, ""},
    {"a,,c\n1,2,3\n", "f.csv:1", "column 2 has no name", 1, ""},
    {"a,b\n1,\xFF\n", "f.csv:2", "not UTF-8", 1, ""},
    {"a,b\n1,2\n3,\xC3\n", "f.csv:3", "not UTF-8", 1, ""},        /* cut */
    {"a,b\n1,\xC0\xAF\n", "f.csv:2", "not UTF-8", 1, ""},         /* overlong */
    {"a,b\n1,\xE0\x80\xAF\n", "f.csv:2", "not UTF-8", 1, ""},     /* overlong */
    {"a,b\n1,\xED\xA0\x80\n", "f.csv:2", "not UTF-8", 1, ""},     /* surrogate */
    {"a,b\n1,\xF4\x90\x80\x80\n", "f.csv:2", "not UTF-8", 1, ""}, /* beyond U+10FFFF */
    {"a,b\n1,\xE2\x82", "f.csv:2", "not UTF-8", 1, ""},           /* cut at the end */
    {"\xFF\xFE"
     "a",
     "f.csv:1", "UTF-16", 1, ""},
};

static void refuses(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(REFUSED); i++) {
        const outcome o = read_all(REFUSED[i].text);
        if (o.faults != REFUSED[i].faults || strcmp(o.err.place, REFUSED[i].place) != 0 ||
            strstr(o.err.msg, REFUSED[i].msg) == NULL || strcmp(o.rows, REFUSED[i].rows) != 0) {
            fail_msg("row %zu: %d faults, first at \"%s\": \"%s\"; rows \"%s\"", i, o.faults,
                     o.err.place, o.err.msg, o.rows);
        }
        assert_int_equal(o.code, MDR_E_PARSE);
        assert_true(strlen(o.err.remedy) > 0);
    }
}

static void refuses_nul(void **state)
{
    (void)state;
    const outcome o = read_all_n("a,b\n1,\0002\n", 9);
    assert_int_equal(o.code, MDR_E_PARSE);
    assert_string_equal(o.err.place, "f.csv:2");
    assert_non_null(strstr(o.err.msg, "NUL"));
}

static char *text_of(const char *header, const char *line, size_t lines, size_t *len)
{
    const size_t n = strlen(line);
    *len = strlen(header) + lines * n;
    char *text = malloc(*len + 1);
    assert_non_null(text);
    (void)strcpy(text, header);
    for (size_t i = 0; i < lines; i++) {
        memcpy(text + strlen(header) + i * n, line, n);
    }
    text[*len] = '\0';
    return text;
}

static void caps_the_size(void **state)
{
    (void)state;
    size_t len;
    char *text = text_of("a\n", "0123456789012345678901234567890\n", 1024 * 1024, &len);
    const outcome o = read_all_n(text, len); /* 2 bytes more than 32 MiB */
    assert_int_equal(o.code, MDR_E_RANGE);
    assert_string_equal(o.err.place, "f.csv");
    assert_string_equal(o.err.value, "33554434 bytes");
    assert_non_null(strstr(o.err.allowed, "33554432 bytes (32 MiB)"));
    assert_non_null(strstr(o.err.remedy, "split the file"));
    free(text);
}

static void caps_the_rows(void **state)
{
    (void)state;
    size_t len;
    char *text = text_of("a\n", "1\n", MDR_CSV_ROWS_MAX + 1, &len);
    for (int extra = 0; extra <= 1; extra++) {
        mdr_csv csv;
        mdr_err e = {0};
        bool got = true;
        int n = 0;
        mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
        mdr_code rc = mdr_csv_open(&csv, "f.csv", text, len - (extra == 0 ? 2 : 0), arena, &e);
        while (rc == MDR_OK && got) {
            rc = mdr_csv_next(&csv, &got, &e);
            n += got;
        }
        assert_int_equal(n, MDR_CSV_ROWS_MAX);
        assert_int_equal(rc, extra == 0 ? MDR_OK : MDR_E_RANGE);
        assert_true(extra == 0 || (csv.broken && strcmp(e.place, "f.csv:100002") == 0 &&
                                   strstr(e.allowed, "100000") != NULL));
        mdr_arena_free(arena);
    }
    free(text);
}

static void caps_the_columns(void **state)
{
    (void)state;
    size_t len;
    char *text = text_of("a", ",a", MDR_CSV_CELLS_MAX, &len);
    assert_int_equal(read_all_n(text, len).code, MDR_E_PARSE);
    assert_int_equal(read_all_n(text, len - 2).code, MDR_OK);
    free(text);
}

static void long_names_keep_their_end(void **state)
{
    (void)state;
    mdr_csv csv;
    mdr_err e;
    char name[200];
    memset(name, 'x', sizeof name);
    (void)strcpy(name + 190, "end.csv");
    mdr_arena *arena = mdr_arena_new(16384);
    assert_int_equal(mdr_csv_open(&csv, name, "a;b", 3, arena, &e), MDR_E_PARSE);
    assert_non_null(strstr(e.place, "xend.csv:1"));
    mdr_arena_free(arena);
}

/* Cells without doubled quotes are not copied. */
static void memory_stays_small(void **state)
{
    (void)state;
    mdr_csv csv;
    bool got = true;
    int n = 0;
    size_t len;
    char *text = text_of("a,b\n", "\"x,y\",z\n", 50000, &len);
    mdr_arena *arena = mdr_arena_new(16384);
    assert_int_equal(mdr_csv_open(&csv, "f", text, len, arena, NULL), MDR_OK);
    while (got) {
        assert_int_equal(mdr_csv_next(&csv, &got, NULL), MDR_OK);
        n += got;
    }
    assert_int_equal(n, 50000);
    mdr_arena_free(arena);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(reads),
                                       cmocka_unit_test(refuses),
                                       cmocka_unit_test(refuses_nul),
                                       cmocka_unit_test(caps_the_size),
                                       cmocka_unit_test(caps_the_rows),
                                       cmocka_unit_test(caps_the_columns),
                                       cmocka_unit_test(long_names_keep_their_end),
                                       cmocka_unit_test(memory_stays_small)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
