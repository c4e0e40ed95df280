/*
 * mdr_washoff.h - dye that lies in the fibre without being bound to it, and how hot baths take it
 * out.
 *
 * After a reactive dyeing hydrolysed dye is left in the fibre; what is not soaped out bleeds in
 * the customer's wash. Rinsing thins the liquor, but this dye comes off at its own pace.
 *
 * AN ESTIMATE: one loose dye, taken out by the first order, one point of the curve assumed and its
 * slope printed. To be calibrated by what a mill measures in its soap baths before it is trusted
 * for more than "one bath more or less". NOT modelled: dye that goes back onto the fibre from a
 * strong soap bath, so a very short ratio looks better here than it is; and fixed dye whose bond
 * breaks, as in alkaline soaping.
 *
 * Layer: core/bath (pure). Dye in mg per kg of fabric, wherever it is.
 * Methods: docs/methods/rinsing.md#loose-dye
 *
 * Sources (keys of docs/sources.md)
 *   [hot-rinse-page]   95 C takes out 30 % more than 75 C in 10 min
 *   [soaping-stages]   five baths at 2 % on weight of fibre, six at 5 %: the check
 *   [common-practice]  half of it in 10 min at 95 C; electrolyte hinders; the usual baths
 */
#ifndef MDR_WASHOFF_H
#define MDR_WASHOFF_H

/* Loose dye on the fibre that counts as washed off. Invented: no
 * source gives a limit in mg/kg; replace it by what passes the mill's own bleed test. */
#define MDR_WASHOFF_TARGET_MG_PER_KG 150.0

/*
 * Rate of coming off, 1/min. Half of the loose dye leaves in 10 min at 95 C in soft water
 * (common practice), 1.3 times less at 75 C; between and beyond by Arrhenius through these two.
 * Electrolyte divides it by 1 + c / 2 g/L (common practice): half the rate at 2 g/L.
 *   temp_c  the two points span 75 .. 95; the formula is used from 20 to 130 as extrapolation
 *   electrolyte_g_per_l  >= 0, salt and alkali of the bath together
 */
double mdr_washoff_rate_per_min(double temp_c, double electrolyte_g_per_l);
/* Part of the loose dye still on the fibre, exp(-rate x minutes); minutes >= 0. */
double mdr_washoff_left(double rate_per_min, double minutes);

/* Equal baths until no more than the target is left ON THE FIBRE, a whole number; 0 when there is
 * no more to begin with. target and minutes > 0. What the liquor carries is
 * not in it. A target met but for a hair (1e-9 of a bath) is not another bath. */
double mdr_washoff_baths_needed(double loose_mg_per_kg, double target_mg_per_kg, double temp_c,
                                double minutes, double electrolyte_g_per_l);

/* Numbers of baths, from least to most. */
typedef struct mdr_washoff_usual_baths {
    int rinses_before_least, rinses_before_most; /* cold or warm */
    int hot_soaps_least, hot_soaps_most;         /* 90 to 95 C, 10 to 15 min each */
    int hot_rinses_after_least, hot_rinses_after_most;
} mdr_washoff_usual_baths;

/* The usual after-treatment of a reactive dyeing by depth >= 0 (common practice): below 0.5, up to
 * 2, up to 4 and above 4 % on weight of fabric. Black and turquoise need the last line whatever
 * their depth: ask for it with a depth above 4. */
mdr_washoff_usual_baths mdr_washoff_usual(double depth_pct_owf);

#endif
