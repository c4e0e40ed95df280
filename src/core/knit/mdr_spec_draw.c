#include "core/knit/mdr_spec_draw.h"

#include <math.h>
#include <stddef.h>

mdr_spec_line mdr_spec_line_in(mdr_spec_relaxed r, double length_shrink_frac,
                               const mdr_spec_window *window)
{
    mdr_spec_line line = {.n = 0};
    const double metre = mdr_spec_gsm_on_line(r, length_shrink_frac, 1.0);
    const double from = fmax(window->width_cm.low, metre / window->gsm.high);
    const double to = fmin(window->width_cm.high, metre / window->gsm.low);
    if (!(from < to)) {
        return line;
    }
    for (int i = 0; i < MDR_SPEC_LINE_POINTS; i++) {
        const double part = i / (double)(MDR_SPEC_LINE_POINTS - 1);
        const double width_cm = from + (to - from) * part;
        line.points[line.n++] = mdr_spec_at(r, width_cm, metre / width_cm);
    }
    return line;
}

/* The side from p to q without q. */
static void add_side(mdr_spec_relaxed r, const mdr_spec_point *p, const mdr_spec_point *q,
                     mdr_spec_outline *out)
{
    /* a corner has its numbers to some 1e-16: a width that moves less than this stands still */
    static const double STILL_FRAC = 1e-9;
    const double wider = log(q->width_cm / p->width_cm), heavier = log(q->gsm / p->gsm);
    const bool curved = fabs(wider) > STILL_FRAC && fabs(heavier) > STILL_FRAC;
    out->points[out->n++] = *p;
    for (int i = 1; curved && i < MDR_SPEC_SIDE_POINTS; i++) {
        const double part = i / (double)MDR_SPEC_SIDE_POINTS;
        out->points[out->n++] =
            mdr_spec_at(r, p->width_cm * exp(wider * part), p->gsm * exp(heavier * part));
    }
}

static mdr_spec_outline around(mdr_spec_relaxed r, const mdr_spec_point *corners, int n)
{
    mdr_spec_outline out = {.n = 0};
    for (int i = 0; i < n; i++) {
        add_side(r, &corners[i], &corners[(i + 1) % n], &out);
    }
    return out;
}

mdr_spec_outline mdr_spec_outline_of(mdr_spec_relaxed r, const mdr_spec_answer *answer)
{
    return around(r, answer->corners, answer->n_corners);
}

mdr_spec_outline mdr_spec_allowed(const mdr_spec_in *in)
{
    const mdr_spec_demand *d = &in->demand;
    const mdr_spec_point corners[] = {
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_min_frac, d->length_shrink_min_frac),
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_max_frac, d->length_shrink_min_frac),
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_max_frac, d->length_shrink_max_frac),
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_min_frac, d->length_shrink_max_frac)};
    return around(in->relaxed, corners, (int)(sizeof corners / sizeof corners[0]));
}

static mdr_spec_apart between(mdr_spec_range asked, mdr_spec_range had)
{
    const double over = asked.low - had.high, under = had.low - asked.high;
    /* met as mdr_spec_answer_of understands it */
    const double least = MDR_SPEC_MET_FRAC * asked.high;
    if (over > least) {
        return (mdr_spec_apart){.by = over, .above = true};
    }
    return (mdr_spec_apart){.by = under > least ? under : 0.0, .above = false};
}

mdr_spec_apart mdr_spec_apart_of(const mdr_spec_in *in, mdr_spec_clash which)
{
    const mdr_spec_demand *d = &in->demand;
    const mdr_spec_window box = mdr_spec_box(d);
    const mdr_spec_point least =
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_max_frac, d->length_shrink_max_frac);
    const mdr_spec_point most =
        mdr_spec_at_shrink(in->relaxed, d->width_shrink_min_frac, d->length_shrink_min_frac);
    switch (which) {
    case MDR_SPEC_WIDTH_AGAINST_SHRINK: /* much shrinkage left is much width */
        return between(box.width_cm, (mdr_spec_range){most.width_cm, least.width_cm});
    case MDR_SPEC_GSM_AGAINST_WIDTH:
        return between(
            box.gsm,
            (mdr_spec_range){
                mdr_spec_gsm_on_line(in->relaxed, d->length_shrink_max_frac, box.width_cm.high),
                mdr_spec_gsm_on_line(in->relaxed, d->length_shrink_min_frac, box.width_cm.low)});
    case MDR_SPEC_GSM_AGAINST_SHRINKAGE:
        return between(box.gsm, (mdr_spec_range){least.gsm, most.gsm});
    case MDR_SPEC_CLASHES:
        break;
    }
    MDR_UNREACHABLE();
}
