#include "dye_kit.h"
#include "t.h"

#include "core/recipe/mdr_residual.h"

static mdr_lab any_lab(uint64_t *seed)
{
    return (mdr_lab){5 + 90 * kit_uniform(seed), 140 * kit_uniform(seed) - 70,
                     140 * kit_uniform(seed) - 70};
}

static mdr_residual residual(mdr_lab one, mdr_lab two, mdr_difference_formula formula)
{
    const mdr_difference_spec spec = mdr_difference_usual(formula);
    const mdr_residual_from from = mdr_residual_from_standard(one, &spec);
    mdr_residual out;
    mdr_residual_to(&from, two, &out);
    return out;
}

static void square_is_the_difference(void **state)
{
    (void)state;
    uint64_t seed = 5;
    for (int f = 0; f < MDR_DE_COUNT; f++) {
        const mdr_difference_spec spec = mdr_difference_usual((mdr_difference_formula)f);
        for (int i = 0; i < 2000; i++) {
            const mdr_lab one = any_lab(&seed), two = any_lab(&seed);
            const mdr_residual r = residual(one, two, (mdr_difference_formula)f);
            const double want = mdr_difference_of(one, two, &spec).de;
            CHECK_NEAR(r.square, want * want, 1e-11 * (1 + want * want), "D: mdr_difference_of");
        }
    }
}

static void slopes_by_differences(void **state)
{
    (void)state;
    uint64_t seed = 6;
    const double h = 1e-5;
    for (int f = 0; f < MDR_DE_COUNT; f++) {
        const mdr_difference_formula formula = (mdr_difference_formula)f;
        for (int i = 0; i < 500; i++) {
            const mdr_lab one = any_lab(&seed);
            mdr_lab two = one; /* near enough that no hue jumps */
            two.l += 4 * kit_uniform(&seed) - 2;
            two.a += 4 * kit_uniform(&seed) - 2;
            two.b += 4 * kit_uniform(&seed) - 2;
            if (hypot(one.a, one.b) < 5) {
                continue;
            }
            const mdr_residual at = residual(one, two, formula);
            for (int k = 0; k < 3; k++) {
                mdr_lab low = two, high = two;
                *(k == 0 ? &low.l : k == 1 ? &low.a : &low.b) -= h;
                *(k == 0 ? &high.l : k == 1 ? &high.a : &high.b) += h;
                const mdr_residual rl = residual(one, low, formula);
                const mdr_residual rh = residual(one, high, formula);
                CHECK_NEAR(at.slope[k], (rh.square - rl.square) / (4 * h), 2e-5,
                           "D: central difference");
                for (int m = 0; m < 3 && formula <= MDR_DE_94; m++) {
                    CHECK_NEAR(at.curve[k][m], (rh.slope[m] - rl.slope[m]) / (2 * h), 1e-6,
                               "D: central difference; exact where the form is closed");
                }
            }
        }
    }
}

/* CIEDE2000 far from the standard, where its hues turn and its blue corner rotates: slopes, and the
 * curvature in the a*b* plane where none of it had to be taken out. */
static void far_apart_by_2000(void **state)
{
    (void)state;
    uint64_t seed = 61;
    const double h = 1e-4;
    int compared = 0;
    for (int i = 0; i < 3000; i++) {
        const mdr_lab one = any_lab(&seed), two = any_lab(&seed);
        const double turned = fabs(atan2(one.b, one.a) - atan2(two.b, two.a));
        if (hypot(one.a, one.b) < 5 || hypot(two.a, two.b) < 5 || fabs(turned - 3.14159) < 0.3) {
            continue; /* opposite hues and greys have steps */
        }
        const mdr_residual at = residual(one, two, MDR_DE_2000);
        const double det = at.curve[1][1] * at.curve[2][2] - at.curve[1][2] * at.curve[1][2];
        for (int k = 1; k < 3; k++) {
            mdr_lab low = two, high = two;
            *(k == 1 ? &low.a : &low.b) -= h;
            *(k == 1 ? &high.a : &high.b) += h;
            const mdr_residual rl = residual(one, low, MDR_DE_2000);
            const mdr_residual rh = residual(one, high, MDR_DE_2000);
            CHECK_NEAR(at.slope[k], (rh.square - rl.square) / (4 * h), 1e-5 * (1 + at.square),
                       "D: central difference");
            for (int m = 1; m < 3 && det > 1e-6; m++) {
                CHECK_NEAR(at.curve[k][m], (rh.slope[m] - rl.slope[m]) / (2 * h), 2e-5,
                           "D: central difference");
                compared++;
            }
        }
    }
    if (compared <= 1000) {
        fail_msg("only %d compared", compared);
    };
}

/* Grey standards and samples, opposite hues: finite, and still of the right length. */
static void corners(void **state)
{
    (void)state;
    const mdr_lab labs[] = {{50, 0, 0},  {50, 1e-12, 0}, {50, 20, 10}, {50, -20, -10},
                            {20, 0, 30}, {20, 0, -30},   {0, 0, 0},    {100, 0, 0}};
    for (int f = 0; f < MDR_DE_COUNT; f++) {
        const mdr_difference_spec spec = mdr_difference_usual((mdr_difference_formula)f);
        for (size_t i = 0; i < N_OF(labs) * N_OF(labs); i++) {
            const mdr_lab one = labs[i / N_OF(labs)], two = labs[i % N_OF(labs)];
            const mdr_residual r = residual(one, two, (mdr_difference_formula)f);
            const double want = mdr_difference_of(one, two, &spec).de;
            CHECK_NEAR(r.square, want * want, 1e-7 * (1 + want), "D: mdr_difference_of");
            for (int k = 0; k < 9; k++) {
                assert_true(isfinite(r.slope[k / 3]) && isfinite(r.curve[k / 3][k % 3]));
            }
        }
    }
}

/* Where chroma weighs more than hue and the sample is much greyer, the square curves downwards across
 * the line to the grey axis; what is given then is flat there, and never downwards. D. */
static void never_curves_down(void **state)
{
    (void)state;
    const mdr_difference_spec spec = {MDR_DE_94, 1, 0.3, 1};
    const mdr_residual_from from = mdr_residual_from_standard((mdr_lab){50, 48, 36}, &spec);
    static const double GREYER[] = {3, 6, 12};
    for (size_t i = 0; i < N_OF(GREYER); i++) {
        mdr_residual r;
        mdr_residual_to(&from, (mdr_lab){50, 0.8 * GREYER[i], 0.6 * GREYER[i]}, &r);
        const double across =
            0.36 * r.curve[1][1] - 2 * 0.48 * r.curve[1][2] + 0.64 * r.curve[2][2];
        const double along = 0.64 * r.curve[1][1] + 2 * 0.48 * r.curve[1][2] + 0.36 * r.curve[2][2];
        CHECK_NEAR(across, 0, 1e-12, "D: flat across");
        CHECK_NEAR(along, from.square_c, 1e-9, "D: along it the weight of chroma");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(square_is_the_difference), cmocka_unit_test(slopes_by_differences),
        cmocka_unit_test(far_apart_by_2000), cmocka_unit_test(corners),
        cmocka_unit_test(never_curves_down)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
