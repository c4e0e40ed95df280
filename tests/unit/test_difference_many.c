/* The many against the one: mdr_difference_2000 is checked by itself against printed pairs. */
#include "t.h"

#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_difference_many.h"

enum { PAIR_COLS = 8, N = 1 << 16 };
extern const double ciede2000_pairs[][PAIR_COLS];
extern const int ciede2000_pairs_rows;

static mdr_lab from[N], to[N];
static double got[N];

/* xorshift64*, a fixed seed */
static double uniform(double low, double high)
{
    static uint64_t seed = 88172645463325252u;
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return low +
           (high - low) * ((double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0);
}

static void printed_pairs(void **state)
{
    (void)state;
    const size_t n = (size_t)ciede2000_pairs_rows;
    for (size_t i = 0; i < n; i++) {
        const double *row = ciede2000_pairs[i];
        from[i] = to[n + i] = (mdr_lab){row[1], row[2], row[3]};
        to[i] = from[n + i] = (mdr_lab){row[4], row[5], row[6]};
    }
    mdr_difference_2000_many(from, to, 2 * n, 1, 1, 1, got);
    for (size_t i = 0; i < 2 * n; i++) {
        CHECK_NEAR(got[i], ciede2000_pairs[i % n][7], 5e-5, "S: sharma-ciede2000");
    }
}

static void all_near(size_t n, double kl, double kc, double kh, const char *source)
{
    mdr_difference_2000_many(from, to, n, kl, kc, kh, got);
    for (size_t i = 0; i < n; i++) {
        const double want = mdr_difference_2000(from[i], to[i], kl, kc, kh);
        if (!(fabs(got[i] - want) <= 1e-9)) {
            fail_msg("pair %zu (%.17g %.17g %.17g) (%.17g %.17g %.17g): got %.17g, want %.17g\n"
                     "    source: %s",
                     i, from[i].l, from[i].a, from[i].b, to[i].l, to[i].a, to[i].b, got[i], want,
                     source);
        }
    }
}

static void random_pairs(void **state)
{
    (void)state;
    static const double APART[] = {200, 20, 2, 0.05, 1e-4, 1e-9};
    for (size_t k = 0; k < N_OF(APART); k++) {
        for (int i = 0; i < N; i++) {
            from[i] = (mdr_lab){uniform(0, 100), uniform(-128, 128), uniform(-128, 128)};
            to[i] = (mdr_lab){from[i].l + uniform(-0.5, 0.5) * APART[k],
                              from[i].a + uniform(-0.5, 0.5) * APART[k],
                              from[i].b + uniform(-0.5, 0.5) * APART[k]};
        }
        all_near(N, 1, 1, 1, "D: the same formula");
    }
    all_near(N, 2, 1, 0.7, "D: the same formula");
}

/* Greys, and blues where the rotation is strongest. */
static void greys_and_blues(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        const double c = i % 3 == 0 ? 0.0 : i % 3 == 1 ? 1e-12 : uniform(0, 3);
        from[i] = mdr_lab_of_lch((mdr_lch){uniform(0, 100), c, uniform(0, 360)});
        to[i] = mdr_lab_of_lch(
            (mdr_lch){uniform(0, 100), i % 2 == 0 ? 0.0 : uniform(0, 3), uniform(0, 360)});
    }
    all_near(N, 1, 1, 1, "D: greys");
    for (int i = 0; i < N; i++) {
        from[i] = mdr_lab_of_lch((mdr_lch){uniform(10, 60), uniform(20, 120), uniform(200, 350)});
        to[i] = mdr_lab_of_lch((mdr_lch){uniform(10, 60), uniform(20, 120), uniform(200, 350)});
    }
    all_near(N, 1, 1, 1, "D: blues");
}

/* Opposite hues to the last bit and round about it, on the axes and off them. */
static void opposite_hues(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        const double a = i % 5 == 0 ? 0.0 : uniform(-50, 50);
        const double b = i % 7 == 0 ? 0.0 : uniform(-50, 50);
        const double k = i % 2 == 0 ? 1.0 : uniform(0.1, 3);
        const double off = i % 4 < 2 ? 0.0 : i % 4 == 2 ? 1e-10 : 1e-7;
        from[i] = (mdr_lab){50, a, b};
        to[i] = (mdr_lab){55, -a * k, -b * k + off * (i % 3 - 1)};
    }
    all_near(N, 1, 1, 1, "D: opposite hues");
}

/* Mean hues of 0 from either side: the rotation has a step there. */
static void around_the_red_axis(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        const double b = i % 3 == 0 ? 0.0 : uniform(0, 20), a = uniform(0, 60);
        const double k = i % 4 == 0 ? 1.0 : 2.0; /* by two, the mirrored hue stays exact */
        from[i] = (mdr_lab){50, a, b};
        to[i] = (mdr_lab){50, a * k, -b * k};
    }
    all_near(N, 1, 1, 1, "D: mirrored at the red axis");
}

static void any_number_of_pairs(void **state)
{
    (void)state;
    for (size_t n = 0; n < 200; n++) {
        for (size_t i = 0; i < 200; i++) {
            from[i] = (mdr_lab){uniform(0, 100), uniform(-90, 90), uniform(-90, 90)};
            to[i] = (mdr_lab){uniform(0, 100), uniform(-90, 90), uniform(-90, 90)};
            got[i] = -1;
        }
        all_near(n, 1, 1, 1, "D: the same formula");
        assert_true(got[n] == -1 && got[199] == -1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_pairs),       cmocka_unit_test(random_pairs),
        cmocka_unit_test(greys_and_blues),     cmocka_unit_test(opposite_hues),
        cmocka_unit_test(around_the_red_axis), cmocka_unit_test(any_number_of_pairs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
