/*
 * mdr_dyeing.h - the course of a dyeing on a moving rope: how much of each dye is in the bath, on
 * the fibre, fixed, hydrolysed at any time, and how unevenly it lies along the rope.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md
 *
 * The rope of each tube is a ring of slices. Each holds liquor, and fibre in which the dye
 * diffuses (mdr_cylinder.h) towards its equilibrium with that liquor (mdr_donnan.h), fixes and
 * hydrolyses (mdr_dye_rates.h). Where the rope runs through the zone of its tube (the nozzle, or
 * the stretch that hangs into the bath) its liquor exchanges with the bath, which is well mixed:
 *   dc/dt = k_x (C - c)          c in the slice, C in the bath, k_x = exchange_per_min
 * Elsewhere a slice is alone with its own liquor. A slice as long as the rope (slices = 1) in a
 * zone as long as the rope is the beaker of the laboratory.
 *
 * Method: exponential modes, the liquor implicit, time steps of second order; amounts never
 * negative, conserved to rounding. The result does not depend on how often it is sampled beyond
 * the accuracy of the steps.
 *
 * Sources (keys of docs/sources.md): see docs/methods/exhaust.md; [dyeing-rope] the arrangement.
 */
#ifndef MDR_DYEING_H
#define MDR_DYEING_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "core/exhaust/mdr_cylinder.h"
#include "core/exhaust/mdr_dye_rates.h"

enum {
    MDR_DYEING_DYES_MAX = 16,
    MDR_DYEING_TUBES_MAX = 16,
    MDR_DYEING_SLICES_MAX = 400, /* of one tube */
    MDR_DYEING_SAMPLES_MAX = 4000,
    MDR_DYEING_STEPS_MAX = 1000000, /* of the whole programme: a typing error is not calculated */
    MDR_DYEING_MODES_USUAL = 4,
    MDR_DYEING_STEPS_USUAL = 24 /* a turn */
};

/* A strike counts over this time, so that it hangs neither on how often one looks nor on how slowly the
 * rope turns. Invented. */
#define MDR_STRIKE_WINDOW_MIN 1.0

/* Course of the bath, straight between the moments; t never falls, two moments at one time are a
 * jump. */
typedef struct mdr_dyeing_moment {
    double t_min, temp_c;
    double liquor_l; /* with what the rope holds; never falls: the course ends at the drain */
    double sodium_mol_per_l; /* all of it: salt (Na2SO4 counts twice), alkali, softened water */
    double ph;               /* at this temperature; 7 when there is no alkali */
    bool oxidises;           /* from here on all dye on the fibre is fixed and none goes on (vat) */
} mdr_dyeing_moment;

/* Pure dye into the bath. */
typedef struct mdr_dyeing_dose {
    double start_min, minutes; /* minutes 0: at once */
    double kg;
    double exponent; /* tau^exponent, 1 even; of no meaning with portions or at once */
    int portions;    /* 0: by the curve; else so many equal portions (mdr_dosing.h) */
    int dye;         /* which of `dyes` */
} mdr_dyeing_dose;

typedef struct mdr_dyeing_rope {
    double load_kg;
    double tube_share[MDR_DYEING_TUBES_MAX]; /* of the load, sum 1 */
    double held_l_per_kg;                    /* liquor that goes with the rope */
    double cycle_min;        /* one turn of a tube with the mean share; others in proportion */
    double zone_fraction;    /* of a turn spent in the zone, 0 < .. 1 */
    double exchange_per_min; /* k_x in the zone, 0 (none at all) .. 10000 */
    double flow_l_per_min;   /* of the pump, for counting contacts only; 0: no pump */
    /* [tube][slice], factor of the diffusion rate (uneven preparation); NULL: all 1 */
    const double *slice_uptake;
    int tubes;
} mdr_dyeing_rope;

/* What dyeings that begin alike leave for one another (mdr_rope_mark.h). */
typedef struct mdr_rope_trails mdr_rope_trails;

typedef struct mdr_dyeing_in {
    const mdr_dye_rates *dyes;
    const mdr_dyeing_moment *course;
    const mdr_dyeing_dose *doses;
    mdr_dyeing_rope rope;
    double sample_min; /* samples at this distance from the first moment on, and at the end */
    int n_dyes, n_moments, n_doses;
    int slices;         /* of each tube */
    int modes;          /* of the fibre; 0: MDR_DYEING_MODES_USUAL */
    int steps_per_turn; /* 0: MDR_DYEING_STEPS_USUAL */
    /* Reckoned no further than where a dye is seen to strike faster, % per contact; 0: to the end. */
    double strike_most_pct;
    mdr_rope_trails *trails; /* NULL: from the beginning */
} mdr_dyeing_in;

/* Parts are of the dye that the whole programme gives; given = the next four together, of which
 * `fixed` is a part of `on_fibre`. */
typedef struct mdr_dyeing {
    const double *t_min; /* [sample] */
    /* [sample][dye] */
    const double *given;
    const double *bath_active, *bath_hydrolysed; /* free liquor */
    const double *held;                          /* in the rope's liquor, both forms */
    const double *on_fibre;                      /* active, hydrolysed and fixed */
    const double *fixed;
    const double *hydrolysed; /* wherever it is: bath, held, fibre */
    /* [sample][dye]: rise of on_fibre during the last MDR_STRIKE_WINDOW_MIN (since the sample before
     * where that is longer) over the contacts in it, % */
    const double *strike_per_contact_pct;
    const double *spread;   /* [sample][dye]: (max - min) / mean over the slices; 0 when bare */
    const double *contacts; /* [sample]: turns of the mean rope + turns of the bath so far */
    const float *map;       /* [sample][tube x slice][dye], kg of dye on a kg of fibre */
    const float *fixed_map; /* likewise, of it fixed: what stays */
    double mass_error;      /* largest gap of any dye at any step, of all its dye */
    int n_samples, n_slices /* of all tubes */, n_dyes;
    int steps;      /* taken */
    bool cut_short; /* by strike_most_pct: the last sample is the one that strikes faster */
} mdr_dyeing;

/*
 *   errors  MDR_E_ARG    nothing to do: no dye, no dose, a dye without one, fewer than 2 moments
 *           MDR_E_RANGE  a number outside, a course that does not rise, liquor less than the rope
 *                        holds, a dose outside the course; place "course[2].t_min" and so on
 *           MDR_E_NOMEM
 *   cost    3 dyes, 6 h, a turn of 2.5 min: 9 to 11 ms with 100 slices, 3.5 ms with 30, 1.5 ms with one, on a
 *           busy core (bench/REPORT.md); in proportion to slices and, for a wide zone, to its width. 30 slices
 *           give the numbers of 400 within 0.0001 of the dye.
 */
mdr_code mdr_dyeing_run(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                        mdr_err *err) MDR_MUST_CHECK;

/* `on_fibre` after the last sample, and the like. */
double mdr_dyeing_last(const mdr_dyeing *d, const double *per_dye, int dye);

#endif
