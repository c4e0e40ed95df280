/* What the finishing line is reckoned to reach, held against the specification; and what it takes. */
#include "core/finish/mdr_pass.h"
#include "core/plan/mdr_planner.h"

static const double PCT = 100.0;
static const mdr_where LOT = {0};
/* rounding is no miss */
static const double HAIR = 1e-9;

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* Measured spirality counts before the computed one, which knows of the feeders alone. */
static mdr_fig_id spirality(mdr_planner *p, const mdr_plan_finish *f)
{
    enum { ROOM = 24 };
    const mdr_article *a = p->in->lot->article;
    mdr_fig_id ids[ROOM];
    int n = 0;
    for (int i = 0; i < a->n_samples && n < ROOM; i++) {
        const mdr_wash_sample *s = &a->samples[i];
        if (s->spirality_pct > 0.0) {
            ids[n++] = mdr_fig_input(p->f, s->spirality_pct, "%", "Spirality of the washed sample",
                                     (mdr_fig_source){.table = "wash_sample",
                                                      .record_id = s->sample_id,
                                                      .field = "spirality_pct"});
        }
    }
    if (n > 0) {
        return mdr_plan_of_finish(p, MDR_QTY_SPIRALITY, MDR_RULE_MEAN, ids, n);
    }
    const bool balanced =
        a->construction == (int)MDR_KNIT_RIB_1X1 || a->construction == (int)MDR_KNIT_INTERLOCK;
    if (balanced || a->feeders <= 0) {
        return MDR_FIG_NONE;
    }
    const mdr_fig_id drop = MDR_FINISH_FIG(
        p, MDR_QTY_SPIRALITY, MDR_RULE_FEEDER_DROP,
        mdr_plan_of_article(p, a->feeders, "", "Feeders of the knitting machine", "feeders"),
        f->relaxed_wales_per_cm, f->needles, f->relaxed_courses_per_cm);
    MDR_PLAN_WARN(p, MDR_WARN_SPIRALITY_DROP, LOT, drop, mdr_arg_number(value(p, drop), 1));
    return drop;
}

static double off(double v, double low, double high)
{
    const double hair = HAIR * (1.0 + (high > 0.0 ? high : 0.0));
    return v < low - hair ? v - low : v > high + hair ? v - high : 0.0;
}

static void outcome(mdr_planner *p, mdr_plan_finish *f, const mdr_plan_web *end)
{
    const mdr_fig_id values[MDR_DEMAND_COUNT] = {
        [MDR_DEMAND_WIDTH] = end->width_cm,
        [MDR_DEMAND_GSM] = end->conditioned_gsm,
        [MDR_DEMAND_LENGTH] = MDR_FINISH_FIG(p, MDR_QTY_LEFT_LENGTH, MDR_RULE_SHRINKAGE_LEFT,
                                             end->courses_per_cm, f->relaxed_courses_per_cm),
        [MDR_DEMAND_ACROSS] = MDR_FINISH_FIG(p, MDR_QTY_LEFT_ACROSS, MDR_RULE_SHRINKAGE_LEFT,
                                             end->wales_per_cm, f->relaxed_wales_per_cm),
        [MDR_DEMAND_SPIRALITY] = spirality(p, f),
    };
    f->met = true;
    for (int i = 0; i < MDR_DEMAND_COUNT; i++) {
        mdr_plan_outcome *o = &f->outcome[i];
        *o = mdr_plan_allowed(p->in->lot->article, (mdr_plan_demand)i);
        o->value = values[i];
        if (o->value == MDR_FIG_NONE) {
            continue;
        }
        const double v = value(p, o->value);
        o->off = off(v, o->low, o->high);
        f->met = f->met && !(o->off < 0.0 || o->off > 0.0);
        if (i == MDR_DEMAND_SPIRALITY && o->off > 0.0) {
            MDR_PLAN_WARN(p, MDR_WARN_SPIRALITY, LOT, o->value, mdr_arg_number(v, 1),
                          mdr_arg_number(o->high, 1));
        } else if (f->feasible && (o->off < 0.0 || o->off > 0.0)) {
            MDR_PLAN_WARN(p, MDR_WARN_FINISH_MISS, LOT, o->value,
                          mdr_arg_text(mdr_plan_demand_words((mdr_plan_demand)i)),
                          mdr_arg_number(v, 1), mdr_arg_number(o->off < 0.0 ? -o->off : o->off, 1),
                          mdr_arg_text(mdr_plan_demand_unit((mdr_plan_demand)i)));
        }
    }
}

/* Damp fabric is not finished, whatever it would measure when it were dry. */
static void judge_end(mdr_planner *p, mdr_plan_finish *f, const mdr_plan_web *end)
{
    const double most = PCT * MDR_PASS_COMPACT_DAMPEST_KG_PER_KG;
    if (value(p, end->moisture_pct) > most + HAIR) {
        f->met = false;
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_WET, LOT, end->moisture_pct,
                      mdr_arg_number(value(p, end->moisture_pct), 0), mdr_arg_number(most, 0));
    }
}

static mdr_fig_id sum(mdr_planner *p, const mdr_plan_finish *f, mdr_qty qty, size_t offset)
{
    mdr_fig_id ids[MDR_ROUTE_PASSES_MAX];
    int n = 0;
    for (int i = 0; i < f->n_passes; i++) {
        const char *at = (const char *)&f->passes[i] + offset;
        ids[n++] = *(const mdr_fig_id *)(const void *)at;
    }
    return mdr_plan_of_finish(p, qty, MDR_RULE_SUM, ids, n);
}

static void totals(mdr_planner *p, mdr_plan_finish *f)
{
    f->minutes = sum(p, f, MDR_QTY_MINUTES, offsetof(mdr_plan_pass, minutes));
    f->power_kwh = sum(p, f, MDR_QTY_POWER, offsetof(mdr_plan_pass, power_kwh));
    f->evaporated_kg = sum(p, f, MDR_QTY_EVAPORATED, offsetof(mdr_plan_pass, evaporated_kg));
    f->heat_mj = sum(p, f, MDR_QTY_HEAT_MJ, offsetof(mdr_plan_pass, heat_mj));
}

void mdr_plan_outcome_make(mdr_planner *p, mdr_plan_finish *f, const mdr_plan_web *end)
{
    outcome(p, f, end);
    judge_end(p, f, end);
    totals(p, f);
}
