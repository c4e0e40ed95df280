/*
 * mdr_equil.h - pH of a bath: soda, caustic, mixed alkali, hydrogen carbonate, acetic, formic,
 * citric and sulphuric acid, peroxide, at any dyeing temperature and salt.
 *
 * Layer: core/bath (pure). For the plan, the weigh room's "what if", the technologist's desk.
 * Methods: docs/methods/bath-ph.md
 *
 * A mix says what is in the bath in total, mol per kg of water; the equilibria and the balance of
 * charges say in which form. Baths are counted as 1 L of liquor = 1 kg of water, so g/L of
 * the plan are g/kg here; up to 100 g/L of salt that moves the pH by less than 0.01.
 *
 * The bath is closed to the air (no CO2 comes or goes), and cotton, dyes, hardness and
 * auxiliaries of unknown make take no part. Valid 0 to 100 degC, ionic strength to 6 mol/kg.
 *
 * How far off: see mdr_equil_uncertainty_ph().
 *
 * Sources (keys of docs/sources.md)
 *   [plummer-busenberg]  carbonic acid, both steps, 0 to 90 degC
 *   [usgs-phreeqc]       ion product of water, second step of sulphuric acid
 *   [harned-acetic]      acetic; [harned-formic] formic; [bates-citric] citric acid
 *   [evans-uri]          hydrogen peroxide
 *   activity coefficients: mdr_pitzer.h
 */
#ifndef MDR_EQUIL_H
#define MDR_EQUIL_H

#include <stdbool.h>

#include "base/mdr_err.h"
#include "core/bath/mdr_pitzer.h"

typedef enum mdr_total {
    MDR_TOTAL_NA,
    MDR_TOTAL_CL,
    MDR_TOTAL_SO4,
    MDR_TOTAL_CARBONATE,
    MDR_TOTAL_ACETATE,
    MDR_TOTAL_FORMATE,
    MDR_TOTAL_CITRATE,
    MDR_TOTAL_PEROXIDE,
    MDR_TOTAL_COUNT
} mdr_total;

typedef struct mdr_mix {
    double temp_c;
    double mol_per_kg[MDR_TOTAL_COUNT];
} mdr_mix;

/* Equilibrium constants as powers of ten, molal; temp_c in [0, 100]. */
typedef struct mdr_equil_constants {
    double water, carbonic1, carbonic2, bisulphate, acetic, formic;
    double citric1, citric2, citric3, peroxide; /* log10 K, all of dissociation */
} mdr_equil_constants;
mdr_equil_constants mdr_equil_constants_at(double temp_c);

/* Everything that depends on temperature alone: make once for many baths at one temperature. */
typedef struct mdr_equil_model {
    mdr_pitzer activity;
    double k_water, k_carbonic1, k_carbonic2, k_bisulphate, k_acetic, k_formic;
    double k_citric1, k_citric2, k_citric3, k_peroxide;
} mdr_equil_model;
mdr_equil_model mdr_equil_model_at(double temp_c);

typedef struct mdr_equil {
    double ph;                        /* -log10 of the activity of H+ */
    double ionic_mol_per_kg;          /* ionic strength */
    double mol_per_kg[MDR_ION_COUNT]; /* of each ion, and of dissolved CO2 */
    double acetic_mol_per_kg, formic_mol_per_kg, citric_mol_per_kg,
        peroxide_mol_per_kg; /* not dissociated */
    double oh_activity;      /* what rates of alkaline reactions go by */
    double charge_residue;   /* sum of charges over sum of their magnitudes: the proof */
    int iterations;
} mdr_equil;

/* One salt, acid or base in g per kg of water, 100 %, added to the mix. Substances that take no part
 * (enzymes, dyes, other) change nothing. Dithionite counts as a salt of sodium with the sulphate's
 * activity. */
void mdr_mix_add(mdr_mix *mix, int substance, double g_per_kg);
/* What can be asked: temperature 0 to 100 degC, no negative or infinite total, ionic strength at
 * most 6 mol/kg even if everything were dissociated.
 *   errors  MDR_E_RANGE, place "temp_c" or the name of the total */
mdr_code mdr_mix_check(const mdr_mix *mix, mdr_err *err) MDR_MUST_CHECK;
bool mdr_mix_valid(const mdr_mix *mix);
/* Valid, and not so thin (1e-5 mol/kg in all) that it is pure water, whose pH says nothing. */
bool mdr_mix_known(const mdr_mix *mix);

/*
 * Total for a valid mix. Accuracy of the numbers: charge residue < 1e-12, pH to 1e-8 (unbuffered
 * salt; buffered baths 1e-12).
 * About 3 us with the model at hand.
 *   start   pH to begin from, or a negative number
 */
void mdr_equil_solve(const mdr_equil_model *model, const mdr_mix *mix, double start_ph,
                     mdr_equil *out);

/*
 * Moles per kg of something (its totals in one mole) that bring the mix to this pH; negative when
 * it would have to be taken away, or more than `most` would be needed. As fast as one pH.
 */
double mdr_equil_amount_mol_per_kg(const mdr_equil_model *model, const mdr_mix *mix,
                                   const double *per_mol, double ph, double most_mol_per_kg);
/* pH alone, model made on the way; the mix must be valid. */
double mdr_equil_ph(const mdr_mix *mix);

/*
 * How far the pH may be off for a mix like this: the spread between two published models on the
 * same baths. Soda, caustic and acids 0.03, hydrogen carbonate 0.085, with common salt 0.16, with
 * sodium sulphate 0.10, in between by share; with peroxide at least 0.15, with citric acid 0.10
 * (not compared, constants from memory); beyond 50 g/L of salt or outside 20 to 80 degC half as
 * much again (not covered by the comparison).
 */
double mdr_equil_uncertainty_ph(const mdr_mix *mix);

/* No bath is given more of an acid or an alkali than this. */
#define MDR_EQUIL_NEED_MOST_G_PER_KG 100.0

/*
 * How much of an acid or a base brings the mix to a pH at its temperature.
 *   substance  one with acid or alkali equivalents (mdr_strength.h)
 *   g_per_kg   >= 0; 0 when the mix is already there or beyond
 *   errors     MDR_E_ARG     the substance moves no pH
 *              MDR_E_RANGE   mix not valid
 *              MDR_E_INFEAS  not reached within `most_g_per_kg`: err.value tells the pH there
 */
mdr_code mdr_equil_need(const mdr_mix *mix, int substance, double target_ph, double most_g_per_kg,
                        double *g_per_kg, mdr_err *err) MDR_MUST_CHECK;

#endif
