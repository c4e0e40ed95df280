/* The search's inner loop against the same numbers from the public model, and its two builds
 * against one another. */
#include "dye_kit.h"
#include "t.h"

#include <string.h>

#include "core/recipe/mdr_kernel.h"

static mdr_arena *arena;
static mdr_ladder ladders[KIT_DYES];
static mdr_dye dyes[KIT_DYES];
static mdr_cloth cloth;
static mdr_weights d65, ill_a, f11;

static int setup(void **state)
{
    (void)state;
    const mdr_curve bare = kit_cloth();
    arena = mdr_arena_new(64u << 20);
    d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    ill_a = mdr_weights_of(MDR_ILL_A, MDR_OBSERVER_10);
    f11 = mdr_weights_of(MDR_ILL_F11, MDR_OBSERVER_10);
    for (int d = 0; d < KIT_DYES; d++) {
        mdr_rung rungs[KIT_RUNGS];
        kit_rungs(d, rungs);
        const mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
        if (mdr_ladder_make(&in, &ladders[d], NULL) != MDR_OK) {
            return 1;
        }
        dyes[d] = mdr_dye_of(&ladders[d]);
    }
    return mdr_cloth_make(&bare, &KIT_SURFACE, &cloth, NULL) == MDR_OK && arena != NULL ? 0 : 1;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

/* A kernel of these dyes; the one before is gone. */
static const mdr_kernel *kernel(const mdr_target *s, const mdr_dye *d, int n)
{
    mdr_kernel *k = NULL;
    mdr_arena_free(arena);
    arena = mdr_arena_new(4u << 20);
    assert_non_null(arena);
    assert_int_equal(mdr_kernel_make(&cloth, s, d, n, arena, &k, NULL), MDR_OK);
    return k;
}

static mdr_target shade_of(mdr_curve standard, mdr_difference_formula formula, mdr_tie tie)
{
    return (mdr_target){.standard = standard,
                        .light = {&d65, &ill_a, &f11},
                        .light_weight = {0, 2, 1},
                        .lights = 3,
                        .tie = tie,
                        .tie_weight = 0.01,
                        .formula = mdr_difference_usual(formula)};
}

static mdr_curve any_standard(uint64_t *seed)
{
    int d[3];
    double depth[3];
    for (int i = 0; i < 3; i++) {
        d[i] = (int)(kit_uniform(seed) * KIT_DYES);
        depth[i] = 0.05 + 2 * kit_uniform(seed);
    }
    return kit_dyed(d, depth, 3);
}

/* F^2 by the public functions. */
static double slow_square(const mdr_target *s, const mdr_part *parts, int n)
{
    mdr_mixture m;
    assert_int_equal(mdr_mixture_of(&cloth, parts, n, &m, NULL), MDR_OK);
    double first = 0, tie = 0, weights = 0;
    for (int j = 0; j < s->lights; j++) {
        const double de = mdr_difference_of(mdr_lab_of_curve(&s->standard, s->light[j]),
                                            mdr_lab_of_curve(&m.curve, s->light[j]), &s->formula)
                              .de;
        first += j == 0 ? de * de : 0;
        tie += j == 0 ? 0 : s->light_weight[j] * de * de;
        weights += j == 0 ? 0 : s->light_weight[j];
    }
    tie /= weights;
    if (s->tie == MDR_TIE_SPECTRUM) {
        tie = 0;
        for (int b = 0; b < MDR_BANDS; b++) {
            const double d = 100 * (m.curve.v[b] - s->standard.v[b]);
            tie += d * d / MDR_BANDS;
        }
    }
    return first + s->tie_weight * tie;
}

static void as_the_public_model(void **state)
{
    (void)state;
    uint64_t seed = 21;
    for (int trial = 0; trial < 400; trial++) {
        const mdr_target s = shade_of(any_standard(&seed), (mdr_difference_formula)(trial % 5),
                                      trial % 2 == 0 ? MDR_TIE_LIGHTS : MDR_TIE_SPECTRUM);
        const int n = 1 + trial % 4;
        int id[4];
        double depth[4];
        mdr_part parts[4];
        mdr_kernel_point p, q;
        for (int i = 0; i < KIT_DYES; i++) {
            dyes[i].strength_factor[0] = 0.8 + 0.4 * kit_uniform(&seed);
        }
        const mdr_kernel *k = kernel(&s, dyes, KIT_DYES);
        for (int i = 0; i < n; i++) {
            id[i] = (int)(kit_uniform(&seed) * KIT_DYES);
            depth[i] = (trial % 3 == 0 ? 0.2 : 3) * kit_uniform(&seed);
            parts[i] = (mdr_part){&ladders[id[i]], depth[i], dyes[id[i]].strength_factor[0]};
        }
        mdr_kernel_eval_base(k, id, depth, n, &p);
        const double want = slow_square(&s, parts, n);
        CHECK_NEAR(p.square, want, 1e-9 * (1 + want), "D: mixture, then difference");
        double pull[MDR_LANES];
        mdr_kernel_pull_on_ks(&p, pull);
        for (int i = 0; i < n; i++) {
            const double h = 1e-5, at = depth[i];
            depth[i] = at + h;
            mdr_kernel_eval_base(k, id, depth, n, &q);
            const double high = q.square;
            depth[i] = at - h;
            mdr_kernel_eval_base(k, id, depth, n, &q);
            depth[i] = at;
            const double slope = (high - q.square) / (2 * h);
            if (at > h) {
                CHECK_NEAR(2 * p.gradient[i], slope, 2e-4 * (1 + fabs(slope)) + 1e-6 * want,
                           "D: central difference");
            }
        }
    }
}

/* Both parts of the second derivative, where the formula has it in closed form. */
static void second_derivative(void **state)
{
    (void)state;
    uint64_t seed = 25;
    for (int trial = 0; trial < 200; trial++) {
        const mdr_target s = shade_of(any_standard(&seed), trial % 2 == 0 ? MDR_DE_CMC : MDR_DE_76,
                                      trial % 4 < 2 ? MDR_TIE_LIGHTS : MDR_TIE_SPECTRUM);
        const mdr_kernel *k = kernel(&s, dyes, KIT_DYES);
        const int id[] = {trial % 10, 10 + trial % 7, 20 + trial % 9, 29};
        double depth[4];
        mdr_kernel_point p, low, high;
        for (int i = 0; i < 4; i++) {
            depth[i] = 0.12 + 2 * kit_uniform(&seed);
        }
        mdr_kernel_eval_base(k, id, depth, 4, &p);
        for (int i = 0; i < 4; i++) {
            const double h = 1e-6, at = depth[i];
            depth[i] = at + h;
            mdr_kernel_eval_base(k, id, depth, 4, &high);
            depth[i] = at - h;
            mdr_kernel_eval_base(k, id, depth, 4, &low);
            depth[i] = at;
            for (int j = 0; j < 4; j++) {
                const double want = (high.gradient[j] - low.gradient[j]) / (2 * h);
                CHECK_NEAR(p.matrix[i][j] + p.bend[i][j], want,
                           1e-4 * (1 + fabs(want)) + 1e-5 * p.square,
                           "D: central difference of the slope");
            }
        }
    }
}

/* What the first drop of another dye does, from the pull on K/S. */
static void first_drop(void **state)
{
    (void)state;
    uint64_t seed = 22;
    for (int trial = 0; trial < 100; trial++) {
        const mdr_target s = shade_of(any_standard(&seed), MDR_DE_CMC,
                                      trial % 2 == 0 ? MDR_TIE_LIGHTS : MDR_TIE_SPECTRUM);
        mdr_kernel_point p;
        double pull[MDR_LANES];
        const int id[] = {trial % KIT_DYES, (trial + 7) % KIT_DYES, (trial + 11) % KIT_DYES};
        const double depth[] = {0.7, 0.3, 0};
        const mdr_kernel *k = kernel(&s, dyes, KIT_DYES);
        mdr_kernel_eval_base(k, id, depth, 2, &p);
        mdr_kernel_pull_on_ks(&p, pull);
        const double drop = mdr_kernel_first_drop(k, id[2], pull);
        mdr_kernel_eval_base(k, id, depth, 3, &p);
        CHECK_NEAR(drop, p.gradient[2], 1e-9 * (1 + fabs(drop)), "D: the same as with dose 0");
    }
}

static void both_builds_same_bits(void **state)
{
    (void)state;
    uint64_t seed = 23;
    if (!mdr_kernel_has_wide()) {
        print_message("no wide registers here: nothing to compare\n");
        return;
    }
    for (int trial = 0; trial < 500; trial++) {
        const mdr_target s = shade_of(any_standard(&seed), (mdr_difference_formula)(trial % 5),
                                      trial % 2 == 0 ? MDR_TIE_LIGHTS : MDR_TIE_SPECTRUM);
        mdr_kernel_point p = {0}, q = {0};
        int id[4];
        double depth[4];
        for (int i = 0; i < 4; i++) {
            id[i] = (int)(kit_uniform(&seed) * KIT_DYES);
            depth[i] = 6 * kit_uniform(&seed) * kit_uniform(&seed);
        }
        const mdr_kernel *k = kernel(&s, dyes, KIT_DYES);
        mdr_kernel_eval_base(k, id, depth, 1 + trial % 4, &p);
        mdr_kernel_eval_wide(k, id, depth, 1 + trial % 4, &q);
        assert_memory_equal(&p, &q, sizeof p);
    }
}

/* Dyes in a fixed ratio are the same as each of them by itself. */
static void fixed_ratio(void **state)
{
    (void)state;
    uint64_t seed = 24;
    for (int trial = 0; trial < 60; trial++) {
        const mdr_target s = shade_of(any_standard(&seed), MDR_DE_CMC, MDR_TIE_LIGHTS);
        mdr_dye both = {.parts = 3};
        mdr_kernel_point p;
        mdr_part parts[3];
        const int id[] = {0};
        for (int i = 0; i < 3; i++) {
            both.ladder[i] = &ladders[(trial + 5 * i) % KIT_DYES];
            both.strength_factor[i] = 0.9 + 0.1 * i;
            both.share[i] = i == 0 ? 1 : 0.2 + kit_uniform(&seed);
        }
        const mdr_kernel *k = kernel(&s, &both, 1);
        for (int step = 0; step <= 20; step++) {
            const double depth = k->dyes[0].limit_pct_owf * step / 20.0;
            for (int i = 0; i < 3; i++) {
                parts[i] =
                    (mdr_part){both.ladder[i], depth * both.share[i], both.strength_factor[i]};
            }
            mdr_kernel_eval_base(k, id, &depth, 1, &p);
            const double want = slow_square(&s, parts, 3);
            CHECK_NEAR(p.square, want, 1e-9 * (1 + want), "D: mixture of the three");
        }
    }
}

static void bad(const mdr_target *s, const mdr_dye *d, mdr_code code, const char *place)
{
    mdr_err err = {0};
    mdr_kernel *k = NULL;
    assert_int_equal(mdr_kernel_make(&cloth, s, d, 1, arena, &k, &err), code);
    assert_string_equal(err.place, place);
    assert_null(k);
}

static void refused(void **state)
{
    (void)state;
    const mdr_target good = shade_of(kit_cloth(), MDR_DE_CMC, MDR_TIE_LIGHTS);
    mdr_target s = good;
    mdr_dye d = mdr_dye_of(&ladders[0]);
    s.lights = 0;
    bad(&s, &d, MDR_E_ARG, "lights");
    s.lights = MDR_LIGHTS_MAX + 1;
    bad(&s, &d, MDR_E_ARG, "lights");
    s = good;
    s.light_weight[1] = -1;
    bad(&s, &d, MDR_E_RANGE, "light_weight");
    s.light_weight[1] = s.light_weight[2] = 0;
    bad(&s, &d, MDR_E_RANGE, "light_weight");
    s = good;
    s.tie_weight = 0;
    bad(&s, &d, MDR_E_RANGE, "tie_weight");
    s = good;
    s.formula.l = 0;
    bad(&s, &d, MDR_E_RANGE, "formula.l");
    s = good;
    s.standard.v[30] = 0;
    bad(&s, &d, MDR_E_RANGE, "standard.700nm");
    s.standard.v[30] = (double)NAN;
    bad(&s, &d, MDR_E_RANGE, "standard.700nm");
    d.parts = 0;
    bad(&good, &d, MDR_E_ARG, "dyes[0].parts");
    d = mdr_dye_of(NULL);
    bad(&good, &d, MDR_E_ARG, "dyes[0].ladder");
    d = mdr_dye_of(&ladders[0]);
    d.share[0] = 2;
    bad(&good, &d, MDR_E_RANGE, "dyes[0].share");
    d = mdr_dye_of(&ladders[0]);
    d.strength_factor[0] = 11;
    bad(&good, &d, MDR_E_RANGE, "dyes[0].strength_factor");
    d = mdr_dye_of(&ladders[0]);
    d.limit_pct_owf = -1;
    bad(&good, &d, MDR_E_RANGE, "dyes[0].limit_pct_owf");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_the_public_model), cmocka_unit_test(second_derivative),
        cmocka_unit_test(first_drop),          cmocka_unit_test(both_builds_same_bits),
        cmocka_unit_test(fixed_ratio),         cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
