#include "t.h"

#include "core/quality/mdr_aim.h"

/* Dewatered single jersey, 2262 needles, Ne 30 of 0.28 cm loops: relaxed 19.64 x 15.0, 150.8 cm. */
static mdr_aim_in ask(void)
{
    const mdr_line all = mdr_line_open(158);
    mdr_aim_in in = {.start = {.width_cm = 165,
                               .courses_per_cm = 17.0,
                               .wales_per_cm = 2262.0 / 165,
                               .dry_gsm = 118.4,
                               .moisture_kg_per_kg = 0.84,
                               .speed_m_per_min = 40,
                               .length_m = 2300,
                               .temp_c = 25},
                     .line = mdr_line_rest(&all, 1),
                     .limits = {80, 240, 0.0, 0.50, 0.0, 0.15},
                     .relaxed = {19.64, 15.0},
                     .demand = mdr_spec_usual_demand(148, 158, 0.06, 0.07),
                     .compact_fraction = 0.08,
                     .regain_kg_per_kg = 0.085};
    in.line.passes[2].width_change_fraction = 0.02;
    return in;
}

static mdr_aim aimed(const mdr_aim_in *in)
{
    mdr_aim a;
    mdr_err err = {0};
    if (mdr_aim_settle(in, &a, &err) != MDR_OK) {
        fail_msg("%s %s %s", err.msg, err.place, err.value);
    }
    return a;
}

static void relaxed_of_a_web(void **state)
{
    (void)state;
    const mdr_aim_in in = ask();
    const mdr_spec_relaxed r = mdr_aim_relaxed(&in.start, &in.relaxed, 0.085);
    const double closer = 19.64 * 15.0 / (17.0 * 2262.0 / 165);
    CHECK_NEAR(r.width_cm, 150.8, 1e-9, "D: 2262/15");
    CHECK_NEAR(r.gsm, 118.4 * 1.085 * closer, 1e-9, "D: as many loops per area as relaxed");
    const mdr_spec_point p = mdr_aim_point(&in.start, &in.relaxed, 0.085);
    CHECK_NEAR(p.gsm, 118.4 * 1.085, 1e-9, "D");
    CHECK_NEAR(p.length_shrink_frac, 1 - 17 / 19.64, 1e-12, "D: 1 - C/Cr");
    const mdr_spec_point same = mdr_spec_at_shrink(r, p.width_shrink_frac, p.length_shrink_frac);
    CHECK_NEAR(same.gsm, p.gsm, 1e-9, "D: the two ways agree");
    CHECK_NEAR(same.width_cm, p.width_cm, 1e-9, "D: the two ways agree");
}

static void the_best_point(void **state)
{
    (void)state;
    const mdr_aim_in in = ask();
    const mdr_aim a = aimed(&in);
    assert_true(a.met && a.settled.met && a.spec.feasible);
    CHECK_NEAR(a.aimed.width_cm, a.spec.best.width_cm, 0, "D: nothing hinders");
    CHECK_NEAR(a.reached.width_cm, a.spec.best.width_cm, 1e-9, "D: settled there");
    CHECK_NEAR(a.reached.gsm, a.spec.best.gsm, 1e-9, "D: settled there");
    CHECK_NEAR(a.settled.line.passes[1].width_cm, a.spec.best.width_cm / 1.02, 1e-9,
               "D: the compactor widens");
    CHECK_NEAR(a.width_cm.low, 150.8 / 1.3, 1e-9, "D: capped; 80 cm would be less");
    CHECK_NEAR(a.width_cm.high, 240 * 1.02, 1e-9, "D: stenter limit and what comes after");
    CHECK_NEAR(a.length_shrink_frac.high, 1 - 17 * 0.99 / 19.64, 1e-9, "D: no overfeed at all");
    CHECK_NEAR(a.length_shrink_frac.low, -0.3, 1e-9, "D: capped; 1.5 x 1.15 would do more");
}

/* The machines cannot reach the best point, but one within the tolerances. */
static void within_the_limits(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    const mdr_aim free = aimed(&in);
    in.limits.width_max_cm = 157.0 / 1.02;
    assert_true(free.aimed.width_cm > 157.0);
    mdr_aim a = aimed(&in);
    assert_true(a.met && a.settled.met);
    CHECK_NEAR(a.width_cm.high, 157, 1e-9, "D: the limit");
    assert_true(a.reached.width_cm <= 157 + 1e-9 && a.reached.width_cm >= 158 - 2.54 - 1e-9);
    CHECK_NEAR(a.spec.best.width_cm, free.spec.best.width_cm, 0,
               "contract: the specification alone");

    in = ask();
    const double most = 1 - 17 * 0.99 * 1.06 * 1.05 / 19.64; /* about 4.6 % left */
    in.limits.overfeed_max_fraction = 0.06;
    in.limits.compact_max_fraction = 0.05;
    in.compact_fraction = 0.05;
    a = aimed(&in);
    CHECK_NEAR(a.length_shrink_frac.low, most, 1e-9, "D: both overfeeds at their most");
    assert_true(a.met);
    assert_true(a.reached.length_shrink_frac >= most - 1e-9 &&
                a.reached.length_shrink_frac <= 0.06 + 1e-9);
}

static void too_weak_a_line(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    in.limits.overfeed_max_fraction = 0.02;
    in.limits.compact_max_fraction = 0.05;
    in.compact_fraction = 0.05;
    const mdr_aim a = aimed(&in);
    assert_false(a.met);
    assert_true(a.spec.feasible); /* the fabric could, the machines cannot */
    assert_int_equal(a.settled.length.limit, MDR_LIMIT_COMPACT_MAX);
    CHECK_NEAR(a.reached.length_shrink_frac, 1 - 17 * 0.99 * 1.02 * 1.05 / 19.64, 1e-9,
               "D: as far as it goes");
}

static void a_specification_that_clashes(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    in.demand.gsm = 175;
    const mdr_aim a = aimed(&in);
    assert_false(a.met || a.spec.feasible);
    assert_true(a.spec.clash_frac[MDR_SPEC_GSM_AGAINST_WIDTH] > 0);
    CHECK_NEAR(a.reached.width_cm, a.spec.best.width_cm, 1e-9, "D: the fairest miss, settled");
}

/* Only the compactor left: the width is what it is. */
static void only_the_compactor(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    in.line = mdr_line_rest(&in.line, 2);
    in.start = mdr_web_overfed(&in.start, 0.02, 158.0 / 1.02);
    in.start.moisture_kg_per_kg = 0.07;
    mdr_aim a = aimed(&in);
    CHECK_NEAR(a.width_cm.low, 158, 1e-9, "D: 158/1.02, widened");
    CHECK_NEAR(a.width_cm.high, 158, 1e-9, "D: a point");
    CHECK_NEAR(a.reached.width_cm, 158, 1e-9, "D");
    assert_true(a.met);
    in.start = mdr_web_overfed(&in.start, 0.0, 164);
    a = aimed(&in);
    assert_false(a.met);
    assert_int_equal(a.settled.width.limit, MDR_LIMIT_WIDTH_UNSET);
}

static void nothing_to_set(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    in.line = (mdr_line){.n = 1, .passes = {mdr_pass_with_usual(MDR_PASS_RELAX_DRY, 0)}};
    in.line.passes[0].overfeed_fraction = 19.64 * 0.95 / 17.0 - 1;
    in.line.passes[0].width_change_fraction = 158.0 / 165 - 1;
    mdr_aim a = aimed(&in);
    assert_true(a.met);            /* it comes as it should by itself */
    in.demand.gsm = a.reached.gsm; /* and is exactly what was asked for, without any room */
    in.demand.width_cm = a.reached.width_cm;
    in.demand.gsm_tol_pct = in.demand.width_tol_cm = 0;
    a = aimed(&in);
    assert_true(a.met && isfinite(a.aimed.length_shrink_frac) && isfinite(a.aimed.gsm));
    in.line.passes[0].overfeed_fraction = 0;
    a = aimed(&in);
    assert_false(a.met);
    assert_int_equal(a.settled.length.limit, MDR_LIMIT_LENGTH_UNSET);
}

static void refused(const mdr_aim_in *in, const char *place)
{
    mdr_aim a = {.met = true};
    mdr_err err;
    assert_int_equal(mdr_aim_settle(in, &a, &err), MDR_E_RANGE);
    assert_string_equal(err.place, place);
    assert_true(a.met);
}

static void refusals(void **state)
{
    (void)state;
    mdr_aim_in in = ask();
    in.regain_kg_per_kg = 8.5;
    refused(&in, "regain_kg_per_kg");
    in = ask();
    in.demand.gsm = 5;
    refused(&in, "demand.gsm");
    in = ask();
    in.line.n = 0;
    refused(&in, "n");
    in = ask();
    in.start.width_cm = 0;
    refused(&in, "width_cm");
    in = ask();
    in.compact_fraction = 0.2;
    refused(&in, "compact_fraction");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(relaxed_of_a_web),
        cmocka_unit_test(the_best_point),
        cmocka_unit_test(within_the_limits),
        cmocka_unit_test(too_weak_a_line),
        cmocka_unit_test(a_specification_that_clashes),
        cmocka_unit_test(only_the_compactor),
        cmocka_unit_test(nothing_to_set),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
