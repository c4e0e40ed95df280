/* What each pass is set to, so that the line ends at its aim: within what its machine can. */
#include "core/plan/mdr_plan_line.h"

static const mdr_where LOT = {0};

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

mdr_fig_id mdr_plan_usual(mdr_planner *p, const mdr_plan_pass *pass, double own, double common,
                          const char *unit, const char *label, const char *field)
{
    return pass->machine != NULL
               ? mdr_plan_of_finisher(p, pass->machine, own, unit, label, field)
               : mdr_plan_constant(p, common, unit, label, "finishing-settings", field);
}

static mdr_fig_id usual_overfeed(mdr_planner *p, const mdr_plan_line *l, int i)
{
    const mdr_plan_pass *pass = &l->f->passes[i];
    return mdr_plan_usual(p, pass, pass->machine != NULL ? pass->machine->overfeed_pct : 0.0,
                          MDR_PLAN_PCT * mdr_pass_usual_of(l->kind[i])->overfeed_fraction.usual,
                          "%", "Usual overfeed", "overfeed_pct");
}

mdr_fig_id mdr_plan_usual_change(mdr_planner *p, const mdr_plan_line *l, int i)
{
    const mdr_plan_pass *pass = &l->f->passes[i];
    return mdr_plan_usual(p, pass, pass->machine != NULL ? pass->machine->width_change_pct : 0.0,
                          MDR_PLAN_PCT * mdr_pass_usual_of(l->kind[i])->width_change_fraction.usual,
                          "%", "Usual change of the width", "width_change_pct");
}

/* `wanted`, as near as the machine can be set to it. */
static mdr_fig_id settable_overfeed(mdr_planner *p, mdr_plan_pass *pass, mdr_fig_id wanted)
{
    const mdr_finisher *m = pass->machine;
    if (m == NULL) {
        return MDR_PASS_FIG(p, pass, MDR_QTY_OVERFEED, MDR_RULE_SAME, wanted);
    }
    const mdr_fig_id least =
        mdr_plan_of_finisher(p, m, m->overfeed_min_pct, "%", "Least overfeed", "overfeed_min_pct");
    const mdr_fig_id most = mdr_plan_of_finisher(p, m, m->overfeed_max_pct, "%",
                                                 "Greatest overfeed", "overfeed_max_pct");
    const mdr_fig_id set =
        MDR_PASS_FIG(p, pass, MDR_QTY_OVERFEED, MDR_RULE_WITHIN, wanted, least, most);
    if (value(p, set) < value(p, wanted) - MDR_PLAN_HAIR ||
        value(p, set) > value(p, wanted) + MDR_PLAN_HAIR) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_OVERFEED, LOT, set, mdr_arg_text(m->name),
                      mdr_arg_number(value(p, wanted), 1), mdr_arg_number(value(p, set), 1));
    }
    return set;
}

static mdr_fig_id limit_cm(mdr_planner *p, const mdr_plan_line *l, const mdr_plan_pass *pass,
                           double cm, mdr_qty qty, const char *field)
{
    const mdr_fig_id lies =
        mdr_plan_of_finisher(p, pass->machine, cm, "cm", "Width of the fabric as it lies", field);
    return l->f->tube ? MDR_PASS_FIG(p, pass, qty, MDR_RULE_TWICE, lies)
                      : MDR_PASS_FIG(p, pass, qty, MDR_RULE_SAME, lies);
}

static mdr_fig_id settable_width(mdr_planner *p, const mdr_plan_line *l, mdr_plan_pass *pass,
                                 mdr_fig_id wanted)
{
    const mdr_finisher *m = pass->machine;
    if (m == NULL) {
        return MDR_PASS_FIG(p, pass, MDR_QTY_SET_WIDTH, MDR_RULE_SAME, wanted);
    }
    const mdr_fig_id set =
        MDR_PASS_FIG(p, pass, MDR_QTY_SET_WIDTH, MDR_RULE_WITHIN, wanted,
                     limit_cm(p, l, pass, m->width_min_cm, MDR_QTY_WIDTH_LEAST, "width_min_cm"),
                     limit_cm(p, l, pass, m->width_max_cm, MDR_QTY_WIDTH_MOST, "width_max_cm"));
    if (value(p, set) < value(p, wanted) - MDR_PLAN_HAIR ||
        value(p, set) > value(p, wanted) + MDR_PLAN_HAIR) {
        const double per = l->f->tube ? 2.0 : 1.0;
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_WIDTH, LOT, set, mdr_arg_text(m->name),
                      mdr_arg_number(value(p, wanted) / per, 1),
                      mdr_arg_number(value(p, set) / per, 1));
    }
    return set;
}

void mdr_plan_settle_width(mdr_planner *p, mdr_plan_line *l)
{
    mdr_fig_id in[MDR_ROUTE_PASSES_MAX + 1] = {l->f->aim_width_cm};
    int n = 1;
    if (l->grip < 0) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_UNSET, LOT, MDR_FIG_NONE, mdr_arg_part("part.width"));
        return;
    }
    if (l->grip < l->done && l->done < l->f->n_passes) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_LEFT, LOT, MDR_FIG_NONE, mdr_arg_part("part.width"));
    }
    for (int i = l->grip + 1; i < l->f->n_passes; i++) {
        if (l->f->passes[i].shapes) {
            in[n++] = mdr_plan_usual_change(p, l, i);
        }
    }
    const mdr_fig_id wanted = mdr_plan_of_pass(p, &l->f->passes[l->grip], MDR_QTY_SET_WIDTH_WANTED,
                                               MDR_RULE_WIDTH_BEFORE, in, n);
    for (int i = 0; i <= l->grip; i++) { /* an earlier one grips at the same width */
        mdr_plan_pass *pass = &l->f->passes[i];
        if (pass->grips) {
            pass->set_width_cm = settable_width(p, l, pass, wanted);
        }
    }
}

/* Overfeed that pass `i` should have, the others being as they are. */
static mdr_fig_id wanted_overfeed(mdr_planner *p, const mdr_plan_line *l, int i)
{
    const bool left = i >= l->done; /* from the fabric as it was read; else from the wet one */
    mdr_fig_id in[MDR_ROUTE_PASSES_MAX + 2] = {l->f->aim_courses_per_cm,
                                               left && l->done > 0 ? l->read_courses_per_cm
                                                                   : l->f->start_courses_per_cm};
    int n = 2;
    for (int k = left ? l->done : 0; k < l->f->n_passes; k++) {
        if (k != i && l->f->passes[k].shapes) {
            in[n++] = l->f->passes[k].overfeed_pct;
        }
    }
    return mdr_plan_of_pass(p, &l->f->passes[i], MDR_QTY_OVERFEED_WANTED, MDR_RULE_OVERFEED_WANTED,
                            in, n);
}

void mdr_plan_settle_length(mdr_planner *p, mdr_plan_line *l)
{
    for (int i = 0; i < l->f->n_passes; i++) {
        if (l->f->passes[i].shapes && i != l->grip) {
            l->f->passes[i].overfeed_pct = usual_overfeed(p, l, i);
        }
    }
    if (l->grip >= 0) {
        mdr_plan_pass *pass = &l->f->passes[l->grip];
        pass->overfeed_pct = settable_overfeed(p, pass, wanted_overfeed(p, l, l->grip));
    }
    if (l->compactor >= 0) {
        mdr_plan_pass *pass = &l->f->passes[l->compactor];
        pass->overfeed_pct = settable_overfeed(p, pass, wanted_overfeed(p, l, l->compactor));
    }
    if (l->grip < l->done && l->compactor < l->done && l->done < l->f->n_passes) {
        MDR_PLAN_WARN(
            p, l->grip >= 0 || l->compactor >= 0 ? MDR_WARN_FINISH_LEFT : MDR_WARN_FINISH_UNSET,
            LOT, MDR_FIG_NONE, mdr_arg_part("part.length"));
    }
    for (int i = 0; i < l->f->n_passes; i++) {
        mdr_plan_pass *pass = &l->f->passes[i];
        if (pass->compacts) {
            pass->length_loss_pct = MDR_PASS_FIG(p, pass, MDR_QTY_LENGTH_LOSS, MDR_RULE_LENGTH_LOSS,
                                                 pass->overfeed_pct);
        }
    }
}
