#include "core/knit/mdr_spec.h"

#include <math.h>
#include <stddef.h>

static const double USUAL_GROWTH_FRAC = -0.02;                    /* invented */
static const double USUAL_GSM_TOL_PCT = 5.0, USUAL_TOL_CM = 2.54; /* [finish-tolerances] */

double mdr_spec_usual_min_frac(void)
{
    return USUAL_GROWTH_FRAC;
}

mdr_spec_demand mdr_spec_usual_demand(double gsm, double width_cm, double length_shrink_max_frac,
                                      double width_shrink_max_frac)
{
    return (mdr_spec_demand){.gsm = gsm,
                             .gsm_tol_pct = USUAL_GSM_TOL_PCT,
                             .width_cm = width_cm,
                             .width_tol_cm = USUAL_TOL_CM,
                             .length_shrink_max_frac = length_shrink_max_frac,
                             .width_shrink_max_frac = width_shrink_max_frac,
                             .length_shrink_min_frac = USUAL_GROWTH_FRAC,
                             .width_shrink_min_frac = USUAL_GROWTH_FRAC};
}

double mdr_spec_tol_cm_of_pct(double width_cm, double tol_pct)
{
    return width_cm * tol_pct / 100.0;
}

mdr_spec_relaxed mdr_spec_relaxed_of_knit(const mdr_knit *k, const mdr_knit_constants *full)
{
    return (mdr_spec_relaxed){mdr_knit_gsm(k, full), mdr_knit_width_cm(k, full)};
}

mdr_spec_point mdr_spec_at_shrink(mdr_spec_relaxed r, double width_shrink_frac,
                                  double length_shrink_frac)
{
    return (mdr_spec_point){.width_cm = r.width_cm / (1.0 - width_shrink_frac),
                            .gsm = r.gsm * (1.0 - length_shrink_frac) * (1.0 - width_shrink_frac),
                            .width_shrink_frac = width_shrink_frac,
                            .length_shrink_frac = length_shrink_frac};
}

mdr_spec_point mdr_spec_at(mdr_spec_relaxed r, double width_cm, double gsm)
{
    return (mdr_spec_point){.width_cm = width_cm,
                            .gsm = gsm,
                            .width_shrink_frac = 1.0 - r.width_cm / width_cm,
                            .length_shrink_frac = 1.0 - gsm * width_cm / (r.gsm * r.width_cm)};
}

double mdr_spec_gsm_on_line(mdr_spec_relaxed r, double length_shrink_frac, double width_cm)
{
    return r.gsm * r.width_cm * (1.0 - length_shrink_frac) / width_cm;
}

static mdr_spec_range gsm_range(const mdr_spec_demand *d)
{
    const double tol = d->gsm * d->gsm_tol_pct / 100.0;
    return (mdr_spec_range){d->gsm - tol, d->gsm + tol};
}

static mdr_spec_range width_range(const mdr_spec_demand *d)
{
    return (mdr_spec_range){d->width_cm - d->width_tol_cm, d->width_cm + d->width_tol_cm};
}

static bool within(double v, double low, double high, double slack)
{
    return v >= low - slack && v <= high + slack;
}

bool mdr_spec_meets(const mdr_spec_demand *d, const mdr_spec_point *p, double slack)
{
    const mdr_spec_range g = gsm_range(d), w = width_range(d);
    return within(p->gsm, g.low, g.high, slack * d->gsm) &&
           within(p->width_cm, w.low, w.high, slack * d->width_cm) &&
           within(p->length_shrink_frac, d->length_shrink_min_frac, d->length_shrink_max_frac,
                  slack) &&
           within(p->width_shrink_frac, d->width_shrink_min_frac, d->width_shrink_max_frac, slack);
}

static mdr_code refuse(mdr_err *err, const char *place, double value, double least, double most)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "not a possible specification");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%g to %g", least, most);
    mdr_err_remedy(err, "check the unit: g/m2, cm, and shrinkage as a part of 1");
    return rc;
}

mdr_code mdr_spec_check(const mdr_spec_in *in, mdr_err *err)
{
    const mdr_spec_demand *d = &in->demand;
    /* invented: wide enough for any knit, narrow enough to catch a wrong unit */
    const struct {
        const char *place;
        double value, least, most;
    } fields[] = {
        {"relaxed.gsm", in->relaxed.gsm, 10.0, 2000.0},
        {"relaxed.width_cm", in->relaxed.width_cm, 1.0, 1000.0},
        {"demand.gsm", d->gsm, 10.0, 2000.0},
        {"demand.gsm_tol_pct", d->gsm_tol_pct, 0.0, 50.0},
        {"demand.width_cm", d->width_cm, 1.0, 1000.0},
        {"demand.width_tol_cm", d->width_tol_cm, 0.0, 0.5 * d->width_cm},
        {"demand.length_shrink_min_frac", d->length_shrink_min_frac, -0.5, 0.5},
        {"demand.width_shrink_min_frac", d->width_shrink_min_frac, -0.5, 0.5},
        {"demand.length_shrink_max_frac", d->length_shrink_max_frac, d->length_shrink_min_frac,
         0.5},
        {"demand.width_shrink_max_frac", d->width_shrink_max_frac, d->width_shrink_min_frac, 0.5},
    };
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        if (!(fields[i].value >= fields[i].least && fields[i].value <= fields[i].most)) {
            return refuse(err, fields[i].place, fields[i].value, fields[i].least, fields[i].most);
        }
    }
    if (!(d->length_shrink_max_frac > d->length_shrink_min_frac)) {
        return refuse(err, "demand.length_shrink_max_frac", d->length_shrink_max_frac,
                      d->length_shrink_min_frac, 0.5);
    }
    if (!(d->width_shrink_max_frac > d->width_shrink_min_frac)) {
        return refuse(err, "demand.width_shrink_max_frac", d->width_shrink_max_frac,
                      d->width_shrink_min_frac, 0.5);
    }
    return MDR_OK;
}

mdr_spec_in mdr_spec_changed(const mdr_spec_in *in, mdr_spec_change what, double factor)
{
    mdr_spec_in out = *in;
    switch (what) {
    case MDR_SPEC_LOOP:
        out.relaxed.width_cm *= factor;
        out.relaxed.gsm /= factor;
        return out;
    case MDR_SPEC_YARN:
        out.relaxed.gsm *= factor;
        return out;
    case MDR_SPEC_NEEDLES:
        out.relaxed.width_cm *= factor;
        return out;
    case MDR_SPEC_CHANGES:
        break;
    }
    MDR_UNREACHABLE();
}

static void widen(double *middle, double *tol, const mdr_spec_give *give)
{
    const double low = give->upper ? *middle - *tol : give->limit;
    const double high = give->upper ? give->limit : *middle + *tol;
    *middle = 0.5 * (low + high);
    *tol = 0.5 * (high - low);
}

mdr_spec_in mdr_spec_given_way(const mdr_spec_in *in, mdr_spec_which which,
                               const mdr_spec_give *give)
{
    mdr_spec_in out = *in;
    mdr_spec_demand *d = &out.demand;
    double gsm_tol = d->gsm * d->gsm_tol_pct / 100.0;
    switch (which) {
    case MDR_SPEC_GSM:
        widen(&d->gsm, &gsm_tol, give);
        d->gsm_tol_pct = 100.0 * gsm_tol / d->gsm;
        return out;
    case MDR_SPEC_WIDTH:
        widen(&d->width_cm, &d->width_tol_cm, give);
        return out;
    case MDR_SPEC_LENGTH_SHRINK:
        *(give->upper ? &d->length_shrink_max_frac : &d->length_shrink_min_frac) = give->limit;
        return out;
    case MDR_SPEC_WIDTH_SHRINK:
        *(give->upper ? &d->width_shrink_max_frac : &d->width_shrink_min_frac) = give->limit;
        return out;
    case MDR_SPEC_DEMANDS:
        break;
    }
    MDR_UNREACHABLE();
}

mdr_spec_cured_knit mdr_spec_cure_knit(const mdr_spec_in *in, const mdr_spec_answer *answer,
                                       const mdr_knit *k, double gauge_per_inch)
{
    mdr_spec_cured_knit out = {.loop_cm = k->loop_cm * answer->cure[MDR_SPEC_LOOP].factor,
                               .tex = k->yarn.g_per_km * answer->cure[MDR_SPEC_YARN].factor};
    if (answer->cure[MDR_SPEC_YARN].cures) {
        out.ne = mdr_yarn_from_tex((mdr_tex){out.tex}, MDR_YARN_NE);
    }
    const mdr_spec_cure *needles = &answer->cure[MDR_SPEC_NEEDLES];
    if (!needles->cures) {
        return out;
    }
    const double now = (double)k->needles;
    out.needles = now * needles->factor;
    out.diameter_inch = mdr_knit_diameter_inch(out.needles, gauge_per_inch);
    out.needles_whole = k->needles;
    if (needles->factor > 1.0) {
        out.needles_whole = 2 * (int)ceil(out.needles / 2.0);
    } else if (needles->factor < 1.0) {
        out.needles_whole = 2 * (int)floor(out.needles / 2.0);
    }
    if (out.needles_whole > 0) {
        const mdr_spec_in whole =
            mdr_spec_changed(in, MDR_SPEC_NEEDLES, (double)out.needles_whole / now);
        out.whole_cures = mdr_spec_answer_of(&whole).feasible;
    }
    return out;
}

mdr_spec_window mdr_spec_box(const mdr_spec_demand *d)
{
    return (mdr_spec_window){.width_cm = width_range(d), .gsm = gsm_range(d)};
}

static double on_grid(mdr_spec_range r, int i, int n)
{
    return n > 1 ? r.low + (r.high - r.low) * i / (n - 1) : r.low;
}

void mdr_spec_map(const mdr_spec_in *in, const mdr_spec_window *w, mdr_spec_point *points,
                  bool *meets)
{
    for (int j = 0; j < w->n_gsm; j++) {
        for (int i = 0; i < w->n_width; i++) {
            const int at = j * w->n_width + i;
            points[at] = mdr_spec_at(in->relaxed, on_grid(w->width_cm, i, w->n_width),
                                     on_grid(w->gsm, j, w->n_gsm));
            if (meets != NULL) {
                meets[at] = mdr_spec_meets(&in->demand, &points[at], MDR_SPEC_MET_FRAC);
            }
        }
    }
}

mdr_spec_spirality mdr_spec_spirality_of(const mdr_knit *k, const mdr_knit_constants *full,
                                         double torque_pct, double max_pct)
{
    const double feeder_pct = mdr_knit_feeder_drop_pct(k, full);
    const double total_pct = feeder_pct + torque_pct;
    const bool met = total_pct <= max_pct;
    return (mdr_spec_spirality){.feeder_pct = feeder_pct,
                                .torque_pct = torque_pct,
                                .total_pct = total_pct,
                                .met = met,
                                .over_pct = met ? 0.0 : total_pct - max_pct};
}
