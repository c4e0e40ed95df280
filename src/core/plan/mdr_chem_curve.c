#include "core/plan/mdr_chem_curve.h"

#include <math.h>

#include "core/bath/mdr_dosing.h"
#include "core/bath/mdr_equil.h"
#include "core/units/mdr_strength.h"

enum { DOSE_PARTS = 12, RAMP_PARTS = 6, POINTS_PER_STEP = DOSE_PARTS + 1 };

static const double G_PER_KG = 1000.0;

typedef struct tracer {
    const mdr_plan *plan;
    const mdr_plan_bath *bath;
    mdr_chem_curve *out;
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
        const double a = value(t, from[i]), b = value(t, to[i]);
        /* what decays by a part each minute does not go down in a straight line */
        const bool decays = i == MDR_IN_H2O2 && a > b && b > 0.0;
        kg[i] = decays ? a * pow(b / a, part) : a + (b - a) * part;
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

static void ph_of(const double *g_per_l, mdr_chem_point *point)
{
    mdr_mix mix = {.temp_c = point->temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i), g_per_l[i]);
    }
    point->ph_known = mdr_mix_known(&mix);
    if (point->ph_known) {
        point->ph = mdr_equil_ph(&mix);
        point->ph_uncertainty = mdr_equil_uncertainty_ph(&mix);
    }
}

/* Alkali and acid as they stand when they have met: acid takes caustic first, then soda. */
static void meet(const double *g_per_l, mdr_chem_point *point)
{
    double acid_mol = 0.0, acid_g = 0.0;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        const double mol_per_kg =
            mdr_substance_acid_mol_per_kg((int)mdr_dissolved_substance((mdr_dissolved)i));
        acid_mol += mol_per_kg * g_per_l[i];
        acid_g += mol_per_kg > 0.0 ? g_per_l[i] : 0.0;
    }
    const double naoh = mdr_substance_alkali_mol_per_kg(MDR_SUB_NAOH);
    const double soda = mdr_substance_alkali_mol_per_kg(MDR_SUB_NA2CO3);
    const double bicarb = mdr_substance_alkali_mol_per_kg(MDR_SUB_NAHCO3);
    const double caustic_mol = naoh * g_per_l[MDR_IN_NAOH];
    const double soda_mol = soda * g_per_l[MDR_IN_NA2CO3] + bicarb * g_per_l[MDR_IN_NAHCO3];
    const double after_caustic = fmax(0.0, acid_mol - caustic_mol);
    const double free_acid = fmax(0.0, after_caustic - soda_mol);
    point->caustic_g_per_l = fmax(0.0, caustic_mol - acid_mol) / naoh;
    point->soda_g_per_l = soda_mol > 0.0 ? (g_per_l[MDR_IN_NA2CO3] + g_per_l[MDR_IN_NAHCO3]) *
                                               fmax(0.0, soda_mol - after_caustic) / soda_mol
                                         : 0.0;
    point->acid_g_per_l = acid_mol > 0.0 ? acid_g * free_acid / acid_mol : 0.0;
}

static void add_point(tracer *t, int index, double part, double tau)
{
    const mdr_plan_step *step = &t->bath->steps[index];
    const double minutes = value(t, step->minutes);
    const double liquor_l = value(t, t->bath->liquor_l);
    mdr_chem_point *point = &t->out->points[t->out->n++];
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
    ph_of(kg, point);
    meet(kg, point);
    point->salt_g_per_l = kg[MDR_IN_NACL] + kg[MDR_IN_NA2SO4];
    point->peroxide_g_per_l = kg[MDR_IN_H2O2];
    point->dithionite_g_per_l = kg[MDR_IN_DITHIONITE];
}

static int parts_of(mdr_step_kind kind)
{
    switch (kind) {
    case MDR_STEP_DOSE:
        return DOSE_PARTS;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
    case MDR_STEP_RINSE:
    case MDR_STEP_HOLD:
        return RAMP_PARTS;
    case MDR_STEP_LOAD:
    case MDR_STEP_FILL:
    case MDR_STEP_CHECK:
    case MDR_STEP_DRAIN:
    case MDR_STEP_UNLOAD:
        break;
    }
    return 1;
}

static void trace_step(tracer *t, int index)
{
    const mdr_plan_step *step = &t->bath->steps[index];
    const mdr_step_kind kind = step->asked->kind;
    if (kind == MDR_STEP_LOAD || kind == MDR_STEP_UNLOAD || step->minutes == MDR_FIG_NONE ||
        step->beside) {
        return;
    }
    const int parts = parts_of(kind);
    for (int k = 0; k <= parts; k++) {
        const double tau = (double)k / parts;
        add_point(t, index, kind == MDR_STEP_DOSE ? given(step->asked, tau) : tau, tau);
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
            for (int i = 0; i < t.bath->n_steps; i++) {
                trace_step(&t, i);
            }
        }
    }
    return MDR_OK;
}
