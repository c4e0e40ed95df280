/* A sample measured at a shade check: its difference, its place in the fold, its way through the
 * record. Everything invented. */
#include "t.h"

#include <math.h>
#include <string.h>

#include "core/run/mdr_batch.h"
#include "wire/mdr_run_doc.h"

static const mdr_control_step STEPS[] = {
    {.key = "1.1",
     .bath = 1,
     .kind = MDR_STEP_CHECK,
     .check = {.kind = MDR_CHECK_SHADE, .has_high = true, .high = 1.0}},
    {.key = "1.2",
     .bath = 1,
     .kind = MDR_STEP_CHECK,
     .check = {.kind = MDR_CHECK_PH, .has_high = true, .high = 7.0}},
};
static const mdr_control CONTROL = {
    .lot_id = "L-1", .machine_id = "M-1", .steps = STEPS, .n_steps = (int)N_OF(STEPS)};

/* Spectra are large for a stack. */
static mdr_spectrum kept[8];
static int n_kept;

static const mdr_spectrum *grey(double level, double slope)
{
    double v[MDR_BANDS];
    mdr_err err;
    mdr_spectrum *s = &kept[n_kept++ % (int)N_OF(kept)];
    for (int i = 0; i < MDR_BANDS; i++) {
        v[i] = level + slope * i;
    }
    assert_int_equal(mdr_spectrum_make(400, 10, v, MDR_BANDS, s, &err), MDR_OK);
    return s;
}

static mdr_measured pair(const mdr_spectrum *standard, const mdr_spectrum *sample)
{
    return (mdr_measured){.sample_id = "CUT-1",
                          .name = "cutting",
                          .substrate = "J18",
                          .standard_id = "S-1.standard",
                          .sample = sample,
                          .standard = standard,
                          .specular = MDR_SPECULAR_INCLUDED};
}

static void difference(void **state)
{
    (void)state;
    const mdr_spectrum *standard = grey(0.2, 0.0), *same = grey(0.2, 0.0), *pale = grey(0.25, 0.0),
                       *red = grey(0.02, 0.02);
    mdr_measured m = pair(standard, same);
    CHECK_NEAR(mdr_measured_see(&m).difference.de, 0, 1e-12, "D: nothing is between equal curves");
    m.sample = pale;
    const mdr_measured_look look = mdr_measured_see(&m);
    /* D: a flat curve has Y = 100 R and no chroma; L* = 116 (Y/100)^(1/3) - 16; CMC of lightness
     * alone: SL = 0.040975 L/(1 + 0.01765 L), l = 2 */
    const double l0 = 116 * cbrt(0.2) - 16, l1 = 116 * cbrt(0.25) - 16;
    CHECK_NEAR(look.standard.l, l0, 0.02, "D: L* of the flat standard");
    CHECK_NEAR(look.difference.dl, l1 - l0, 0.02, "D: paler is above 0");
    CHECK_NEAR(look.difference.de, (l1 - l0) / (2 * 0.040975 * l0 / (1 + 0.01765 * l0)), 0.02,
               "D: CMC(2:1) of lightness alone");
    m.sample = red;
    assert_true(mdr_measured_see(&m).difference.da > 5.0); /* D: rises towards red */
}

static mdr_event reading(const mdr_measured *m, const char *step, double value, int64_t seq)
{
    mdr_event e = mdr_event_none(MDR_EVENT_READING);
    e.batch_id = "L-1.1";
    e.by = "anna";
    e.step = step;
    e.value = value;
    e.measured = m;
    e.seq = seq;
    return e;
}

static void fold(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    mdr_batch b;
    mdr_err err;
    const mdr_spectrum *standard = grey(0.2, 0.0), *pale = grey(0.25, 0.0);
    const mdr_measured m = pair(standard, pale);
    assert_int_equal(mdr_batch_open("L-1.1", &CONTROL, arena, &b, &err), MDR_OK);
    b.state = MDR_BATCH_RUNNING;
    mdr_event e = reading(&m, "1.1", mdr_measured_see(&m).difference.de, 1);
    assert_int_equal(mdr_batch_apply(&b, &e, arena, &err), MDR_OK);
    assert_ptr_equal(b.steps[0].measured, &m);
    assert_false(b.steps[0].in_limits);
    assert_int_equal(b.state, MDR_BATCH_HELD);

    mdr_event typed = mdr_event_none(MDR_EVENT_CORRECTED);
    typed.of_seq = 1;
    typed.field = "value";
    typed.is = "0.4";
    typed.value = 0.4;
    typed.text = "mistyped";
    assert_int_equal(mdr_batch_may(&b, &typed, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "of_seq");
    typed.field = "instrument";
    assert_int_equal(mdr_batch_may(&b, &typed, &err), MDR_OK);

    mdr_event again = mdr_event_none(MDR_EVENT_DECISION);
    again.step = "1.1";
    again.of_seq = 1;
    again.decision = MDR_DECISION_REPEAT;
    assert_int_equal(mdr_batch_apply(&b, &again, arena, &err), MDR_OK);
    e = reading(NULL, "1.1", 0.4, 3);
    assert_int_equal(mdr_batch_apply(&b, &e, arena, &err), MDR_OK);
    assert_null(b.steps[0].measured); /* a number later: the old sample is not that reading's */
    again.decision = MDR_DECISION_PASS;
    again.of_seq = 3;
    assert_int_equal(mdr_batch_apply(&b, &again, arena, &err), MDR_OK);
    e = reading(&m, "1.2", 6.0, 5);
    assert_int_equal(mdr_batch_may(&b, &e, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "sample");
    mdr_arena_free(arena);
}

static void through_the_record(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    mdr_err err;
    const mdr_spectrum *standard = grey(1.0 / 3.0, 0.001), *pale = grey(0.25, 0.0);
    const mdr_measured m = pair(standard, pale);
    const mdr_event e = reading(&m, "1.1", 2.5, 7);
    char *text = NULL, *twice = NULL;
    size_t len = 0, len2 = 0;
    assert_int_equal(mdr_wire_event_write(&e, arena, &text, &len, &err), MDR_OK);
    mdr_event back = mdr_event_none(MDR_EVENT_READING);
    assert_int_equal(mdr_wire_event_read(text, len, arena, &back, &err), MDR_OK);
    assert_string_equal(back.measured->sample_id, "CUT-1");
    assert_string_equal(back.measured->standard_id, "S-1.standard");
    assert_string_equal(back.measured->substrate, "J18");
    assert_int_equal(back.measured->specular, MDR_SPECULAR_INCLUDED);
    CHECK_NEAR(mdr_measured_see(back.measured).difference.de, mdr_measured_see(&m).difference.de,
               1e-9, "contract: both curves came back");
    assert_int_equal(mdr_wire_event_write(&back, arena, &twice, &len2, &err), MDR_OK);
    assert_string_equal(text, twice);
    /* an entry may not bring what was measured, nor a stored one half a curve */
    static const char *const BAD[] = {
        "{\"measured\":{\"sample\":{\"start_nm\":400,\"step_nm\":10,\"reflectance\":[0.1,0.2]},"
        "\"standard\":{\"start_nm\":400,\"step_nm\":10,\"reflectance\":[0.1,0.2]}}}",
        "{\"measured\":{\"sample\":{\"start_nm\":400,\"step_nm\":10,\"reflectance\":[]}}}"};
    static const char *const PLACES[] = {"measured.sample.n", "measured.standard"};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_true(mdr_wire_event_read(BAD[i], strlen(BAD[i]), arena, &back, &err) != MDR_OK);
        assert_string_equal(err.place, PLACES[i]);
    }
    mdr_arena_free(arena);
}

static void what_an_entry_cannot_bring(void **state)
{
    (void)state;
#define READING  "{\"kind\":\"reading\",\"entry_id\":\"e-1234567\",\"step\":\"1.1\","
#define ONE_FILE "\"file\":{\"name\":\"a.csv\",\"text\":\"x\"}"
    static const struct {
        const char *entry, *place; /* NULL: taken */
    } ROWS[] = {
        {READING "\"sample\":{\"sample_id\":\"CUT-1\"}}", NULL},
        {READING "\"sample\":{" ONE_FILE "}}", NULL},
        {READING "\"sample\":{}}", "sample"},
        {READING "\"sample\":{\"sample_id\":\"CUT-1\"," ONE_FILE "}}", "sample"},
        {READING "\"value\":1,\"sample\":{\"sample_id\":\"CUT-1\"}}", "value"},
        {READING "\"sample\":{\"file\":{\"name\":\"a\"}}}", "sample.file.text"},
        {READING "\"sample\":{\"sample_id\":\"CUT-1\",\"specular\":\"shiny\"}}", "sample.specular"},
        {READING "\"sample\":7}", "sample"},
        {"{\"kind\":\"remark\",\"text\":\"x\",\"sample\":{\"sample_id\":\"CUT-1\"}}", "sample"},
        {READING "\"instrument\":\"x\"}", "value"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_arena *arena = mdr_arena_new(1 << 20);
        mdr_entry in;
        mdr_err err = {0};
        const mdr_code rc =
            mdr_wire_entry_read(ROWS[i].entry, strlen(ROWS[i].entry), arena, NULL, &in, &err);
        if ((rc == MDR_OK) != (ROWS[i].place == NULL) ||
            (rc != MDR_OK && strcmp(err.place, ROWS[i].place) != 0)) {
            fail_msg("%s: %s at \"%s\"", ROWS[i].entry, mdr_code_id(rc), err.place);
        }
        mdr_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(difference),
        cmocka_unit_test(fold),
        cmocka_unit_test(through_the_record),
        cmocka_unit_test(what_an_entry_cannot_bring),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
