/*
 * mdr_readings.h - the mean of several readings of one cloth, how far they scatter, and which one
 * does not belong.
 *
 * The mean is taken of the reflectances, wavelength by wavelength. Nothing is dropped: a reading that
 * stands apart is named, and the mean without it stands beside the mean, for the user to choose.
 *
 * Layer: core/colour (pure). Methods: docs/methods/colour.md#readings
 *
 * Outlier: its distance d (CIELAB) from the mean of the other n - 1 readings, against their own
 * scatter, t = d sqrt((n-1)/n) / sqrt(S/(n-2)), S the sum of their squared distances from their
 * mean. Named when t is above Student's t at 5 %/n, two-sided, n - 2 degrees of freedom, and d above
 * MDR_READINGS_NOISE_DE. Under three readings there is nothing to tell.
 *
 * Source (key of docs/sources.md): [student-t]
 */
#ifndef MDR_READINGS_H
#define MDR_READINGS_H

#include "core/colour/mdr_difference.h"

enum { MDR_READINGS_MAX = 1000 };
#define MDR_READINGS_NOISE_DE 0.1 /* common practice: repeatability of an instrument on cloth */

typedef struct mdr_reading {
    const mdr_spectrum *spectrum;
    mdr_specular specular;
} mdr_reading;

typedef struct mdr_readings {
    mdr_spectrum mean;
    mdr_specular specular; /* of all of them */
    int n;
    mdr_lab lab;                      /* of the mean, under the light asked for */
    double sd_l, sd_a, sd_b;          /* standard deviations of one reading; 0 for n = 1 */
    double mean_de, worst_de;         /* distance of the readings from the mean, by the formula */
    const double *de;                 /* n of them */
    double pair_de;                   /* the two furthest apart; 0 for n = 1 */
    int pair_first, pair_second;      /* their places, from 0 */
    int outlier;                      /* its place, or -1 */
    double outlier_de, outlier_t;     /* CIELAB distance from the mean of the others, and t */
    const mdr_spectrum *mean_without; /* NULL without an outlier */
} mdr_readings;

typedef struct mdr_reading_light {
    mdr_illuminant illuminant;
    mdr_observer observer;
    mdr_difference_spec spec;
} mdr_reading_light;

/*
 * errors  MDR_E_RANGE: "n" outside 1 .. 1000, or a spectrum that fails mdr_spectrum_check (place
 *         "readings[i].v[k]"); MDR_E_CONFLICT: "readings[i]" on other wavelengths than the first,
 *         "readings[i].specular" another than the first's; MDR_E_NOMEM
 * cost    O(n^2) differences
 */
mdr_code mdr_readings_of(const mdr_reading *readings, int n, const mdr_reading_light *light,
                         mdr_arena *arena, const mdr_readings **out, mdr_err *err) MDR_MUST_CHECK;

#endif
