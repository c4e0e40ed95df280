/*
 * mdr_dye_rates.h - what one dye does in a cotton dyebath, in physical terms, and how fast it does
 * it at a temperature and pH.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md#rates
 *
 * Every rate is given at the reference: 60 degC, and pH 11 there for what alkali drives.
 *   diffusion   Arrhenius
 *   affinity    van 't Hoff with a constant enthalpy
 *   fixation    Arrhenius at equal activity of hydroxide, times the ionised part of the cellulose
 *               a / (a + MDR_CELLULOSATE_HALF), a = 10^(pH - pKw(T)): in proportion to hydroxide at
 *               first, levelling off above pH 11
 *   hydrolysis  Arrhenius, in proportion to a
 * Symbols: T temperature, degC outside and kelvin inside; R gas constant; a activity of OH-.
 * Valid: 0 to 100 degC, pH 0 to 14.
 *
 * Sources (keys of docs/sources.md): [arrhenius-vant-hoff] forms; [usgs-phreeqc] pKw;
 * [reactive-alkali] proportion to hydroxide and its end, from memory and weak.
 */
#ifndef MDR_DYE_RATES_H
#define MDR_DYE_RATES_H

#include "base/mdr_err.h"

#define MDR_EXHAUST_REF_C  60.0
#define MDR_EXHAUST_REF_PH 11.0
/* Activity of OH- at which half of the cellulose that reacts is ionised: pH 12 at 60 degC. From
 * memory ("in proportion to about pH 11, then saturating"), weak. */
#define MDR_CELLULOSATE_HALF 0.1

/* What 1 molecule of the dye does; the dye is pure, without its salt and dispersant. */
typedef struct mdr_dye_rates {
    const char *dye_id;
    double molar_kg_per_mol, charge;                     /* z > 0 for an anion; 0 allowed */
    double affinity_kj_per_mol, enthalpy_kj_per_mol;     /* -dmu0; dH0 < 0: less when hot */
    double diffusion_per_min, diffusion_ea_kj_per_mol;   /* D / r^2 */
    double fix_per_min, fix_ea_kj_per_mol;               /* unfixed on the fibre; 0: none */
    double hydrolysis_per_min, hydrolysis_ea_kj_per_mol; /* in the liquor; 0: none */
    double fibre_hydrolysis;                             /* part of that in the fibre, 0..1 */
    double hydrolysed_affinity_kj_per_mol;               /* of the dye that lost its hook */
} mdr_dye_rates;

/* The same at one temperature and pH. */
typedef struct mdr_dye_rates_at {
    double diffusion_per_min, fix_per_min, hydrolysis_per_min, fibre_hydrolysis_per_min;
    double affinity, hydrolysed_affinity; /* exp(-dmu0 / RT) */
} mdr_dye_rates_at;

/* Finite and inside: molar 0.05..10 kg/mol, charge 0..12, affinities -20..80 kJ/mol, enthalpy
 * -200..200, D 0 < .. 100, other rates 0..1000 /min, activation energies 0..200 kJ/mol,
 * fibre_hydrolysis 0..1.   errors  MDR_E_RANGE, place = name of the member */
mdr_code mdr_dye_rates_check(const mdr_dye_rates *dye, mdr_err *err) MDR_MUST_CHECK;

/* Activity of OH-; temp_c in [0, 100]. */
double mdr_dye_hydroxide(double temp_c, double ph);
/* Rate over that at the reference temperature. */
double mdr_dye_arrhenius(double ea_kj_per_mol, double temp_c);
/* -dmu0 at a temperature, kJ/mol, from that at the reference. */
double mdr_dye_affinity_kj_per_mol(double affinity_kj_per_mol, double enthalpy_kj_per_mol,
                                   double temp_c);
/* All at once. `hydroxide` from mdr_dye_hydroxide at this temperature. */
mdr_dye_rates_at mdr_dye_rates_when(const mdr_dye_rates *dye, double temp_c, double hydroxide);
/* The same in two: what hangs on the temperature alone, and then with the alkali. In between the rates of
 * fixation and hydrolysis are without their factor of it. */
mdr_dye_rates_at mdr_dye_rates_heated(const mdr_dye_rates *dye, double temp_c);
mdr_dye_rates_at mdr_dye_rates_alkaline(const mdr_dye_rates *dye, const mdr_dye_rates_at *heated,
                                        double hydroxide);
/* That of them alone. */
double mdr_dye_hydrolysis_per_min(const mdr_dye_rates *dye, double temp_c, double hydroxide);

/* Fixed part at the end when a constant part `on_fibre` (0..1) of the active dye sits on the fibre
 * and fixes `ratio` times as fast as the rest hydrolyses; ratio > 0. */
double mdr_dye_fixed_part(double ratio, double on_fibre);
/* Temperature that keeps the uptake at `per_min` of a dye that follows dE/dt = k(T) (end - E), t_min
 * after the start at E = 0; k = k_ref at the reference, per_min * t_min < end. degC. */
double mdr_dye_isoreactive_c(double k_ref_per_min, double ea_kj_per_mol, double end, double per_min,
                             double t_min);

#endif
