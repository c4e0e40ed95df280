#include "search_kit.h"

#include <string.h>

#include "core/recipe/mdr_best.h"
#include "core/recipe/mdr_lattice.h"
#include "core/recipe/mdr_search.h"

enum { FEW = 12 };
static mdr_arena *arena;
static mdr_choice choices[KIT_DYES];
static mdr_target shade;

static int setup(void **state)
{
    return kit_setup(state);
}

static mdr_search_in ask(mdr_curve standard, int n)
{
    mdr_arena_free(arena);
    arena = mdr_arena_new(64u << 20);
    assert_non_null(arena);
    shade = kit_shade(standard, MDR_DE_CMC, MDR_TIE_LIGHTS);
    for (int i = 0; i < n; i++) {
        choices[i] = (mdr_choice){.dye = kit_dyes[i]};
        choices[i].facts[0] = (mdr_dye_facts){.price_per_kg = 10 + i,
                                              .exhaustion_pct = 60 + i,
                                              .fixation_pct = 50 + 2 * i,
                                              .fastness = {3 + i % 4, 4, 4}};
    }
    return (mdr_search_in){.cloth = &kit_bare,
                           .shade = &shade,
                           .choices = choices,
                           .n = n,
                           .dyes_max = 3,
                           .tolerance = 0.5,
                           .weights = mdr_rank_weights_usual()};
}

static mdr_search_out find(const mdr_search_in *in, int shown)
{
    mdr_search_out out;
    mdr_err err = {0};
    if (mdr_search_recipes(in, shown, arena, &out, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return out;
}

static mdr_curve three(int a, int b, int c)
{
    const int id[] = {a, b, c};
    const double depth[] = {0.8, 0.3, 1.1};
    return kit_dyed(id, depth, 3);
}

static void sets_are_numbered(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(0, 1, 5), FEW);
    mdr_kernel *k;
    mdr_lattice *l;
    mdr_dye dyes[FEW];
    for (int i = 0; i < FEW; i++) {
        dyes[i] = in.choices[i].dye;
    }
    assert_int_equal(mdr_kernel_make(&kit_bare, &shade, dyes, FEW, arena, &k, NULL), MDR_OK);
    assert_int_equal(mdr_lattice_make(k, 4, arena, &l, NULL), MDR_OK);
    assert_int_equal(l->first[5], 12 + 66 + 220 + 495);
    assert_int_equal(mdr_lattice_choose(30, 4) + mdr_lattice_choose(30, 3) +
                         mdr_lattice_choose(30, 2) + mdr_lattice_choose(30, 1),
                     31930);
    mdr_lattice_solve(l, 0, l->first[5]);
    for (int i = 0; i < l->first[5]; i++) {
        const mdr_set *s = &l->sets[i];
        assert_int_equal(mdr_lattice_number(l, s->dye, s->size), i);
        for (int d = 1; d < s->size; d++) {
            assert_true(s->dye[d] > s->dye[d - 1]);
        }
    }
}

/* A set is never worse than any set it holds. */
static void more_dyes_never_worse(void **state)
{
    (void)state;
    uint64_t seed = 51;
    for (int trial = 0; trial < 5; trial++) {
        (void)ask(kit_standard(&seed), FEW);
        mdr_kernel *k;
        mdr_lattice *l;
        assert_int_equal(mdr_kernel_make(&kit_bare, &shade, kit_dyes, FEW, arena, &k, NULL),
                         MDR_OK);
        assert_int_equal(mdr_lattice_make(k, 4, arena, &l, NULL), MDR_OK);
        mdr_lattice_solve(l, 0, l->first[5]);
        for (int i = l->first[2]; i < l->first[5]; i++) {
            const mdr_set *s = &l->sets[i];
            for (int gone = 0; gone < s->size; gone++) {
                uint8_t less[4] = {0};
                for (int d = 0, n = 0; d < s->size; d++) {
                    if (d != gone) {
                        less[n++] = s->dye[d];
                    }
                }
                assert_true(s->square <=
                            l->sets[mdr_lattice_number(l, less, s->size - 1)].square + 1e-12);
            }
        }
    }
}

/* Sets of four that reach the shade have several ends to start from; one start each is not enough. */
static void few_rest_at_a_neighbour(void **state)
{
    (void)state;
    enum { MANY = 16 };
    uint64_t seed = 53;
    int near = 0, worse = 0;
    for (int trial = 0; trial < 8; trial++) {
        (void)ask(kit_standard(&seed), FEW);
        mdr_kernel *k;
        mdr_lattice *l;
        assert_int_equal(mdr_kernel_make(&kit_bare, &shade, kit_dyes, MANY, arena, &k, NULL),
                         MDR_OK);
        assert_int_equal(mdr_lattice_make(k, 4, arena, &l, NULL), MDR_OK);
        mdr_lattice_solve(l, 0, l->first[5]);
        for (int i = l->first[4]; i < l->first[5]; i++) {
            if (l->sets[i].square < 1) {
                const double before = sqrt(l->sets[i].square);
                mdr_lattice_polish(l, i);
                near++;
                worse += before - sqrt(l->sets[i].square) > 1e-4;
            }
        }
    }
    print_message("at a neighbouring rest: %d of %d\n", worse, near);
    assert_true(near > 1000 && worse <= near * 13 / 10000);
}

static void the_dyes_of_the_standard_come_first(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(0, 1, 5), FEW);
    const mdr_search_out out = find(&in, 20);
    const mdr_recipe *r = &out.recipes[0];
    assert_int_equal(out.sets, 12 + 66 + 220);
    assert_true(out.reached > 0 && out.shown == 20 && out.obstacle == MDR_OBSTACLE_NONE);
    assert_int_equal(r->n, 3);
    assert_true(r->choice[0] == 0 && r->choice[1] == 1 && r->choice[2] == 5);
    CHECK_NEAR(r->depth_pct_owf[0], 0.8, 0.02, "I: what it was dyed with");
    CHECK_NEAR(r->depth_pct_owf[1], 0.3, 0.02, "I: what it was dyed with");
    CHECK_NEAR(r->depth_pct_owf[2], 1.1, 0.02, "I: what it was dyed with");
    CHECK_NEAR(r->worst_other_de, 0, 0.05, "I: the same dyes, no metamerism");
    CHECK_NEAR(r->cost_per_kg, (0.8 * 10 + 0.3 * 11 + 1.1 * 15) / 100, 0.005, "D: by hand");
    CHECK_NEAR(r->exhaustion_spread_pct, 5, 1e-12, "D: 65 less 60");
    CHECK_NEAR(r->fixation_spread_pct, 10, 1e-12, "D: 60 less 50");
    CHECK_NEAR(r->fastness[MDR_FASTNESS_LIGHT], 3, 0, "D: the worst of 3, 4, 4");
    CHECK_NEAR(r->least_depth_pct_owf, r->depth_pct_owf[1], 0, "D");
    assert_int_equal(r->flags, 0);
    for (int i = 1; i < out.shown; i++) {
        const mdr_best a = {out.recipes[i - 1].score, __builtin_popcount(out.recipes[i - 1].flags),
                            0};
        const mdr_best b = {out.recipes[i].score, __builtin_popcount(out.recipes[i].flags), 1};
        assert_false(mdr_best_is_worse(&a, &b));
    }
}

static void wishes(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(0, 1, 5), FEW);
    choices[1].rule = MDR_CHOICE_NEVER;
    mdr_search_out out = find(&in, 50);
    for (int i = 0; i < out.shown; i++) {
        for (int d = 0; d < out.recipes[i].n; d++) {
            assert_int_not_equal(out.recipes[i].choice[d], 1);
        }
    }
    choices[1].rule = MDR_CHOICE_MUST;
    choices[4].rule = MDR_CHOICE_MUST;
    out = find(&in, 50);
    for (int i = 0; i < out.shown; i++) {
        int found = 0;
        for (int d = 0; d < out.recipes[i].n; d++) {
            found += out.recipes[i].choice[d] == 1 || out.recipes[i].choice[d] == 4;
        }
        assert_int_equal(found, 2);
    }
    in = ask(three(0, 1, 5), FEW);
    choices[0].dye.limit_pct_owf = 0.5; /* too little of a dye that is needed */
    out = find(&in, 50);
    for (int i = 0; i < out.shown; i++) {
        for (int d = 0; d < out.recipes[i].n; d++) {
            assert_true(out.recipes[i].choice[d] != 0 || out.recipes[i].depth_pct_owf[d] <= 0.5);
        }
    }
}

static void fixed_ratio_is_kept(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(0, 1, 5), FEW);
    mdr_choice *c = &choices[0]; /* 0 and 1 as they are in the standard */
    c->dye = (mdr_dye){.ladder = {&kit_ladders[0], &kit_ladders[1]},
                       .strength_factor = {1, 1},
                       .share = {1, 0.3 / 0.8},
                       .parts = 2};
    c->facts[1] = (mdr_dye_facts){.price_per_kg = 11};
    choices[1].rule = MDR_CHOICE_NEVER;
    mdr_search_out out = find(&in, 10);
    assert_int_equal(out.recipes[0].choice[0], 0);
    assert_int_equal(out.recipes[0].choice[1], 5);
    CHECK_NEAR(out.recipes[0].depth_pct_owf[0], 0.8, 0.02, "I: what it was dyed with");
    CHECK_NEAR(out.recipes[0].cost_per_kg, (0.8 * 10 + 0.3 * 11 + 1.1 * 15) / 100, 0.005, "D");
    for (int i = 0; i < out.shown; i++) { /* two parts count as two dyes */
        assert_true(out.recipes[i].n <= 2 || out.recipes[i].choice[0] != 0);
    }
}

static unsigned flags_of(const mdr_search_in *in)
{
    const mdr_search_out out = find(in, 1);
    return out.recipes[0].flags;
}

/* Each flag, with no choice but the dyes of the standard. */
static void flags(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(0, 1, 2), 3);
    for (int i = 0; i < 3; i++) {
        choices[i].rule = MDR_CHOICE_MUST;
    }
    assert_int_equal(flags_of(&in), 0);
    in.weigh_least_pct_owf = 0.35;
    assert_int_equal(flags_of(&in), MDR_RECIPE_NOT_WEIGHABLE);
    in.weigh_least_pct_owf = 0.25;
    assert_int_equal(flags_of(&in), 0);
    in.lot_kg = 300;
    choices[2].facts[0].stock_known = true;
    choices[2].facts[0].stock_kg = 3.2; /* 300 kg at 1.1 % take 3.3 */
    assert_int_equal(flags_of(&in), MDR_RECIPE_SHORT_STOCK);
    choices[2].facts[0].stock_kg = 3.4;
    assert_int_equal(flags_of(&in), 0);
    in.fastness_least[MDR_FASTNESS_LIGHT] = 4;
    assert_int_equal(flags_of(&in), MDR_RECIPE_FASTNESS);
    in.fastness_least[MDR_FASTNESS_LIGHT] = 3;
    choices[2].dye.limit_pct_owf = 1.0;
    in.tolerance = 0.05;
    assert_int_equal(flags_of(&in), MDR_RECIPE_AT_LIMIT | MDR_RECIPE_OFF_SHADE);
    for (int b = 0; b < MDR_RECIPE_BIT_COUNT; b++) {
        assert_non_null(mdr_recipe_flag_id(b));
    }
    assert_null(mdr_recipe_flag_id(MDR_RECIPE_BIT_COUNT));
    assert_null(mdr_recipe_flag_id(-1));
}

static void out_of_reach(void **state)
{
    (void)state;
    mdr_curve c;
    for (int b = 0; b < MDR_BANDS; b++) {
        c.v[b] = 0.021; /* blacker than the surface of the cloth lets it be */
    }
    mdr_search_in in = ask(c, FEW);
    mdr_search_out out = find(&in, 5);
    assert_int_equal(out.reached, 0);
    assert_true(out.obstacle == MDR_OBSTACLE_DEPTH || out.obstacle == MDR_OBSTACLE_DARKER);
    assert_true(out.nearest.de[0] > 0.5 && (out.nearest.flags & MDR_RECIPE_OFF_SHADE) != 0);
    for (int b = 0; b < MDR_BANDS; b++) { /* a green nobody has */
        const double d = (b - 13) / 3.0;
        c.v[b] = 0.045 + 0.8 * exp(-d * d);
    }
    in = ask(c, FEW);
    out = find(&in, 5);
    assert_int_equal(out.obstacle, MDR_OBSTACLE_BRIGHTER);
    assert_string_equal(mdr_obstacle_id(out.obstacle), "cannot_get_brighter");
    c = kit_cloth();
    for (int b = 0; b < MDR_BANDS; b++) {
        c.v[b] = fmin(1, 1.1 * c.v[b]);
    }
    in = ask(c, FEW);
    out = find(&in, 5);
    assert_int_equal(out.obstacle, MDR_OBSTACLE_CLOTH);
    assert_null(mdr_obstacle_id(MDR_OBSTACLE_COUNT));
}

/* Any part by itself, in any order within a size: the same answers. */
static void in_parts(void **state)
{
    (void)state;
    mdr_search_in in = ask(three(2, 7, 9), FEW);
    in.dyes_max = 4;
    const mdr_search_out whole = find(&in, 30);
    mdr_search *s;
    mdr_search_out parts;
    assert_int_equal(mdr_search_make(&in, arena, &s, NULL), MDR_OK);
    for (int size = 1; size <= 4; size++) {
        int first, last;
        mdr_search_span(s, size, &first, &last);
        const int middle = (first + 2 * last) / 3;
        mdr_search_run(s, middle, last);
        mdr_search_run(s, first, middle);
    }
    assert_int_equal(mdr_search_rank(s, 30, arena, &parts, NULL), MDR_OK);
    assert_int_equal(parts.shown, whole.shown);
    assert_memory_equal(parts.recipes, whole.recipes, (size_t)whole.shown * sizeof(mdr_recipe));
    int first = -1, last = -1;
    mdr_search_span(s, 5, &first, &last);
    assert_true(first == 0 && last == 0);
}

static void best_few(void **state)
{
    (void)state;
    uint64_t seed = 52;
    mdr_best heap[10], all[200];
    int n = 0;
    for (int i = 0; i < 200; i++) {
        all[i] = (mdr_best){floor(20 * kit_uniform(&seed)), (int)(3 * kit_uniform(&seed)), i};
        n = mdr_best_offer(heap, n, 10, all[i]);
    }
    assert_int_equal(n, 10);
    for (int i = 0; i < 200; i++) {
        int better = 0, in = 0;
        for (int k = 0; k < 200; k++) {
            better += mdr_best_is_worse(&all[i], &all[k]);
        }
        for (int k = 0; k < 10; k++) {
            in += heap[k].number == i;
        }
        assert_int_equal(in, better < 10);
    }
}

static void bad(const mdr_search_in *in, mdr_code code, const char *place)
{
    mdr_err err = {0};
    mdr_search *s = NULL;
    assert_int_equal(mdr_search_make(in, arena, &s, &err), code);
    assert_string_equal(err.place, place);
    assert_null(s);
}

static void refused(void **state)
{
    (void)state;
    mdr_err err = {0};
    mdr_search_out out = {.sets = -7};
    mdr_search_in in = ask(three(0, 1, 5), FEW);
    in.n = 0;
    bad(&in, MDR_E_ARG, "choices");
    in = ask(three(0, 1, 5), FEW);
    in.dyes_max = 5;
    bad(&in, MDR_E_ARG, "dyes_max");
    in.dyes_max = 3;
    in.tolerance = 0;
    bad(&in, MDR_E_RANGE, "tolerance");
    in.tolerance = 1;
    in.lot_kg = -1;
    bad(&in, MDR_E_RANGE, "lot_kg");
    in.lot_kg = 0;
    in.weigh_least_pct_owf = (double)NAN;
    bad(&in, MDR_E_RANGE, "weigh_least_pct_owf");
    in.weigh_least_pct_owf = 0;
    for (int i = 0; i < 4; i++) {
        choices[i].rule = MDR_CHOICE_MUST;
    }
    bad(&in, MDR_E_ARG, "choices");
    for (int i = 0; i < FEW; i++) {
        choices[i].rule = MDR_CHOICE_NEVER;
    }
    bad(&in, MDR_E_ARG, "choices");
    in = ask(three(0, 1, 5), FEW);
    choices[3].dye.ladder[0] = NULL;
    bad(&in, MDR_E_ARG, "dyes[3].ladder");
    in = ask(three(0, 1, 5), FEW);
    assert_int_equal(mdr_search_recipes(&in, 0, arena, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "shown");
    mdr_arena *small = mdr_arena_new(50000);
    assert_int_equal(mdr_search_recipes(&in, 5, small, &out, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
    assert_int_equal(out.sets, -7);
}

/* The n-th block of memory is not to be had, for every n. */
static void memory_fails_anywhere(void **state)
{
    (void)state;
    const mdr_search_in in = ask(three(0, 1, 5), FEW);
    int refused_ones = 0;
    for (unsigned n = 1; n <= 60; n++) {
        mdr_arena *scant = mdr_arena_new(64u << 20);
        mdr_search_out out = {.sets = -7};
        mdr_err err = {0};
        assert_non_null(scant);
        mdr_arena_fail_at(n);
        const mdr_code rc = mdr_search_recipes(&in, 5, scant, &out, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        assert_true(rc == MDR_OK || (out.sets == -7 && err.code == MDR_E_NOMEM));
        refused_ones += rc == MDR_E_NOMEM;
        mdr_arena_free(scant);
    }
    assert_true(refused_ones > 0 && refused_ones < 60);
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(sets_are_numbered),
                                       cmocka_unit_test(more_dyes_never_worse),
                                       cmocka_unit_test(few_rest_at_a_neighbour),
                                       cmocka_unit_test(the_dyes_of_the_standard_come_first),
                                       cmocka_unit_test(wishes),
                                       cmocka_unit_test(fixed_ratio_is_kept),
                                       cmocka_unit_test(flags),
                                       cmocka_unit_test(out_of_reach),
                                       cmocka_unit_test(in_parts),
                                       cmocka_unit_test(best_few),
                                       cmocka_unit_test(memory_fails_anywhere),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
