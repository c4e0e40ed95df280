/* Every set of dyes the search solves, drawn at random, against a slow search that knows only the
 * public model: many starts, slopes by differences, tight end. */
#include "search_kit.h"

#include <string.h>

#include "core/recipe/mdr_lattice.h"

enum { SHADES = 8, DRAWN = 60, STARTS = 10, STEPS = 60, ROWS = 9 };

/* Residuals of the shade, so that the sum of squares is F^2. */
static void residuals(const mdr_target *s, const int *id, const double *c, int n, double *r)
{
    mdr_part parts[4];
    mdr_mixture m;
    double weights = 0;
    for (int i = 0; i < n; i++) {
        parts[i] = (mdr_part){&kit_ladders[id[i]], c[i], 1};
    }
    assert_int_equal(mdr_mixture_of(&kit_bare, parts, n, &m, NULL), MDR_OK);
    for (int j = 1; j < s->lights; j++) {
        weights += s->light_weight[j];
    }
    for (int j = 0; j < s->lights; j++) {
        const mdr_difference d =
            mdr_difference_of(mdr_lab_of_curve(&s->standard, s->light[j]),
                              mdr_lab_of_curve(&m.curve, s->light[j]), &s->formula);
        const double scale = j == 0 ? 1 : sqrt(s->tie_weight * s->light_weight[j] / weights);
        r[3 * j] = scale * d.wl;
        r[3 * j + 1] = scale * d.wc;
        r[3 * j + 2] = scale * d.wh;
    }
}

static double square(const double *r)
{
    double sum = 0;
    for (int i = 0; i < ROWS; i++) {
        sum += r[i] * r[i];
    }
    return sum;
}

/* (J'J + damp) p = -J'r by elimination; doses held at a limit keep still. */
static void step(double j[ROWS][4], const double *r, const int *held, int n, double damp, double *p)
{
    double a[4][5] = {{0}};
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < n; k++) {
            for (int q = 0; q < ROWS; q++) {
                a[i][k] += held[i] || held[k] ? 0 : j[q][i] * j[q][k];
            }
        }
        for (int q = 0; q < ROWS; q++) {
            a[i][4] -= held[i] ? 0 : j[q][i] * r[q];
        }
        a[i][i] = held[i] ? 1 : a[i][i] * (1 + damp) + 1e-14;
    }
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < n; k++) {
            if (k != i) {
                const double f = a[k][i] / a[i][i];
                for (int q = i; q < 5; q++) {
                    a[k][q] -= f * a[i][q];
                }
            }
        }
    }
    for (int i = 0; i < n; i++) {
        p[i] = a[i][4] / a[i][i];
    }
}

static double descend(const mdr_target *s, const int *id, double *c, int n)
{
    double r[ROWS], now, damp = 1e-3;
    residuals(s, id, c, n, r);
    now = square(r);
    for (int it = 0; it < STEPS && damp < 1e8; it++) {
        double j[ROWS][4], p[4], next[4], rn[ROWS], got;
        int held[4];
        for (int i = 0; i < n; i++) {
            const double limit = kit_ladders[id[i]].limit_pct_owf, at = c[i];
            const double h = at > 0.5 * limit ? -1e-6 : 1e-6;
            double g = 0;
            c[i] = at + h;
            residuals(s, id, c, n, rn);
            c[i] = at;
            for (int q = 0; q < ROWS; q++) {
                j[q][i] = (rn[q] - r[q]) / h;
                g += j[q][i] * r[q];
            }
            held[i] = (at <= 0 && g >= 0) || (at >= limit && g <= 0);
        }
        step(j, r, held, n, damp, p);
        for (int i = 0; i < n; i++) {
            next[i] = fmin(fmax(c[i] + p[i], 0), kit_ladders[id[i]].limit_pct_owf);
        }
        residuals(s, id, next, n, rn);
        got = now - square(rn);
        if (got > 0) {
            memcpy(c, next, sizeof next);
            memcpy(r, rn, sizeof r);
            now -= got;
            damp = fmax(damp / 10, 1e-10);
            if (got < 1e-10 + 1e-9 * now) {
                break;
            }
        } else {
            damp *= 10;
        }
    }
    return now;
}

static double slow_search(const mdr_target *s, const int *id, int n, uint64_t *seed)
{
    double best = 1e300;
    for (int k = 0; k < STARTS; k++) {
        double c[4] = {0};
        for (int i = 0; i < n; i++) {
            const double u = kit_uniform(seed);
            c[i] = kit_ladders[id[i]].limit_pct_owf * u * u * u;
        }
        best = fmin(best, descend(s, id, c, n));
    }
    return best;
}

typedef struct tally {
    int asked, near, worse, near_worse;
    double gap, near_gap;
} tally;

static void compare(const mdr_lattice *l, const mdr_target *s, uint64_t *seed, tally *t)
{
    const mdr_set *set = &l->sets[(int)(kit_uniform(seed) * l->first[5])];
    int id[4];
    for (int i = 0; i < set->size; i++) {
        id[i] = set->dye[i];
    }
    const double slow = sqrt(slow_search(s, id, set->size, seed));
    const double gap = sqrt(set->square) - slow;
    const int near = slow < 2;
    t->asked++;
    t->near += near;
    t->worse += gap > 1e-4;
    t->gap = fmax(t->gap, gap);
    t->near_worse += near && gap > 1e-4;
    t->near_gap = fmax(t->near_gap, near ? gap : 0);
}

static void as_a_slow_search(void **state)
{
    (void)state;
    uint64_t seed = 61;
    tally t = {0};
    for (int trial = 0; trial < SHADES; trial++) {
        mdr_arena *arena = mdr_arena_new(64u << 20);
        mdr_kernel *k;
        mdr_lattice *l;
        assert_non_null(arena);
        const mdr_target s = kit_shade(kit_standard(&seed), MDR_DE_CMC, MDR_TIE_LIGHTS);
        assert_int_equal(mdr_kernel_make(&kit_bare, &s, kit_dyes, KIT_DYES, arena, &k, NULL),
                         MDR_OK);
        assert_int_equal(mdr_lattice_make(k, 4, arena, &l, NULL), MDR_OK);
        mdr_lattice_solve(l, 0, l->first[5]);
        for (int i = 0; i < DRAWN; i++) {
            compare(l, &s, &seed, &t);
        }
        mdr_arena_free(arena);
    }
    print_message("%d sets: %d worse than the slow search by more than 1e-4, at most %.4f\n",
                  t.asked, t.worse, t.gap);
    print_message("of them with F below 2, %d: %d worse, at most %.5f\n", t.near, t.near_worse,
                  t.near_gap);
    assert_true(t.asked == SHADES * DRAWN && t.near > 100);
    assert_true(t.worse <= t.asked * 15 / 1000);
    assert_true(t.near_worse <= t.near * 10 / 1000);
    assert_true(t.near_gap < 0.02);
}

/* Singly, with all starts: no exception. */
static void one_set_at_a_time(void **state)
{
    (void)state;
    uint64_t seed = 62;
    for (int trial = 0; trial < 60; trial++) {
        mdr_arena *arena = mdr_arena_new(4u << 20);
        int id[4];
        mdr_dye dyes[4];
        mdr_match m;
        const int n = 2 + trial % 3;
        assert_non_null(arena);
        for (int i = 0; i < n; i++) {
            id[i] = (int)(kit_uniform(&seed) * (KIT_DYES / 4)) + i * (KIT_DYES / 4);
            dyes[i] = kit_dyes[id[i]];
        }
        const mdr_target s = kit_shade(kit_standard(&seed), MDR_DE_CMC, MDR_TIE_LIGHTS);
        assert_int_equal(mdr_match_dyes(&kit_bare, &s, dyes, n, arena, &m, NULL), MDR_OK);
        const double slow = sqrt(slow_search(&s, id, n, &seed));
        if (slow < 5) {
            CHECK_NEAR(fmax(m.objective - slow, 0), 0, 1e-4, "D: the slow search");
        }
        mdr_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(as_a_slow_search),
                                       cmocka_unit_test(one_set_at_a_time)};
    return cmocka_run_group_tests(tests, kit_setup, NULL);
}
