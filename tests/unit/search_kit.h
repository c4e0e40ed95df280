/* The invented dyes as ladders, cloth and lights, for tests of the search. */
#ifndef SEARCH_KIT_H
#define SEARCH_KIT_H

#include "dye_kit.h"
#include "t.h"

#include "core/recipe/mdr_match.h"

static mdr_ladder kit_ladders[KIT_DYES];
static mdr_dye kit_dyes[KIT_DYES];
static mdr_cloth kit_bare;
static mdr_weights kit_d65, kit_a, kit_f11;

static inline int kit_setup(void **state)
{
    (void)state;
    const mdr_curve bare = kit_cloth();
    kit_d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    kit_a = mdr_weights_of(MDR_ILL_A, MDR_OBSERVER_10);
    kit_f11 = mdr_weights_of(MDR_ILL_F11, MDR_OBSERVER_10);
    for (int d = 0; d < KIT_DYES; d++) {
        mdr_rung rungs[KIT_RUNGS];
        kit_rungs(d, rungs);
        const mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
        if (mdr_ladder_make(&in, &kit_ladders[d], NULL) != MDR_OK) {
            return 1;
        }
        kit_dyes[d] = mdr_dye_of(&kit_ladders[d]);
    }
    return mdr_cloth_make(&bare, &KIT_SURFACE, &kit_bare, NULL) == MDR_OK ? 0 : 1;
}

static inline mdr_target kit_shade(mdr_curve standard, mdr_difference_formula formula, mdr_tie tie)
{
    return (mdr_target){.standard = standard,
                        .light = {&kit_d65, &kit_a, &kit_f11},
                        .light_weight = {0, 2, 1},
                        .lights = 3,
                        .tie = tie,
                        .tie_weight = MDR_TIE_WEIGHT,
                        .formula = mdr_difference_usual(formula)};
}

/* F^2 by the public functions; doses at their limits may be over by rounding. */
static inline double kit_square(const mdr_target *s, const mdr_part *parts, int n)
{
    mdr_mixture m;
    double first = 0, tie = 0, weights = 0;
    assert_int_equal(mdr_mixture_of(&kit_bare, parts, n, &m, NULL), MDR_OK);
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

/* The colour of some four dyes, changed a little so that no recipe has its curve. */
static inline mdr_curve kit_standard(uint64_t *seed)
{
    int d[4];
    double depth[4];
    const double deep = kit_uniform(seed) < 0.5 ? 0.5 : 2.0, turn = 6 * kit_uniform(seed);
    for (int i = 0; i < 4; i++) {
        d[i] = (int)(kit_uniform(seed) * KIT_DYES);
        depth[i] = deep * kit_uniform(seed);
    }
    mdr_curve c = kit_dyed(d, depth, 4);
    for (int b = 0; b < MDR_BANDS; b++) {
        c.v[b] *= 1 + 0.04 * sin(0.37 * b + turn);
    }
    return c;
}

#endif
