/*
 * mdr_dosing.h - the addition tank: how much of a dose is in at what time, how many tank loads
 * it takes, and how long the tank needs at least.
 *
 * Layer: core/bath (pure). tau = time since the dose began / its duration, in [0, 1].
 * Methods: docs/methods/time.md#dose-curves, #portions; docs/methods/amounts.md#tank-loads
 * Source: definitions. No published formula of the trade's curves is known to us; the table
 * dosing_curves that the tests use was computed from the same definitions.
 */
#ifndef MDR_DOSING_H
#define MDR_DOSING_H

/* Part of the dose given by tau when it flows in evenly. */
double mdr_dosing_linear(double tau);
/* tau^exponent: > 1 slowly first (progressive), in (0, 1) quickly first (degressive). */
double mdr_dosing_power(double tau, double exponent);
/* Flow at tau over the mean flow: exponent * tau^(exponent - 1); exponent < 1 needs tau > 0. */
double mdr_dosing_power_rate(double tau, double exponent);
/* `portions` equal portions; number i of 0 .. portions-1 is given at once at tau = i/portions, so
 * the first one at the beginning and the last one before the end. */
double mdr_dosing_portions(double tau, int portions);

/* Water that dissolves a product, L; solubility_g_per_l > 0. */
double mdr_dosing_water_l(double product_kg, double solubility_g_per_l);
/* Tank loads for this volume: the next whole number, at least 1 when there is anything to give;
 * a hair (1e-9) over a full tank is not another load. */
double mdr_dosing_tank_loads(double volume_l, double tank_l);
/* Shortest time from the first to the last drop, min: the pump's time for the volume, and every
 * load after the first must be prepared in between. */
double mdr_dosing_least_min(double volume_l, double flow_l_per_min, double loads,
                            double prepare_min);
/* Whole dose in rope cycles. */
double mdr_dosing_cycles(double minutes, double cycle_min);

#endif
