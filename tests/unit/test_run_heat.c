/* The steam of a batch as it was run, by hand: C of 100 kg, 1000 L and 200 kg of steel is 4414 kJ/K, the
 * steam gives 2100 kJ/kg. Everything invented. */
#include "t.h"

#include <string.h>

#include "run_kit.h"

static const double C = 100 * 1.34 + 1000 * 4.18 + 200 * 0.50, HFG = 2100;

enum { FILL, UP, HOTTER, RUN, LAST, STEPS };
static mdr_control_step steps[STEPS];
static mdr_control control;
static const mdr_control_step REMEDY[] = {{.key = "R1.1",
                                           .bath = 1,
                                           .kind = MDR_STEP_HEAT,
                                           .minutes = 5,
                                           .temp_start_c = 80,
                                           .temp_end_c = 90,
                                           .liquor_l = 1000}};

static void plan(void)
{
    static const struct {
        mdr_step_kind kind;
        double from_c, to_c, steam_kg;
    } ROWS[STEPS] = {{MDR_STEP_FILL, 20, 40, 6},
                     {MDR_STEP_HEAT, 40, 60, 0},
                     {MDR_STEP_HEAT, 60, 80, 0},
                     {MDR_STEP_HOLD, 80, 80, 0},
                     {MDR_STEP_CHECK, 80, 80, 0}};
    static const char *const KEYS[STEPS] = {"1.1", "1.2", "1.3", "1.4", "1.5"};
    control = (mdr_control){.lot_id = "L-1",
                            .machine_id = "M-1",
                            .load_kg = 100,
                            .steel_kg = 200,
                            .steam_kj_per_kg = HFG,
                            .water_l = 1000,
                            .steps = steps,
                            .n_steps = STEPS};
    for (int i = 0; i < STEPS; i++) {
        steps[i] = (mdr_control_step){.key = KEYS[i],
                                      .bath = 1,
                                      .kind = ROWS[i].kind,
                                      .minutes = 5,
                                      .temp_start_c = ROWS[i].from_c,
                                      .temp_end_c = ROWS[i].to_c,
                                      .liquor_l = 1000,
                                      .steam_kg = ROWS[i].kind == MDR_STEP_HEAT
                                                      ? C * (ROWS[i].to_c - ROWS[i].from_c) / HFG
                                                      : ROWS[i].steam_kg};
        control.steam_kg += steps[i].steam_kg;
    }
    steps[FILL].volume_l = 1000;
    steps[LAST].check = (mdr_control_check){.kind = MDR_CHECK_PH, .has_high = true, .high = 7};
}

static mdr_event at_c(double temp_c)
{
    mdr_event e = none();
    e.has_temp = true;
    e.temp_c = temp_c;
    return e;
}

static void run(story *s, const char *step, mdr_event begun, mdr_event ended)
{
    tell(s, MDR_EVENT_STEP_BEGUN, step, begun);
    tell(s, MDR_EVENT_STEP_ENDED, step, ended);
}

/* Nobody recorded anything: what was run took what the plan says, what is to come nothing. */
static void as_planned(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    run(&s, "1.1", none(), none());
    const mdr_run_report *r = report_of(&s);
    CHECK_NEAR(r->planned_steam_kg, 6 + C * 40 / HFG, 1e-9, "D");
    CHECK_NEAR(r->actual_steam_kg, 6, 1e-9, "D: the fill");
    run(&s, "1.2", none(), none());
    run(&s, "1.3", none(), none());
    r = report_of(&s);
    CHECK_NEAR(r->actual_steam_kg, r->planned_steam_kg, 1e-9, "D");
    CHECK_NEAR(r->actual_heat_mj, (6 * HFG + C * 40) / 1000, 1e-9, "D");
    assert_int_equal(r->n_heating, 3);
    assert_int_equal(r->n_heat_recorded, 0);
    assert_int_equal(r->steps[UP].heat_from, MDR_HEAT_FROM_PLAN);
    assert_int_equal(r->steps[RUN].heat_from, MDR_HEAT_FROM_NOTHING);
    assert_int_equal(r->n_watering, 1);
    assert_int_equal(r->n_water_run, 1);
    mdr_arena_free(s.arena);
}

/* 5 K more in one ramp is C x 5 K more, and as much less in the next, which begins there. */
static void hotter_by_5_k(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    run(&s, "1.1", none(), none());
    run(&s, "1.2", none(), at_c(65));
    const mdr_run_report *r = report_of(&s);
    CHECK_NEAR(r->steps[UP].actual_steam_kg, C * 25 / HFG, 1e-9, "D: 52.5 kg");
    CHECK_NEAR(r->steps[UP].planned_steam_kg, C * 20 / HFG, 1e-9, "D: 42.0 kg");
    CHECK_NEAR(r->actual_heat_mj, (6 * HFG + C * 25) / 1000, 1e-9, "D");
    assert_int_equal(r->steps[UP].heat_from, MDR_HEAT_FROM_RECORD);
    run(&s, "1.3", none(), none());
    r = report_of(&s);
    CHECK_NEAR(r->steps[HOTTER].actual_steam_kg, C * 15 / HFG, 1e-9, "D: from where it was left");
    assert_int_equal(r->n_heating, 3);
    assert_int_equal(r->n_heat_recorded, 1);
    mdr_arena_free(s.arena);
}

/* The begin that was recorded goes before the end of the step before. */
static void begun_as_recorded(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    run(&s, "1.1", none(), at_c(42));
    run(&s, "1.2", at_c(38), at_c(60));
    const mdr_run_report *r = report_of(&s);
    CHECK_NEAR(r->steps[FILL].actual_steam_kg, 6 + C * 2 / HFG, 1e-9, "D: filled 2 K hotter");
    CHECK_NEAR(r->steps[UP].actual_steam_kg, C * 22 / HFG, 1e-9, "D: from 38");
    mdr_arena_free(s.arena);
}

/* A correction counts; a text that is no temperature leaves what was recorded. Colder than it began:
 * no steam, never less than none. */
static void corrected(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    run(&s, "1.1", none(), none());
    run(&s, "1.2", none(), at_c(650 / 10.0));
    mdr_event e = none();
    e.of_seq = s.n;
    e.field = "temp_c";
    e.text = "misread";
    e.is = "62.5";
    tell(&s, MDR_EVENT_CORRECTED, "", e);
    CHECK_NEAR(report_of(&s)->steps[UP].actual_steam_kg, C * 22.5 / HFG, 1e-9, "D");
    e.is = "hot";
    tell(&s, MDR_EVENT_CORRECTED, "", e);
    e.is = "161";
    tell(&s, MDR_EVENT_CORRECTED, "", e);
    CHECK_NEAR(report_of(&s)->steps[UP].temp_ended_c, 62.5, 0, "I: the last that is one");
    e.is = "30";
    tell(&s, MDR_EVENT_CORRECTED, "", e);
    CHECK_NEAR(report_of(&s)->steps[UP].actual_steam_kg, 0, 0, "D");
    mdr_arena_free(s.arena);
}

/* Left out: nothing. A remedy: by the same rule, and it was not planned. */
static void left_out_and_remedied(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    run(&s, "1.1", none(), none());
    mdr_event e = none();
    e.text = "hot already";
    tell(&s, MDR_EVENT_STEP_SKIPPED, "1.2", e);
    run(&s, "1.3", none(), none());
    run(&s, "1.4", none(), none());
    e = none();
    e.value = 9;
    tell(&s, MDR_EVENT_READING, "1.5", e);
    e = none();
    e.of_seq = s.n;
    e.steps = REMEDY;
    e.n_steps = 1;
    tell(&s, MDR_EVENT_REMEDY, "1.5", e);
    run(&s, "R1.1", none(), at_c(92));
    const mdr_run_report *r = report_of(&s);
    CHECK_NEAR(r->actual_steam_kg, 6 + C * (20 + 12) / HFG, 1e-9, "D: no 1.2, 80 to 92 more");
    CHECK_NEAR(r->planned_steam_kg, 6 + C * 40 / HFG, 1e-9, "D: without the remedy");
    mdr_arena_free(s.arena);
}

/* A record from before the heat of the steam was frozen says nothing of it. */
static void not_known(void **state)
{
    (void)state;
    story s;
    plan();
    open_story(&s, &control, 60000);
    control.steam_kj_per_kg = 0;
    run(&s, "1.1", none(), at_c(50));
    const mdr_run_report *r = report_of(&s);
    assert_false(r->has_steam);
    assert_int_equal(r->n_heating, 0);
    assert_int_equal(r->steps[FILL].heat_from, MDR_HEAT_FROM_NOTHING);
    assert_null(mdr_heat_from_id(MDR_HEAT_FROM_NOTHING));
    assert_string_equal(mdr_heat_from_id(MDR_HEAT_FROM_RECORD), "record");
    assert_string_equal(mdr_heat_from_id(MDR_HEAT_FROM_PLAN), "plan");
    mdr_arena_free(s.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(as_planned),
                                       cmocka_unit_test(hotter_by_5_k),
                                       cmocka_unit_test(begun_as_recorded),
                                       cmocka_unit_test(corrected),
                                       cmocka_unit_test(left_out_and_remedied),
                                       cmocka_unit_test(not_known)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
