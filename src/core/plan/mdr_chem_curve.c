#include "core/plan/mdr_chem_curve.h"

#include <math.h>

#include "core/bath/mdr_dosing.h"
#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_peroxide.h"

enum { DOSE_PARTS = 12, RAMP_PARTS = 6, POINTS_PER_STEP = DOSE_PARTS + 1 };

static const double G_PER_KG = 1000.0;

typedef struct tracer {
    const mdr_plan *plan;
    const mdr_plan_bath *bath;
    mdr_chem_curve *out;
    double peroxide_min; /* equivalent minutes since the peroxide of this bath was given */
    bool peroxide_runs;
    double dithionite_g_per_l; /* at the end of the step before */
} tracer;

static double value(const tracer *t, mdr_fig_id id)
{
    return mdr_fig_value(&t->plan->figs, id);
}

/* Part of a dose that is in by `tau` of its time. */
static double given(const mdr_route_step *asked, double tau)
{
    const double at = fmin(1.0, fmax(0.0, tau));
    switch (asked->curve) {
    case MDR_CURVE_PROGRESSIVE:
    case MDR_CURVE_DEGRESSIVE:
        return mdr_dosing_power(at, asked->exponent);
    case MDR_CURVE_PORTIONS:
        return mdr_dosing_portions(at, asked->portions);
    case MDR_CURVE_LINEAR:
        break;
    }
    return mdr_dosing_linear(at);
}

static const mdr_fig_id *before_step(const tracer *t, int index)
{
    return index > 0 ? t->bath->steps[index - 1].dissolved_kg : t->bath->start_kg;
}

static double part_of_dose(const tracer *t, const mdr_plan_step *step, double t_min)
{
    const double minutes = value(t, step->minutes);
    return minutes > 0.0 ? given(step->asked, (t_min - value(t, step->start_min)) / minutes) : 1.0;
}

/* kg dissolved at a time within step `index`; doses that run beside are in as far as they are. */
static void dissolved_at(const tracer *t, int index, double part, double t_min, double *kg)
{
    const mdr_fig_id *from = before_step(t, index);
    const mdr_fig_id *to = t->bath->steps[index].dissolved_kg;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        kg[i] = value(t, from[i]) + (value(t, to[i]) - value(t, from[i])) * part;
    }
    for (int j = 0; j < index; j++) {
        const mdr_plan_step *beside = &t->bath->steps[j];
        if (!beside->beside) {
            continue;
        }
        const double open = 1.0 - part_of_dose(t, beside, t_min);
        for (int i = 0; i < MDR_DISSOLVED_COUNT && open > 0.0; i++) {
            kg[i] -= (value(t, beside->dissolved_kg[i]) - value(t, before_step(t, j)[i])) * open;
            kg[i] = fmax(0.0, kg[i]);
        }
    }
}

static void ph_of(const tracer *t, const double *g_per_l, mdr_chem_point *point)
{
    mdr_mix mix = {.temp_c = point->temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i), g_per_l[i]);
    }
    (void)t;
    point->ph_known = mix.mol_per_kg[MDR_TOTAL_NA] > 1e-5 && mdr_mix_valid(&mix);
    if (point->ph_known) {
        point->ph = mdr_equil_ph(&mix);
        point->ph_uncertainty = mdr_equil_uncertainty_ph(&mix);
    }
}

static void add_point(tracer *t, int index, double part, double tau)
{
    const mdr_plan_step *step = &t->bath->steps[index];
    const double minutes = value(t, step->minutes);
    const double liquor_l = value(t, t->bath->liquor_l);
    mdr_chem_point *point = &t->out->points[t->out->n];
    const double start_c = value(t, step->temp_start_c), end_c = value(t, step->temp_end_c);
    double kg[MDR_DISSOLVED_COUNT];
    *point = (mdr_chem_point){.bath = t->bath->number,
                              .t_min = value(t, step->start_min) + tau * minutes,
                              .temp_c = start_c + tau * (end_c - start_c),
                              .hardness_dh = value(t, t->bath->hardness_dh)};
    dissolved_at(t, index, part, point->t_min, kg);
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        kg[i] *= G_PER_KG / liquor_l;
    }
    if (t->peroxide_runs) {
        const double more = mdr_peroxide_equivalent_min(tau * minutes, start_c, point->temp_c);
        kg[MDR_IN_H2O2] *= mdr_peroxide_left_fraction(t->peroxide_min + more);
    }
    if (step->dithionite_g_per_l != MDR_FIG_NONE) {
        const double end = value(t, step->dithionite_g_per_l);
        kg[MDR_IN_DITHIONITE] = t->dithionite_g_per_l + (end - t->dithionite_g_per_l) * part;
    }
    ph_of(t, kg, point);
    point->salt_g_per_l = kg[MDR_IN_NACL] + kg[MDR_IN_NA2SO4];
    point->soda_g_per_l = kg[MDR_IN_NA2CO3] + kg[MDR_IN_NAHCO3];
    point->caustic_g_per_l = kg[MDR_IN_NAOH];
    point->acid_g_per_l = kg[MDR_IN_HAC] + kg[MDR_IN_FORMIC] + kg[MDR_IN_CITRIC] + kg[MDR_IN_H2SO4];
    point->peroxide_g_per_l = kg[MDR_IN_H2O2];
    point->dithionite_g_per_l = kg[MDR_IN_DITHIONITE];
    t->out->n++;
}

static bool gives_peroxide(const mdr_plan_step *step)
{
    for (int i = 0; i < step->n_items; i++) {
        if (step->items[i].material->substance == MDR_SUB_H2O2) {
            return true;
        }
    }
    return false;
}

static void trace_step(tracer *t, int index)
{
    const mdr_plan_step *step = &t->bath->steps[index];
    const mdr_step_kind kind = step->asked->kind;
    if (kind == MDR_STEP_LOAD || kind == MDR_STEP_UNLOAD || step->minutes == MDR_FIG_NONE ||
        step->beside) {
        return;
    }
    const int parts = kind == MDR_STEP_DOSE ? DOSE_PARTS
                      : kind == MDR_STEP_HEAT || kind == MDR_STEP_COOL || kind == MDR_STEP_RINSE
                          ? RAMP_PARTS
                          : 1;
    t->peroxide_runs = t->peroxide_runs || gives_peroxide(step);
    for (int k = 0; k <= parts; k++) {
        const double tau = (double)k / parts;
        add_point(t, index, kind == MDR_STEP_DOSE ? given(step->asked, tau) : tau, tau);
    }
    if (t->peroxide_runs) {
        t->peroxide_min += mdr_peroxide_equivalent_min(
            value(t, step->minutes), value(t, step->temp_start_c), value(t, step->temp_end_c));
    }
}

static void trace_bath(tracer *t)
{
    bool peroxide_here = false;
    for (int i = 0; i < t->bath->n_steps; i++) {
        peroxide_here = peroxide_here || gives_peroxide(&t->bath->steps[i]);
    }
    t->peroxide_min = 0.0;
    t->peroxide_runs = !peroxide_here; /* what was carried in goes on falling apart at once */
    t->dithionite_g_per_l = value(t, t->bath->start_g_per_l[MDR_IN_DITHIONITE]);
    for (int i = 0; i < t->bath->n_steps; i++) {
        trace_step(t, i);
        if (t->bath->steps[i].dithionite_g_per_l != MDR_FIG_NONE) {
            t->dithionite_g_per_l = value(t, t->bath->steps[i].dithionite_g_per_l);
        }
    }
}

mdr_code mdr_chem_curve_make(const mdr_plan *plan, mdr_arena *arena, mdr_chem_curve *out,
                             mdr_err *err)
{
    size_t steps = 1;
    for (int b = 0; b < plan->n_baths; b++) {
        steps += (size_t)plan->baths[b].n_steps;
    }
    *out = (mdr_chem_curve){.points = MDR_NEW_N(arena, mdr_chem_point, steps * POINTS_PER_STEP)};
    if (out->points == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the curve of the baths");
        mdr_err_remedy(err, "shorten the route, or give the request a larger limit");
        return rc;
    }
    tracer t = {.plan = plan, .out = out};
    for (int b = 0; b < plan->n_baths; b++) {
        t.bath = &plan->baths[b];
        if (value(&t, t.bath->liquor_l) > 0.0) {
            trace_bath(&t);
        }
    }
    return MDR_OK;
}
