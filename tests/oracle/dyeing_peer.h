/* The dyebath on a moving rope written again for CVODE: every slice a store whose middle runs through the
 * zone, so the equations change at each entry and exit and the solver starts anew there. Modes, affinity,
 * Donnan, rates from their formulas, not from the core's steps. For the test and the benchmark. */
#ifndef DYEING_PEER_H
#define DYEING_PEER_H

#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_spgmr.h>

#include "core/exhaust/mdr_dyeing.h"

enum { PEER_C, PEER_H, PEER_F, PEER_A };

typedef struct peer {
    const mdr_dyeing_in *in;
    int modes, store, bath; /* doubles of a slice and dye; where the bath begins */
    double weight[MDR_CYLINDER_MODES_MAX], rate[MDR_CYLINDER_MODES_MAX];
    double middle_min; /* of the stretch between two changes: who is in the zone */
    long slopes;
} peer;

static inline mdr_dyeing_moment peer_at(const mdr_dyeing_in *in, double t)
{
    int i = 0;
    while (i + 2 < in->n_moments && in->course[i + 1].t_min <= t) {
        i++;
    }
    const mdr_dyeing_moment *a = &in->course[i], *b = a + 1;
    const double p = (t - a->t_min) / (b->t_min - a->t_min);
    mdr_dyeing_moment m = *a;
    m.temp_c += p * (b->temp_c - a->temp_c);
    m.liquor_l += p * (b->liquor_l - a->liquor_l);
    m.sodium_mol_per_l += p * (b->sodium_mol_per_l - a->sodium_mol_per_l);
    m.ph += p * (b->ph - a->ph);
    return m;
}

static inline double peer_heat(double ea, double temp_c)
{
    return exp(-ea / 8.314462618e-3 * (1 / (temp_c + 273.15) - 1 / 333.15));
}

/* pKw as in docs/methods/bath-ph.md */
static inline double peer_hydroxide(double temp_c, double ph)
{
    const double t = temp_c + 273.15;
    return pow(10, ph + 293.29227 + 0.1360833 * t - 10576.913 / t - 123.73158 * log10(t) -
                       6.996455e-5 * t * t);
}

static inline double peer_affinity(double kj, double h, double temp_c)
{
    const double r = 8.314462618e-3;
    return exp(kj / (r * 333.15) - h / r * (1 / (temp_c + 273.15) - 1 / 333.15));
}

static inline bool peer_in_zone(const peer *p, int slice)
{
    const double turns = p->middle_min / p->in->rope.cycle_min + (slice + 0.5) / p->in->slices;
    return turns - floor(turns) < p->in->rope.zone_fraction;
}

/* One dose, even or by power, per minute. */
static inline double peer_flow(const mdr_dyeing_dose *d, double t)
{
    const double tau = (t - d->start_min) / d->minutes;
    return tau < 0 || tau > 1 ? 0 : d->kg * d->exponent * pow(tau, d->exponent - 1) / d->minutes;
}

static int peer_slopes(double t, N_Vector state, N_Vector slope, void *user)
{
    peer *p = user;
    const mdr_dyeing_in *in = p->in;
    const double *y = N_VGetArrayPointer(state);
    double *dy = N_VGetArrayPointer(slope);
    const mdr_dyeing_moment m = peer_at(in, t);
    const double held = in->rope.held_l_per_kg, na = m.sodium_mol_per_l;
    const double free_l = m.liquor_l - held * in->rope.load_kg;
    const double slice_kg = in->rope.load_kg / in->slices;
    const double oh = peer_hydroxide(m.temp_c, m.ph), oh0 = peer_hydroxide(60, 11);
    p->slopes++;
    for (int i = 0; i < in->n_dyes; i++) {
        const mdr_dye_rates *dye = &in->dyes[i];
        const double kh =
            dye->hydrolysis_per_min * peer_heat(dye->hydrolysis_ea_kj_per_mol, m.temp_c) * oh / oh0;
        dy[p->bath + 2 * i] = -kh * y[p->bath + 2 * i];
        dy[p->bath + 2 * i + 1] = kh * y[p->bath + 2 * i];
        for (int k = 0; k < in->n_doses; k++) {
            if (in->doses[k].dye == i) {
                dy[p->bath + 2 * i] += peer_flow(&in->doses[k], t) / dye->molar_kg_per_mol;
            }
        }
    }
    for (int s = 0; s < in->slices; s++) {
        const double *ys = y + s * in->n_dyes * p->store;
        double *ds = dy + s * in->n_dyes * p->store;
        const double k = peer_in_zone(p, s) ? in->rope.exchange_per_min : 0;
        double z = 0.03; /* carboxyl groups of the cotton */
        for (int i = 0; i < in->n_dyes; i++) {
            for (int j = PEER_F; j < p->store; j++) {
                z += in->dyes[i].charge * ys[i * p->store + j];
            }
        }
        const double x = 0.5 * (z + sqrt(z * z + 4 * 0.22 * 0.22 * na * na));
        for (int i = 0; i < in->n_dyes; i++) {
            const mdr_dye_rates *dye = &in->dyes[i];
            const double *q = ys + i * p->store;
            double *d = ds + i * p->store;
            const double space = na > 0 ? pow(0.22, dye->charge + 1) * pow(na / x, dye->charge) : 0;
            const double h0 = dye->enthalpy_kj_per_mol;
            const double ka = space * peer_affinity(dye->affinity_kj_per_mol, h0, m.temp_c);
            const double kb =
                space * peer_affinity(dye->hydrolysed_affinity_kj_per_mol, h0, m.temp_c);
            const double diff =
                dye->diffusion_per_min * peer_heat(dye->diffusion_ea_kj_per_mol, m.temp_c);
            const double kf = dye->fix_per_min * peer_heat(dye->fix_ea_kj_per_mol, m.temp_c) *
                              (oh / (oh + 0.1)) / (oh0 / (oh0 + 0.1));
            const double kh = dye->hydrolysis_per_min *
                              peer_heat(dye->hydrolysis_ea_kj_per_mol, m.temp_c) * oh / oh0;
            const double c_bath = y[p->bath + 2 * i] / free_l,
                         h_bath = y[p->bath + 2 * i + 1] / free_l;
            d[PEER_C] = k * (c_bath - q[PEER_C]) - kh * q[PEER_C];
            d[PEER_H] = k * (h_bath - q[PEER_H]) + kh * q[PEER_C];
            d[PEER_F] = 0;
            dy[p->bath + 2 * i] -= slice_kg * held * k * (c_bath - q[PEER_C]);
            dy[p->bath + 2 * i + 1] -= slice_kg * held * k * (h_bath - q[PEER_H]);
            for (int j = 0; j < p->modes; j++) {
                const double *a = q + PEER_A + j, *b = a + p->modes;
                const double fill = p->rate[j] * diff;
                const double to_a = fill * (p->weight[j] * ka * q[PEER_C] - *a);
                const double to_b = fill * (p->weight[j] * kb * q[PEER_H] - *b);
                const double turns = dye->fibre_hydrolysis * kh * *a;
                d[PEER_A + j] = to_a - kf * *a - turns;
                d[PEER_A + p->modes + j] = to_b + turns;
                d[PEER_F] += kf * *a;
                d[PEER_C] -= to_a / held;
                d[PEER_H] -= to_b / held;
            }
        }
    }
    return 0;
}

/* Next time after t at which a middle enters or leaves the zone, or the course or a dose bends. */
static inline double peer_next(const mdr_dyeing_in *in, double t)
{
    double best = in->course[in->n_moments - 1].t_min;
    for (int s = 0; s < in->slices; s++) {
        for (int e = 0; e < 2; e++) {
            const double at = (e ? in->rope.zone_fraction : 0) - (s + 0.5) / in->slices;
            double when = (at + floor(t / in->rope.cycle_min - at)) * in->rope.cycle_min;
            while (when <= t + 1e-9) {
                when += in->rope.cycle_min;
            }
            best = fmin(best, when);
        }
    }
    for (int i = 0; i < in->n_moments; i++) {
        best = in->course[i].t_min > t + 1e-9 ? fmin(best, in->course[i].t_min) : best;
    }
    for (int i = 0; i < in->n_doses; i++) {
        const double ends[] = {in->doses[i].start_min,
                               in->doses[i].start_min + in->doses[i].minutes};
        for (int e = 0; e < 2; e++) {
            best = ends[e] > t + 1e-9 ? fmin(best, ends[e]) : best;
        }
    }
    return best;
}

/* Part of each dye on the fibre and fixed at the end of the course: on[dye], fixed[dye]; the fibre's dye of
 * each slice in mol/kg: map[slice][dye]. True when CVODE was content. */
static inline bool peer_run(const mdr_dyeing_in *in, double tolerance, double *on, double *fixed,
                            double *map, long *slopes)
{
    peer p = {.in = in};
    const mdr_cylinder fibre = mdr_cylinder_of(in->modes > 0 ? in->modes : MDR_DYEING_MODES_USUAL);
    p.modes = fibre.modes;
    memcpy(p.weight, fibre.weight, sizeof p.weight);
    memcpy(p.rate, fibre.rate, sizeof p.rate);
    p.store = PEER_A + 2 * p.modes;
    p.bath = in->slices * in->n_dyes * p.store;
    SUNContext context;
    if (SUNContext_Create(NULL, &context) != 0) {
        return false;
    }
    N_Vector y = N_VNew_Serial(p.bath + 2 * in->n_dyes, context);
    N_VConst(0, y);
    void *cv = CVodeCreate(CV_BDF, context);
    SUNLinearSolver solver = SUNLinSol_SPGMR(y, SUN_PREC_NONE, 30, context);
    double t = in->course[0].t_min, all = 0;
    const double end = in->course[in->n_moments - 1].t_min;
    for (int k = 0; k < in->n_doses; k++) {
        all = fmax(all, in->doses[k].kg / in->dyes[in->doses[k].dye].molar_kg_per_mol);
    }
    bool ok = CVodeInit(cv, peer_slopes, t, y) == 0 && CVodeSetUserData(cv, &p) == 0 &&
              CVodeSStolerances(cv, tolerance, tolerance * all / in->rope.load_kg) == 0 &&
              CVodeSetLinearSolver(cv, solver, NULL) == 0 && CVodeSetMaxNumSteps(cv, 200000) == 0;
    while (ok && t < end) {
        const double stop = peer_next(in, t);
        p.middle_min = 0.5 * (t + stop);
        ok = CVodeReInit(cv, t, y) == 0 && CVodeSetStopTime(cv, stop) == 0;
        while (ok && t < stop) {
            ok = CVode(cv, stop, y, &t, CV_NORMAL) >= 0;
        }
        t = stop;
    }
    const double *v = N_VGetArrayPointer(y);
    for (int i = 0; i < in->n_dyes; i++) {
        double given = 0;
        for (int k = 0; k < in->n_doses; k++) {
            given += in->doses[k].dye == i ? in->doses[k].kg / in->dyes[i].molar_kg_per_mol : 0;
        }
        on[i] = fixed[i] = 0;
        for (int s = 0; s < in->slices; s++) {
            const double *q = v + (s * in->n_dyes + i) * p.store;
            double sum = 0;
            for (int j = PEER_F; j < p.store; j++) {
                sum += q[j];
            }
            map[s * in->n_dyes + i] = sum;
            on[i] += sum * in->rope.load_kg / in->slices / given;
            fixed[i] += q[PEER_F] * in->rope.load_kg / in->slices / given;
        }
    }
    *slopes = p.slopes;
    CVodeFree(&cv);
    SUNLinSolFree(solver);
    N_VDestroy(y);
    SUNContext_Free(&context);
    return ok;
}

#endif
