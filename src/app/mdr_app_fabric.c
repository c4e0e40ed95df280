/* The merchant's question, answered: yes and how, or no, by how much, and what would cure it. */
#include "app/mdr_app_fabric.h"

#include "app/mdr_app_fabric_fit.h"
#include "app/mdr_app_fabric_map.h"
#include "app/mdr_desk_spec.h"
#include "wire/mdr_fabric_ask.h"

static const double PCT = 100.0;

typedef enum why {
    WHY_JERSEY,
    WHY_INTERLOCK,
    WHY_OTHER,
    WHY_MASS,
    WHY_WIDTH,
    WHY_RELAXED,
    WHY_FEASIBLE,
    WHY_GIVE,
    WHY_SPIRALITY,
    WHY_FIT,
    WHY_COUNT
} why;

static const mdr_answer_why WHYS[WHY_COUNT] = {
    [WHY_JERSEY] = {"Loops", "courses per cm = kc / loop length, wales per cm = kw / loop length",
                    "knapton-1968", "knit.md#constants"},
    [WHY_INTERLOCK] = {"Loops",
                       "courses per cm = kc / loop length, wales per cm = kw / loop length",
                       "ijftr-interlock", "knit.md#constants"},
    [WHY_OTHER] = {"Loops", "courses per cm = kc / loop length, wales per cm = kw / loop length",
                   "knit-gsm-pages", "knit.md#constants"},
    [WHY_MASS] = {"Weight", "courses x wales x loop length x tex, of both faces, elastane added",
                  "mass-balance", "knit.md#areal-mass"},
    [WHY_WIDTH] = {"Width", "needles / wales per cm", "knit-arithmetic",
                   "knit.md#width-needles-course-length"},
    [WHY_RELAXED] = {"Finished and relaxed",
                     "width = relaxed width / (1 - width shrinkage); g/m2 = relaxed g/m2 x (1 - "
                     "length shrinkage) x (1 - width shrinkage)",
                     "mass-balance", "specification.md#finished-and-relaxed"},
    [WHY_FEASIBLE] = {"Verdict",
                      "two of width, weight and the two shrinkages can be chosen; the other two "
                      "follow and must lie in their limits",
                      "definition", "specification.md#feasible-or-not"},
    [WHY_GIVE] = {"Cures", "the least that one limit, or one thing in knitting, has to move",
                  "definition", "specification.md#giving-way-and-cures"},
    [WHY_FIT] = {"Constants", "means over the samples, 95 % by Student's t; outliers by Dixon's Q",
                 "student-t", "knit.md#constants-from-washed-samples"},
    [WHY_SPIRALITY] = {"Spirality",
                       "feeders x wales / (needles x courses), and what the yarn's torque adds",
                       "knit-arithmetic", "specification.md#spirality-asked-for"},
};

const mdr_answer_why *mdr_app_fabric_whys(int *n)
{
    *n = WHY_COUNT;
    return WHYS;
}

static void because(mdr_desk *d, why w)
{
    mdr_desk_because(d, &WHYS[w]);
}

/* -- what was asked -- */

static mdr_spec_demand demand_of(const mdr_fabric_ask *q)
{
    return (mdr_spec_demand){.gsm = q->gsm,
                             .gsm_tol_pct = q->gsm_tol_pct,
                             .width_cm = q->width_cm,
                             .width_tol_cm = q->width_tol_cm,
                             .length_shrink_max_frac = q->length_shrink_pct / PCT,
                             .width_shrink_max_frac = q->width_shrink_pct / PCT,
                             .length_shrink_min_frac = -q->growth_pct / PCT,
                             .width_shrink_min_frac = -q->growth_pct / PCT};
}

static mdr_code knit_of(const mdr_fabric_ask *q, mdr_knit *k, mdr_err *err)
{
    *k = (mdr_knit){.construction = (mdr_construction)q->construction,
                    .loop_cm = q->loop_cm,
                    .needles = q->has_needles
                                   ? q->needles
                                   : mdr_knit_needles(q->diameter_inch, q->gauge_per_inch),
                    .feeders = q->feeders,
                    .elastane_pct = q->elastane_pct};
    return q->has_ne ? mdr_yarn_to_tex(q->ne, MDR_YARN_NE, &k->yarn, err)
                     : mdr_yarn_to_tex(q->tex, MDR_YARN_TEX, &k->yarn, err);
}

/* -- the fabric -- */

static void constants_note(mdr_desk *d, const mdr_knit_constants *c)
{
    switch (c->grade) {
    case MDR_KNIT_INVENTED:
        mdr_desk_note(d, "The relaxed constants of this construction are scaled from single "
                         "jersey, invented: wash a sample and ask again with `washed`.");
        break;
    case MDR_KNIT_PRACTICE:
    case MDR_KNIT_LITERATURE:
        mdr_desk_note(d, "The relaxed constants are of the literature, not of this mill: a washed "
                         "sample tells more. Ask again with `washed`.");
        break;
    case MDR_KNIT_OWN:
        break;
    }
}

static void put_knitted(mdr_desk *d, const mdr_knit *k, const mdr_knit_constants *c)
{
    mdr_desk_number(d, "courses_per_cm", "courses", "1/cm", mdr_knit_courses_per_cm(k, c));
    mdr_desk_number(d, "wales_per_cm", "wales, one face", "1/cm", mdr_knit_wales_per_cm(k, c));
    mdr_desk_number(d, "needles", "needles of the cylinder", "", (double)k->needles);
    mdr_desk_number(d, "tex", "yarn", "tex", k->yarn.g_per_km);
    mdr_desk_number(d, "tightness", "tightness sqrt(tex)/cm", "", mdr_knit_tightness(k));
}

static void put_relaxed(mdr_desk *d, const mdr_spec_relaxed *r, const mdr_knit *k,
                        const mdr_knit_constants *c)
{
    mdr_desk_group(d, "relaxed", "Fully relaxed, nothing left to shrink");
    mdr_desk_number(d, "gsm", "weight", "g/m2", r->gsm);
    mdr_desk_number(d, "width_cm", "full open width", "cm", r->width_cm);
    if (k != NULL) {
        put_knitted(d, k, c);
        because(d, k->construction == MDR_KNIT_SINGLE_JERSEY ? WHY_JERSEY
                   : k->construction == MDR_KNIT_INTERLOCK   ? WHY_INTERLOCK
                                                             : WHY_OTHER);
        because(d, WHY_MASS);
        because(d, WHY_WIDTH);
        constants_note(d, c);
        if (k->elastane_pct > 0.0) {
            mdr_desk_note(d,
                          "Elastane pulls the fabric together; by how much is not known here and "
                          "not in the relaxed width and weight: wash a sample and ask again "
                          "with `washed`.");
        }
    }
    mdr_desk_group(d, NULL, NULL);
}

/* -- the answer -- */

static void put_best(mdr_desk *d, const mdr_spec_answer *s)
{
    mdr_desk_group(d, "best", s->feasible ? "Aim at" : "Nearest that can be had");
    mdr_desk_number(d, "width_cm", "width", "cm", s->best.width_cm);
    mdr_desk_number(d, "gsm", "weight", "g/m2", s->best.gsm);
    mdr_desk_number(d, "length_shrink_pct", "length shrinkage left", "%",
                    PCT * s->best.length_shrink_frac);
    mdr_desk_number(d, "width_shrink_pct", "width shrinkage left", "%",
                    PCT * s->best.width_shrink_frac);
    mdr_desk_number(d, "strain_pct", "of the tightest tolerance it takes", "%", PCT * s->strain);
    mdr_desk_group(d, NULL, NULL);
}

static void put_range(mdr_desk *d, const char *key, const char *label, const char *unit,
                      mdr_spec_range range, double per)
{
    mdr_desk_group(d, key, label);
    mdr_desk_number(d, "low", "from", unit, per * range.low);
    mdr_desk_number(d, "high", "to", unit, per * range.high);
    mdr_desk_group(d, NULL, NULL);
}

static void put_window(mdr_desk *d, const mdr_spec_answer *s)
{
    put_range(d, "width_cm", "Width, the others following", "cm", s->width_cm, 1.0);
    put_range(d, "gsm", "Weight", "g/m2", s->gsm, 1.0);
    put_range(d, "length_shrink_pct", "Length shrinkage", "%", s->length_shrink_frac, PCT);
    put_range(d, "width_shrink_pct", "Width shrinkage", "%", s->width_shrink_frac, PCT);
}

static void put_cure(mdr_desk *d, const mdr_spec_cure *cure, const char *key, const char *label)
{
    if (cure->cures) {
        mdr_desk_number(d, key, label, "%", cure->change_pct);
    } else {
        mdr_desk_none(d, key, label, "%");
    }
}

static void put_cures(mdr_desk *d, const mdr_spec_in *in, const mdr_spec_answer *s,
                      const mdr_knit *k)
{
    static const double ANY_GAUGE = 1.0; /* the diameter is not shown */
    mdr_desk_group(d, "knit_change", "Or one of these knitted otherwise");
    put_cure(d, &s->cure[MDR_SPEC_LOOP], "loop_pct", "loop length");
    put_cure(d, &s->cure[MDR_SPEC_YARN], "tex_pct", "yarn, tex");
    put_cure(d, &s->cure[MDR_SPEC_NEEDLES], "needles_pct", "needles");
    if (k != NULL) {
        const mdr_spec_cured_knit cured = mdr_spec_cure_knit(in, s, k, ANY_GAUGE);
        if (s->cure[MDR_SPEC_LOOP].cures) {
            mdr_desk_number(d, "loop_cm", "that is a loop of", "cm", cured.loop_cm);
        }
        if (s->cure[MDR_SPEC_YARN].cures) {
            mdr_desk_number(d, "tex", "that is a yarn of", "tex", cured.tex);
            mdr_desk_number(d, "ne", "in English count", "Ne", cured.ne);
        }
        if (s->cure[MDR_SPEC_NEEDLES].cures && cured.whole_cures) {
            mdr_desk_number(d, "needles", "that is a cylinder of", "needles",
                            (double)cured.needles_whole);
        }
    }
    mdr_desk_group(d, NULL, NULL);
    mdr_desk_note(d, "A change of loop or yarn by more than some per cent changes the handle "
                     "and the constants too: knit a trial.");
}

static void put_spirality(mdr_desk *d, const mdr_fabric_ask *q, const mdr_knit *k,
                          const mdr_knit_constants *c)
{
    const mdr_spec_spirality s = mdr_spec_spirality_of(k, c, q->torque_pct, q->spirality_pct);
    mdr_desk_group(d, "spirality", "Spirality");
    mdr_desk_number(d, "feeder_pct", "from the feeders", "%", s.feeder_pct);
    mdr_desk_number(d, "total_pct", "with the torque of the yarn", "%", s.total_pct);
    mdr_desk_number(d, "over_pct", "beyond the limit by", "%", s.over_pct);
    mdr_desk_group(d, NULL, NULL);
    because(d, WHY_SPIRALITY);
    if (!q->has_torque) {
        mdr_desk_note(d, "The torque of the yarn is not known and not in the spirality: give what "
                         "washed samples of this yarn showed.");
    }
}

static const mdr_answer_column CORNERS[] = {{"width_cm", "width", "cm"},
                                            {"gsm", "weight", "g/m2"},
                                            {"length_shrink_pct", "length", "%"},
                                            {"width_shrink_pct", "width", "%"}};
enum { N_CORNERS = (int)(sizeof CORNERS / sizeof CORNERS[0]) };

static mdr_code put_corners(mdr_desk *d, const mdr_spec_answer *s, mdr_err *err)
{
    if (s->n_corners == 0) {
        return MDR_OK;
    }
    MDR_TRY(mdr_desk_table(d, "corners", "Corners of what can be had", CORNERS, N_CORNERS,
                           s->n_corners, err));
    double *cell = d->a->table.cells;
    for (int i = 0; i < s->n_corners; i++) {
        *cell++ = s->corners[i].width_cm;
        *cell++ = s->corners[i].gsm;
        *cell++ = PCT * s->corners[i].length_shrink_frac;
        *cell++ = PCT * s->corners[i].width_shrink_frac;
    }
    return MDR_OK;
}

/* A fault of the relaxed fabric is one of what it was computed from. */
static mdr_code check(const mdr_spec_in *in, const mdr_knit *k, mdr_err *err)
{
    const mdr_code rc = mdr_spec_check(in, err);
    if (rc != MDR_OK && k != NULL) {
        mdr_err_remedy(err, "the relaxed fabric follows from count, loop length and needles: look "
                            "at these, their units and decimal points");
    }
    return rc;
}

static mdr_code put_map(mdr_desk *d, const mdr_fabric_case *c, mdr_err *err)
{
    const mdr_fabric_map *map = NULL;
    if (!c->ask->has_map) {
        return MDR_OK;
    }
    MDR_TRY(mdr_fabric_map_make(c, d->arena, &map, err));
    d->a->put_more = mdr_fabric_map_put;
    d->a->more = map;
    return MDR_OK;
}

static mdr_code answer(mdr_desk *d, const mdr_fabric_ask *q, const mdr_knit *k,
                       const mdr_knit_constants *c, mdr_err *err)
{
    const mdr_spec_in in = {.relaxed =
                                k != NULL ? mdr_spec_relaxed_of_knit(k, c)
                                          : (mdr_spec_relaxed){q->relaxed_gsm, q->relaxed_width_cm},
                            .demand = demand_of(q)};
    MDR_TRY(check(&in, k, err));
    const mdr_spec_answer s = mdr_spec_answer_of(&in);
    mdr_desk_text(d, "verdict", "the specification", s.feasible ? "met" : "not_met",
                  s.feasible ? "can be met" : "cannot be met");
    put_relaxed(d, &in.relaxed, k, c);
    put_best(d, &s);
    if (s.feasible) {
        put_window(d, &s);
        MDR_TRY(put_corners(d, &s, err));
    } else {
        mdr_desk_clashes(d, &s);
        mdr_desk_limits_wanted(d, &s);
        put_cures(d, &in, &s, k);
    }
    if (!s.feasible || q->has_map) { /* another loop length of the map may have cures */
        because(d, WHY_GIVE);
    }
    because(d, WHY_RELAXED);
    because(d, WHY_FEASIBLE);
    if (q->has_spirality) {
        put_spirality(d, q, k, c);
    }
    return put_map(d, &(mdr_fabric_case){.ask = q, .in = in, .knit = k, .constants = c}, err);
}

static mdr_code answer_knitted(mdr_desk *d, const mdr_fabric_ask *q, mdr_err *err)
{
    mdr_knit k;
    MDR_TRY(knit_of(q, &k, err));
    const mdr_knit_constants c = mdr_knit_constants_of(k.construction, MDR_RELAX_FULL);
    return answer(d, q, &k, &c, err);
}

static mdr_code answer_any(mdr_desk *d, const mdr_fabric_ask *q, mdr_err *err)
{
    switch (q->question) {
    case MDR_FABRIC_KNITTED:
        return answer_knitted(d, q, err);
    case MDR_FABRIC_WASHED:
        return answer(d, q, NULL, NULL, err);
    case MDR_FABRIC_CONSTANTS:
        because(d, WHY_FIT);
        return mdr_fabric_fit(d, q, err);
    case MDR_FABRIC_COUNT:
        break;
    }
    return MDR_FAIL(err, MDR_E_ARG, "do", "there is no such question");
}

mdr_code mdr_app_fabric(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                        const mdr_answer **out, mdr_err *err)
{
    mdr_fabric_ask q;
    mdr_desk d;
    MDR_TRY(mdr_wire_fabric_ask_read(question.bytes, question.len, arena, found, &q, err));
    MDR_TRY(mdr_desk_open(&d, arena, mdr_fabric_question_id(q.question),
                          mdr_fabric_question_words(q.question), err));
    MDR_TRY(answer_any(&d, &q, err));
    *out = d.a;
    return MDR_OK;
}

mdr_code mdr_app_fabric_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err)
{
    const mdr_answer *a = NULL;
    MDR_TRY(mdr_app_fabric(question, arena, found, &a, err));
    return mdr_answer_json(a, arena, out, err);
}
