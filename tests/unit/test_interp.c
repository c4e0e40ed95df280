#include "t.h"

#include "num/mdr_interp.h"

/* two columns, stride 2 */
static const double T[][2] = {{0, 10}, {1, 20}, {4, 14}, {4.5, 14}};

static void rows_are_exact(void **state)
{
    (void)state;
    for (int i = 0; i < (int)N_OF(T); i++) {
        CHECK_NEAR(mdr_interp_linear(&T[0][0], &T[0][1], (int)N_OF(T), 2, T[i][0]), T[i][1], 0,
                   "D: the table itself");
    }
}

static void between_rows(void **state)
{
    (void)state;
    static const struct {
        double at, want;
    } C[] = {{0.25, 12.5}, {2.5, 17}, {3.0, 16}, {4.2, 14}};
    for (size_t i = 0; i < N_OF(C); i++) {
        CHECK_NEAR(mdr_interp_linear(&T[0][0], &T[0][1], (int)N_OF(T), 2, C[i].at), C[i].want,
                   1e-14, "D: by hand, straight line");
    }
}

static void bands(void **state)
{
    (void)state;
    static const struct {
        double at;
        int want;
    } C[] = {{0, 0}, {0.999, 0}, {1, 1}, {3.999, 1}, {4, 2}, {4.5, 2}};
    for (size_t i = 0; i < N_OF(C); i++) {
        assert_int_equal(mdr_interp_band(&T[0][0], (int)N_OF(T), 2, C[i].at), C[i].want);
    }
}

/* Every length up to 40 against a plain search from the left. */
static void search_agrees_with_plain_one(void **state)
{
    (void)state;
    double x[40];
    for (int i = 0; i < 40; i++) {
        x[i] = i * i;
    }
    for (int n = 2; n <= 40; n++) {
        for (double at = 0; at <= x[n - 1]; at += 0.5) {
            int want = 0;
            while (want < n - 2 && at >= x[want + 1]) {
                want++;
            }
            assert_int_equal(mdr_interp_band(x, n, 1, at), want);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rows_are_exact),
                                       cmocka_unit_test(between_rows), cmocka_unit_test(bands),
                                       cmocka_unit_test(search_agrees_with_plain_one)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
