/* The fabric behind each pass: as the settings make it, and as it was read. */
#include "core/plan/mdr_plan_line.h"

static const mdr_where LOT = {0};
/* Heat-setting of cotton with elastane: 185 to 195 C for 30 to 45 s, common practice. The air is a
 * little hotter than the fabric is to become, or it would take for ever: invented. */
static const double SETTING_AIR_C = 195.0, SETTING_DWELL_S = 35.0;

static double value(const mdr_planner *p, mdr_fig_id id)
{
    return mdr_fig_value(p->f, id);
}

/* What people call the pass: its machine, or what is done. */
static const char *name_of(const mdr_plan_pass *pass)
{
    return pass->machine != NULL ? pass->machine->name : mdr_route_pass_words(pass->asked->kind);
}

/* -- as it should be -- */

static mdr_fig_id moisture_behind(mdr_planner *p, const mdr_plan_line *l, int i, mdr_fig_id before)
{
    mdr_plan_pass *pass = &l->f->passes[i];
    const mdr_pass_kind kind = l->kind[i];
    if (kind == MDR_PASS_SPREAD) {
        return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, before);
    }
    const mdr_fig_id set =
        mdr_plan_usual(p, pass, pass->machine != NULL ? pass->machine->moisture_out_pct : 0.0,
                       MDR_PLAN_PCT * mdr_pass_usual_of(kind)->moisture_kg_per_kg.usual, "%",
                       "Usual moisture behind it", "moisture_out_pct");
    const bool wets = kind == MDR_PASS_PAD;
    const bool wrong = wets ? value(p, set) < value(p, before) : value(p, set) > value(p, before);
    if (wrong && !mdr_pass_compacts(kind)) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_MOISTURE, LOT, set, mdr_arg_text(name_of(pass)),
                      mdr_arg_number(value(p, set), 0), mdr_arg_number(value(p, before), 0),
                      mdr_arg_part(wets ? "part.wetted" : "part.dried"));
        return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, before);
    }
    return MDR_PASS_FIG(p, pass, MDR_QTY_MOISTURE, MDR_RULE_SAME, set);
}

static void measure(mdr_planner *p, const mdr_plan_line *l, mdr_plan_pass *pass)
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
    if (pass->compacts &&
        (pct < MDR_PLAN_PCT * MDR_PASS_COMPACT_DRIEST_KG_PER_KG - MDR_PLAN_HAIR ||
         pct > MDR_PLAN_PCT * MDR_PASS_COMPACT_DAMPEST_KG_PER_KG + MDR_PLAN_HAIR)) {
        MDR_PLAN_WARN(p, MDR_WARN_COMPACT_MOISTURE, LOT, moisture, mdr_arg_text(name_of(pass)),
                      mdr_arg_number(pct, 0),
                      mdr_arg_number(MDR_PLAN_PCT * MDR_PASS_COMPACT_DRIEST_KG_PER_KG, 0),
                      mdr_arg_number(MDR_PLAN_PCT * MDR_PASS_COMPACT_DAMPEST_KG_PER_KG, 0));
    }
}

mdr_plan_web mdr_plan_behind(mdr_planner *p, const mdr_plan_line *l, int i, mdr_plan_web in)
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
                                                    in.width_cm, mdr_plan_usual_change(p, l, i));
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

/* -- as it was read -- */

/* More than a cutter, a count and a moisture meter differ by: common practice. */
static const double WEIGHED_OFF_PCT = 4.0;

static mdr_fig_id of_reading(mdr_planner *p, const mdr_plan_pass *pass, double v, const char *unit,
                             const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, v, unit, label,
        (mdr_fig_source){.table = "reading", .record_id = pass->number, .field = field});
}

mdr_plan_web mdr_plan_read_behind(mdr_planner *p, mdr_plan_line *l, int i)
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
