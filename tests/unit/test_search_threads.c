#include "search_kit.h"

#include <string.h>

#include "app/mdr_search_threads.h"

static mdr_arena *arena;
static mdr_target shade;
static mdr_choice choices[KIT_DYES];

static mdr_search_in ask(void)
{
    const int id[] = {2, 9, 17};
    const double depth[] = {0.8, 0.3, 1.1};
    const mdr_curve standard = kit_dyed(id, depth, 3);
    shade = kit_shade(standard, MDR_DE_CMC, MDR_TIE_LIGHTS);
    for (int i = 0; i < KIT_DYES; i++) {
        choices[i] = (mdr_choice){.dye = kit_dyes[i], .facts = {{.price_per_kg = 10 + i}}};
    }
    return (mdr_search_in){.cloth = &kit_bare,
                           .shade = &shade,
                           .choices = choices,
                           .n = KIT_DYES,
                           .dyes_max = 3,
                           .tolerance = 0.5,
                           .weights = mdr_rank_weights_usual()};
}

/* D: the numbers of a set hang on nothing but smaller sets, so on no order of the work. */
static void any_number_gives_the_same(void **state)
{
    (void)state;
    const mdr_search_in in = ask();
    mdr_search_out alone;
    mdr_err err = {0};
    assert_int_equal(mdr_search_recipes(&in, 40, arena, &alone, &err), MDR_OK);
    assert_true(alone.sets == 4525 && alone.shown == 40); /* D: 30 + 435 + 4,060 */
    for (int threads = 1; threads <= MDR_SEARCH_THREADS_MAX; threads++) {
        mdr_search_out out;
        assert_int_equal(mdr_search_on_threads(&in, 40, threads, arena, &out, &err), MDR_OK);
        assert_int_equal(out.sets, alone.sets);
        assert_int_equal(out.reached, alone.reached);
        assert_int_equal(out.shown, alone.shown);
        for (int i = 0; i < out.shown; i++) {
            const mdr_recipe *a = &alone.recipes[i], *b = &out.recipes[i];
            assert_int_equal(a->n, b->n);
            assert_memory_equal(a->choice, b->choice, sizeof a->choice);
            assert_memory_equal(a->depth_pct_owf, b->depth_pct_owf, sizeof a->depth_pct_owf);
        }
    }
}

static void faults_pass_through(void **state)
{
    (void)state;
    mdr_search_in in = ask();
    mdr_search_out out = {.sets = -7};
    mdr_err err = {0};
    in.tolerance = -1.0;
    assert_int_equal(mdr_search_on_threads(&in, 40, 2, arena, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "tolerance");
    in = ask();
    assert_int_equal(mdr_search_on_threads(&in, 0, 2, arena, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "shown");
    assert_int_equal(out.sets, -7);
}

static void cores_are_counted(void **state)
{
    (void)state;
    const int n = mdr_search_threads_usual();
    assert_true(n >= 1 && n <= MDR_SEARCH_THREADS_MAX);
}

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)512 << 20);
    return arena == NULL ? 1 : kit_setup(state);
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(any_number_gives_the_same),
                                       cmocka_unit_test(faults_pass_through),
                                       cmocka_unit_test(cores_are_counted)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
