/* From the wet rope to the finished fabric: settings of each pass, and what to measure behind it.
 *
 * The settings are those of mdr_line_settle (core/finish), figure by figure, so that each can be
 * asked why; a test holds the two against each other. */
#include "core/finish/mdr_settle.h"
#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_plan_line.h"

static const mdr_where LOT = {0};
/* A rope pulled through the machine and lifted out is longer than wet fabric left alone. So much
 * longer that, with the usual stretch of squeezing, single jersey weighs 9 % less than finished
 * when it has been dewatered; published are 9.2 % for it, 7.3 % for rib and pique. */
static const double ROPE_DRAW_PCT = 5.0;

static const char *const NUMBERS[MDR_ROUTE_PASSES_MAX] = {"1", "2", "3", "4",  "5",  "6",
                                                          "7", "8", "9", "10", "11", "12"};

mdr_fig_id mdr_plan_of_pass(mdr_planner *p, const mdr_plan_pass *pass, mdr_qty qty, mdr_rule rule,
                            const mdr_fig_id *in, int n)
{
    const mdr_fig_id id = mdr_fig_rule(p->f, qty, LOT, rule, in, n);
    mdr_fig_belongs(p->f, id, "pass", pass->number);
    return id;
}

mdr_fig_id mdr_plan_of_finisher(mdr_planner *p, const mdr_finisher *m, double value,
                                const char *unit, const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){.table = "finisher", .record_id = m->finisher_id, .field = field});
}

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* -- the passes of the route, and the machines for them -- */

typedef struct pass_sort {
    mdr_pass_kind kind;
    bool shapes, sets;
} pass_sort;

static pass_sort sort_of(mdr_route_pass_kind kind)
{
    switch (kind) {
    case MDR_ROUTE_PASS_SLIT:
        return (pass_sort){MDR_PASS_DEWATER, true, false};
    case MDR_ROUTE_PASS_SQUEEZE:
        return (pass_sort){MDR_PASS_BALLOON, true, false};
    case MDR_ROUTE_PASS_STENTER:
        return (pass_sort){MDR_PASS_STENTER, true, false};
    case MDR_ROUTE_PASS_HEAT_SET:
        return (pass_sort){MDR_PASS_STENTER, true, true};
    case MDR_ROUTE_PASS_DRY:
        return (pass_sort){MDR_PASS_RELAX_DRY, true, false};
    case MDR_ROUTE_PASS_COMPACT:
        return (pass_sort){MDR_PASS_COMPACT, true, false};
    case MDR_ROUTE_PASS_TUBE_COMPACT:
        return (pass_sort){MDR_PASS_TUBE_COMPACT, true, false};
    case MDR_ROUTE_PASS_PAD:
        return (pass_sort){MDR_PASS_PAD, true, false};
    case MDR_ROUTE_PASS_SPREAD:
        return (pass_sort){MDR_PASS_SPREAD, true, false};
    case MDR_ROUTE_PASS_BRUSH:
        break;
    }
    return (pass_sort){MDR_PASS_KINDS, false, false};
}

/* The first of its kind that the fabric fits; else the first. */
static const mdr_finisher *machine_for(const mdr_planner *p, const mdr_plan_finish *f,
                                       mdr_pass_kind kind)
{
    const double lies_cm = value(p, f->aim_width_cm) / (f->tube ? 2.0 : 1.0);
    const mdr_finisher *first = NULL;
    for (int i = 0; i < p->in->n_finishers; i++) {
        const mdr_finisher *m = &p->in->finishers[i];
        if (m->kind != (int)kind) {
            continue;
        }
        first = first == NULL ? m : first;
        if (lies_cm >= m->width_min_cm && lies_cm <= m->width_max_cm) {
            return m;
        }
    }
    return first;
}

static void open_pass(mdr_planner *p, mdr_plan_line *l, int i)
{
    mdr_plan_pass *pass = &l->f->passes[i];
    const pass_sort sort = sort_of(p->in->route->passes[i].kind);
    *pass = (mdr_plan_pass){.asked = &p->in->route->passes[i],
                            .number = NUMBERS[i],
                            .shapes = sort.shapes,
                            .grips = sort.shapes && mdr_pass_grips(sort.kind),
                            .compacts = sort.shapes && mdr_pass_compacts(sort.kind),
                            .sets = sort.sets,
                            .set_width_cm = MDR_FIG_NONE,
                            .set_layflat_cm = MDR_FIG_NONE,
                            .overfeed_pct = MDR_FIG_NONE,
                            .length_loss_pct = MDR_FIG_NONE,
                            .temp_c = MDR_FIG_NONE,
                            .dwell_s = MDR_FIG_NONE,
                            .speed_m_per_min = MDR_FIG_NONE,
                            .layflat_cm = MDR_FIG_NONE,
                            .minutes = MDR_FIG_NONE,
                            .power_kwh = MDR_FIG_NONE,
                            .evaporated_kg = MDR_FIG_NONE,
                            .heat_mj = MDR_FIG_NONE,
                            .weighed_off_pct = MDR_FIG_NONE};
    l->kind[i] = sort.kind;
    if (!sort.shapes) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_RAISED, LOT, MDR_FIG_NONE, mdr_arg_text(pass->number));
        return;
    }
    pass->machine = machine_for(p, l->f, sort.kind);
    if (pass->machine == NULL) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISHER_NONE, LOT, MDR_FIG_NONE,
                      mdr_arg_text(mdr_route_pass_words(pass->asked->kind)));
    }
    l->grip = pass->grips ? i : l->grip;
    l->compactor = pass->compacts ? i : l->compactor;
}

/* -- the wet fabric -- */

static mdr_fig_id wet_count(mdr_planner *p, mdr_qty qty, mdr_fig_id relaxed, double wet,
                            double full, const char *field)
{
    return MDR_FINISH_FIG(
        p, qty, MDR_RULE_WET_COUNT, relaxed,
        mdr_plan_constant(p, wet, "cm/cm", "Constant of the wet state", "munden-1959", field),
        mdr_plan_constant(p, full, "cm/cm", "Constant of the fully relaxed state", "knapton-1968",
                          field));
}

static void start(mdr_planner *p, mdr_plan_finish *f)
{
    const mdr_lot *lot = p->in->lot;
    const mdr_construction knit = (mdr_construction)lot->article->construction;
    const mdr_knit_constants wet = mdr_knit_constants_of(knit, MDR_RELAX_WET);
    const mdr_knit_constants full = mdr_knit_constants_of(knit, MDR_RELAX_FULL);
    const mdr_fig_id loss = mdr_fig_input(
        p->f, lot->loss_pct, "%", "Loss from grey to finished",
        (mdr_fig_source){.table = "order", .record_id = lot->order_id, .field = "loss_pct"});
    f->finished_kg =
        MDR_FINISH_FIG(p, MDR_QTY_FINISHED_KG, MDR_RULE_FINISHED_KG, p->plan->load_kg, loss);
    f->dry_kg =
        MDR_FINISH_FIG(p, MDR_QTY_DRY_KG, MDR_RULE_BONE_DRY, f->finished_kg, p->i.regain_kg_per_kg);
    const mdr_fig_id untouched = wet_count(p, MDR_QTY_WET_COURSES, f->relaxed_courses_per_cm,
                                           wet.kc_cm, full.kc_cm, "kc_cm");
    f->start_courses_per_cm =
        MDR_FINISH_FIG(p, MDR_QTY_START_COURSES, MDR_RULE_OVERFED_LENGTH, untouched,
                       mdr_plan_constant(p, ROPE_DRAW_PCT, "%", "Length drawn out as a rope",
                                         "gsm-after-dewatering", "rope_draw_pct"));
    f->start_wales_per_cm =
        wet_count(p, MDR_QTY_START_WALES, f->relaxed_wales_per_cm, wet.kw_cm, full.kw_cm, "kw_cm");
    f->start_width_cm = MDR_FINISH_FIG(p, MDR_QTY_START_WIDTH, MDR_RULE_BY_WIDTH, f->needles,
                                       f->start_wales_per_cm);
    const mdr_fig_id dry = MDR_FINISH_FIG(p, MDR_QTY_RELAXED_DRY, MDR_RULE_BONE_DRY, f->relaxed_gsm,
                                          p->i.regain_kg_per_kg);
    f->start_dry_gsm =
        MDR_FINISH_FIG(p, MDR_QTY_START_DRY, MDR_RULE_DRY_GSM_AT, dry, f->start_courses_per_cm,
                       f->start_wales_per_cm, f->relaxed_courses_per_cm, f->relaxed_wales_per_cm);
    f->start_moisture_pct = MDR_FINISH_FIG(p, MDR_QTY_START_MOISTURE, MDR_RULE_ROPE_MOISTURE,
                                           p->i.retained_l_per_kg, p->i.regain_kg_per_kg);
    f->start_length_m = MDR_FINISH_FIG(p, MDR_QTY_START_LENGTH, MDR_RULE_FABRIC_LENGTH, f->dry_kg,
                                       f->start_dry_gsm, f->start_width_cm);
}

static mdr_plan_web start_of(const mdr_plan_finish *f)
{
    return (mdr_plan_web){.width_cm = f->start_width_cm,
                          .courses_per_cm = f->start_courses_per_cm,
                          .wales_per_cm = f->start_wales_per_cm,
                          .dry_gsm = f->start_dry_gsm,
                          .moisture_pct = f->start_moisture_pct,
                          .length_m = f->start_length_m,
                          .wet_gsm = MDR_FIG_NONE,
                          .conditioned_gsm = MDR_FIG_NONE};
}

/* -- the line -- */

/* The passes that were run: those up to the last one that was read. */
static void take_readings(mdr_planner *p, mdr_plan_line *l)
{
    for (int i = 0; i < p->in->n_readings; i++) {
        const mdr_pass_reading *r = &p->in->readings[i];
        l->f->passes[r->pass - 1].read = r;
        l->done = r->pass > l->done ? r->pass : l->done;
    }
}

/* A tube is not slit, and open fabric has no frame inside. */
static void judge_line(mdr_planner *p, const mdr_plan_finish *f)
{
    for (int i = 0; i < f->n_passes; i++) {
        const mdr_route_pass_kind kind = f->passes[i].asked->kind;
        const bool open = kind == MDR_ROUTE_PASS_SLIT || kind == MDR_ROUTE_PASS_STENTER ||
                          kind == MDR_ROUTE_PASS_HEAT_SET || kind == MDR_ROUTE_PASS_COMPACT;
        const bool tube = kind == MDR_ROUTE_PASS_SQUEEZE || kind == MDR_ROUTE_PASS_SPREAD ||
                          kind == MDR_ROUTE_PASS_TUBE_COMPACT;
        if (f->tube ? open : tube) {
            MDR_PLAN_WARN(p, MDR_WARN_FINISH_LINE, LOT, MDR_FIG_NONE,
                          mdr_arg_text(p->in->lot->article->article_id),
                          mdr_arg_part(f->tube ? "part.as-tube" : "part.at-open-width"),
                          mdr_arg_text(mdr_route_pass_words(kind)),
                          mdr_arg_part(f->tube ? "part.open-fabric" : "part.tube"));
            return; /* once: the others follow from it */
        }
    }
}

void mdr_plan_finish_make(mdr_planner *p)
{
    const int n = p->in->route->n_passes;
    if (n < 1 || n > MDR_ROUTE_PASSES_MAX || p->failed) {
        return;
    }
    mdr_plan_finish *f = MDR_NEW(p->arena, mdr_plan_finish);
    if (f == NULL || (f->passes = MDR_NEW_N(p->arena, mdr_plan_pass, (size_t)n)) == NULL) {
        p->failed = true;
        return;
    }
    if (!mdr_plan_relaxed(p, f)) {
        return;
    }
    mdr_plan_aim(p, f);
    start(p, f);
    if (p->f->failed) {
        return;
    }
    mdr_plan_line l = {.f = f, .grip = -1, .compactor = -1};
    f->n_passes = n;
    for (int i = 0; i < n; i++) {
        open_pass(p, &l, i);
    }
    judge_line(p, f);
    take_readings(p, &l);
    mdr_plan_web read = start_of(f);
    if (l.done > 0) {
        read = mdr_plan_read_behind(p, &l, l.done - 1);
        l.read_courses_per_cm = read.courses_per_cm;
    }
    mdr_plan_settle_width(p, &l);
    mdr_plan_settle_length(p, &l);
    mdr_plan_web now = start_of(f);
    for (int i = 0; i < n && !p->f->failed; i++) {
        now = mdr_plan_behind(p, &l, i, now);
        if (i == l.done - 1) {
            now = read;
        } else if (f->passes[i].read != NULL) {
            (void)mdr_plan_read_behind(p, &l, i); /* an earlier one: shown, but it is past */
        }
    }
    mdr_plan_outcome_make(p, f, &now);
    p->plan->finish = f;
}
