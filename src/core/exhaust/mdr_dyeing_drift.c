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

static weights weights_of(four x)
{
    const four_bits little = x < ALL(SERIES_BELOW);
    const four near = series(x), near1 = 1.0 - x * near;
    const four inverse = 1.0 / x;
    const four end = four_if(little, 1.0 - x * near1, four_exp_less(x));
    const four lost = four_if(little, x * near1, 1.0 - end);
    const four phi1 = four_if(little, near1, lost * inverse);
    const four phi2 = four_if(little, near, (1.0 - phi1) * inverse);
    return (weights){end, lost, phi1, phi2, inverse};
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
    return -expm1(-x);
}

/* Four modes from p on; those behind the last weigh nothing. */
static void make_four(const mdr_dye_rates_at *rates, const mdr_cylinder *fibre, int p, double pace,
                      mdr_drift *out)
{
    const double fix = rates->fix_per_min, turn = rates->fibre_hydrolysis_per_min;
    const double dt_min = out->dt_min;
    four rate = ALL(1.0), weight = ALL(0.0), leaves[3];
    for (int k = 0; k < FOUR && p + k < fibre->modes; k++) {
        rate[k] = fibre->rate[p + k];
        weight[k] = fibre->weight[p + k];
    }
    const four fill = rate * (rates->diffusion_per_min * pace), in = fill * weight * dt_min;
    const weights w = weights_of((fill + (fix + turn)) * dt_min);
    const four part = w.inverse * dt_min; /* over the whole rate of a mode */
    modes_of(&out->active, p, &w, in, fill * part, leaves);
    const four fixes = part * fix, turns = part * turn;
    AT(out->fix + p) = fixes * leaves[0];
    AT(out->turn + p) = turns * leaves[0];
    AT(out->turn_d + p) = turns * leaves[1];
    AT(out->turn_c1 + p) = turns * leaves[2];
    out->fix_d += SUM(fixes * leaves[1]);
    out->fix_c1 += SUM(fixes * leaves[2]);
    if (out->turns) {
        const weights h = weights_of(fill * dt_min);
        modes_of(&out->hydrolysed, p, &h, in, ALL(1.0), leaves);
        AT(out->turn_stays + p) = leaves[0] * h.inverse;
    }
}

void mdr_drift_make(const mdr_dye_rates *dye, const mdr_dye_rates_at *rates,
                    const mdr_cylinder *fibre, double dt_min, double pace, mdr_drift *out)
{
    out->dt_min = dt_min;
    out->hydrolysis = rates->hydrolysis_per_min * dt_min;
    out->affinity_l_per_kg = rates->affinity * MDR_DONNAN_COTTON_L_PER_KG;
    out->hydrolysed_affinity_l_per_kg = rates->hydrolysed_affinity * MDR_DONNAN_COTTON_L_PER_KG;
    out->charge = dye->charge;
    out->whole_charge = dye->charge == (int)dye->charge ? (int)dye->charge : 0;
    out->modes = fibre->modes;
    out->fixes = dye->fix_per_min > 0.0;
    out->turns = dye->hydrolysis_per_min > 0.0;
    out->turns_inside = rates->fibre_hydrolysis_per_min > 0.0;
    out->active.loss_d = out->active.loss_c1 = 0.0;
    out->hydrolysed.loss_d = out->hydrolysed.loss_c1 = 0.0;
    out->fix_d = out->fix_c1 = 0.0;
    for (int p = 0; p < fibre->modes; p += FOUR) {
        make_four(rates, fibre, p, pace, out);
    }
}

double mdr_stage_weight(double u)
{
    return (1.0 + u) / (1.0 + (4.0 / 3.0 + u) * u);
}

/* 1 - L(u), L(u) = coth u - 1/u: its continued fraction u/(3 + u^2/(5 + u^2/(7 + ...))) cut after the
 * seventh, which is above L by less than 3e-5 up to FAR; beyond, coth u is 1 within 4e-5. Either way
 * s u < 1. */
double mdr_stage_weight_one(double u)
{
    static const double FAR = 5.5;
    const double q = u * u;
    return u < FAR ? 1.0 - u * (675675.0 + q * (45045.0 + q * (594.0 + q))) /
                               (2027025.0 + q * (270270.0 + q * (6930.0 + q * 36.0)))
                   : 1.0 / u;
}

double mdr_stage_end(const mdr_stage *g, double bath_mol_per_l)
{
    return (g->has + g->swap * bath_mol_per_l) * g->per;
}

/* The line of the liquor, from what it would lose at d and at c1, both over R. */
static void line_of(mdr_stage *g, double c0, double loss_d, double loss_c1, double held_l_per_kg)
{
    g->c0 = c0;
    const double u = loss_d / held_l_per_kg;
    g->s = g->swap > 0.0 ? mdr_stage_weight_one(u) : mdr_stage_weight(u);
    g->has = c0 * (held_l_per_kg - g->s * loss_d);
    g->per = 1.0 / (held_l_per_kg + loss_c1 + (1.0 - g->s) * loss_d);
}

void mdr_stage_begin(mdr_stage *g, const mdr_drift *t, const double *store, double held_l_per_kg)
{
    const double *a = store + MDR_STORE_A;
    const double other = 0.5 * (t->hydrolysis * held_l_per_kg + g->swap);
    line_of(g, store[MDR_STORE_LIQUOR], g->partition * t->active.loss_d + other,
            g->partition * t->active.loss_c1 + other, held_l_per_kg);
    if (t->modes == FOUR) {
        const four back = OF(t->active.back) * OF(a);
        g->has += SUM(back);
        return;
    }
    double back = 0.0;
    for (int p = 0; p < t->modes; p++) {
        back += t->active.back[p] * a[p];
    }
    g->has += back;
}

/* What hydrolysed dye the liquor gets in the step; that of the fibre goes into its modes first, and
 * what of it comes out again is part of the answer. */
static double turned(const mdr_stage *g, const mdr_drift *t, double *store, double d, double c1)
{
    const double *a = store + MDR_STORE_A;
    double *b = store + MDR_STORE_A + t->modes;
    double out = 0.0;
    if (t->modes == FOUR && !t->turns_inside) {
        const four back = OF(t->hydrolysed.back) * OF(b);
        AT(b) = OF(b) * OF(t->hydrolysed.keep);
        return SUM(back);
    }
    if (!t->turns_inside) {
        for (int p = 0; p < t->modes; p++) {
            out += t->hydrolysed.back[p] * b[p];
            b[p] *= t->hydrolysed.keep[p];
        }
        return out;
    }
    for (int p = 0; p < t->modes; p++) {
        const double fresh =
            t->turn[p] * a[p] + g->partition * (t->turn_d[p] * d + t->turn_c1[p] * c1);
        out += t->hydrolysed.back[p] * b[p] + (1.0 - t->turn_stays[p]) * fresh;
        b[p] = t->hydrolysed.keep[p] * b[p] + t->turn_stays[p] * fresh;
    }
    return out;
}

/* The modes of the active form through a step; what of it fixes. */
static double move_active(const mdr_drift *t, double *a, double kd, double kc)
{
    double fixed = kd * t->fix_d + kc * t->fix_c1;
    if (t->modes == FOUR) {
        const four was = OF(a), fixes = OF(t->fix) * was;
        AT(a) = OF(t->active.keep) * was + OF(t->active.from_d) * kd + OF(t->active.from_c1) * kc;
        return t->fixes ? fixed + SUM(fixes) : 0.0;
    }
    for (int p = 0; p < t->modes; p++) {
        fixed += t->fix[p] * a[p];
        a[p] = t->active.keep[p] * a[p] + t->active.from_d[p] * kd + t->active.from_c1[p] * kc;
    }
    return t->fixes ? fixed : 0.0;
}

void mdr_stage_active(mdr_stage *g, const mdr_drift *t, double *store, double held_l_per_kg,
                      double bath_mol_per_l)
{
    double *a = store + MDR_STORE_A;
    const double c1 = mdr_stage_end(g, bath_mol_per_l);
    const double d = g->s * g->c0 + (1.0 - g->s) * c1;
    const double kd = g->partition * d, kc = g->partition * c1;
    const double liquor =
        t->turns ? t->hydrolysis * held_l_per_kg * 0.5 * (d + c1) + turned(g, t, store, d, c1) : 0;
    store[MDR_STORE_FIXED] += move_active(t, a, kd, kc);
    store[MDR_STORE_LIQUOR] = c1;
    if (t->turns) {
        const double half = 0.5 * g->swap;
        line_of(g, store[MDR_STORE_HYDROLYSED],
                g->hydrolysed_partition * t->hydrolysed.loss_d + half,
                g->hydrolysed_partition * t->hydrolysed.loss_c1 + half, held_l_per_kg);
        g->has += liquor;
    }
}

void mdr_stage_hydrolysed(const mdr_stage *g, const mdr_drift *t, double *store,
                          double bath_mol_per_l)
{
    double *b = store + MDR_STORE_A + t->modes;
    const double c1 = mdr_stage_end(g, bath_mol_per_l);
    const double d = g->s * g->c0 + (1.0 - g->s) * c1;
    const double kd = g->hydrolysed_partition * d, kc = g->hydrolysed_partition * c1;
    store[MDR_STORE_HYDROLYSED] = c1;
    if (t->modes == FOUR) {
        AT(b) += OF(t->hydrolysed.from_d) * kd + OF(t->hydrolysed.from_c1) * kc;
        return;
    }
    for (int p = 0; p < t->modes; p++) {
        b[p] += t->hydrolysed.from_d[p] * kd + t->hydrolysed.from_c1[p] * kc;
    }
}

/* What does not change from part to part: c1 = (left c0 + what comes back) per. */
typedef struct line {
    double s, left, per;
} line;

static line line_alone(double loss_d, double loss_c1, double held_l_per_kg)
{
    const double s = mdr_stage_weight(loss_d / held_l_per_kg);
    return (line){s, held_l_per_kg - s * loss_d,
                  1.0 / (held_l_per_kg + loss_c1 + (1.0 - s) * loss_d)};
}

/* No hydrolysis in the fibre, and the usual number of modes. */
static void four_modes(mdr_stage *g, const mdr_drift *t, double *store, double held_l_per_kg,
                       int parts)
{
    const double half = 0.5 * t->hydrolysis * held_l_per_kg;
    const double kappa = g->partition, kappa_h = g->hydrolysed_partition;
    const line on = line_alone(kappa * t->active.loss_d + half, kappa * t->active.loss_c1 + half,
                               held_l_per_kg);
    const line off =
        line_alone(kappa_h * t->hydrolysed.loss_d, kappa_h * t->hydrolysed.loss_c1, held_l_per_kg);
    four a = OF(store + MDR_STORE_A), b = OF(store + MDR_STORE_A + FOUR);
    double c = store[MDR_STORE_LIQUOR], h = store[MDR_STORE_HYDROLYSED];
    double fixed = store[MDR_STORE_FIXED];
    for (int k = 0; k < parts; k++) {
        const four back = OF(t->active.back) * a, fix = OF(t->fix) * a;
        const double end = (c * on.left + SUM(back)) * on.per;
        const double d = on.s * c + (1.0 - on.s) * end;
        a = OF(t->active.keep) * a + OF(t->active.from_d) * (kappa * d) +
            OF(t->active.from_c1) * (kappa * end);
        fixed += SUM(fix) + kappa * (t->fix_d * d + t->fix_c1 * end);
        c = end;
        if (t->turns) {
            const four back_h = OF(t->hydrolysed.back) * b;
            const double end_h = (h * off.left + half * (d + end) + SUM(back_h)) * off.per;
            const double d_h = off.s * h + (1.0 - off.s) * end_h;
            b = OF(t->hydrolysed.keep) * b + OF(t->hydrolysed.from_d) * (kappa_h * d_h) +
                OF(t->hydrolysed.from_c1) * (kappa_h * end_h);
            h = end_h;
        }
        if (2 * (k + 1) == parts) {
            g->half_mol_per_l = c + h;
        }
    }
    store[MDR_STORE_LIQUOR] = c;
    store[MDR_STORE_HYDROLYSED] = h;
    store[MDR_STORE_FIXED] = fixed;
    AT(store + MDR_STORE_A) = a;
    AT(store + MDR_STORE_A + FOUR) = b;
}

void mdr_stage_alone(mdr_stage *g, const mdr_drift *t, double *store, double held_l_per_kg,
                     int parts)
{
    if (t->modes == FOUR && !t->turns_inside) {
        four_modes(g, t, store, held_l_per_kg, parts);
        return;
    }
    mdr_stage one = *g;
    one.swap = 0.0;
    for (int k = 0; k < parts; k++) {
        mdr_stage_begin(&one, t, store, held_l_per_kg);
        mdr_stage_active(&one, t, store, held_l_per_kg, 0.0);
        if (t->turns) {
            mdr_stage_hydrolysed(&one, t, store, 0.0);
        }
        if (2 * (k + 1) == parts) {
            g->half_mol_per_l = store[MDR_STORE_LIQUOR] + store[MDR_STORE_HYDROLYSED];
        }
    }
}
