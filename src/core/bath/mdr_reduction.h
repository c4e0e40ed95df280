/*
 * mdr_reduction.h - the vat: what eats dithionite and caustic, how long a reserve lasts, what has
 * to be given, what oxidises the dye back; and what the groups of vat and direct dyes ask for.
 *
 * Layer: core/bath (pure). Molar masses from core/units/mdr_strength.h, machine kinds from
 * core/plan/mdr_records.h.
 * Methods: docs/methods/vat.md
 *
 * Sources (keys of docs/sources.md)
 *   [oxygen-saturation]  oxygen in fresh water
 *   [stoichiometry]      dithionite, caustic and peroxide per reaction
 *   [vat-practice]       share of pure dye, decay in hot caustic, windows of the groups: from memory
 *   [common-practice]    reserve, excess of oxidant, how direct dyes want their salt
 * The oxygen that a running rope draws in is invented by machine kind: calibrate it by titrating
 * one blank vat twice.
 *
 * Symbols: D dithionite (100 %) g/L; a what the air takes of it g/(L min); k its decay 1/min;
 * t min. Valid: vats with caustic, 20 .. 100 degC.
 */
#ifndef MDR_REDUCTION_H
#define MDR_REDUCTION_H

#include <stdbool.h>

#include "base/mdr_err.h"

/* Dithionite of 1 g of pure vat dye: a quinone of about 500 g/mol. From memory. */
#define MDR_REDUCTION_PER_PURE_DYE_G_PER_G 0.35
/* Pure dye in a vat dye as delivered. From memory; 15 to 50 % are sold. */
#define MDR_REDUCTION_PURE_DYE_FRACTION 0.30
/* Dithionite that must be left at the end of dyeing. Common practice. */
#define MDR_REDUCTION_RESERVE_G_PER_L 1.0
/* Peroxide given over what the equations ask for. Common practice. */
#define MDR_REDUCTION_OXIDANT_EXCESS 2.0
/* Peroxide (100 %) below which the oxidation takes too long in a dilute bath; common practice: 2 to 3
 * g/L of 50 % are given. */
#define MDR_REDUCTION_OXIDANT_LEAST_G_PER_L 1.0

/*
 * Oxygen in fresh water that stands in balance with air at 1 atm, from
 * data/bath/oxygen_saturation.csv (straight between rows, within 0.1 mg/L up to 40 degC).
 *   temp_c  0 .. 100; MDR_E_RANGE otherwise (place "temp_c")
 */
mdr_code mdr_reduction_oxygen_mg_per_l(double temp_c, double *oxygen_mg_per_l,
                                       mdr_err *err) MDR_MUST_CHECK;

/* Na2S2O4 + O2 + 2 NaOH = Na2SO3 + Na2SO4 + H2O: g per g of oxygen. */
double mdr_reduction_dithionite_per_oxygen_g_per_g(void);
double mdr_reduction_naoh_per_oxygen_g_per_g(void);
/* One dithionite reduces one quinone (two electrons): g per g of pure dye; dye_g_per_mol > 0 is
 * the dye's mass per mole of quinone that is reduced. */
double mdr_reduction_dithionite_per_dye_g_per_g(double dye_g_per_mol);
/* When nothing is known of the dye: g per g as delivered, 0.35 x 0.30. */
double mdr_reduction_usual_per_dye_g_per_g(void);
/* Na2S2O4 + 4 NaOH + quinone = 2 Na2SO3 + leuco Na2 + 2 H2O: NaOH per g of the dithionite that
 * the dye takes. */
double mdr_reduction_naoh_per_dithionite_g_per_g(void);

/* Oxygen that the running rope draws from the air, g per kg of fabric and hour, when the machine
 * does not say; invented, to be calibrated. 0 for a kind outside mdr_machine_kind. */
double mdr_reduction_air_g_o2_per_kg_h(int machine_kind);
/* The dithionite this takes, g/(L min); liquor_l > 0. */
double mdr_reduction_air_loss_g_per_l_min(double air_g_o2_per_kg_h, double load_kg,
                                          double liquor_l);
/* First-order decay in hot caustic without air, 1/min: 0.05/h at 60 degC, twice as fast every
 * 10 K. From memory, weak. */
double mdr_reduction_heat_per_min(double temp_c);
/* Its mean over a straight ramp; the exact integral, smooth through start_c = end_c. */
double mdr_reduction_heat_mean_per_min(double start_c, double end_c);

/*
 * dD/dt = -a - k D from D(0) = start, until nothing is left:
 *     D(t) = start e^(-k t) - a (1 - e^(-k t))/k      (k -> 0: start - a t)
 * All arguments >= 0.
 */
double mdr_reduction_left_g_per_l(double start_g_per_l, double air_loss_g_per_l_min,
                                  double heat_per_min, double minutes);
/* Minutes until it is spent, ln(1 + k start/a)/k, into *spent_min. False, and nothing written,
 * when no air gets in: heat alone never takes the last of it. */
bool mdr_reduction_spent_min(double start_g_per_l, double air_loss_g_per_l_min, double heat_per_min,
                             double *spent_min);
/* What must be there at the start for `reserve` to be left after `minutes`. Inverse of
 * mdr_reduction_left_g_per_l while that is above 0. */
double mdr_reduction_start_g_per_l(double reserve_g_per_l, double air_loss_g_per_l_min,
                                   double heat_per_min, double minutes);

typedef struct mdr_reduction_in {
    double dye_g_per_l;                /* vat dyes as delivered, in the bath */
    double dithionite_per_dye_g_per_g; /* usual: mdr_reduction_usual_per_dye_g_per_g() */
    double oxygen_mg_per_l;            /* dissolved in the liquor when the vat is set */
    double air_loss_g_per_l_min;
    double heat_per_min;
    double minutes;         /* from setting the vat to the end of dyeing */
    double reserve_g_per_l; /* to be left then */
} mdr_reduction_in;

typedef struct mdr_reduction_need {
    /* dithionite 100 %, g/L: who takes it; they add up to the total */
    double water_g_per_l, dye_g_per_l, air_g_per_l, heat_g_per_l, reserve_g_per_l, total_g_per_l;
    /* NaOH 100 % that these reactions take, WITHOUT the excess that keeps the leuco dissolved */
    double naoh_g_per_l;
} mdr_reduction_need;

/* Water and dye take theirs at once, air and heat over the time. All fields >= 0. */
mdr_reduction_need mdr_reduction_budget(const mdr_reduction_in *in);

/* Leuco + H2O2 = dye + 2 OH-: H2O2 (100 %) per g of dye, from the same dithionite per g. */
double mdr_reduction_h2o2_per_dye_g_per_g(double dithionite_per_dye_g_per_g);
/* S2O4-- + 3 H2O2 = 2 SO4-- + 2 H+ + 2 H2O: H2O2 per g of dithionite that is still there. */
double mdr_reduction_h2o2_per_dithionite_g_per_g(void);
/* H2O2 (100 %), kg, for a lot that carries this dye (as delivered) and this dithionite into the
 * oxidising bath; `excess` times what the equations ask for, usual MDR_REDUCTION_OXIDANT_EXCESS. */
double mdr_reduction_oxidant_kg(double dye_kg, double dithionite_per_dye_g_per_g,
                                double dithionite_kg, double excess);

/* What is given: that, but at least `least_g_per_l` of the bath. */
double mdr_reduction_oxidant_given_kg(double dye_kg, double dithionite_per_dye_g_per_g,
                                      double dithionite_kg, double excess, double least_g_per_l,
                                      double liquor_l);

typedef enum mdr_vat_group { MDR_VAT_IN, MDR_VAT_IW, MDR_VAT_IK } mdr_vat_group;
typedef struct mdr_vat_window {
    double temp_min_c, temp_max_c; /* of dyeing */
    bool salt;                     /* given to bring the dye on */
    bool low_caustic;
} mdr_vat_window;

/* Reads "IN", "IW", "IK" (a dye's group); false, and nothing written, for any other text. */
bool mdr_vat_group_of(const char *text, mdr_vat_group *out);
mdr_vat_window mdr_vat_window_of(mdr_vat_group group);

typedef enum mdr_direct_group { MDR_DIRECT_A, MDR_DIRECT_B, MDR_DIRECT_C } mdr_direct_group;
typedef enum mdr_direct_salt {
    MDR_DIRECT_SALT_ANY,     /* levels by itself: salt may stand in the bath from the start */
    MDR_DIRECT_SALT_PORTIONS /* salt in portions once the dyeing temperature is reached */
} mdr_direct_salt;
typedef struct mdr_direct_way {
    mdr_direct_salt salt;
    double heat_max_c_per_min; /* steepest heating in the dyebath; 0: the dye sets no limit */
} mdr_direct_way;

/* Reads "A", "B", "C" (a dye's group); false, and nothing written, for any other text. */
bool mdr_direct_group_of(const char *text, mdr_direct_group *out);
mdr_direct_way mdr_direct_way_of(mdr_direct_group group);

#endif
