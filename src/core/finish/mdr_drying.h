/*
 * mdr_drying.h - how fast the fabric may run: until it is dry, until the heat has set it, and no
 * faster than the machine.
 *
 * Two periods. As long as the surface is wet the fabric stays at the wet bulb of the air and all
 * heat that comes over goes into evaporation; below the critical moisture the rate falls in
 * proportion to what is left above the equilibrium moisture. Both faces are blown at.
 *
 *   N = 2 h (Ta - Twb) / r        t1 = Ls (X0 - Xc)/N
 *   t2 = Ls (Xc - Xe)/N ln((Xc - Xe)/(X1 - Xe))
 *
 * Layer: core/finish (pure).
 * Methods: docs/methods/drying.md#drying-time
 *
 * Sources (keys of docs/sources.md)
 *   [two-period-drying]  constant and falling rate; falling in proportion to water content
 *   [ashrae-psychro]     wet bulb, heat of evaporation
 *   [lumped-heating]     warming of thin fabric by hot air
 *
 * Symbols: X kg water per kg bone dry; Ls bone dry kg/m2; h W/(m2 K) of EACH face; r kJ/kg.
 * Limits: one air temperature and humidity for the whole oven; fabric thin enough to have one
 * moisture through its thickness; h is the machine's and must be fitted, see below.
 */
#ifndef MDR_DRYING_H
#define MDR_DRYING_H

#include <stdbool.h>

#include "base/mdr_err.h"

/* Moisture of cotton where the surface begins to dry out, and which it keeps in hot moist air.
 * 0.22 .. 0.30 from memory; the latter as in the worked example. */
#define MDR_DRYING_CRITICAL_KG_PER_KG    0.25
#define MDR_DRYING_EQUILIBRIUM_KG_PER_KG 0.01
/* Time until the wet fabric has reached the wet bulb, s; 2 .. 5, common practice. */
#define MDR_DRYING_ENTRY_S 3.0

typedef struct mdr_drying_in {
    double dry_gsm;
    double moisture_in_kg_per_kg, moisture_out_kg_per_kg;
    double critical_kg_per_kg, equilibrium_kg_per_kg;
    double air_c, air_kg_per_kg; /* inside the oven, as blown at the fabric */
    double pressure_pa;
    double h_w_per_m2_k; /* each face */
} mdr_drying_in;

typedef struct mdr_drying {
    double wet_bulb_c, latent_kj_per_kg;
    double rate_kg_per_m2_h; /* while the surface is wet */
    double constant_s, falling_s, total_s;
} mdr_drying;

/*
 *   dry_gsm 10 .. 2000; moistures 0 .. 5; air 40 .. 200 C, 0 .. 10 kg/kg; h 1 .. 1000
 *   critical above equilibrium; moisture_out above equilibrium and below moisture_in
 *   errors  MDR_E_RANGE; MDR_E_INFEAS: drier than this air ever makes it (place
 *           "moisture_out_kg_per_kg"), nothing to dry, or as mdr_psychro_wet_bulb_c
 */
mdr_code mdr_drying_time(const mdr_drying_in *in, mdr_drying *out, mdr_err *err) MDR_MUST_CHECK;

/* Moisture after `seconds` (0 .. 1e6) in the oven; in->moisture_out is not looked at. Inverse of
 * the above. Errors as above. */
mdr_code mdr_drying_moisture_after(const mdr_drying_in *in, double seconds, double *kg_per_kg,
                                   mdr_err *err) MDR_MUST_CHECK;

/*
 * h of this machine from one run: length of oven, speed, moisture in and out. Closed form: time
 * is inversely proportional to h. in->h_w_per_m2_k is not looked at.
 *   oven_m 0.1 .. 100, speed 0.1 .. 500; entry_s 0 .. 60, as MDR_DRYING_ENTRY_S
 *   errors  as mdr_drying_time; MDR_E_INFEAS (place "speed_m_per_min") the fabric was not in the
 *           oven for longer than entry_s; (place "h_w_per_m2_k") no dryer blows like that, 5 .. 500:
 *           something was misread
 */
mdr_code mdr_drying_fit_h(const mdr_drying_in *in, double oven_m, double speed_m_per_min,
                          double entry_s, double *h_w_per_m2_k, mdr_err *err) MDR_MUST_CHECK;

/*
 * Seconds until fabric of this moisture (staying, 0 for dry) has warmed from from_c to to_c in air
 * of in->air_c: Ls (1.34 + 4.19 X) / (2 h) ln((Ta - T0)/(Ta - T1)).
 *   uses in->dry_gsm, air_c, h_w_per_m2_k
 *   errors  MDR_E_RANGE; MDR_E_INFEAS (place "to_c"): the air is no hotter than that
 */
mdr_code mdr_drying_warm_up_s(const mdr_drying_in *in, double moisture_kg_per_kg, double from_c,
                              double to_c, double *seconds, mdr_err *err) MDR_MUST_CHECK;

/*
 * What a run takes of the oven, whatever the oven is: the water, kg per kg bone dry, that would have
 * left in the same time had the surface stayed wet, N t / Ls. Two runs through one oven take times in
 * proportion to it. 0 when nothing leaves; INFINITY when `to` is not above the equilibrium.
 *   all in kg/kg, from and to 0 .. 5, critical above equilibrium
 */
double mdr_drying_wet_kg_per_kg(double from_kg_per_kg, double to_kg_per_kg,
                                double critical_kg_per_kg, double equilibrium_kg_per_kg);
/* Moisture when a run has taken so much (0 or more): the inverse. */
double mdr_drying_left_kg_per_kg(double from_kg_per_kg, double wet_kg_per_kg,
                                 double critical_kg_per_kg, double equilibrium_kg_per_kg);

typedef struct mdr_oven {
    double length_m; /* heated */
    double speed_min_m_per_min, speed_max_m_per_min;
    double entry_s;       /* warming of the wet fabric */
    double drying_s;      /* mdr_drying.total_s; 0: it comes in dry */
    double set_warm_up_s; /* from there to the setting temperature */
    double set_dwell_s;   /* wanted AT temperature; 0: no heat setting */
} mdr_oven;

/* What keeps the fabric from running faster. */
typedef enum mdr_speed_limit {
    MDR_SPEED_MACHINE,
    MDR_SPEED_EVAPORATION,
    MDR_SPEED_DWELL
} mdr_speed_limit;

typedef struct mdr_speed {
    double evaporation_m_per_min; /* 0: does not limit, as there is nothing to dry */
    double dwell_m_per_min;       /* 0: does not limit, as nothing is to be set */
    double machine_m_per_min;
    double speed_m_per_min; /* the least of those that limit */
    mdr_speed_limit binding;
    bool below_slowest; /* the machine cannot run so slowly: dry or set in two passes */
    double warm_up_m;   /* of the oven until the fabric is at setting temperature, at this speed */
    double dwell_s;     /* at temperature, at this speed: (oven - warm-up length)/speed */
} mdr_speed;

/* Oven 0.1 .. 100 m, speeds 0.1 .. 500 m/min with the least below the most, times 0 .. 3600 s;
 * MDR_E_RANGE. Setting wants the fabric dry first: its clock starts when warming is over. */
mdr_code mdr_drying_speed(const mdr_oven *oven, mdr_speed *out, mdr_err *err) MDR_MUST_CHECK;

#endif
