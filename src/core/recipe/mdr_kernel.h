/*
 * mdr_kernel.h - inside of the search: objective, its gradient and its second derivative at one
 * set of doses, from tables made once.
 *
 * Layer: core/recipe (pure). Contracts: mdr_match.h. Methods: docs/methods/recipe-search.md#kernel
 *
 * The body (mdr_kernel_body.h) is compiled twice, for the processor every machine has and for one
 * with wider registers. Sums run over eight lanes in a fixed order, nothing is contracted or
 * reordered: both give the same bits (test_kernel), as does a build without any vectors.
 */
#ifndef MDR_KERNEL_H
#define MDR_KERNEL_H

#include "core/recipe/mdr_match.h"
#include "core/recipe/mdr_residual.h"

enum { MDR_LANES = 32 }; /* bands, and one of padding */

/* A dye as cubic pieces: K/S = c0 + t (c1 + t (c2 + t c3)), t from the start of the piece. */
typedef struct mdr_kernel_dye {
    const double *from_pct_owf; /* where each piece starts; the last goes on for ever */
    const double *coef;         /* pieces x 4 x MDR_LANES */
    int pieces;
    double limit_pct_owf;
} mdr_kernel_dye;

typedef struct mdr_kernel {
    double cloth_ks[MDR_LANES];
    double standard[MDR_LANES];
    double band_scale[MDR_LANES]; /* part of the square of each band; 0 in the padding */
    double weight[MDR_LIGHTS_MAX][3][MDR_LANES];
    double over_white[MDR_LIGHTS_MAX][3];
    double light_scale[MDR_LIGHTS_MAX]; /* part of the square under each light in F^2 */
    mdr_residual_from from[MDR_LIGHTS_MAX];
    mdr_surface_form surface;
    int lights; /* that are looked at in the search: one, when the spectrum breaks ties */
    bool spectrum;
    double tie_weight;
    const mdr_kernel_dye *dyes;
    int n_dyes;
} mdr_kernel;

typedef struct mdr_kernel_point {
    double square;                               /* F^2 */
    double square_first;                         /* D1^2 */
    double gradient[MDR_COMBO_MAX];              /* half of dF^2/dc */
    double matrix[MDR_COMBO_MAX][MDR_COMBO_MAX]; /* half of its second derivative as far as it
                                                  * comes from the slopes: never below 0 */
    double bend[MDR_COMBO_MAX][MDR_COMBO_MAX];   /* the rest of it */
    double pull[MDR_LANES];                      /* half of dF^2/d(reflectance) */
    double slope[MDR_LANES];                     /* d(reflectance)/d(K/S) */
} mdr_kernel_point;

typedef void mdr_kernel_eval(const mdr_kernel *k, const int *dyes, const double *depth, int n,
                             mdr_kernel_point *out);
mdr_kernel_eval mdr_kernel_eval_base; /* any processor */
mdr_kernel_eval mdr_kernel_eval_wide; /* AVX2: call only where mdr_kernel_has_wide */
bool mdr_kernel_has_wide(void);
mdr_kernel_eval *mdr_kernel_best(void);

/* Half of dF^2/d(K/S) of every band at a point: with the first piece's slope of any dye it tells
 * whether a first drop of it would help. */
void mdr_kernel_pull_on_ks(const mdr_kernel_point *p, double pull[MDR_LANES]);
/* Half of dF^2/dc of a dye that is not in the recipe. */
double mdr_kernel_first_drop(const mdr_kernel *k, int dye, const double pull[MDR_LANES]);

/* Tables of a problem, in the arena. Errors as mdr_match_dyes; n up to 64. */
mdr_code mdr_kernel_make(const mdr_cloth *cloth, const mdr_target *shade, const mdr_dye *dyes,
                         int n, mdr_arena *arena, mdr_kernel **out, mdr_err *err) MDR_MUST_CHECK;

/* At rest: a further step would lower F by less than half of MDR_SOLVE_STEP (F^2 by less than
 * MDR_SOLVE_ABSOLUTE where F is next to nothing). */
#define MDR_SOLVE_ABSOLUTE 1e-10
#define MDR_SOLVE_STEP     1e-5

/* Doses of one set of dyes, from wherever `depth` stands; never worse than the start. */
typedef struct mdr_solve {
    double depth_pct_owf[MDR_COMBO_MAX];
    int evaluations;
    bool converged;
} mdr_solve;
void mdr_solve_from(const mdr_kernel *k, mdr_kernel_eval *eval, const int *dyes, int n,
                    mdr_solve *io, mdr_kernel_point *at);
/* The rough solution of [allen-1966], cut to the limits; false when its matrix is singular. */
bool mdr_solve_start(const mdr_kernel *k, const int *dyes, int n,
                     double depth_pct_owf[MDR_COMBO_MAX]);

#endif
