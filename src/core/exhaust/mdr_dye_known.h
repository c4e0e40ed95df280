/*
 * mdr_dye_known.h - from what a mill knows of a dye to the rates that the dyebath model needs.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-rates.md
 *
 * Each known number frees one rate, and the rates are sought with which the standard dyeing gives
 * exactly these numbers. What no number speaks of stays the placeholder of the dye's group. Numbers
 * that cannot be met like that are taken as readings: then every rate may move, and those are taken
 * that are most likely by the errors of reading and by how far dyes of a group lie apart. Whether a
 * rate is really known is another question: its 95 % range comes from the slopes of the numbers and
 * from the same errors and spread.
 *
 *   S -> affinity            (E when S is not known)
 *   E -> affinity of the hydrolysed dye
 *   R -> rate of fixation    (half-dyeing time when R is not known)
 *   F -> rate of hydrolysis
 *   half-dyeing time -> diffusion
 *
 * Sources (keys of docs/sources.md): [serf], [levenberg-marquardt], [ridge-prior]; placeholders and
 * spread: mdr_dye_group.h.
 */
#ifndef MDR_DYE_KNOWN_H
#define MDR_DYE_KNOWN_H

#include "core/exhaust/mdr_dye_standard.h"

typedef struct mdr_dye_known {
    const char *dye_id;
    mdr_dye_group group; /* UNSTATED: the usual of `way` */
    mdr_dye_way way;     /* must be that of `group` unless UNSTATED */
    /* by mdr_dye_number, above 0 and below 100 % (half-dyeing time: within the dyeing); 0: not known */
    double number[MDR_NUMBER_COUNT];
    double molar_g_per_mol; /* 100 .. 5000; 0: the group's */
    double charge;          /* 1 .. 12 negative charges; 0: the group's */
    mdr_dye_standard standard;
    double error_pct, error_min; /* of one reading, standard deviation; 0: the usual */
} mdr_dye_known;

#define MDR_KNOWN_ERROR_PCT 1.0 /* invented */
#define MDR_KNOWN_ERROR_MIN 0.5 /* invented */

/* Nothing known but the group: numbers 0, the group's standard dyeing. */
mdr_dye_known mdr_dye_known_of(const char *dye_id, mdr_dye_group group, mdr_dye_way way);

/*
 * Whether such numbers can be of one dye at all.
 *   errors  MDR_E_RANGE  a number outside; more fixed than exhausted (place "fixation_pct"), more
 *                        before the alkali than at the end ("primary_exhaustion_pct"), more fixed
 *                        first than at the end ("fix_first_pct"); "molar_g_per_mol", "charge",
 *                        "standard.temp_c" ...
 *           MDR_E_ARG    a number that says nothing of such a dye; group and way apart
 *                        ("dyeing_group")
 */
mdr_code mdr_dye_known_check(const mdr_dye_known *known, mdr_err *err) MDR_MUST_CHECK;

/* X(enumerator, field of mdr_dye_rates) */
#define MDR_RATES(X)                                    \
    X(MDR_RATE_MOLAR, molar_kg_per_mol)                 \
    X(MDR_RATE_CHARGE, charge)                          \
    X(MDR_RATE_AFFINITY, affinity_kj_per_mol)           \
    X(MDR_RATE_ENTHALPY, enthalpy_kj_per_mol)           \
    X(MDR_RATE_DIFFUSION, diffusion_per_min)            \
    X(MDR_RATE_DIFFUSION_EA, diffusion_ea_kj_per_mol)   \
    X(MDR_RATE_FIX, fix_per_min)                        \
    X(MDR_RATE_FIX_EA, fix_ea_kj_per_mol)               \
    X(MDR_RATE_HYDROLYSIS, hydrolysis_per_min)          \
    X(MDR_RATE_HYDROLYSIS_EA, hydrolysis_ea_kj_per_mol) \
    X(MDR_RATE_FIBRE_HYDROLYSIS, fibre_hydrolysis)      \
    X(MDR_RATE_HYDROLYSED_AFFINITY, hydrolysed_affinity_kj_per_mol)
#define X(name, field) name,
typedef enum mdr_rate { MDR_RATES(X) MDR_RATE_COUNT } mdr_rate;
#undef X
/* The field's name; NULL outside the list. */
const char *mdr_rate_id(mdr_rate r);
double mdr_rate_of(const mdr_dye_rates *rates, mdr_rate r);
/* Whether the rate plays a part for a dye of this way. */
bool mdr_rate_applies(mdr_rate r, mdr_dye_way way);

typedef enum mdr_rate_basis {
    MDR_BASIS_GIVEN,      /* by the mill */
    MDR_BASIS_FITTED,     /* so that the numbers are met */
    MDR_BASIS_PLACEHOLDER /* of the group */
} mdr_rate_basis;
const char *mdr_rate_basis_id(mdr_rate_basis b); /* "given", "fitted", "placeholder" */

typedef struct mdr_rate_standing {
    double least, most; /* 95 % range; both the value itself when the rate is given */
    mdr_rate_basis basis;
    /* the numbers at least halve what the group alone leaves open; false: they say (next to)
     * nothing, even where the rate was fitted */
    bool determined;
} mdr_rate_standing;

/* X(enumerator, id, words) */
#define MDR_FIT_VERDICTS(X)                                                                    \
    X(MDR_FIT_MET, "met", "the rates give the numbers")                                        \
    X(MDR_FIT_NEAR, "near", "no rates give all the numbers, but within the errors of reading") \
    X(MDR_FIT_APART, "apart", "no rates give these numbers together: measure again")
#define X(name, id, words) name,
typedef enum mdr_fit_verdict { MDR_FIT_VERDICTS(X) MDR_FIT_VERDICT_COUNT } mdr_fit_verdict;
#undef X
const char *mdr_fit_verdict_id(mdr_fit_verdict v);
const char *mdr_fit_verdict_words(mdr_fit_verdict v);

enum { MDR_FIT_AWAY_MAX = 9 };

typedef struct mdr_dye_fit {
    mdr_dye_rates rates;
    mdr_rate_standing standing[MDR_RATE_COUNT];
    double number[MDR_NUMBER_COUNT]; /* as the rates give them; 0: does not apply */
    double worst_gap;                /* largest gap from a known number, % points or min */
    int worst;                       /* mdr_dye_number; -1 when nothing is known */
    mdr_fit_verdict verdict;
    bool group_assumed;  /* the group was not stated */
    mdr_dye_group group; /* as taken */
    /* Rates as far away as the 95 % range goes, in directions that have nothing to do with one
     * another: what is joined by the numbers moves together. The effects of all of them add in
     * squares. Rates that stay inside mdr_dye_rates_check. */
    mdr_dye_rates away[MDR_FIT_AWAY_MAX];
    int n_away;
    int runs; /* of the standard dyeing */
} mdr_dye_fit;

#define MDR_KNOWN_MET         0.1 /* % points, min: a number is met; invented */
#define MDR_KNOWN_NEAR_ERRORS 2.0 /* that many errors of reading: near; invented */

/*
 * Rates of a dye. Numbers that no rates can meet are no error but a verdict.
 *   errors  those of mdr_dye_known_check and mdr_dyeing_run; MDR_E_NOMEM
 *   cost    30 to 350 runs of the standard dyeing, usually 40: about 20 ms
 */
mdr_code mdr_dye_known_rates(const mdr_dye_known *known, mdr_arena *arena, const mdr_dye_fit **out,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
