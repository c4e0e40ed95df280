#include "dye_kit.h"
#include "t.h"

#include <string.h>

#include "core/recipe/mdr_calibrate.h"

static mdr_arena *arena;
static mdr_weights d65;
static mdr_rung rungs[MDR_RUNGS_MAX];
static mdr_rung_verdict verdicts[MDR_RUNGS_MAX];

static int setup(void **state)
{
    (void)state;
    d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    arena = mdr_arena_new(64u << 20);
    return arena != NULL ? 0 : 1;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static void judge(int n)
{
    const mdr_ladder_in in = kit_ladder_in(rungs, n);
    mdr_err err = {0};
    if (mdr_ladder_judge(&in, &d65, arena, verdicts, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
}

static void good_ladders(void **state)
{
    (void)state;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        kit_rungs(dye, rungs);
        judge(KIT_RUNGS);
        for (int i = 0; i < KIT_RUNGS; i++) {
            const mdr_rung_verdict *v = &verdicts[i];
            assert_int_equal(v->fault, MDR_RUNG_GOOD);
            assert_int_equal(v->action, MDR_RUNG_KEEP);
            assert_int_equal(v->left.beyond, i == KIT_RUNGS - 1);
            CHECK_NEAR(v->left.cmc_best, 0, 0.05, "I: all rungs are of one dye");
            if (!v->left.beyond) {
                CHECK_NEAR(v->left.dose_error_pct, 0, 3, "I: interpolation alone");
            }
        }
    }
}

/* Every rung of every dye, one at a time, dyed with 25 % too much or a fifth too little. */
static void wrong_dose(void **state)
{
    (void)state;
    int named = 0, asked = 0, accused = 0;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        for (int i = 0; i < KIT_RUNGS; i++) {
            const double factor = (dye + i) % 2 == 0 ? 1.25 : 0.8;
            const double dosed = KIT_DEPTHS[i] * factor;
            kit_rungs(dye, rungs);
            rungs[i].curve = kit_dyed(&dye, &dosed, 1);
            judge(KIT_RUNGS);
            asked++;
            if (verdicts[i].fault == MDR_RUNG_WRONG_DOSE) {
                named++;
                assert_int_equal(verdicts[i].action, MDR_RUNG_DYE_AGAIN);
                CHECK_NEAR(verdicts[i].left.dose_error_pct, 100 * (factor - 1),
                           verdicts[i].left.beyond ? 12 : 4, "I: the dose it was given");
            }
            for (int k = 0; k < KIT_RUNGS; k++) {
                accused += k != i && verdicts[k].fault != MDR_RUNG_GOOD &&
                           verdicts[k].fault != MDR_RUNG_UNSURE;
            }
        }
    }
    print_message("wrong dose: %d of %d named, %d innocent accused\n", named, asked, accused);
    assert_true(named >= asked * 95 / 100);
    assert_int_equal(accused, 0);
}

/* A sample with a fifth of another dye in it. */
static void odd_shade(void **state)
{
    (void)state;
    int named = 0, asked = 0;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        for (int i = 1; i < KIT_RUNGS - 1; i++) {
            const int both[] = {dye, (dye + 3) % KIT_DYES};
            const double depth[] = {KIT_DEPTHS[i], 0.2 * KIT_DEPTHS[i]};
            kit_rungs(dye, rungs);
            rungs[i].curve = kit_dyed(both, depth, 2);
            judge(KIT_RUNGS);
            asked++;
            named += verdicts[i].fault == MDR_RUNG_ODD;
        }
    }
    print_message("odd shade: %d of %d named\n", named, asked);
    assert_true(named >= asked * 90 / 100);
}

static void noisy_spectrum(void **state)
{
    (void)state;
    uint64_t seed = 7;
    for (int dye = 0; dye < KIT_DYES; dye++) {
        const int i = dye % KIT_RUNGS;
        kit_rungs(dye, rungs);
        for (int b = 0; b < MDR_BANDS; b++) {
            rungs[i].curve.v[b] = fmax(0.036, rungs[i].curve.v[b] + 0.015 * kit_normal(&seed));
        }
        judge(KIT_RUNGS);
        assert_int_equal(verdicts[i].fault, MDR_RUNG_NOISY);
        assert_int_equal(verdicts[i].action, MDR_RUNG_MEASURE_AGAIN);
        for (int k = 0; k < KIT_RUNGS; k++) {
            assert_true(k == i || verdicts[k].fault == MDR_RUNG_GOOD);
        }
    }
    /* of two, the cleaner one is the measure, whichever comes first */
    for (int i = 0; i < 2; i++) {
        kit_rungs(0, rungs);
        for (int b = 0; b < MDR_BANDS; b++) {
            rungs[i].curve.v[b] = fmax(0.036, rungs[i].curve.v[b] + 0.015 * kit_normal(&seed));
        }
        judge(2);
        assert_int_equal(verdicts[i].fault, MDR_RUNG_NOISY);
    }
}

static void noise_of_a_curve(void **state)
{
    (void)state;
    uint64_t seed = 11;
    double sum = 0;
    mdr_curve c;
    for (int k = 0; k < 500; k++) {
        for (int b = 0; b < MDR_BANDS; b++) {
            c.v[b] = 0.3 + 0.004 * b + 0.0001 * b * b + 0.01 * kit_normal(&seed);
        }
        const double got = mdr_curve_noise_pct(&c);
        sum += got * got;
    }
    CHECK_NEAR(sqrt(sum / 500), 1.0, 0.04, "D: a parabola with 1 % of scatter");
}

static void too_few_to_tell(void **state)
{
    (void)state;
    const double dosed = 0.8 * 1.4;
    const int dye = 5;
    kit_rungs(dye, rungs);
    judge(1);
    assert_int_equal(verdicts[0].action, MDR_RUNG_DYE_MORE);
    judge(2);
    assert_int_equal(verdicts[0].fault, MDR_RUNG_GOOD);
    rungs[2].curve = kit_dyed(&dye, &dosed, 1);
    judge(3);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(verdicts[i].fault, MDR_RUNG_UNSURE);
        assert_int_equal(verdicts[i].action, MDR_RUNG_DYE_MORE);
    }
    assert_string_equal(mdr_rung_fault_id(MDR_RUNG_UNSURE), "cannot_tell");
    assert_string_equal(mdr_rung_action_id(MDR_RUNG_DYE_MORE), "dye_more_depths");
    assert_null(mdr_rung_fault_id(MDR_RUNG_FAULT_COUNT));
    assert_null(mdr_rung_action_id((mdr_rung_action)-1));
}

static mdr_rung all_rungs[10][KIT_RUNGS];
static mdr_dye_rungs dyes[10];

static mdr_surface_fit_in ten_dyes(void)
{
    for (int d = 0; d < 10; d++) {
        kit_rungs(3 * d, all_rungs[d]);
        dyes[d] = (mdr_dye_rungs){all_rungs[d], KIT_RUNGS};
    }
    return (mdr_surface_fit_in){.dyes = dyes,
                                .n = 10,
                                .substrate = kit_cloth(),
                                .light = &d65,
                                .start = {.kind = MDR_SURFACE_SAUNDERSON, .k2 = 0.5}};
}

static void surface_is_found_again(void **state)
{
    (void)state;
    mdr_surface_fit_in in = ten_dyes();
    mdr_surface_fit fit;
    assert_int_equal(mdr_surface_fit_rungs(&in, arena, &fit, NULL), MDR_OK);
    print_message("k2 given: k1 %.4f, CMC rms %.3f, without %.3f, of %d\n", fit.surface.k1,
                  fit.cmc_rms, fit.cmc_rms_none, fit.left_out);
    CHECK_NEAR(fit.surface.k1, KIT_SURFACE.k1, 0.004, "I: the surface of the invented cloth");
    CHECK_NEAR(fit.surface.k2, 0.5, 0, "contract: given");
    assert_int_equal(fit.left_out, 10 * KIT_RUNGS);
    assert_true(fit.cmc_rms < 0.5 * fit.cmc_rms_none);
    in.fit_k2 = true;
    const double before = fit.cmc_rms;
    assert_int_equal(mdr_surface_fit_rungs(&in, arena, &fit, NULL), MDR_OK);
    print_message("both: k1 %.4f, k2 %.3f, CMC rms %.3f\n", fit.surface.k1, fit.surface.k2,
                  fit.cmc_rms);
    CHECK_NEAR(fit.surface.k1, KIT_SURFACE.k1, 0.006, "I: the surface of the invented cloth");
    assert_true(fit.cmc_rms <= before + 1e-12);
    in.start.kind = MDR_SURFACE_LIMIT;
    in.fit_k2 = false;
    assert_int_equal(mdr_surface_fit_rungs(&in, arena, &fit, NULL), MDR_OK);
    assert_true(fit.surface.kind == MDR_SURFACE_LIMIT && fit.cmc_rms < fit.cmc_rms_none);
}

static void refused(void **state)
{
    (void)state;
    mdr_err err = {0};
    mdr_left_out left = {.cmc = -7};
    mdr_surface_fit fit = {.cmc_rms = -7};
    kit_rungs(1, rungs);
    mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
    assert_int_equal(mdr_ladder_leave_out(&in, KIT_RUNGS, &d65, arena, &left, &err), MDR_E_ARG);
    assert_string_equal(err.place, "rungs");
    in.n = 1;
    assert_int_equal(mdr_ladder_leave_out(&in, 0, &d65, arena, &left, &err), MDR_E_ARG);
    in.n = 0;
    assert_int_equal(mdr_ladder_judge(&in, &d65, arena, verdicts, &err), MDR_E_ARG);
    in = kit_ladder_in(rungs, KIT_RUNGS);
    mdr_arena *small = mdr_arena_new(64);
    assert_int_equal(mdr_ladder_judge(&in, &d65, small, verdicts, &err), MDR_E_NOMEM);
    assert_int_equal(mdr_ladder_leave_out(&in, 0, &d65, small, &left, &err), MDR_E_NOMEM);
    mdr_surface_fit_in fin = ten_dyes();
    assert_int_equal(mdr_surface_fit_rungs(&fin, small, &fit, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
    fin.start.kind = MDR_SURFACE_NONE;
    assert_int_equal(mdr_surface_fit_rungs(&fin, arena, &fit, &err), MDR_E_ARG);
    assert_string_equal(err.place, "start.kind");
    fin = ten_dyes();
    fin.n = 1;
    dyes[0].n = 1;
    assert_int_equal(mdr_surface_fit_rungs(&fin, arena, &fit, &err), MDR_E_ARG);
    assert_string_equal(err.place, "dyes");
    fin = ten_dyes();
    all_rungs[4][2].curve.v[1] = 0;
    assert_int_equal(mdr_surface_fit_rungs(&fin, arena, &fit, &err), MDR_E_RANGE);
    assert_non_null(strstr(err.place, "dyes[4].rungs["));
    CHECK_NEAR(fit.cmc_rms, -7, 0, "contract: out untouched on failure");
    CHECK_NEAR(left.cmc, -7, 0, "contract: out untouched on failure");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(good_ladders),
                                       cmocka_unit_test(wrong_dose),
                                       cmocka_unit_test(odd_shade),
                                       cmocka_unit_test(noisy_spectrum),
                                       cmocka_unit_test(noise_of_a_curve),
                                       cmocka_unit_test(too_few_to_tell),
                                       cmocka_unit_test(surface_is_found_again),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
