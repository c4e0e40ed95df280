/*
 * mdr_measured.h - the sample of a lot as it was measured at a shade check, beside its standard.
 *
 * What is computed: both colours, the difference and its parts, for the operator (is it right) and for
 * the correction of the recipe (core/recipe/mdr_correct.h). Both curves go into the record whole, so
 * that a report can be reckoned again when the laboratory has long measured a new standard.
 *
 * Layer: core/run (pure). Methods: docs/methods/hold-points.md#shade
 * Sources (keys of docs/sources.md): [cie-15] CIELAB, [iso-105-j03] the difference. Which light and
 * which weights: what tolerances of shades are stated in (core/plan/mdr_records.h).
 * Symbols: reflectance factor as a fraction; dE by CMC(2:1).
 */
#ifndef MDR_MEASURED_H
#define MDR_MEASURED_H

#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_spectrum.h"

#define MDR_MEASURED_CAPTION "D65, 10 degree observer, CMC(2:1)"

/* Texts are "" when there is none. */
typedef struct mdr_measured {
    const char *sample_id;   /* of the laboratory; "": came with the reading */
    const char *name;        /* of the sample, in the laboratory or in its file */
    const char *substrate;   /* whose ladders its dyes are to be judged by; "": not said */
    const char *standard_id; /* sample of the laboratory */
    const mdr_spectrum *sample, *standard;
    mdr_specular
        specular; /* of both: one that sees the gloss is not held against one that does not */
} mdr_measured;

typedef struct mdr_measured_look {
    mdr_curve standard_curve, sample_curve;
    mdr_lab standard, sample;
    mdr_difference difference; /* sample - standard */
} mdr_measured_look;

/* Total: both spectra were checked when they were made (mdr_spectrum_make). */
mdr_measured_look mdr_measured_see(const mdr_measured *m);

#endif
