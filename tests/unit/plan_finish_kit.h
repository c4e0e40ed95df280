/* A lot that is finished: its line, its plan, and the settings reckoned another way (mdr_line_settle). */
#ifndef PLAN_FINISH_KIT_H
#define PLAN_FINISH_KIT_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/finish/mdr_settle.h"
#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_fig.h"
#include "plan_kit.h"

/* Invented, within the usual. */
static const mdr_finisher FINISHERS[] = {
    {"DS", "Slitter", MDR_PASS_DEWATER, 60, 260, -10, -4, 0, 1, 84, 0, 40, 80, 0, 0, 0, 20, ""},
    {"PD", "Padder", MDR_PASS_PAD, 60, 260, -5, -1, 2, -0.5, 95, 0, 30, 60, 0, 0, 0, 9, ""},
    {"ST0", "Narrow", MDR_PASS_STENTER, 40, 90, -5, 12, 30, 0, 7, 150, 15, 40, 12, 80, 0.06, 70,
     ""},
    {"ST", "Stenter", MDR_PASS_STENTER, 70, 240, -5, 15, 35, 0, 7, 150, 25, 60, 18, 95, 0.08, 99,
     ""},
    {"CP", "Compactor", MDR_PASS_COMPACT, 60, 240, 0, 8, 18, 2, 6, 115, 20, 40, 0, 0, 0, 34, ""},
    {"BS", "Squeeze", MDR_PASS_BALLOON, 25, 130, -10, -5, 0, 0, 90, 0, 40, 70, 0, 0, 0, 18, ""},
    {"SP", "Spreader", MDR_PASS_SPREAD, 28, 125, 0, 10, 30, 0, 98, 0, 40, 60, 0, 0, 0, 7, ""},
    {"RD", "Dryer", MDR_PASS_RELAX_DRY, 25, 140, 0, 5, 15, -4, 7, 140, 20, 35, 14, 75, 0, 62, ""},
    {"TC", "Tube shoe", MDR_PASS_TUBE_COMPACT, 28, 125, 0, 8, 18, 0, 6, 115, 20, 35, 0, 0, 0, 24,
     ""},
};

static const mdr_route_pass OPEN[] = {{.kind = MDR_ROUTE_PASS_SLIT, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_PAD, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_STENTER, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_COMPACT, .note = ""}};
static const mdr_route_pass TUBE[] = {{.kind = MDR_ROUTE_PASS_SQUEEZE, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_SPREAD, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_DRY, .note = ""},
                                      {.kind = MDR_ROUTE_PASS_TUBE_COMPACT, .note = ""}};

static const mdr_wash_sample SAMPLES[] = {
    {"W1", "A", 0, 2.75, 19.8, 15.1, 163.0, 3.0, ""},
    {"W2", "A", 0, 2.77, 19.6, 15.0, 162.0, 3.4, ""},
    {"W3", "A", 0, 2.73, 20.0, 15.2, 164.0, 0, ""},
};

typedef struct bench {
    mdr_article article;
    mdr_lot lot;
    kit_lot kit;
    mdr_machine machine;
    mdr_site site;
    mdr_route_step steps[2];
    mdr_route_bath bath;
    mdr_route_stage stage;
    mdr_route route;
    mdr_plan_in in;
    mdr_arena *arena;
    const mdr_plan *plan;
    const mdr_plan_finish *f;
} bench;

/* The kit's lot, water only, on this line. */
static inline void ready(bench *b, bool tube)
{
    *b = (bench){0};
    b->machine = kit_machine();
    b->site = kit_site();
    kit_lot_make(&b->kit, 500, 8, true);
    b->article = b->kit.article;
    b->article.article_id = "A";
    b->article.construction = (int)MDR_KNIT_SINGLE_JERSEY;
    b->article.yarn_ne = 30;
    b->article.loop_mm = 2.75;
    b->article.gauge_per_inch = 24;
    b->article.diameter_inch = 30;
    b->article.feeders = 90;
    b->article.finished_gsm = 151;
    b->article.finished_width_cm = 155;
    b->article.shrink_length_max_pct = b->article.shrink_width_max_pct = 6;
    b->article.spirality_max_pct = 5;
    b->article.finish_line = tube ? (int)MDR_LINE_TUBULAR : (int)MDR_LINE_OPEN;
    b->article.samples = SAMPLES;
    b->article.n_samples = (int)N_OF(SAMPLES);
    b->lot = b->kit.lot;
    b->lot.article = &b->article;
    b->lot.loss_pct = 8;
    b->steps[0] = (mdr_route_step){.kind = MDR_STEP_FILL, .temp_c = 40};
    b->steps[1] = (mdr_route_step){.kind = MDR_STEP_DRAIN};
    b->bath = (mdr_route_bath){.name = "Rinse", .steps = b->steps, .n_steps = 2};
    b->stage = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                 .name = "S",
                                 .from_route = "",
                                 .from_stage = "",
                                 .baths = &b->bath,
                                 .n_baths = 1};
    b->route = (mdr_route){.route_id = "R",
                           .name = "N",
                           .purpose = "",
                           .version = 1,
                           .dye_class = MDR_CLASS_NONE,
                           .stages = &b->stage,
                           .n_stages = 1,
                           .passes = tube ? TUBE : OPEN,
                           .n_passes = 4};
    b->in = (mdr_plan_in){.lot = &b->lot,
                          .machine = &b->machine,
                          .route = &b->route,
                          .site = &b->site,
                          .finishers = FINISHERS,
                          .n_finishers = (int)N_OF(FINISHERS),
                          .articles = &b->article,
                          .n_articles = 1};
}

static inline void run(bench *b)
{
    mdr_err err;
    b->arena = mdr_arena_new((size_t)4 << 20);
    if (mdr_plan_make(&b->in, b->arena, &b->plan, &err) != MDR_OK) {
        char text[600];
        (void)mdr_err_format(&err, text, sizeof text);
        fail_msg("%s", text);
    }
    b->f = b->plan->finish;
}

static inline void over(bench *b)
{
    mdr_arena_free(b->arena);
}

static inline double val(const bench *b, mdr_fig_id id)
{
    return mdr_fig_value(&b->plan->figs, id);
}

static inline int warned(const bench *b, mdr_warn_id id)
{
    int n = 0;
    for (int i = 0; i < b->plan->n_warns; i++) {
        n += b->plan->warns[i].id == id ? 1 : 0;
    }
    return n;
}

/* -- against mdr_line_settle -- */

static inline const mdr_finisher *finisher(mdr_pass_kind kind, const mdr_plan_pass *pass)
{
    if (pass->machine != NULL) {
        assert_int_equal(pass->machine->kind, kind);
    }
    return pass->machine;
}

/* From the wet fabric; or from `read`, the first `done` passes being past. */
static inline mdr_settled settle_from(const bench *b, const mdr_web *read, int done)
{
    static const mdr_pass_kind OPEN_KINDS[] = {MDR_PASS_DEWATER, MDR_PASS_PAD, MDR_PASS_STENTER,
                                               MDR_PASS_COMPACT};
    static const mdr_pass_kind TUBE_KINDS[] = {MDR_PASS_BALLOON, MDR_PASS_SPREAD,
                                               MDR_PASS_RELAX_DRY, MDR_PASS_TUBE_COMPACT};
    const mdr_plan_finish *f = b->f;
    const double per = f->tube ? 2.0 : 1.0;
    mdr_line line = {.n = 4};
    mdr_line_limits limits = {0};
    double share = 0;
    for (int i = 0; i < line.n; i++) {
        const mdr_pass_kind kind = f->tube ? TUBE_KINDS[i] : OPEN_KINDS[i];
        const mdr_finisher *m = finisher(kind, &f->passes[i]);
        line.passes[i] = (mdr_pass){.kind = kind,
                                    .width_change_fraction = m->width_change_pct / 100,
                                    .overfeed_fraction = m->overfeed_pct / 100,
                                    .moisture_kg_per_kg = m->moisture_out_pct / 100,
                                    .temp_c = 25,
                                    .speed_m_per_min = m->speed_m_per_min};
        if (mdr_pass_grips(kind)) {
            limits.width_min_cm = m->width_min_cm * per;
            limits.width_max_cm = m->width_max_cm * per;
            limits.overfeed_min_fraction = m->overfeed_min_pct / 100;
            limits.overfeed_max_fraction = m->overfeed_max_pct / 100;
            line.passes[i].width_cm = limits.width_min_cm;
        }
        if (mdr_pass_compacts(kind)) {
            limits.compact_min_fraction = m->overfeed_min_pct / 100;
            limits.compact_max_fraction = m->overfeed_max_pct / 100;
            share = m->overfeed_pct / 100;
        }
    }
    const mdr_web wet = {.width_cm = val(b, f->start_width_cm),
                         .courses_per_cm = val(b, f->start_courses_per_cm),
                         .wales_per_cm = val(b, f->start_wales_per_cm),
                         .dry_gsm = val(b, f->start_dry_gsm),
                         .moisture_kg_per_kg = val(b, f->start_moisture_pct) / 100,
                         .length_m = val(b, f->start_length_m),
                         .temp_c = 25};
    const mdr_goal goal = {
        .relaxed = {val(b, f->relaxed_courses_per_cm), val(b, f->relaxed_wales_per_cm)},
        .residual = {val(b, f->aim_length_pct) / 100, val(b, f->aim_across_pct) / 100},
        .compact_fraction = share};
    mdr_settled out;
    mdr_err err;
    const mdr_line rest = mdr_line_rest(&line, done);
    if (mdr_line_settle(read != NULL ? read : &wet, &rest, &goal, &limits, &out, &err) != MDR_OK) {
        fail_msg("settle: %s %s", err.place, err.msg);
    }
    return out;
}

static inline mdr_settled settle(const bench *b)
{
    return settle_from(b, NULL, 0);
}

/* A relative difference. */
static inline void same(double got, double want, const char *what)
{
    if (!(fabs(got - want) <= 1e-9 * (1 + fabs(want)))) {
        fail_msg("%s: plan %.12g, settled %.12g", what, got, want);
    }
}

static inline void expect_settled(const bench *b)
{
    const mdr_plan_finish *f = b->f;
    const mdr_settled s = settle(b);
    for (int i = 0; i < f->n_passes; i++) {
        const mdr_plan_pass *pass = &f->passes[i];
        same(val(b, pass->overfeed_pct), 100 * s.line.passes[i].overfeed_fraction, "overfeed");
        same(val(b, pass->width_cm), s.after[i].width_cm, "width");
        same(val(b, pass->courses_per_cm), s.after[i].courses_per_cm, "courses");
        same(val(b, pass->wales_per_cm), s.after[i].wales_per_cm, "wales");
        same(val(b, pass->dry_gsm), s.after[i].dry_gsm, "bone dry g/m2");
        same(val(b, pass->length_m), s.after[i].length_m, "length");
        same(val(b, pass->moisture_pct), 100 * s.after[i].moisture_kg_per_kg, "moisture");
        same(val(b, pass->wet_gsm), mdr_web_wet_gsm(&s.after[i]), "wet g/m2");
    }
    same(val(b, f->outcome[MDR_DEMAND_LENGTH].value), 100 * s.reached.length_fraction,
         "length left");
    same(val(b, f->outcome[MDR_DEMAND_ACROSS].value), 100 * s.reached.width_fraction, "width left");
}

/* Bone dry kilograms, needles and courses times length through every pass. */
static inline void expect_kept(const bench *b)
{
    const mdr_plan_finish *f = b->f;
    const double kg = val(b, f->dry_kg), needles = val(b, f->needles);
    const double courses = val(b, f->start_courses_per_cm) * val(b, f->start_length_m);
    for (int i = 0; i < f->n_passes; i++) {
        const mdr_plan_pass *pass = &f->passes[i];
        const double width_cm = val(b, pass->width_cm), length_m = val(b, pass->length_m);
        const double here_kg = val(b, pass->dry_gsm) * width_cm / 100 * length_m / 1000;
        assert_true(fabs(here_kg - kg) <= 1e-12 * kg);
        assert_true(fabs(val(b, pass->wales_per_cm) * width_cm - needles) <= 1e-12 * needles);
        assert_true(fabs(val(b, pass->courses_per_cm) * length_m - courses) <= 1e-12 * courses);
    }
}

#endif
