#include "core/quality/mdr_aim.h"

#include <math.h>

#include "core/finish/mdr_bound.h"

/* Residuals that no knit has; those that mdr_line_settle takes. */
static const double LEAST_RESIDUAL = -0.3, MOST_RESIDUAL = 0.6;
/* A range that is a point gets this much to both sides: without any room nothing has a middle. */
static const double HAIR = 1e-9;

mdr_spec_relaxed mdr_aim_relaxed(const mdr_web *web, const mdr_relaxed *relaxed,
                                 double regain_kg_per_kg)
{
    const double closer =
        relaxed->courses_per_cm * relaxed->wales_per_cm / (web->courses_per_cm * web->wales_per_cm);
    return (mdr_spec_relaxed){.gsm = mdr_web_conditioned_gsm(web, regain_kg_per_kg) * closer,
                              .width_cm = mdr_web_needles(web) / relaxed->wales_per_cm};
}

mdr_spec_point mdr_aim_point(const mdr_web *web, const mdr_relaxed *relaxed,
                             double regain_kg_per_kg)
{
    const mdr_residual left = mdr_web_residual(web, relaxed);
    return (mdr_spec_point){.width_cm = web->width_cm,
                            .gsm = mdr_web_conditioned_gsm(web, regain_kg_per_kg),
                            .width_shrink_frac = left.width_fraction,
                            .length_shrink_frac = left.length_fraction};
}

static mdr_code settle(const mdr_aim_in *in, double length_fraction, double width_fraction,
                       mdr_settled *out, mdr_err *err)
{
    const mdr_goal goal = {.relaxed = in->relaxed,
                           .residual = {length_fraction, width_fraction},
                           .compact_fraction = in->compact_fraction};
    return mdr_line_settle(&in->start, &in->line, &goal, &in->limits, out, err);
}

/* Asked for more than it can, the line gives what it can. */
static mdr_code reach(const mdr_aim_in *in, mdr_aim *a, mdr_err *err)
{
    mdr_settled tight, slack;
    MDR_TRY(settle(in, LEAST_RESIDUAL, LEAST_RESIDUAL, &tight, err));
    MDR_TRY(settle(in, MOST_RESIDUAL, MOST_RESIDUAL, &slack, err));
    a->width_cm = (mdr_spec_range){tight.after[tight.line.n - 1].width_cm,
                                   slack.after[slack.line.n - 1].width_cm};
    a->length_shrink_frac =
        (mdr_spec_range){tight.reached.length_fraction, slack.reached.length_fraction};
    return MDR_OK;
}

static mdr_spec_range both(mdr_spec_range a, mdr_spec_range b)
{
    return (mdr_spec_range){fmax(a.low, b.low), fmin(a.high, b.high)};
}

/* The specification with what the line cannot do taken off; false: nothing is left of it. */
static bool narrow(const mdr_aim *a, const mdr_spec_demand *asked, mdr_spec_demand *out)
{
    const mdr_spec_range width = both((mdr_spec_range){asked->width_cm - asked->width_tol_cm,
                                                       asked->width_cm + asked->width_tol_cm},
                                      a->width_cm);
    mdr_spec_range length =
        both((mdr_spec_range){asked->length_shrink_min_frac, asked->length_shrink_max_frac},
             a->length_shrink_frac);
    *out = *asked;
    if (width.low > width.high * (1.0 + HAIR) || length.low > length.high + HAIR) {
        return false;
    }
    if (length.high - length.low < HAIR) {
        length = (mdr_spec_range){length.low - HAIR, length.high + HAIR};
    }
    out->width_cm = 0.5 * (width.low + width.high);
    out->width_tol_cm = fmax(0.5 * (width.high - width.low), 0.0);
    out->length_shrink_min_frac = length.low;
    out->length_shrink_max_frac = length.high;
    return true;
}

static mdr_code settle_at(const mdr_aim_in *in, mdr_spec_point at, mdr_aim *a, mdr_err *err)
{
    a->aimed = at;
    MDR_TRY(settle(in, fmin(fmax(at.length_shrink_frac, LEAST_RESIDUAL), MOST_RESIDUAL),
                   fmin(fmax(at.width_shrink_frac, LEAST_RESIDUAL), MOST_RESIDUAL), &a->settled,
                   err));
    a->reached =
        mdr_aim_point(&a->settled.after[a->settled.line.n - 1], &in->relaxed, in->regain_kg_per_kg);
    a->met = mdr_spec_meets(&in->demand, &a->reached, MDR_AIM_MET_FRAC);
    return MDR_OK;
}

/* The specification's best when the line reaches it, else the best of what it reaches. */
static mdr_code aim_at(const mdr_aim_in *in, mdr_aim *a, mdr_err *err)
{
    MDR_TRY(settle_at(in, a->spec.best, a, err));
    mdr_spec_in part = {a->relaxed, in->demand};
    if (a->settled.met || !narrow(a, &in->demand, &part.demand)) {
        return MDR_OK;
    }
    const mdr_spec_answer can = mdr_spec_answer_of(&part);
    return can.feasible ? settle_at(in, can.best, a, err) : MDR_OK;
}

mdr_code mdr_aim_settle(const mdr_aim_in *in, mdr_aim *out, mdr_err *err)
{
    const mdr_bound regain = {"regain_kg_per_kg", in->regain_kg_per_kg, 0.0, 0.3};
    MDR_TRY(mdr_bound_check(&regain, 1, "no cotton holds this much water in air", err));
    mdr_aim a;
    MDR_TRY(reach(in, &a, err)); /* also checks web, line, limits and relaxed loops */
    a.relaxed = mdr_aim_relaxed(&in->start, &in->relaxed, in->regain_kg_per_kg);
    const mdr_spec_in whole = {a.relaxed, in->demand};
    MDR_TRY(mdr_spec_check(&whole, err));
    a.spec = mdr_spec_answer_of(&whole);
    MDR_TRY(aim_at(in, &a, err));
    *out = a;
    return MDR_OK;
}
