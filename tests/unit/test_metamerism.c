#include "t.h"

#include "core/colour/mdr_metamerism.h"

static const double PI = 3.14159265358979323846;

static mdr_curve step(void)
{
    mdr_curve c;
    for (int i = 0; i < MDR_BANDS; i++) {
        c.v[i] = 0.1 + 0.4 / (1 + exp(-(400 + 10 * i - 560) / 25.0));
    }
    return c;
}

static mdr_curve wavy(void)
{
    mdr_curve c = step();
    for (int i = 0; i < MDR_BANDS; i++) {
        const double nm = 400 + 10 * i;
        c.v[i] +=
            0.06 * sin((nm - 400) / 300 * 6 * PI) * exp(-((nm - 550) / 100) * ((nm - 550) / 100));
    }
    return c;
}

/* Computed apart in NumPy from the definitions and table 5 of ASTM E308. */
static const struct {
    mdr_illuminant test;
    double test_de, index_de, inconstancy_de;
    mdr_lab adapted;
} ROWS[] = {
    {MDR_ILL_A, 1.680806, 1.616760, 3.472075, {62.65292768, 18.86199457, 36.6916102}},
    {MDR_ILL_F11, 1.498329, 1.949339, 5.317571, {61.52216837, 15.66690454, 37.72042913}},
    {MDR_ILL_F2, 1.601313, 3.268361, 10.537929, {62.08712612, 10.40190585, 38.8567987}},
};

static void like_another_program(void **state)
{
    (void)state;
    const mdr_difference_spec plain = mdr_difference_usual(MDR_DE_76);
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_curve standard = step(), sample = wavy();
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_weights test = mdr_weights_of(ROWS[i].test, MDR_OBSERVER_10);
        mdr_metamerism m;
        assert_int_equal(mdr_metamerism_of(&standard, &sample, &d65, &test, &plain, &m, NULL),
                         MDR_OK);
        CHECK_NEAR(m.reference_de, 2.354144, 6e-7, "O: NumPy");
        CHECK_NEAR(m.test_de, ROWS[i].test_de, 6e-7, "O: NumPy");
        CHECK_NEAR(m.index_de, ROWS[i].index_de, 6e-7, "O: NumPy");
        CHECK_NEAR(m.index.de, m.index_de, 0, "contract");
        const mdr_inconstancy c = mdr_inconstancy_of(&standard, &d65, &test, &plain);
        CHECK_NEAR(c.difference.de, ROWS[i].inconstancy_de, 6e-7, "O: NumPy");
        CHECK_NEAR(c.adapted.l, ROWS[i].adapted.l, 1e-7, "O: NumPy");
        CHECK_NEAR(c.adapted.a, ROWS[i].adapted.a, 1e-7, "O: NumPy");
        CHECK_NEAR(c.adapted.b, ROWS[i].adapted.b, 1e-7, "O: NumPy");
        CHECK_NEAR(c.reference.l, 59.71096778, 1e-7, "O: NumPy");
    }
}

/* What differs under the reference light by a factor alone is no metamerism, and the same light is
 * no other light. D. */
static void nothing_to_find(void **state)
{
    (void)state;
    const mdr_difference_spec cmc = mdr_difference_usual(MDR_DE_CMC);
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_weights f11 = mdr_weights_of(MDR_ILL_F11, MDR_OBSERVER_10);
    const mdr_curve standard = step(), other = wavy();
    mdr_curve paler = standard, grey;
    for (int i = 0; i < MDR_BANDS; i++) {
        paler.v[i] *= 1.1;
        grey.v[i] = 0.3;
    }
    mdr_metamerism m;
    assert_int_equal(mdr_metamerism_of(&standard, &paler, &d65, &f11, &cmc, &m, NULL), MDR_OK);
    CHECK_NEAR(m.index_de, 0, 1e-9, "D: one factor on all");
    assert_true(m.reference_de > 0.5 && m.test_de > 0.5);
    assert_int_equal(mdr_metamerism_of(&standard, &other, &d65, &d65, &cmc, &m, NULL), MDR_OK);
    CHECK_NEAR(m.index_de, 0, 1e-9, "D: corrected to a match");
    CHECK_NEAR(mdr_inconstancy_of(&standard, &d65, &d65, &cmc).difference.de, 0, 1e-9,
               "D: the same light");
    CHECK_NEAR(mdr_inconstancy_of(&grey, &d65, &f11, &cmc).difference.de, 0, 1e-6,
               "D: a grey stays grey");
}

static void adaptation(void **state)
{
    (void)state;
    const mdr_xyz a = {111.15, 100, 35.20}, d65 = {94.81, 100, 107.30};
    const mdr_xyz got = mdr_adapted((mdr_xyz){22.48, 22.74, 8.54}, a, d65,
                                    0.08 * log10(200.0) + 0.76); /* both fields 200 cd/m2 */
    const char *src = "O: example of CMCCAT2000 in an open library; from memory, and by NumPy";
    CHECK_NEAR(got.x, 19.52698326, 6e-9, src);
    CHECK_NEAR(got.y, 23.0683396, 6e-8, src);
    CHECK_NEAR(got.z, 24.97175229, 6e-9, src);
    const mdr_xyz white = mdr_adapted(a, a, d65, 1);
    CHECK_NEAR(fabs(white.x - d65.x) + fabs(white.y - d65.y) + fabs(white.z - d65.z), 0, 1e-11,
               "D: white becomes white");
    const mdr_xyz same = mdr_adapted((mdr_xyz){20, 30, 40}, a, d65, 0);
    CHECK_NEAR(fabs(same.x - 20) + fabs(same.y - 30) + fabs(same.z - 40), 0, 1e-11, "D: none");
    const mdr_xyz dim = {47.405, 50, 53.65};
    const mdr_xyz half = mdr_adapted((mdr_xyz){20, 30, 40}, a, d65, 1);
    const mdr_xyz to_dim = mdr_adapted((mdr_xyz){20, 30, 40}, a, dim, 1);
    CHECK_NEAR(to_dim.x, half.x, 1e-11, "D: the scale of a white does not matter");
}

static void black_sample(void **state)
{
    (void)state;
    const mdr_difference_spec cmc = mdr_difference_usual(MDR_DE_CMC);
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_curve standard = step(), black = {.v = {0}};
    mdr_metamerism m = {.index_de = 7};
    mdr_err err;
    assert_int_equal(mdr_metamerism_of(&standard, &black, &d65, &d65, &cmc, &m, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "sample");
    CHECK_NEAR(m.index_de, 7, 0, "contract");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(like_another_program), cmocka_unit_test(nothing_to_find),
        cmocka_unit_test(adaptation), cmocka_unit_test(black_sample)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
