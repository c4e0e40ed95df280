/* A jet whose dose or salt is varied, and what is asked of its runs. */
#ifndef DYEING_JET_H
#define DYEING_JET_H

#include "dyeing_kit.h"
#include "dyeing_run.h"

/* Dye over `dose_min` into the salt bath of a jet at 8 L/kg, 60 degC; 60 min in all. */
static mdr_dyeing_moment course[4];
static mdr_dyeing_dose dose;
static mdr_dye_rates dye;
static inline mdr_dyeing_in jet(double dose_min)
{
    dye = kit_direct();
    course[0] =
        (mdr_dyeing_moment){.temp_c = 60, .liquor_l = 1600, .sodium_mol_per_l = 0.3, .ph = 7};
    course[1] = course[0];
    course[1].t_min = 60;
    dose = (mdr_dyeing_dose){.minutes = dose_min, .kg = 3, .exponent = 1};
    return (mdr_dyeing_in){.dyes = &dye,
                           .course = course,
                           .doses = &dose,
                           .rope = kit_rope(),
                           .sample_min = 1,
                           .n_dyes = 1,
                           .n_moments = 2,
                           .n_doses = 1,
                           .slices = 25};
}

/* Difference along the rope as part of the dye of the whole programme, at its largest. */
static inline double unlevel(const mdr_dyeing *d)
{
    double m = 0;
    for (int s = 0; s < d->n_samples; s++) {
        m = fmax(m, d->spread[s] * d->on_fibre[s]);
    }
    return m;
}

/* Slope of the error over two halvings or more. */
static inline void order(const char *what, const double *error, int n, double factor, double least)
{
    const double got = log(error[0] / error[n - 1]) / ((n - 1) * log(factor));
    if (!(got > least)) {
        fail_msg("%s: order %.2f, wanted %.2f (errors %g .. %g)", what, got, least, error[0],
                 error[n - 1]);
    }
}

#endif
