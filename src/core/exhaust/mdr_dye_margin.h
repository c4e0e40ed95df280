/*
 * mdr_dye_margin.h - how far what is judged of a dyeing may be off because the rates of its dyes are
 * known within a range only. One definition, for the simulation of a programme and for the search
 * for a shorter one.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-answers.md#margin
 *
 * The region of a dye's rates has up to nine directions that have nothing to do with one another
 * (mdr_dye_known.h). In each all dyes go to its 95 % edge at once, the programme is run again on a
 * coarse rope, and what a number differs by from the run with the usual rates is added in squares:
 *   margin = sqrt(sum over directions of (v - v_usual)^2)
 * The worst of a number is the number itself, as reckoned on the fine rope, and its margin.
 *
 * Sources (keys of docs/sources.md): [gum-propagation]
 */
#ifndef MDR_DYE_MARGIN_H
#define MDR_DYE_MARGIN_H

#include "base/mdr_go_on.h"
#include "core/exhaust/mdr_dye_known.h"
#include "core/exhaust/mdr_dyeing_study.h"

enum { MDR_MARGIN_NUMBERS_MAX = 4 + 2 * MDR_DYE_DYES_MAX };

/* Rates of all dyes, one set a direction; dyes that have no such direction stay. */
typedef struct mdr_dye_away {
    const mdr_dye_rates *rates[MDR_FIT_AWAY_MAX]; /* [direction][dye] */
    int n;                                        /* 0: nothing is uncertain */
} mdr_dye_away;

/* errors: MDR_E_NOMEM */
mdr_code mdr_dye_away_of(const mdr_dye_fit *const *fits, int n_dyes, mdr_arena *arena,
                         mdr_dye_away *out, mdr_err *err) MDR_MUST_CHECK;

/* The numbers of one run; direction below 0: the usual rates, which come first. */
typedef void mdr_margin_read(void *about, const mdr_dyeing_result *r, int direction,
                             double *numbers);

typedef struct mdr_margin_in {
    const mdr_dyeing_case *study; /* programme and usual rates */
    const mdr_dye_away *away;
    mdr_ph_table *table;
    mdr_margin_read *read;
    void *about;
    mdr_go_on
        go_on; /* asked before each direction; when it ends, the margin is of those until then */
    int n_numbers; /* at most MDR_MARGIN_NUMBERS_MAX */
} mdr_margin_in;

/* How closely the reruns look: differences need less than what is shown. Fixation is the same to 0.01 %,
 * strike to 1 % of itself (docs/methods/exhaust-answers.md#sensitivity). */
void mdr_dye_margin_coarsen(mdr_dyeing_case *study);

/*
 * In a wide zone (half a turn and more: winch, sample machine) the liquor is changed all the time, and what a rope
 * costs is slices times stations: where a coarse rope will do it is looked at no more often than so many times a
 * turn of the quickest rope, 4 to 12. 0: the zone is not wide. Numerical choice; how near that is, test_dye_shorten_ways.
 */
int mdr_dye_wide_steps(const mdr_dyeing_case *study);

/*
 * margin[number], >= 0, in the number's unit. Leaves nothing in the arena.
 *   errors  those of mdr_dyeing_case_run; MDR_E_NOMEM
 *   cost    away->n + 1 coarse runs
 */
mdr_code mdr_dye_margin_of(const mdr_margin_in *in, mdr_arena *arena, double *margin,
                           mdr_err *err) MDR_MUST_CHECK;

#endif
