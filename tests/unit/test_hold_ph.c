/* Remedies of a pH: how much, and in what bath. */
#include "t.h"

#include "core/bath/mdr_rinse.h"
#include "core/bath/mdr_titrate.h"
#include "hold_kit.h"

static void acid_of_the_worked_example(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 25, 0);
    k.state.dissolved_kg[MDR_IN_NA2CO3] = 8;
    const hold_vessel soda = {.liquor_l = 8000, .dissolved_kg = {[MDR_IN_NA2CO3] = 8}};
    static const struct {
        double ph, acetic_g_per_l;
    } ROWS[] = {{5.97, 1.0}, {5.67, 1.133}, {5.13, 1.5}};
    k.in.reading = hold_vessel_ph(&soda, 25);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        hold_kit_limits(&k, ROWS[i].ph - 0.2, ROWS[i].ph + 0.2);
        hold_kit_judge(&k);
        const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
        assert_non_null(r);
        CHECK_NEAR(hold_kit_kg(r, "ACETIC") * 0.8 / 8.0, ROWS[i].acetic_g_per_l, 0.02,
                   "O: acetic acid on 1 g/L soda, 25 degC, PHREEQC");
        CHECK_NEAR(r->expected, ROWS[i].ph, 0.01, "contract: the middle of the window");
        assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);
    }
    mdr_arena_free(k.arena);
}

/* 2500 L in the rope at 1 g/L of caustic take 3.75 kg of acetic acid: what titration asks for. */
static void acid_of_the_titration(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 50, 0);
    hold_kit_limits(&k, 6.0, 7.0);
    k.state.dissolved_kg[MDR_IN_NAOH] = 2.5;
    const hold_vessel caustic = {.liquor_l = 8000, .dissolved_kg = {[MDR_IN_NAOH] = 2.5}};
    k.in.reading = hold_vessel_ph(&caustic, 50);
    double by_titration_kg = 0;
    assert_int_equal(mdr_titrate_acid_kg(2.5 / 40.0 * 1000.0 / 8000.0, 8000,
                                         mdr_substance_acid_mol_per_kg(MDR_SUB_HAC),
                                         &by_titration_kg, NULL),
                     MDR_OK);
    CHECK_NEAR(by_titration_kg, 3.75, 0.01, "P: worked example E28");
    hold_kit_judge(&k);
    const double kg = hold_kit_kg(hold_kit_remedy(&k, MDR_REMEDY_ACID), "ACETIC") * 0.8;
    CHECK_NEAR(kg, by_titration_kg, 0.03 * by_titration_kg,
               "D: pH 6.5 takes 2 % more than the equivalence, pK 4.8");
    mdr_arena_free(k.arena);
}

/* What was read is explained: the alkali found is the one the other program put in. */
enum { T_C, SODA, BICARB, CAUSTIC, SALT, SULPHATE, PH_PITZER, PH_PHREEQC, GRID_COLS };
extern const double bath_ph_grid[][GRID_COLS];
extern const int bath_ph_grid_rows;

/* A bath of the grid is the plan's; the next stronger one is wanted: the soda between the two. */
static void soda_of_the_grid(void **state)
{
    (void)state;
    int tried = 0;
    for (int i = 0; i + 1 < bath_ph_grid_rows; i++) {
        const double *row = bath_ph_grid[i], *next = bath_ph_grid[i + 1];
        if (!(row[SODA] >= 5 && next[SODA] > row[SODA]) || row[CAUSTIC] > 0 || next[CAUSTIC] > 0 ||
            row[T_C] != next[T_C] || row[SALT] != next[SALT] || row[SULPHATE] != next[SULPHATE]) {
            continue;
        }
        hold_kit k;
        hold_kit_open(&k, MDR_CHECK_PH, row[T_C], row[PH_PITZER]);
        k.state.dissolved_kg[MDR_IN_NA2CO3] = 8 * row[SODA];
        k.state.dissolved_kg[MDR_IN_NACL] = 8 * row[SALT];
        k.state.dissolved_kg[MDR_IN_NA2SO4] = 8 * row[SULPHATE];
        k.machine.tank_water = MDR_TANK_BATH;
        hold_kit_limits(&k, next[PH_PITZER] - 0.01, next[PH_PITZER] + 0.01);
        hold_kit_judge(&k);
        const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ALKALI);
        assert_non_null(r);
        /* 0.1 pH is a quarter of the soda, so the 0.01 by which the models part is little of it */
        const double want = next[SODA] - row[SODA];
        CHECK_NEAR(hold_kit_kg(r, "SODA") * 0.99 / 8.0, want, 0.35 * want + 0.15 * row[SODA],
                   "O: PHREEQC 3, pitzer.dat, the bath with more soda");
        tried++;
        mdr_arena_free(k.arena);
    }
    assert_true(tried > 30);
}

/* -- a bath that is not what the plan thinks -- */

/* More alkali than planned, of either kind: the true bath ends within what was said. */
static void remedy_on_the_true_bath(void **state)
{
    (void)state;
    unsigned seed = 7;
    int acids = 0;
    for (int i = 0; i < 200; i++) {
        hold_kit k;
        seed = seed * 1664525u + 1013904223u;
        const double soda = (double)(seed >> 16 & 0xff) / 255.0 * 1.0;   /* g/L */
        const double caustic = (double)(seed >> 8 & 0xff) / 255.0 * 0.3; /* g/L */
        const bool of_soda = i % 2 == 0;
        hold_vessel true_bath = {.liquor_l = 8000};
        true_bath.dissolved_kg[MDR_IN_NA2CO3] = 8 * (0.1 + (of_soda ? soda : 0.0));
        true_bath.dissolved_kg[MDR_IN_NAOH] = 8 * (of_soda ? 0.0 : caustic);
        hold_kit_open(&k, MDR_CHECK_PH, 45, hold_vessel_ph(&true_bath, 45));
        k.state.dissolved_kg[MDR_IN_NA2CO3] = 8 * 0.1;
        k.site.alkalinity_mmol_per_l = 2;
        hold_kit_limits(&k, 5.0, 7.0);
        k.in.n_failed = i % 3;
        hold_kit_judge(&k);
        const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
        if (r != NULL) {
            hold_vessel_run(&true_bath, r, &k.site);
            const double ph = hold_vessel_ph(&true_bath, 45);
            if (!(ph >= r->expected_low - 0.02 && ph <= r->expected_high + 0.02)) {
                fail_msg("bath %d: pH %.3f, said %.3f .. %.3f", i, ph, r->expected_low,
                         r->expected_high);
            }
            acids++;
        }
        mdr_arena_free(k.arena);
    }
    assert_int_equal(acids, 200);
}

/* The first dose never overshoots what one more can still correct; the second takes the rest. */
static void smaller_dose_first(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 45, 10.5);
    hold_kit_limits(&k, 5.0, 7.0);
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
    const double first = hold_kit_kg(r, "ACETIC");
    assert_true(r->expected_high > r->expected + 0.3);
    assert_int_equal(r->approve, MDR_HOLD_BY_OPERATOR);
    k.in.n_failed = 1;
    hold_kit_judge(&k);
    r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
    assert_true(hold_kit_kg(r, "ACETIC") > 1.2 * first);
    assert_int_equal(r->approve, MDR_HOLD_BY_TECHNOLOGIST);
    k.in.n_failed = 3;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    mdr_arena_free(k.arena);
}

/* The plan's own value is better than the middle of a window; what it leaves behind is handed on. */
static void aims_at_the_plan(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 45, 10.5);
    hold_kit_limits(&k, 5.0, 7.0);
    k.check.has_expected = true;
    k.check.expected = 6.6;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
    CHECK_NEAR(r->expected, 6.6, 0.02, "contract: what the plan foresees");
    mdr_control_state after = k.state; /* the plan knows of nothing; the steps are added */
    for (int i = 0; i < r->n_steps; i++) {
        mdr_hold_after(&after, &r->steps[i], &k.in);
    }
    CHECK_NEAR(after.dissolved_kg[MDR_IN_HAC], hold_kit_kg(r, "ACETIC") * 0.8, 1e-6,
               "D: what was weighed, of 80 %");
    CHECK_NEAR(after.liquor_l, r->steps[r->n_steps - 1].liquor_l, 1e-9,
               "contract: as the steps say");
    k.check.expected = 7.5; /* a plan that fails its own check */
    hold_kit_judge(&k);
    CHECK_NEAR(hold_kit_remedy(&k, MDR_REMEDY_ACID)->expected, 6.0, 0.02,
               "contract: the middle of the window");
    mdr_arena_free(k.arena);
}

/* An operator gives little, once, and nothing against the dyeing. */
static void who_approves(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 45, 12.0);
    hold_kit_limits(&k, 5.0, 7.0);
    hold_kit_judge(&k); /* 2 g/L of product */
    assert_int_equal(hold_kit_remedy(&k, MDR_REMEDY_ACID)->approve, MDR_HOLD_BY_TECHNOLOGIST);
    k.in.reading = 10.0;
    hold_kit_judge(&k);
    assert_int_equal(hold_kit_remedy(&k, MDR_REMEDY_ACID)->approve, MDR_HOLD_BY_OPERATOR);
    k.state.dyed = k.state.dyebath = k.state.fixing = true;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
    assert_int_equal(r->approve, MDR_HOLD_BY_TECHNOLOGIST);
    assert_int_equal(r->n_cautions, 1);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_RINSE)); /* the dye is in the bath */
    k.state.dissolved_kg[MDR_IN_DITHIONITE] = 1;
    hold_kit_judge(&k);
    assert_non_null(strstr(hold_kit_remedy(&k, MDR_REMEDY_ACID)->cautions[0], "sulphur dioxide"));
    mdr_arena_free(k.arena);
}

static void too_sour(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 40, 4.2);
    hold_kit_limits(&k, 6.0, 6.5);
    k.state.dissolved_kg[MDR_IN_HAC] = 4;
    k.state.dissolved_kg[MDR_IN_NAOH] = 2;
    hold_vessel bath = {.liquor_l = 8000};
    bath.dissolved_kg[MDR_IN_HAC] = 4;
    bath.dissolved_kg[MDR_IN_NAOH] = 2;
    k.in.reading = hold_vessel_ph(&bath, 40);
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ALKALI);
    assert_non_null(r);
    assert_true(hold_kit_kg(r, "BICARB") > 0);
    hold_vessel_run(&bath, r, &k.site);
    CHECK_NEAR(hold_vessel_ph(&bath, 40), 6.25, 0.01, "D: steps run on a second model");
    mdr_arena_free(k.arena);
}

/* Less alkali than planned, because the cotton or a carry-over of acid took of it. */
static void soured_soda(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 60, 0);
    k.check.cooled = true;
    hold_kit_limits(&k, 10.5, 11.1);
    hold_vessel bath = {.liquor_l = 8000};
    bath.dissolved_kg[MDR_IN_NA2CO3] = k.state.dissolved_kg[MDR_IN_NA2CO3] = 80;
    bath.dissolved_kg[MDR_IN_NA2SO4] = k.state.dissolved_kg[MDR_IN_NA2SO4] = 400;
    bath.dissolved_kg[MDR_IN_H2SO4] = 24;
    k.in.reading = hold_vessel_ph(&bath, 25);
    k.state.dyed = k.state.dyebath = k.state.fixing = true;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ALKALI);
    assert_non_null(r);
    assert_non_null(strstr(r->why[0].working, "3.000 g/L of acid, counted as sulphuric acid"));
    hold_vessel_run(&bath, r, &k.site);
    CHECK_NEAR(hold_vessel_ph(&bath, 25), 10.8, 0.01, "D: steps run on a second model");
    mdr_arena_free(k.arena);
}

/* What a remedy leaves is what the next reading is judged with. */
static void bath_after_a_rinse(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 45, 10.8);
    hold_kit_limits(&k, 5.0, 7.0);
    k.site.alkalinity_mmol_per_l = 2;
    k.state.dissolved_kg[MDR_IN_NA2CO3] = 3;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_RINSE);
    assert_non_null(r);
    mdr_control_state after = k.state;
    hold_vessel second = {.liquor_l = 8000};
    second.dissolved_kg[MDR_IN_NA2CO3] = 3;
    for (int i = 0; i < r->n_steps; i++) {
        mdr_hold_after(&after, &r->steps[i], &k.in);
    }
    hold_vessel_run(&second, r, &k.site);
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        CHECK_NEAR(after.dissolved_kg[i], second.dissolved_kg[i], 1e-5, "D: a second model");
    }
    CHECK_NEAR(after.liquor_l, second.liquor_l, 1e-9, "D: a second model");
    mdr_arena_free(k.arena);
}

static void core_of_the_rope(void **state)
{
    (void)state;
    hold_kit k, whole;
    hold_kit_open(&k, MDR_CHECK_CORE_PH, 50, 10.0);
    hold_kit_open(&whole, MDR_CHECK_PH, 50, 10.0);
    hold_kit_limits(&k, 6.0, 7.5);
    hold_kit_limits(&whole, 6.0, 7.5);
    k.state.dissolved_kg[MDR_IN_HAC] = whole.state.dissolved_kg[MDR_IN_HAC] = 0.3;
    k.state.dissolved_kg[MDR_IN_NAHCO3] = whole.state.dissolved_kg[MDR_IN_NAHCO3] = 1.5;
    hold_kit_judge(&k);
    hold_kit_judge(&whole);
    const double core_kg = hold_kit_kg(hold_kit_remedy(&k, MDR_REMEDY_ACID), "ACETIC");
    const double bath_kg = hold_kit_kg(hold_kit_remedy(&whole, MDR_REMEDY_ACID), "ACETIC");
    assert_true(core_kg > 0.0);
    /* what was found more than planned sits in 2500 of 8000 L */
    assert_true(core_kg < 0.7 * bath_kg && core_kg > 0.2 * bath_kg);
    mdr_arena_free(k.arena);
    mdr_arena_free(whole.arena);
}

/* D: what the core has too much of is spread over all the liquor: as if the bath were read with its share. */
static void core_and_bath_together(void **state)
{
    (void)state;
    hold_vessel core = {.liquor_l = 8000};
    core.dissolved_kg[MDR_IN_HAC] = 0.3;
    core.dissolved_kg[MDR_IN_NAHCO3] = 1.5;
    hold_vessel mixed = core;
    core.dissolved_kg[MDR_IN_NAOH] = 3.0;
    mixed.dissolved_kg[MDR_IN_NAOH] = 3.0 * 2500 / 8000; /* 1000 kg hold 2.5 L/kg */
    hold_kit k, whole;
    hold_kit_open(&k, MDR_CHECK_CORE_PH, 50, hold_vessel_ph(&core, 50));
    hold_kit_open(&whole, MDR_CHECK_PH, 50, hold_vessel_ph(&mixed, 50));
    hold_kit_limits(&k, 6.0, 7.5);
    hold_kit_limits(&whole, 6.0, 7.5);
    k.state.dissolved_kg[MDR_IN_HAC] = whole.state.dissolved_kg[MDR_IN_HAC] = 0.3;
    k.state.dissolved_kg[MDR_IN_NAHCO3] = whole.state.dissolved_kg[MDR_IN_NAHCO3] = 1.5;
    hold_kit_judge(&k);
    hold_kit_judge(&whole);
    const double kg = hold_kit_kg(hold_kit_remedy(&whole, MDR_REMEDY_ACID), "ACETIC");
    assert_true(kg > 0.5);
    CHECK_NEAR(hold_kit_kg(hold_kit_remedy(&k, MDR_REMEDY_ACID), "ACETIC"), kg, 1e-3 * kg,
               "D: the same vessel");
    mdr_arena_free(k.arena);
    mdr_arena_free(whole.arena);
}

static void core_comes_round_by_itself(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_CORE_PH, 50, 7.7);
    hold_kit_limits(&k, 5.0, 7.5);
    k.state.dissolved_kg[MDR_IN_HAC] = 2.0;
    k.state.dissolved_kg[MDR_IN_NAHCO3] = 2.0;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->remedies[0].kind, MDR_REMEDY_RUN_ON);
    assert_int_equal(k.hold->remedies[0].n_steps, 1);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_ACID));
    assert_true(k.hold->remedies[0].expected < 7.5);
    mdr_mix mix = {.temp_c = 50}; /* core and bath as one */
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    k.state.dissolved_kg[i] * 1000 / k.state.liquor_l);
    }
    const double unsure = mdr_equil_uncertainty_ph(&mix);
    CHECK_NEAR(k.hold->remedies[0].expected - k.hold->remedies[0].expected_low, unsure, 0.02,
               "D: bath-ph.md#uncertainty on either side");
    CHECK_NEAR(k.hold->remedies[0].expected_high - k.hold->remedies[0].expected, unsure, 0.02,
               "D: bath-ph.md#uncertainty on either side");
    assert_int_equal(k.hold->remedies[0].n_why, 2); /* where it goes, and how long that takes */
    assert_string_equal(k.hold->remedies[0].why[0].id, mdr_hold_rule_of(MDR_HOLD_RULE_CORE)->id);
    assert_string_equal(k.hold->remedies[0].why[1].id, mdr_hold_rule_of(MDR_HOLD_RULE_RUN_ON)->id);
    mdr_arena_free(k.arena);
}

static void nothing_at_hand(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 45, 10.5);
    hold_kit_limits(&k, 5.0, 7.0);
    k.site.alkalinity_mmol_per_l = 3;
    hold_kit_lack(&k, "ACETIC");
    hold_kit_judge(&k);
    assert_true(hold_kit_kg(hold_kit_remedy(&k, MDR_REMEDY_ACID), "FORMIC") > 0.0);
    hold_kit_lack(&k, "FORMIC");
    hold_kit_judge(&k);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_ACID));
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_true(k.hold->n_missing >= 1);
    assert_non_null(strstr(k.hold->missing[0], "no acid to hand"));
    mdr_arena_free(k.arena);
}

static void cooled_sample(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_PH, 105, 11.4);
    hold_kit_limits(&k, 5.0, 7.0);
    k.machine.temp_max_c = 110;
    hold_kit_judge(&k);
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k.hold->n_remedies, 0);
    k.check.cooled = true;
    hold_kit_judge(&k);
    const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_ACID);
    assert_non_null(r);
    assert_int_equal(r->steps[0].kind, MDR_STEP_COOL);
    CHECK_NEAR(r->steps[0].temp_end_c, 80, 1e-9, "P: the tank is opened up to 80 degC");
    mdr_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(acid_of_the_worked_example),
        cmocka_unit_test(acid_of_the_titration),
        cmocka_unit_test(soda_of_the_grid),
        cmocka_unit_test(remedy_on_the_true_bath),
        cmocka_unit_test(smaller_dose_first),
        cmocka_unit_test(aims_at_the_plan),
        cmocka_unit_test(who_approves),
        cmocka_unit_test(too_sour),
        cmocka_unit_test(soured_soda),
        cmocka_unit_test(bath_after_a_rinse),
        cmocka_unit_test(core_of_the_rope),
        cmocka_unit_test(core_and_bath_together),
        cmocka_unit_test(core_comes_round_by_itself),
        cmocka_unit_test(nothing_at_hand),
        cmocka_unit_test(cooled_sample),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
