#include "core/quality/mdr_lot_verdict.h"

#include <assert.h>
#include <math.h>

static const double PCT = 100.0;

typedef struct word {
    const char *id, *words;
} word;

#define WORD(name, id, words) {id, words},
static const word OUTCOMES[MDR_LOT_OUTCOME_COUNT] = {MDR_LOT_OUTCOMES(WORD)};
static const word REASONS[MDR_LOT_REASON_COUNT] = {MDR_LOT_REASONS(WORD)};

const char *mdr_lot_outcome_id(mdr_lot_outcome o)
{
    return OUTCOMES[o].id;
}

const char *mdr_lot_outcome_words(mdr_lot_outcome o)
{
    return OUTCOMES[o].words;
}

const char *mdr_lot_reason_id_of(mdr_lot_reason_id r)
{
    return REASONS[r].id;
}

const char *mdr_lot_reason_words(mdr_lot_reason_id r)
{
    return REASONS[r].words;
}

static void add(mdr_lot_verdict *v, mdr_lot_reason_id id, int which, double value)
{
    assert(v->n_reasons < MDR_LOT_REASONS_MAX);
    v->reasons[v->n_reasons++] = (mdr_lot_reason){id, which, value};
}

/* -- the four that hang together -- */

static bool measured(const mdr_fabric_result *r)
{
    return r->of[MDR_PROPERTY_LENGTH_CHANGE].n > 0 && r->of[MDR_PROPERTY_WIDTH_CHANGE].n > 0 &&
           r->of[MDR_PROPERTY_GSM].n > 0 && r->of[MDR_PROPERTY_WIDTH].n > 0;
}

static mdr_spec_point point_of(const mdr_fabric_result *r)
{
    return (mdr_spec_point){
        .width_cm = r->of[MDR_PROPERTY_WIDTH].mean,
        .gsm = r->of[MDR_PROPERTY_GSM].mean,
        .width_shrink_frac = -r->of[MDR_PROPERTY_WIDTH_CHANGE].mean / PCT,
        .length_shrink_frac = -r->of[MDR_PROPERTY_LENGTH_CHANGE].mean / PCT,
    };
}

static mdr_code find_spec(mdr_lot_verdict *v, const mdr_fabric_result *r, const mdr_lot_in *in,
                          mdr_err *err)
{
    v->now = point_of(r);
    v->relaxed.gsm =
        v->now.gsm / ((1.0 - v->now.length_shrink_frac) * (1.0 - v->now.width_shrink_frac));
    v->relaxed.width_cm = v->now.width_cm * (1.0 - v->now.width_shrink_frac);
    const mdr_spec_in ask = {v->relaxed, in->demand};
    MDR_TRY(mdr_spec_check(&ask, err));
    v->spec = mdr_spec_answer_of(&ask);
    v->has_spec = true;
    return MDR_OK;
}

/* Wales are not counted here: only their ratio to the relaxed ones is used, and that is the
 * width's. Any possible number serves. */
static const double ANY_WALES_PER_CM = 12.0, ANY_LENGTH_M = 1000.0, COLD_C = 25.0;

static mdr_code settle(mdr_lot_verdict *v, const mdr_lot_in *in, int first, mdr_err *err)
{
    const mdr_aim_in aim = {
        .start = {.width_cm = v->now.width_cm,
                  .courses_per_cm = in->courses_per_cm,
                  .wales_per_cm = ANY_WALES_PER_CM,
                  .dry_gsm = mdr_web_dry_gsm_of(v->now.gsm, in->regain_kg_per_kg),
                  .moisture_kg_per_kg = in->moisture_kg_per_kg,
                  .length_m = ANY_LENGTH_M,
                  .temp_c = COLD_C},
        .line = mdr_line_rest(&in->line, first),
        .limits = in->limits,
        .relaxed = {in->courses_per_cm / (1.0 - v->now.length_shrink_frac),
                    ANY_WALES_PER_CM / (1.0 - v->now.width_shrink_frac)},
        .demand = in->demand,
        .compact_fraction = in->compact_fraction,
        .regain_kg_per_kg = in->regain_kg_per_kg,
    };
    MDR_TRY(mdr_aim_settle(&aim, &v->aim, err));
    v->first_pass = first;
    v->has_aim = true;
    return MDR_OK;
}

/* The compactor alone when that does: the fabric stays dry. Else the whole line. */
static mdr_code find_aim(mdr_lot_verdict *v, const mdr_lot_in *in, mdr_err *err)
{
    const int last = in->line.n - 1;
    if (in->line.n < 1) {
        return MDR_OK;
    }
    if (last > 0 && last < MDR_LINE_MAX && mdr_pass_compacts(in->line.passes[last].kind)) {
        MDR_TRY(settle(v, in, last, err));
        if (v->aim.met) {
            return MDR_OK;
        }
    }
    return settle(v, in, 0, err);
}

/* -- reasons -- */

static void say_clashes(mdr_lot_verdict *v)
{
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        if (v->spec.clash_frac[i] > 0.0) {
            add(v, MDR_LOT_CLASH, i, PCT * v->spec.clash_frac[i]);
        }
    }
}

static void say_machine(mdr_lot_verdict *v, const mdr_miss *miss)
{
    if (miss->limit != MDR_LIMIT_NONE) {
        add(v, MDR_LOT_MACHINE, (int)miss->limit, PCT * miss->off_fraction);
    }
}

static double margin_after(const mdr_result_limit *l, double value)
{
    return fmin(l->high - value, value - l->low);
}

/* What is met now and will be met by less: the price of what the pass brings in. */
static void say_what_gives_way(mdr_lot_verdict *v, const mdr_fabric_result *r, const mdr_lot_in *in)
{
    const mdr_spec_point *p = v->has_aim ? &v->aim.reached : &v->spec.best;
    const double after[] = {[MDR_PROPERTY_LENGTH_CHANGE] = -PCT * p->length_shrink_frac,
                            [MDR_PROPERTY_WIDTH_CHANGE] = -PCT * p->width_shrink_frac,
                            [MDR_PROPERTY_GSM] = p->gsm,
                            [MDR_PROPERTY_WIDTH] = p->width_cm};
    mdr_result_limit limits[MDR_PROPERTY_COUNT];
    mdr_result_limit_by(&in->demand, limits);
    for (int i = 0; i <= MDR_PROPERTY_WIDTH; i++) {
        const mdr_property_result *now = &r->of[i];
        const double less = now->margin - margin_after(&limits[i], after[i]);
        const double nothing = 1e-9; /* of the value: rounding */
        if ((now->verdict == MDR_RESULT_MET || now->verdict == MDR_RESULT_NEAR) &&
            less > nothing * fabs(after[i])) {
            add(v, MDR_LOT_GIVES_WAY, i, less);
        }
    }
}

static mdr_lot_reason_id reason_of(mdr_result_verdict v)
{
    return v == MDR_RESULT_MISSED ? MDR_LOT_MISSED
           : v == MDR_RESULT_NEAR ? MDR_LOT_NEAR
                                  : MDR_LOT_NOT_MEASURED;
}

typedef struct tally {
    int missed[MDR_MATTERS];
} tally;

static tally say_properties(mdr_lot_verdict *v, const mdr_fabric_result *r)
{
    tally t = {{0}};
    for (int i = 0; i < MDR_PROPERTY_COUNT; i++) {
        const mdr_property_result *p = &r->of[i];
        const mdr_matter matter = mdr_property_matter((mdr_property)i);
        if (p->verdict == MDR_RESULT_NOT_ASKED || p->verdict == MDR_RESULT_MET) {
            continue;
        }
        add(v, reason_of(p->verdict), i, fabs(p->margin));
        if (p->verdict != MDR_RESULT_MISSED) {
            continue;
        }
        t.missed[matter]++;
        if (matter != MDR_MATTER_LOOPS) {
            add(v, matter == MDR_MATTER_LINES ? MDR_LOT_STRAIGHTEN : MDR_LOT_NOT_OF_FINISHING, i,
                fabs(p->margin));
        }
    }
    return t;
}

/* Width, weight or a shrinkage is missed: can the line bring all four in? */
static mdr_code cure(mdr_lot_verdict *v, const mdr_fabric_result *r, const mdr_lot_in *in,
                     bool *cured, mdr_err *err)
{
    MDR_TRY(find_spec(v, r, in, err));
    MDR_TRY(find_aim(v, in, err));
    *cured = v->has_aim ? v->aim.met : v->spec.feasible;
    if (*cured) {
        say_what_gives_way(v, r, in);
    } else if (!v->spec.feasible) {
        say_clashes(v);
    } else {
        say_machine(v, &v->aim.settled.width);
        say_machine(v, &v->aim.settled.length);
    }
    return MDR_OK;
}

mdr_code mdr_lot_judge(const mdr_fabric_result *result, const mdr_lot_in *in, mdr_lot_verdict *out,
                       mdr_err *err)
{
    mdr_lot_verdict v = {.n_reasons = 0};
    const tally t = say_properties(&v, result);
    bool cured = true;
    bool known = true;
    if (t.missed[MDR_MATTER_LOOPS] > 0) {
        known = measured(result);
        if (known) {
            MDR_TRY(cure(&v, result, in, &cured, err));
        }
    }
    if (t.missed[MDR_MATTER_FABRIC] > 0 || !cured) {
        v.outcome = MDR_LOT_CLAIM_RISK;
    } else if (!known) {
        v.outcome = MDR_LOT_UNDECIDED;
    } else if (result->n_missed > 0) {
        v.outcome = MDR_LOT_REFINISH;
    } else {
        v.outcome = result->n_not_measured > 0 ? MDR_LOT_UNDECIDED : MDR_LOT_RELEASE;
    }
    *out = v;
    return MDR_OK;
}
