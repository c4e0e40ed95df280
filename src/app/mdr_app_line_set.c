/* How to set the line, before it runs and after a reading. */
#include "app/mdr_app_line_in.h"

static const double PCT = 100.0;
/* Wales that were not counted: only their ratio to the relaxed ones is used. */
static const double ANY_WALES_PER_CM = 12.0;
static const double ANY_LENGTH_M = 1000.0, COLD_C = 25.0;

/* The fabric, and what is wanted of it. */
typedef struct job {
    mdr_aim_in in; /* demand only when `spec` */
    mdr_goal goal; /* residual only when not `spec` */
    bool spec;
} job;

static mdr_web start_of(const mdr_line_ask *q, const mdr_web *relaxed, const mdr_relaxed *loops)
{
    if (q->has_start_courses) {
        return mdr_web_overfed(relaxed, q->start_courses_per_cm / relaxed->courses_per_cm - 1.0,
                               q->wide[MDR_WIDTH_START].width_cm);
    }
    const mdr_residual left = {q->start_length_shrink_pct / PCT, q->start_width_shrink_pct / PCT};
    return mdr_web_with_residual(relaxed, loops, left);
}

static job job_of(const mdr_line_ask *q)
{
    const double regain = q->regain_pct / PCT;
    const double width_cm = q->wide[MDR_WIDTH_RELAXED].width_cm;
    const mdr_relaxed loops = {.courses_per_cm = q->relaxed_courses_per_cm,
                               .wales_per_cm =
                                   q->has_needles ? q->needles / width_cm : ANY_WALES_PER_CM};
    const mdr_web relaxed = {.width_cm = width_cm,
                             .courses_per_cm = loops.courses_per_cm,
                             .wales_per_cm = loops.wales_per_cm,
                             .dry_gsm = mdr_web_dry_gsm_of(q->relaxed_gsm, regain),
                             .moisture_kg_per_kg = q->start_moisture_kg_per_kg,
                             .length_m = ANY_LENGTH_M,
                             .temp_c = COLD_C};
    job j = {.in = {.start = start_of(q, &relaxed, &loops),
                    .line = mdr_line_asked(q),
                    .limits = mdr_line_limits_asked(q),
                    .relaxed = loops,
                    .demand = mdr_line_demand_asked(q),
                    .compact_fraction = q->compact_overfeed_pct / PCT,
                    .regain_kg_per_kg = regain},
             .goal = {.relaxed = loops,
                      .residual = {q->length_residual_pct / PCT, q->width_residual_pct / PCT},
                      .compact_fraction = q->compact_overfeed_pct / PCT},
             .spec = q->has_gsm};
    return j;
}

/* Settings for what was asked: a specification or two residuals. `aim` only for the former. */
static mdr_code settle(const job *j, mdr_aim *aim, mdr_settled *s, bool *met, mdr_err *err)
{
    if (!j->spec) {
        MDR_TRY(mdr_line_settle(&j->in.start, &j->in.line, &j->goal, &j->in.limits, s, err));
        *met = s->met;
        return MDR_OK;
    }
    MDR_TRY(mdr_aim_settle(&j->in, aim, err));
    *s = aim->settled;
    *met = aim->met;
    return MDR_OK;
}

static void put_verdict(mdr_line_desk *d, bool met)
{
    mdr_desk_text(&d->desk, "verdict", "the line", met ? "met" : "not_met",
                  met ? "brings it" : "does not bring it; this is the nearest");
}

static void put_specification(mdr_line_desk *d, const mdr_aim *aim)
{
    mdr_line_because(d, MDR_WHY_AIM);
    mdr_line_because(d, MDR_WHY_FEASIBLE);
    if (!aim->spec.feasible) {
        mdr_desk_clashes(&d->desk, &aim->spec);
        mdr_desk_limits_wanted(&d->desk, &aim->spec);
        mdr_line_because(d, MDR_WHY_GIVE);
        if (mdr_line_is_tube(d->q)) {
            mdr_desk_note(&d->desk, "The limits wanted count the tube cut open: twice its flat "
                                    "width.");
        }
    }
}

static void put_line(mdr_line_desk *d, const job *j, const mdr_aim *aim, const mdr_settled *s,
                     bool met)
{
    put_verdict(d, met);
    mdr_line_put_finished(d, &s->after[s->line.n - 1], s->reached);
    if (!met) {
        mdr_line_put_misses(d, s);
    }
    if (j->spec) {
        put_specification(d, aim);
    }
    mdr_line_put_passes(d, s);
    mdr_line_note_settings(d, s);
}

mdr_code mdr_answer_settings(mdr_line_desk *d, mdr_err *err)
{
    const job j = job_of(d->q);
    mdr_aim aim = {.met = false};
    mdr_settled s = {.met = false};
    bool met = false;
    MDR_TRY(mdr_line_blame(d->q, 0, settle(&j, &aim, &s, &met, err), err));
    mdr_line_because(d, MDR_WHY_SETTLE);
    mdr_line_because(d, MDR_WHY_RESIDUAL);
    mdr_line_because(d, MDR_WHY_USUAL);
    put_line(d, &j, &aim, &s, met);
    if (!d->q->has_start_courses) {
        mdr_desk_note(&d->desk, "The fabric at the beginning of the line is assumed (invented): "
                                "give its width and start_courses_per_cm, or ask again with `read` "
                                "behind the first pass.");
    }
    return MDR_OK;
}

/* -- after a reading -- */

static void put_reading(mdr_line_desk *d, const mdr_web *planned, const mdr_web *is, double off,
                        const job *j)
{
    const mdr_residual left = mdr_web_residual(is, &j->in.relaxed);
    mdr_desk_group(&d->desk, "read", "As read");
    mdr_line_put_width(d, "wider_by_cm", "layflat_wider_by_cm", "wider than planned by",
                       is->width_cm - planned->width_cm);
    mdr_desk_number(&d->desk, "courses_off_pct", "courses more than planned by", "%",
                    PCT * (is->courses_per_cm / planned->courses_per_cm - 1.0));
    mdr_desk_number(&d->desk, "conditioned_gsm", "weight by loops and mass", "g/m2",
                    mdr_web_conditioned_gsm(is, j->in.regain_kg_per_kg));
    if (d->q->has_wet_gsm) {
        mdr_desk_number(&d->desk, "weighed_off_pct", "weighed more than that by", "%", PCT * off);
    } else {
        mdr_desk_none(&d->desk, "weighed_off_pct", "weighed more than that by", "%");
    }
    mdr_desk_number(&d->desk, "length_shrink_pct", "length shrinkage left", "%",
                    PCT * left.length_fraction);
    mdr_desk_number(&d->desk, "width_shrink_pct", "width shrinkage left", "%",
                    PCT * left.width_fraction);
    mdr_desk_group(&d->desk, NULL, NULL);
}

static void note_weight(mdr_line_desk *d, double off)
{
    const double few = 0.03; /* a few per cent: common practice */
    if (off > few || off < -few) {
        mdr_desk_note(&d->desk, "Weighed, the fabric is more than 3 % off what its loops and mass "
                                "say: yarn, loop length or the moisture reading is not as told. No "
                                "width or overfeed cures that.");
    }
}

/* Behind the last pass nothing is left to set: it is judged as it is. */
static void put_end(mdr_line_desk *d, const job *j, const mdr_web *is)
{
    const double near = 1e-3; /* of a residual: invented, below what can be read */
    const mdr_residual left = mdr_web_residual(is, &j->in.relaxed);
    const mdr_spec_point p = mdr_aim_point(is, &j->in.relaxed, j->in.regain_kg_per_kg);
    const double off_length = left.length_fraction - j->goal.residual.length_fraction;
    const double off_width = left.width_fraction - j->goal.residual.width_fraction;
    const bool met = j->spec ? mdr_spec_meets(&j->in.demand, &p, MDR_AIM_MET_FRAC)
                             : off_length <= near && off_length >= -near && off_width <= near &&
                                   off_width >= -near;
    put_verdict(d, met);
    mdr_line_put_finished(d, is, left);
}

static mdr_code put_rest(mdr_line_desk *d, const job *j, const mdr_web *is, mdr_err *err)
{
    const int done = d->q->pass;
    job rest = *j;
    mdr_aim aim = {.met = false};
    mdr_settled s = {.met = false};
    bool met = false;
    if (done == j->in.line.n) {
        put_end(d, j, is);
        return MDR_OK;
    }
    rest.in.start = *is;
    rest.in.line = mdr_line_rest(&j->in.line, done);
    MDR_TRY(mdr_line_blame(d->q, done, settle(&rest, &aim, &s, &met, err), err));
    put_line(d, &rest, &aim, &s, met);
    return MDR_OK;
}

mdr_code mdr_answer_read(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const job j = job_of(q);
    mdr_aim aim = {.met = false};
    mdr_settled s = {.met = false};
    mdr_web is;
    bool met = false;
    double off = 0.0;
    MDR_TRY(mdr_line_blame(q, 0, settle(&j, &aim, &s, &met, err), err));
    const mdr_web *planned = &s.after[q->pass - 1];
    const mdr_web_reading reading = {.width_cm = q->wide[MDR_WIDTH_READ].width_cm,
                                     .courses_per_cm = q->read_courses_per_cm,
                                     .moisture_kg_per_kg = q->read_moisture_kg_per_kg,
                                     .wet_gsm = q->read_wet_gsm};
    MDR_TRY(mdr_web_read(planned, &reading, &is, &off, err));
    mdr_line_because(d, MDR_WHY_READ);
    mdr_line_because(d, MDR_WHY_SETTLE);
    mdr_line_because(d, MDR_WHY_RESIDUAL);
    put_reading(d, planned, &is, off, &j);
    MDR_TRY(put_rest(d, &j, &is, err));
    note_weight(d, off);
    return MDR_OK;
}
