/*
 * mdr_lattice.h - inside of the search: every set of 1 to 4 dyes out of n, solved from the best of
 * the sets with one dye less.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-search.md#sets-from-smaller-sets
 *
 * If a first drop of the new dye would not help the best smaller set, that set's answer is the
 * answer: the doses within limits, seen as one problem, are at rest there. One scalar product
 * tells, and most sets far from the shade end so. Else the search starts from there. Further starts
 * where there are other places of rest: for one and two dyes always; for three far from the shade
 * the rough solution; for four the other smaller sets that reach the shade.
 *
 * Sets are numbered by size, within a size by the combinatorial number system: the set
 * a < b < c < d is C(a,1) + C(b,2) + C(c,3) + C(d,4). Adding a dye to the choice leaves the numbers of
 * the sets without it as they are.
 */
#ifndef MDR_LATTICE_H
#define MDR_LATTICE_H

#include <stdint.h>

#include "core/recipe/mdr_kernel.h"

enum { MDR_LATTICE_DYES_MAX = 64 };

typedef struct mdr_set {
    double depth_pct_owf[MDR_COMBO_MAX];
    double square, square_first; /* F^2 and D1^2 */
    uint8_t dye[MDR_COMBO_MAX];  /* rising */
    uint8_t size;
    bool converged;
    uint16_t evaluations; /* 0: a smaller set's answer */
} mdr_set;

typedef struct mdr_lattice {
    const mdr_kernel *kernel;
    mdr_kernel_eval *eval;
    int n, size_max;
    int choose[MDR_LATTICE_DYES_MAX + 1][MDR_COMBO_MAX + 1]; /* number of sets */
    int first[MDR_COMBO_MAX +
              2]; /* number of the first set of each size; first[size_max + 1]: all */
    mdr_set *sets;
    double (*pull)[MDR_LANES]; /* of sets below the largest size */
} mdr_lattice;

/* Number of sets of exactly `size` out of n; exact for the sizes and n used here. */
int mdr_lattice_choose(int n, int size);
/* Number of a set of rising dyes, counted from the first set of size 1. */
int mdr_lattice_number(const mdr_lattice *l, const uint8_t *dyes, int size);

/* Nothing is solved yet. size_max 1 .. MDR_COMBO_MAX; above n it is n. Errors: MDR_E_NOMEM. */
mdr_code mdr_lattice_make(const mdr_kernel *k, int size_max, mdr_arena *arena, mdr_lattice **out,
                          mdr_err *err) MDR_MUST_CHECK;
/* Solves sets first .. last - 1. Those of smaller sizes must have been solved; sets of one size
 * may be solved in any order, and by several threads at once: each writes only to itself. */
void mdr_lattice_solve(mdr_lattice *l, int first, int last);
/* Solves one set again from every start there is: for the few that are shown. */
void mdr_lattice_polish(mdr_lattice *l, int number);
/* Between two smaller sets that both reach the shade runs a line of recipes that do, and F^2 along it has
 * these ends and slopes. Is there a place on it below the second end? By the cubic, at 15 places. */
bool mdr_lattice_dips(const double end[2], const double slope[2]);

#endif
