/*
 * mdr_words.h - a step, an amount, a limit in the words of the documents.
 * Layer: card, internal. Every function terminates `out`; MDR_WORDS_MAX holds every result.
 */
#ifndef MDR_WORDS_H
#define MDR_WORDS_H

#include "core/plan/mdr_plan.h"

enum { MDR_WORDS_MAX = 320 };

/* "Heat to 98 °C at 2.0 °C/min", "Fill 5320 L, water at 42 °C". */
void mdr_words_step(const mdr_plan *plan, const mdr_plan_step *step, char out[MDR_WORDS_MAX]);
/* DOSE: "2 tank loads, 340 L made up with 310 L of fresh water"; "" for other steps. */
void mdr_words_tank(const mdr_plan *plan, const mdr_plan_step *step, char out[MDR_WORDS_MAX]);
/* "20 g/L", "2.0 % owf"; a share as "40 % of 20 g/L". */
void mdr_words_amount(const mdr_plan *plan, const mdr_plan_step *step, const mdr_plan_item *item,
                      char out[MDR_WORDS_MAX]);
/* "6.0 to 6.5", "at most 5 mg/L", "" when nothing is to be measured. */
void mdr_words_limits(const mdr_route_check *check, char out[MDR_WORDS_MAX]);
/* What was read, as the limits are written: "5.8", "12 mg/L", "as it should be" of a sample
 * looked at. */
void mdr_words_reading(const mdr_route_check *check, double value, char out[MDR_WORDS_MAX]);
/* "corrosive alkali" */
void mdr_words_caution(mdr_caution caution, char out[MDR_WORDS_MAX]);
/* What to wear and mind for a set of cautions: "goggles, gloves, apron"; "" for nothing. */
void mdr_words_wear(uint32_t cautions, char out[MDR_WORDS_MAX]);
/* What is predicted, "" where the plan knows nothing or nobody needs it (mdr_words_chem.c). */
/* "pH 7.2 → 10.5 ± 0.1  ·  free hardness 0 °dH": filled, and before the drain. */
void mdr_words_bath(const mdr_plan *plan, const mdr_plan_bath *bath, char out[MDR_WORDS_MAX]);
/* CHECK: "Expect 11.0 ± 0.1 on the sample cooled to 25 °C". */
void mdr_words_expected(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *step,
                        char out[MDR_WORDS_MAX]);
/* After a step: "pH 10.3 ± 0.1 at its end  ·  3.1 g/L of dithionite in reserve". */
void mdr_words_after(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *step,
                     char out[MDR_WORDS_MAX]);
/* Share of the dose given after the part u (0..1) of its time. */
double mdr_words_dose_share(const mdr_route_step *dose, double u);

#endif
