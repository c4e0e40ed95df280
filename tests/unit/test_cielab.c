#include "t.h"

#include "core/colour/mdr_cielab.h"

static const mdr_xyz D65_10 = {94.811, 100, 107.304};

/* D: by hand from the definition; 116 cbrt(Y/Yn) - 16 above the knee, 903.296.. Y/Yn below. */
static void by_hand(void **state)
{
    (void)state;
    const char *src = "D: cie-15 8.2.1";
    mdr_lab lab = mdr_lab_of_xyz((mdr_xyz){94.811 * 0.125, 12.5, 107.304 * 0.125}, D65_10);
    CHECK_NEAR(lab.l, 42, 1e-12, src);
    CHECK_NEAR(fabs(lab.a) + fabs(lab.b), 0, 1e-12, src);
    lab = mdr_lab_of_xyz((mdr_xyz){94.811 * 0.216, 12.5, 107.304 * 0.064}, D65_10);
    CHECK_NEAR(lab.a, 50, 1e-12, src);
    CHECK_NEAR(lab.b, 20, 1e-12, src);
    lab = mdr_lab_of_xyz((mdr_xyz){0, 0.5, 0}, D65_10);
    CHECK_NEAR(lab.l, 24389.0 / 27 * 0.005, 1e-12, src);
    CHECK_NEAR(lab.a, -500 * 841.0 / 108 * 0.005, 1e-12, src);
    CHECK_NEAR(lab.b, 200 * 841.0 / 108 * 0.005, 1e-12, src);
}

/* Both branches meet at the knee, and both ways go through each other. */
static void there_and_back(void **state)
{
    (void)state;
    for (int i = 0; i <= 4000; i++) {
        const double t = i * 0.0003;
        const mdr_xyz xyz = {94.811 * t, 100 * t * 0.7, 107.304 * (1.2 - t)};
        const mdr_xyz back = mdr_xyz_of_lab(mdr_lab_of_xyz(xyz, D65_10), D65_10);
        CHECK_NEAR(back.x, xyz.x, 1e-11, "D: inverse");
        CHECK_NEAR(back.y, xyz.y, 1e-11, "D: inverse");
        CHECK_NEAR(back.z, xyz.z, 1e-11, "D: inverse");
    }
    const double knee = 216.0 / 24389 * 100;
    const double below = mdr_lab_of_xyz((mdr_xyz){0, knee - 1e-9, 0}, D65_10).l;
    const double above = mdr_lab_of_xyz((mdr_xyz){0, knee + 1e-9, 0}, D65_10).l;
    CHECK_NEAR(above - below, 0, 1e-7, "D: no step at the knee");
    CHECK_NEAR(below, 8, 1e-7, "D: L* 8 at the knee");
}

static void hues(void **state)
{
    (void)state;
    static const struct {
        double a, b, c, h_deg;
    } ROWS[] = {{3, 4, 5, 53.130102354155978},
                {0, 2, 2, 90},
                {-1, 0, 1, 180},
                {0, -2, 2, 270},
                {1, -1e-20, 1, 0},
                {0, 0, 0, 0},
                {1, 0, 1, 0},
                {1, -1, 1.4142135623730951, 315}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_lch lch = mdr_lch_of_lab((mdr_lab){50, ROWS[i].a, ROWS[i].b});
        CHECK_NEAR(lch.c, ROWS[i].c, 1e-14, "D");
        CHECK_NEAR(lch.h_deg, ROWS[i].h_deg, 1e-12, "D");
        assert_true(lch.h_deg < 360);
        const mdr_lab back = mdr_lab_of_lch(lch);
        CHECK_NEAR(back.a, ROWS[i].a, 1e-14, "D");
        CHECK_NEAR(back.b, ROWS[i].b, 1e-14, "D");
        CHECK_NEAR(back.l, 50, 0, "D");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(by_hand), cmocka_unit_test(there_and_back),
                                       cmocka_unit_test(hues)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
