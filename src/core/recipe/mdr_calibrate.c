#include "core/recipe/mdr_calibrate_room.h"

#include <math.h>
#include <string.h>

#include "core/colour/mdr_difference.h"

static const double CMC_L = 2.0, CMC_C = 1.0;
static const double SEARCH = 4.0; /* a dose is sought within this factor; invented */
static const double GOLDEN = 0.6180339887498949;
enum { GOLDEN_STEPS = 32 };

static double miss(const mdr_predictor *p, double depth_pct_owf, mdr_lab measured)
{
    mdr_curve ks, curve;
    mdr_ladder_ks(&p->ladder, depth_pct_owf, ks.v, NULL);
    for (int b = 0; b < MDR_BANDS; b++) {
        ks.v[b] += p->cloth_ks.v[b];
    }
    mdr_km_measured(&ks, &p->surface, &curve);
    return mdr_difference_cmc(measured, mdr_lab_of_curve(&curve, p->light), CMC_L, CMC_C);
}

/* Golden section over the logarithm of depth. */
static double best_depth(const mdr_predictor *p, double weighed_pct_owf, mdr_lab measured)
{
    double low = -log(SEARCH), high = log(SEARCH);
    double x1 = high - GOLDEN * (high - low), x2 = low + GOLDEN * (high - low);
    double f1 = miss(p, weighed_pct_owf * exp(x1), measured);
    double f2 = miss(p, weighed_pct_owf * exp(x2), measured);
    for (int i = 0; i < GOLDEN_STEPS; i++) {
        if (f1 < f2) {
            high = x2;
            x2 = x1;
            f2 = f1;
            x1 = high - GOLDEN * (high - low);
            f1 = miss(p, weighed_pct_owf * exp(x1), measured);
        } else {
            low = x1;
            x1 = x2;
            f1 = f2;
            x2 = low + GOLDEN * (high - low);
            f2 = miss(p, weighed_pct_owf * exp(x2), measured);
        }
    }
    return weighed_pct_owf * exp(0.5 * (low + high));
}

mdr_code mdr_workroom_leave_out(const mdr_ladder_in *in, const bool *keep, int left,
                                const mdr_weights *light, mdr_workroom *work, mdr_left_out *out,
                                mdr_err *err)
{
    mdr_ladder_in others = *in;
    mdr_predictor *p = &work->predictor;
    others.rungs = work->rungs;
    others.n = 0;
    for (int i = 0; i < in->n; i++) {
        if (i != left && keep[i]) {
            work->rungs[others.n++] = in->rungs[i];
        }
    }
    MDR_TRY(mdr_ladder_make(&others, &p->ladder, err));
    MDR_TRY(mdr_km_ks(&in->substrate, &in->surface, &p->cloth_ks, err));
    p->surface = mdr_surface_form_of(&in->surface);
    p->light = light;
    const double weighed = in->rungs[left].depth_pct_owf;
    const mdr_lab measured = mdr_lab_of_curve(&in->rungs[left].curve, light);
    *out = (mdr_left_out){.cmc = miss(p, weighed, measured),
                          .beyond = mdr_ladder_is_beyond(&p->ladder, weighed)};
    return MDR_OK;
}

void mdr_workroom_find_dose(const mdr_ladder_in *in, int left, const mdr_workroom *work,
                            mdr_left_out *out)
{
    const double weighed = in->rungs[left].depth_pct_owf;
    const mdr_lab measured = mdr_lab_of_curve(&in->rungs[left].curve, work->predictor.light);
    out->depth_best_pct_owf = best_depth(&work->predictor, weighed, measured);
    out->cmc_best = miss(&work->predictor, out->depth_best_pct_owf, measured);
    out->dose_error_pct = 100.0 * (out->depth_best_pct_owf / weighed - 1.0);
}

mdr_code mdr_workroom_make(mdr_arena *arena, mdr_workroom **out, mdr_err *err)
{
    *out = MDR_NEW(arena, mdr_workroom);
    return *out != NULL ? MDR_OK : MDR_FAIL(err, MDR_E_NOMEM, "", "no room to look at the rungs");
}

mdr_code mdr_ladder_leave_out(const mdr_ladder_in *in, int left, const mdr_weights *light,
                              mdr_arena *arena, mdr_left_out *out, mdr_err *err)
{
    bool keep[MDR_RUNGS_MAX];
    mdr_workroom *work;
    mdr_left_out found;
    if (in->n < 2 || in->n > MDR_RUNGS_MAX || left < 0 || left >= in->n) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "rungs", "no other rungs to predict it from");
        mdr_err_allowed(err, "2 to %d rungs, and one of them", MDR_RUNGS_MAX);
        return rc;
    }
    for (int i = 0; i < in->n; i++) {
        keep[i] = true;
    }
    MDR_TRY(mdr_workroom_make(arena, &work, err));
    MDR_TRY(mdr_workroom_leave_out(in, keep, left, light, work, &found, err));
    mdr_workroom_find_dose(in, left, work, &found);
    *out = found;
    return MDR_OK;
}
