/* Lots of an older book, from a table. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_learn.h"
#include "base/mdr_csv.h"
#include "base/mdr_decimal.h"
#include "mill/mdr_bench.h"

/* X(enumerator, column, it must be there) */
#define COLUMNS(X)                       \
    X(LOT, "lot_id", true)               \
    X(ENDED, "ended", true)              \
    X(RIGHT, "right_first", true)        \
    X(SHADE, "shade_id", false)          \
    X(MACHINE, "machine_id", false)      \
    X(DYE_SET, "dye_set", false)         \
    X(ARTICLE, "article_id", false)      \
    X(ADDITIONS, "additions", false)     \
    X(DE, "de", false)                   \
    X(DYE, "dye_id", false)              \
    X(PLANNED, "planned_pct_owf", false) \
    X(FOUND, "found_pct_owf", false)

typedef enum column {
#define X(name, text, must) name,
    COLUMNS(X)
#undef X
        COLUMN_COUNT
} column;

static const struct {
    const char *name;
    bool must;
} HEAD[COLUMN_COUNT] = {
#define X(name, text, must) {text, must},
    COLUMNS(X)
#undef X
};

enum { DAY_CHARS = 10 };
static const double DEPTH_MOST_PCT = 20.0; /* invented: a wrong column */

typedef struct book {
    mdr_csv csv;
    int at[COLUMN_COUNT]; /* column in the file; -1: there is none */
    mdr_arena *arena;
    mdr_learn_lot *lots;
    mdr_learn_dye *dyes;
    int *lines; /* of the lots */
    int n_lots, n_dyes;
} book;

static mdr_code head_fault(const book *b, mdr_err *err, const char *message, const char *value,
                           size_t len)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, "", "%s", message);
    mdr_err_within(err, "%s:%d", b->csv.name, b->csv.header_line);
    mdr_err_value(err, "%.*s", (int)len, value);
    mdr_err_remedy(err, "docs/formats.md, Lots of an older book, lists the columns");
    return rc;
}

static mdr_code read_head(book *b, mdr_err *err)
{
    for (int k = 0; k < COLUMN_COUNT; k++) {
        b->at[k] = -1;
    }
    for (int i = 0; i < b->csv.n_cells; i++) {
        const mdr_csv_cell *head = &b->csv.header[i];
        int found = -1;
        for (int k = 0; k < COLUMN_COUNT; k++) {
            if (strlen(HEAD[k].name) == head->len &&
                memcmp(HEAD[k].name, head->text, head->len) == 0) {
                found = k;
            }
        }
        if (found < 0 || b->at[found] >= 0) {
            return head_fault(
                b, err, found < 0 ? "a column that it cannot have" : "a column is there twice",
                head->text, head->len);
        }
        b->at[found] = i;
    }
    for (int k = 0; k < COLUMN_COUNT; k++) {
        if (HEAD[k].must && b->at[k] < 0) {
            return head_fault(b, err, "a column is missing", HEAD[k].name, strlen(HEAD[k].name));
        }
    }
    return MDR_OK;
}

/* -- cells -- */

static mdr_csv_cell cell_of(const book *b, column k)
{
    return b->at[k] < 0 ? (mdr_csv_cell){"", 0} : b->csv.cells[b->at[k]];
}

static mdr_code cell_fault(const book *b, column k, const char *allowed, mdr_err *err)
{
    const mdr_csv_cell cell = cell_of(b, k);
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "a cell has a value it cannot have");
    mdr_err_within(err, "%s:%d:%s", b->csv.name, b->csv.line, HEAD[k].name);
    mdr_err_value(err, "%.*s", (int)cell.len, cell.text);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "correct the cell");
    return rc;
}

/* "" for an empty cell. */
static mdr_code read_text(const book *b, column k, const char **out, mdr_err *err)
{
    const mdr_csv_cell cell = cell_of(b, k);
    if (cell.len > MDR_LEARN_TEXT_MAX || (HEAD[k].must && cell.len == 0)) {
        return cell_fault(b, k, "a name of 1 to 40 bytes", err);
    }
    *out = mdr_arena_text_n(b->arena, cell.text, cell.len);
    return *out != NULL ? MDR_OK : MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
}

/* Leaves *out alone when the cell is empty. */
static mdr_code read_number(const book *b, column k, double least, double most, double *out,
                            mdr_err *err)
{
    const mdr_csv_cell cell = cell_of(b, k);
    mdr_decimal d;
    if (cell.len == 0) {
        return MDR_OK;
    }
    const bool is_number = mdr_decimal_read(cell.text, cell.len, &d, NULL) == MDR_OK;
    const double value = is_number ? mdr_decimal_value(d) : 0.0;
    if (!is_number || value < least || value > most) {
        const mdr_code rc = cell_fault(b, k, "", err);
        mdr_err_allowed(err, "a number from %g to %g", least, most);
        return rc;
    }
    *out = value;
    return MDR_OK;
}

/* "23:59" behind the day; minutes, or -1. */
static int minutes_of(const char *text, size_t len)
{
    const bool form = len == 5 && text[2] == ':' && strspn(text, "0123456789") == 2 &&
                      text[3] >= '0' && text[3] <= '9' && text[4] >= '0' && text[4] <= '9';
    const int hour = form ? (text[0] - '0') * 10 + text[1] - '0' : 99;
    const int minute = form ? (text[3] - '0') * 10 + text[4] - '0' : 99;
    return hour < 24 && minute < 60 ? hour * 60 + minute : -1;
}

static mdr_code read_ended(const book *b, int64_t *out, mdr_err *err)
{
    const mdr_csv_cell cell = cell_of(b, ENDED);
    char text[DAY_CHARS + 8] = "", day[DAY_CHARS + 1] = "";
    int minutes = 0;
    if (cell.len >= DAY_CHARS && cell.len < sizeof text) {
        memcpy(text, cell.text, cell.len);
        memcpy(day, cell.text, DAY_CHARS);
        const bool parted = text[DAY_CHARS] == ' ' || text[DAY_CHARS] == 'T';
        minutes = cell.len == DAY_CHARS ? 0
                  : parted              ? minutes_of(text + DAY_CHARS + 1, cell.len - DAY_CHARS - 1)
                                        : -1;
    }
    if (minutes < 0 || !mdr_bench_day(day, out)) {
        return cell_fault(b, ENDED, "2026-11-25 or 2026-11-25 14:05", err);
    }
    *out += (int64_t)minutes * 60000;
    return MDR_OK;
}

static bool is_word(mdr_csv_cell cell, const char *word)
{
    return cell.len == strlen(word) && memcmp(cell.text, word, cell.len) == 0;
}

static mdr_code read_right(const book *b, bool *out, mdr_err *err)
{
    const mdr_csv_cell cell = cell_of(b, RIGHT);
    const bool yes = is_word(cell, "yes") || is_word(cell, "1");
    if (!yes && !is_word(cell, "no") && !is_word(cell, "0")) {
        return cell_fault(b, RIGHT, "yes or no", err);
    }
    *out = yes;
    return MDR_OK;
}

/* -- rows -- */

static mdr_code read_names(const book *b, mdr_learn_lot *l, mdr_err *err)
{
    MDR_TRY(read_text(b, LOT, &l->lot_id, err));
    MDR_TRY(read_text(b, SHADE, &l->shade_id, err));
    MDR_TRY(read_text(b, MACHINE, &l->machine_id, err));
    MDR_TRY(read_text(b, DYE_SET, &l->dye_set, err));
    return read_text(b, ARTICLE, &l->article_id, err);
}

static mdr_code read_lot(const book *b, mdr_learn_lot *l, mdr_err *err)
{
    double additions = 0.0, de = -1.0;
    MDR_TRY(read_names(b, l, err));
    MDR_TRY(read_ended(b, &l->ended_utc_ms, err));
    MDR_TRY(read_right(b, &l->right_first, err));
    MDR_TRY(read_number(b, ADDITIONS, 0.0, MDR_LEARN_ADDITIONS_MOST, &additions, err));
    MDR_TRY(read_number(b, DE, 0.0, MDR_LEARN_DE_MOST, &de, err));
    l->additions = (int)additions;
    if (l->additions < additions) {
        return cell_fault(b, ADDITIONS, "a whole number from 0 to 99", err);
    }
    l->has_de = de >= 0.0;
    l->de = l->has_de ? de : 0.0;
    return MDR_OK;
}

static mdr_code read_dye(book *b, mdr_learn_lot *l, mdr_err *err)
{
    mdr_learn_dye dye = {.dye_id = "", .planned_pct = -1.0, .found_pct = -1.0};
    MDR_TRY(read_text(b, DYE, &dye.dye_id, err));
    MDR_TRY(read_number(b, PLANNED, 0.0, DEPTH_MOST_PCT, &dye.planned_pct, err));
    MDR_TRY(read_number(b, FOUND, 0.0, DEPTH_MOST_PCT, &dye.found_pct, err));
    const bool none = dye.dye_id[0] == '\0';
    if (none && (dye.planned_pct >= 0.0 || dye.found_pct >= 0.0)) {
        return cell_fault(b, DYE, "the dye of the depths", err);
    }
    if (none) {
        return MDR_OK;
    }
    if (dye.planned_pct < 0.0 || dye.found_pct < 0.0) {
        return cell_fault(b, dye.planned_pct < 0.0 ? PLANNED : FOUND, "both depths of the dye",
                          err);
    }
    b->dyes[b->n_dyes++] = dye;
    l->n_dyes++;
    return MDR_OK;
}

/* A row of the lot that stands above is one more dye of it; its other cells say the same, or nothing. */
static mdr_code same_lot(const book *b, const mdr_learn_lot *l, mdr_err *err)
{
    const mdr_csv_cell right = cell_of(b, RIGHT);
    mdr_learn_lot again = *l;
    if (cell_of(b, ENDED).len > 0) {
        MDR_TRY(read_ended(b, &again.ended_utc_ms, err));
    }
    if (right.len > 0) {
        MDR_TRY(read_right(b, &again.right_first, err));
    }
    if (again.ended_utc_ms != l->ended_utc_ms || again.right_first != l->right_first) {
        const mdr_code rc = cell_fault(b, LOT, "rows that say the same of a lot", err);
        mdr_err_remedy(err, "leave the cells of further dyes empty");
        return rc;
    }
    return MDR_OK;
}

static mdr_code take(book *b, mdr_err *err)
{
    const mdr_csv_cell id = cell_of(b, LOT);
    mdr_learn_lot *last = b->n_lots > 0 ? &b->lots[b->n_lots - 1] : NULL;
    if (last != NULL && is_word(id, last->lot_id)) {
        MDR_TRY(same_lot(b, last, err));
        return read_dye(b, last, err);
    }
    mdr_learn_lot lot = {.dyes = &b->dyes[b->n_dyes]};
    MDR_TRY(read_lot(b, &lot, err));
    MDR_TRY(read_dye(b, &lot, err));
    if (b->n_lots == MDR_LEARN_LOTS_MAX) {
        return cell_fault(b, LOT, "at most 20000 lots", err);
    }
    b->lines[b->n_lots] = b->csv.line;
    b->lots[b->n_lots++] = lot;
    return MDR_OK;
}

typedef struct named {
    const char *id;
    int line;
} named;

static int by_id_and_line(const void *a, const void *b)
{
    const named *x = a, *y = b;
    const int order = strcmp(x->id, y->id);
    return order != 0 ? order : (x->line > y->line) - (x->line < y->line);
}

/* A lot that stands in two places of the book would count twice. */
static mdr_code find_twice(const book *b, mdr_err *err)
{
    named *all = MDR_NEW_N(b->arena, named, (size_t)b->n_lots + 1);
    if (all == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    for (int i = 0; i < b->n_lots; i++) {
        all[i] = (named){b->lots[i].lot_id, b->lines[i]};
    }
    qsort(all, (size_t)b->n_lots, sizeof *all, by_id_and_line);
    for (int i = 1; i < b->n_lots; i++) {
        if (strcmp(all[i].id, all[i - 1].id) == 0) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "", "a lot is there twice");
            mdr_err_within(err, "%s:%d:lot_id", b->csv.name, all[i].line);
            mdr_err_value(err, "%s", all[i].id);
            mdr_err_allowed(err, "once; it stands in line %d", all[i - 1].line);
            mdr_err_remedy(err, "put the dyes of a lot in rows one under the other");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code make_room(book *b, mdr_blob csv, mdr_err *err)
{
    size_t rows = 1;
    for (size_t i = 0; i < csv.len; i++) {
        rows += csv.bytes[i] == '\n';
    }
    const size_t lots = rows < MDR_LEARN_LOTS_MAX ? rows : MDR_LEARN_LOTS_MAX;
    rows = rows < MDR_CSV_ROWS_MAX ? rows : MDR_CSV_ROWS_MAX;
    b->lots = MDR_NEW_N(b->arena, mdr_learn_lot, lots);
    b->lines = MDR_NEW_N(b->arena, int, lots);
    b->dyes = MDR_NEW_N(b->arena, mdr_learn_dye, rows + 1);
    if (b->lots == NULL || b->lines == NULL || b->dyes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "the table is too large");
    }
    return MDR_OK;
}

/* Every faulty row is told; the first one is the failure. */
static mdr_code read_rows(book *b, mdr_err_list *found, mdr_err *err)
{
    mdr_code first = MDR_OK;
    for (bool got = true; got;) {
        mdr_err fault;
        mdr_code rc = mdr_csv_next(&b->csv, &got, &fault);
        if (rc == MDR_OK && got) {
            rc = take(b, &fault);
        }
        if (rc != MDR_OK) {
            if (found != NULL) {
                mdr_err_list_add(found, &fault);
            }
            if (first == MDR_OK && err != NULL) {
                *err = fault;
            }
            first = first == MDR_OK ? rc : first;
            got = !b->csv.broken && rc != MDR_E_NOMEM;
        }
    }
    return first;
}

mdr_code mdr_app_learn_read(const char *name, mdr_blob csv, mdr_arena *arena, mdr_err_list *found,
                            mdr_learn_in *out, mdr_err *err)
{
    book b = {.arena = arena};
    MDR_TRY(mdr_csv_open(&b.csv, name, csv.bytes, csv.len, arena, err));
    MDR_TRY(read_head(&b, err));
    MDR_TRY(make_room(&b, csv, err));
    MDR_TRY(read_rows(&b, found, err));
    MDR_TRY(find_twice(&b, err));
    *out = (mdr_learn_in){.lots = b.lots, .n = b.n_lots};
    return MDR_OK;
}
