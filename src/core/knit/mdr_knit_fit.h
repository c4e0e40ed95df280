/*
 * mdr_knit_fit.h - the mill's own knit constants from washed samples, with their uncertainty.
 *
 * Layer: core/knit (pure). All samples of one fit: one construction, one way of finishing, one
 * state. Three is usual; they may differ in yarn and loop length.
 * Methods: docs/methods/knit.md#constants-from-washed-samples
 *
 * Conventions as in mdr_knit.h: loop of one needle loop, counts on one face, g/m2 conditioned.
 *
 * Sources (keys of docs/sources.md)
 *   [student-t]         95 % interval of a mean, two-sided
 *   [dixon-q]           outlier, 3 to 10 values: gap/range, two-sided 95 %
 *   [modified-z]        outlier, 11 and more: 0.6745 |x - median| / MAD > 3.5
 */
#ifndef MDR_KNIT_FIT_H
#define MDR_KNIT_FIT_H

#include "core/knit/mdr_knit.h"

enum { MDR_KNIT_SAMPLES_MIN = 2, MDR_KNIT_SAMPLES_MAX = 31 };

typedef struct mdr_knit_sample {
    double loop_cm; /* unroved from the sample, or as knitted */
    mdr_tex yarn;
    double courses_per_cm, wales_per_cm; /* one face, after washing and conditioning */
    double gsm;                          /* after washing and conditioning, elastane taken off */
} mdr_knit_sample;

typedef struct mdr_knit_stat {
    double mean, sd, se; /* sd of the samples (n - 1), se of the mean */
    double low, high;    /* 95 % interval of the mean */
    double cv_pct;
    int outlier; /* index of the sample that does not seem to belong, or -1: look at it again */
} mdr_knit_stat;

typedef struct mdr_knit_fit {
    int n;
    mdr_knit_stat kc_cm, kw_cm, ks_eff;
    mdr_knit_stat gsm_factor; /* measured g/m2 / beds S l tex/10; 1: the counts explain the g/m2 */
} mdr_knit_fit;

/*
 *   samples  n of them, MDR_KNIT_SAMPLES_MIN .. _MAX
 *   beds     1 or 2, as mdr_knit_constants.beds
 *   outlier  a value is called out when the test says so AND it lies at least 2 % of the mean from
 *            its neighbour (n <= 10) or the median: nearer is the reading error of counting.
 *            With three samples the test is weak and calls out only near-twins with a stranger.
 *   errors   MDR_E_ARG   n or beds outside (place "samples", "beds")
 *            MDR_E_RANGE a field not finite or outside loop_cm (0.05 .. 2), tex (1 .. 500), counts
 *                        (1 .. 100 per cm), gsm (10 .. 2000); place "samples[i].field"
 */
mdr_code mdr_knit_fit_samples(const mdr_knit_sample *samples, int n, double beds, mdr_knit_fit *out,
                              mdr_err *err) MDR_MUST_CHECK;

/* The constants to go on with: mean kc and kw, and the gsm_factor that gives the mean ks_eff. */
mdr_knit_constants mdr_knit_fit_constants(const mdr_knit_fit *fit, double beds);

/* Two-sided 95 % point of Student's t for df 1 .. 30; any other df stops the program. */
double mdr_knit_t95(int df);

#endif
