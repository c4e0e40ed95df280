/* Remedies of the cloth before the dye: absorbency, whiteness, loss of weight. */
#include "t.h"

#include "hold_kit.h"

/* -- absorbency -- */

static void scour_again(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_ABSORBENCY, 78, 12);
    hold_kit_limits(&k, HOLD_NONE, 5);
    k.check.on_fail = MDR_FAIL_REPEAT;
    k.state.dissolved_kg[MDR_IN_NAOH] = 12; /* the scour's own bath */
    k.machine.tank_water = MDR_TANK_BATH;   /* else the second dose finds more liquor */
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_RESCOUR);
    CHECK_NEAR(hold_kit_kg(r, "WETTING"), 4, 1e-6, "P: 0.5 g/L more, 8000 L");
    CHECK_NEAR(hold_kit_kg(r, "CAUSTIC"), 16, 0.02, "P: 1 g/L more, 8000 L, 50 %");
    CHECK_NEAR(hottest(r), 95, 1e-9, "P: 95 degC");
    assert_int_equal(hold_kit_steps(r, MDR_STEP_DRAIN), 0);
    assert_false(r->has_expected); /* no model says how absorbent it will be */
    assert_int_equal(k.hold->verdict, MDR_HOLD_CORRECT);

    k.state.dissolved_kg[MDR_IN_NAOH] = 0; /* it was neutralised already: back to that */
    hold_kit_judge(&k);
    r = must(&k, MDR_REMEDY_RESCOUR);
    assert_int_equal(hold_kit_steps(r, MDR_STEP_DRAIN), 2);
    hold_vessel bath = {.liquor_l = 8000};
    hold_vessel_run(&bath, r, &k.site);
    CHECK_NEAR(hold_vessel_ph(&bath, 50), 6.5, 0.02, "D: steps run on a second model");

    k.in.n_failed = 2;
    is_stop(&k, 1);
    k.in.n_failed = 0;
    k.state.dyed = true;
    is_stop(&k, 0);
    mdr_arena_free(k.arena);
}

/* -- whiteness -- */

static void bleach_again(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_WHITENESS, 78, 62);
    hold_kit_limits(&k, 70, HOLD_NONE);
    k.check.on_fail = MDR_FAIL_REPEAT;
    k.state.dissolved_kg[MDR_IN_NAOH] = 16;
    k.machine.tank_water = MDR_TANK_BATH;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_REBLEACH);
    /* W10 70 takes 2 g/L of 100 %: half is 1 g/L, and 62 to 70 is 0.4 of it */
    CHECK_NEAR(hold_kit_kg(r, "PEROX"), 16, 0.05, "P: half the peroxide of the whiteness wanted");
    CHECK_NEAR(hottest(r), 98, 1e-9, "P: 98 degC");
    /* 62 stands for 1.6 g/L; with 1.0 more 2.6, between 2 (70) and 3 (75) */
    CHECK_NEAR(r->expected, 73, 0.1, "D: straight between the rows of the table");
    CHECK_NEAR(hold_kit_kg(r, "CAUSTIC"), 0, 0, "D: 2 g/L of caustic is far above pH 10.6");
    assert_int_equal(hold_kit_steps(r, MDR_STEP_FILL), 0);
    for (int i = 0; i < r->n_steps; i++) {
        assert_true(r->steps[i].n_items <= 1); /* never peroxide and caustic in one tank */
    }
    k.in.reading = 41; /* 0.55 g/L: what the table has between the two is the greater */
    hold_kit_judge(&k);
    CHECK_NEAR(hold_kit_kg(must(&k, MDR_REMEDY_REBLEACH), "PEROX") * 0.5 / 8, 1.45, 0.01,
               "D: 2.0 - 0.55 g/L");
    static const mdr_material STABILISER = HOLD_STUFF("STAB", "bleaching auxiliary", MDR_SUB_OTHER,
                                                      100, MDR_FORM_LIQUID, 1.1, 0, 0, 0);
    k.materials[k.in.n_materials++] = &STABILISER; /* where the mill has one */
    hold_kit_judge(&k);
    CHECK_NEAR(hold_kit_kg(must(&k, MDR_REMEDY_REBLEACH), "STAB"), 4, 0.05, "P: 0.5 g/L");
    k.in.n_failed = 2;
    is_stop(&k, 1);
    k.in.n_failed = 0;
    k.state.dyed = true;
    is_stop(&k, 0);
    mdr_arena_free(k.arena);
}

/* Neutralised already: alkali anew, and afterwards neutral and without peroxide again. */
static void bleach_in_a_new_bath(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_WHITENESS, 50, 62);
    hold_kit_limits(&k, 70, HOLD_NONE);
    k.state.dissolved_kg[MDR_IN_HAC] = 2;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_REBLEACH);
    assert_true(hold_kit_kg(r, "CAUSTIC") > 0 && hold_kit_kg(r, "CATALASE") > 0);
    int perox = -1, caustic = -1;
    for (int i = 0; i < r->n_steps; i++) {
        if (r->steps[i].n_items > 0) {
            perox = strcmp(r->steps[i].items[0].material_id, "PEROX") == 0 ? i : perox;
            caustic = strcmp(r->steps[i].items[0].material_id, "CAUSTIC") == 0 ? i : caustic;
        }
    }
    assert_true(caustic >= 0 && caustic < perox);
    hold_kit_lack(&k, "CATALASE");
    is_stop(&k, 0);
    assert_int_equal(k.hold->n_missing, 1);
    mdr_arena_free(k.arena);
}

static void brightener_is_beyond_the_table(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_WHITENESS, 78, 121);
    hold_kit_limits(&k, 130, HOLD_NONE);
    k.state.dissolved_kg[MDR_IN_NAOH] = 16;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_REBLEACH);
    assert_false(r->has_expected);
    assert_int_equal(r->n_cautions, 3);
    mdr_arena_free(k.arena);
}

/* -- loss of weight -- */

static void dye_for_the_new_mass(void **state)
{
    (void)state;
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_WEIGHT_LOSS, 55, 7);
    hold_kit_limits(&k, 1, 5);
    k.check.on_fail = MDR_FAIL_STOP;
    hold_kit_judge(&k);
    const mdr_remedy *r = must(&k, MDR_REMEDY_INACTIVATE);
    CHECK_NEAR(r->dye_factor, 93.0 / 97.0, 1e-12, "D: (100 - 7) / (100 - 3)");
    CHECK_NEAR(hottest(r), 80, 1e-9, "P: 80 degC stops the enzyme");
    assert_int_equal(k.hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(r->approve, MDR_HOLD_BY_QUALITY);
    k.in.reading = 0.4;
    k.check.on_fail = MDR_FAIL_CORRECT;
    hold_kit_judge(&k);
    r = must(&k, MDR_REMEDY_DYE_MASS);
    assert_int_equal(r->n_steps, 0);
    CHECK_NEAR(r->dye_factor, 99.6 / 97.0, 1e-12, "D: it weighs more than planned");
    k.state.dyed = true;
    is_stop(&k, 0);
    mdr_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scour_again),          cmocka_unit_test(bleach_again),
        cmocka_unit_test(bleach_in_a_new_bath), cmocka_unit_test(brightener_is_beyond_the_table),
        cmocka_unit_test(dye_for_the_new_mass),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
