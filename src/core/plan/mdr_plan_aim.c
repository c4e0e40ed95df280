/* What of the specification to aim at, and what to say when the fabric cannot meet it. */
#include <math.h>

#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_pick.h"
#include "core/plan/mdr_planner.h"

#define DEMAND_ID(name, id, ...)            id,
#define DEMAND_WORDS(name, id, words, unit) words,
#define DEMAND_UNIT(name, id, words, unit)  unit,
MDR_PICK(mdr_plan_demand_id, mdr_plan_demand, MDR_PLAN_DEMANDS(DEMAND_ID))
MDR_PICK(mdr_plan_demand_words, mdr_plan_demand, MDR_PLAN_DEMANDS(DEMAND_WORDS))
MDR_PICK(mdr_plan_demand_unit, mdr_plan_demand, MDR_PLAN_DEMANDS(DEMAND_UNIT))

static const double PCT = 100.0;
static const mdr_where LOT = {0};

static double tol_pct(const mdr_article *a)
{
    const mdr_spec_demand usual =
        mdr_spec_usual_demand(a->finished_gsm, a->finished_width_cm, 0.0, 0.0);
    return a->gsm_tol_pct > 0.0 ? a->gsm_tol_pct : usual.gsm_tol_pct;
}

static double tol_cm(const mdr_article *a)
{
    const mdr_spec_demand usual =
        mdr_spec_usual_demand(a->finished_gsm, a->finished_width_cm, 0.0, 0.0);
    return a->width_tol_cm > 0.0 ? a->width_tol_cm : usual.width_tol_cm;
}

static double growth_pct(void)
{
    return -PCT * mdr_spec_usual_min_frac();
}

mdr_plan_outcome mdr_plan_allowed(const mdr_article *a, mdr_plan_demand which)
{
    const double gsm = a->finished_gsm, width_cm = a->finished_width_cm;
    mdr_plan_outcome o = {.value = MDR_FIG_NONE};
    switch (which) {
    case MDR_DEMAND_WIDTH:
        o.low = width_cm - tol_cm(a);
        o.high = width_cm + tol_cm(a);
        break;
    case MDR_DEMAND_GSM:
        o.low = gsm * (1.0 - tol_pct(a) / PCT);
        o.high = gsm * (1.0 + tol_pct(a) / PCT);
        break;
    case MDR_DEMAND_LENGTH:
        o.low = -growth_pct();
        o.high = a->shrink_length_max_pct;
        break;
    case MDR_DEMAND_ACROSS:
        o.low = -growth_pct();
        o.high = a->shrink_width_max_pct;
        break;
    case MDR_DEMAND_SPIRALITY:
        o.high = a->spirality_max_pct;
        break;
    case MDR_DEMAND_COUNT:
        break;
    }
    return o;
}

/* -- inputs of the aim -- */

static mdr_fig_id tolerance(mdr_planner *p, double own, double usual, const char *unit,
                            const char *label, const char *field)
{
    return own > 0.0 ? mdr_plan_of_article(p, own, unit, label, field)
                     : mdr_fig_input(p->f, usual, unit, label,
                                     (mdr_fig_source){.table = "const",
                                                      .record_id = "finish-tolerances",
                                                      .field = field});
}

enum { AIM_INPUTS = 9 };

static void aim_inputs(mdr_planner *p, const mdr_plan_finish *f, mdr_fig_id out[AIM_INPUTS])
{
    const mdr_article *a = p->in->lot->article;
    out[0] = f->relaxed_gsm;
    out[1] = f->relaxed_width_cm;
    out[2] = mdr_plan_of_article(p, a->finished_gsm, "g/m2", "Weight asked for", "finished_gsm");
    out[3] = tolerance(p, a->gsm_tol_pct, tol_pct(a), "%", "Its tolerance", "gsm_tol_pct");
    out[4] = mdr_plan_of_article(p, a->finished_width_cm, "cm", "Open width asked for",
                                 "finished_width_cm");
    out[5] = tolerance(p, a->width_tol_cm, tol_cm(a), "cm", "Its tolerance", "width_tol_cm");
    out[6] = mdr_plan_of_article(p, a->shrink_length_max_pct, "%", "Length shrinkage allowed",
                                 "shrink_length_max_pct");
    out[7] = mdr_plan_of_article(p, a->shrink_width_max_pct, "%", "Width shrinkage allowed",
                                 "shrink_width_max_pct");
    out[8] = mdr_fig_input(p->f, growth_pct(), "%", "Growth in washing that is accepted",
                           (mdr_fig_source){.table = "const",
                                            .record_id = "finish-tolerances",
                                            .field = "growth_accepted_pct"});
}

/* -- what it would take -- */

static mdr_spec_in question(mdr_planner *p, const mdr_plan_finish *f)
{
    const mdr_article *a = p->in->lot->article;
    return (mdr_spec_in){
        .relaxed = {.gsm = mdr_fig_value(p->f, f->relaxed_gsm),
                    .width_cm = mdr_fig_value(p->f, f->relaxed_width_cm)},
        .demand = {.gsm = a->finished_gsm,
                   .gsm_tol_pct = tol_pct(a),
                   .width_cm = a->finished_width_cm,
                   .width_tol_cm = tol_cm(a),
                   .length_shrink_max_frac = a->shrink_length_max_pct / PCT,
                   .width_shrink_max_frac = a->shrink_width_max_pct / PCT,
                   .length_shrink_min_frac = mdr_spec_usual_min_frac(),
                   .width_shrink_min_frac = mdr_spec_usual_min_frac()},
    };
}

static void say_give(mdr_planner *p, mdr_spec_which which, const mdr_spec_give *give)
{
    static const mdr_plan_demand DEMAND[MDR_SPEC_DEMANDS] = {
        [MDR_SPEC_GSM] = MDR_DEMAND_GSM,
        [MDR_SPEC_WIDTH] = MDR_DEMAND_WIDTH,
        [MDR_SPEC_LENGTH_SHRINK] = MDR_DEMAND_LENGTH,
        [MDR_SPEC_WIDTH_SHRINK] = MDR_DEMAND_ACROSS,
    };
    const mdr_plan_demand demand = DEMAND[which];
    const mdr_plan_outcome now = mdr_plan_allowed(p->in->lot->article, demand);
    const bool shrinkage = demand == MDR_DEMAND_LENGTH || demand == MDR_DEMAND_ACROSS;
    const double limit = shrinkage ? PCT * give->limit : give->limit;
    MDR_PLAN_WARN(p, MDR_WARN_SPEC_GIVE, LOT, MDR_FIG_NONE,
                  mdr_arg_text(mdr_plan_demand_words(demand)),
                  mdr_arg_part(give->upper ? "part.up-to" : "part.down-to"),
                  mdr_arg_number(limit, 1), mdr_arg_number(give->upper ? now.high : now.low, 1),
                  mdr_arg_text(shrinkage               ? "%"
                               : which == MDR_SPEC_GSM ? "g/m²"
                                                       : "cm"));
}

static void say_knit(mdr_planner *p, mdr_spec_change what, const mdr_spec_cure *cure)
{
    const mdr_article *a = p->in->lot->article;
    const double now = what == MDR_SPEC_LOOP   ? a->loop_mm
                       : what == MDR_SPEC_YARN ? a->yarn_ne
                                               : a->diameter_inch;
    const double then = what == MDR_SPEC_YARN ? now / cure->factor : now * cure->factor;
    MDR_PLAN_WARN(p, MDR_WARN_SPEC_KNIT, LOT, MDR_FIG_NONE,
                  mdr_arg_part(what == MDR_SPEC_LOOP   ? "part.loop"
                               : what == MDR_SPEC_YARN ? "part.yarn"
                                                       : "part.diameter"),
                  mdr_arg_number(then, what == MDR_SPEC_LOOP ? 3 : 1),
                  mdr_arg_number(now, what == MDR_SPEC_LOOP ? 3 : 1),
                  mdr_arg_number(PCT * (then / now - 1.0), 1),
                  what == MDR_SPEC_YARN   ? mdr_arg_text("") /* Ne stands before the number */
                  : what == MDR_SPEC_LOOP ? mdr_arg_part("part.loop-unit")
                                          : mdr_arg_part("part.diameter-unit"));
}

static void say_clash(mdr_planner *p, const mdr_plan_finish *f)
{
    const mdr_spec_in in = question(p, f);
    const mdr_spec_answer answer = mdr_spec_answer_of(&in);
    MDR_PLAN_WARN(p, MDR_WARN_SPEC_CLASH, LOT, f->aim_strain_pct,
                  mdr_arg_number(answer.best.width_cm, 1), mdr_arg_number(answer.best.gsm, 1),
                  mdr_arg_number(PCT * answer.best.length_shrink_frac, 1),
                  mdr_arg_number(PCT * answer.best.width_shrink_frac, 1),
                  mdr_arg_number(PCT * answer.strain, 0));
    for (int i = 0; i < MDR_SPEC_DEMANDS; i++) {
        if (answer.give[i].cures && answer.give[i].by > 0.0) {
            say_give(p, (mdr_spec_which)i, &answer.give[i]);
        }
    }
    for (int i = 0; i < MDR_SPEC_CHANGES; i++) {
        if (answer.cure[i].cures && answer.cure[i].factor > 0.0 &&
            fabs(answer.cure[i].factor - 1.0) > 0.0) {
            say_knit(p, (mdr_spec_change)i, &answer.cure[i]);
        }
    }
}

void mdr_plan_aim(mdr_planner *p, mdr_plan_finish *f)
{
    mdr_fig_id in[AIM_INPUTS];
    aim_inputs(p, f, in);
    f->aim_length_pct =
        mdr_plan_of_finish(p, MDR_QTY_AIM_LENGTH, MDR_RULE_AIM_LENGTH, in, AIM_INPUTS);
    f->aim_across_pct =
        mdr_plan_of_finish(p, MDR_QTY_AIM_ACROSS, MDR_RULE_AIM_ACROSS, in, AIM_INPUTS);
    f->aim_strain_pct =
        mdr_plan_of_finish(p, MDR_QTY_AIM_STRAIN, MDR_RULE_AIM_STRAIN, in, AIM_INPUTS);
    f->aim_width_cm = MDR_FINISH_FIG(p, MDR_QTY_AIM_WIDTH, MDR_RULE_WIDTH_AT, f->relaxed_width_cm,
                                     f->aim_across_pct);
    f->aim_gsm = MDR_FINISH_FIG(p, MDR_QTY_AIM_GSM, MDR_RULE_GSM_AT, f->relaxed_gsm,
                                f->aim_length_pct, f->aim_across_pct);
    f->aim_courses_per_cm = MDR_FINISH_FIG(p, MDR_QTY_AIM_COURSES, MDR_RULE_AT_SHRINKAGE,
                                           f->relaxed_courses_per_cm, f->aim_length_pct);
    if (p->f->failed) {
        return; /* no memory: the figures are void, and nothing may be divided by them */
    }
    const mdr_spec_in asked = question(p, f);
    f->feasible = mdr_spec_answer_of(&asked).feasible;
    if (!f->feasible) {
        say_clash(p, f);
    }
}
