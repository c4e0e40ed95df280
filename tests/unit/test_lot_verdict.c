#include "t.h"

#include "core/finish/mdr_settle.h"
#include "core/quality/mdr_lot_verdict.h"

/* Asked for 160 g/m2, 160 cm, 5 % both ways. The fabric below, washed: 180 g/m2, 150 cm. */
static mdr_lot_in line_of(void)
{
    const mdr_line all = mdr_line_open(160);
    mdr_lot_in in = {.demand = mdr_spec_usual_demand(160, 160, 0.05, 0.07),
                     .line = mdr_line_rest(&all, 1),
                     .limits = {80, 240, 0.0, 0.50, 0.0, 0.15},
                     .compact_fraction = 0.08,
                     .courses_per_cm = 18.0,
                     .moisture_kg_per_kg = 0.06,
                     .regain_kg_per_kg = 0.085};
    return in;
}

/* As a fabric that relaxes to 180 g/m2 and 150 cm measures at these residuals. */
static mdr_result_in measured(double length_pct, double width_pct, const mdr_spec_demand *d)
{
    mdr_result_in in = {0};
    const mdr_spec_relaxed r = {180, 150};
    const mdr_spec_point p = mdr_spec_at_shrink(r, width_pct / 100, length_pct / 100);
    in.readings[MDR_PROPERTY_LENGTH_CHANGE] = (mdr_readings){{-length_pct}, 1};
    in.readings[MDR_PROPERTY_WIDTH_CHANGE] = (mdr_readings){{-width_pct}, 1};
    in.readings[MDR_PROPERTY_GSM] = (mdr_readings){{p.gsm}, 1};
    in.readings[MDR_PROPERTY_WIDTH] = (mdr_readings){{p.width_cm}, 1};
    mdr_result_limit_by(d, in.limits);
    return in;
}

static mdr_lot_verdict judged(const mdr_result_in *r, const mdr_lot_in *in)
{
    mdr_fabric_result result;
    mdr_lot_verdict v;
    mdr_err err = {0};
    assert_int_equal(mdr_fabric_result_of(r, &result, NULL), MDR_OK);
    if (mdr_lot_judge(&result, in, &v, &err) != MDR_OK) {
        fail_msg("%s %s %s", err.msg, err.place, err.value);
    }
    return v;
}

static const mdr_lot_reason *reason(const mdr_lot_verdict *v, mdr_lot_reason_id id, int which)
{
    for (int i = 0; i < v->n_reasons; i++) {
        if (v->reasons[i].id == id && v->reasons[i].which == which) {
            return &v->reasons[i];
        }
    }
    return NULL;
}

static double value_of(const mdr_lot_verdict *v, mdr_lot_reason_id id, int which)
{
    const mdr_lot_reason *r = reason(v, id, which);
    if (r == NULL) {
        fail_msg("no reason %s of %d", mdr_lot_reason_id_of(id), which);
        return 0;
    }
    return r->value;
}

static void released(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    mdr_result_in r = measured(4, 6, &in.demand);
    mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_RELEASE);
    assert_int_equal(v.n_reasons, 0);
    assert_false(v.has_spec || v.has_aim);
    r.readings[MDR_PROPERTY_LENGTH_CHANGE] = (mdr_readings){{-4, -5.1, -4.4}, 3};
    v = judged(&r, &in); /* one mark beyond: released, and said */
    assert_int_equal(v.outcome, MDR_LOT_RELEASE);
    CHECK_NEAR(value_of(&v, MDR_LOT_NEAR, MDR_PROPERTY_LENGTH_CHANGE), 0.5, 1e-12, "D: 5 - 4.5");
}

static void not_measured(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    mdr_result_in r = measured(4, 6, &in.demand);
    r.limits[MDR_PROPERTY_PILLING] = (mdr_result_limit){3.5, 0, true, false};
    mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_UNDECIDED);
    assert_non_null(reason(&v, MDR_LOT_NOT_MEASURED, MDR_PROPERTY_PILLING));
    /* missed, and what would tell whether it can be cured was not washed */
    r = measured(9, 6, &in.demand);
    r.readings[MDR_PROPERTY_WIDTH_CHANGE].n = 0;
    v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_UNDECIDED);
    assert_false(v.has_spec);
    assert_non_null(reason(&v, MDR_LOT_NOT_MEASURED, MDR_PROPERTY_WIDTH_CHANGE));
}

/* Too long: the compactor alone brings it in, and the fabric stays dry. */
static void the_compactor_does(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    const mdr_result_in r = measured(9, 6, &in.demand);
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_REFINISH);
    CHECK_NEAR(value_of(&v, MDR_LOT_MISSED, MDR_PROPERTY_LENGTH_CHANGE), 4, 1e-9, "D: 9 - 5");
    CHECK_NEAR(v.relaxed.gsm, 180, 1e-9, "D: back to the fabric it was made of");
    CHECK_NEAR(v.relaxed.width_cm, 150, 1e-9, "D: back to the fabric it was made of");
    assert_true(v.has_aim && v.aim.met);
    assert_int_equal(v.first_pass, 2);
    assert_int_equal(v.aim.settled.line.n, 1);
    CHECK_NEAR(v.aim.settled.line.passes[0].overfeed_fraction,
               (1 - v.aim.reached.length_shrink_frac) / 0.91 - 1, 1e-9,
               "D: courses closer by the length taken away");
    CHECK_NEAR(v.aim.reached.width_cm, 150 / 0.94, 1e-9, "D: the width stays");
    assert_true(mdr_spec_meets(&in.demand, &v.aim.reached, 1e-8));
    /* the weight rises with it, from 155.1 to beyond the middle, and is nearer to its limit */
    assert_true(v.aim.reached.gsm > v.now.gsm);
}

/* Too narrow: the stenter again. */
static void the_whole_line(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    const mdr_result_in r = measured(4, 1, &in.demand);
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_REFINISH);
    assert_non_null(reason(&v, MDR_LOT_MISSED, MDR_PROPERTY_WIDTH));
    assert_int_equal(v.first_pass, 0);
    assert_int_equal(v.aim.settled.line.n, 3);
    assert_true(v.aim.met && v.aim.settled.met);
    CHECK_NEAR(v.aim.settled.line.passes[1].width_cm, v.aim.reached.width_cm, 1e-9,
               "D: nothing widens later");
    const double width_margin = 1 + 2, reached = 7 - 100 * v.aim.reached.width_shrink_frac;
    CHECK_NEAR(value_of(&v, MDR_LOT_GIVES_WAY, MDR_PROPERTY_WIDTH_CHANGE), width_margin - reached,
               1e-9, "D: wider, so it shrinks more; margin 3 (growth 2) before");
}

/* The same without a line: the aim alone. */
static void without_a_line(void **state)
{
    (void)state;
    mdr_lot_in in = line_of();
    const mdr_result_in r = measured(4, 1, &in.demand);
    in.line.n = 0;
    in.courses_per_cm = 0;
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_REFINISH);
    assert_true(v.has_spec && !v.has_aim && v.spec.feasible);
    assert_non_null(reason(&v, MDR_LOT_GIVES_WAY, MDR_PROPERTY_WIDTH_CHANGE));
}

/* No setting: the yarn is too fine for width, weight and shrinkage together. */
static void a_clash(void **state)
{
    (void)state;
    mdr_lot_in in = line_of();
    in.demand = mdr_spec_usual_demand(185, 160, 0.05, 0.07);
    const mdr_result_in r = measured(4, 6, &in.demand);
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_CLAIM_RISK);
    assert_non_null(reason(&v, MDR_LOT_MISSED, MDR_PROPERTY_GSM));
    /* the least asked for is 185 x 0.95 at 157.46 cm; metre of the relaxed one, not shrinking but
     * growing 2 %: 180 x 150 x 1.02 */
    CHECK_NEAR(value_of(&v, MDR_LOT_CLASH, MDR_SPEC_GSM_AGAINST_WIDTH),
               100 * (185 * 0.95 * 157.46 / (180 * 150 * 1.02) - 1), 1e-6, "D: mass of a metre");
    assert_null(reason(&v, MDR_LOT_GIVES_WAY, MDR_PROPERTY_WIDTH));
}

static void the_machine(void **state)
{
    (void)state;
    mdr_lot_in in = line_of();
    in.limits.width_max_cm = 150;
    const mdr_result_in r = measured(4, 1, &in.demand);
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_CLAIM_RISK);
    assert_true(v.spec.feasible && !v.aim.met);
    CHECK_NEAR(value_of(&v, MDR_LOT_MACHINE, MDR_LIMIT_WIDTH_MAX),
               100 * (0 - v.spec.best.width_shrink_frac), 1e-9, "D: 150 cm does not shrink at all");
}

static void no_matter_of_finishing(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    mdr_result_in r = measured(9, 6, &in.demand);
    r.limits[MDR_PROPERTY_TWIST_PCT] = (mdr_result_limit){0, 5, false, true};
    r.readings[MDR_PROPERTY_TWIST_PCT] = (mdr_readings){{-6, -7}, 2};
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_CLAIM_RISK);
    CHECK_NEAR(value_of(&v, MDR_LOT_NOT_OF_FINISHING, MDR_PROPERTY_TWIST_PCT), 1.5, 1e-12,
               "D: 6.5 - 5");
    assert_true(v.has_aim && v.aim.met); /* the length can still be brought in */
}

static void straightened(void **state)
{
    (void)state;
    const mdr_lot_in in = line_of();
    mdr_result_in r = measured(4, 6, &in.demand);
    r.limits[MDR_PROPERTY_SKEW] = (mdr_result_limit){0, 3, false, true};
    r.readings[MDR_PROPERTY_SKEW] = (mdr_readings){{4}, 1};
    const mdr_lot_verdict v = judged(&r, &in);
    assert_int_equal(v.outcome, MDR_LOT_REFINISH);
    CHECK_NEAR(value_of(&v, MDR_LOT_STRAIGHTEN, MDR_PROPERTY_SKEW), 1, 1e-12, "D: 4 - 3");
    assert_false(v.has_aim);
}

static void words(void **state)
{
    (void)state;
    for (int i = 0; i < MDR_LOT_REASON_COUNT; i++) {
        assert_true(mdr_lot_reason_words((mdr_lot_reason_id)i)[0] != '\0');
    }
    assert_string_equal(mdr_lot_outcome_id(MDR_LOT_CLAIM_RISK), "claim_risk");
    assert_true(mdr_lot_outcome_words(MDR_LOT_REFINISH)[0] != '\0');
}

static void refusals(void **state)
{
    (void)state;
    mdr_lot_in in = line_of();
    const mdr_result_in r = measured(9, 6, &in.demand);
    mdr_fabric_result result;
    mdr_lot_verdict v = {.n_reasons = 4711};
    mdr_err err;
    assert_int_equal(mdr_fabric_result_of(&r, &result, NULL), MDR_OK);
    in.courses_per_cm = 0;
    assert_int_equal(mdr_lot_judge(&result, &in, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "courses_per_cm");
    in = line_of();
    in.demand.width_cm = 0;
    assert_int_equal(mdr_lot_judge(&result, &in, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "demand.width_cm");
    assert_int_equal(v.n_reasons, 4711);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(released),           cmocka_unit_test(not_measured),
        cmocka_unit_test(the_compactor_does), cmocka_unit_test(the_whole_line),
        cmocka_unit_test(without_a_line),     cmocka_unit_test(a_clash),
        cmocka_unit_test(the_machine),        cmocka_unit_test(no_matter_of_finishing),
        cmocka_unit_test(straightened),       cmocka_unit_test(words),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
