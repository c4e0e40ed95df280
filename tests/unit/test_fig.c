#include "t.h"

#include <string.h>

#include "core/plan/mdr_fig.h"

static mdr_fig_id input(mdr_figs *f, double value, const char *field)
{
    return mdr_fig_input(f, value, "kg", "A number",
                         (mdr_fig_source){.table = "lot", .record_id = "L1", .field = field});
}

static void a_rule_computes_the_value(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_figs f = mdr_figs_make(arena);
    const mdr_fig_id kg = input(&f, 1000, "load_kg");
    const mdr_fig_id ratio = input(&f, 8, "ratio_l_per_kg");
    const mdr_fig_id liquor =
        MDR_FIG(&f, MDR_QTY_LIQUOR, ((mdr_where){.bath = 3}), MDR_RULE_LIQUOR_NOMINAL, kg, ratio);
    CHECK_NEAR(mdr_fig_value(&f, liquor), 8000, 0, "E16: 1000 kg at 8 L/kg");
    const mdr_fig *fig = mdr_fig_at(&f, liquor);
    assert_int_equal(fig->n_inputs, 2);
    assert_int_equal(f.pool[fig->inputs], kg);
    assert_string_equal(fig->unit, "L");
    mdr_arena_free(arena);
}

static void absent_figures_take_no_part(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_figs f = mdr_figs_make(arena);
    const mdr_fig_id sum = MDR_FIG(&f, MDR_QTY_WATER, ((mdr_where){0}), MDR_RULE_SUM,
                                   input(&f, 2, "a"), MDR_FIG_NONE, input(&f, 3, "b"));
    CHECK_NEAR(mdr_fig_value(&f, sum), 5, 0, "D: 2 + 3");
    assert_int_equal(mdr_fig_at(&f, sum)->n_inputs, 2);
    CHECK_NEAR(mdr_fig_value(&f, MDR_FIG_NONE), 0, 0, "D: no figure counts nothing");
    mdr_arena_free(arena);
}

static void keys(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_figs f = mdr_figs_make(arena);
    const struct {
        mdr_fig_id id;
        const char *key;
    } rows[] = {
        {mdr_fig_rule(&f, MDR_QTY_TOTAL_TIME, (mdr_where){0}, MDR_RULE_NOTHING, NULL, 0),
         "total_min"},
        {mdr_fig_rule(&f, MDR_QTY_LIQUOR, (mdr_where){.bath = 3}, MDR_RULE_NOTHING, NULL, 0),
         "b3.liquor_l"},
        {mdr_fig_rule(&f, MDR_QTY_MINUTES, (mdr_where){.bath = 12, .step = 10}, MDR_RULE_NOTHING,
                      NULL, 0),
         "b12.s10.minutes"},
        {mdr_fig_rule(&f, MDR_QTY_MASS, (mdr_where){.bath = 1, .step = 2, .item = 3},
                      MDR_RULE_NOTHING, NULL, 0),
         "b1.s2.i3.mass_kg"},
        {input(&f, 1, "weighed_kg"), "lot.weighed_kg"},
        {mdr_fig_input(
             &f, 1, "%", "Strength",
             (mdr_fig_source){.table = "material", .record_id = "SODA", .field = "strength_pct"}),
         "material.SODA.strength_pct"},
        {mdr_fig_input(
             &f, 1, "min", "Time",
             (mdr_fig_source){
                 .table = "route", .record_id = "R1", .field = "minutes", .at = {2, 5, 0}}),
         "route.b2.s5.minutes"},
    };
    char key[64];
    for (size_t i = 0; i < N_OF(rows); i++) {
        assert_int_equal(mdr_fig_key(&f, rows[i].id, key, sizeof key), strlen(rows[i].key));
        assert_string_equal(key, rows[i].key);
        assert_int_equal(mdr_fig_find(&f, rows[i].key), rows[i].id);
    }
    assert_int_equal(mdr_fig_find(&f, "b9.liquor_l"), MDR_FIG_NONE);
    char narrow[6];
    assert_int_equal(mdr_fig_key(&f, rows[1].id, narrow, sizeof narrow), 11);
    assert_string_equal(narrow, "b3.li"); /* cut, but ended */
    mdr_arena_free(arena);
}

static void a_full_arena_is_remembered(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(100000);
    mdr_figs f = mdr_figs_make(arena);
    mdr_fig_id last = 0;
    for (int i = 0; i < 5000; i++) {
        last = input(&f, i, "n");
    }
    assert_true(f.failed);
    assert_int_equal(last, MDR_FIG_NONE);
    assert_int_equal(MDR_FIG(&f, MDR_QTY_WATER, ((mdr_where){0}), MDR_RULE_SUM, 0, 1),
                     MDR_FIG_NONE);
    mdr_arena_free(arena);
}

/* More inputs than the stack holds, and no memory for their values: no figure, and it is remembered. */
static void no_memory_for_many_inputs(void **state)
{
    (void)state;
    enum { MANY = 65 };
    mdr_arena *arena = mdr_arena_new(1u << 20);
    mdr_figs f = mdr_figs_make(arena);
    mdr_fig_id in[MANY];
    for (int i = 0; i < MANY; i++) {
        in[i] = input(&f, i, "n");
    }
    const mdr_fig_id sum = mdr_fig_rule(&f, MDR_QTY_WATER, (mdr_where){0}, MDR_RULE_SUM, in, MANY);
    CHECK_NEAR(mdr_fig_value(&f, sum), MANY * (MANY - 1) / 2, 1e-9, "D: 0 + 1 + .. + 64");
    while (mdr_arena_alloc(arena, 1, 8) != NULL) { /* until it is full */
    }
    assert_true(f.pool_room - f.pool_count > MANY && f.room > f.count && !f.failed);
    assert_int_equal(mdr_fig_rule(&f, MDR_QTY_WATER, (mdr_where){0}, MDR_RULE_SUM, in, MANY),
                     MDR_FIG_NONE);
    assert_true(f.failed);
    mdr_arena_free(arena);
}

static void every_rule_is_explained(void **state)
{
    (void)state;
    for (int r = 0; r < MDR_RULE_COUNT; r++) {
        const mdr_rule_info *rule = mdr_rule_of((mdr_rule)r);
        assert_true(strlen(rule->id) > 2 && strlen(rule->title) > 2 && strlen(rule->words) > 5);
        assert_true(strlen(rule->source) > 3 && strchr(rule->anchor, '#') != NULL);
        for (int other = 0; other < r; other++) {
            assert_string_not_equal(rule->id, mdr_rule_of((mdr_rule)other)->id);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_rule_computes_the_value),
                                       cmocka_unit_test(absent_figures_take_no_part),
                                       cmocka_unit_test(keys),
                                       cmocka_unit_test(a_full_arena_is_remembered),
                                       cmocka_unit_test(no_memory_for_many_inputs),
                                       cmocka_unit_test(every_rule_is_explained)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
