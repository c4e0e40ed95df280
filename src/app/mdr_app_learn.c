/* What the lots teach: from lots to a sheet of tables. */
#include "app/mdr_app_learn.h"

#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_learn_in.h"
#include "core/quality/mdr_right_first.h"
#include "core/quality/mdr_tail.h"

static const int64_t ENDED_MOST_MS = 7258118400000; /* 1 January 2200 */

static const mdr_answer_why WHYS[MDR_LEARN_WHY_COUNT] = {
    [MDR_LEARN_WHY_RATE] = {"Range of a rate",
                            "all rates that leave what was seen within 1.96 "
                            "standard deviations",
                            "wilson-1927", "right-first-time.md#interval-of-a-rate"},
    [MDR_LEARN_WHY_EXPECTED] = {"Expected",
                                "a group's rate drawn to the mill's by as many lots as the groups' "
                                "differences are worth",
                                "kleinman-1973", "right-first-time.md#expected-rate-and-rank"},
    [MDR_LEARN_WHY_CHARTS] = {"Charts", "three standard deviations from the centre of the base",
                              "nist-handbook", "quality-charts.md#charts"},
    [MDR_LEARN_WHY_RULES] = {"Rules", "patterns that chance makes seldom", "western-electric",
                             "quality-charts.md#rules"},
    [MDR_LEARN_WHY_FEW] = {"Few lots", "fewer than five expected: by the exact probability",
                           "definition", "quality-charts.md#few-lots"},
    [MDR_LEARN_WHY_FACTORS] = {"Factors",
                               "mean of ln(found/planned), drawn to machine and mill by how little "
                               "is known",
                               "normal-normal", "laboratory-to-bulk.md#factors-of-few-lots"},
    [MDR_LEARN_WHY_USE] = {"Use", "0.7 to 1.4, its range without 1, and only when asked for",
                           "definition", "laboratory-to-bulk.md#use"},
};

const mdr_answer_why *mdr_app_learn_whys(int *n)
{
    *n = MDR_LEARN_WHY_COUNT;
    return WHYS;
}

void mdr_learn_because(mdr_learn_desk *d, mdr_learn_why why)
{
    mdr_sheet_because(d->sheet, &WHYS[why]);
}

/* Civil date of days since 1970, proleptic Gregorian; years 1600 on. */
const char *mdr_learn_day(mdr_learn_desk *d, int64_t local_ms)
{
    enum { DAYS_400_YEARS = 146097, DAYS_TO_1970_FROM_MARCH_1600 = 135080 };
    const int64_t day_ms = 86400000;
    const int days =
        (int)(local_ms / day_ms - (local_ms % day_ms < 0)) + DAYS_TO_1970_FROM_MARCH_1600;
    const int era = days / DAYS_400_YEARS, of_era = days % DAYS_400_YEARS;
    const int year = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    const int of_year = of_era - (365 * year + year / 4 - year / 100);
    const int month = (5 * of_year + 2) / 153; /* from March on */
    const int day = of_year - (153 * month + 2) / 5 + 1;
    return mdr_sheet_text(d->sheet, "%04d-%02d-%02d", 1600 + 400 * era + year + (month >= 10),
                          month < 10 ? month + 3 : month - 9, day);
}

static int by_end(const void *a, const void *b)
{
    const mdr_learn_lot *x = *(const mdr_learn_lot *const *)a,
                        *y = *(const mdr_learn_lot *const *)b;
    if (x->ended_utc_ms != y->ended_utc_ms) {
        return x->ended_utc_ms < y->ended_utc_ms ? -1 : 1;
    }
    return strcmp(x->lot_id, y->lot_id);
}

static mdr_code sort_lots(mdr_learn_desk *d, mdr_err *err)
{
    const int n = d->in->n;
    d->by_end = mdr_arena_alloc(d->arena, (size_t)n, sizeof(const mdr_learn_lot *));
    if (d->by_end == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    for (int i = 0; i < n; i++) {
        d->by_end[i] = &d->in->lots[i];
    }
    qsort((void *)d->by_end, (size_t)n, sizeof(const mdr_learn_lot *), by_end);
    return MDR_OK;
}

static mdr_code refuse(mdr_err *err, int lot, const char *field, double value, const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "a lot is not like this");
    mdr_err_within(err, "lots[%d].%s", lot, field);
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static mdr_code check_lot(const mdr_learn_lot *l, int i, mdr_err *err)
{
    if (l->ended_utc_ms < 0 || l->ended_utc_ms >= ENDED_MOST_MS) {
        return refuse(err, i, "ended_utc_ms", (double)l->ended_utc_ms,
                      "milliseconds of the years 1970 to 2199");
    }
    if (l->has_de && !(l->de >= 0.0 && l->de <= MDR_LEARN_DE_MOST)) {
        return refuse(err, i, "de", l->de, "0 to 100");
    }
    if (l->additions < 0 || l->additions > MDR_LEARN_ADDITIONS_MOST) {
        return refuse(err, i, "additions", l->additions, "0 to 99");
    }
    return MDR_OK;
}

static mdr_code check_page(const char *place, int value, mdr_err *err)
{
    if (value >= 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, place, "rows are counted from 0");
    mdr_err_value(err, "%d", value);
    mdr_err_allowed(err, "0 or more");
    return rc;
}

/* -- long tables -- */

static int rows_of(const mdr_learn_desk *d)
{
    return d->in->rows > 0 ? d->in->rows : MDR_LEARN_ROWS_USUAL;
}

mdr_learn_slice mdr_learn_slice_of(mdr_learn_desk *d, int n)
{
    const int rows = rows_of(d);
    const int first = d->in->from < n ? d->in->from : n;
    const int last = n - first > rows ? first + rows : n;
    d->more = d->more || last < n;
    return (mdr_learn_slice){first, last};
}

mdr_learn_slice mdr_learn_newest_of(mdr_learn_desk *d, int n)
{
    const mdr_learn_slice s = mdr_learn_slice_of(d, n);
    return (mdr_learn_slice){n - s.last, n - s.first};
}

void mdr_learn_cut(mdr_learn_desk *d, mdr_sheet_table *t)
{
    const mdr_learn_slice s = mdr_learn_slice_of(d, t->n_rows);
    if (t->cells != NULL) {
        t->cells += (size_t)s.first * (size_t)t->n_columns;
    }
    t->n_rows = s.last - s.first;
}

mdr_code mdr_learn_check(const mdr_learn_in *in, mdr_err *err)
{
    if (in->n < 0 || in->n > MDR_LEARN_LOTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "lots", "that is more lots than can be taken");
        mdr_err_value(err, "%d", in->n);
        mdr_err_allowed(err, "0 to %d", MDR_LEARN_LOTS_MAX);
        mdr_err_remedy(err, "leave the oldest out");
        return rc;
    }
    if (in->base < 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "base", "a base period has some points");
        mdr_err_value(err, "%d", in->base);
        mdr_err_allowed(err, "0 (all) or more");
        return rc;
    }
    MDR_TRY(check_page("rows", in->rows, err));
    MDR_TRY(check_page("from", in->from, err));
    for (int i = 0; i < in->n; i++) {
        MDR_TRY(check_lot(&in->lots[i], i, err));
    }
    return MDR_OK;
}

static void put_totals(mdr_learn_desk *d)
{
    mdr_sheet *s = d->sheet;
    const int n = d->in->n;
    const int64_t offset_ms = (int64_t)d->in->offset_min * 60000;
    int right = 0, additions = 0;
    for (int i = 0; i < n; i++) {
        right += d->in->lots[i].right_first;
        additions += d->in->lots[i].additions;
    }
    const mdr_rate_range range = mdr_rate_wilson(right, n, MDR_NORMAL_95);
    const char *first = mdr_learn_day(d, d->by_end[0]->ended_utc_ms + offset_ms),
               *last = mdr_learn_day(d, d->by_end[n - 1]->ended_utc_ms + offset_ms);
    s->caption = mdr_sheet_text(s, "%d %s, %s to %s", n, n == 1 ? "lot" : "lots", first, last);
    mdr_sheet_line_put(s, "from", NULL, "", 0, mdr_cell_text(first, first));
    mdr_sheet_line_put(s, "to", NULL, "", 0, mdr_cell_text(last, last));
    mdr_sheet_line_put(s, "right_first", "right first time", "lots", 0, mdr_cell_number(right));
    mdr_sheet_line_put(s, "rate_pct", "of all", "%", 1, mdr_cell_number(100.0 * right / n));
    mdr_sheet_line_put(s, "low_pct", "at least", "%", 1, mdr_cell_number(100.0 * range.low));
    mdr_sheet_line_put(s, "high_pct", "at most", "%", 1, mdr_cell_number(100.0 * range.high));
    mdr_sheet_line_put(s, "additions_per_lot", "additions", "a lot", 2,
                       mdr_cell_number((double)additions / n));
}

/* What of it is told here, and how the rest is asked for. */
static void put_pages(mdr_learn_desk *d)
{
    const int rows = rows_of(d);
    mdr_sheet_line_put(d->sheet, "lots_left_out", NULL, "", 0, mdr_cell_number(d->in->left_out));
    mdr_sheet_line_put(d->sheet, "rows_from", NULL, "", 0, mdr_cell_number(d->in->from));
    mdr_sheet_line_put(d->sheet, "rows_next", NULL, "", 0,
                       d->more ? mdr_cell_number((double)d->in->from + rows) : mdr_cell_none());
    if (d->more || d->in->from > 0) {
        mdr_sheet_note(d->sheet,
                       mdr_sheet_text(d->sheet,
                                      "Long tables are told in part, %d rows from row %d on; "
                                      "everything counts.",
                                      rows, d->in->from));
    }
    if (d->in->left_out > 0) {
        mdr_sheet_note(
            d->sheet,
            mdr_sheet_text(d->sheet,
                           "%d batches were not looked at, the oldest. Asked again, more are, "
                           "up to the newest %d.",
                           d->in->left_out, MDR_LEARN_LOTS_MAX));
    }
}

static mdr_code fill(mdr_learn_desk *d, mdr_err *err)
{
    mdr_sheet_line_put(d->sheet, "lots", "lots", "", 0, mdr_cell_number(d->in->n));
    if (d->in->n == 0) {
        d->sheet->caption = "no lots";
        mdr_sheet_note(d->sheet, "No lots have been run yet: there is nothing to learn from.");
        return MDR_OK;
    }
    MDR_TRY(sort_lots(d, err));
    put_totals(d);
    mdr_learn_because(d, MDR_LEARN_WHY_RATE);
    MDR_TRY(mdr_learn_groups(d, err));
    MDR_TRY(mdr_learn_charts(d, err));
    MDR_TRY(mdr_learn_factors(d, err));
    put_pages(d);
    return MDR_OK;
}

mdr_code mdr_app_learn(const mdr_learn_in *in, mdr_arena *arena, const mdr_sheet **out,
                       mdr_err *err)
{
    mdr_learn_desk d = {.in = in, .arena = arena};
    MDR_TRY(mdr_learn_check(in, err));
    MDR_TRY(mdr_sheet_new(arena, "learn", "What the lots teach", &d.sheet, err));
    MDR_TRY(fill(&d, err));
    MDR_TRY(mdr_sheet_done(d.sheet, err));
    *out = d.sheet;
    return MDR_OK;
}

mdr_code mdr_app_learn_json(const mdr_learn_in *in, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_sheet *sheet = NULL;
    MDR_TRY(mdr_app_learn(in, arena, &sheet, err));
    return mdr_sheet_json(sheet, arena, out, err);
}

mdr_code mdr_app_learn_mill_json(mdr_app *app, const mdr_learn_in *asked, mdr_arena *arena,
                                 mdr_blob *out, mdr_err *err)
{
    const mdr_sheet *sheet = NULL;
    MDR_TRY(mdr_app_learn_mill(app, asked, arena, &sheet, err));
    return mdr_sheet_json(sheet, arena, out, err);
}
