/*
 * mdr_correct.h - a dyeing came out off the shade: how strong did each dye really work, what must be
 * added to this bath, or why no addition helps, and with which recipe to begin next time.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-correct.md
 *
 * The sample is taken as it is. First the dyes' apparent strengths and the cloth's are estimated,
 * each held back by what is usual, so that a trace of dye is not made to explain everything. Then
 *   additions   are a recipe on a coloured cloth: the sample itself, with ladders that begin where
 *               the bath stands
 *   next time   is a recipe with the strengths found, and what no strength explains kept as it is
 *
 * Symbols: s natural logarithm of the apparent strength, 0: as the ladder says.
 *
 * Sources (keys of docs/sources.md)
 *   [ridge-prior]      estimate between the measurement and what is usual; its uncertainty
 *   [kubelka-munk]     what is added adds in K/S
 *   [common-practice]  how much addition is still wise
 */
#ifndef MDR_CORRECT_H
#define MDR_CORRECT_H

#include "core/recipe/mdr_match.h"

typedef struct mdr_correct_in {
    const mdr_cloth *cloth; /* as it was thought to be */
    const mdr_part *parts;  /* the recipe as dyed, earlier additions counted in; 1 .. 4 */
    int n;
    mdr_curve sample; /* measured, of the dyed cloth */
    const mdr_target *shade;
    double tolerance;           /* of the difference under the first light */
    double strength_sd;         /* usual scatter of strength and dose together, log: 0.15 */
    double cloth_sd;            /* of the cloth's K/S, log: 0.2 */
    double measure_sd_pct;      /* of reflectance, absolute, model and reading together: 0.3 */
    double measure_sd_part;     /* and in proportion to it: 0.03 */
    double addition_yield;      /* part of an addition that works like the first dose: 1 */
    double wise_pct;            /* largest wise addition, % of the dye in the recipe: 15 */
    int wise_count, done_count; /* how many additions are wise: 2; and have been made */
} mdr_correct_in;
/* The values named above; cloth, parts, n, sample, shade and tolerance are the caller's. */
mdr_correct_in mdr_correct_usual(void);

typedef struct mdr_apparent {
    double strength;  /* apparent over expected, 1: as thought */
    double low, high; /* 95 % */
    double sd_log;
    bool known;     /* the sample says more about it than what is usual does */
    int mixed_with; /* another dye it cannot be told from here, or -1 */
} mdr_apparent;

/* What to do. id of each for JSON and catalogue. */
#define MDR_WAYS(X)                            \
    X(MDR_WAY_ACCEPT, "accept")                \
    X(MDR_WAY_ADD, "add")                      \
    X(MDR_WAY_ADD_LARGE, "add_more_than_wise") \
    X(MDR_WAY_OVER_DYE, "over_dye_darker")     \
    X(MDR_WAY_STRIP, "strip")                  \
    X(MDR_WAY_OTHER_DYES, "other_dyes")
#define X(name, id) name,
typedef enum mdr_way { MDR_WAYS(X) MDR_WAY_COUNT } mdr_way;
#undef X
const char *mdr_way_id(mdr_way w); /* NULL for a value outside the list */

typedef struct mdr_correct {
    int n;
    mdr_apparent dye[MDR_COMBO_MAX];
    mdr_apparent cloth;
    double unexplained; /* difference, first light, from the sample to what the strengths explain */
    double expected_de; /* what the recipe was thought to give, from the standard */
    mdr_difference before; /* the sample, from the standard, first light */
    double add_pct_owf[MDR_COMBO_MAX];
    double add_low_pct_owf[MDR_COMBO_MAX], add_high_pct_owf[MDR_COMBO_MAX]; /* 95 %, of strength */
    double add_total_pct; /* of the dye in the recipe */
    mdr_difference after; /* predicted, after the addition */
    mdr_curve after_curve;
    double next_pct_owf[MDR_COMBO_MAX]; /* the recipe for next time */
    double next_low_pct_owf[MDR_COMBO_MAX], next_high_pct_owf[MDR_COMBO_MAX];
    double next_de; /* predicted */
    mdr_way way;
} mdr_correct;

/*
 *   errors  MDR_E_ARG   n ("parts"), a part without a ladder
 *           MDR_E_RANGE depth of a part not above 0 or strength_factor outside
 *                       ("parts[i].depth_pct_owf"); a band of the sample without K/S
 *                       ("sample.NNNnm"); a standard deviation, yield, tolerance or percentage not
 *                       above 0, counts below 0
 *           and those of mdr_match_dyes; MDR_E_NOMEM
 */
mdr_code mdr_correct_bath(const mdr_correct_in *in, mdr_arena *arena, mdr_correct *out,
                          mdr_err *err) MDR_MUST_CHECK;

#endif
