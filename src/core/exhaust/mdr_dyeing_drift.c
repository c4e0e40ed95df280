#include <math.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing_four.h"
#include "core/exhaust/mdr_dyeing_parts.h"

/* E, 1 - E, phi1 and phi2 of x = L dt, and 1/x. */
typedef struct weights {
    four end, lost, phi1, phi2, inverse;
} weights;

static const double SERIES_BELOW = 0.03; /* where the quotients begin to lose digits */

/* Sum of (-x)^k / (k + 2)!, to the last digit. */
static four series(four x)
{
    static const double OVER[] = {1.0 / 2, 1.0 / 3, 1.0 / 4, 1.0 / 5, 1.0 / 6, 1.0 / 7, 1.0 / 8};
    four phi2 = ALL(0.0);
    for (int k = 6; k >= 0; k--) {
        phi2 = OVER[k] * (1.0 - x * phi2);
    }
    return phi2;
}

/* `end` is exp(-x). */
static weights weights_of(four x, four end)
{
    const four_bits little = x < ALL(SERIES_BELOW);
    const four inverse = 1.0 / x;
    const four lost = 1.0 - end, phi1 = lost * inverse, phi2 = (1.0 - phi1) * inverse;
    if ((little[0] | little[1] | little[2] | little[3]) == 0) {
        return (weights){end, lost, phi1, phi2, inverse};
    }
    const four near = series(x), near1 = 1.0 - x * near;
    return (weights){four_if(little, 1.0 - x * near1, end), four_if(little, x * near1, lost),
                     four_if(little, near1, phi1), four_if(little, near, phi2), inverse};
}

/* Four modes of one form: their share of the tables, and by the way what leaves them: of a0, of d, of c1.
 * `fill`: part of their own rate that is diffusion. */
static void modes_of(mdr_modes *m, int p, const weights *w, four in, four fill, four leaves[3])
{
    const four d = w->phi1 - w->phi2;
    leaves[0] = w->lost;
    leaves[1] = in * (0.5 - d);
    leaves[2] = in * (0.5 - w->phi2);
    AT(m->keep + p) = w->end;
    AT(m->back + p) = fill * leaves[0];
    AT(m->from_d + p) = in * d;
    AT(m->from_c1 + p) = in * w->phi2;
    const four loss_d = 0.5 * in - fill * leaves[1], loss_c1 = 0.5 * in - fill * leaves[2];
    m->loss_d += SUM(loss_d);
    m->loss_c1 += SUM(loss_c1);
}

double mdr_drift_lost(double x)
{
    /* in the bath, for every slice that passes: by its series, to the last digit */
    static const double NEAR = 0.01;
    return x < NEAR
               ? x * (1.0 -
                      x / 2.0 *
                          (1.0 - x / 3.0 * (1.0 - x / 4.0 * (1.0 - x / 5.0 * (1.0 - x / 6.0)))))
               : -expm1(-x);
}

/* Four modes from p on; those behind the last weigh nothing. */
static void heat_four(const mdr_cylinder *fibre, int p, double dt_min, double diffusion_per_min,
                      bool turns, mdr_drift_heat *out)
{
    four rate = ALL(1.0), weight = ALL(0.0), leaves[3];
    for (int k = 0; k < FOUR && p + k < fibre->modes; k++) {
        rate[k] = fibre->rate[p + k];
        weight[k] = fibre->weight[p + k];
    }
    const four fill = rate * diffusion_per_min, in = fill * weight * dt_min;
    const four x = fill * dt_min, keep = four_exp_less(x);
    AT(out->fill + p) = fill;
    AT(out->in + p) = in;
    AT(out->keep + p) = keep;
    if (turns) {
        const weights h = weights_of(x, keep);
        modes_of(&out->hydrolysed, p, &h, in, ALL(1.0), leaves);
        AT(out->turn_stays + p) = leaves[0] * h.inverse;
    }
}

void mdr_drift_heat_make(const mdr_dye_rates *dye, const mdr_dye_rates_at *heated,
                         const mdr_cylinder *fibre, double dt_min, double pace, mdr_drift_heat *out)
{
    out->rates = *heated;
    out->hydrolysed.loss_d = out->hydrolysed.loss_c1 = 0.0;
    for (int p = 0; p < fibre->modes; p += FOUR) {
        heat_four(fibre, p, dt_min, heated->diffusion_per_min * pace, dye->hydrolysis_per_min > 0.0,
                  out);
    }
}

/* `stays`: part of a mode that no reaction takes in the step. */
static void make_four(const mdr_dye_rates_at *rates, const mdr_drift_heat *heat, int p,
                      double stays, mdr_drift *out)
{
    const double fix = rates->fix_per_min, turn = rates->fibre_hydrolysis_per_min;
    const double dt_min = out->dt_min;
    const four fill = OF(heat->fill + p), in = OF(heat->in + p);
    const four keep = OF(heat->keep + p) * stays;
    const weights w = weights_of((fill + (fix + turn)) * dt_min,
                                 four_if(keep > ALL(FOUR_LEAST), keep, ALL(FOUR_LEAST)));
    const four part = w.inverse * dt_min; /* over the whole rate of a mode */
    const four fixes = part * fix, turns = part * turn;
    four leaves[3];
    modes_of(&out->active, p, &w, in, fill * part, leaves);
    AT(out->fix + p) = fixes * leaves[0];
    out->fix_d += SUM(fixes * leaves[1]);
    out->fix_c1 += SUM(fixes * leaves[2]);
    AT(out->turn + p) = turns * leaves[0];
    AT(out->turn_d + p) = turns * leaves[1];
    AT(out->turn_c1 + p) = turns * leaves[2];
    if (out->turns) {
        AT(out->hydrolysed.keep + p) = OF(heat->hydrolysed.keep + p);
        AT(out->hydrolysed.back + p) = OF(heat->hydrolysed.back + p);
        AT(out->hydrolysed.from_d + p) = OF(heat->hydrolysed.from_d + p);
        AT(out->hydrolysed.from_c1 + p) = OF(heat->hydrolysed.from_c1 + p);
        AT(out->turn_stays + p) = OF(heat->turn_stays + p);
    }
}

void mdr_drift_make(const mdr_dye_rates *dye, const mdr_dye_rates_at *rates,
                    const mdr_drift_heat *heat, int modes, double dt_min, mdr_drift *out)
{
    out->dt_min = dt_min;
    out->hydrolysis = rates->hydrolysis_per_min * dt_min;
    out->affinity_l_per_kg = rates->affinity * MDR_DONNAN_COTTON_L_PER_KG;
    out->hydrolysed_affinity_l_per_kg = rates->hydrolysed_affinity * MDR_DONNAN_COTTON_L_PER_KG;
    out->charge = dye->charge;
    out->whole_charge = dye->charge == (int)dye->charge ? (int)dye->charge : 0;
    out->modes = modes;
    out->fixes = dye->fix_per_min > 0.0;
    out->turns = dye->hydrolysis_per_min > 0.0;
    out->turns_inside = rates->fibre_hydrolysis_per_min > 0.0;
    out->active.loss_d = out->active.loss_c1 = 0.0;
    out->hydrolysed.loss_d = heat->hydrolysed.loss_d;
    out->hydrolysed.loss_c1 = heat->hydrolysed.loss_c1;
    out->fix_d = out->fix_c1 = 0.0;
    const double stays = exp(-(rates->fix_per_min + rates->fibre_hydrolysis_per_min) * dt_min);
    for (int p = 0; p < modes; p += FOUR) {
        make_four(rates, heat, p, stays, out);
    }
}
