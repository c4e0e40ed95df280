/* A batch folded from its events: what may happen when, and what comes out. Everything invented. */
#include "t.h"

#include <string.h>

#include "core/run/mdr_batch.h"

enum { MIN = 60000 };
static const int64_t NOON = 1795674519603;

static const mdr_control_item ITEMS[] = {
    {.material_id = "SODA", .name = "Soda", .mass_mg = 5000000, .substance = MDR_SUB_NA2CO3},
    {.material_id = "SALT", .name = "Salt", .mass_mg = 60000000, .substance = MDR_SUB_NACL}};

/* Bath 1: fill, dose beside, run, check, drain. Bath 2: fill. */
static const mdr_control_step STEPS[] = {
    {.key = "1.1", .bath = 1, .kind = MDR_STEP_FILL, .minutes = 5},
    {.key = "1.2",
     .bath = 1,
     .kind = MDR_STEP_DOSE,
     .start_min = 5,
     .minutes = 30,
     .beside = true,
     .items = ITEMS,
     .n_items = 2},
    {.key = "1.3", .bath = 1, .kind = MDR_STEP_HOLD, .start_min = 15, .minutes = 40},
    {.key = "1.4",
     .bath = 1,
     .kind = MDR_STEP_CHECK,
     .start_min = 55,
     .minutes = 5,
     .check = {.kind = MDR_CHECK_PH, .has_low = true, .has_high = true, .low = 10.5, .high = 11.2}},
    {.key = "1.5", .bath = 1, .kind = MDR_STEP_DRAIN, .start_min = 60, .minutes = 4},
    {.key = "2.1", .bath = 2, .kind = MDR_STEP_FILL, .start_min = 64, .minutes = 6},
};
static const mdr_control CONTROL = {.lot_id = "L-1",
                                    .machine_id = "M-1",
                                    .total_min = 70,
                                    .steps = STEPS,
                                    .n_steps = (int)N_OF(STEPS)};

typedef struct shop {
    mdr_arena *arena;
    mdr_batch batch;
    int64_t seq, now_utc_ms;
    mdr_err err;
} shop;

static shop ready(void)
{
    shop f = {.arena = mdr_arena_new(1 << 20), .now_utc_ms = NOON};
    assert_int_equal(mdr_batch_open("L-1.1", &CONTROL, f.arena, &f.batch, &f.err), MDR_OK);
    return f;
}

static mdr_code enter(shop *f, mdr_event e)
{
    e.seq = ++f->seq;
    e.batch_id = "L-1.1";
    e.by = e.by[0] != '\0' ? e.by : "anna";
    e.at_utc_ms = e.happened_utc_ms = f->now_utc_ms;
    return mdr_batch_apply(&f->batch, &e, f->arena, &f->err);
}

static mdr_event event(mdr_event_kind kind, const char *step)
{
    mdr_event e = mdr_event_none(kind);
    e.step = step;
    return e;
}

#define TAKEN(f, e)                                           \
    do {                                                      \
        if (enter((f), (e)) != MDR_OK) {                      \
            fail_msg("%s: %s", (f)->err.place, (f)->err.msg); \
        }                                                     \
    } while (0)

static void refused(shop *f, mdr_event e, mdr_code code, const char *place)
{
    const mdr_batch before = f->batch;
    assert_int_equal(enter(f, e), code);
    assert_string_equal(f->err.place, place);
    assert_true(f->err.remedy[0] != '\0');
    assert_int_equal(before.state, f->batch.state);
    assert_int_equal(before.now, f->batch.now);
    assert_int_equal(before.last_seq, f->batch.last_seq);
}

static mdr_event weighed(int item, const char *material, int64_t mass_mg)
{
    mdr_event e = event(MDR_EVENT_WEIGHED, "1.2");
    e.item = item;
    e.material_id = material;
    e.mass_mg = mass_mg;
    return e;
}

static mdr_event reading(const char *step, double value)
{
    mdr_event e = event(MDR_EVENT_READING, step);
    e.value = value;
    return e;
}

static mdr_event decision(const char *step, int64_t of_seq, mdr_decision what, const char *text)
{
    mdr_event e = event(MDR_EVENT_DECISION, step);
    e.of_seq = of_seq;
    e.decision = what;
    e.text = text;
    return e;
}

static void begin_and_fill(shop *f)
{
    TAKEN(f, event(MDR_EVENT_BEGUN, ""));
    TAKEN(f, event(MDR_EVENT_STEP_BEGUN, "1.1"));
    f->now_utc_ms += 5 * MIN;
    TAKEN(f, event(MDR_EVENT_STEP_ENDED, "1.1"));
}

static void weigh_all(shop *f)
{
    TAKEN(f, weighed(1, "SODA", 5000000));
    TAKEN(f, weighed(2, "SALT", 60000000));
}

static void to_the_check(shop *f)
{
    begin_and_fill(f);
    weigh_all(f);
    TAKEN(f, event(MDR_EVENT_STEP_BEGUN, "1.2"));
    TAKEN(f, event(MDR_EVENT_STEP_BEGUN, "1.3"));
    TAKEN(f, event(MDR_EVENT_STEP_ENDED, "1.2"));
    TAKEN(f, event(MDR_EVENT_STEP_ENDED, "1.3"));
}

static void runs_to_release(void **state)
{
    (void)state;
    shop f = ready();
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.1"), MDR_E_CONFLICT, "kind");
    to_the_check(&f);
    TAKEN(&f, reading("1.4", 11.0));
    assert_int_equal(f.batch.state, MDR_BATCH_HELD);
    assert_true(f.batch.steps[3].in_limits);
    TAKEN(&f, decision("1.4", f.seq, MDR_DECISION_PASS, ""));
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.5"));
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "1.5"));
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "2.1"));
    refused(&f, event(MDR_EVENT_RELEASED, ""), MDR_E_CONFLICT, "kind");
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "2.1"));
    assert_int_equal(f.batch.state, MDR_BATCH_COMPLETE);
    assert_true(mdr_batch_right_first(&f.batch));
    TAKEN(&f, event(MDR_EVENT_RELEASED, ""));
    assert_int_equal(f.batch.state, MDR_BATCH_RELEASED);
    mdr_event late = event(MDR_EVENT_REMARK, "");
    late.text = "the customer is content";
    TAKEN(&f, late);
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "2.1"), MDR_E_CONFLICT, "kind");
    mdr_arena_free(f.arena);
}

static void order_is_kept(void **state)
{
    (void)state;
    shop f = ready();
    TAKEN(&f, event(MDR_EVENT_BEGUN, ""));
    refused(&f, event(MDR_EVENT_BEGUN, ""), MDR_E_CONFLICT, "kind");
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.3"), MDR_E_CONFLICT, "step");
    assert_string_equal(f.err.allowed, "1.1");
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "7.7"), MDR_E_NOTFOUND, "step");
    refused(&f, event(MDR_EVENT_STEP_BEGUN, ""), MDR_E_ARG, "step");
    refused(&f, event(MDR_EVENT_STEP_ENDED, "1.1"), MDR_E_CONFLICT, "step");
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.1"));
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.1"), MDR_E_CONFLICT, "step");
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.2"), MDR_E_CONFLICT, "step");
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "1.1"));
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.2"), MDR_E_CONFLICT, "step"); /* nothing weighed */
    weigh_all(&f);
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.2"));
    refused(&f, reading("1.4", 11), MDR_E_CONFLICT, "step"); /* 1.3 has not been run */
    mdr_event skip = event(MDR_EVENT_STEP_SKIPPED, "1.3");
    refused(&f, skip, MDR_E_ARG, "text");
    skip.text = "it has run long enough";
    TAKEN(&f, skip);
    TAKEN(&f, reading("1.4", 11)); /* while 1.2 goes on beside */
    TAKEN(&f, decision("1.4", f.seq, MDR_DECISION_PASS, ""));
    refused(&f, event(MDR_EVENT_STEP_BEGUN, "1.5"), MDR_E_CONFLICT, "step"); /* drains the dose */
    assert_string_equal(f.err.allowed, "1.2");
    mdr_event dosed = event(MDR_EVENT_DOSED, "1.2");
    TAKEN(&f, dosed);
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "1.2"));
    refused(&f, dosed, MDR_E_CONFLICT, "step");
    mdr_arena_free(f.arena);
}

static void weighings_are_looked_at(void **state)
{
    (void)state;
    shop f = ready();
    TAKEN(&f, weighed(1, "SODA", 4000000)); /* before the batch begins */
    refused(&f, weighed(3, "SODA", 1), MDR_E_NOTFOUND, "item");
    refused(&f, weighed(0, "SODA", 1), MDR_E_NOTFOUND, "item");
    refused(&f, weighed(2, "SODA", 1), MDR_E_CONFLICT, "material_id");
    refused(&f, weighed(2, "SALT", 0), MDR_E_RANGE, "mass_mg");
    const int64_t first = f.seq - 4;
    mdr_event check = event(MDR_EVENT_WEIGHING_CHECKED, "1.2");
    check.item = 1;
    check.of_seq = first;
    refused(&f, check, MDR_E_CONFLICT, "by"); /* anna weighed it */
    check.by = "otto";
    check.of_seq = first + 1;
    refused(&f, check, MDR_E_CONFLICT, "of_seq");
    check.of_seq = first;
    TAKEN(&f, check);
    refused(&f, check, MDR_E_CONFLICT, "of_seq"); /* once is enough */
    TAKEN(&f, weighed(1, "SODA", 5000000));       /* weighed anew: to be checked anew */
    assert_int_equal(f.batch.steps[1].items[0].checked_seq, 0);
    assert_int_equal(f.batch.steps[1].items[0].weighed_mg, 5000000);
    assert_false(mdr_batch_weighed(&f.batch.steps[1]));
    begin_and_fill(&f);
    TAKEN(&f, weighed(2, "SALT", 60000000));
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.2"));
    refused(&f, weighed(2, "SALT", 60000000), MDR_E_CONFLICT, "step"); /* too late */
    mdr_arena_free(f.arena);
}

static mdr_event corrected(int64_t of_seq, const char *field, const char *is, int64_t mass_mg)
{
    mdr_event e = event(MDR_EVENT_CORRECTED, "");
    e.of_seq = of_seq;
    e.field = field;
    e.is = is;
    e.mass_mg = mass_mg;
    e.text = "typed wrongly";
    return e;
}

/* A weighing holds what it is corrected to, as long as it is the one that counts. */
static void weighings_are_corrected(void **state)
{
    (void)state;
    shop f = ready();
    const mdr_batch_item *soda = &f.batch.steps[1].items[0];
    TAKEN(&f, weighed(1, "SODA", 4000000));
    const int64_t first = f.seq;
    TAKEN(&f, weighed(2, "SALT", 60000000));
    mdr_event check = event(MDR_EVENT_WEIGHING_CHECKED, "1.2");
    check.item = 1;
    check.of_seq = first;
    check.signed_by = "anna"; /* at the screen of otto: still who weighed it */
    check.by = "otto";
    refused(&f, check, MDR_E_CONFLICT, "by");
    check.signed_by = "otto"; /* at her screen: another person */
    check.by = "anna";
    TAKEN(&f, check);
    assert_string_equal(soda->checked_by, "otto");
    TAKEN(&f, corrected(first, "stock_lot", "C-7", 0));
    assert_string_equal(soda->stock_lot, "C-7");
    assert_int_not_equal(soda->checked_seq, 0);
    TAKEN(&f, corrected(first, "mass_mg", "5000000", 5000000));
    assert_int_equal(soda->weighed_mg, 5000000);
    assert_int_equal(soda->checked_seq, 0); /* another mass than the one that was checked */
    assert_int_equal(f.batch.steps[1].items[1].weighed_mg, 60000000);
    TAKEN(&f,
          corrected(first, "mass_mg", "3", 0)); /* of an older program: stands beside, no more */
    assert_int_equal(soda->weighed_mg, 5000000);
    check.of_seq = first;
    TAKEN(&f, check);
    begin_and_fill(&f);
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.2"));
    TAKEN(&f, corrected(first, "mass_mg", "4900000", 4900000)); /* it is in: the check stays */
    assert_int_equal(soda->weighed_mg, 4900000);
    assert_int_not_equal(soda->checked_seq, 0);
    mdr_arena_free(f.arena);
}

static void failed_readings_wait(void **state)
{
    (void)state;
    shop f = ready();
    to_the_check(&f);
    refused(&f, reading("1.4", 15.0), MDR_E_RANGE, "value"); /* no pH is 15 */
    refused(&f, reading("1.3", 11.0), MDR_E_CONFLICT, "step");
    mdr_event end = event(MDR_EVENT_STEP_ENDED, "1.4");
    refused(&f, end, MDR_E_CONFLICT, "step");
    mdr_event skip = event(MDR_EVENT_STEP_SKIPPED, "1.4");
    skip.text = "no time";
    refused(&f, skip, MDR_E_CONFLICT, "step");
    TAKEN(&f, reading("1.4", 9.0));
    const int64_t seq = f.seq;
    refused(&f, reading("1.4", 9.1), MDR_E_CONFLICT, "kind"); /* the second tablet */
    refused(&f, decision("1.4", seq, MDR_DECISION_PASS, ""), MDR_E_CONFLICT, "decision");
    refused(&f, decision("1.4", seq - 1, MDR_DECISION_REPEAT, ""), MDR_E_CONFLICT, "of_seq");
    refused(&f, decision("1.4", seq, MDR_DECISION_ACCEPT, ""), MDR_E_ARG, "text");
    TAKEN(&f, decision("1.4", seq, MDR_DECISION_REPEAT, ""));
    TAKEN(&f, reading("1.4", 9.0));
    const int64_t again = f.seq;
    mdr_event typo = event(MDR_EVENT_CORRECTED, "");
    typo.of_seq = again;
    typo.text = "comma";
    refused(&f, typo, MDR_E_ARG, "field");
    typo.field = "value";
    refused(&f, typo, MDR_E_ARG, "is");
    typo.is = "10.9";
    typo.value = 10.9;
    TAKEN(&f, typo);
    assert_true(f.batch.steps[3].in_limits);
    TAKEN(&f, decision("1.4", again, MDR_DECISION_PASS, ""));
    typo.is = "9.0";
    typo.value = 9.0;
    TAKEN(&f, typo); /* stands beside it, and changes nothing any more */
    CHECK_NEAR(f.batch.steps[3].reading, 10.9, 0, "I: as corrected");
    assert_int_equal(f.batch.n_corrections, 2);
    assert_true(mdr_batch_right_first(&f.batch) == false); /* not over yet */
    mdr_arena_free(f.arena);
}

/* What is looked at has no number: 1 as it should be, 0 not, or by the side that its limits name. */
static void a_sample_is_looked_at(void **state)
{
    (void)state;
    const mdr_control_check plain = {.kind = MDR_CHECK_SAMPLE},
                            low = {.kind = MDR_CHECK_SAMPLE, .has_low = true, .low = 1.0},
                            high = {.kind = MDR_CHECK_SAMPLE, .has_high = true, .high = 0.0},
                            ph = {.kind = MDR_CHECK_PH};
    assert_true(mdr_check_inside(&plain, 1.0) && !mdr_check_inside(&plain, 0.0));
    assert_true(mdr_check_inside(&low, 1.0) && !mdr_check_inside(&low, 0.0));
    assert_true(!mdr_check_inside(&high, 1.0) && mdr_check_inside(&high, 0.0));
    assert_true(mdr_check_inside(&ph, 0.0)); /* a number without limits is only noted */
}

/* A pass that was recorded when every sample without limits passed by itself is read; a new one is refused. */
static void an_old_pass_is_read(void **state)
{
    (void)state;
    mdr_control_step steps[N_OF(STEPS)];
    memcpy(steps, STEPS, sizeof steps);
    steps[3].check = (mdr_control_check){.kind = MDR_CHECK_SAMPLE};
    mdr_control control = CONTROL;
    control.steps = steps;
    shop f = ready();
    mdr_err err = {0};
    assert_int_equal(mdr_batch_open("B-1", &control, f.arena, &f.batch, &err), MDR_OK);
    to_the_check(&f);
    TAKEN(&f, reading("1.4", 0.0));
    assert_false(f.batch.steps[3].in_limits);
    assert_int_equal(f.batch.state, MDR_BATCH_HELD);
    const mdr_event pass = decision("1.4", f.seq, MDR_DECISION_PASS, "");
    assert_int_equal(mdr_batch_may(&f.batch, &pass, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "decision");
    TAKEN(&f, pass);
    assert_int_equal(f.batch.steps[3].state, MDR_STEP_DONE);
    assert_int_equal(f.batch.state, MDR_BATCH_RUNNING);
    mdr_arena_free(f.arena);
}

static void remedies_come_first(void **state)
{
    (void)state;
    static const mdr_control_step ACID[] = {
        {.key = "R1.1",
         .bath = 1,
         .kind = MDR_STEP_DOSE,
         .minutes = 5,
         .items = ITEMS,
         .n_items = 1},
        {.key = "R1.2", .bath = 1, .kind = MDR_STEP_HOLD, .minutes = 10}};
    shop f = ready();
    to_the_check(&f);
    TAKEN(&f, reading("1.4", 12.0));
    const int64_t seq = f.seq;
    mdr_event approve = event(MDR_EVENT_REMEDY, "1.4");
    approve.of_seq = seq;
    refused(&f, approve, MDR_E_RANGE, "steps");
    approve.steps = ACID;
    approve.n_steps = 2;
    TAKEN(&f, decision("1.4", seq, MDR_DECISION_CORRECT, ""));
    assert_int_equal(f.batch.state, MDR_BATCH_HELD);
    const int64_t before = mdr_batch_forecast_end_ms(&f.batch, f.now_utc_ms);
    TAKEN(&f, approve);
    assert_int_equal(f.batch.state, MDR_BATCH_RUNNING);
    assert_int_equal(f.batch.n_steps, (int)N_OF(STEPS) + 2);
    assert_string_equal(f.batch.steps[f.batch.now].asked->key, "R1.1");
    assert_int_equal(f.batch.steps[3].remedy, 1);
    /* D: the remedy takes 15 minutes, the check as long as before */
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, f.now_utc_ms) - before, 15 * MIN);
    refused(&f, reading("1.4", 11.0), MDR_E_CONFLICT, "step");
    mdr_event w = weighed(1, "SODA", 5000000);
    w.step = "R1.1";
    TAKEN(&f, w);
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "R1.1"));
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "R1.1"));
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "R1.2"));
    TAKEN(&f, event(MDR_EVENT_STEP_ENDED, "R1.2"));
    TAKEN(&f, reading("1.4", 12.0));
    approve.of_seq = f.seq;
    refused(&f, approve, MDR_E_CONFLICT, "steps"); /* their numbers are taken */
    TAKEN(&f, decision("1.4", f.seq - 1, MDR_DECISION_ACCEPT, "agreed"));
    assert_int_equal(f.batch.n_accepted, 1);
    assert_false(mdr_batch_right_first(&f.batch));
    mdr_arena_free(f.arena);
}

static void interruptions_and_stops(void **state)
{
    (void)state;
    shop f = ready();
    TAKEN(&f, event(MDR_EVENT_BEGUN, ""));
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.1"));
    mdr_event steam = event(MDR_EVENT_INTERRUPTED, "");
    steam.interrupt = MDR_INTERRUPT_STEAM;
    TAKEN(&f, steam);
    assert_int_equal(f.batch.state, MDR_BATCH_PAUSED);
    assert_true(mdr_interrupt_outside(f.batch.interrupt));
    f.now_utc_ms += 7 * MIN;
    refused(&f, event(MDR_EVENT_STEP_ENDED, "1.1"), MDR_E_CONFLICT, "kind");
    TAKEN(&f, weighed(1, "SODA", 5000000)); /* the weigh room goes on */
    mdr_event over = event(MDR_EVENT_TAKEN_OVER, "");
    over.by = "otto";
    TAKEN(&f, over);
    assert_string_equal(f.batch.operator_id, "otto");
    TAKEN(&f, event(MDR_EVENT_RESUMED, ""));
    assert_int_equal(f.batch.paused_ms, 7 * MIN);
    assert_int_equal(f.batch.state, MDR_BATCH_RUNNING);
    refused(&f, event(MDR_EVENT_RESUMED, ""), MDR_E_CONFLICT, "kind");
    mdr_event stop = event(MDR_EVENT_STOPPED, "");
    refused(&f, stop, MDR_E_ARG, "text");
    stop.text = "the rope is torn";
    TAKEN(&f, stop);
    assert_int_equal(f.batch.state, MDR_BATCH_STOPPED);
    assert_false(mdr_batch_right_first(&f.batch));
    refused(&f, stop, MDR_E_CONFLICT, "kind");
    mdr_arena_free(f.arena);
}

static void the_end_is_foreseen(void **state)
{
    (void)state;
    shop f = ready();
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, NOON), 0);
    TAKEN(&f, event(MDR_EVENT_BEGUN, ""));
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, NOON), NOON + 70 * MIN);
    TAKEN(&f, event(MDR_EVENT_STEP_BEGUN, "1.1"));
    /* D: 2 min of the fill gone, 3 left, then 65 from 1.2 on */
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, NOON + 2 * MIN), NOON + 70 * MIN);
    /* D: 20 min in it already: as if it ended now */
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, NOON + 20 * MIN), NOON + 85 * MIN);
    mdr_arena_free(f.arena);
}

/* Any entries in any order: nothing but what may happen happens, and folding again gives the same. */
static void any_order(void **state)
{
    (void)state;
    uint32_t seed = 1;
    for (int round = 0; round < 200; round++) {
        shop a = ready(), b = ready();
        for (int i = 0; i < 150; i++) {
            seed = seed * 1664525u + 1013904223u;
            const uint32_t r = seed >> 8;
            mdr_event e =
                event((mdr_event_kind)(r % MDR_EVENT_COUNT), STEPS[(r >> 5) % N_OF(STEPS)].key);
            e.text = (r >> 9) % 2 == 0 ? "so" : "";
            e.value = 8.0 + (double)((r >> 10) % 60) / 10.0;
            e.item = 1 + (int)((r >> 11) % 2);
            e.material_id = ITEMS[e.item - 1].material_id;
            e.mass_mg = ITEMS[e.item - 1].mass_mg;
            e.of_seq = a.seq;
            e.decision = (mdr_decision)((r >> 13) % MDR_DECISION_COUNT);
            e.interrupt = (mdr_interrupt)((r >> 13) % MDR_INTERRUPT_COUNT);
            if (e.kind == MDR_EVENT_STOPPED && (r >> 15) % 16 != 0) {
                continue;
            }
            const mdr_code rc = enter(&a, e);
            assert_int_equal(enter(&b, e), rc);
            assert_true(rc == MDR_OK || a.err.remedy[0] != '\0');
            for (int s = 0; s < a.batch.n_steps; s++) {
                const mdr_batch_step *step = &a.batch.steps[s];
                assert_int_equal(step->state, b.batch.steps[s].state);
                assert_true(step->state == MDR_STEP_WAITS || step->begun_utc_ms > 0);
                assert_true(s >= a.batch.now || step->state == MDR_STEP_DONE ||
                            step->state == MDR_STEP_LEFT_OUT);
            }
        }
        mdr_arena_free(a.arena);
        mdr_arena_free(b.arena);
    }
}

static void words_are_there(void **state)
{
    (void)state;
    for (int k = 0; k < MDR_EVENT_COUNT; k++) {
        assert_int_equal(mdr_event_of(mdr_event_id((mdr_event_kind)k)), k);
        assert_true(mdr_event_words((mdr_event_kind)k)[0] != '\0');
    }
    for (int k = 0; k < MDR_DECISION_COUNT; k++) {
        assert_int_equal(mdr_decision_of(mdr_decision_id((mdr_decision)k)), k);
    }
    for (int k = 0; k < MDR_INTERRUPT_COUNT; k++) {
        assert_int_equal(mdr_interrupt_of(mdr_interrupt_id((mdr_interrupt)k)), k);
    }
    assert_int_equal(mdr_event_of("nothing"), -1);
    assert_null(mdr_batch_state_id((mdr_batch_state)99));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(runs_to_release),
                                       cmocka_unit_test(order_is_kept),
                                       cmocka_unit_test(weighings_are_looked_at),
                                       cmocka_unit_test(weighings_are_corrected),
                                       cmocka_unit_test(failed_readings_wait),
                                       cmocka_unit_test(a_sample_is_looked_at),
                                       cmocka_unit_test(an_old_pass_is_read),
                                       cmocka_unit_test(remedies_come_first),
                                       cmocka_unit_test(interruptions_and_stops),
                                       cmocka_unit_test(the_end_is_foreseen),
                                       cmocka_unit_test(any_order),
                                       cmocka_unit_test(words_are_there)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
