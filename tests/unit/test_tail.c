#include "t.h"

#include "core/quality/mdr_tail.h"

static void tails(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_tail_binomial(2, 4, 0.5, true), 11.0 / 16, 1e-14, "D");
    CHECK_NEAR(mdr_tail_binomial(2, 4, 0.5, false), 11.0 / 16, 1e-14, "D");
    CHECK_NEAR(mdr_tail_binomial(0, 9, 0.3, true), 1, 1e-14, "D");
    CHECK_NEAR(mdr_tail_binomial(3, 3, 0.9, true), 0.729, 1e-14, "D: swapped inside");
    CHECK_NEAR(mdr_tail_binomial(0, 3, 0.9, false), 1e-3, 1e-14, "D: swapped inside");
    for (int k = 1; k <= 100000; k += 9999) {
        const double all =
            mdr_tail_binomial(k, 100000, 0.4, true) + mdr_tail_binomial(k - 1, 100000, 0.4, false);
        CHECK_NEAR(all, 1, 1e-9, "D: both tails are everything");
    }
    CHECK_NEAR(mdr_tail_poisson(3, 2.0, true), 1 - 5 * exp(-2.0), 1e-14, "D: 1 + 2 + 2");
    CHECK_NEAR(mdr_tail_poisson(2, 2.0, false), 5 * exp(-2.0), 1e-14, "D");
    CHECK_NEAR(mdr_tail_poisson(900, 1000.0, true) + mdr_tail_poisson(899, 1000.0, false), 1, 1e-9,
               "D");
    CHECK_NEAR(mdr_tail_deviate(0.025), 1.959964, 1e-6, "S: any table of the normal distribution");
    CHECK_NEAR(mdr_tail_deviate(0.00135), 3.0, 1e-4, "S: 0.135 % beyond three");
    CHECK_NEAR(mdr_tail_deviate(0.7), 0, 0, "contract");
    CHECK_NEAR(mdr_tail_deviate(0.0), 38, 1e-9, "contract");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(tails)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
