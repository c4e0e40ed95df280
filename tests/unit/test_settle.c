#include "t.h"

#include <string.h>

#include "core/finish/mdr_settle.h"

/* Dewatered single jersey, stretched 4 % in the squeezer; relaxed as Ne 30 of 0.28 cm loops. */
static const mdr_web START = {.width_cm = 165,
                              .courses_per_cm = 17.0,
                              .wales_per_cm = 2262.0 / 165,
                              .dry_gsm = 129.6,
                              .moisture_kg_per_kg = 0.84,
                              .speed_m_per_min = 40,
                              .length_m = 2300,
                              .temp_c = 25};
static const mdr_goal GOAL = {
    .relaxed = {19.64, 15.0}, .residual = {0.04, 0.05}, .compact_fraction = 0.08};
static const mdr_line_limits LIMITS = {.width_min_cm = 80,
                                       .width_max_cm = 240,
                                       .overfeed_min_fraction = 0.0,
                                       .overfeed_max_fraction = 0.20,
                                       .compact_min_fraction = 0.0,
                                       .compact_max_fraction = 0.15};

static mdr_line open_rest(void)
{
    const mdr_line all = mdr_line_open(170);
    mdr_line rest = mdr_line_rest(&all, 1); /* pad, stenter, compactor */
    rest.passes[0].overfeed_fraction = -0.01;
    rest.passes[2].width_change_fraction = 0.02;
    return rest;
}

static void the_usual_lines(void **state)
{
    (void)state;
    static const mdr_pass_kind OPEN[] = {MDR_PASS_DEWATER, MDR_PASS_PAD, MDR_PASS_STENTER,
                                         MDR_PASS_COMPACT};
    static const mdr_pass_kind TUBE[] = {MDR_PASS_BALLOON, MDR_PASS_PAD, MDR_PASS_SPREAD,
                                         MDR_PASS_RELAX_DRY, MDR_PASS_TUBE_COMPACT};
    const mdr_line open = mdr_line_open(170), tube = mdr_line_tubular(170);
    assert_int_equal(open.n, N_OF(OPEN));
    assert_int_equal(tube.n, N_OF(TUBE));
    for (int i = 0; i < open.n; i++) {
        assert_int_equal(open.passes[i].kind, OPEN[i]);
    }
    for (int i = 0; i < tube.n; i++) {
        assert_int_equal(tube.passes[i].kind, TUBE[i]);
    }
    /* as they stand they can be run: wet from the vessel to the last pass */
    mdr_web wet = START, after[MDR_LINE_MAX];
    wet.moisture_kg_per_kg = 2.0;
    assert_int_equal(mdr_pass_run(&wet, open.passes, open.n, after, NULL), MDR_OK);
    assert_int_equal(mdr_pass_run(&wet, tube.passes, tube.n, after, NULL), MDR_OK);
    const mdr_line rest = mdr_line_rest(&tube, 3);
    assert_int_equal(rest.n, 2);
    assert_int_equal(rest.passes[0].kind, MDR_PASS_RELAX_DRY);
}

static void open_line(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    mdr_settled s;
    mdr_err err;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &LIMITS, &s, &err), MDR_OK);
    assert_true(s.met);
    assert_int_equal(s.width.limit, MDR_LIMIT_NONE);
    assert_int_equal(s.length.limit, MDR_LIMIT_NONE);
    const mdr_web *end = &s.after[2];
    CHECK_NEAR(end->courses_per_cm, 19.64 * 0.96, 1e-12 * 20, "D: Cr(1 - sL)");
    CHECK_NEAR(end->width_cm, 2262 / (15.0 * 0.95), 1e-12 * 160, "D: N/Wf");
    CHECK_NEAR(end->dry_gsm, s.goal.dry_gsm, 1e-12 * 160, "D: by mass");
    CHECK_NEAR(s.line.passes[1].width_cm, 2262 / 14.25 / 1.02, 1e-10,
               "D: narrower by what the compactor widens");
    CHECK_NEAR(s.line.passes[2].overfeed_fraction, 0.08, 1e-13, "D: as asked for");
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 19.64 * 0.96 / (17.0 * 0.99 * 1.08) - 1, 1e-13,
               "D: Cs = Cf/(1 + OF)");
    CHECK_NEAR(s.line.passes[0].overfeed_fraction, -0.01, 0, "contract: kept");
    CHECK_NEAR(s.reached.length_fraction, 0.04, 1e-13, "D");
    CHECK_NEAR(s.reached.width_fraction, 0.05, 1e-13, "D");
    CHECK_NEAR(s.compact_entry_kg_per_kg, 0.07, 0, "D: what the stenter leaves");
    CHECK_NEAR(s.goal.moisture_kg_per_kg, 0.06, 0, "D: what the compactor leaves");
}

static void tubular_line(void **state)
{
    (void)state;
    const mdr_line all = mdr_line_tubular(160);
    mdr_line line = mdr_line_rest(&all, 1);
    line.passes[3].width_change_fraction = 0.01;
    mdr_line_limits limits = LIMITS;
    limits.overfeed_min_fraction = -0.05;
    mdr_settled s;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_true(s.met);
    const mdr_pass *dryer = &line.passes[2];
    CHECK_NEAR(s.line.passes[1].width_cm, 2262 / 14.25 / 1.01 / (1 + dryer->width_change_fraction),
               1e-10, "D: wider by what the relax dryer narrows");
    const double gain = (1 + line.passes[0].overfeed_fraction) * (1 + dryer->overfeed_fraction);
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 19.64 * 0.96 / (17 * gain * 1.08) - 1, 1e-13,
               "D: what dryer and compactor leave to do");
    CHECK_NEAR(s.after[3].courses_per_cm, 19.64 * 0.96, 2e-11, "D");
    CHECK_NEAR(mdr_web_measured(&s.after[3], 0.085).layflat_cm, 2262 / 14.25 / 2, 1e-10, "D");
}

/* A limit on the gripping machine hands the rest to the compactor, and says nothing. */
static void one_helps_the_other(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    const double times = 19.64 * 0.96 / (17.0 * 0.99);
    mdr_line_limits limits = LIMITS;
    mdr_settled s;
    limits.overfeed_max_fraction = 0.02;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_true(s.met);
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 0.02, 0, "D: at its most");
    CHECK_NEAR(s.line.passes[2].overfeed_fraction, times / 1.02 - 1, 1e-13, "D: the rest");
    limits = LIMITS;
    limits.overfeed_min_fraction = 0.06;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_true(s.met);
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 0.06, 0, "D: at its least");
    CHECK_NEAR(s.line.passes[2].overfeed_fraction, times / 1.06 - 1, 1e-13, "D: the rest");
}

static void too_little_overfeed(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    const double times = 19.64 * 0.96 / (17.0 * 0.99);
    mdr_line_limits limits = LIMITS;
    mdr_settled s;
    limits.overfeed_max_fraction = 0.01;
    limits.compact_max_fraction = 0.09;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_false(s.met);
    assert_int_equal(s.length.limit, MDR_LIMIT_COMPACT_MAX);
    CHECK_NEAR(s.length.wanted, times / 1.01 - 1, 1e-13, "D");
    CHECK_NEAR(s.length.allowed, 0.09, 0, "D");
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 0.01, 0, "D: both at their most");
    CHECK_NEAR(s.line.passes[2].overfeed_fraction, 0.09, 0, "D: both at their most");
    const double reached = 1 - 17 * 0.99 * 1.01 * 1.09 / 19.64;
    CHECK_NEAR(s.reached.length_fraction, reached, 1e-13, "D");
    CHECK_NEAR(s.length.off_fraction, reached - 0.04, 1e-13, "D: it shrinks so much more");
    assert_true(s.length.off_fraction > 0);
    assert_int_equal(s.width.limit, MDR_LIMIT_NONE); /* the width does not suffer */
    CHECK_NEAR(s.width.off_fraction, 0, 0, "contract: met, so nothing is off");
    CHECK_NEAR(s.reached.width_fraction, 0.05, 1e-13, "D");
}

static void too_much_overfeed(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    mdr_line_limits limits = LIMITS;
    mdr_goal goal = GOAL;
    mdr_settled s;
    limits.overfeed_min_fraction = 0.15;
    limits.compact_min_fraction = 0.05;
    goal.residual.length_fraction = 0.10;
    assert_int_equal(mdr_line_settle(&START, &line, &goal, &limits, &s, NULL), MDR_OK);
    assert_false(s.met);
    assert_int_equal(s.length.limit, MDR_LIMIT_COMPACT_MIN);
    CHECK_NEAR(s.length.wanted, 19.64 * 0.90 / (17 * 0.99 * 1.15) - 1, 1e-13, "D");
    CHECK_NEAR(s.length.allowed, 0.05, 0, "D");
    assert_true(s.length.off_fraction <
                0); /* it shrinks less than promised: that much longer cut */
}

static void width_limits(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    mdr_line_limits limits = LIMITS;
    mdr_settled s;
    const double wanted = 2262 / 14.25 / 1.02;
    limits.width_max_cm = 150;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_false(s.met);
    assert_int_equal(s.width.limit, MDR_LIMIT_WIDTH_MAX);
    CHECK_NEAR(s.width.wanted, wanted, 1e-10, "D");
    CHECK_NEAR(s.width.allowed, 150, 0, "D");
    CHECK_NEAR(s.after[2].width_cm, 153, 1e-10, "D: 150 widened 2 %");
    CHECK_NEAR(s.width.off_fraction, (1 - 2262 / 153.0 / 15) - 0.05, 1e-13, "D");
    assert_true(s.width.off_fraction < 0);
    assert_int_equal(s.length.limit, MDR_LIMIT_NONE);
    const mdr_line stenter_first =
        mdr_line_rest(&line, 1); /* the first pass sets it as any other */
    assert_int_equal(mdr_line_settle(&START, &stenter_first, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_int_equal(s.width.limit, MDR_LIMIT_WIDTH_MAX);
    limits = LIMITS;
    limits.width_min_cm = 160;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_int_equal(s.width.limit, MDR_LIMIT_WIDTH_MIN);
    CHECK_NEAR(s.width.allowed, 160, 0, "D");
    assert_true(s.width.off_fraction > 0);
    limits.width_min_cm = limits.width_max_cm = wanted; /* exactly at a limit is within it */
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_true(s.met);
}

/* After the stenter only the compactor is left: length can be cured, width is what it is. */
static void again_from_a_reading(void **state)
{
    (void)state;
    const mdr_line line = open_rest();
    mdr_settled s, again;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &LIMITS, &s, NULL), MDR_OK);
    mdr_web_reading reading = {.width_cm = s.after[1].width_cm,
                               .courses_per_cm = s.after[1].courses_per_cm * 0.98,
                               .moisture_kg_per_kg = 0.05};
    mdr_web is;
    double off = 0;
    assert_int_equal(mdr_web_read(&s.after[1], &reading, &is, &off, NULL), MDR_OK);
    const mdr_line rest = mdr_line_rest(&s.line, 2);
    mdr_line damp = rest;
    damp.passes[0].moisture_kg_per_kg = 0.05;
    assert_int_equal(mdr_line_settle(&is, &damp, &GOAL, &LIMITS, &again, NULL), MDR_OK);
    assert_true(again.met);
    CHECK_NEAR(again.line.passes[0].overfeed_fraction, 1.08 / 0.98 - 1, 1e-12,
               "D: what the stenter left undone");
    CHECK_NEAR(again.compact_entry_kg_per_kg, 0.05, 0, "D: as read");

    reading.width_cm += 3;
    assert_int_equal(mdr_web_read(&s.after[1], &reading, &is, &off, NULL), MDR_OK);
    assert_int_equal(mdr_line_settle(&is, &damp, &GOAL, &LIMITS, &again, NULL), MDR_OK);
    assert_false(again.met);
    assert_int_equal(again.width.limit, MDR_LIMIT_WIDTH_UNSET);
    CHECK_NEAR(again.width.wanted, 2262 / 14.25, 1e-10, "D: finished");
    CHECK_NEAR(again.width.allowed, reading.width_cm * 1.02, 1e-10, "D: will be");
    assert_true(again.width.off_fraction > 0);
    assert_int_equal(again.length.limit, MDR_LIMIT_NONE);

    reading.courses_per_cm = s.after[1].courses_per_cm * 0.92; /* more than it can take back */
    assert_int_equal(mdr_web_read(&s.after[1], &reading, &is, &off, NULL), MDR_OK);
    assert_int_equal(mdr_line_settle(&is, &damp, &GOAL, &LIMITS, &again, NULL), MDR_OK);
    assert_int_equal(again.length.limit, MDR_LIMIT_COMPACT_MAX);
    CHECK_NEAR(again.length.wanted, 1.08 / 0.92 - 1, 1e-12, "D: what it would take");
    CHECK_NEAR(again.length.allowed, 0.15, 0, "D");
}

static void nothing_left_to_set(void **state)
{
    (void)state;
    const mdr_pass dryer = mdr_pass_with_usual(MDR_PASS_RELAX_DRY, 0);
    mdr_line line = {.n = 1, .passes = {dryer}};
    mdr_settled s;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &LIMITS, &s, NULL), MDR_OK);
    assert_false(s.met);
    assert_int_equal(s.width.limit, MDR_LIMIT_WIDTH_UNSET);
    assert_int_equal(s.length.limit, MDR_LIMIT_LENGTH_UNSET);
    CHECK_NEAR(s.length.wanted, 19.64 * 0.96, 1e-12, "D");
    CHECK_NEAR(s.length.allowed, 17 * (1 + dryer.overfeed_fraction), 1e-12, "D: as it comes");
    CHECK_NEAR(s.compact_entry_kg_per_kg, -1, 0, "contract: no compactor");
}

static void no_compactor(void **state)
{
    (void)state;
    const mdr_line three = open_rest();
    mdr_line line = three;
    line.n = 2;
    mdr_line_limits limits = LIMITS;
    mdr_settled s;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_true(s.met);
    CHECK_NEAR(s.line.passes[1].overfeed_fraction, 19.64 * 0.96 / (17.0 * 0.99) - 1, 1e-13,
               "D: the stenter alone");
    CHECK_NEAR(s.line.passes[1].width_cm, 2262 / 14.25, 1e-10, "D: nothing widens after it");
    limits.overfeed_max_fraction = 0.05;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_int_equal(s.length.limit, MDR_LIMIT_OVERFEED_MAX);
    CHECK_NEAR(s.length.allowed, 0.05, 0, "D");
    limits = LIMITS;
    limits.overfeed_min_fraction = 0.18;
    assert_int_equal(mdr_line_settle(&START, &line, &GOAL, &limits, &s, NULL), MDR_OK);
    assert_int_equal(s.length.limit, MDR_LIMIT_OVERFEED_MIN);
}

static void refused_place(const mdr_web *start, const mdr_line *line, const mdr_goal *goal,
                          const mdr_line_limits *limits, mdr_code code, const char *place)
{
    mdr_settled s = {.compact_entry_kg_per_kg = 4711};
    mdr_err err;
    assert_int_equal(mdr_line_settle(start, line, goal, limits, &s, &err), code);
    assert_string_equal(err.place, place);
    CHECK_NEAR(s.compact_entry_kg_per_kg, 4711, 0, "contract: untouched");
}

static void refused(void **state)
{
    (void)state;
    mdr_line line = open_rest();
    mdr_goal goal = GOAL;
    mdr_line_limits limits = LIMITS;
    mdr_web start = START;
    start.dry_gsm = (double)NAN;
    refused_place(&start, &line, &goal, &limits, MDR_E_RANGE, "dry_gsm");
    line.n = 0;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "n");
    line.n = MDR_LINE_MAX + 1;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "n");
    line = open_rest();
    line.passes[2].overfeed_fraction = -1;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "passes[2].overfeed_fraction");
    line = open_rest();
    line.passes[0].overfeed_fraction = -1; /* would divide by nothing */
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "passes[0].overfeed_fraction");
    line = open_rest();
    line.passes[1].moisture_kg_per_kg = 1.5;
    refused_place(&START, &line, &goal, &limits, MDR_E_INFEAS, "passes[1].moisture_kg_per_kg");
    line = open_rest();
    goal.residual.length_fraction = 4; /* a per cent */
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "residual.length_fraction");
    goal = GOAL;
    goal.residual.width_fraction = -0.31;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "residual.width_fraction");
    goal = GOAL;
    goal.relaxed.courses_per_cm = 0;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "relaxed.courses_per_cm");
    goal = GOAL;
    goal.compact_fraction = 0.16;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "compact_fraction");
    goal = GOAL;
    limits.width_min_cm = 241;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "limits.width_min_cm");
    limits = LIMITS;
    limits.overfeed_min_fraction = 0.21;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "limits.overfeed_min_fraction");
    limits = LIMITS;
    limits.compact_min_fraction = 0.16;
    refused_place(&START, &line, &goal, &limits, MDR_E_RANGE, "limits.compact_min_fraction");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_usual_lines),
        cmocka_unit_test(open_line),
        cmocka_unit_test(tubular_line),
        cmocka_unit_test(one_helps_the_other),
        cmocka_unit_test(too_little_overfeed),
        cmocka_unit_test(too_much_overfeed),
        cmocka_unit_test(width_limits),
        cmocka_unit_test(again_from_a_reading),
        cmocka_unit_test(nothing_left_to_set),
        cmocka_unit_test(no_compactor),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
