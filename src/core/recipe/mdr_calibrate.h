/*
 * mdr_calibrate.h - can the dyed samples be trusted: every rung predicted from the others, rungs
 * that do not belong, and the surface correction under which the samples agree best.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-model.md#leave-one-out
 *
 * A sample may be wrong in two ways that look alike in a colour difference and not in a curve: it
 * has another dose than its label says (the whole curve fits at another depth), or its curve is
 * no curve of this dye (it fits at no depth).
 *
 * Symbols: depth % owf; CMC the colour difference CMC(2:1), measured sample as the standard.
 *
 * Sources (keys of docs/sources.md)
 *   [saunderson]      the correction that is fitted
 *   [definition]      leave-one-out
 *   [common-practice] when a rung is called out: limits below, invented where marked
 */
#ifndef MDR_CALIBRATE_H
#define MDR_CALIBRATE_H

#include "base/mdr_arena.h"
#include "core/colour/mdr_weights.h"
#include "core/recipe/mdr_ladder.h"

/* id of each for JSON and catalogue */
#define MDR_RUNG_FAULTS(X)               \
    X(MDR_RUNG_GOOD, "good")             \
    X(MDR_RUNG_WRONG_DOSE, "wrong_dose") \
    X(MDR_RUNG_NOISY, "noisy_spectrum")  \
    X(MDR_RUNG_ODD, "odd_shade")         \
    X(MDR_RUNG_UNSURE, "cannot_tell")
#define MDR_RUNG_ACTIONS(X)                    \
    X(MDR_RUNG_KEEP, "keep")                   \
    X(MDR_RUNG_MEASURE_AGAIN, "measure_again") \
    X(MDR_RUNG_DYE_AGAIN, "dye_again")         \
    X(MDR_RUNG_DYE_MORE, "dye_more_depths")

#define X(name, id) name,
typedef enum mdr_rung_fault { MDR_RUNG_FAULTS(X) MDR_RUNG_FAULT_COUNT } mdr_rung_fault;
typedef enum mdr_rung_action { MDR_RUNG_ACTIONS(X) MDR_RUNG_ACTION_COUNT } mdr_rung_action;
#undef X
/* NULL for a value outside the list. */
const char *mdr_rung_fault_id(mdr_rung_fault f);
const char *mdr_rung_action_id(mdr_rung_action a);

/* One rung as the others predict it. */
typedef struct mdr_left_out {
    double cmc;                /* at the depth as weighed */
    double cmc_best;           /* at the depth that fits best: what no dose explains */
    double depth_best_pct_owf; /* sought between a quarter and four times what was weighed */
    double dose_error_pct;     /* of depth_best over weighed: above 0, it holds more than it says */
    bool beyond;               /* predicted by the straight line beyond the others: less sure */
} mdr_left_out;

/*
 *   left    index into in->rungs; in->n >= 2
 *   errors  those of mdr_ladder_make; MDR_E_ARG for `left` outside or n < 2 ("rungs"); MDR_E_NOMEM
 */
mdr_code mdr_ladder_leave_out(const mdr_ladder_in *in, int left, const mdr_weights *light,
                              mdr_arena *arena, mdr_left_out *out, mdr_err *err) MDR_MUST_CHECK;

/* Scatter from band to band, % of reflectance: standard deviation that explains the fifth
 * differences of the curve. An absorption edge without any scatter has up to 0.2. */
double mdr_curve_noise_pct(const mdr_curve *curve);

typedef struct mdr_rung_verdict {
    mdr_left_out left;
    double noise_pct;
    mdr_rung_fault fault;
    mdr_rung_action action;
} mdr_rung_verdict;

/*
 * A verdict for every rung, in the order of in->rungs.
 *   wrong dose   of all rungs the one without which the others agree best: their dose errors at
 *                least halve, and its own is above 8 % (both invented)
 *   odd shade    likewise by what no dose explains: above CMC 0.5 (invented)
 *   noisy        scatter above 0.4 % and three times that of the middle rung (invented)
 *   cannot tell  the rungs disagree by as much, and none can be named: fewer than four, or two
 *                wrong at once
 * At most a third of the rungs is called out, one after the other.
 *   errors  those of mdr_ladder_make; MDR_E_NOMEM. One rung: good, "dye_more_depths".
 */
mdr_code mdr_ladder_judge(const mdr_ladder_in *in, const mdr_weights *light, mdr_arena *arena,
                          mdr_rung_verdict *out, mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_dye_rungs {
    const mdr_rung *rungs;
    int n;
} mdr_dye_rungs;

typedef struct mdr_surface_fit_in {
    const mdr_dye_rungs *dyes; /* all of one substrate and one instrument setting */
    int n;
    mdr_curve substrate;
    const mdr_weights *light;
    mdr_surface start; /* its kind is kept; its k2 too unless fit_k2 */
    bool fit_k2;       /* MDR_SURFACE_SAUNDERSON only */
} mdr_surface_fit_in;

typedef struct mdr_surface_fit {
    mdr_surface surface;
    double cmc_rms;      /* of all rungs left out in turn */
    double cmc_rms_none; /* the same without a correction */
    int left_out;        /* how many that were */
} mdr_surface_fit;

/*
 * k1 (and k2) with the least root mean square of the leave-one-out differences, ends included: on
 * a grid, then by halving steps to 0.0005 and 0.005. k1 stays below 0.98 of the darkest reading.
 *   errors  MDR_E_ARG   kind MDR_SURFACE_NONE ("start.kind"); no dye with two rungs ("dyes")
 *           MDR_E_RANGE start.k2 outside; and those of mdr_ladder_make with "dyes[i]."; MDR_E_NOMEM
 *   cost    about 100 x rungs x 10 us
 */
mdr_code mdr_surface_fit_rungs(const mdr_surface_fit_in *in, mdr_arena *arena, mdr_surface_fit *out,
                               mdr_err *err) MDR_MUST_CHECK;

#endif
