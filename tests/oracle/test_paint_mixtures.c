/* Real absorption curves whose mixtures are known: ten paints in white by the two-constant model of
 * their database. Ladders are made of tints of each alone, mixtures of three predicted, and their
 * doses found again, as with dyes. Not cloth: the surface and the constants are the paints'. */
#include "dye_kit.h"
#include "t.h"

#include <string.h>

#include "core/recipe/mdr_correct.h"
#include "core/recipe/mdr_match.h"

enum { WHITE, PAINTS = 10, TINTS = 5, FIRST = 1, COLUMNS = FIRST + PAINTS + 1 };
extern const double paint_k[][COLUMNS], paint_s[][COLUMNS];
extern const int paint_k_rows, paint_s_rows;

static const mdr_surface SURFACE = {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.03, .k2 = 0.65};
static const double TINT_PCT[TINTS] = {0.1, 0.3, 1, 2.5, 6};
static mdr_ladder ladders[PAINTS + 1];
static mdr_cloth white;
static mdr_weights d65, ill_a, f11;

/* Paints in white, % of the mass; K and S add up, each by share. */
static mdr_curve mixed(const int *paint, const double *pct, int n)
{
    mdr_curve ks, measured;
    const mdr_surface_form form = mdr_surface_form_of(&SURFACE);
    for (int b = 0; b < MDR_BANDS; b++) {
        double left = 100, k = 0, s = 0;
        for (int i = 0; i < n; i++) {
            left -= pct[i];
            k += pct[i] * paint_k[b][FIRST + paint[i]];
            s += pct[i] * paint_s[b][FIRST + paint[i]];
        }
        k += left * paint_k[b][FIRST + WHITE];
        s += left * paint_s[b][FIRST + WHITE];
        ks.v[b] = k / s;
    }
    mdr_km_measured(&ks, &form, &measured);
    return measured;
}

static int setup(void **state)
{
    (void)state;
    const mdr_curve bare = mixed(NULL, NULL, 0);
    d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    ill_a = mdr_weights_of(MDR_ILL_A, MDR_OBSERVER_10);
    f11 = mdr_weights_of(MDR_ILL_F11, MDR_OBSERVER_10);
    for (int p = 1; p <= PAINTS; p++) {
        mdr_rung rungs[TINTS];
        for (int i = 0; i < TINTS; i++) {
            rungs[i] = (mdr_rung){TINT_PCT[i], mixed(&p, &TINT_PCT[i], 1)};
        }
        const mdr_ladder_in in = {
            .rungs = rungs, .n = TINTS, .substrate = bare, .surface = SURFACE, .beyond = 1.25};
        if (mdr_ladder_make(&in, &ladders[p], NULL) != MDR_OK) {
            return 1;
        }
    }
    return mdr_cloth_make(&bare, &SURFACE, &white, NULL) == MDR_OK ? 0 : 1;
}

static void table_is_whole(void **state)
{
    (void)state;
    assert_true(paint_k_rows == MDR_BANDS && paint_s_rows == MDR_BANDS);
    for (int b = 0; b < MDR_BANDS; b++) {
        CHECK_NEAR(paint_k[b][0], mdr_km_band_nm(b), 0, "contract: the bands");
        CHECK_NEAR(paint_s[b][0], mdr_km_band_nm(b), 0, "contract: the bands");
        for (int p = 0; p <= PAINTS; p++) {
            assert_true(paint_k[b][FIRST + p] > 0 && paint_k[b][FIRST + p] < 10);
            assert_true(paint_s[b][FIRST + p] > 0 && paint_s[b][FIRST + p] < 10);
        }
    }
}

static void mixtures(void **state)
{
    (void)state;
    uint64_t seed = 17;
    double sum = 0, worst = 0, dose_sum = 0;
    int n = 0, doses = 0;
    for (int trial = 0; trial < 120; trial++) {
        mdr_arena *arena = mdr_arena_new(4u << 20);
        int paint[3];
        double pct[3];
        mdr_part parts[3];
        mdr_dye dyes[3];
        mdr_mixture m;
        mdr_match found;
        assert_non_null(arena);
        for (int i = 0; i < 3; i++) {
            paint[i] = 1 + 3 * i + (int)(kit_uniform(&seed) * 3);
            pct[i] = 0.1 + 1.4 * kit_uniform(&seed);
            parts[i] = (mdr_part){&ladders[paint[i]], pct[i], 1};
            dyes[i] = mdr_dye_of(&ladders[paint[i]]);
        }
        const mdr_curve truth = mixed(paint, pct, 3);
        assert_int_equal(mdr_mixture_of(&white, parts, 3, &m, NULL), MDR_OK);
        const double de = mdr_difference_cmc(mdr_lab_of_curve(&truth, &d65),
                                             mdr_lab_of_curve(&m.curve, &d65), 2, 1);
        sum += de;
        worst = fmax(worst, de);
        n++;
        const mdr_target s = {.standard = truth,
                              .light = {&d65, &ill_a, &f11},
                              .light_weight = {0, 1, 1},
                              .lights = 3,
                              .tie = MDR_TIE_LIGHTS,
                              .tie_weight = MDR_TIE_WEIGHT,
                              .formula = mdr_difference_usual(MDR_DE_CMC)};
        assert_int_equal(mdr_match_dyes(&white, &s, dyes, 3, arena, &found, NULL), MDR_OK);
        CHECK_NEAR(found.de, 0, 0.05, "D: three paints reach a mixture of themselves");
        for (int i = 0; i < 3; i++) {
            dose_sum += fabs(found.depth_pct_owf[i] / pct[i] - 1);
            doses++;
        }
        mdr_arena_free(arena);
    }
    print_message(
        "three paints in white: CMC(2:1) mean %.3f, most %.3f; doses off by %.1f %% on average\n",
        sum / n, worst, 100 * dose_sum / doses);
    CHECK_NEAR(sum / n, 0, 0.1,
               "S: K and S of the database; what single-constant ladders leave out");
    CHECK_NEAR(worst, 0, 0.3, "S: likewise");
    CHECK_NEAR(dose_sum / doses, 0, 0.03, "S: likewise");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(table_is_whole),
                                       cmocka_unit_test(mixtures)};
    return cmocka_run_group_tests(tests, setup, NULL);
}
