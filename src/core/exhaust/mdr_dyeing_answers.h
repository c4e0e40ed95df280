/*
 * mdr_dyeing_answers.h - what a dyer wants to know of a dyeing that was reckoned through: how much
 * of each dye goes on and stays, how fast it strikes against the limit, how evenly it lies along
 * the rope and between the ropes, whether the dyes go on together, what is left to be washed off.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-answers.md
 *
 * Per cent of a dye are of all that the programme gives of it. Contacts: turns of the mean rope and
 * turns of the bath through the pump together.
 *
 * Sources (keys of docs/sources.md)
 *   [strike-per-contact] 1.0 % per contact, both contacts counted alike
 *   [common-practice]  dyes that are 10 % of their final uptake apart are seen apart: invented
 */
#ifndef MDR_DYEING_ANSWERS_H
#define MDR_DYEING_ANSWERS_H

#include "core/exhaust/mdr_dye_programme.h"

#define MDR_STRIKE_LIMIT_PCT_PER_CONTACT 1.0
/* Invented: a third of the dyeing in which the shade is seen to run. */
#define MDR_APART_LIMIT_PCT 10.0
/* Before that much of the dye is on the fibre nobody asks how evenly. Common practice. */
#define MDR_BARE_PCT 2.0

/* Dye counts as still being fixed until all but so much of what will be fixed is. Invented. */
#define MDR_FIXING_LEFT_PCT 20.0
/* Unevenness that is allowed meanwhile, times that of what stays: it is locked in only in part, and the end is
 * judged by itself. Invented. */
#define MDR_FIXING_LIMIT_TIMES 2.0

/* How evenly dye lies; per cent of the mean over all fabric, long ropes counting as what they weigh. */
typedef struct mdr_evenness {
    double spread_pct;  /* most - least over all slices */
    double along_pct;   /* the same within the most uneven rope */
    double between_pct; /* between the means of the ropes */
    int sample;         /* of mdr_dyeing */
} mdr_evenness;

typedef struct mdr_dye_answer {
    double kg;
    double before_alkali_pct; /* on the fibre; below 0: there is no alkali, or dye comes later */
    double exhaustion_pct, fixation_pct;
    double yield_pct;       /* fixed of what is on the fibre */
    double hydrolysed_pct;  /* wherever it is */
    double loose_pct;       /* on the fibre, not fixed */
    double left_pct;        /* in bath and rope's liquor */
    double half_min;        /* until half of the final exhaustion */
    double strike_most_pct; /* per contact */
    double strike_at_min, over_limit_min;
    double spread_end_pct;
} mdr_dye_answer;

typedef struct mdr_dyeing_answers {
    mdr_dye_answer dyes[MDR_DYE_DYES_MAX];
    double exhaustion_pct, fixation_pct;                   /* of all dye, by mass */
    double strike_most_pct, strike_at_min, over_limit_min; /* of the fastest dye at each time */
    double contacts_per_min;                               /* at the end: 1/t_rope + 1/t_bath */
    double apart_most_pct, apart_at_min; /* of their final uptake, first and last dye */
    double loose_mg_per_kg;
    mdr_evenness before; /* on the fibre as the alkali begins */
    mdr_evenness end;    /* of what stays: fixed by dyes that fix, else on the fibre */
    int fixing_first,
        fixing_last; /* samples from the alkali on while dye is being fixed; below 0: none */
    int n_dyes;
    int strike_dye;
    int apart_first, apart_last;
    bool has_before;
    bool fixes; /* what stays is what is fixed */
} mdr_dyeing_answers;

/* Part of the load that a slice is. `rope` as it was run, here and below. */
double mdr_dyeing_slice_share(const mdr_dyeing *d, const mdr_dyeing_rope *rope, int slice);
/* Sum of the dyes of a slice, kg/kg; `map` of d: on the fibre, or fixed. */
double mdr_dyeing_slice(const mdr_dyeing *d, const float *map, int sample, int slice);
/* At one sample. Zeros while there is no dye. */
mdr_evenness mdr_dyeing_evenness(const mdr_dyeing *d, const float *map, const mdr_dyeing_rope *rope,
                                 int sample);
/* The fastest dye's strike at a sample, % per contact. */
double mdr_dyeing_strike(const mdr_dyeing *d, int sample, int *dye);

/*
 * Total for an answer of mdr_dyeing_run.
 *   kg           of each dye
 *   before_min   begin of the alkali, below 0: none: then what is on the fibre stays
 *   limit_pct    % per contact
 */
void mdr_dyeing_answers_of(const mdr_dyeing *d, const mdr_dyeing_rope *rope, const double *kg,
                           double before_min, double limit_pct, mdr_dyeing_answers *out);

#endif
