/* What lots teach: from a table of an older book to the sheet, and what such a table may not hold. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_learn.h"
#include "arena_kit.h"
#include "why_kit.h"

static mdr_blob blob(const char *text)
{
    return (mdr_blob){text, strlen(text)};
}

static mdr_learn_in lots_of(const char *csv)
{
    mdr_learn_in in;
    mdr_err err = {0};
    if (mdr_app_learn_read("book.csv", blob(csv), arena, NULL, &in, &err) != MDR_OK) {
        fail_msg("%s at %s (%s)", err.msg, err.place, err.value);
    }
    return in;
}

static const mdr_sheet *learn(const mdr_learn_in *in)
{
    const mdr_sheet *s = NULL;
    mdr_err err = {0};
    if (mdr_app_learn(in, arena, &s, &err) != MDR_OK) {
        fail_msg("%s at %s (%s)", err.msg, err.place, err.value);
    }
    return s;
}

static const mdr_sheet_table *table(const mdr_sheet *s, const char *key)
{
    for (int i = 0; i < s->n_tables; i++) {
        if (strcmp(s->tables[i].key, key) == 0) {
            return &s->tables[i];
        }
    }
    fail_msg("no table %s", key);
    return NULL;
}

static const mdr_cell *cell(const mdr_sheet *s, const char *key, int row, const char *column)
{
    const mdr_sheet_table *t = table(s, key);
    assert_true(row < t->n_rows);
    for (int i = 0; i < t->n_columns; i++) {
        if (strcmp(t->columns[i].key, column) == 0) {
            return &t->cells[row * t->n_columns + i];
        }
    }
    fail_msg("%s has no column %s", key, column);
    return NULL;
}

/* The row where these two columns hold these texts; -1: none. */
static int row_of(const mdr_sheet *s, const char *key, const char *a, const char *is_a,
                  const char *b, const char *is_b)
{
    for (int i = 0; i < table(s, key)->n_rows; i++) {
        if (strcmp(cell(s, key, i, a)->text, is_a) == 0 &&
            strcmp(cell(s, key, i, b)->text, is_b) == 0) {
            return i;
        }
    }
    return -1;
}

static const char HEAD[] = "lot_id,ended,right_first,shade_id,machine_id,dye_set,article_id,"
                           "additions,de,dye_id,planned_pct_owf,found_pct_owf\n";

static const char *text_of(const char *rows)
{
    return mdr_arena_printf(arena, "%s%s", HEAD, rows);
}

static void a_small_book(void **state)
{
    (void)state;
    const mdr_learn_in in = lots_of(text_of("L2,2026-02-01 23:59,no,S1,J1,,A1,2,0.9,RB,1.0,1.10\n"
                                            "L2,,,,,,,,,RY,0.5,0.5\n"
                                            "L1,2026-01-31,yes,S1,J1,trio,A1,0,0.4,RB,1.0,1.00\n"
                                            "L3,2026-02-02T06:30,1,S2,J2,,,,,,,\n"));
    assert_int_equal(in.n, 3);
    assert_int_equal(in.lots[0].n_dyes, 2);
    assert_string_equal(in.lots[0].dyes[1].dye_id, "RY");
    assert_true(in.lots[2].right_first && !in.lots[2].has_de && in.lots[2].additions == 0);
    assert_int_equal(in.lots[1].ended_utc_ms, 1769817600000); /* 31 January 2026 */
    assert_int_equal(in.lots[0].ended_utc_ms - in.lots[1].ended_utc_ms, 172740000);

    const mdr_sheet *s = learn(&in);
    assert_string_equal(s->caption, "3 lots, 2026-01-31 to 2026-02-02");
    const int trio = row_of(s, "groups", "by", "dye_set", "id", "trio"),
              named = row_of(s, "groups", "by", "dye_set", "id", "RB+RY"),
              february = row_of(s, "groups", "by", "month", "id", "2026-02");
    assert_true(trio >= 0 && named >= 0 && february >= 0);
    CHECK_NEAR(cell(s, "groups", february, "lots")->value, 2, 0, "D");
    CHECK_NEAR(cell(s, "groups", february, "rate_pct")->value, 50, 1e-12, "D");
    assert_int_equal(row_of(s, "groups", "by", "article", "id", ""), -1); /* L3 has none */
    /* Monday 26 January holds Sunday's lot, 2 February begins a week */
    assert_string_equal(cell(s, "points", 0, "at")->text, "2026-01-26");
    assert_string_equal(cell(s, "points", 1, "at")->text, "2026-02-02");
    CHECK_NEAR(cell(s, "points", 0, "lots")->value, 2, 0, "D");
    CHECK_NEAR(cell(s, "points", 0, "value")->value, 0.5, 1e-12, "D");
    assert_true(cell(s, "points", 0, "few")->value > 0);
    /* differences in the order of their ends, not of the book */
    const int first = row_of(s, "points", "chart", "difference", "at", "2026-01-31");
    CHECK_NEAR(cell(s, "points", first, "value")->value, 0.4, 1e-12, "D");
    assert_int_equal(cell(s, "points", first, "lower")->kind, MDR_CELL_NONE);
    assert_int_equal(row_of(s, "charts", "chart", "additions", "kind", "counts"), -1); /* no ten */
    const int factor = row_of(s, "factors", "dye_id", "RB", "level", "cell");
    CHECK_NEAR(cell(s, "factors", factor, "lots")->value, 2, 0, "D");
    assert_true(cell(s, "factors", factor, "factor")->value > 1.02);
    assert_string_equal(cell(s, "factors", factor, "if_asked")->text, "unproven");
    CHECK_NEAR(cell(s, "factors", factor, "multiply")->value, 1, 0, "contract");
    assert_int_equal(s->notices.count, 0);
}

/* Two hundred lots, three machines, one of them pale by a tenth. */
static mdr_learn_lot many[200];
static mdr_learn_dye many_dyes[200];
static char many_ids[200][8];

static mdr_learn_in many_lots(void)
{
    static const char *const shades[] = {"S1", "S2", "S3", "S4"}, *const machines[] = {"J1", "J2",
                                                                                       "J3"};
    for (int i = 0; i < 200; i++) {
        const bool pale = i % 3 == 0;
        (void)snprintf(many_ids[i], sizeof many_ids[i], "L%03d", i);
        many_dyes[i] =
            (mdr_learn_dye){"RK", 2.0, 2.0 * (pale ? 1.10 : 1.0) * (1 + 0.02 * ((i * 7) % 5 - 2))};
        many[i] = (mdr_learn_lot){.lot_id = many_ids[i],
                                  .shade_id = shades[i % 4],
                                  .machine_id = machines[i % 3],
                                  .dyes = &many_dyes[i],
                                  .n_dyes = 1,
                                  .ended_utc_ms = 1767600000000 + i * (int64_t)43200000,
                                  .de = 0.5 + 0.1 * ((i * 11) % 7 - 3) + (i > 180 ? 0.5 : 0),
                                  .has_de = true,
                                  .additions = i % 4 == 1,
                                  .right_first = i % 4 != 1};
    }
    return (mdr_learn_in){.lots = many, .n = 200};
}

static void a_large_book(void **state)
{
    (void)state;
    mdr_learn_in in = many_lots();
    in.base = 20;
    const mdr_sheet *s = learn(&in);
    const int worst = row_of(s, "groups", "by", "shade", "id", "S2");
    assert_string_equal(cell(s, "groups", worst, "verdict")->text, "worse");
    CHECK_NEAR(cell(s, "groups", worst, "rank")->value, 1, 0, "D: none of S2 is right");
    assert_true(cell(s, "groupings", 0, "alike")->value < 0.5);
    const int difference = row_of(s, "charts", "chart", "difference", "kind", "individuals");
    CHECK_NEAR(cell(s, "charts", difference, "base")->value, 20, 0, "D");
    assert_string_equal(cell(s, "charts", difference, "state")->text, "out");
    assert_true(table(s, "signals")->n_rows > 0);
    assert_string_equal(cell(s, "charts", 3, "chart")->text, "additions");
    CHECK_NEAR(cell(s, "charts", 3, "centre")->value, 2.5, 0.11, "D: one lot in four");
    for (int i = 0; i < table(s, "signals")->n_rows;
         i++) { /* every signal is a point with a rule */
        const char *chart = cell(s, "signals", i, "chart")->text;
        const int p = row_of(s, "points", "chart", chart, "at", cell(s, "signals", i, "at")->text);
        assert_true(p >= 0);
    }
    const int pale = row_of(s, "factors", "level", "machine", "machine_id", "J1");
    CHECK_NEAR(cell(s, "factors", pale, "factor")->value, 1.1, 0.02, "D: as drawn");
    assert_string_equal(cell(s, "factors", pale, "if_asked")->text, "applied");
    const int cellrow = row_of(s, "factors", "shade_id", "S3", "machine_id", "J2");
    CHECK_NEAR(cell(s, "factors", cellrow, "factor")->value, 1.0, 0.02, "D: as drawn");
    in.unproven_too = true;
    const mdr_sheet *all = learn(&in);
    assert_string_equal(cell(all, "factors", cellrow, "if_asked")->text, "applied");
    /* another list of rules, another count of points that are out */
    in.long_list = true;
    assert_true(cell(learn(&in), "charts", difference, "out")->value !=
                cell(s, "charts", difference, "out")->value);
    /* an odd lot, and depths that are none */
    many_dyes[4].found_pct = 4.0;
    many_dyes[5].planned_pct = 0.0;
    many_dyes[6].found_pct = 19.0;
    s = learn(&in);
    assert_int_equal(s->notices.count, 3);
    CHECK_NEAR(cell(s, "dyes", 0, "left_out")->value, 1, 0, "D: L004 doubled");
    CHECK_NEAR(cell(s, "dyes", 0, "lots")->value, 197, 0, "D");
    for (int i = 0; i < 3; i++) {
        assert_non_null(strstr(s->notices.items[i].place, ", dye RK"));
    }
}

/* The number of this line of the result; -1: there is none. */
static double line_of(const mdr_sheet *s, const char *key)
{
    for (int i = 0; i < s->n_lines; i++) {
        if (strcmp(s->lines[i].key, key) == 0) {
            return s->lines[i].cell.kind == MDR_CELL_NUMBER ? s->lines[i].cell.value : -1.0;
        }
    }
    return -1.0;
}

/* Page by page as at once, whatever the size of a page: the rows are the same, in their order. */
static void in_pages(void **state)
{
    (void)state;
    static const char *const FROM_THE_FRONT[] = {"factors", "signals"};
    mdr_learn_in in = many_lots();
    in.rows = 100000;
    const mdr_sheet *whole = learn(&in);
    assert_true(line_of(whole, "rows_next") < 0.0);
    assert_int_equal(line_of(whole, "lots_left_out"), 0);
    for (int rows = 1; rows < 64; rows = 3 * rows + 1) {
        int seen[2] = {0, 0}, points = 0, groups = 0, pages = 0;
        for (in.from = 0, in.rows = rows; in.from >= 0; pages++) {
            const mdr_sheet *page = learn(&in);
            for (int t = 0; t < 2; t++) {
                const mdr_sheet_table *part = table(page, FROM_THE_FRONT[t]);
                assert_true(part->n_rows <= rows);
                for (int i = 0; i < part->n_rows; i++, seen[t]++) {
                    assert_string_equal(
                        cell(page, FROM_THE_FRONT[t], i, t == 0 ? "dye_id" : "at")->text,
                        cell(whole, FROM_THE_FRONT[t], seen[t], t == 0 ? "dye_id" : "at")->text);
                }
            }
            points += table(page, "points")->n_rows;
            groups += table(page, "groups")->n_rows;
            assert_int_equal(table(page, "charts")->n_rows, table(whole, "charts")->n_rows);
            in.from = (int)line_of(page, "rows_next");
        }
        assert_true(pages > 1);
        assert_int_equal(seen[0], table(whole, "factors")->n_rows);
        assert_int_equal(seen[1], table(whole, "signals")->n_rows);
        assert_int_equal(points, table(whole, "points")->n_rows);
        assert_int_equal(groups, table(whole, "groups")->n_rows);
    }
    /* of a chart the newest points come first, so that one page shows today */
    in.from = 0;
    in.rows = 1;
    const mdr_sheet *last = learn(&in);
    const int charts = table(last, "points")->n_rows, all = table(whole, "points")->n_rows;
    assert_int_equal(charts, table(whole, "charts")->n_rows);
    assert_string_equal(cell(last, "points", charts - 1, "at")->text,
                        cell(whole, "points", all - 1, "at")->text);
    assert_true(last->n_notes > whole->n_notes); /* that it is a part is said */
    /* behind the end there is nothing, and no more to come */
    in.from = 100000;
    assert_int_equal(table(learn(&in), "factors")->n_rows, 0);
    assert_true(line_of(learn(&in), "rows_next") < 0.0);
    in = many_lots();
    in.left_out = 7;
    assert_int_equal(line_of(learn(&in), "lots_left_out"), 7);
    assert_int_equal(learn(&in)->n_notes, whole->n_notes + 1);
}

static void no_lots(void **state)
{
    (void)state;
    const mdr_learn_in none = {.n = 0};
    const mdr_sheet *s = learn(&none);
    assert_int_equal(s->n_tables, 0);
    assert_int_equal(s->n_notes, 1);
    assert_non_null(strstr(s->notes[0], "No lots have been run yet"));
    mdr_blob json;
    mdr_err err = {0};
    assert_int_equal(mdr_app_learn_json(&none, arena, &json, &err), MDR_OK);
    assert_non_null(strstr(json.bytes, "\"lots\":0"));
    const mdr_learn_in head_only = lots_of(HEAD);
    assert_int_equal(head_only.n, 0);
    /* one lot: no chart, but a rate and its range */
    const mdr_learn_in one = lots_of("lot_id,ended,right_first\nL1,2026-01-31,yes\n");
    s = learn(&one);
    assert_string_equal(s->caption, "1 lot, 2026-01-31 to 2026-01-31");
    assert_int_equal(table(s, "charts")->n_rows, 0);
    assert_int_equal(table(s, "factors")->n_rows, 0);
    assert_int_equal(table(s, "groups")->n_rows, 1); /* its month */
}

static void days(void **state)
{
    (void)state;
    static const char *const rows[] = {"2000-01-01", "2000-02-29", "2024-02-29", "2024-03-01",
                                       "2025-12-31", "2099-12-31", "2026-11-26"};
    for (size_t i = 0; i < N_OF(rows); i++) {
        const char *csv =
            mdr_arena_printf(arena, "lot_id,ended,right_first\nL1,%s 23:59,no\n", rows[i]);
        const mdr_learn_in in = lots_of(csv);
        const mdr_sheet *s = learn(&in);
        assert_string_equal(s->caption,
                            mdr_arena_printf(arena, "1 lot, %s to %s", rows[i], rows[i]));
        mdr_learn_in later = in; /* a clock that is a minute ahead has the next day already */
        later.offset_min = 1;
        assert_null(strstr(learn(&later)->caption, rows[i]));
    }
}

static void faulty_books(void **state)
{
    (void)state;
    static const struct {
        const char *rows, *place;
        mdr_code code;
    } bad[] = {
        {"L1,2026-13-01,yes,,,,,,,,,\n", "book.csv:2:ended", MDR_E_RANGE},
        {"L1,2026-01-01 24:00,yes,,,,,,,,,\n", "book.csv:2:ended", MDR_E_RANGE},
        {"L1,2026-01-01x10:00,yes,,,,,,,,,\n", "book.csv:2:ended", MDR_E_RANGE},
        {"L1,2026-01-01 1:00,yes,,,,,,,,,\n", "book.csv:2:ended", MDR_E_RANGE},
        {"L1,,yes,,,,,,,,,\n", "book.csv:2:ended", MDR_E_RANGE},
        {"L1,2026-01-01,maybe,,,,,,,,,\n", "book.csv:2:right_first", MDR_E_RANGE},
        {",2026-01-01,yes,,,,,,,,,\n", "book.csv:2:lot_id", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,1.5,,,,\n", "book.csv:2:additions", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,-1,,,,\n", "book.csv:2:additions", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,101,,,\n", "book.csv:2:de", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,RB,1,\n", "book.csv:2:found_pct_owf", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,RB,,1\n", "book.csv:2:planned_pct_owf", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,,1,1\n", "book.csv:2:dye_id", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,RB,1,21\n", "book.csv:2:found_pct_owf", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,,,\nL1,2026-01-02,,,,,,,,RB,1,1\n", "book.csv:3:lot_id",
         MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,,,\nL1,,no,,,,,,,RB,1,1\n", "book.csv:3:lot_id", MDR_E_RANGE},
        {"L1,2026-01-01,yes,,,,,,,,,\nL2,2026-01-01,no,,,,,,,,,\nL1,2026-01-01,yes,,,,,,,,,\n",
         "book.csv:4:lot_id", MDR_E_CONFLICT},
    };
    for (size_t i = 0; i < N_OF(bad); i++) {
        mdr_learn_in in = {.n = -7};
        mdr_err err = {0};
        const mdr_code rc =
            mdr_app_learn_read("book.csv", blob(text_of(bad[i].rows)), arena, NULL, &in, &err);
        if (rc != bad[i].code || strcmp(err.place, bad[i].place) != 0) {
            fail_msg("%s: got %s at %s", bad[i].rows, mdr_code_id(rc), err.place);
        }
        assert_int_equal(in.n, -7);
    }
    static const char *const heads[] = {"lot_id,ended\n", "lot_id,ended,right_first,colour\n",
                                        "lot_id,ended,right_first,ended\n"};
    for (size_t i = 0; i < N_OF(heads); i++) {
        mdr_learn_in in;
        mdr_err err = {0};
        assert_int_equal(mdr_app_learn_read("book.csv", blob(heads[i]), arena, NULL, &in, &err),
                         MDR_E_PARSE);
        assert_string_equal(err.place, "book.csv:1");
    }
    /* every faulty row is told */
    mdr_err_list found = mdr_err_list_make(arena, 10);
    mdr_learn_in in;
    mdr_err err = {0};
    assert_int_equal(
        mdr_app_learn_read("book.csv",
                           blob(text_of("L1,x,yes,,,,,,,,,\nL2,2026-01-01,yes,,,,,,,,,\n"
                                        "L3,2026-01-01,x,,,,,,,,,\n")),
                           arena, &found, &in, &err),
        MDR_E_RANGE);
    assert_int_equal(found.total, 2);
    assert_string_equal(err.place, "book.csv:2:ended");
    assert_string_equal(found.items[1].place, "book.csv:4:right_first");
}

static void refusals(void **state)
{
    (void)state;
    const mdr_sheet *s = NULL;
    mdr_err err = {0};
    mdr_learn_in in = many_lots();
    in.base = -1;
    assert_int_equal(mdr_app_learn(&in, arena, &s, &err), MDR_E_ARG);
    assert_string_equal(err.place, "base");
    in.base = 0;
    in.n = 20001;
    assert_int_equal(mdr_app_learn(&in, arena, &s, &err), MDR_E_ARG);
    assert_string_equal(err.place, "lots");
    in.n = 200;
    many[7].de = (double)NAN;
    assert_int_equal(mdr_app_learn(&in, arena, &s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "lots[7].de");
    in = many_lots();
    many[3].ended_utc_ms = -1;
    assert_int_equal(mdr_app_learn(&in, arena, &s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "lots[3].ended_utc_ms");
    assert_null(s);
    in = many_lots();
    for (size_t kb = 1; kb < 200; kb += 9) { /* wherever memory ends */
        mdr_arena *small = mdr_arena_new(kb << 10);
        const mdr_code rc = mdr_app_learn(&in, small, &s, &err);
        assert_true(rc == MDR_E_NOMEM || (rc == MDR_OK && kb > 60));
        mdr_arena_free(small);
    }
}

static void whys(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *all = mdr_app_learn_whys(&n);
    assert_true(n > 0);
    why_kit_check(all, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_book), cmocka_unit_test(a_large_book),
        cmocka_unit_test(in_pages),     cmocka_unit_test(no_lots),
        cmocka_unit_test(days),         cmocka_unit_test(faulty_books),
        cmocka_unit_test(refusals),     cmocka_unit_test(whys),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
