/* What was measured on a finished lot, against what was promised. */
#include <string.h>

#include "app/mdr_app_line_in.h"
#include "core/quality/mdr_lot_verdict.h"

static const double PCT = 100.0;

/* -- the readings -- */

static mdr_readings copy(mdr_line_list list, double times)
{
    mdr_readings r = {.n = list.n};
    for (int i = 0; i < list.n; i++) {
        r.values[i] = times * list.values[i];
    }
    return r;
}

/* Puts the member before the element that the core complains of: "after[1]" is
 * "length_after_cm[1]". */
static mdr_code of_member(mdr_code rc, mdr_err *err, const char *core, const char *member)
{
    const size_t n = strlen(core);
    if (rc != MDR_OK && err != NULL && strncmp(err->place, core, n) == 0) {
        char rest[32];
        size_t len = strlen(err->place + n);
        len = len < sizeof rest ? len : sizeof rest - 1;
        memcpy(rest, err->place + n, len);
        rest[len] = '\0';
        err->place[0] = '\0';
        mdr_err_within(err, "%s%s", member, rest);
    }
    return rc;
}

static mdr_code read_marks(const mdr_line_ask *q, mdr_line_list before, mdr_line_list after,
                           const char *member, mdr_readings *out, mdr_err *err)
{
    double marked[MDR_READINGS_MAX];
    for (int i = 0; i < after.n; i++) {
        marked[i] = before.n > 0 ? before.values[i] : q->mark_cm;
    }
    return after.n == 0 ? MDR_OK
                        : of_member(mdr_readings_of_marks(marked, after.values, after.n, out, err),
                                    err, "after", member);
}

static double mean(mdr_line_list list)
{
    double sum = 0.0;
    for (int i = 0; i < list.n; i++) {
        sum += list.values[i];
    }
    return sum / list.n;
}

static mdr_code read_bow(mdr_line_list distance, mdr_line_list width, const char *member,
                         mdr_readings *out, mdr_err *err)
{
    return distance.n == 0
               ? MDR_OK
               : of_member(mdr_readings_of_bow(distance.values, distance.n, mean(width), out, err),
                           err, "distance", member);
}

static mdr_code read_squares(const mdr_line_ask *q, mdr_readings *out, mdr_err *err)
{
    const mdr_line_list ac = q->diagonal_ac_cm;
    const mdr_line_list bd = q->diagonal_bd_cm;
    return ac.n == 0 ? MDR_OK
                     : of_member(mdr_readings_of_squares(ac.values, bd.values, ac.n, out, err), err,
                                 "bd", "diagonal_bd_cm");
}

static void read_grades(const mdr_line_ask *q, mdr_result_in *in)
{
    for (int i = 0; i < MDR_GRADES; i++) {
        const int p = MDR_PROPERTY_PILLING + i;
        if (q->has_grade[i]) {
            in->readings[p] = (mdr_readings){{mdr_line_grade(q->grade[i])}, 1};
        }
        in->limits[p] =
            (mdr_result_limit){mdr_line_grade(q->grade_min[i]), 0.0, q->has_grade_min[i], false};
    }
}

static mdr_code read_washed(const mdr_line_ask *q, mdr_result_in *in, mdr_err *err)
{
    mdr_readings *r = in->readings;
    MDR_TRY(read_marks(q, q->length_before_cm, q->length_after_cm, "length_after_cm",
                       &r[MDR_PROPERTY_LENGTH_CHANGE], err));
    MDR_TRY(read_marks(q, q->width_before_cm, q->width_after_cm, "width_after_cm",
                       &r[MDR_PROPERTY_WIDTH_CHANGE], err));
    MDR_TRY(read_squares(q, &r[MDR_PROPERTY_TWIST_PCT], err));
    r[MDR_PROPERTY_SPIRALITY_DEG] = copy(q->spirality_deg, 1.0);
    return MDR_OK;
}

static mdr_code read_all(const mdr_line_ask *q, mdr_result_in *in, mdr_err *err)
{
    const mdr_spec_demand demand = mdr_line_demand_asked(q);
    mdr_readings *r = in->readings;
    MDR_TRY(read_washed(q, in, err));
    if (q->sample_g.n > 0) {
        MDR_TRY(mdr_readings_of_cutter(q->sample_g.values, q->sample_g.n, q->sample_cm2,
                                       &r[MDR_PROPERTY_GSM], err));
    }
    MDR_TRY(read_bow(q->bow_cm, q->measured_width_cm, "bow_cm", &r[MDR_PROPERTY_BOW], err));
    MDR_TRY(read_bow(q->skew_cm, q->measured_width_cm, "skew_cm", &r[MDR_PROPERTY_SKEW], err));
    r[MDR_PROPERTY_WIDTH] =
        mdr_line_is_tube(q) ? copy(q->measured_layflat_cm, 2.0) : copy(q->measured_width_cm, 1.0);
    mdr_result_limit_by(&demand, in->limits);
    in->limits[MDR_PROPERTY_BOW] = (mdr_result_limit){0.0, q->bow_max_pct, false, q->has_bow_max};
    in->limits[MDR_PROPERTY_SKEW] =
        (mdr_result_limit){0.0, q->skew_max_pct, false, q->has_skew_max};
    in->limits[MDR_PROPERTY_TWIST_PCT] =
        (mdr_result_limit){0.0, q->twist_max_pct, false, q->has_twist_max};
    in->limits[MDR_PROPERTY_SPIRALITY_DEG] =
        (mdr_result_limit){0.0, q->spirality_max_deg, false, q->has_spirality_max};
    read_grades(q, in);
    return MDR_OK;
}

/* -- the answer -- */

typedef struct unit_keys {
    const char *unit, *mean, *spread, *limit, *margin;
    double times;
} unit_keys;

static const unit_keys UNITS[] = {
    {"%", "mean_pct", "spread_pct", "limit_pct", "margin_pct", 1.0},
    {"g/m2", "mean_gsm", "spread_gsm", "limit_gsm", "margin_gsm", 1.0},
    {"cm", "mean_cm", "spread_cm", "limit_cm", "margin_cm", 1.0},
    {"deg", "mean_deg", "spread_deg", "limit_deg", "margin_deg", 1.0},
    {"grade", "mean_grade", "spread_grade", "limit_grade", "margin_grade", 1.0},
};
static const unit_keys FLAT = {
    "cm", "mean_layflat_cm", "spread_layflat_cm", "limit_layflat_cm", "margin_layflat_cm", 0.5};

static const unit_keys *keys_of(const mdr_line_ask *q, mdr_property p)
{
    if (p == MDR_PROPERTY_WIDTH && mdr_line_is_tube(q)) {
        return &FLAT;
    }
    const unit_keys *k = UNITS;
    while (strcmp(k->unit, mdr_property_unit(p)) != 0) {
        k++;
    }
    return k;
}

static const char *property_words(const mdr_line_ask *q, mdr_property p)
{
    return p == MDR_PROPERTY_WIDTH && mdr_line_is_tube(q) ? "flat width" : mdr_property_words(p);
}

static void put_property(mdr_line_desk *d, mdr_property p, const mdr_property_result *r)
{
    const unit_keys *k = keys_of(d->q, p);
    const bool judged = r->n > 0 && r->verdict != MDR_RESULT_NOT_ASKED;
    if (r->n == 0 && r->verdict == MDR_RESULT_NOT_ASKED) {
        return;
    }
    mdr_desk_group(&d->desk, mdr_property_id(p), property_words(d->q, p));
    mdr_desk_text(&d->desk, "verdict", "verdict", mdr_result_verdict_id(r->verdict),
                  mdr_result_verdict_words(r->verdict));
    if (r->n > 0) {
        mdr_desk_number(&d->desk, k->mean, "mean", k->unit, k->times * r->mean);
    }
    if (r->n > 1) {
        mdr_desk_number(&d->desk, k->spread, "standard deviation", k->unit, k->times * r->spread);
    }
    if (judged) {
        mdr_desk_number(&d->desk, k->limit, r->above ? "at most" : "at least", k->unit,
                        k->times * r->limit);
        mdr_desk_number(&d->desk, k->margin, "from the limit, below 0: beyond it", k->unit,
                        k->times * r->margin);
    }
    mdr_desk_group(&d->desk, NULL, NULL);
}

/* -- reasons -- */

static const mdr_answer_column REASONS[] = {
    {"reason", "why", ""}, {"of", "of", ""}, {"value", "by", ""}, {"unit", "unit", ""}};
enum { N_REASONS = (int)(sizeof REASONS / sizeof REASONS[0]) };

static const mdr_answer_word CLASHES[MDR_SPEC_CLASHES] = {
    [MDR_SPEC_WIDTH_AGAINST_SHRINK] = {"width_against_shrinkage", "width and its shrinkage"},
    [MDR_SPEC_GSM_AGAINST_WIDTH] = {"gsm_against_width", "weight and width"},
    [MDR_SPEC_GSM_AGAINST_SHRINKAGE] = {"gsm_against_shrinkage", "weight and shrinkages"},
};

/* What a reason is about, in `of`, and its unit. */
static const char *about(const mdr_line_ask *q, const mdr_lot_reason *r, mdr_answer_word *of,
                         double *value)
{
    *value = r->value;
    if (r->id == MDR_LOT_CLASH) {
        *of = CLASHES[r->which];
        return "%";
    }
    if (r->id == MDR_LOT_MACHINE) {
        const mdr_line_limit limit = (mdr_line_limit)r->which;
        *of = (mdr_answer_word){mdr_line_limit_id(limit), mdr_line_limit_words(limit)};
        return "%";
    }
    const mdr_property p = (mdr_property)r->which;
    const unit_keys *k = keys_of(q, p);
    *of = (mdr_answer_word){mdr_property_id(p), property_words(q, p)};
    *value *= k->times;
    return k->unit;
}

static mdr_code put_reasons(mdr_line_desk *d, const mdr_lot_verdict *v, mdr_err *err)
{
    if (v->n_reasons == 0) {
        return MDR_OK;
    }
    MDR_TRY(
        mdr_desk_table_of_words(&d->desk, "reasons", "Why", REASONS, N_REASONS, v->n_reasons, err));
    mdr_answer_word *words = d->desk.a->table.texts;
    double *cells = d->desk.a->table.cells;
    for (int i = 0; i < v->n_reasons; i++, words += N_REASONS, cells += N_REASONS) {
        const mdr_lot_reason *r = &v->reasons[i];
        const char *unit = about(d->q, r, &words[1], &cells[2]);
        words[0] = (mdr_answer_word){mdr_lot_reason_id_of(r->id), mdr_lot_reason_words(r->id)};
        words[3] = (mdr_answer_word){unit, unit};
    }
    return MDR_OK;
}

/* -- what can be done -- */

static void put_relaxed(mdr_line_desk *d, const mdr_lot_verdict *v)
{
    mdr_desk_group(&d->desk, "relaxed", "As washed: nothing left to shrink");
    mdr_desk_number(&d->desk, "gsm", "weight", "g/m2", v->relaxed.gsm);
    mdr_line_put_width(d, "width_cm", "layflat_cm", "width", v->relaxed.width_cm);
    mdr_desk_group(&d->desk, NULL, NULL);
}

static void put_aim(mdr_line_desk *d, const mdr_spec_point *p)
{
    mdr_desk_group(&d->desk, "best", "Aim at, or the nearest that can be had");
    mdr_line_put_width(d, "width_cm", "layflat_cm", "width", p->width_cm);
    mdr_desk_number(&d->desk, "gsm", "weight", "g/m2", p->gsm);
    mdr_desk_number(&d->desk, "length_shrink_pct", "length shrinkage left", "%",
                    PCT * p->length_shrink_frac);
    mdr_desk_number(&d->desk, "width_shrink_pct", "width shrinkage left", "%",
                    PCT * p->width_shrink_frac);
    mdr_desk_group(&d->desk, NULL, NULL);
}

static void put_cure(mdr_line_desk *d, const mdr_lot_verdict *v)
{
    put_relaxed(d, v);
    if (!v->spec.feasible) {
        mdr_desk_clashes(&d->desk, &v->spec);
        mdr_desk_limits_wanted(&d->desk, &v->spec);
        mdr_line_because(d, MDR_WHY_GIVE);
    }
    if (v->has_aim) {
        const mdr_settled *s = &v->aim.settled;
        mdr_line_put_finished(d, &s->after[s->line.n - 1], s->reached);
        mdr_line_put_passes(d, s);
        mdr_line_note_settings(d, s);
        mdr_line_because(d, MDR_WHY_SETTLE);
        mdr_line_because(d, MDR_WHY_AIM);
        mdr_desk_note(&d->desk, v->first_pass > 0
                                    ? "The compactor alone is enough: the fabric stays dry."
                                    : "The fabric is wetted again and runs through the line from "
                                      "the padder on.");
    } else {
        put_aim(d, &v->spec.best);
        mdr_desk_note(&d->desk, "Give courses_per_cm as counted on the lot, and the settings "
                                "follow.");
    }
}

static mdr_lot_in lot_of(const mdr_line_ask *q)
{
    const mdr_line all = mdr_line_asked(q);
    mdr_lot_in in = {.demand = mdr_line_demand_asked(q),
                     .limits = mdr_line_limits_asked(q),
                     .compact_fraction = q->compact_overfeed_pct / PCT,
                     .courses_per_cm = q->courses_per_cm,
                     .moisture_kg_per_kg = q->moisture_kg_per_kg,
                     .regain_kg_per_kg = q->regain_pct / PCT};
    if (q->has_courses) {
        in.line = mdr_line_rest(&all, 1); /* dry fabric is wetted by the padder, not squeezed */
    }
    return in;
}

mdr_code mdr_answer_result(mdr_line_desk *d, mdr_err *err)
{
    mdr_result_in in = {0};
    mdr_fabric_result result;
    mdr_lot_verdict v;
    const mdr_lot_in lot = lot_of(d->q);
    MDR_TRY(read_all(d->q, &in, err));
    MDR_TRY(of_member(mdr_fabric_result_of(&in, &result, err), err, "gsm", "sample_g"));
    MDR_TRY(mdr_line_blame(d->q, 1, mdr_lot_judge(&result, &lot, &v, err), err));
    mdr_desk_text(&d->desk, "verdict", "the lot", mdr_lot_outcome_id(v.outcome),
                  mdr_lot_outcome_words(v.outcome));
    mdr_line_because(d, MDR_WHY_LOT);
    mdr_line_because(d, MDR_WHY_PROPERTY);
    mdr_line_because(d, MDR_WHY_READINGS);
    for (int p = 0; p < MDR_PROPERTY_COUNT; p++) {
        put_property(d, (mdr_property)p, &result.of[p]);
    }
    if (v.has_spec) {
        put_cure(d, &v);
        mdr_line_because(d, MDR_WHY_FEASIBLE);
    }
    return put_reasons(d, &v, err);
}
