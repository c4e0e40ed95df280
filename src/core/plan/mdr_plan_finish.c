/* From the wet rope to the finished fabric: settings of each pass, and what to measure behind it.
 *
 * The settings are those of mdr_line_settle (core/finish), figure by figure, so that each can be
 * asked why; a test holds the two against each other. */
#include "core/finish/mdr_settle.h"

#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_planner.h"

static const double PCT = 100.0;
static const mdr_where LOT = {0};
/* Heat-setting of cotton with elastane: 185 to 195 C for 30 to 45 s, common practice. The air is a
 * little hotter than the fabric is to become, or it would take for ever: invented. */
static const double SETTING_AIR_C = 195.0, SETTING_DWELL_S = 35.0;
/* A rope pulled through the machine and lifted out is longer than wet fabric left alone. So much
 * longer that, with the usual stretch of squeezing, single jersey weighs 9 % less than finished
 * when it has been dewatered; published are 9.2 % for it, 7.3 % for rib and pique. */
static const double ROPE_DRAW_PCT = 5.0;
/* rounding is no miss */
static const double HAIR = 1e-9;

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

typedef struct line {
    mdr_plan_finish *f;
    mdr_pass_kind kind[MDR_ROUTE_PASSES_MAX];
    int grip, compactor; /* the passes whose settings are solved for; -1: there is none */
    int done;            /* passes that were run and read; their settings are past */
    mdr_fig_id read_courses_per_cm; /* behind the last of them */
} line;

static void open_pass(mdr_planner *p, line *l, int i)
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

/* What people call the pass: its machine, or what is done. */
static const char *name_of(const mdr_plan_pass *pass)
{
    return pass->machine != NULL ? pass->machine->name : mdr_route_pass_words(pass->asked->kind);
}

/* -- settings -- */

/* The machine's own usual setting, or the usual one of its kind. */
static mdr_fig_id usual(mdr_planner *p, const mdr_plan_pass *pass, double own, double common,
                        const char *unit, const char *label, const char *field)
{
    return pass->machine != NULL
               ? mdr_plan_of_finisher(p, pass->machine, own, unit, label, field)
               : mdr_plan_constant(p, common, unit, label, "finishing-settings", field);
}

static mdr_fig_id usual_overfeed(mdr_planner *p, const line *l, int i)
{
    const mdr_plan_pass *pass = &l->f->passes[i];
    return usual(p, pass, pass->machine != NULL ? pass->machine->overfeed_pct : 0.0,
                 PCT * mdr_pass_usual_of(l->kind[i])->overfeed_fraction.usual, "%",
                 "Usual overfeed", "overfeed_pct");
}

static mdr_fig_id usual_change(mdr_planner *p, const line *l, int i)
{
    const mdr_plan_pass *pass = &l->f->passes[i];
    return usual(p, pass, pass->machine != NULL ? pass->machine->width_change_pct : 0.0,
                 PCT * mdr_pass_usual_of(l->kind[i])->width_change_fraction.usual, "%",
                 "Usual change of the width", "width_change_pct");
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
    if (value(p, set) < value(p, wanted) - HAIR || value(p, set) > value(p, wanted) + HAIR) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_OVERFEED, LOT, set, mdr_arg_text(m->name),
                      mdr_arg_number(value(p, wanted), 1), mdr_arg_number(value(p, set), 1));
    }
    return set;
}

static mdr_fig_id limit_cm(mdr_planner *p, const line *l, const mdr_plan_pass *pass, double cm,
                           mdr_qty qty, const char *field)
{
    const mdr_fig_id lies =
        mdr_plan_of_finisher(p, pass->machine, cm, "cm", "Width of the fabric as it lies", field);
    return l->f->tube ? MDR_PASS_FIG(p, pass, qty, MDR_RULE_TWICE, lies)
                      : MDR_PASS_FIG(p, pass, qty, MDR_RULE_SAME, lies);
}

static mdr_fig_id settable_width(mdr_planner *p, const line *l, mdr_plan_pass *pass,
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
    if (value(p, set) < value(p, wanted) - HAIR || value(p, set) > value(p, wanted) + HAIR) {
        const double per = l->f->tube ? 2.0 : 1.0;
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_WIDTH, LOT, set, mdr_arg_text(m->name),
                      mdr_arg_number(value(p, wanted) / per, 1),
                      mdr_arg_number(value(p, set) / per, 1));
    }
    return set;
}

/* The width the last gripping pass has to give, so that later passes end at the aim. */
static void settle_width(mdr_planner *p, line *l)
{
    mdr_fig_id in[MDR_ROUTE_PASSES_MAX + 1] = {l->f->aim_width_cm};
    int n = 1;
    if (l->grip < 0) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_UNSET, LOT, MDR_FIG_NONE, mdr_arg_text("width"));
        return;
    }
    if (l->grip < l->done && l->done < l->f->n_passes) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_LEFT, LOT, MDR_FIG_NONE, mdr_arg_text("width"));
    }
    for (int i = l->grip + 1; i < l->f->n_passes; i++) {
        if (l->f->passes[i].shapes) {
            in[n++] = usual_change(p, l, i);
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
static mdr_fig_id wanted_overfeed(mdr_planner *p, const line *l, int i)
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

/* The compactor takes its usual share, the gripping pass the rest; what its limit leaves over, the
 * compactor takes. */
static void settle_length(mdr_planner *p, line *l)
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
            LOT, MDR_FIG_NONE, mdr_arg_text("length"));
    }
    for (int i = 0; i < l->f->n_passes; i++) {
        mdr_plan_pass *pass = &l->f->passes[i];
        if (pass->compacts) {
            pass->length_loss_pct = MDR_PASS_FIG(p, pass, MDR_QTY_LENGTH_LOSS, MDR_RULE_LENGTH_LOSS,
                                                 pass->overfeed_pct);
        }
    }
}

/* -- the fabric behind each pass -- */

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

static mdr_fig_id moisture_behind(mdr_planner *p, const line *l, int i, mdr_fig_id before)
{
    mdr_plan_pass *pass = &l->f->passes[i];
    const mdr_pass_kind kind = l->kind[i];
    if (kind == MDR_PASS_SPREAD) {
        return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, before);
    }
    const mdr_fig_id set =
        usual(p, pass, pass->machine != NULL ? pass->machine->moisture_out_pct : 0.0,
              PCT * mdr_pass_usual_of(kind)->moisture_kg_per_kg.usual, "%",
              "Usual moisture behind it", "moisture_out_pct");
    const bool wets = kind == MDR_PASS_PAD;
    const bool wrong = wets ? value(p, set) < value(p, before) : value(p, set) > value(p, before);
    if (wrong && !mdr_pass_compacts(kind)) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_MOISTURE, LOT, set, mdr_arg_text(name_of(pass)),
                      mdr_arg_number(value(p, set), 0), mdr_arg_number(value(p, before), 0),
                      mdr_arg_text(wets ? "wetted" : "dried"));
        return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, before);
    }
    return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, set);
}

static void measure(mdr_planner *p, const line *l, mdr_plan_pass *pass)
{
    pass->wet_gsm = MDR_PASS_FIG(p, pass, MDR_QTY_WET_GSM, MDR_RULE_MORE_PCT, pass->dry_gsm,
                                 pass->moisture_pct);
    pass->conditioned_gsm = MDR_PASS_FIG(p, pass, MDR_QTY_CONDITIONED_GSM, MDR_RULE_CONDITIONED,
                                         pass->dry_gsm, p->i.regain_kg_per_kg);
    if (l->f->tube) {
        pass->layflat_cm = MDR_PASS_FIG(p, pass, MDR_QTY_LAYFLAT, MDR_RULE_HALF, pass->width_cm);
        if (pass->grips) {
            pass->set_layflat_cm =
                MDR_PASS_FIG(p, pass, MDR_QTY_SET_LAYFLAT, MDR_RULE_HALF, pass->set_width_cm);
        }
    }
}

/* Compacted too dry or too damp, nothing stays. */
static void judge_entry(mdr_planner *p, const mdr_plan_pass *pass, mdr_fig_id moisture)
{
    const double pct = value(p, moisture);
    if (pass->compacts && (pct < PCT * MDR_PASS_COMPACT_DRIEST_KG_PER_KG - HAIR ||
                           pct > PCT * MDR_PASS_COMPACT_DAMPEST_KG_PER_KG + HAIR)) {
        MDR_PLAN_WARN(p, MDR_WARN_COMPACT_MOISTURE, LOT, moisture, mdr_arg_text(name_of(pass)),
                      mdr_arg_number(pct, 0),
                      mdr_arg_number(PCT * MDR_PASS_COMPACT_DRIEST_KG_PER_KG, 0),
                      mdr_arg_number(PCT * MDR_PASS_COMPACT_DAMPEST_KG_PER_KG, 0));
    }
}

static mdr_plan_web run(mdr_planner *p, const line *l, int i, mdr_plan_web in)
{
    mdr_plan_pass *pass = &l->f->passes[i];
    pass->width_cm = in.width_cm;
    pass->courses_per_cm = in.courses_per_cm;
    pass->wales_per_cm = in.wales_per_cm;
    pass->dry_gsm = in.dry_gsm;
    pass->moisture_pct = in.moisture_pct;
    pass->length_m = in.length_m;
    if (pass->shapes) {
        judge_entry(p, pass, in.moisture_pct);
        pass->width_cm = pass->grips ? MDR_PASS_FIG(p, pass, MDR_QTY_PASS_WIDTH, MDR_RULE_SAME,
                                                    pass->set_width_cm)
                                     : MDR_PASS_FIG(p, pass, MDR_QTY_PASS_WIDTH, MDR_RULE_MORE_PCT,
                                                    in.width_cm, usual_change(p, l, i));
        pass->courses_per_cm = MDR_PASS_FIG(p, pass, MDR_QTY_COURSES, MDR_RULE_MORE_PCT,
                                            in.courses_per_cm, pass->overfeed_pct);
        pass->wales_per_cm =
            MDR_PASS_FIG(p, pass, MDR_QTY_WALES, MDR_RULE_BY_WIDTH, l->f->needles, pass->width_cm);
        pass->dry_gsm = MDR_PASS_FIG(p, pass, MDR_QTY_DRY_GSM, MDR_RULE_OVERFED_GSM, in.dry_gsm,
                                     pass->overfeed_pct, in.width_cm, pass->width_cm);
        pass->length_m = MDR_PASS_FIG(p, pass, MDR_QTY_PASS_LENGTH, MDR_RULE_OVERFED_LENGTH,
                                      in.length_m, pass->overfeed_pct);
        pass->moisture_pct = moisture_behind(p, l, i, in.moisture_pct);
        if (pass->sets) {
            pass->dwell_s =
                mdr_plan_constant(p, SETTING_DWELL_S, "s", "Time at the setting temperature",
                                  "common-practice", "setting_dwell_s");
            pass->temp_c = mdr_plan_constant(p, SETTING_AIR_C, "degC", "Air of the heat-setting",
                                             "common-practice", "setting_air_c");
        } else if (pass->machine != NULL && pass->machine->temp_c > 0.0) {
            pass->temp_c = mdr_plan_of_finisher(p, pass->machine, pass->machine->temp_c, "degC",
                                                "Temperature of air, felt or shoe", "temp_c");
        }
    }
    measure(p, l, pass);
    if (pass->shapes) {
        mdr_plan_pass_drying(p, l->f, pass, in.moisture_pct);
    }
    return (mdr_plan_web){.width_cm = pass->width_cm,
                          .courses_per_cm = pass->courses_per_cm,
                          .wales_per_cm = pass->wales_per_cm,
                          .dry_gsm = pass->dry_gsm,
                          .moisture_pct = pass->moisture_pct,
                          .length_m = pass->length_m,
                          .wet_gsm = pass->wet_gsm,
                          .conditioned_gsm = pass->conditioned_gsm};
}

/* -- the fabric as it was read -- */

/* More than a cutter, a count and a moisture meter differ by: common practice. */
static const double WEIGHED_OFF_PCT = 4.0;

static mdr_fig_id of_reading(mdr_planner *p, const mdr_plan_pass *pass, double v, const char *unit,
                             const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, v, unit, label,
        (mdr_fig_source){.table = "reading", .record_id = pass->number, .field = field});
}

/* Width and courses as read, the rest from what cannot have changed; the scale is the check. */
static mdr_plan_web read_behind(mdr_planner *p, line *l, int i)
{
    const mdr_plan_finish *f = l->f;
    mdr_plan_pass *pass = &l->f->passes[i];
    const mdr_pass_reading *r = pass->read;
    const mdr_fig_id lies =
        of_reading(p, pass, r->lies_cm, "cm", f->tube ? "Flat width as read" : "Open width as read",
                   "lies_cm");
    mdr_plan_web w = {.courses_per_cm = of_reading(p, pass, r->courses_per_cm, "1/cm",
                                                   "Courses as read", "courses_per_cm"),
                      .moisture_pct = of_reading(p, pass, r->moisture_pct, "%", "Moisture as read",
                                                 "moisture_pct")};
    w.width_cm =
        MDR_PASS_FIG(p, pass, MDR_QTY_READ_WIDTH, f->tube ? MDR_RULE_TWICE : MDR_RULE_SAME, lies);
    w.wales_per_cm =
        MDR_PASS_FIG(p, pass, MDR_QTY_READ_WALES, MDR_RULE_BY_WIDTH, f->needles, w.width_cm);
    w.dry_gsm = MDR_PASS_FIG(p, pass, MDR_QTY_READ_DRY, MDR_RULE_DRY_GSM_AT, f->start_dry_gsm,
                             w.courses_per_cm, w.wales_per_cm, f->start_courses_per_cm,
                             f->start_wales_per_cm);
    w.length_m = MDR_PASS_FIG(p, pass, MDR_QTY_READ_LENGTH, MDR_RULE_FABRIC_LENGTH, f->dry_kg,
                              w.dry_gsm, w.width_cm);
    w.wet_gsm =
        MDR_PASS_FIG(p, pass, MDR_QTY_READ_WET, MDR_RULE_MORE_PCT, w.dry_gsm, w.moisture_pct);
    w.conditioned_gsm = MDR_PASS_FIG(p, pass, MDR_QTY_READ_CONDITIONED, MDR_RULE_CONDITIONED,
                                     w.dry_gsm, p->i.regain_kg_per_kg);
    if (r->wet_gsm > 0.0) {
        pass->weighed_off_pct = MDR_PASS_FIG(
            p, pass, MDR_QTY_WEIGHED_OFF, MDR_RULE_OFF_PCT,
            of_reading(p, pass, r->wet_gsm, "g/m2", "Weighed as it came out", "wet_gsm"),
            w.wet_gsm);
        const double off = value(p, pass->weighed_off_pct);
        if (off > WEIGHED_OFF_PCT || off < -WEIGHED_OFF_PCT) {
            MDR_PLAN_WARN(p, MDR_WARN_FINISH_WEIGHED, LOT, pass->weighed_off_pct,
                          mdr_arg_text(pass->number), mdr_arg_number(off, 1));
        }
    }
    return w;
}

/* The passes that were run: those up to the last one that was read. */
static void take_readings(mdr_planner *p, line *l)
{
    for (int i = 0; i < p->in->n_readings; i++) {
        const mdr_pass_reading *r = &p->in->readings[i];
        l->f->passes[r->pass - 1].read = r;
        l->done = r->pass > l->done ? r->pass : l->done;
    }
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
                          mdr_arg_text(f->tube ? "as a tube" : "at open width"),
                          mdr_arg_text(mdr_route_pass_words(kind)),
                          mdr_arg_text(f->tube ? "open fabric" : "a tube"));
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
    line l = {.f = f, .grip = -1, .compactor = -1};
    f->n_passes = n;
    for (int i = 0; i < n; i++) {
        open_pass(p, &l, i);
    }
    judge_line(p, f);
    take_readings(p, &l);
    mdr_plan_web read = start_of(f);
    if (l.done > 0) {
        read = read_behind(p, &l, l.done - 1);
        l.read_courses_per_cm = read.courses_per_cm;
    }
    settle_width(p, &l);
    settle_length(p, &l);
    mdr_plan_web now = start_of(f);
    for (int i = 0; i < n && !p->f->failed; i++) {
        now = run(p, &l, i, now);
        if (i == l.done - 1) {
            now = read;
        } else if (f->passes[i].read != NULL) {
            (void)read_behind(p, &l, i); /* an earlier one: shown, but it is past */
        }
    }
    mdr_plan_outcome_make(p, f, &now);
    p->plan->finish = f;
}
