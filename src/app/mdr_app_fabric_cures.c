/* What would make a specification possible, as members of the question that can be asked again. */
#include <math.h>
#include <stddef.h>

#include "app/mdr_app_fabric_map.h"

static const double PCT = 100.0;

/* Steps a person would write. */
static const double GSM_STEP = 0.1, CM_STEP = 0.1, PCT_STEP = 0.1, LOOP_STEP_CM = 1e-4;
static const double COUNT_STEP = 0.1, FACTOR_STEP = 1e-3;

static double to_step(double v, double step)
{
    return step * round(v / step);
}

/* The next step at or beyond v, seen from `from`; rounding of v itself is no step. */
static double outward(double v, double from, double step)
{
    static const double ROUNDING = 1e-9;
    return v >= from ? step * ceil(v / step - ROUNDING) : step * floor(v / step + ROUNDING);
}

static bool met(const mdr_spec_in *in)
{
    return mdr_spec_check(in, NULL) == MDR_OK && mdr_spec_answer_of(in).feasible;
}

/* Kept when every number of it can be asked. */
static void keep(mdr_fabric_frame *f, const mdr_fabric_cure *cure)
{
    for (int i = 0; i < cure->n_sets; i++) {
        if (!cure->sets[i].none && !mdr_wire_fabric_takes(cure->sets[i].key, cure->sets[i].value)) {
            return;
        }
    }
    f->cures[f->n_cures++] = *cure;
}

static void set(mdr_fabric_cure *cure, const char *key, double value)
{
    cure->sets[cure->n_sets++] = (mdr_fabric_set){.key = key, .value = value};
}

/* -- one limit gives way -- */

/* Middle and tolerance in steps, so that nothing of the range is lost. */
static void middle_of(mdr_spec_range r, double step, double *middle, double *half)
{
    *middle = to_step(0.5 * (r.low + r.high), step);
    *half = fmax(r.high - *middle, *middle - r.low);
}

static void range_sets(const mdr_spec_demand *d, mdr_spec_which which, mdr_fabric_cure *cure)
{
    const mdr_spec_window box = mdr_spec_box(d);
    double middle = 0, half = 0;
    if (which == MDR_SPEC_GSM) {
        middle_of(box.gsm, GSM_STEP, &middle, &half);
        set(cure, "gsm", middle);
        set(cure, "gsm_tol_pct", outward(PCT * half / middle, 0.0, PCT_STEP));
    } else {
        middle_of(box.width_cm, CM_STEP, &middle, &half);
        set(cure, "width_cm", middle);
        set(cure, "width_tol_cm", outward(half, 0.0, CM_STEP));
    }
}

/* The demand as it stands in the sets. */
static mdr_spec_in asked_with(const mdr_spec_in *in, const mdr_fabric_cure *cure,
                              mdr_spec_which which)
{
    mdr_spec_in out = *in;
    mdr_spec_demand *d = &out.demand;
    const double first = cure->sets[0].value;
    switch (which) {
    case MDR_SPEC_GSM:
        d->gsm = first;
        d->gsm_tol_pct = cure->sets[1].value;
        return out;
    case MDR_SPEC_WIDTH:
        d->width_cm = first;
        d->width_tol_cm = cure->sets[1].value;
        return out;
    case MDR_SPEC_LENGTH_SHRINK:
        *(cure->upper ? &d->length_shrink_max_frac : &d->length_shrink_min_frac) =
            cure->upper ? first / PCT : -first / PCT;
        return out;
    case MDR_SPEC_WIDTH_SHRINK:
        *(cure->upper ? &d->width_shrink_max_frac : &d->width_shrink_min_frac) =
            cure->upper ? first / PCT : -first / PCT;
        return out;
    case MDR_SPEC_DEMANDS:
        break;
    }
    MDR_UNREACHABLE();
}

static void limit_gives(mdr_fabric_frame *f, mdr_spec_which which)
{
    static const struct {
        const char *of;
        double per;
    } LIMITS[MDR_SPEC_DEMANDS] = {[MDR_SPEC_GSM] = {"gsm", 1.0},
                                  [MDR_SPEC_WIDTH] = {"width_cm", 1.0},
                                  [MDR_SPEC_LENGTH_SHRINK] = {"length_shrink_pct", 100.0},
                                  [MDR_SPEC_WIDTH_SHRINK] = {"width_shrink_pct", 100.0}};
    const mdr_spec_give *give = &f->answer.give[which];
    if (!give->cures) {
        return;
    }
    mdr_fabric_cure cure = {.of = LIMITS[which].of,
                            .is_limit = true,
                            .upper = give->upper,
                            .limit = LIMITS[which].per * give->limit,
                            .by = LIMITS[which].per * give->by};
    if (which == MDR_SPEC_GSM || which == MDR_SPEC_WIDTH) {
        const mdr_spec_in given = mdr_spec_given_way(&f->in, which, give);
        range_sets(&given.demand, which, &cure);
    } else if (give->upper) {
        set(&cure, cure.of, outward(cure.limit, 0.0, PCT_STEP));
    } else { /* both shrinkages share one growth */
        set(&cure, "growth_pct", outward(-cure.limit, 0.0, PCT_STEP));
    }
    const mdr_spec_in again = asked_with(&f->in, &cure, which);
    if (met(&again)) {
        keep(f, &cure);
    }
}

/* -- one thing is knitted otherwise -- */

/* `exact` in steps, away from `now`, when that still does; else as it is. */
static double stepped(const mdr_spec_in *in, mdr_spec_change what, double exact, double now,
                      double step, bool inverse)
{
    const double v = outward(exact, now, step);
    const mdr_spec_in again = mdr_spec_changed(in, what, inverse ? now / v : v / now);
    return met(&again) ? v : exact;
}

/* A washed sample knows no loop: what it would measure then. */
static void sample_sets(const mdr_fabric_frame *f, mdr_spec_change what, double factor,
                        mdr_fabric_cure *cure)
{
    const double q = stepped(&f->in, what, factor, 1.0, FACTOR_STEP, false);
    mdr_spec_in again = mdr_spec_changed(&f->in, what, q);
    const mdr_spec_relaxed exact = again.relaxed;
    again.relaxed.gsm = what != MDR_SPEC_NEEDLES ? mdr_fabric_measured(exact.gsm) : exact.gsm;
    again.relaxed.width_cm =
        what != MDR_SPEC_YARN ? mdr_fabric_measured(exact.width_cm) : exact.width_cm;
    if (!met(&again)) {
        again.relaxed = exact;
    }
    if (what != MDR_SPEC_NEEDLES) {
        set(cure, "relaxed_gsm", again.relaxed.gsm);
    }
    if (what != MDR_SPEC_YARN) {
        set(cure, "relaxed_width_cm", again.relaxed.width_cm);
    }
}

static bool knit_sets(const mdr_fabric_case *c, const mdr_fabric_frame *f, mdr_spec_change what,
                      mdr_fabric_cure *cure)
{
    static const double ANY_GAUGE = 1.0; /* the diameter is not shown */
    mdr_knit k = *c->knit;
    k.loop_cm = f->loop_cm;
    const mdr_spec_cured_knit cured = mdr_spec_cure_knit(&f->in, &f->answer, &k, ANY_GAUGE);
    switch (what) {
    case MDR_SPEC_LOOP:
        set(cure, "loop_cm", stepped(&f->in, what, cured.loop_cm, k.loop_cm, LOOP_STEP_CM, false));
        return true;
    case MDR_SPEC_YARN:
        if (c->ask->has_ne) {
            set(cure, "ne", stepped(&f->in, what, cured.ne, c->ask->ne, COUNT_STEP, true));
        } else {
            set(cure, "tex", stepped(&f->in, what, cured.tex, k.yarn.g_per_km, COUNT_STEP, false));
        }
        return true;
    case MDR_SPEC_NEEDLES:
        set(cure, "needles", (double)cured.needles_whole);
        if (!c->ask->has_needles) {
            cure->sets[cure->n_sets++] = (mdr_fabric_set){.key = "gauge_per_inch", .none = true};
            cure->sets[cure->n_sets++] = (mdr_fabric_set){.key = "diameter_inch", .none = true};
        }
        return cured.whole_cures;
    case MDR_SPEC_CHANGES:
        break;
    }
    MDR_UNREACHABLE();
}

static void knitted_otherwise(const mdr_fabric_case *c, mdr_fabric_frame *f, mdr_spec_change what)
{
    static const char *const WHAT[MDR_SPEC_CHANGES] = {
        [MDR_SPEC_LOOP] = "loop", [MDR_SPEC_YARN] = "yarn", [MDR_SPEC_NEEDLES] = "needles"};
    const mdr_spec_cure *found = &f->answer.cure[what];
    if (!found->cures) {
        return;
    }
    mdr_fabric_cure cure = {.of = WHAT[what], .change_pct = found->change_pct};
    if (c->knit == NULL) {
        sample_sets(f, what, found->factor, &cure);
        keep(f, &cure);
    } else if (knit_sets(c, f, what, &cure)) {
        keep(f, &cure);
    }
}

/* -- the spirality -- */

static void spirality_eases(const mdr_fabric_case *c, mdr_fabric_frame *f)
{
    const mdr_spec_spirality *s = &f->spirality;
    if (!c->ask->has_spirality || s->met) {
        return;
    }
    /* the drop goes with the feeders; what the torque takes of the limit is no feeder's */
    const double left_pct = c->ask->spirality_pct - s->torque_pct;
    const double feeders = floor(c->knit->feeders * left_pct / s->feeder_pct);
    mdr_fabric_cure fewer = {.of = "feeders",
                             .change_pct = PCT * (feeders / c->knit->feeders - 1.0)};
    set(&fewer, "feeders", feeders);
    keep(f, &fewer);
    mdr_fabric_cure limit = {.of = "spirality_pct",
                             .is_limit = true,
                             .upper = true,
                             .limit = s->total_pct,
                             .by = s->over_pct};
    set(&limit, "spirality_pct", outward(s->total_pct, 0.0, PCT_STEP));
    keep(f, &limit);
}

void mdr_fabric_cures_find(const mdr_fabric_case *c, mdr_fabric_frame *frame)
{
    frame->n_cures = 0;
    for (int i = 0; !frame->answer.feasible && i < MDR_SPEC_CHANGES; i++) {
        knitted_otherwise(c, frame, (mdr_spec_change)i);
    }
    for (int i = 0; !frame->answer.feasible && i < MDR_SPEC_DEMANDS; i++) {
        limit_gives(frame, (mdr_spec_which)i);
    }
    spirality_eases(c, frame);
}
