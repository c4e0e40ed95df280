/*
 * mdr_dye_standard.h - the standard dyeing: conditions under which the numbers of a dye (S, E, R,
 * F, half-dyeing time) are measured, the same dyeing reckoned with rates, and the numbers read off.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-rates.md#standard-dyeing
 *
 * All dye and salt are in the bath from the start, at temperature; the alkali of a reactive dye
 * comes at once when `before_min` have passed. One stretch of fabric, well mixed.
 *
 * Numbers, % of the dye given; "on the fibre" counts no dye in the liquor that the fabric holds
 *   S  on the fibre just before the alkali              reactive only
 *   E  on the fibre at the end, hydrolysed dye included
 *   R  fixed `first_min` after the alkali               reactive only
 *   F  fixed at the end                                 reactive only
 *   half-dyeing time: reactive, minutes from the alkali to half of F; else minutes from the start
 *      to half of E
 *
 * Sources (keys of docs/sources.md)
 *   [serf]             the numbers and what they are for; from memory
 *   [common-practice]  the conditions
 *   [mass-balance]     sodium of the salts;  pH: mdr_equil.h
 */
#ifndef MDR_DYE_STANDARD_H
#define MDR_DYE_STANDARD_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "core/exhaust/mdr_dye_group.h"
#include "core/exhaust/mdr_dyeing.h"

typedef struct mdr_dye_standard {
    double ratio_l_per_kg;  /* 3 .. 100 */
    double depth_pct_owf;   /* 0.01 .. 15 */
    double temp_c;          /* 10 .. 100 */
    double salt_g_per_l;    /* Na2SO4, 0 .. 150 */
    double soda_g_per_l;    /* Na2CO3, 0 .. 40 */
    double caustic_g_per_l; /* NaOH, 0 .. 40; vat: from the start */
    double before_min;      /* reactive: until the alkali, 1 .. 240; else 0 */
    double after_min;       /* from the alkali (reactive) or the start to the end, 1 .. 480 */
    double first_min;       /* reactive: when R is read, above 0 and below after_min; else 0 */
} mdr_dye_standard;

mdr_dye_standard mdr_dye_standard_of(mdr_dye_group g);

/* Errors: MDR_E_RANGE, place the field's name; MDR_E_ARG "soda_g_per_l" when a reactive dye gets no
 * alkali. */
mdr_code mdr_dye_standard_check(const mdr_dye_standard *s, mdr_dye_way way,
                                mdr_err *err) MDR_MUST_CHECK;

/* pH with the alkali in, at temperature; 7 before and without it. For a checked standard. */
double mdr_dye_standard_ph(const mdr_dye_standard *s, mdr_dye_way way);
/* Sodium of everything in the bath by then. */
double mdr_dye_standard_sodium_mol_per_l(const mdr_dye_standard *s, mdr_dye_way way,
                                         bool with_alkali);

/*
 * The standard dyeing with these rates, sampled every sample_min (> 0).
 *   errors  those of mdr_dye_standard_check and of mdr_dyeing_run
 */
mdr_code mdr_dye_standard_run(const mdr_dye_rates *rates, const mdr_dye_standard *s,
                              mdr_dye_way way, double sample_min, mdr_arena *arena,
                              const mdr_dyeing **out, mdr_err *err) MDR_MUST_CHECK;

typedef enum mdr_dye_number {
    MDR_NUMBER_PRIMARY,
    MDR_NUMBER_EXHAUSTION,
    MDR_NUMBER_FIRST,
    MDR_NUMBER_FIXATION,
    MDR_NUMBER_HALF,
    MDR_NUMBER_COUNT
} mdr_dye_number;
/* Name of the field in records, CSV and JSON: "primary_exhaustion_pct"; NULL outside the list. */
const char *mdr_dye_number_id(mdr_dye_number n);
/* Whether the number says anything of a dye of this way. */
bool mdr_dye_number_applies(mdr_dye_number n, mdr_dye_way way);

/* Read off a run of the standard dyeing, straight between its samples; those that do not apply are
 * 0. out[MDR_NUMBER_COUNT], % and min. */
void mdr_dye_standard_numbers(const mdr_dyeing *run, const mdr_dye_standard *s, mdr_dye_way way,
                              double *out);

#endif
