/*
 * mdr_rope.h - how long the rope is and how long it takes to come round.
 *
 * Layer: core/bath (pure). All arguments > 0.
 * Methods: docs/methods/loading.md#rope-length, #rope-per-tube, #rope-cycle
 * Source: mass balance; kg, g/m2 and width must belong to the same state of the fabric (grey).
 */
#ifndef MDR_ROPE_H
#define MDR_ROPE_H

/* Length of the fabric, m; width_m is the full open width (twice the flat width of a tube). */
double mdr_rope_fabric_m(double load_kg, double gsm, double width_m);
/* Length in one tube, m, when the load is shared out equally; tubes: a whole number >= 1. */
double mdr_rope_per_tube_m(double fabric_m, double tubes);
/* Time of one turn, min. */
double mdr_rope_cycle_min(double rope_m, double speed_m_per_min);
/* Speed that gives this turn time, m/min. Inverse of the above. */
double mdr_rope_speed_m_per_min(double rope_m, double cycle_min);
/* Mass whose rope turns in this time, kg: the largest load for a given turn time. */
double mdr_rope_load_kg(double rope_m, double tubes, double gsm, double width_m);

#endif
