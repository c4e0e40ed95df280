/*
 * mdr_dyeing_stage.h - a step of one slice and dye, alone or in the zone; for the files of this folder only.
 *
 * Layer: core/exhaust (pure, total). Methods: docs/methods/exhaust.md#steps
 *
 * In a header, because it is done some hundred thousand times a dyeing: as calls it took a quarter longer.
 * In the zone in the order begin, active, hydrolysed; partition, hydrolysed_partition and swap are set before. The
 * bath's mean concentration comes from the caller, who may solve for it in between.
 */
#ifndef MDR_DYEING_STAGE_H
#define MDR_DYEING_STAGE_H

#include "core/exhaust/mdr_dyeing_four.h"
#include "core/exhaust/mdr_dyeing_parts.h"

/* At the end of the step, in the liquor. */
static inline double mdr_stage_end(const mdr_stage *g, double bath_mol_per_l)
{
    return (g->has + g->swap * bath_mol_per_l) * g->per;
}

/* The line of the liquor, from what it would lose at d and at c1, both over R. */
static inline void line_of(mdr_stage *g, double c0, double loss_d, double loss_c1,
                           double held_l_per_kg)
{
    g->c0 = c0;
    const double u = loss_d / held_l_per_kg;
    g->s = g->swap > 0.0 ? mdr_stage_weight_one(u) : mdr_stage_weight(u);
    g->has = c0 * (held_l_per_kg - g->s * loss_d);
    g->per = 1.0 / (held_l_per_kg + loss_c1 + (1.0 - g->s) * loss_d);
}

static inline void mdr_stage_begin(mdr_stage *g, const mdr_drift *t, const double *store,
                                   double held_l_per_kg)
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
static inline double turned(const mdr_stage *g, const mdr_drift *t, double *store, double d,
                            double c1)
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
static inline double move_active(const mdr_drift *t, double *a, double kd, double kc)
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

static inline void mdr_stage_active(mdr_stage *g, const mdr_drift *t, double *store,
                                    double held_l_per_kg, double bath_mol_per_l)
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

static inline void mdr_stage_hydrolysed(const mdr_stage *g, const mdr_drift *t, double *store,
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

static inline line line_alone(double loss_d, double loss_c1, double held_l_per_kg)
{
    const double s = mdr_stage_weight(loss_d / held_l_per_kg);
    return (line){s, held_l_per_kg - s * loss_d,
                  1.0 / (held_l_per_kg + loss_c1 + (1.0 - s) * loss_d)};
}

/* No hydrolysis in the fibre, and the usual number of modes. */
static inline void four_modes(mdr_stage *g, const mdr_drift *t, double *store, double held_l_per_kg,
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

/* `parts` steps of a slice alone, partition and hydrolysed_partition of `g` set. The same as the three above
 * with no swap, in one go. */
static inline void mdr_stage_alone(mdr_stage *g, const mdr_drift *t, double *store,
                                   double held_l_per_kg, int parts)
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

#endif
