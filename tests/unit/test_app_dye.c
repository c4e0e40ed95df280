/* What a dye does: the answer from the demo mill, and what it rests on. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "demo_kit.h"
#include "why_kit.h"

#include "app/mdr_app_dye.h"
#include "core/exhaust/mdr_dye_known.h"

static const mdr_sheet *ask(const char *dye_id, mdr_arena *arena)
{
    mdr_err err;
    const mdr_sheet *s = NULL;
    if (mdr_app_dye(kit_app, dye_id, arena, &s, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", dye_id, err.place, err.msg);
    }
    return s;
}

static const mdr_sheet_table *table_of(const mdr_sheet *s, const char *key)
{
    for (int i = 0; i < s->n_tables; i++) {
        if (strcmp(s->tables[i].key, key) == 0) {
            return &s->tables[i];
        }
    }
    fail_msg("no table %s", key);
    return NULL;
}

static const mdr_cell *cell_of(const mdr_sheet_table *t, int row, const char *column)
{
    for (int i = 0; i < t->n_columns; i++) {
        if (strcmp(t->columns[i].key, column) == 0) {
            assert_true(row < t->n_rows);
            return &t->cells[row * t->n_columns + i];
        }
    }
    fail_msg("no column %s", column);
    return NULL;
}

static const char *verdict_of(const mdr_sheet *s)
{
    for (int i = 0; i < s->n_lines; i++) {
        if (strcmp(s->lines[i].key, "verdict") == 0) {
            return s->lines[i].cell.text;
        }
    }
    fail_msg("no verdict");
    return NULL;
}

/* I: the numbers of every dye of the demo are met; of two only the group is known. */
static void every_dye_of_the_demo(void **state)
{
    (void)state;
    mdr_err err;
    int unknown = 0, dyes = 0;
    assert_int_equal(mdr_app_refresh(kit_app, &err), MDR_OK);
    for (int i = 0; i < kit_app->masters.n_materials; i++) {
        const mdr_material *m = &kit_app->masters.materials[i];
        mdr_arena *arena = mdr_arena_new((size_t)1 << 24);
        if (m->is_dye) {
            const mdr_sheet *s = ask(m->material_id, arena);
            const char *verdict = verdict_of(s);
            dyes++;
            unknown += strcmp(verdict, "unknown") == 0;
            assert_true(strcmp(verdict, "met") == 0 || m->exhaustion_pct == 0.0);
        }
        mdr_arena_free(arena);
    }
    assert_int_equal(dyes, 42);
    assert_int_equal(unknown, 2);
}

static void a_reactive_dye(void **state)
{
    (void)state;
    static const double KNOWN[] = {50, 90, 45, 83};
    mdr_arena *arena = mdr_arena_new((size_t)1 << 24);
    const mdr_sheet *s = ask("RR-1", arena);
    const mdr_sheet_table *numbers = table_of(s, "numbers"), *rates = table_of(s, "rates");
    const mdr_sheet_table *curve = table_of(s, "curve");
    assert_int_equal(numbers->n_rows, 5);
    for (int i = 0; i < 4; i++) {
        CHECK_NEAR(cell_of(numbers, i, "known")->value, KNOWN[i], 1e-9, "I: the demo's record");
        CHECK_NEAR(cell_of(numbers, i, "reckoned")->value, KNOWN[i], 0.1, "contract: met");
    }
    assert_int_equal(cell_of(numbers, 4, "known")->kind, MDR_CELL_NONE);
    assert_int_equal(rates->n_rows, MDR_RATE_COUNT);
    assert_string_equal(cell_of(rates, MDR_RATE_FIX, "rate")->text, "fix_per_min");
    assert_string_equal(cell_of(rates, MDR_RATE_FIX, "basis")->text, "fitted");
    assert_string_equal(cell_of(rates, MDR_RATE_FIX_EA, "basis")->text, "placeholder");
    assert_string_equal(cell_of(rates, MDR_RATE_CHARGE, "basis")->text, "given");
    CHECK_NEAR(cell_of(rates, MDR_RATE_FIX, "determined")->value, 1, 0, "D: R tells it");
    CHECK_NEAR(cell_of(rates, MDR_RATE_DIFFUSION, "determined")->value, 0, 0, "D: nothing does");
    const double fix = cell_of(rates, MDR_RATE_FIX, "value")->value;
    assert_true(cell_of(rates, MDR_RATE_FIX, "least")->value < fix);
    assert_true(cell_of(rates, MDR_RATE_FIX, "most")->value > fix);
    /* the curve goes through the numbers */
    int seen = 0;
    for (int i = 0; i < curve->n_rows; i++) {
        const double t_min = cell_of(curve, i, "t_min")->value;
        const double on = cell_of(curve, i, "on_fibre_pct")->value;
        const double fixed = cell_of(curve, i, "fixed_pct")->value;
        if (t_min == 30.0) {
            CHECK_NEAR(on, 50, 0.1, "D: S just before the alkali");
            seen++;
        } else if (t_min == 40.0) {
            CHECK_NEAR(fixed, 45, 0.1, "D: R ten minutes after it");
            seen++;
        } else if (t_min == 90.0) {
            CHECK_NEAR(on, 90, 0.1, "D: E at the end");
            CHECK_NEAR(fixed, 83, 0.1, "D: F at the end");
            assert_true(cell_of(curve, i, "hydrolysed_pct")->value < 17.0);
            seen++;
        }
    }
    assert_int_equal(seen, 3);
    mdr_arena_free(arena);
}

static void other_dyes(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 24);
    const mdr_sheet *s = ask("DK-1", arena);
    assert_int_equal(table_of(s, "numbers")->n_rows, 2);
    assert_int_equal(table_of(s, "rates")->n_rows, MDR_RATE_DIFFUSION_EA + 1);
    assert_int_equal(table_of(s, "curve")->n_columns, 2);
    s = ask("RO-1", arena);
    assert_string_equal(verdict_of(s), "unknown");
    mdr_blob json = {0};
    mdr_err err;
    assert_int_equal(mdr_app_dye_json(kit_app, "VB-1", arena, &json, &err), MDR_OK);
    assert_non_null(strstr(json.bytes, "\"dyeing_group\":\"vat-in\""));
    assert_non_null(strstr(json.bytes, "\"rate\":\"diffusion_per_min\""));
    mdr_arena_free(arena);
}

static void no_such_dye(void **state)
{
    (void)state;
    static const struct {
        const char *asked, *remedy;
    } ROWS[] = {{"RR-11", "did you mean RR-1, Reactive Red B6?"},
                {"INDIGO-EXTRA", "list them with: madder export dye"},
                {"SALT", "list them"}}; /* chemicals are no dyes */
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_err err;
        const mdr_sheet *s = NULL;
        mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
        assert_int_equal(mdr_app_dye(kit_app, ROWS[i].asked, arena, &s, &err), MDR_E_NOTFOUND);
        assert_string_equal(err.place, "dye_id");
        assert_string_equal(err.value, ROWS[i].asked);
        assert_non_null(strstr(err.remedy, ROWS[i].remedy));
        assert_null(s);
        mdr_arena_free(arena);
    }
}

static void too_little_room(void **state)
{
    (void)state;
    int failed = 0;
    for (size_t bytes = 1000; bytes < 200000; bytes += bytes / 2) {
        mdr_err err;
        const mdr_sheet *s = NULL;
        mdr_arena *arena = mdr_arena_new(bytes);
        const mdr_code rc = mdr_app_dye(kit_app, "DK-1", arena, &s, &err);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        assert_true((s == NULL) == (rc != MDR_OK));
        failed += rc == MDR_E_NOMEM;
        mdr_arena_free(arena);
    }
    assert_true(failed > 3);
}

static void whys_can_be_read(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *whys = mdr_app_dye_whys(&n);
    assert_true(n >= 4);
    why_kit_check(whys, n);
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(every_dye_of_the_demo),
        cmocka_unit_test(a_reactive_dye),
        cmocka_unit_test(other_dyes),
        cmocka_unit_test(no_such_dye),
        cmocka_unit_test(too_little_room),
        cmocka_unit_test(whys_can_be_read),
    };
    return cmocka_run_group_tests(TESTS, kit_demo_make, kit_demo_drop);
}
