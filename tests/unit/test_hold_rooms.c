/* A sample looked at, and what is true of every remedy. */
#include "t.h"

#include "base/mdr_lang_table.h"
#include "hold_kit.h"

/* -- looked at -- */

static void sample_looked_at(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_SAMPLE, 60, 0);
    hold_kit_limits(&k, 1, HOLD_NONE);
    k.check.on_fail = MDR_FAIL_REPEAT;
    hold_kit_judge(&k);
    (void)must(&k, MDR_REMEDY_RUN_ON);
    assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
    k.check.on_fail = MDR_FAIL_STOP;
    k.check.remedy = "Call the foreman";
    is_stop(&k, 0);
    assert_string_equal(k.hold->words, "Call the foreman");
    mdr_arena_free(k.arena);
}

/* Better than it need be: nothing is offered that would make it worse. */
static void wrong_side_of_the_limit(void **state)
{
    (void)state;
    static const struct {
        mdr_check_kind kind;
        double reading, low, high;
    } ROWS[] = {
        {MDR_CHECK_PEROXIDE, 1, 10, HOLD_NONE},  {MDR_CHECK_HARDNESS, 1, 2, HOLD_NONE},
        {MDR_CHECK_ABSORBENCY, 1, 2, HOLD_NONE}, {MDR_CHECK_WHITENESS, 90, HOLD_NONE, 80},
        {MDR_CHECK_LEVEL, 0.1, 0.2, HOLD_NONE},  {MDR_CHECK_SHADE, 0.1, 0.2, HOLD_NONE},
        {MDR_CHECK_WASH_OFF, 5, HOLD_NONE, 4.5}, {MDR_CHECK_SALT, 3, HOLD_NONE, 0},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        hold_kit k;
        hold_kit_open(&k, ROWS[i].kind, 50, ROWS[i].reading);
        hold_kit_limits(&k, ROWS[i].low, ROWS[i].high);
        is_stop(&k, 0);
        mdr_arena_free(k.arena);
    }
}

/* -- what is true of every remedy -- */

/* Each has its title in the catalogue, and the catalogue has no other. */
static void titles_in_the_catalogue(void **state)
{
    (void)state;
    int n = 0;
    for (int i = 0; i < mdr_lang_count; i++) {
        n += strncmp(mdr_lang_entries[i].key, "remedy.", 7) == 0 ? 1 : 0;
    }
    assert_int_equal(n, MDR_REMEDY_COUNT);
    for (int k = 0; k < MDR_REMEDY_COUNT; k++) {
        const char *words = mdr_remedy_words((mdr_remedy_kind)k);
        assert_true(words != NULL && words[0] != '\0' && strchr(words, '{') == NULL);
        assert_string_equal(mdr_remedy_words_of(mdr_remedy_id((mdr_remedy_kind)k)), words);
    }
    assert_null(mdr_remedy_words(MDR_REMEDY_COUNT));
}

/* What the route wants stopped is offered to the technologist, never to the operator. */
static void stop_of_the_route(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PEROXIDE, 45, 25);
    hold_kit_limits(&k, HOLD_NONE, 5);
    k.check.on_fail = MDR_FAIL_STOP;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_true(k.hold->n_remedies > 0);
    for (int i = 0; i < k.hold->n_remedies; i++) {
        assert_int_not_equal(k.hold->remedies[i].approve, MDR_HOLD_BY_OPERATOR);
    }
    mdr_arena_free(k.arena);
}

/* Any bath, any reading, any machine: hold_kit_judge looks at kilograms, times and volumes. */
/* P: evenly, or slowly first with the exponent that controllers take for it. Adds up the doses of either. */
static void doses_as_they_run(const mdr_hold *hold, int *even, int *slowly_first)
{
    for (int i = 0; i < hold->n_remedies; i++) {
        for (int k = 0; k < hold->remedies[i].n_steps; k++) {
            const mdr_control_step *s = &hold->remedies[i].steps[k];
            if (s->kind == MDR_STEP_DOSE) {
                const bool slowly = s->curve == MDR_CURVE_PROGRESSIVE;
                CHECK_NEAR(s->exponent, slowly ? 2.0 : 1.0, 0, "P");
                *even += slowly ? 0 : 1;
                *slowly_first += slowly ? 1 : 0;
            }
        }
    }
}

static void whatever_comes(void **state)
{
    (void)state;
    unsigned seed = 1;
    int stops = 0, corrects = 0, even = 0, slowly_first = 0;
    for (int i = 0; i < 3000; i++) {
        hold_kit k;
        double u[16];
        for (size_t n = 0; n < N_OF(u); n++) {
            seed = seed * 1664525u + 1013904223u;
            u[n] = (double)(seed >> 8) / 16777216.0;
        }
        const mdr_check_kind kind = (mdr_check_kind)(i % (MDR_CHECK_SAMPLE + 1));
        const double least = mdr_check_least(kind), span = mdr_check_most(kind) - least;
        hold_kit_open(&k, kind, 20 + 78 * u[0], least + span * u[1]);
        const double low = least + span * u[2] * 0.9;
        hold_kit_limits(&k, u[3] < 0.7 ? low : HOLD_NONE,
                        u[3] < 0.3 || u[3] > 0.5 ? low + span * 0.1 * u[4] : HOLD_NONE);
        k.state.load_kg = 50 + 1000 * u[5];
        k.state.liquor_l = k.state.load_kg * (3 + 9 * u[6]);
        k.machine.liquor_max_l = k.state.liquor_l * (1.0 + 0.3 * u[7]);
        k.machine.tank_water = u[8] < 0.5 ? MDR_TANK_FRESH : MDR_TANK_BATH;
        for (int n = 0; n < MDR_DISSOLVED_COUNT; n++) {
            k.state.dissolved_kg[n] =
                u[9] < 0.3 ? 0.0 : k.state.liquor_l / 1000.0 * u[(n + i) % 16];
        }
        k.state.dyed = u[10] < 0.5;
        k.state.dyebath = k.state.dyed && u[11] < 0.7;
        k.state.fixing = k.state.dyebath && u[12] < 0.4;
        k.state.dye_class = (int)(u[13] * 4);
        k.state.loose_mg_per_kg = 2000 * u[14];
        k.in.n_failed = (int)(u[15] * 4);
        k.site.alkalinity_mmol_per_l = 4 * u[9];
        k.state.drying = (mdr_control_drying){.dry_kg = 1 + 1000 * u[5],
                                              .length_m = 3000 * u[6],
                                              .in_pct = 150 * u[7],
                                              .out_pct = 10 * u[8],
                                              .speed_m_per_min = 60 * u[9],
                                              .speed_max_m_per_min = u[10] < 0.5 ? 60 : 0,
                                              .oven_m = u[11] < 0.5 ? 24 * u[12] : 0,
                                              .air_c = 40 + 160 * u[13],
                                              .air_kg_per_kg = 0.2 * u[14],
                                              .steams = u[15] < 0.5};
        hold_kit_judge(&k);
        stops += k.hold->verdict == MDR_HOLD_STOP;
        corrects += k.hold->verdict == MDR_HOLD_CORRECT;
        assert_true(k.hold->verdict != MDR_HOLD_CORRECT || k.hold->n_remedies > 0);
        doses_as_they_run(k.hold, &even, &slowly_first);
        mdr_arena_free(k.arena);
    }
    assert_true(stops > 100 && corrects > 100);
    assert_true(even > 100 && slowly_first > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sample_looked_at),        cmocka_unit_test(titles_in_the_catalogue),
        cmocka_unit_test(wrong_side_of_the_limit), cmocka_unit_test(stop_of_the_route),
        cmocka_unit_test(whatever_comes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
