/*
 * mdr_titrate.h - what a burette reading says about a bath: peroxide, alkali, dithionite, salt,
 * and the acid that answers the alkali.
 *
 * Layer: core/bath (pure). Molar masses from core/units/mdr_strength.h.
 * Methods: docs/methods/titration.md
 *
 * Sources (keys of docs/sources.md)
 *   [stoichiometry]     every factor: equivalent mass = molar mass / electrons or charges
 *   [aatcc-102]         peroxide by permanganate
 *   [aatcc-98]          alkali by acid
 *   [double-indicator]  two alkalis side by side by two end points
 *   [iodine-dithionite] dithionite by iodine after formaldehyde
 *   [mohr-chloride]     chloride by silver
 *
 * Symbols: V mL of titrant, N equivalents per litre of titrant, S mL of bath in the flask.
 * Errors, all functions: MDR_E_RANGE, place = the field, when a number is not finite or outside
 *   sample_ml         more than 0, up to 10 000
 *   titrant_ml        0 to 1000: a bath without peroxide takes none, and that is a result
 *   titrant_eq_per_l  more than 0, up to 20
 * The limits are invented; they catch a slipped decimal point, no chemistry. *out is written only
 * on success.
 */
#ifndef MDR_TITRATE_H
#define MDR_TITRATE_H

#include "base/mdr_err.h"

typedef struct mdr_titrate_in {
    double sample_ml; /* of undiluted bath; of a diluted one the part that is bath */
    double titrant_ml;
    double titrant_eq_per_l; /* normality */
} mdr_titrate_in;

/* Equivalents per litre of bath, V N / S: alkali, acid, whatever was titrated. */
mdr_code mdr_titrate_eq_per_l(const mdr_titrate_in *in, double *eq_per_l,
                              mdr_err *err) MDR_MUST_CHECK;
/* H2O2 (100 %) by permanganate in sulphuric acid. */
mdr_code mdr_titrate_peroxide_mg_per_l(const mdr_titrate_in *in, double *mg_per_l,
                                       mdr_err *err) MDR_MUST_CHECK;
/* The one alkali of a bath by acid: MDR_SUB_NAOH, or MDR_SUB_NA2CO3 and MDR_SUB_NAHCO3 to methyl
 * orange. MDR_E_ARG (place "substance") for anything that takes up no acid. */
mdr_code mdr_titrate_alkali_g_per_l(const mdr_titrate_in *in, int substance, double *g_per_l,
                                    mdr_err *err) MDR_MUST_CHECK;
/* Dithionite (100 %) by iodine, formaldehyde added first. */
mdr_code mdr_titrate_dithionite_g_per_l(const mdr_titrate_in *in, double *g_per_l,
                                        mdr_err *err) MDR_MUST_CHECK;
/* Common salt by silver nitrate. */
mdr_code mdr_titrate_salt_g_per_l(const mdr_titrate_in *in, double *g_per_l,
                                  mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_titrate_two {
    double sample_ml;
    double phenolphthalein_ml; /* P: acid up to the first end point */
    double methyl_orange_ml;   /* M: all the acid, from the start to the second end point */
    double titrant_eq_per_l;
} mdr_titrate_two;

typedef struct mdr_titrate_alkalis {
    double naoh_g_per_l, na2co3_g_per_l, nahco3_g_per_l;
} mdr_titrate_alkalis;

/*
 * Two alkalis side by side, in equivalents (mL):
 *   P > M/2    NaOH 2P - M, soda 2 (M - P)
 *   P <= M/2   soda 2P, hydrogen carbonate M - 2P
 * P > M is refused: the second end point cannot come before the first.
 */
mdr_code mdr_titrate_two_alkalis(const mdr_titrate_two *in, mdr_titrate_alkalis *out,
                                 mdr_err *err) MDR_MUST_CHECK;

/* Acid (100 %, or as delivered when its mol/kg are those of the product), kg, that takes up the
 * alkali found: eq_per_l >= 0, liquor_l >= 0 (MDR_E_RANGE); acid_mol_per_kg > 0, else MDR_E_ARG:
 * the product is no acid. */
mdr_code mdr_titrate_acid_kg(double eq_per_l, double liquor_l, double acid_mol_per_kg,
                             double *acid_kg, mdr_err *err) MDR_MUST_CHECK;

#endif
