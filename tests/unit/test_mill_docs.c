/* docs/formats.md tells every column of every table, with its range as the program has it. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill_kit.h"

#include "base/mdr_decimal.h"
#include "mill/mdr_mill_cell.h"

static char *read_text(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (f == NULL) {
        fail_msg("%s is missing", path);
    }
    char *text = calloc(1, (size_t)1 << 20);
    assert_non_null(text);
    assert_true(fread(text, 1, ((size_t)1 << 20) - 1, f) > 0);
    assert_int_equal(fclose(f), 0);
    return text;
}

/* The section "### machine: ..." up to the next heading, as a copy. */
static char *section_of(const char *doc, const mdr_table *table)
{
    char heading[80];
    (void)snprintf(heading, sizeof heading, "\n### %s: ", table->name);
    const char *start = strstr(doc, heading);
    if (start == NULL) {
        fail_msg("docs/formats.md has no section for table %s", table->name);
    }
    const char *end = strstr(start + 1, "\n##");
    return strndup(start, end == NULL ? strlen(start) : (size_t)(end - start));
}

static void expect_in(const char *line, const char *part, const mdr_table *table,
                      const mdr_col *col)
{
    if (strstr(line, part) == NULL) {
        fail_msg("docs/formats.md, %s.%s lacks \"%s\"; it has:\n%s", table->name, col->name, part,
                 line);
    }
}

static void check_column(const char *section, const mdr_table *table, const mdr_col *col)
{
    char want[200], least[MDR_DECIMAL_TEXT_MAX], most[MDR_DECIMAL_TEXT_MAX];
    (void)snprintf(want, sizeof want, "\n| `%s`", col->name);
    const char *start = strstr(section, want);
    if (start == NULL) {
        fail_msg("docs/formats.md does not tell column %s of table %s", col->name, table->name);
    }
    char *line = strndup(start + 1, strcspn(start + 1, "\n"));
    const bool number = col->kind == MDR_COL_QUANTITY || col->kind == MDR_COL_COUNT;
    const double per = col->kind == MDR_COL_QUANTITY ? col->per_unit : 1;
    if (number) {
        (void)mdr_decimal_write(least, sizeof least, llround(col->least * per), (int64_t)per);
        (void)mdr_decimal_write(most, sizeof most, llround(col->most * per), (int64_t)per);
        const char *unit = mdr_mill_unit_words(col);
        (void)snprintf(want, sizeof want, "| %s to %s%s%s", least, most, unit[0] != '\0' ? " " : "",
                       unit);
        expect_in(line, want, table, col);
    }
    const char *id;
    size_t n;
    for (int i = 0;
         col->choices != NULL && (id = mdr_mill_choice_text(col->choices, i, &n)) != NULL; i++) {
        (void)snprintf(want, sizeof want, "`%.*s`", (int)n, id);
        expect_in(line, want, table, col);
    }
    const char *empty = (col->flags & MDR_COL_MUST) != 0    ? "| no |"
                        : (col->flags & MDR_COL_LATER) != 0 ? "| may be left out |"
                                                            : "| may be |";
    expect_in(line, empty, table, col);
    expect_in(line, col->what, table, col);
    if ((col->flags & MDR_COL_KEY) != 0) {
        expect_in(line, "(key)", table, col);
    }
    free(line);
}

static void tells_every_column(void **state)
{
    (void)state;
    char *doc = read_text(MDR_SOURCE_DIR "/docs/formats.md");
    assert_non_null(strstr(doc, "\n## Tables as CSV\n"));
    for (int t = 0; t < mdr_tables_count; t++) {
        char *section = section_of(doc, &mdr_tables[t]);
        for (int c = 0; c < mdr_tables[t].n_cols; c++) {
            check_column(section, &mdr_tables[t], &mdr_tables[t].cols[c]);
        }
        free(section);
    }
    free(doc);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(tells_every_column)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
