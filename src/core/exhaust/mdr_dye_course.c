/* A programme as the course of the bath: corners where something bends, and the state at each. */
#include <math.h>

#include "core/exhaust/mdr_dye_programme.h"

static const double G_PER_KG = 1000.0;
/* Of a ramp: the pH is curved over more than this; numerical choice. */
static const double RAMP_STEP_C = 5.0;
static const double SAME_MIN = 1e-9; /* corners nearer than this are one */

enum { BEND_PARTS = 6, CURVE_PARTS = 12, CORNERS_PER_STEP = 112 };

typedef struct drawer {
    const mdr_dye_programme *p;
    mdr_ph_table *table;
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    double end_min; /* of the last step or dose */
    double *corners;
    int n;
} drawer;

static void corner(drawer *d, double t_min)
{
    if (t_min >= 0.0 && t_min <= d->end_min) {
        d->corners[d->n++] = t_min;
    }
}

/* -- corners -- */

static void corners_of_ramp(drawer *d, const mdr_dye_time *t)
{
    const double minutes = t->end_min - t->start_min;
    const double straight_min = t->straight ? minutes : t->ramp.constant_min;
    const int parts = (int)fmin(24.0, ceil(fabs(t->to_c - t->from_c) / RAMP_STEP_C));
    for (int i = 1; i <= parts; i++) {
        corner(d, t->start_min + straight_min * i / parts);
    }
    if (straight_min < minutes) {
        for (int i = 1; i < BEND_PARTS; i++) {
            corner(d, t->start_min + straight_min + (minutes - straight_min) * i / BEND_PARTS);
        }
    }
}

static void corners_of_dose(drawer *d, int step)
{
    const mdr_dye_step *s = &d->p->steps[step];
    const mdr_dye_time *t = &d->times[step];
    if (s->portions >= 2) {
        for (int i = 0; i < s->portions; i++) {
            const double at = t->start_min + s->minutes * i / s->portions;
            corner(d, at);
            corner(d, at + MDR_DYE_JUMP_MIN);
        }
        return;
    }
    const double *given = NULL;
    const int n = mdr_ph_table_nodes(d->table, step, &given);
    for (int i = 1; s->exponent != 1.0 && i < CURVE_PARTS; i++) { /* it bends by itself */
        corner(d, t->start_min + s->minutes * i / CURVE_PARTS);
    }
    for (int i = 0; i < n; i++) {
        corner(d, t->start_min + s->minutes * pow(given[i], 1.0 / s->exponent));
    }
}

static void sort_corners(drawer *d)
{
    /* nearly in order as they come: doses beside are few */
    for (int i = 1; i < d->n; i++) {
        const double t = d->corners[i];
        int k = i;
        for (; k > 0 && d->corners[k - 1] > t; k--) {
            d->corners[k] = d->corners[k - 1];
        }
        d->corners[k] = t;
    }
    int n = 0;
    for (int i = 0; i < d->n; i++) {
        if (n == 0 || d->corners[i] - d->corners[n - 1] > SAME_MIN) {
            d->corners[n++] = d->corners[i];
        }
    }
    d->n = n;
}

static void find_corners(drawer *d)
{
    corner(d, 0.0);
    for (int i = 0; i < d->p->n_steps; i++) {
        corner(d, d->times[i].start_min);
        if (d->p->steps[i].kind == MDR_DYE_DOSE) {
            corners_of_dose(d, i);
        } else if (d->p->steps[i].kind == MDR_DYE_RAMP) {
            corners_of_ramp(d, &d->times[i]);
        }
        corner(d, d->times[i].end_min);
    }
    corner(d, d->end_min);
    sort_corners(d);
}

/* -- state -- */

static double part_of(const drawer *d, int step, double t_min)
{
    const mdr_dye_time *t = &d->times[step];
    const double minutes = t->end_min - t->start_min;
    if (!(minutes > 0.0)) {
        return t_min >= t->start_min ? 1.0 : 0.0;
    }
    const double tau = fmin(1.0, fmax(0.0, (t_min - t->start_min) / minutes));
    return d->p->steps[step].kind == MDR_DYE_DOSE
               ? mdr_dye_step_given(&d->p->steps[step], tau, MDR_DYE_JUMP_MIN / minutes)
               : tau;
}

static double temp_at(const drawer *d, double t_min)
{
    double temp_c = d->p->start_c;
    for (int i = 0; i < d->p->n_steps; i++) {
        const mdr_dye_time *t = &d->times[i];
        if (d->p->steps[i].kind != MDR_DYE_RAMP || t->start_min >= t_min) {
            continue;
        }
        if (t_min >= t->end_min) {
            temp_c = t->to_c;
        } else if (t->straight) {
            temp_c = t->from_c +
                     (t->to_c - t->from_c) * (t_min - t->start_min) / (t->end_min - t->start_min);
        } else {
            temp_c = mdr_heat_ramp_temp_c(&t->ramp, t_min - t->start_min);
        }
    }
    return temp_c;
}

static void moment_at(const drawer *d, double t_min, mdr_dyeing_moment *m, double *salt_g_per_l,
                      double *alkali_g_per_l)
{
    const mdr_dye_programme *p = d->p;
    double given[MDR_DYE_STEPS_MAX];
    double sodium_mol = p->start_mol[MDR_TOTAL_NA], salt_kg = 0.0, alkali_kg = 0.0;
    *m = (mdr_dyeing_moment){.t_min = t_min, .temp_c = temp_at(d, t_min), .liquor_l = p->start_l};
    for (int i = 0; i < p->n_steps; i++) {
        const mdr_dye_step *s = &p->steps[i];
        given[i] = part_of(d, i, t_min);
        m->liquor_l += s->volume_l * given[i];
        sodium_mol += s->mol[MDR_TOTAL_NA] * s->amount * given[i];
        salt_kg += s->salt_kg * s->amount * given[i];
        alkali_kg += s->alkali_kg * s->amount * given[i];
    }
    m->sodium_mol_per_l = fmax(0.0, sodium_mol) / p->conc_l;
    m->ph = mdr_ph_table_at(d->table, p, given, m->temp_c);
    *salt_g_per_l = salt_kg * G_PER_KG / p->conc_l;
    *alkali_g_per_l = alkali_kg * G_PER_KG / p->conc_l;
}

int mdr_dye_dissolved_by(const mdr_dye_programme *p, const mdr_dye_time *times, int step)
{
    for (int i = 0; p->oxidises && i < p->n_steps; i++) {
        if (p->steps[i].reduces) {
            return times[i].start_min > times[step].start_min ? i : step;
        }
    }
    return step;
}

static int list_doses(const drawer *d, mdr_dyeing_dose *doses)
{
    int n = 0;
    for (int i = 0; i < d->p->n_steps; i++) {
        if (d->p->steps[i].kind != MDR_DYE_DOSE) {
            continue;
        }
        const int by = mdr_dye_dissolved_by(d->p, d->times, i);
        const mdr_dye_step *s = &d->p->steps[by];
        for (int k = 0; k < d->p->n_dyes; k++) {
            if (d->p->steps[i].dye_kg[k] > 0.0) {
                doses[n++] = (mdr_dyeing_dose){.dye = k,
                                               .start_min = d->times[by].start_min,
                                               .minutes = s->minutes,
                                               .kg = d->p->steps[i].dye_kg[k],
                                               .exponent = s->portions >= 2 ? 1.0 : s->exponent,
                                               .portions = s->portions};
            }
        }
    }
    return n;
}

/* Begin of the first dose of this kind that is not over before from_min; below 0: none. */
static double first_of(const drawer *d, mdr_dye_gives gives, double from_min)
{
    double first = -1.0;
    for (int i = 0; i < d->p->n_steps; i++) {
        const mdr_dye_time *t = &d->times[i];
        if (d->p->steps[i].gives == gives && d->p->steps[i].amount > 0.0 && t->end_min > from_min &&
            (first < 0.0 || t->start_min < first)) {
            first = t->start_min;
        }
    }
    return first;
}

mdr_code mdr_dye_programme_course(const mdr_dye_programme *p, mdr_ph_table *table, mdr_arena *arena,
                                  mdr_dye_course *out, mdr_err *err)
{
    MDR_TRY(mdr_dye_programme_check(p, err));
    drawer d = {.p = p, .table = table};
    const double minutes = mdr_dye_programme_times(p, d.times);
    d.end_min = minutes;
    for (int i = 0; i < p->n_steps; i++) {
        d.end_min = fmax(d.end_min, d.times[i].end_min);
    }
    const size_t room = (size_t)p->n_steps * CORNERS_PER_STEP + 2;
    d.corners = MDR_NEW_N(arena, double, room);
    mdr_dyeing_dose *doses =
        MDR_NEW_N(arena, mdr_dyeing_dose, (size_t)(p->n_steps * p->n_dyes) + 1);
    if (d.corners == NULL || doses == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the course of the bath");
    }
    find_corners(&d);
    mdr_dyeing_moment *moments = MDR_NEW_N(arena, mdr_dyeing_moment, (size_t)d.n + 1);
    double *salt = MDR_NEW_N(arena, double, 2 * (size_t)(d.n + 1));
    if (moments == NULL || salt == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the course of the bath");
    }
    double *alkali = salt + d.n + 1;
    for (int i = 0; i < d.n; i++) {
        moment_at(&d, d.corners[i], &moments[i], &salt[i], &alkali[i]);
    }
    const double dye_min = first_of(&d, MDR_GIVES_DYE, -1.0);
    moments[d.n - 1].oxidises = p->oxidises;
    *out = (mdr_dye_course){.moments = moments,
                            .n_moments = d.n,
                            .doses = doses,
                            .n_doses = list_doses(&d, doses),
                            .salt_g_per_l = salt,
                            .alkali_g_per_l = alkali,
                            .minutes = minutes,
                            .alkali_min = first_of(&d, MDR_GIVES_ALKALI, dye_min),
                            .dye_min = dye_min};
    return MDR_OK;
}
