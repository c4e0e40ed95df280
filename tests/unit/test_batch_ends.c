/* How a batch ends otherwise than released, and what is refused on the way. Everything invented. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "core/run/mdr_batch.h"

static const int64_t NOON = 1795674519603;

static const mdr_control_item SODA[] = {
    {.material_id = "SODA", .name = "Soda", .mass_mg = 5000000, .substance = MDR_SUB_NA2CO3}};
static const mdr_control_step STEPS[] = {
    {.key = "1.1", .bath = 1, .kind = MDR_STEP_FILL, .minutes = 5},
    {.key = "1.2",
     .bath = 1,
     .kind = MDR_STEP_CHECK,
     .start_min = 5,
     .minutes = 5,
     .check = {.kind = MDR_CHECK_PH, .has_low = true, .low = 10}},
};
static const mdr_control CONTROL = {.lot_id = "L-1",
                                    .machine_id = "M-1",
                                    .total_min = 10,
                                    .steps = STEPS,
                                    .n_steps = (int)N_OF(STEPS)};

typedef struct shop {
    mdr_arena *arena;
    mdr_batch batch;
    int64_t seq;
    mdr_err err;
} shop;

static mdr_event event(mdr_event_kind kind, const char *step, const char *text)
{
    mdr_event e = mdr_event_none(kind);
    e.step = step;
    e.text = text;
    return e;
}

static mdr_event about(mdr_event_kind kind, int64_t of_seq, mdr_decision what, const char *text)
{
    mdr_event e = event(kind, "1.2", text);
    e.of_seq = of_seq;
    e.decision = what;
    return e;
}

static mdr_code enter(shop *f, mdr_event e)
{
    e.seq = ++f->seq;
    e.batch_id = "L-1.1";
    e.by = "anna";
    e.at_utc_ms = e.happened_utc_ms = NOON + f->seq;
    return mdr_batch_apply(&f->batch, &e, f->arena, &f->err);
}

static void taken(shop *f, mdr_event e)
{
    if (enter(f, e) != MDR_OK) {
        fail_msg("%s: %s: %s", mdr_event_id(e.kind), f->err.place, f->err.msg);
    }
}

static void refused(shop *f, mdr_event e, mdr_code code, const char *place)
{
    assert_int_equal(enter(f, e), code);
    assert_string_equal(f->err.place, place);
    assert_true(f->err.remedy[0] != '\0');
    assert_true(code != MDR_E_RANGE || f->err.allowed[0] != '\0');
}

/* The check is read, below its limit. Returns the reading's number. */
static int64_t read_low(shop *f)
{
    *f = (shop){.arena = mdr_arena_new(1 << 20)};
    assert_int_equal(mdr_batch_open("L-1.1", &CONTROL, f->arena, &f->batch, &f->err), MDR_OK);
    taken(f, event(MDR_EVENT_BEGUN, "", ""));
    taken(f, event(MDR_EVENT_STEP_BEGUN, "1.1", ""));
    taken(f, event(MDR_EVENT_STEP_ENDED, "1.1", ""));
    mdr_event low = event(MDR_EVENT_READING, "1.2", "");
    low.value = 9;
    taken(f, low);
    return f->seq;
}

static void a_rejected_batch_is_over(void **state)
{
    (void)state;
    shop f;
    const int64_t seq = read_low(&f);
    taken(&f, about(MDR_EVENT_DECISION, seq, MDR_DECISION_ACCEPT, "agreed"));
    assert_int_equal(f.batch.state, MDR_BATCH_COMPLETE);
    refused(&f, event(MDR_EVENT_REJECTED, "", ""), MDR_E_ARG, "text");
    taken(&f, event(MDR_EVENT_REJECTED, "", "streaks"));
    assert_int_equal(f.batch.state, MDR_BATCH_REJECTED);
    assert_false(mdr_batch_right_first(&f.batch));
    refused(&f, event(MDR_EVENT_RELEASED, "", ""), MDR_E_CONFLICT, "kind");
    assert_int_equal(mdr_batch_forecast_end_ms(&f.batch, NOON + 99999999), f.batch.ended_utc_ms);
    mdr_arena_free(f.arena);
}

/* It says why, and is final: nothing else can be decided on that reading. */
static void a_stop_is_decided_once(void **state)
{
    (void)state;
    shop f;
    const int64_t seq = read_low(&f);
    refused(&f, about(MDR_EVENT_DECISION, seq, MDR_DECISION_STOP, ""), MDR_E_ARG, "text");
    assert_false(f.batch.stop_asked);
    taken(&f, about(MDR_EVENT_DECISION, seq, MDR_DECISION_STOP, "no acid left"));
    assert_true(f.batch.stop_asked);
    assert_int_equal(f.batch.state, MDR_BATCH_HELD);
    refused(&f, about(MDR_EVENT_DECISION, seq, MDR_DECISION_REPEAT, ""), MDR_E_CONFLICT, "of_seq");
    mdr_event remedy = about(MDR_EVENT_REMEDY, seq, MDR_DECISION_COUNT, "");
    refused(&f, remedy, MDR_E_CONFLICT, "of_seq");
    assert_string_equal(f.err.msg, "it was decided otherwise");
    taken(&f, event(MDR_EVENT_STOPPED, "", "no acid left"));
    assert_int_equal(f.batch.state, MDR_BATCH_STOPPED);
    mdr_arena_free(f.arena);
}

static void a_remedy_is_of_the_newest_reading(void **state)
{
    (void)state;
    shop f;
    const int64_t seq = read_low(&f);
    refused(&f, about(MDR_EVENT_REMEDY, seq - 1, MDR_DECISION_COUNT, ""), MDR_E_CONFLICT, "of_seq");
    mdr_arena_free(f.arena);
}

/* More steps than there was room for when the batch was opened. */
static void remedies_make_room(void **state)
{
    (void)state;
    enum { MANY = 30 };
    static char keys[MANY][8];
    mdr_control_step steps[MANY] = {{0}};
    shop f;
    int64_t seq = read_low(&f);
    for (int round = 1; round <= 3; round++) {
        for (int i = 0; i < MANY; i++) {
            (void)snprintf(keys[i], sizeof keys[i], "R%d.%d", round, i + 1);
            steps[i] = (mdr_control_step){.key = mdr_arena_text(f.arena, keys[i]),
                                          .bath = 1,
                                          .kind = MDR_STEP_DOSE,
                                          .minutes = 1,
                                          .items = SODA,
                                          .n_items = 1};
        }
        mdr_control_step *kept = MDR_NEW_N(f.arena, mdr_control_step, MANY);
        memcpy(kept, steps, sizeof steps);
        mdr_event remedy = about(MDR_EVENT_REMEDY, seq, MDR_DECISION_COUNT, "");
        remedy.steps = kept;
        remedy.n_steps = MANY;
        taken(&f, remedy);
        assert_int_equal(f.batch.n_steps, (int)N_OF(STEPS) + round * MANY);
        assert_string_equal(f.batch.steps[0].asked->key, "1.1");
        assert_string_equal(f.batch.steps[f.batch.n_steps - 1].asked->key, "1.2");
        for (int i = 0; i < MANY; i++) {
            taken(&f, event(MDR_EVENT_STEP_SKIPPED, kept[i].key, "not needed"));
        }
        mdr_event low = event(MDR_EVENT_READING, "1.2", "");
        low.value = 9;
        taken(&f, low);
        seq = f.seq;
    }
    assert_int_equal(f.batch.n_remedies, 3);
    mdr_arena_free(f.arena);
}

static void no_bath_is_so_warm(void **state)
{
    (void)state;
    static const double NONE[] = {-0.5, 500, (double)NAN};
    shop f = {.arena = mdr_arena_new(1 << 20)};
    assert_int_equal(mdr_batch_open("L-1.1", &CONTROL, f.arena, &f.batch, &f.err), MDR_OK);
    taken(&f, event(MDR_EVENT_BEGUN, "", ""));
    mdr_event e = event(MDR_EVENT_STEP_BEGUN, "1.1", "");
    e.has_temp = true;
    for (size_t i = 0; i < N_OF(NONE); i++) {
        e.temp_c = NONE[i];
        refused(&f, e, MDR_E_RANGE, "temp_c");
    }
    e.temp_c = 0;
    taken(&f, e);
    mdr_arena_free(f.arena);
}

static void words_from_outside(void **state)
{
    (void)state;
    assert_int_equal(mdr_event_of("weighed"), MDR_EVENT_WEIGHED);
    assert_int_equal(mdr_decision_of("stop"), MDR_DECISION_STOP);
    assert_int_equal(mdr_interrupt_of("other"), MDR_INTERRUPT_OTHER);
    assert_int_equal(mdr_event_of("weighing"), -1);
    assert_int_equal(mdr_decision_of(""), -1);
    assert_int_equal(mdr_interrupt_of("Steam"), -1);
}

/* Held is what the mill could have prevented, suspended what came from outside (P: ISA-88's words). */
static void whose_fault_it_is(void **state)
{
    (void)state;
    static const mdr_interrupt OUTSIDE[] = {MDR_INTERRUPT_STEAM, MDR_INTERRUPT_WATER,
                                            MDR_INTERRUPT_POWER, MDR_INTERRUPT_PERSON};
    int n = 0;
    for (int k = 0; k < MDR_INTERRUPT_COUNT; k++) {
        n += mdr_interrupt_outside((mdr_interrupt)k);
    }
    assert_int_equal(n, N_OF(OUTSIDE));
    for (size_t i = 0; i < N_OF(OUTSIDE); i++) {
        assert_true(mdr_interrupt_outside(OUTSIDE[i]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rejected_batch_is_over),
        cmocka_unit_test(a_stop_is_decided_once),
        cmocka_unit_test(a_remedy_is_of_the_newest_reading),
        cmocka_unit_test(remedies_make_room),
        cmocka_unit_test(no_bath_is_so_warm),
        cmocka_unit_test(words_from_outside),
        cmocka_unit_test(whose_fault_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
