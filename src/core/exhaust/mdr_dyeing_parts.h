/*
 * mdr_dyeing_parts.h - the parts of mdr_dyeing_run; for the files of this folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md#steps
 *
 * One slice and one dye: c active and h hydrolysed in the liquor, mol/L; F fixed, a_p and b_p
 * active and hydrolysed of mode p, mol/kg. Over a step dt everything but the liquor is linear with
 * constant rates; the liquor is taken as a straight line from d to c1 (its end), where
 *   d = s c0 + (1 - s) c1
 * and s goes from 1 in short steps (second order) to 0 in steps so long that the fibre could
 * take more than the liquor holds. With E = exp(-L dt), L the rate of mode p with its reactions,
 * phi1 = (1 - E)/(L dt), phi2 = (1 - phi1)/(L dt) and the partition kappa
 *   a1 = E a0 + kappa lambda w dt ((phi1 - phi2) d + phi2 c1)
 *   R c1 = R c0 - what goes in + what comes out + exchange, linear in c1: solved
 * Every coefficient is positive when s u0 <= 1, u0 the part of the liquor that d would lose.
 */
#ifndef MDR_DYEING_PARTS_H
#define MDR_DYEING_PARTS_H

#include "core/exhaust/mdr_dyeing.h"
#include "core/exhaust/mdr_dyeing_twin.h"

/* How the modes of one form of the dye go through a step. Per unit of partition where it says so. */
typedef struct mdr_modes {
    double keep[MDR_CYLINDER_MODES_MAX];    /* E */
    double back[MDR_CYLINDER_MODES_MAX];    /* of a0, into the liquor */
    double from_d[MDR_CYLINDER_MODES_MAX];  /* lambda w dt (phi1 - phi2), per partition */
    double from_c1[MDR_CYLINDER_MODES_MAX]; /* lambda w dt phi2, per partition */
    double loss_d, loss_c1;                 /* of the liquor, net, per partition */
} mdr_modes;

/* One dye, one length of step, one temperature, pH and pace of diffusion (mdr_drift_set). */
typedef struct mdr_drift {
    double dt_min;
    mdr_modes active, hydrolysed;
    double fix[MDR_CYLINDER_MODES_MAX]; /* of a0 */
    double fix_d, fix_c1;               /* per partition */
    double turn[MDR_CYLINDER_MODES_MAX], turn_d[MDR_CYLINDER_MODES_MAX],
        turn_c1[MDR_CYLINDER_MODES_MAX];                    /* hydrolysed in the fibre, likewise */
    double turn_stays[MDR_CYLINDER_MODES_MAX];              /* part of it still there at the end */
    double hydrolysis;                                      /* k_h dt in the liquor */
    double affinity_l_per_kg, hydrolysed_affinity_l_per_kg; /* K V */
    double charge;
    int modes;
    bool fixes, turns; /* ever; turns: hydrolyses */
    bool turns_inside; /* in the fibre as well */
    int whole_charge;  /* 0: it is no whole number, or none */
} mdr_drift;

/* What of it hangs on the temperature but not on the alkali: the rates as mdr_dye_rates_heated has them, how
 * each mode fills, what it would keep without reactions, the hydrolysed form. */
typedef struct mdr_drift_heat {
    mdr_dye_rates_at rates;
    double fill[MDR_CYLINDER_MODES_MAX]; /* 1/min */
    double in[MDR_CYLINDER_MODES_MAX];
    double keep[MDR_CYLINDER_MODES_MAX];
    mdr_modes hydrolysed;
    double turn_stays[MDR_CYLINDER_MODES_MAX];
} mdr_drift_heat;

void mdr_drift_heat_make(const mdr_dye_rates *dye, const mdr_dye_rates_at *heated,
                         const mdr_cylinder *fibre, double dt_min, double pace,
                         mdr_drift_heat *out);
/* `rates` are those of `heat` with the alkali. */
void mdr_drift_make(const mdr_dye_rates *dye, const mdr_dye_rates_at *rates,
                    const mdr_drift_heat *heat, int modes, double dt_min, mdr_drift *out);
/* 1 - exp(-x): part of the dye that a first-order reaction takes in x = k dt >= 0. */
double mdr_drift_lost(double x);

/* fmax and fmin of numbers; those of the C library, which mind NaN, are calls. */
static inline double mdr_more(double a, double b)
{
    return a > b ? a : b;
}
static inline double mdr_less(double a, double b)
{
    return a < b ? a : b;
}

/* State of one slice and dye: MDR_STORE_A + 2 modes doubles. */
enum { MDR_STORE_LIQUOR, MDR_STORE_HYDROLYSED, MDR_STORE_FIXED, MDR_STORE_A };

/* A step of one slice and dye on its way. c1 = (has + swap C) per, C of the bath. */
typedef struct mdr_stage {
    double partition, hydrolysed_partition;
    double c0, s, has, per; /* of the form that is being solved */
    double swap;            /* R k_x dt, L/kg; 0 alone */
    double half_mol_per_l;  /* alone, an even number of parts: both forms after half of them */
} mdr_stage;

/* The weight s for a loss of u of the liquor; 1 - u/3 when small, 1/u when large, s u < 1. Into
 * many modes: found best among several that do (docs/methods/exhaust.md#steps). */
static inline double mdr_stage_weight(double u)
{
    return (1.0 + u) / (1.0 + (4.0 / 3.0 + u) * u);
}

/* Into one store, such as the bath: 1 + 1/u - coth u = 1 - L(u), which is exact. L by its continued fraction
 * u/(3 + u^2/(5 + u^2/(7 + ...))) cut after the seventh, which is above L by less than 3e-5 up to `far`;
 * beyond, coth u is 1 within 4e-5; by its series, to 1e-11, below `near`. Each way s u < 1. */
static inline double mdr_stage_weight_one(double u)
{
    const double near = 0.02, far = 5.5;
    const double q = u * u;
    if (u < near) {
        return 1.0 - u * (1.0 / 3.0 - q * (1.0 / 45.0));
    }
    return u < far ? 1.0 - u * (675675.0 + q * (45045.0 + q * (594.0 + q))) /
                               (2027025.0 + q * (270270.0 + q * (6930.0 + q * 36.0)))
                   : 1.0 / u;
}

/* Two times that differ by less are one: doses and moments that should meet may miss each other by
 * the last digits. Minutes. */
#define MDR_DYEING_HAIR_MIN 1e-7

/* Course of the bath. `piece` is the index of the moment before. */
int mdr_course_piece(const mdr_dyeing_in *in, double t_min, int guess);
mdr_dyeing_moment mdr_course_at(const mdr_dyeing_in *in, int piece, double t_min);
/* mol/L */
double mdr_course_sodium(const mdr_dyeing_in *in, int piece, double t_min);
double mdr_course_liquor_l(const mdr_dyeing_in *in, int piece, double t_min);
/* How far into the piece, 0 .. 1. */
double mdr_course_part(const mdr_dyeing_in *in, int piece, double t_min);
/* kg of dose i that is in at t. */
double mdr_course_given_kg(const mdr_dyeing_dose *dose, double t_min);
bool mdr_course_at_once(const mdr_dyeing_dose *dose);
/* Next moment, begin or end or portion of a dose, more than a hair after t. */
double mdr_course_next_min(const mdr_dyeing_in *in, double t_min);

/* mdr_dyeing_run by one of the two: on any processor; on one with AVX2, and only where mdr_dyeing_has_wide. */
mdr_code mdr_dyeing_run_base(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                             mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_dyeing_run_wide(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                             mdr_err *err) MDR_MUST_CHECK;
bool mdr_dyeing_has_wide(void);

mdr_code mdr_dyeing_check(const mdr_dyeing_in *in, mdr_err *err) MDR_MUST_CHECK;

#endif
