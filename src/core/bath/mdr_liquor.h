/*
 * mdr_liquor.h - the liquor balance of a bath, and what rinsing leaves behind.
 *
 * Layer: core/bath (pure). Volumes in L, 1 L of liquor counts as 1 kg.
 * Methods: docs/methods/liquor.md
 */
#ifndef MDR_LIQUOR_H
#define MDR_LIQUOR_H

/* Liquor that the ratio asks for, L. */
double mdr_liquor_wanted_l(double load_kg, double ratio_l_per_kg);
/* The ratio that a volume really is, L/kg; load_kg > 0. */
double mdr_liquor_ratio_l_per_kg(double liquor_l, double load_kg);
/* Liquor the drained rope keeps, L. */
double mdr_liquor_retained_l(double load_kg, double retained_l_per_kg);
/* Fresh water to let in so that, after all additions, the wanted volume is there. NEGATIVE when
 * carried liquor and additions alone are more than that: the caller must say so. */
double mdr_liquor_fresh_fill_l(double wanted_l, double carried_l, double additions_l);

/* Part of what was dissolved that stays when the bath is drained down to `retained_l`;
 * 0 <= retained_l <= liquor_l, liquor_l > 0. Ideal mixing. */
double mdr_liquor_drain_kept(double retained_l, double liquor_l);
/* Part that is left in the bath after an overflow rinse at constant volume, ideally mixed:
 * exp(-flow t/V). */
double mdr_liquor_overflow_kept(double flow_l_per_min, double minutes, double liquor_l);
/* Part left after `rinses` fill-and-drain rinses: (R/LR)^n; 0 < R < LR. */
double mdr_liquor_rinses_kept(double retained_l_per_kg, double ratio_l_per_kg, double rinses);
/* Rinses (not rounded) until only `kept` in (0, 1] is left; inverse of the above. */
double mdr_liquor_rinses_needed(double retained_l_per_kg, double ratio_l_per_kg, double kept);

#endif
