/*
 * mdr_cylinder.h - diffusion into a round fibre as a sum of modes, each a first-order store.
 *
 * Layer: core/exhaust (pure, total). Methods: docs/methods/exhaust.md#diffusion
 *
 * Symbols: D diffusion coefficient over radius squared, 1/min; q_p zeros of J0; mode p holds the
 * part w_p = 4/q_p^2 of the fibre and fills at the rate q_p^2 D. After P - 1 of them the last
 * mode takes the rest of the weight; its rate makes the mean filling time of all modes together
 * that of the cylinder, 1/(8 D), so what is cut off is felt only in the first moments.
 * With a reaction of first order inside the fibre each mode loses at that rate as well
 * (Danckwerts); linear diffusion with a constant coefficient is then exact as P grows.
 *
 * Sources (keys of docs/sources.md): [crank] series, stirred bath of limited volume;
 * [danckwerts-1951] diffusion with reaction; [dlmf] zeros of J0.
 */
#ifndef MDR_CYLINDER_H
#define MDR_CYLINDER_H

enum { MDR_CYLINDER_MODES_MAX = 12 };

typedef struct mdr_cylinder {
    double weight[MDR_CYLINDER_MODES_MAX]; /* sum 1 */
    double rate[MDR_CYLINDER_MODES_MAX];   /* of D, rising */
    int modes;
} mdr_cylinder;

/* modes in 1 .. MDR_CYLINDER_MODES_MAX, the last of them holding the rest. */
mdr_cylinder mdr_cylinder_of(int modes);
/* q_p, p from 1 to MDR_CYLINDER_MODES_MAX. */
double mdr_cylinder_zero(int p);
/* Part of the final uptake at tau = D t >= 0 from a bath that does not change. */
double mdr_cylinder_uptake(const mdr_cylinder *c, double tau);

#endif
