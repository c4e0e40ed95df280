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
    k.in.reading_seq = k.in.judged_seq = 1; /* the first that there can be */
    refuse(&k, MDR_E_RANGE, "reading_seq");
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

/* A number of the kit set to `value`: refused with its place, or taken. */
static void set_to(hold_kit *k, double *number, double value, const char *place, bool refused)
{
    const double was = *number;
    mdr_err err = {0};
    *number = value;
    k->hold = NULL;
    const mdr_code rc = hold_kit_ask(k, &err);
    if (refused ? rc != MDR_E_RANGE || strcmp(err.place, place) != 0 : rc != MDR_OK) {
        fail_msg("%s of %.9g: %s at %s", place, value, mdr_code_id(rc), err.place);
    }
    *number = was;
}

static void every_number_has_its_range(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 40, 9);
    hold_kit_limits(&k, 6.0, 6.5);
    /* I: wide enough for every machine, narrow enough for a slipped decimal point */
    const struct {
        const char *place;
        double *number, least, most;
    } ROWS[] = {
        {"state.load_kg", &k.state.load_kg, 1e-6, 1e5},
        {"state.liquor_l", &k.state.liquor_l, 1e-6, 1e6},
        {"state.temp_c", &k.state.temp_c, 0, 150},
        {"state.retained_l_per_kg", &k.state.retained_l_per_kg, 0, 20},
        {"state.loose_mg_per_kg", &k.state.loose_mg_per_kg, 0, 1e6},
        {"state.fix_temp_c", &k.state.fix_temp_c, 0, 150},
        {"state.minutes_left", &k.state.minutes_left, 0, 1e4},
        {"machine.liquor_max_l", &k.machine.liquor_max_l, 1e-6, 1e6},
        {"machine.temp_max_c", &k.machine.temp_max_c, 20, 150},
        {"machine.drain_temp_max_c", &k.machine.drain_temp_max_c, 20, 150},
        {"machine.heat_max_c_per_min", &k.machine.heat_max_c_per_min, 0.01, 50},
        {"machine.fill_l_per_min", &k.machine.fill_l_per_min, 1e-6, 1e5},
        {"machine.drain_l_per_min", &k.machine.drain_l_per_min, 1e-6, 1e5},
        {"site.steam_barg", &k.site.steam_barg, 0, 12},
        {"site.cold_water_c", &k.site.cold_water_c, 0, 100},
        {"site.alkalinity_mmol_per_l", &k.site.alkalinity_mmol_per_l, 0, 50},
        {"state.dissolved_kg.NaOH", &k.state.dissolved_kg[MDR_IN_NAOH], 0, 1e5},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double hair = 1e-6 * (ROWS[i].most - ROWS[i].least);
        set_to(&k, ROWS[i].number, ROWS[i].least, ROWS[i].place, false);
        set_to(&k, ROWS[i].number, ROWS[i].most, ROWS[i].place, false);
        set_to(&k, ROWS[i].number, ROWS[i].least - hair, ROWS[i].place, true);
        set_to(&k, ROWS[i].number, ROWS[i].most + hair, ROWS[i].place, true);
        set_to(&k, ROWS[i].number, (double)NAN, ROWS[i].place, true);
    }
    mdr_arena_free(k.arena);
}

static void every_number_behind_a_dryer_has_its_range(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_MOISTURE, 40, 12);
    hold_kit_limits(&k, 6.0, 9.0);
    mdr_control_drying *d = &k.state.drying;
    *d = (mdr_control_drying){.dry_kg = 500,
                              .length_m = 2000,
                              .in_pct = 70,
                              .out_pct = 7,
                              .speed_m_per_min = 25,
                              .speed_max_m_per_min = 60,
                              .oven_m = 18,
                              .air_c = 150,
                              .air_kg_per_kg = 0.08,
                              .mj_per_kg = 4.47,
                              .steams = true};
    const struct {
        const char *place;
        double *number, least, most;
    } ROWS[] = {
        {"state.temp_c", &k.state.temp_c, 0, 200},
        {"state.drying.dry_kg", &d->dry_kg, 1e-6, 1e5},
        {"state.drying.length_m", &d->length_m, 0, 1e6},
        {"state.drying.in_pct", &d->in_pct, 0, 500},
        {"state.drying.out_pct", &d->out_pct, 0, 500},
        {"state.drying.speed_m_per_min", &d->speed_m_per_min, 0, 500},
        {"state.drying.speed_max_m_per_min", &d->speed_max_m_per_min, 0, 500},
        {"state.drying.oven_m", &d->oven_m, 0, 100},
        {"state.drying.air_c", &d->air_c, 0, 200},
        {"state.drying.air_kg_per_kg", &d->air_kg_per_kg, 0, 10},
        {"state.drying.mj_per_kg", &d->mj_per_kg, 0, 100},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double hair = 1e-6 * (ROWS[i].most - ROWS[i].least);
        set_to(&k, ROWS[i].number, ROWS[i].least, ROWS[i].place, false);
        set_to(&k, ROWS[i].number, ROWS[i].most, ROWS[i].place, false);
        set_to(&k, ROWS[i].number, ROWS[i].least - hair, ROWS[i].place, true);
        set_to(&k, ROWS[i].number, ROWS[i].most + hair, ROWS[i].place, true);
    }
    mdr_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_is_passed),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(every_part_of_the_question_is_needed),
        cmocka_unit_test(without_memory),
        cmocka_unit_test(every_number_has_its_range),
        cmocka_unit_test(every_number_behind_a_dryer_has_its_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
