/* Numbers as programs write them, against the C library in the "C" locale. */
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "wire/mdr_real.h"

static void like_the_library(void **state)
{
    (void)state;
    static const char *const TEXTS[] = {"0",
                                        "1",
                                        "-1",
                                        "+1",
                                        ".5",
                                        "5.",
                                        "-.5",
                                        "0.1",
                                        "0.0179408",
                                        "123456789",
                                        "1e3",
                                        "1E-3",
                                        "1.5e+03",
                                        "-2.5e-08",
                                        "0.000000000000000000000000012345",
                                        "3.14159265358979323846264338",
                                        "123456789012345678901234567890",
                                        "1e22",
                                        "1e-22",
                                        "1e250",
                                        "9.999e-250",
                                        "0e10",
                                        "0e-999",
                                        "00000000000000000000000000000000001.25",
                                        "1e-320"};
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        double got = 77;
        assert_true(mdr_real_read(TEXTS[i], strlen(TEXTS[i]), &got));
        const double want = strtod(TEXTS[i], NULL);
        CHECK_NEAR(got, want, fabs(want) * 3e-15 + 1e-300, TEXTS[i]);
        assert_int_equal(signbit(got) != 0, TEXTS[i][0] == '-');
    }
    for (int i = 0; i <= 100000; i += 7) { /* what instruments write: to the last bit */
        char text[32];
        double got = 77;
        const int n = snprintf(text, sizeof text, "%.5f", i / 100000.0);
        assert_true(mdr_real_read(text, (size_t)n, &got));
        CHECK_NEAR(got, strtod(text, NULL), 0, text);
    }
}

static void refused(void **state)
{
    (void)state;
    static const char *const TEXTS[] = {
        "",    "-",    "+",  ".",  "-.",    "e5",  "1e",   "1e+", "1,5",   "nan",           "NaN",
        "inf", "0x10", "1 ", " 1", "1.2.3", "--1", "1e5.", "1d3", "1e301", "1e99999999999", "%5"};
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        double got = 77;
        if (mdr_real_read(TEXTS[i], strlen(TEXTS[i]), &got) || got != 77) {
            fail_msg("\"%s\" was taken as %g", TEXTS[i], got);
        }
    }
    double got = 77;
    assert_true(mdr_real_read("12345", 2, &got)); /* not terminated */
    CHECK_NEAR(got, 12, 0, "contract");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(like_the_library),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
