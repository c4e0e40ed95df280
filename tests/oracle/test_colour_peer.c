/* 100 000 random pairs against Little CMS 2, a library used in this test only. Its CIE94 is another
 * variant (both chromas' geometric mean) and is left out. */
#include "t.h"

#include <lcms2.h>

#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_difference_many.h"

enum { N = 100000 };

static mdr_lab from[N], to[N];
static double many[N];

static double uniform(double low, double high)
{
    static uint64_t seed = 4101842887655102017u;
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return low +
           (high - low) * ((double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0);
}

/* A third far apart, a third near, a third within a tolerance. */
static int make_pairs(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        const double apart = i % 3 == 0 ? 100 : i % 3 == 1 ? 5 : 0.5;
        from[i] = (mdr_lab){uniform(1, 100), uniform(-120, 120), uniform(-120, 120)};
        to[i] = (mdr_lab){from[i].l * (1 - apart / 200) + uniform(0, 1) * apart / 2,
                          from[i].a + uniform(-1, 1) * apart, from[i].b + uniform(-1, 1) * apart};
    }
    return 0;
}

static cmsCIELab peer_lab(mdr_lab p)
{
    return (cmsCIELab){p.l, p.a, p.b};
}

static void differences(void **state)
{
    (void)state;
    const char *src = "O: Little CMS 2";
    mdr_difference_2000_many(from, to, N, 2, 1, 1, many);
    for (int i = 0; i < N; i++) {
        const cmsCIELab p = peer_lab(from[i]), q = peer_lab(to[i]);
        CHECK_NEAR(mdr_difference_76(from[i], to[i]), cmsDeltaE(&p, &q), 1e-9, src);
        CHECK_NEAR(mdr_difference_cmc(from[i], to[i], 2, 1), cmsCMCdeltaE(&p, &q, 2, 1), 1e-6, src);
        CHECK_NEAR(mdr_difference_cmc(from[i], to[i], 1, 1), cmsCMCdeltaE(&p, &q, 1, 1), 1e-6, src);
        CHECK_NEAR(mdr_difference_2000(from[i], to[i], 1, 1, 1), cmsCIE2000DeltaE(&p, &q, 1, 1, 1),
                   1e-6, src);
        CHECK_NEAR(many[i], cmsCIE2000DeltaE(&p, &q, 2, 1, 1), 1e-6, src);
    }
}

static void cielab(void **state)
{
    (void)state;
    const mdr_xyz white = {94.811, 100, 107.304};
    const cmsCIEXYZ peer_white = {94.811, 100, 107.304};
    for (int i = 0; i < N; i++) {
        const mdr_xyz xyz = {uniform(0, 100), uniform(0, 100), uniform(0, 110)};
        const cmsCIEXYZ peer_xyz = {xyz.x, xyz.y, xyz.z};
        cmsCIELab lab;
        cmsCIELCh lch;
        cmsXYZ2Lab(&peer_white, &lab, &peer_xyz);
        cmsLab2LCh(&lch, &lab);
        const mdr_lab got = mdr_lab_of_xyz(xyz, white);
        const mdr_lch polar = mdr_lch_of_lab(got);
        /* its knee is at 24/116 cubed as well, its slope 841/108 */
        CHECK_NEAR(got.l, lab.L, 1e-9, "O: Little CMS 2");
        CHECK_NEAR(got.a, lab.a, 1e-9, "O: Little CMS 2");
        CHECK_NEAR(got.b, lab.b, 1e-9, "O: Little CMS 2");
        CHECK_NEAR(polar.c, lch.C, 1e-9, "O: Little CMS 2");
        CHECK_NEAR(polar.h_deg, lch.h, 1e-6, "O: Little CMS 2");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(differences), cmocka_unit_test(cielab)};
    return cmocka_run_group_tests(tests, make_pairs, NULL);
}
