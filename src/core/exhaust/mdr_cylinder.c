#include "core/exhaust/mdr_cylinder.h"

#include <math.h>

/* Zeros of J0, [dlmf] 10.21; computed, the test finds them again. */
static const double ZERO[MDR_CYLINDER_MODES_MAX] = {
    2.404825557695773, 5.520078110286311, 8.653727912911012, 11.79153443901428,
    14.93091770848779, 18.07106396791092, 21.21163662987926, 24.35247153074930,
    27.49347913204025, 30.63460646843198, 33.77582021357357, 36.91709835366404};

/* sum of 4/q^2 over all zeros is 1, and of 4/q^4 is 1/8: Rayleigh's sums, [crank] */
static const double MEAN_TIME = 0.125;

double mdr_cylinder_zero(int p)
{
    return ZERO[p - 1];
}

mdr_cylinder mdr_cylinder_of(int modes)
{
    mdr_cylinder c = {.modes = modes};
    double weight = 1.0, time = MEAN_TIME;
    for (int p = 0; p + 1 < modes; p++) {
        c.rate[p] = ZERO[p] * ZERO[p];
        c.weight[p] = 4.0 / c.rate[p];
        weight -= c.weight[p];
        time -= c.weight[p] / c.rate[p];
    }
    c.weight[modes - 1] = weight;
    c.rate[modes - 1] = weight / time;
    return c;
}

double mdr_cylinder_uptake(const mdr_cylinder *c, double tau)
{
    double part = 0.0;
    for (int p = 0; p < c->modes; p++) {
        part -= c->weight[p] * expm1(-c->rate[p] * tau);
    }
    return part;
}
