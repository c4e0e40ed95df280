/* The words of the documents: a step, a tank, an amount, a limit. The texts are the program's own
 * wording (definition); the numbers in them are what the figures hold. */
#include "t.h"

#include <string.h>

#include "card/mdr_chart.h"
#include "card/mdr_words.h"

#define NB "\u00a0"

typedef struct desk {
    mdr_arena *arena;
    mdr_machine machine;
    mdr_plan plan;
    mdr_route_step asked;
    mdr_plan_step step;
} desk;

static int make_desk(void **state)
{
    static desk d;
    d = (desk){.arena = mdr_arena_new(1 << 20)};
    d.plan = (mdr_plan){.machine = &d.machine, .figs = mdr_figs_make(d.arena)};
    *state = &d;
    return d.arena == NULL ? -1 : 0;
}

static int drop_desk(void **state)
{
    desk *d = *state;
    mdr_arena_free(d->arena);
    return 0;
}

static mdr_fig_id fig(desk *d, double value, const char *unit)
{
    return mdr_fig_input(&d->plan.figs, value, unit, "invented",
                         (mdr_fig_source){"const", "invented", "test", {0, 0, 0}});
}

static void begin(desk *d, mdr_route_step asked)
{
    d->asked = asked;
    d->asked.note = "";
    d->step = (mdr_plan_step){.asked = &d->asked,
                              .water_temp_c = MDR_FIG_NONE,
                              .volume_l = MDR_FIG_NONE,
                              .tank_water_l = MDR_FIG_NONE,
                              .tank_loads = MDR_FIG_NONE,
                              .cycles = MDR_FIG_NONE};
}

static void says(const desk *d, const char *want)
{
    char out[MDR_WORDS_MAX];
    mdr_words_step(&d->plan, &d->step, out);
    assert_string_equal(out, want);
}

static void steps(void **state)
{
    desk *d = *state;
    begin(d, (mdr_route_step){.kind = MDR_STEP_LOAD});
    says(d, "Load the fabric");
    begin(d, (mdr_route_step){.kind = MDR_STEP_FILL});
    d->step.volume_l = fig(d, 5429.4, "L");
    d->step.water_temp_c = fig(d, 30.4, "degC");
    says(d, "Fill 5429" NB "L, water at 30" NB "\u00b0C");
    begin(d, (mdr_route_step){.kind = MDR_STEP_HEAT, .temp_c = 98, .rate_c_per_min = 1.5});
    says(d, "Heat to 98" NB "\u00b0C at 1.5" NB "\u00b0C/min");
    begin(d, (mdr_route_step){.kind = MDR_STEP_COOL, .temp_c = 78.5});
    says(d, "Cool to 78.5" NB "\u00b0C as fast as the machine can");
    begin(d, (mdr_route_step){.kind = MDR_STEP_HOLD, .minutes = 60});
    says(d, "Run 60" NB "min");
    begin(d,
          (mdr_route_step){.kind = MDR_STEP_HOLD, .minutes = 60, .has_temp = true, .temp_c = 98});
    says(d, "Run 60" NB "min at 98" NB "\u00b0C");
    begin(d, (mdr_route_step){.kind = MDR_STEP_RINSE});
    d->step.volume_l = fig(d, 12400, "L");
    says(d, "Overflow rinse, 12\u202f400" NB "L through");
    begin(d, (mdr_route_step){.kind = MDR_STEP_DRAIN});
    d->step.volume_l = fig(d, 5500, "L");
    says(d, "Drain 5500" NB "L");
    begin(d, (mdr_route_step){.kind = MDR_STEP_UNLOAD});
    says(d, "Unload the fabric");
}

static void doses(void **state)
{
    desk *d = *state;
    begin(d, (mdr_route_step){.kind = MDR_STEP_DOSE, .minutes = 15, .curve = MDR_CURVE_LINEAR});
    says(d, "Dose evenly over 15" NB "min");
    begin(d,
          (mdr_route_step){
              .kind = MDR_STEP_DOSE, .minutes = 15, .curve = MDR_CURVE_PROGRESSIVE, .exponent = 2});
    says(d, "Dose slowly first, then faster, over 15" NB "min (time to the power 2.0)");
    begin(d, (mdr_route_step){
                 .kind = MDR_STEP_DOSE, .minutes = 9, .curve = MDR_CURVE_PORTIONS, .portions = 3});
    says(d, "Dose in 3 equal portions over 9" NB "min");
    d->asked.offset_min = 5;
    d->step.beside = true;
    says(d, "Dose in 3 equal portions over 9" NB "min, beside the next step, from its minute 5");
}

static void tanks(void **state)
{
    desk *d = *state;
    char out[MDR_WORDS_MAX];
    begin(d, (mdr_route_step){.kind = MDR_STEP_DOSE});
    mdr_words_tank(&d->plan, &d->step, out);
    assert_string_equal(out, "");
    d->step.tank_loads = fig(d, 2, "");
    d->step.volume_l = fig(d, 340, "L");
    d->step.tank_water_l = fig(d, 310, "L");
    d->step.cycles = fig(d, 5.44, "");
    mdr_words_tank(&d->plan, &d->step, out);
    assert_string_equal(out, "2" NB "tank loads \u00b7 340" NB "L made up with 310" NB
                             "L of fresh water \u00b7 5.4" NB "rope cycles");
    begin(d, (mdr_route_step){.kind = MDR_STEP_DOSE});
    d->machine.tank_water = MDR_TANK_BATH;
    d->step.tank_loads = fig(d, 1, "");
    d->step.volume_l = fig(d, 0, "L");
    mdr_words_tank(&d->plan, &d->step, out);
    assert_string_equal(out, "1" NB "tank load \u00b7 dissolved in liquor from the bath");
}

static void amount_is(desk *d, mdr_route_item asked, double value, const char *unit,
                      const char *want)
{
    char out[MDR_WORDS_MAX];
    const mdr_plan_item item = {.asked = &asked,
                                .amount = unit == NULL ? MDR_FIG_NONE : fig(d, value, unit)};
    mdr_words_amount(&d->plan, &d->step, &item, out);
    assert_string_equal(out, want);
}

static void amounts(void **state)
{
    desk *d = *state;
    begin(d, (mdr_route_step){.kind = MDR_STEP_DOSE, .share_pct = 100});
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_G_PER_L}, 20, "g/L", "20" NB "g/L");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_PCT_OWF}, 2, "% owf", "2.0" NB "% owf");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_RECIPE}, 0.00123, "% owf",
              "0.00123" NB "% owf");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_G_PER_L, .of_active = true}, 2.5, "g/L",
              "2.5" NB "g/L as 100" NB "%");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_NEUTRALISE}, 1, "kg", "to reach pH" NB "6.3");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_NEUTRALISE, .to_ph = 5.5}, 1, "kg",
              "to reach pH" NB "5.5");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_NEUTRALISE, .to_ph = 7}, 1, "kg",
              "to reach pH" NB "7.0");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_SEQUESTER}, 1, "kg", "for the hardness");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_CATALASE}, 1, "kg", "for the peroxide left");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_OXIDISE}, 1, "kg", "to oxidise the vat dye");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_TABLE}, 0, NULL, "by the depth table");
    d->asked.share_pct = 40;
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_DYE_TABLE}, 10, "g/L",
              "40" NB "% of 10" NB "g/L, by table");
    amount_is(d, (mdr_route_item){.basis = MDR_BASIS_DYE_TABLE}, 9.533333, "g/L",
              "40" NB "% of 9.533" NB "g/L, by table"); /* finer than anybody doses */
}

static void limits(void **state)
{
    (void)state;
    static const struct {
        mdr_route_check check;
        const char *text;
    } ROWS[] = {
        {{.kind = MDR_CHECK_PH, .has_low = true, .has_high = true, .low = 6, .high = 6.5},
         "6.0 to 6.5"},
        {{.kind = MDR_CHECK_PEROXIDE, .has_high = true, .high = 5}, "at most 5" NB "mg/L"},
        {{.kind = MDR_CHECK_WHITENESS, .has_low = true, .low = 62}, "at least 62" NB "W10"},
        {{.kind = MDR_CHECK_HARDNESS, .has_high = true, .high = 25}, "at most 25" NB "\u00b0dH"},
        {{.kind = MDR_CHECK_SHADE, .has_high = true, .high = 0.8},
         "at most 0.8" NB "\u0394E CMC(2:1)"},
        {{.kind = MDR_CHECK_SAMPLE}, ""}};
    char out[MDR_WORDS_MAX];
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_words_limits(&ROWS[i].check, out);
        assert_string_equal(out, ROWS[i].text);
    }
}

/* A bath of up to three steps that knows nothing. */
typedef struct tub {
    mdr_route_step asked[3];
    mdr_plan_step steps[3];
    mdr_material material;
    mdr_plan_item item;
    mdr_route_stage stage;
    mdr_plan_bath bath;
} tub;

static void tub_begin(tub *t, desk *d, mdr_stage_kind stage)
{
    *t = (tub){.stage = {.kind = stage}};
    for (int i = 0; i < 3; i++) {
        t->steps[i] = (mdr_plan_step){.asked = &t->asked[i],
                                      .temp_end_c = MDR_FIG_NONE,
                                      .ph = MDR_FIG_NONE,
                                      .ph_cold = MDR_FIG_NONE,
                                      .peroxide_mg_per_l = MDR_FIG_NONE,
                                      .dithionite_g_per_l = MDR_FIG_NONE};
    }
    t->item = (mdr_plan_item){.material = &t->material};
    t->bath = (mdr_plan_bath){.stage = &t->stage,
                              .number = 1,
                              .steps = t->steps,
                              .n_steps = 3,
                              .ph_start = MDR_FIG_NONE,
                              .ph_end = MDR_FIG_NONE,
                              .electrolyte_g_per_l = MDR_FIG_NONE,
                              .hardness_total_dh = MDR_FIG_NONE,
                              .hardness_dh = MDR_FIG_NONE,
                              .peroxide_mg_per_l = MDR_FIG_NONE,
                              .dithionite_g_per_l = MDR_FIG_NONE,
                              .loose_mg_per_kg = MDR_FIG_NONE};
    d->plan.baths = &t->bath;
    d->plan.n_baths = 1;
}

static void tub_doses(tub *t, int substance, bool is_dye)
{
    t->material.substance = substance;
    t->material.is_dye = is_dye;
    t->asked[0].kind = MDR_STEP_DOSE;
    t->steps[0].items = &t->item;
    t->steps[0].n_items = 1;
}

static void bath_says(const desk *d, const tub *t, const char *want)
{
    char out[MDR_WORDS_MAX];
    mdr_words_bath(&d->plan, &t->bath, out);
    assert_string_equal(out, want);
}

static void chemistry_of_a_bath(void **state)
{
    desk *d = *state;
    tub t;
    tub_begin(&t, d, MDR_STAGE_DYEING);
    bath_says(d, &t, "");
    t.bath.ph_start = fig(d, 7.231, "pH");
    bath_says(d, &t, "pH" NB "7.2 filled");
    t.bath.ph_end = fig(d, 10.506, "pH");
    t.steps[1].ph = t.bath.ph_end;
    t.steps[1].ph_uncertainty = 0.085; /* up to the next tenth */
    bath_says(d, &t, "pH" NB "7.2" NB "\u2192" NB "10.5 \u00b1" NB "0.1");
    t.steps[1].ph_uncertainty = 0.101;
    t.bath.ph_start = fig(d, 10.54, "pH"); /* the same in print */
    bath_says(d, &t, "pH" NB "10.5 \u00b1" NB "0.2");
    t.bath.ph_start = t.bath.ph_end = MDR_FIG_NONE;
    t.bath.hardness_dh = fig(d, 3.24, "dH"); /* only where there is dye to be hurt by it */
    bath_says(d, &t, "");
    tub_doses(&t, MDR_SUB_DYE, true);
    bath_says(d, &t, "free hardness 3.2" NB "\u00b0dH");
    t.bath.hardness_dh = fig(d, 2e-15, "dH"); /* rounding of a sum */
    bath_says(d, &t, "free hardness 0" NB "\u00b0dH");
    t.bath.hardness_dh = fig(d, 0.02, "dH");
    bath_says(d, &t, "free hardness under 0.1" NB "\u00b0dH");
    tub_doses(&t, MDR_SUB_H2O2, false);
    t.bath.peroxide_mg_per_l = fig(d, 438.7, "mg/L");
    bath_says(d, &t, "peroxide left 439" NB "mg/L");
    tub_doses(&t, MDR_SUB_DITHIONITE, false);
    t.bath.dithionite_g_per_l = fig(d, 2.4423, "g/L");
    bath_says(d, &t, "dithionite left 2.4" NB "g/L");
}

static void chemistry_of_a_soap(void **state)
{
    desk *d = *state;
    tub t;
    tub_begin(&t, d, MDR_STAGE_AFTER);
    t.bath.electrolyte_g_per_l = fig(d, 1.26, "g/L");
    t.steps[1].temp_end_c = fig(d, 80, "degC"); /* a hot rinse */
    bath_says(d, &t, "");
    t.steps[1].temp_end_c = fig(d, 85, "degC");
    bath_says(d, &t, "begins with salt and alkali 1.3" NB "g/L");
    t.stage.kind = MDR_STAGE_PREPARE;
    bath_says(d, &t, "");
    /* loose dye: the last bath that knows it says it */
    mdr_plan_bath two[2] = {t.bath, t.bath};
    two[0].loose_mg_per_kg = fig(d, 27.8, "mg/kg");
    two[1].number = 2;
    d->plan.baths = two;
    d->plan.n_baths = 2;
    char out[MDR_WORDS_MAX];
    mdr_words_bath(&d->plan, &two[0], out);
    assert_string_equal(out, "loose dye left 28" NB "mg/kg");
    two[1].loose_mg_per_kg = fig(d, 0.67, "mg/kg");
    mdr_words_bath(&d->plan, &two[0], out);
    assert_string_equal(out, "");
    mdr_words_bath(&d->plan, &two[1], out);
    assert_string_equal(out, "loose dye left 0.7" NB "mg/kg");
    d->plan.baths = NULL;
    d->plan.n_baths = 0;
}

static void expects(const desk *d, const tub *t, const char *want)
{
    char out[MDR_WORDS_MAX];
    mdr_words_expected(&d->plan, &t->bath, &t->steps[1], out);
    assert_string_equal(out, want);
}

static void what_a_check_reads(void **state)
{
    desk *d = *state;
    tub t;
    tub_begin(&t, d, MDR_STAGE_DYEING);
    t.asked[1] = (mdr_route_step){.kind = MDR_STEP_CHECK, .check = {.kind = MDR_CHECK_PH}};
    expects(d, &t, "");
    t.steps[1].ph = fig(d, 10.506, "pH");
    t.steps[1].ph_cold = fig(d, 11.007, "pH");
    t.steps[1].ph_uncertainty = 0.1;
    expects(d, &t, "Expect 10.5 \u00b1" NB "0.1 in the bath");
    t.asked[1].check.cooled = true;
    expects(d, &t, "Expect 11.0 \u00b1" NB "0.1 cooled to 25" NB "\u00b0C");
    t.steps[1].ph_cold = MDR_FIG_NONE;
    expects(d, &t, "");
    t.asked[1].check = (mdr_route_check){.kind = MDR_CHECK_CORE_PH};
    expects(d, &t, "Expect 10.5 \u00b1" NB "0.1");
    t.asked[1].check.kind = MDR_CHECK_PEROXIDE;
    expects(d, &t, "");
    t.steps[1].peroxide_mg_per_l = fig(d, 0.302, "mg/L");
    expects(d, &t, "Expect 0.3" NB "mg/L");
    t.asked[1].check.kind = MDR_CHECK_HARDNESS;
    t.bath.hardness_total_dh = fig(d, 25.15, "dH");
    t.bath.hardness_dh = fig(d, 21.1, "dH"); /* a titration finds what is held, too */
    expects(d, &t, "Expect 25" NB "\u00b0dH");
    t.asked[1].check.kind = MDR_CHECK_REDUCTION;
    t.steps[1].dithionite_g_per_l = fig(d, 3.44, "g/L");
    expects(d, &t, ""); /* a rinse that brought it along */
    tub_doses(&t, MDR_SUB_DITHIONITE, false);
    expects(d, &t, "Reduction reserve 3.4" NB "g/L");
    t.asked[1].check.kind = MDR_CHECK_SHADE;
    expects(d, &t, "");
}

static void after(const desk *d, const tub *t, const char *want)
{
    char out[MDR_WORDS_MAX];
    mdr_words_after(&d->plan, &t->bath, &t->steps[0], out);
    assert_string_equal(out, want);
}

static void what_a_step_leaves(void **state)
{
    desk *d = *state;
    tub t;
    tub_begin(&t, d, MDR_STAGE_DYEING);
    tub_doses(&t, MDR_SUB_HAC, false);
    t.steps[0].ph = fig(d, 10.26, "pH");
    t.steps[0].ph_uncertainty = 0.05;
    after(d, &t, ""); /* what it is for says the pH */
    tub_doses(&t, MDR_SUB_NA2CO3, false);
    after(d, &t, "Ends at pH" NB "10.3 \u00b1" NB "0.1");
    tub_doses(&t, MDR_SUB_NAOH, false);
    after(d, &t, "Ends at pH" NB "10.3 \u00b1" NB "0.1");
    t.steps[0].dithionite_g_per_l = fig(d, 3.06, "g/L");
    after(d, &t, "Ends at pH" NB "10.3 \u00b1" NB "0.1"); /* none is given in this bath */
    tub_doses(&t, MDR_SUB_DITHIONITE, false);
    after(d, &t, "Reduction reserve 3.1" NB "g/L");
    t.asked[0].kind = MDR_STEP_HEAT;
    after(d, &t, "");
}

static void a_grade_has_no_unit(void **state)
{
    desk *d = *state;
    begin(d, (mdr_route_step){.kind = MDR_STEP_CHECK,
                              .check = {.kind = MDR_CHECK_WASH_OFF, .has_low = true, .low = 4.5}});
    says(d, "Wash-off, bleeding: grade at least 4.5");
}

/* Labels: two boxes that share only an edge do not overlap; a line that only passes by does not
 * cross. D: plane geometry. */
static void boxes(void **state)
{
    (void)state;
    const mdr_box box = {10, 10, 20, 10};
    static const struct {
        mdr_box other;
        bool overlap;
    } PAIRS[] = {{{30, 10, 5, 5}, false}, {{29.9, 10, 5, 5}, true}, {{10, 20, 20, 5}, false},
                 {{12, 12, 1, 1}, true},  {{0, 0, 40, 40}, true},   {{0, 0, 9, 40}, false}};
    for (size_t i = 0; i < N_OF(PAIRS); i++) {
        assert_int_equal(mdr_box_overlap(box, PAIRS[i].other), PAIRS[i].overlap);
        assert_int_equal(mdr_box_overlap(PAIRS[i].other, box), PAIRS[i].overlap);
    }
    static const struct {
        double x1, y1, x2, y2;
        bool crossed;
    } LINES[] = {{0, 15, 40, 15, true},  {0, 25, 40, 25, false}, {0, 0, 40, 30, true},
                 {0, 12, 9, 12, false},  {15, 15, 16, 16, true}, {20, 0, 20, 40, true},
                 {31, 0, 31, 40, false}, {0, 20, 20, 40, false}, {5, 5, 5, 5, false},
                 {15, 15, 15, 15, true}};
    for (size_t i = 0; i < N_OF(LINES); i++) {
        const bool got = mdr_box_crossed(box, LINES[i].x1, LINES[i].y1, LINES[i].x2, LINES[i].y2);
        const bool back = mdr_box_crossed(box, LINES[i].x2, LINES[i].y2, LINES[i].x1, LINES[i].y1);
        if (got != LINES[i].crossed || back != got) {
            fail_msg("line %zu", i);
        }
    }
}

static void labels_keep_apart(void **state)
{
    desk *d = *state;
    mdr_chart *chart = MDR_NEW(d->arena, mdr_chart);
    assert_non_null(chart);
    assert_true(mdr_chart_take(chart, (mdr_box){0, 0, 10, 5}));
    assert_false(mdr_chart_take(chart, (mdr_box){5, 2, 10, 5}));
    assert_int_equal(chart->n_taken, 1); /* what found no room takes none */
    assert_true(mdr_chart_take(chart, (mdr_box){10, 0, 10, 5}));
    for (int i = chart->n_taken; i < MDR_CHART_LABELS; i++) {
        assert_true(mdr_chart_take(chart, (mdr_box){20.0 * i, 100, 10, 5}));
    }
    assert_false(mdr_chart_take(chart, (mdr_box){0, 300, 10, 5})); /* full */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(steps),
                                       cmocka_unit_test(doses),
                                       cmocka_unit_test(tanks),
                                       cmocka_unit_test(amounts),
                                       cmocka_unit_test(limits),
                                       cmocka_unit_test(a_grade_has_no_unit),
                                       cmocka_unit_test(boxes),
                                       cmocka_unit_test(labels_keep_apart),
                                       cmocka_unit_test(chemistry_of_a_bath),
                                       cmocka_unit_test(chemistry_of_a_soap),
                                       cmocka_unit_test(what_a_check_reads),
                                       cmocka_unit_test(what_a_step_leaves)};
    return cmocka_run_group_tests(tests, make_desk, drop_desk);
}
