/* The header of an imported file against the columns of the table. */
#include <stdio.h>
#include <string.h>

#include "mill/mdr_mill_import_in.h"
#include "mill/mdr_mill_rows.h"

enum { NAME_MAX_BYTES = 40 };

static bool same(const mdr_csv_cell *cell, const char *name)
{
    return strlen(name) == cell->len && memcmp(name, cell->text, cell->len) == 0;
}

static int find_col(const mdr_table *table, const mdr_csv_cell *cell)
{
    for (int i = 0; i < table->n_cols; i++) {
        if (same(cell, table->cols[i].name)) {
            return i;
        }
    }
    return -1;
}

static int least_of(int a, int b, int c)
{
    const int m = a < b ? a : b;
    return m < c ? m : c;
}

static int lower(char c)
{
    return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c == ' ' || c == '-' ? '_' : c;
}

/* Edits (insert, delete, replace) between a header cell and a name, capitals alike:
 * Wagner-Fischer, one row of the table at a time. */
static int edits(const mdr_csv_cell *cell, const char *name)
{
    int row[NAME_MAX_BYTES + 1];
    const int n = (int)strlen(name);
    if (n > NAME_MAX_BYTES || cell->len > NAME_MAX_BYTES) {
        return NAME_MAX_BYTES;
    }
    for (int j = 0; j <= n; j++) {
        row[j] = j;
    }
    for (int i = 1; i <= (int)cell->len; i++) {
        int diagonal = row[0];
        row[0] = i;
        for (int j = 1; j <= n; j++) {
            const int change = lower(cell->text[i - 1]) != lower(name[j - 1]);
            const int now = least_of(row[j] + 1, row[j - 1] + 1, diagonal + change);
            diagonal = row[j];
            row[j] = now;
        }
    }
    return row[n];
}

/* The missing column that an unknown header cell was probably meant to be, or -1: few edits, or
 * the same words with another unit behind ("load_max_tonnes"). */
static int near_col(const mdr_mill_import_run *run, const mdr_csv_cell *cell)
{
    int best = -1, best_edits = NAME_MAX_BYTES;
    for (int i = 0; i < run->table->n_cols; i++) {
        const char *name = run->table->cols[i].name;
        const size_t n = strlen(name);
        if (!run->missing[i]) {
            continue;
        }
        size_t common = 0;
        while (common < n && common < cell->len &&
               lower(name[common]) == lower(cell->text[common])) {
            common++;
        }
        const int e = edits(cell, name);
        const bool near = e <= 2 || common * 5 >= n * 3;
        if (near && e < best_edits && e < (int)n) {
            best = i;
            best_edits = e;
        }
    }
    return best;
}

static void name_it(mdr_err *e, const char *verb, const mdr_col *col)
{
    const char *unit = mdr_mill_unit_words(col);
    mdr_err_remedy(e, "%s %s: %s", verb, col->name, unit[0] != '\0' ? unit : col->what);
}

/* True when the header has the columns of the table, all that a file may not lack among them. */
static bool is_header_of(const mdr_csv *csv, const mdr_table *table)
{
    int wanted = 0;
    for (int d = 0; d < table->n_cols; d++) {
        wanted += (table->cols[d].flags & MDR_COL_LATER) == 0;
    }
    for (int i = 0; i < csv->n_cells; i++) {
        const int d = find_col(table, &csv->header[i]);
        if (d < 0) {
            return false;
        }
        wanted -= (table->cols[d].flags & MDR_COL_LATER) == 0;
    }
    return wanted == 0;
}

/* Another table that the file was meant for, or NULL. */
static const mdr_table *other_table(const mdr_mill_import_run *run)
{
    for (int t = 0; t < mdr_tables_count; t++) {
        if (&mdr_tables[t] != run->table && is_header_of(&run->csv, &mdr_tables[t])) {
            return &mdr_tables[t];
        }
    }
    return NULL;
}

/* True when the header was not meant for this table at all. */
static bool refuse_foreign(mdr_mill_import_run *run)
{
    mdr_err e;
    int known = 0;
    for (int i = 0; i < run->csv.n_cells; i++) {
        known += run->col_of[i] >= 0;
    }
    const mdr_table *other = other_table(run);
    if (known > 0 && other == NULL) {
        return false;
    }
    mdr_mill_text names = {.arena = run->arena};
    for (int i = 0; i < run->table->n_cols; i++) {
        mdr_mill_text_add(&names, i == 0 ? "" : ",");
        mdr_mill_text_add(&names, run->table->cols[i].name);
    }
    const char *header = mdr_mill_text_get(&names);
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "the first line is no header of the table %s",
                   run->table->name);
    mdr_err_value(&e, "%.*s", (int)run->csv.header[0].len, run->csv.header[0].text);
    if (other != NULL) {
        mdr_err_remedy(&e, "import the file as table %s", other->name);
    } else {
        mdr_err_remedy(&e, "the first line must be: %s", header != NULL ? header : "");
    }
    mdr_mill_import_note(run, run->csv.header_line, NULL, &e);
    return true;
}

static void note_unknown(mdr_mill_import_run *run, const mdr_csv_cell *cell, int near)
{
    mdr_err e;
    char name[NAME_MAX_BYTES + 4];
    size_t n = cell->len < NAME_MAX_BYTES ? cell->len : NAME_MAX_BYTES;
    while (n < cell->len && ((unsigned char)cell->text[n] & 0xC0u) == 0x80u) {
        n--; /* whole characters only */
    }
    (void)snprintf(name, sizeof name, "%.*s", (int)n, cell->text);
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "the table %s has no such column", run->table->name);
    mdr_err_value(&e, "%s", name);
    if (near >= 0) {
        name_it(&e, "write", &run->table->cols[near]);
    } else {
        mdr_err_remedy(&e, "delete the column");
    }
    mdr_mill_import_note(run, run->csv.header_line, name, &e);
}

static void note_missing(mdr_mill_import_run *run, const mdr_col *col)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "a column is missing");
    name_it(&e, "add the column", col);
    mdr_mill_import_note(run, run->csv.header_line, col->name, &e);
}

void mdr_mill_import_header(mdr_mill_import_run *run)
{
    bool guessed[MDR_MILL_COLS_MAX] = {false};
    for (int d = 0; d < run->table->n_cols; d++) {
        run->missing[d] = true;
    }
    for (int i = 0; i < run->csv.n_cells; i++) {
        const int d = find_col(run->table, &run->csv.header[i]);
        run->col_of[i] = d;
        if (d >= 0 && !run->missing[d]) {
            mdr_err e;
            (void)MDR_FAIL(&e, MDR_E_PARSE, "", "a column is there twice");
            mdr_err_remedy(&e, "delete one of them");
            mdr_mill_import_note(run, run->csv.header_line, run->table->cols[d].name, &e);
            run->col_of[i] = -1;
        } else if (d >= 0) {
            run->missing[d] = false;
        }
    }
    if (refuse_foreign(run)) {
        run->csv.broken = true;
        return;
    }
    for (int i = 0; i < run->csv.n_cells; i++) {
        if (find_col(run->table, &run->csv.header[i]) < 0) {
            const int near = near_col(run, &run->csv.header[i]);
            note_unknown(run, &run->csv.header[i], near);
            if (near >= 0) {
                guessed[near] = true;
            }
        }
    }
    for (int d = 0; d < run->table->n_cols; d++) {
        const bool may_lack = (run->table->cols[d].flags & MDR_COL_LATER) != 0;
        if (run->missing[d] && !guessed[d] && !may_lack) {
            note_missing(run, &run->table->cols[d]);
        }
    }
}
