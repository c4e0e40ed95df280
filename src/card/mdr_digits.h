/*
 * mdr_digits.h - numbers as the documents print them: with a point in every locale, with as many
 * digits as a scale or an eye can use.
 *
 * Layer: card. Total functions: always terminate `out`; a value that is not finite or beyond
 * 1e15 becomes a dash, so that it is seen. Buffers of MDR_DIGITS_MAX hold every result.
 */
#ifndef MDR_DIGITS_H
#define MDR_DIGITS_H

enum { MDR_DIGITS_MAX = 48 };

/* "1234.50"; 0 <= decimals <= 6; halves away from zero; no "-0". */
void mdr_digits_fixed(char out[MDR_DIGITS_MAX], double value, int decimals);
/* As fixed with `most` decimals, then without the zeros behind, down to `least` decimals. */
void mdr_digits_trim(char out[MDR_DIGITS_MAX], double value, int least, int most);
/* Whole number in groups of three from five digits on: "9850", "12 400" (narrow no-break space). */
void mdr_digits_whole(char out[MDR_DIGITS_MAX], double value);
/* What a scale is to show: from 10 kg "41.90 kg", from 1 kg "4.190 kg", below "419.0 g",
 * below 1 g "0.419 g". */
void mdr_digits_mass(char out[MDR_DIGITS_MAX], double mass_kg);
/* The same to read, not to weigh by: "320 kg", "8 kg", "28.7 kg", "12.1 g". */
void mdr_digits_mass_brief(char out[MDR_DIGITS_MAX], double mass_kg);
/* From 100 L "1250 L", from 10 L "12.5 L", from 1 L "1.25 L", below "250 mL". */
void mdr_digits_volume(char out[MDR_DIGITS_MAX], double volume_l);
/* Minutes from the start as "h:mm", to the nearest minute: 75.4 is "1:15". */
void mdr_digits_clock(char out[MDR_DIGITS_MAX], double time_min);
/* "9 h 42 min", "42 min". */
void mdr_digits_span(char out[MDR_DIGITS_MAX], double time_min);
/* UTC day of a time stamp: "2026-11-30"; "" for 0 (no date). */
void mdr_digits_day(char out[MDR_DIGITS_MAX], long long utc_ms);

#endif
