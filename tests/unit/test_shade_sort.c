/* Grouping without a grid and the order for cutting, against every possibility where they are few. */
#include "t.h"

#include <string.h>

#include "core/colour/mdr_shade_group.h"
#include "core/colour/mdr_shade_order.h"

enum { MOST = 220 };

static const mdr_difference_spec PLAIN = {MDR_DE_76, 1, 1, 1};
static mdr_lab rolls[MOST];
static uint64_t seed;

static double uniform(double low, double high)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return low +
           (high - low) * ((double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0);
}

static void scatter(int n, double wide, uint64_t from)
{
    seed = from;
    for (int i = 0; i < n; i++) {
        rolls[i] = (mdr_lab){50 + uniform(-wide, wide), 20 + uniform(-wide, wide),
                             10 + uniform(-wide, wide)};
    }
}

static mdr_shade_matrix matrix(int n, const mdr_difference_spec *spec, mdr_arena *arena)
{
    mdr_shade_matrix m;
    mdr_err err;
    if (mdr_shade_matrix_of(rolls, n, spec, arena, &m, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return m;
}

static const mdr_shade_groups *grouped(const mdr_shade_matrix *m, double most, int effort,
                                       mdr_arena *arena)
{
    const mdr_shade_groups *g = NULL;
    mdr_err err;
    if (mdr_shade_group(m, most, effort, arena, &g, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return g;
}

/* Whatever the answer, it keeps its promise. */
static void keeps_promise(const mdr_shade_matrix *m, double most, const mdr_shade_groups *g)
{
    int size[MOST] = {0}, seen = 0;
    double worst = 0;
    for (int i = 0; i < m->n; i++) {
        assert_true(g->group[i] >= 0 && g->group[i] <= seen && g->group[i] < g->n_groups);
        seen += g->group[i] == seen;
        size[g->group[i]]++;
        for (int k = 0; k < i; k++) {
            if (g->group[k] == g->group[i]) {
                assert_true(mdr_shade_de(m, i, k) <= most + 1e-9);
                assert_true(mdr_shade_de(m, i, k) <= g->widest_de[g->group[i]]);
                worst = fmax(worst, mdr_shade_de(m, i, k));
            }
        }
    }
    assert_int_equal(seen, g->n_groups);
    for (int k = 0; k < g->n_groups; k++) {
        assert_int_equal(size[k], g->size[k]);
    }
    CHECK_NEAR(g->worst_de, worst, 0, "D");
    assert_true(g->least_groups <= g->n_groups);
    assert_true(!g->proven || g->least_groups == g->n_groups);
}

/* Fewest groups of the first n rolls by trying every grouping: each roll joins a group or opens one.
 * Counts in base n, digit i the group of roll i. */
static int fewest(const mdr_shade_matrix *m, double most)
{
    int group[9] = {0}, used[10] = {0}, best = m->n, i = 0;
    group[0] = -1;
    while (i >= 0) {
        group[i]++;
        if (group[i] > used[i] || group[i] >= best) {
            i--;
            continue;
        }
        int fits = 1;
        for (int k = 0; k < i; k++) {
            fits = fits && (group[k] != group[i] || mdr_shade_de(m, i, k) <= most);
        }
        if (!fits) {
            continue;
        }
        used[i + 1] = group[i] == used[i] ? used[i] + 1 : used[i];
        if (i + 1 == m->n) {
            best = used[i + 1] < best ? used[i + 1] : best;
        } else {
            group[++i] = -1;
        }
    }
    return best;
}

static void fewest_of_few(void **state)
{
    (void)state;
    int several = 0;
    for (uint64_t trial = 1; trial <= 300; trial++) {
        mdr_arena *arena = mdr_arena_new(1 << 20);
        const int n = 1 + (int)(trial % 9);
        const double most = 0.4 + 0.1 * (double)(trial % 12);
        scatter(n, 1, trial * 7919);
        const mdr_shade_matrix m = matrix(n, &PLAIN, arena);
        const mdr_shade_groups *g = grouped(&m, most, MDR_GROUP_EFFORT, arena);
        keeps_promise(&m, most, g);
        assert_true(g->proven);
        assert_int_equal(g->n_groups, fewest(&m, most));
        several += g->n_groups > 1 && g->n_groups < n;
        mdr_arena_free(arena);
    }
    assert_true(several > 100);
}

/* A ring of five in which each is like its two neighbours only: no three are pairwise unlike, yet two
 * groups will not do. D: a ring of odd length needs three colours; the bound alone says two. */
static void ring_of_five(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    for (int i = 0; i < 5; i++) {
        const double t = 2 * 3.14159265358979323846 * i / 5;
        rolls[i] = (mdr_lab){50, 20 + cos(t), 10 + sin(t)};
    }
    const mdr_shade_matrix m = matrix(5, &PLAIN, arena); /* sides 1.176, diagonals 1.902 */
    const mdr_shade_groups *g = grouped(&m, 1.5, MDR_GROUP_EFFORT, arena);
    keeps_promise(&m, 1.5, g);
    assert_int_equal(g->n_groups, 3);
    assert_true(g->proven);
    const mdr_shade_groups *hasty = grouped(&m, 1.5, 0, arena);
    keeps_promise(&m, 1.5, hasty);
    assert_int_equal(hasty->n_groups, 3);
    assert_int_equal(hasty->least_groups, 2);
    assert_false(hasty->proven);
    mdr_arena_free(arena);
}

/* Clouds far apart are found as they are, and the limit itself is allowed. */
static void clouds(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(8 << 20);
    seed = 4711;
    for (int i = 0; i < 200; i++) {
        rolls[i] = (mdr_lab){50 + 3 * (i % 7) + uniform(-0.2, 0.2), uniform(-0.2, 0.2),
                             uniform(-0.2, 0.2)};
    }
    mdr_shade_matrix m = matrix(200, &PLAIN, arena);
    const mdr_shade_groups *g = grouped(&m, 1, MDR_GROUP_EFFORT, arena);
    keeps_promise(&m, 1, g);
    assert_int_equal(g->n_groups, 7);
    assert_true(g->proven);
    for (int i = 7; i < 200; i++) {
        assert_int_equal(g->group[i], g->group[i % 7]);
    }
    rolls[0] = (mdr_lab){50, 0, 0};
    rolls[1] = (mdr_lab){50.1 + 0.2, 0, 0};
    m = matrix(2, &PLAIN, arena);
    assert_int_equal(grouped(&m, 0.3, 10, arena)->n_groups, 1);
    assert_int_equal(grouped(&m, 0.29, 10, arena)->n_groups, 2);
    mdr_arena_free(arena);
}

static void many_rolls(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(8 << 20);
    scatter(MOST, 1.5, 99);
    const mdr_shade_matrix m = matrix(MOST, &PLAIN, arena);
    const mdr_shade_groups *g = grouped(&m, 1, 2000, arena);
    keeps_promise(&m, 1, g);
    const mdr_shade_groups *again = grouped(&m, 1, 2000, arena);
    assert_memory_equal(g->group, again->group, MOST * sizeof *g->group); /* no chance in it */
    mdr_arena_free(arena);
}

/* A formula that is not symmetric counts the worse way; CIEDE2000 by its fast twin. */
static void matrices(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    const mdr_difference_spec cmc = {MDR_DE_CMC, 2, 1, 1}, de00 = {MDR_DE_2000, 2, 1, 1};
    scatter(20, 5, 5);
    const mdr_shade_matrix a = matrix(20, &cmc, arena), b = matrix(20, &de00, arena);
    for (int i = 0; i < 20; i++) {
        for (int k = 0; k < 20; k++) {
            CHECK_NEAR(mdr_shade_de(&a, i, k),
                       fmax(mdr_difference_cmc(rolls[i], rolls[k], 2, 1),
                            mdr_difference_cmc(rolls[k], rolls[i], 2, 1)),
                       1e-9, "D");
            CHECK_NEAR(mdr_shade_de(&b, i, k), mdr_difference_2000(rolls[i], rolls[k], 2, 1, 1),
                       1e-9, "D");
        }
    }
    mdr_arena_free(arena);
}

static const mdr_shade_order *ordered(const mdr_shade_matrix *m, mdr_arena *arena)
{
    const mdr_shade_order *o = NULL;
    mdr_err err;
    if (mdr_shade_order_of(m, arena, &o, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    bool seen[MOST] = {false};
    double sum = 0, widest = 0;
    for (int i = 0; i < m->n; i++) {
        assert_true(o->roll[i] >= 0 && o->roll[i] < m->n && !seen[o->roll[i]]);
        seen[o->roll[i]] = true;
        if (i > 0) {
            sum += mdr_shade_de(m, o->roll[i - 1], o->roll[i]);
            widest = fmax(widest, mdr_shade_de(m, o->roll[i - 1], o->roll[i]));
        }
    }
    CHECK_NEAR(o->total_de, sum, 1e-12, "D");
    CHECK_NEAR(o->widest_de, widest, 0, "D");
    assert_true(o->roll[0] <= o->roll[m->n - 1]);
    assert_true(o->least_de <= o->total_de + 1e-12);
    return o;
}

/* Rolls along a line are laid in line, few or many. */
static void along_a_line(void **state)
{
    (void)state;
    static const int COUNTS[] = {1, 2, 7, 12, 13, 60, 200};
    for (size_t c = 0; c < N_OF(COUNTS); c++) {
        mdr_arena *arena = mdr_arena_new(8 << 20);
        const int n = COUNTS[c];
        for (int i = 0; i < n; i++) {
            rolls[i] = (mdr_lab){40 + 0.1 * ((i * 73) % n), 0, 0}; /* 73 shares no factor with n */
        }
        const mdr_shade_matrix m = matrix(n, &PLAIN, arena);
        const mdr_shade_order *o = ordered(&m, arena);
        CHECK_NEAR(o->total_de, 0.1 * (n - 1), 1e-9, "D: the length of the line");
        assert_true(o->proven);
        mdr_arena_free(arena);
    }
}

/* All orders of seven, by swapping (Heap's way, without recursion). */
static double shortest(const mdr_shade_matrix *m)
{
    int p[7], c[7] = {0};
    double best = 1e300;
    for (int i = 0; i < 7; i++) {
        p[i] = i;
    }
    for (int i = 0; i < 7;) {
        double sum = 0;
        for (int k = 1; k < 7; k++) {
            sum += mdr_shade_de(m, p[k - 1], p[k]);
        }
        best = fmin(best, sum);
        for (i = 1; i < 7 && c[i] >= i; i++) {
            c[i] = 0;
        }
        if (i < 7) {
            const int with = i % 2 == 0 ? 0 : c[i], kept = p[with];
            p[with] = p[i];
            p[i] = kept;
            c[i]++;
        }
    }
    return best;
}

static void shortest_of_few(void **state)
{
    (void)state;
    for (uint64_t trial = 1; trial <= 30; trial++) {
        mdr_arena *arena = mdr_arena_new(1 << 20);
        scatter(7, 2, trial * 104729);
        const mdr_shade_matrix m = matrix(7, &PLAIN, arena);
        CHECK_NEAR(ordered(&m, arena)->total_de, shortest(&m), 1e-12, "D: every order tried");
        mdr_arena_free(arena);
    }
}

/* Two clouds and a long way between: crossed once. The mended path is near its bound. */
static void long_paths(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(8 << 20);
    scatter(100, 1, 31);
    for (int i = 0; i < 100; i += 2) {
        rolls[i].l += 20;
    }
    mdr_shade_matrix m = matrix(100, &PLAIN, arena);
    const mdr_shade_order *o = ordered(&m, arena);
    int crossings = 0;
    for (int i = 1; i < 100; i++) {
        crossings += (rolls[o->roll[i - 1]].l > 60) != (rolls[o->roll[i]].l > 60);
    }
    assert_int_equal(crossings, 1);
    assert_int_equal(o->proven, 0);
    assert_true(o->total_de < 1.3 * o->least_de);
    mdr_arena_free(arena);
}

static void refused(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20), *small = mdr_arena_new(500);
    mdr_shade_matrix m = {.n = 77};
    const mdr_shade_groups *g = NULL;
    const mdr_shade_order *o = NULL;
    mdr_err err;
    scatter(12, 1, 3);
    assert_int_equal(mdr_shade_matrix_of(rolls, 0, &PLAIN, arena, &m, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "n");
    assert_int_equal(mdr_shade_matrix_of(rolls, 1001, &PLAIN, arena, &m, &err), MDR_E_RANGE);
    rolls[4].a = (double)NAN;
    assert_int_equal(mdr_shade_matrix_of(rolls, 12, &PLAIN, arena, &m, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "rolls[4]");
    assert_int_equal(m.n, 77);
    rolls[4].a = 0;
    m = matrix(12, &PLAIN, arena);
    static const double BAD[] = {0, -1, (double)NAN};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_int_equal(mdr_shade_group(&m, BAD[i], 10, arena, &g, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "most_de");
    }
    assert_int_equal(mdr_shade_group(&m, 1, 10, small, &g, &err), MDR_E_NOMEM);
    assert_int_equal(mdr_shade_order_of(&m, small, &o, &err), MDR_E_NOMEM);
    m.n = 401;
    assert_int_equal(mdr_shade_order_of(&m, arena, &o, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "n");
    assert_true(g == NULL && o == NULL);
    mdr_arena_free(small);
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fewest_of_few),   cmocka_unit_test(ring_of_five),
        cmocka_unit_test(clouds),          cmocka_unit_test(many_rolls),
        cmocka_unit_test(matrices),        cmocka_unit_test(along_a_line),
        cmocka_unit_test(shortest_of_few), cmocka_unit_test(long_paths),
        cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
