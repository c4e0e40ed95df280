/*
 * mdr_dispense.h - a laboratory dyeing as volumes: which stock solution, how many mL of it, how the
 * solutions are made, how much water tops the pot up, and what rounding to the pipette does.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/recipe-dispense.md
 *
 * Symbols
 *   liquor mL = sample g x ratio L/kg            dye g = sample g x depth / 100
 *   level     0: the stock, weighed; 1, 2, ...: each diluted from the one before by `dilution`
 *
 * Sources (keys of docs/sources.md)
 *   [definition]       all amounts
 *   [common-practice]  stocks, dilutions, least volumes: the caller's own replace them
 */
#ifndef MDR_DISPENSE_H
#define MDR_DISPENSE_H

#include <stdbool.h>

#include "base/mdr_arena.h"

enum { MDR_LAB_DYES_MAX = 8, MDR_LAB_AUX_MAX = 4, MDR_LAB_POTS_MAX = 64, MDR_LAB_LEVELS_MAX = 4 };
enum { MDR_LAB_FLASKS_MAX = 6 };

typedef struct mdr_lab_tools {
    double pipette_least_ml, pipette_step_ml; /* 0.5 and 0.05 */
    double balance_least_g, balance_step_g;   /* 0.2 and 0.01 */
    double dilution;                          /* 10 */
    double error_most_pct;                    /* by rounding of one dose: 2 */
    double spare;                             /* made over needed: 1.2 */
    double flask_ml[MDR_LAB_FLASKS_MAX];      /* rising: 100, 250, 500, 1000 */
    int flasks;
    int levels; /* of solutions, the stock counted: 3 */
} mdr_lab_tools;
mdr_lab_tools mdr_lab_tools_usual(void); /* the values named; common practice */

typedef struct mdr_lab_dye {
    double stock_g_per_l; /* 10: common practice; of dye as delivered */
} mdr_lab_dye;

typedef struct mdr_lab_aux { /* salt, alkali */
    double stock_g_per_l;    /* 0: weighed in as it is */
} mdr_lab_aux;

typedef struct mdr_lab_pot {
    double sample_g, ratio_l_per_kg, vessel_ml;
    double depth_pct_owf[MDR_LAB_DYES_MAX]; /* 0: none of it */
    double aux_g_per_l[MDR_LAB_AUX_MAX];
} mdr_lab_pot;

typedef struct mdr_lab_in {
    mdr_lab_tools tools;
    const mdr_lab_dye *dyes;
    const mdr_lab_aux *aux;
    const mdr_lab_pot *pots;
    int n_dyes, n_aux, n_pots;
} mdr_lab_in;

typedef struct mdr_lab_dose {
    double exact_ml, ml; /* ml: to the pipette's step; 0: none, or weighed */
    double g;            /* of the substance, exact; for what is weighed to the balance's step */
    double error_pct;    /* by rounding */
    int level;
} mdr_lab_dose;

typedef struct mdr_lab_pot_sheet {
    double liquor_ml, water_ml;
    mdr_lab_dose dye[MDR_LAB_DYES_MAX], aux[MDR_LAB_AUX_MAX];
} mdr_lab_pot_sheet;

/* How a solution is made: weigh_g or take_ml of the level above, into the flask, water to the mark. */
typedef struct mdr_lab_solution {
    int dye, level;
    double g_per_l, needed_ml, flask_ml;
    double weigh_g;   /* level 0; to the balance's step */
    double take_ml;   /* other levels */
    double error_pct; /* of weigh_g by rounding: every dose from it is off by as much */
    int flasks;       /* of this size, when one does not hold it */
} mdr_lab_solution;

typedef struct mdr_lab_sheet {
    int pots, solutions;
    mdr_lab_pot_sheet *pot; /* in the arena */
    mdr_lab_solution
        *solution; /* in the arena; strongest first, so that they can be made in order */
} mdr_lab_sheet;

/*
 * Of every dye the strongest solution of which the pipette can take the dose with a rounding error
 * of at most error_most_pct.
 *   errors  MDR_E_ARG    counts outside ("dyes", "aux", "pots", "tools.flasks", "tools.levels")
 *           MDR_E_RANGE  tools not above 0, dilution not above 1; sample not in (0, 1000] g, ratio not
 *                        in [1, 100]; depth not in [0, 30], a concentration below 0 or above 500 g/L
 *                        ("pots[i].sample_g", ...); liquor above vessel_ml ("pots[i].vessel_ml")
 *           MDR_E_INFEAS no level is weak enough for a dose ("pots[i].depth_pct_owf[j]"); the
 *                        solutions are more than the liquor ("pots[i]"); a stock too small to
 *                        weigh or a dilution too small to pipette in any flask ("dyes[j]")
 *           MDR_E_NOMEM
 */
mdr_code mdr_lab_dispense(const mdr_lab_in *in, mdr_arena *arena, mdr_lab_sheet *out,
                          mdr_err *err) MDR_MUST_CHECK;

#endif
