/* What the fabric measures when nothing shrinks any more, and what of its specification to aim at.
 *
 * Best known first: washed samples of the article itself; constants of the mill's samples of the
 * same construction; constants of the literature or by analogy. Which it was is said. */
#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_pick.h"
#include "core/plan/mdr_planner.h"

/* Samples of one construction beyond these add nothing that a plan could show. */
enum { SAMPLES_MAX = 24, OWN_SAMPLES_MIN = 2 };

MDR_PICK(mdr_relaxed_from_id, mdr_relaxed_from, MDR_RELAXED_FROMS(MDR_PICK_ID))
MDR_PICK(mdr_relaxed_from_words, mdr_relaxed_from, MDR_RELAXED_FROMS(MDR_PICK_WORDS))

mdr_fig_id mdr_plan_of_finish(mdr_planner *p, mdr_qty qty, mdr_rule rule, const mdr_fig_id *in,
                              int n)
{
    const mdr_fig_id id = mdr_fig_rule(p->f, qty, (mdr_where){0}, rule, in, n);
    mdr_fig_belongs(p->f, id, "finish", "");
    return id;
}

static mdr_fig_id of_sample(mdr_planner *p, const mdr_wash_sample *s, double value,
                            const char *unit, const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){.table = "wash_sample", .record_id = s->sample_id, .field = field});
}

/* -- washed samples of the article itself -- */

static mdr_fig_id courses_of(mdr_planner *p, const mdr_wash_sample *s)
{
    return of_sample(p, s, s->courses_per_cm, "1/cm", "Courses of the washed sample",
                     "courses_per_cm");
}

static mdr_fig_id wales_of(mdr_planner *p, const mdr_wash_sample *s)
{
    return of_sample(p, s, s->wales_per_cm, "1/cm", "Wales of the washed sample", "wales_per_cm");
}

static mdr_fig_id gsm_of(mdr_planner *p, const mdr_wash_sample *s)
{
    return of_sample(p, s, s->gsm, "g/m2", "Weight of the washed sample", "gsm");
}

static mdr_fig_id mean_of(mdr_planner *p, mdr_qty qty,
                          mdr_fig_id (*one)(mdr_planner *, const mdr_wash_sample *))
{
    const mdr_article *a = p->in->lot->article;
    mdr_fig_id ids[SAMPLES_MAX];
    int n = 0;
    for (int i = 0; i < a->n_samples && n < SAMPLES_MAX; i++) {
        ids[n++] = one(p, &a->samples[i]);
    }
    return mdr_plan_of_finish(p, qty, MDR_RULE_MEAN, ids, n);
}

/* A sample of another loop is another fabric. Counts vary by some per cent as knitted: 3 % is common
 * practice. */
static void judge_loops(mdr_planner *p)
{
    static const double LOOP_OFF = 0.03;
    const mdr_article *a = p->in->lot->article;
    for (int i = 0; i < a->n_samples; i++) {
        const mdr_wash_sample *s = &a->samples[i];
        if (s->loop_mm > a->loop_mm * (1.0 + LOOP_OFF) ||
            s->loop_mm < a->loop_mm * (1.0 - LOOP_OFF)) {
            MDR_PLAN_WARN(p, MDR_WARN_FINISH_LOOP, (mdr_where){0}, MDR_FIG_NONE,
                          mdr_arg_text(s->sample_id), mdr_arg_number(s->loop_mm, 2),
                          mdr_arg_text(a->article_id), mdr_arg_number(a->loop_mm, 2));
            return;
        }
    }
}

static void from_samples(mdr_planner *p, mdr_plan_finish *f)
{
    f->from = MDR_RELAXED_SAMPLES;
    judge_loops(p);
    f->n_samples =
        p->in->lot->article->n_samples < SAMPLES_MAX ? p->in->lot->article->n_samples : SAMPLES_MAX;
    f->relaxed_courses_per_cm = mean_of(p, MDR_QTY_RELAXED_COURSES, courses_of);
    f->relaxed_wales_per_cm = mean_of(p, MDR_QTY_RELAXED_WALES, wales_of);
    f->relaxed_gsm = mean_of(p, MDR_QTY_RELAXED_GSM, gsm_of);
}

/* -- by constants -- */

typedef struct constants {
    mdr_fig_id beds, factor, kc, kw;
} constants;

static const char *source_of(int construction)
{
    switch ((mdr_construction)construction) {
    case MDR_KNIT_SINGLE_JERSEY:
        return "knapton-1968";
    case MDR_KNIT_INTERLOCK:
        return "ijftr-interlock";
    case MDR_KNIT_RIB_1X1:
    case MDR_KNIT_PIQUE:
    case MDR_KNIT_FLEECE:
        break;
    }
    return "knit-gsm-pages";
}

static constants of_table(mdr_planner *p, const mdr_knit_constants *c)
{
    const char *source = source_of(p->in->lot->article->construction);
    return (constants){
        .beds = mdr_plan_constant(p, c->beds, "", "Faces that carry loops", "definition", "beds"),
        .factor = mdr_plan_constant(
            p, c->gsm_factor, "", "Mass of all yarns over the ground yarn's", source, "gsm_factor"),
        .kc = mdr_plan_constant(p, c->kc_cm, "cm/cm", "Courses per cm times cm of loop", source,
                                "kc_cm"),
        .kw = mdr_plan_constant(p, c->kw_cm, "cm/cm", "Wales per cm times cm of loop", source,
                                "kw_cm"),
    };
}

/* Of the same construction, without elastane: what elastane does to a fabric is its own. */
static bool alike(const mdr_article *a, const mdr_article *b)
{
    return a->construction == b->construction && b->elastane_pct <= 0.0 && b->yarn_ne > 0.0;
}

static int gather_alike(const mdr_planner *p, const mdr_wash_sample **out,
                        const mdr_article **owner)
{
    int n = 0;
    for (int i = 0; i < p->in->n_articles; i++) {
        const mdr_article *a = &p->in->articles[i];
        for (int s = 0; s < a->n_samples && alike(p->in->lot->article, a) && n < SAMPLES_MAX; s++) {
            out[n] = &a->samples[s];
            owner[n++] = a;
        }
    }
    return n;
}

/* What the counts of this sample make it weigh. */
static mdr_fig_id by_counts(mdr_planner *p, const constants *c, const mdr_wash_sample *s,
                            const mdr_article *owner)
{
    const mdr_fig_id loop =
        of_sample(p, s, s->loop_mm, "mm", "Loop length of the washed sample", "loop_mm");
    const mdr_fig_id ne = mdr_plan_constant(p, owner->yarn_ne, "Ne", "Yarn of the washed sample",
                                            "definition", "sample_yarn_ne");
    const mdr_fig_id one = mdr_plan_constant(p, 1.0, "", "As the counts say", "definition", "one");
    const mdr_fig_id id =
        MDR_FIG(p->f, MDR_QTY_BY_COUNTS, (mdr_where){0}, MDR_RULE_KNIT_GSM, c->beds, one,
                courses_of(p, s), wales_of(p, s), loop, ne, p->i.absent);
    mdr_fig_belongs(p->f, id, "wash_sample", s->sample_id);
    return id;
}

/* The mill's own constants take the place of the table's, when it has washed enough. */
static int own_constants(mdr_planner *p, constants *c)
{
    const mdr_wash_sample *samples[SAMPLES_MAX];
    const mdr_article *owners[SAMPLES_MAX];
    const int n = gather_alike(p, samples, owners);
    if (n < OWN_SAMPLES_MIN) {
        return 0;
    }
    mdr_fig_id kc[2 * SAMPLES_MAX], kw[2 * SAMPLES_MAX], factor[2 * SAMPLES_MAX];
    int k = 0;
    for (int i = 0; i < n; i++, k += 2) {
        const mdr_wash_sample *s = samples[i];
        kc[k] = courses_of(p, s);
        kw[k] = wales_of(p, s);
        kc[k + 1] = kw[k + 1] =
            of_sample(p, s, s->loop_mm, "mm", "Loop length of the washed sample", "loop_mm");
        factor[k] = gsm_of(p, s);
        factor[k + 1] = by_counts(p, c, s, owners[i]);
    }
    c->kc = mdr_plan_of_finish(p, MDR_QTY_KC, MDR_RULE_OWN_CONSTANT, kc, k);
    c->kw = mdr_plan_of_finish(p, MDR_QTY_KW, MDR_RULE_OWN_CONSTANT, kw, k);
    c->factor = mdr_plan_of_finish(p, MDR_QTY_GSM_FACTOR, MDR_RULE_OWN_FACTOR, factor, k);
    return n;
}

static void from_constants(mdr_planner *p, mdr_plan_finish *f)
{
    const mdr_article *a = p->in->lot->article;
    const mdr_knit_constants table =
        mdr_knit_constants_of((mdr_construction)a->construction, MDR_RELAX_FULL);
    constants c = of_table(p, &table);
    f->n_samples = own_constants(p, &c);
    f->from = f->n_samples > 0 ? MDR_RELAXED_ALIKE : MDR_RELAXED_TABLE;
    const mdr_fig_id loop = mdr_plan_of_article(p, a->loop_mm, "mm", "Loop length", "loop_mm");
    const mdr_fig_id ne = mdr_plan_of_article(p, a->yarn_ne, "Ne", "Yarn", "yarn_ne");
    const mdr_fig_id elastane =
        mdr_plan_of_article(p, a->elastane_pct, "%", "Elastane", "elastane_pct");
    f->relaxed_courses_per_cm =
        MDR_FINISH_FIG(p, MDR_QTY_RELAXED_COURSES, MDR_RULE_KNIT_COUNT, c.kc, loop);
    f->relaxed_wales_per_cm =
        MDR_FINISH_FIG(p, MDR_QTY_RELAXED_WALES, MDR_RULE_KNIT_COUNT, c.kw, loop);
    f->relaxed_gsm =
        MDR_FINISH_FIG(p, MDR_QTY_RELAXED_GSM, MDR_RULE_KNIT_GSM, c.beds, c.factor,
                       f->relaxed_courses_per_cm, f->relaxed_wales_per_cm, loop, ne, elastane);
    const bool invented = f->from == MDR_RELAXED_TABLE && table.grade == MDR_KNIT_INVENTED;
    if (invented) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_INVENTED, (mdr_where){0}, f->relaxed_gsm,
                      mdr_arg_text(a->article_id));
    } else {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_TABLE, (mdr_where){0}, f->relaxed_gsm,
                      mdr_arg_text(a->article_id), mdr_arg_text(mdr_relaxed_from_words(f->from)));
    }
}

/* -- */

/* The part of the sentence for what is missing; NULL: nothing. */
static const char *lacking(const mdr_article *a)
{
    const struct {
        double value;
        const char *key;
    } needs[] = {
        {a->yarn_ne, "part.lacks-yarn"},
        {a->loop_mm, "part.lacks-loop"},
        {a->gauge_per_inch, "part.lacks-gauge"},
        {a->diameter_inch, "part.lacks-diameter"},
        {a->finished_gsm, "part.lacks-weight"},
        {a->finished_width_cm, "part.lacks-width"},
        {a->shrink_length_max_pct, "part.lacks-length-shrinkage"},
        {a->shrink_width_max_pct, "part.lacks-width-shrinkage"},
    };
    for (size_t i = 0; i < sizeof needs / sizeof needs[0]; i++) {
        if (!(needs[i].value > 0.0)) {
            return needs[i].key;
        }
    }
    return NULL;
}

bool mdr_plan_relaxed(mdr_planner *p, mdr_plan_finish *f)
{
    const mdr_article *a = p->in->lot->article;
    const char *lacks = lacking(a);
    if (lacks != NULL) {
        MDR_PLAN_WARN(p, MDR_WARN_FINISH_LACKS, (mdr_where){0}, MDR_FIG_NONE, mdr_arg_part(lacks));
        return false;
    }
    f->tube = a->finish_line == (int)MDR_LINE_TUBULAR;
    f->needles = MDR_FINISH_FIG(
        p, MDR_QTY_NEEDLES, MDR_RULE_NEEDLES,
        mdr_plan_of_article(p, a->diameter_inch, "inch", "Diameter of the knitting machine",
                            "diameter_inch"),
        mdr_plan_of_article(p, a->gauge_per_inch, "1/inch", "Needles per inch", "gauge_per_inch"));
    if (a->n_samples > 0) {
        from_samples(p, f);
    } else {
        from_constants(p, f);
    }
    f->relaxed_width_cm = MDR_FINISH_FIG(p, MDR_QTY_RELAXED_WIDTH, MDR_RULE_BY_WIDTH, f->needles,
                                         f->relaxed_wales_per_cm);
    return true;
}
