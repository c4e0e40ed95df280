/* The lot report of a batch reckoned by hand. Everything invented. */
#include "t.h"

#include <string.h>

#include "run_kit.h"

enum { MIN = 60000 };

static const mdr_control_item SODA[] = {{.material_id = "SODA",
                                         .name = "Soda",
                                         .mass_mg = 5000000,
                                         .substance = MDR_SUB_NA2CO3,
                                         .price_minor_per_kg = 20}};
static const mdr_control_item ACID[] = {{.material_id = "ACID",
                                         .name = "Acid",
                                         .mass_mg = 2000000,
                                         .substance = MDR_SUB_HAC,
                                         .price_minor_per_kg = 50}};
static const mdr_control_step STEPS[] = {
    {.key = "1.1", .bath = 1, .kind = MDR_STEP_FILL, .minutes = 5, .volume_l = 1000},
    {.key = "1.2",
     .bath = 1,
     .kind = MDR_STEP_DOSE,
     .start_min = 5,
     .minutes = 10,
     .items = SODA,
     .n_items = 1},
    {.key = "1.3",
     .bath = 1,
     .kind = MDR_STEP_CHECK,
     .start_min = 15,
     .minutes = 5,
     .check = {.kind = MDR_CHECK_PH, .has_high = true, .high = 7}},
    {.key = "1.4",
     .bath = 1,
     .kind = MDR_STEP_RINSE,
     .start_min = 20,
     .minutes = 10,
     .volume_l = 400},
};
static const mdr_control CONTROL = {.lot_id = "L-1",
                                    .machine_id = "M-1",
                                    .total_min = 30,
                                    .water_l = 1400,
                                    .steps = STEPS,
                                    .n_steps = (int)N_OF(STEPS)};
static const mdr_control_step REMEDY[] = {{.key = "R1.1",
                                           .bath = 1,
                                           .kind = MDR_STEP_DOSE,
                                           .minutes = 5,
                                           .volume_l = 20,
                                           .items = ACID,
                                           .n_items = 1}};

static void weigh(story *s, const char *step, const char *material, int64_t mass_mg)
{
    mdr_event e = none();
    e.item = 1;
    e.material_id = material;
    e.mass_mg = mass_mg;
    tell(s, MDR_EVENT_WEIGHED, step, e);
}

static void begin(story *s)
{
    open_story(s, &CONTROL, 0);
    mdr_event warm = none();
    tell(s, MDR_EVENT_STEP_BEGUN, "1.1", none());
    s->now_utc_ms += 6 * MIN;
    warm.has_temp = true;
    warm.temp_c = 41.5;
    tell(s, MDR_EVENT_STEP_ENDED, "1.1", warm);
    weigh(s, "1.2", "SODA", 4000000);
    weigh(s, "1.2", "SODA", 5100000); /* the one that counts */
    tell(s, MDR_EVENT_STEP_BEGUN, "1.2", none());
    s->now_utc_ms += 12 * MIN;
    tell(s, MDR_EVENT_STEP_ENDED, "1.2", none());
}

/* A remedy, a mistyped reading, an interruption, a rinse left out. */
static void by_hand(void **state)
{
    (void)state;
    story s;
    begin(&s);
    mdr_event e = none();
    e.value = 9.0;
    tell(&s, MDR_EVENT_READING, "1.3", e);
    const int64_t seq = s.n;
    e = none();
    e.of_seq = seq;
    e.field = "value";
    e.is = "8.5";
    e.value = 8.5;
    e.text = "misread";
    tell(&s, MDR_EVENT_CORRECTED, "", e);
    e = none();
    e.of_seq = seq;
    e.steps = REMEDY;
    e.n_steps = 1;
    tell(&s, MDR_EVENT_REMEDY, "1.3", e);
    weigh(&s, "R1.1", "ACID", 2000000);
    tell(&s, MDR_EVENT_STEP_BEGUN, "R1.1", none());
    e = none();
    e.interrupt = MDR_INTERRUPT_POWER;
    tell(&s, MDR_EVENT_INTERRUPTED, "", e);
    s.now_utc_ms += 4 * MIN;
    tell(&s, MDR_EVENT_RESUMED, "", none());
    s.now_utc_ms += 5 * MIN;
    tell(&s, MDR_EVENT_STEP_ENDED, "R1.1", none());
    e = none();
    e.value = 6.5;
    tell(&s, MDR_EVENT_READING, "1.3", e);
    e = none();
    e.of_seq = s.n;
    e.decision = MDR_DECISION_PASS;
    tell(&s, MDR_EVENT_DECISION, "1.3", e);
    e = none();
    e.text = "no need";
    tell(&s, MDR_EVENT_STEP_SKIPPED, "1.4", e);
    tell(&s, MDR_EVENT_RELEASED, "", none());
    const mdr_run_report *r = report_of(&s);
    CHECK_NEAR(r->planned_min, 30, 0, "I");
    CHECK_NEAR(r->actual_min, 6 + 12 + 9, 1e-9, "D: what the clock was moved by");
    CHECK_NEAR(r->interrupted_min, 4, 1e-9, "D");
    CHECK_NEAR(r->planned_kg, 5, 1e-12, "D: the plan's soda; the remedy was not planned");
    CHECK_NEAR(r->weighed_kg, 5.1 + 2, 1e-12, "D: weighed last, and the acid");
    CHECK_NEAR(r->planned_products_minor, 100, 1e-9, "D: 5 x 20");
    CHECK_NEAR(r->actual_products_minor, 5.1 * 20 + 2 * 50, 1e-9, "D");
    CHECK_NEAR(r->planned_water_l, 1400, 0, "I");
    CHECK_NEAR(r->actual_water_l, 1400 - 400 + 20, 1e-9, "D: no rinse, the acid's tank");
    assert_true(r->all_priced);
    assert_false(r->right_first);
    assert_int_equal(r->not_first, 1u << MDR_NOT_FIRST_REMEDY);
    assert_int_equal(r->n_items, 2);
    CHECK_NEAR(r->items[0].off_pct, 2, 1e-9, "D: 5.1 of 5");
    assert_int_equal(r->items[0].weighings, 2);
    assert_int_equal(r->n_readings, 2);
    CHECK_NEAR(r->readings[0].value, 8.5, 0, "I: as corrected before it was decided on");
    assert_true(r->readings[0].corrected);
    assert_false(r->readings[0].inside);
    assert_null(r->readings[0].decision); /* the remedy was approved at once */
    assert_true(r->readings[1].inside);
    assert_int_equal(r->readings[1].decision->decision, MDR_DECISION_PASS);
    assert_true(r->steps[0].has_temp_ended);
    CHECK_NEAR(r->steps[0].temp_ended_c, 41.5, 0, "I");
    CHECK_NEAR(r->steps[0].actual_min, 6, 1e-9, "D");
    mdr_arena_free(s.arena);
}

static void not_over_is_not_right(void **state)
{
    (void)state;
    story s;
    begin(&s);
    const mdr_run_report *r = report_of(&s);
    assert_int_equal(r->not_first, 1u << MDR_NOT_FIRST_OPEN);
    CHECK_NEAR(r->actual_water_l, 1000, 1e-9, "D: the fill; the rinse is still to come");
    mdr_event e = none();
    e.value = 7.5;
    tell(&s, MDR_EVENT_READING, "1.3", e);
    e = none();
    e.of_seq = s.n;
    e.decision = MDR_DECISION_ACCEPT;
    e.text = "so be it";
    tell(&s, MDR_EVENT_DECISION, "1.3", e);
    e = none();
    e.text = "torn";
    tell(&s, MDR_EVENT_STOPPED, "", e);
    r = report_of(&s);
    assert_int_equal(r->not_first, 1u << MDR_NOT_FIRST_ACCEPTED | 1u << MDR_NOT_FIRST_STOPPED);
    assert_false(r->steps[3].timed);
    for (int k = 0; k < MDR_NOT_FIRST_COUNT; k++) {
        assert_non_null(mdr_not_first_id((mdr_not_first)k));
        assert_non_null(mdr_not_first_words((mdr_not_first)k));
    }
    mdr_arena_free(s.arena);
}

static void right_first(void **state)
{
    (void)state;
    story s;
    begin(&s);
    mdr_event e = none();
    e.value = 6.5;
    tell(&s, MDR_EVENT_READING, "1.3", e);
    e = none();
    e.of_seq = s.n;
    e.decision = MDR_DECISION_PASS;
    tell(&s, MDR_EVENT_DECISION, "1.3", e);
    tell(&s, MDR_EVENT_STEP_BEGUN, "1.4", none());
    tell(&s, MDR_EVENT_STEP_ENDED, "1.4", none());
    const mdr_run_report *r = report_of(&s);
    assert_true(r->right_first);
    CHECK_NEAR(r->actual_water_l, 1400, 1e-9, "D: all of it ran");
    assert_int_equal(r->not_first, 0);
    mdr_arena_free(s.arena);
}

static void memory_fails_anywhere(void **state)
{
    (void)state;
    story s;
    begin(&s);
    mdr_arena *small = mdr_arena_new(256);
    const mdr_run_report *r = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_run_report_make(&s.batch, s.events, s.n, small, &r, &err), MDR_E_NOMEM);
    assert_null(r);
    mdr_arena_free(small);
    mdr_arena_free(s.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_hand), cmocka_unit_test(not_over_is_not_right),
        cmocka_unit_test(right_first), cmocka_unit_test(memory_fails_anywhere)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
