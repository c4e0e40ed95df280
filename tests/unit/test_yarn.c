#include "t.h"

#include <string.h>

#include "core/units/mdr_yarn.h"

static const struct {
    double count;
    mdr_yarn_sys sys;
    double tex, tol;
    const char *src;
} TO_TEX[] = {
    {1, MDR_YARN_TEX, 1.0, 0, "D: identity"},
    {167, MDR_YARN_DTEX, 16.7, 1e-14, "S: ISO 1144, 1 tex = 10 dtex"},
    {9, MDR_YARN_DENIER, 1.0, 1e-15, "D: denier is g per 9000 m"},
    {50, MDR_YARN_NM, 20.0, 0, "D: 50 m/g is 20 g/km"},
    {1, MDR_YARN_NE, 590.541247448235, 1e-11, "D: 453.59237*1000/(840*0.9144), bc scale=12"},
    {30, MDR_YARN_NE, 19.684708248274, 1e-11, "D: 453.59237*1000/(840*0.9144)/30, bc scale=12"},
};

static void to_tex(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(TO_TEX); i++) {
        mdr_tex t = {0};
        assert_int_equal(mdr_yarn_to_tex(TO_TEX[i].count, TO_TEX[i].sys, &t, NULL), MDR_OK);
        CHECK_NEAR(t.g_per_km, TO_TEX[i].tex, TO_TEX[i].tol, TO_TEX[i].src);
    }
}

static const struct {
    const char *text;
    mdr_code code;
    const char *field; /* expected when code != MDR_OK */
    double tex;        /* expected when code == MDR_OK */
} PARSE[] = {
    {"20 tex", MDR_OK, "", 20},
    {"  Nm 50 ", MDR_OK, "", 20},
    {"20TEX", MDR_OK, "", 20},
    {"180 den", MDR_OK, "", 20},
    {"200 dtex", MDR_OK, "", 20},
    {"", MDR_E_PARSE, "count", 0},
    {"tex", MDR_E_PARSE, "count", 0},
    {"20", MDR_E_UNIT, "unit", 0},
    {"20 texas", MDR_E_UNIT, "unit", 0},
    {"20 texts", MDR_E_UNIT, "unit", 0},
    {"20 tex x", MDR_E_PARSE, "count", 0},
    {"0 tex", MDR_E_RANGE, "count", 0},
    {"-3 tex", MDR_E_PARSE, "count", 0},
    {"1,5 tex", MDR_E_UNIT, "unit", 0},
    {"nan tex", MDR_E_PARSE, "count", 0},
    {"1e5 tex", MDR_E_UNIT, "unit", 0},
    {"9999999 tex", MDR_E_RANGE, "count", 0},
    {"1.2.3 tex", MDR_E_UNIT, "unit", 0},
    {"000000000000020 tex", MDR_OK, "", 20},           /* 15 digits: still read */
    {"0000000000000020 tex", MDR_E_PARSE, "count", 0}, /* 16 digits: refused */
};

static void parse(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(PARSE); i++) {
        mdr_tex t = {-1};
        mdr_err err = {0};
        mdr_code rc = mdr_yarn_parse(PARSE[i].text, &t, &err);
        if (rc != PARSE[i].code) {
            fail_msg("\"%s\": got %s, want %s", PARSE[i].text, mdr_code_id(rc),
                     mdr_code_id(PARSE[i].code));
        }
        if (rc == MDR_OK) {
            CHECK_NEAR(t.g_per_km, PARSE[i].tex, 1e-12, PARSE[i].text);
        } else {
            assert_string_equal(err.place, PARSE[i].field);
            assert_true(strlen(err.msg) > 0);
            CHECK_NEAR(t.g_per_km, -1, 0, "contract: out untouched on failure");
        }
    }
}

static void round_trip(void **state)
{
    (void)state;
    for (int s = MDR_YARN_TEX; s <= MDR_YARN_NE; s++) {
        for (double c = 0.01; c < 1e5; c *= 1.7) {
            mdr_tex t;
            assert_int_equal(mdr_yarn_to_tex(c, (mdr_yarn_sys)s, &t, NULL), MDR_OK);
            CHECK_NEAR(mdr_yarn_from_tex(t, (mdr_yarn_sys)s) / c, 1.0, 4e-16, "D: inverse");
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(to_tex), cmocka_unit_test(parse),
                                       cmocka_unit_test(round_trip)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
