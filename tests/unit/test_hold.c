/* Verdicts of a hold point, and what is refused. */
#include "t.h"

#include "hold_kit.h"

static void within_is_passed(void **state)
{
    (void)state;
    static const double OK[] = {6.0, 6.3, 6.5};
    for (size_t i = 0; i < N_OF(OK); i++) {
        hold_kit k;
        hold_kit_open(&k, MDR_CHECK_PH, 40, OK[i]);
        hold_kit_limits(&k, 6.0, 6.5);
        hold_kit_judge(&k);
        assert_int_equal(k.hold->verdict, MDR_HOLD_PASS);
        assert_int_equal(k.hold->n_remedies, 0);
        mdr_arena_free(k.arena);
    }
}

static void refuse(hold_kit *k, mdr_code code, const char *place)
{
    mdr_err err = {0};
    const mdr_code rc = hold_kit_ask(k, &err);
    if (rc != code || strcmp(err.place, place) != 0) {
        fail_msg("want %s at %s, got %s at %s", mdr_code_id(code), place, mdr_code_id(rc),
                 err.place);
    }
    assert_null(k->hold);
    assert_true(err.allowed[0] != '\0' || code == MDR_E_ARG);
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 40, 14.01);
    hold_kit_limits(&k, 6.0, 6.5);
    refuse(&k, MDR_E_RANGE, "reading");
    k.in.reading = (double)NAN;
    refuse(&k, MDR_E_RANGE, "reading");
    k.in.reading = 9;
    k.in.reading_seq = k.in.judged_seq = 7;
    refuse(&k, MDR_E_RANGE, "reading_seq");
    k.in.reading_seq = 8;
    hold_kit_judge(&k);
    k.state.liquor_l = 0;
    refuse(&k, MDR_E_RANGE, "state.liquor_l");
    k.state.liquor_l = 8000;
    k.machine.fill_l_per_min = 0;
    refuse(&k, MDR_E_RANGE, "machine.fill_l_per_min");
    k.machine.fill_l_per_min = 800;
    k.state.dissolved_kg[MDR_IN_NAOH] = -1;
    refuse(&k, MDR_E_RANGE, "state.dissolved_kg.NaOH");
    k.state.dissolved_kg[MDR_IN_NAOH] = 0;
    mdr_material weak = HOLD_PRODUCTS[0];
    weak.strength_pct = 0;
    k.materials[2] = &weak;
    refuse(&k, MDR_E_RANGE, "materials[2].strength_pct");
    mdr_arena_free(k.arena);
}

static void every_part_of_the_question_is_needed(void **state)
{
    (void)state;
    hold_kit k;
    mdr_err err = {0};
    hold_kit_open(&k, MDR_CHECK_PH, 40, 9);
    const mdr_hold *out = NULL;
    assert_int_equal(mdr_hold_judge(&k.in, k.arena, &out, &err), MDR_E_ARG);
    assert_string_equal(err.place, "check");
    mdr_arena_free(k.arena);
}

static void without_memory(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 40, 9);
    hold_kit_limits(&k, 6.0, 6.5);
    mdr_arena_free(k.arena);
    int failed = 0;
    for (size_t limit = 1024; limit < 100000; limit += 997) {
        mdr_err err = {0};
        k.arena = mdr_arena_new(limit);
        const mdr_code rc = hold_kit_ask(&k, &err);
        assert_true(rc == MDR_OK || (rc == MDR_E_NOMEM && k.hold == NULL));
        failed += rc == MDR_E_NOMEM;
        mdr_arena_free(k.arena);
    }
    assert_true(failed > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_is_passed),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(every_part_of_the_question_is_needed),
        cmocka_unit_test(without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
