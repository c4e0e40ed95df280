/* Warnings of the chemistry: each once where it is due and once where it is not. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_washoff.h"
#include "plan_chem_kit.h"

static void needs_speak(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? kit_hold(1) : pure("peroxide", 1), kit_drain());
        BATH(&b, kit_fill(50), give("catalase", MDR_BASIS_CATALASE, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_NEED, 2), due);

        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("seq", 20) : kit_hold(1),
             give("seq", MDR_BASIS_SEQUESTER, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_NEED, 1), due);

        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("salt", 1) : pure("soda", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to("acid", 5), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_ALKALI, 2), 0);
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("acid", 1) : pure("soda", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to("acid", 5), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_ALKALI, 2), due);

        READY(b, MDR_CLASS_NONE); /* a quarter too much of a strong acid is far too much */
        BATH(&b, kit_fill(50), pure("caustic", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to(due == 1 ? "sulphuric" : "acid", 6), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_OVERSHOOT, 2), due);

        READY(b, MDR_CLASS_NONE);
        b.machine.temp_max_c = 135;
        BATH(&b, kit_fill(50), pure("soda", 2), kit_heat(due == 1 ? 101 : 100, 0),
             acid_to("acid", 6), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_PH_HOT, 1), due);
    }
}

/* It is a quarter more that is tried. */
static void overshoot_by_a_quarter(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(50), pure("caustic", 1), kit_drain());
    BATH(&b, kit_fill(50), acid_to("sulphuric", 6), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    mdr_mix mix = {.temp_c = 50};
    mdr_mix_add(&mix, MDR_SUB_NAOH, 2.5 / 8);
    mdr_mix_add(&mix, MDR_SUB_H2SO4, 1.25 * val(&b, bath->steps[1].items[0].active_kg) / 8);
    const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_OVERSHOOT);
    assert_non_null(w);
    CHECK_NEAR(w->args[0].number, 25, 1e-9, "P: a quarter");
    CHECK_NEAR(w->args[1].number, mdr_equil_ph(&mix), 1e-6, "D: pH with a quarter more");
    CHECK_NEAR(w->args[2].number, 6, 1e-12, "D: as wanted");
    kit_bench_free(&b);
}

/* Above 100 degC the need is that at 100. */
static void hot_need(void **state)
{
    (void)state;
    double kg[2];
    for (int i = 0; i < 2; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.machine.temp_max_c = 135;
        BATH(&b, kit_fill(50), pure("soda", 2), kit_heat(i == 0 ? 100 : 120, 0), acid_to("acid", 6),
             kit_drain());
        run(&b);
        kg[i] = val(&b, b.plan->baths[0].steps[3].items[0].active_kg);
        kit_bench_free(&b);
    }
    CHECK_NEAR(kg[1], kg[0], 1e-9, "D: reckoned at 100 degC");
}

static bool window(double low, double high, bool cooled, mdr_check_kind kind)
{
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step check = kit_check(kind, low, high);
    check.check.cooled = cooled;
    BATH(&b, kit_fill(50), pure("soda", 10), kit_heat(60, 1), check, kit_drain());
    return says(&b, MDR_WARN_PH_WINDOW, 1);
}

/* 10 g/L of soda: pH 10.75 at 60 degC, 11.36 cold (docs/methods/bath-ph.md); doubt 0.03. */
static void ph_window(void **state)
{
    (void)state;
    assert_false(window(10.6, 10.9, false, MDR_CHECK_PH));
    assert_true(window(10.6, 10.9, true, MDR_CHECK_PH));
    assert_false(window(11.2, 11.5, true, MDR_CHECK_PH));
    assert_true(window(11.2, 11.5, false, MDR_CHECK_PH));
    assert_true(window(11.2, 11.5, false, MDR_CHECK_CORE_PH));
    assert_false(window(-1, 10.9, false, MDR_CHECK_PH));
    assert_true(window(-1, 10.6, false, MDR_CHECK_PH));
    assert_false(window(10.6, -1, false, MDR_CHECK_PH));
    assert_true(window(10.9, -1, false, MDR_CHECK_PH));
    assert_false(window(-1, 10.73, false, MDR_CHECK_PH)); /* within its doubt */
    assert_false(window(10.77, -1, false, MDR_CHECK_PH));
    assert_false(window(1, 2, false, MDR_CHECK_HARDNESS)); /* another quantity */
}

static bool catalase_at(double temp_c, const char *with, double g_per_l, bool *works)
{
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(temp_c), pure("peroxide", 0.5), pure(with, g_per_l),
         give("catalase", MDR_BASIS_CATALASE, 1), kit_check(MDR_CHECK_PEROXIDE, -1, 5),
         kit_drain());
    run(&b);
    *works = val(&b, b.plan->baths[0].steps[4].peroxide_mg_per_l) < 1.0;
    if (*works == (kit_bench_warned(&b, MDR_WARN_PEROXIDE_LEFT) != NULL)) {
        fail_msg("what the check reads and what is said of it differ");
    }
    return says(&b, MDR_WARN_CATALASE_WINDOW, 1);
}

static void catalase_window(void **state)
{
    (void)state;
    bool works = false;
    assert_false(catalase_at(50, "salt", 1, &works));
    assert_true(works);
    assert_true(catalase_at(60, "salt", 1, &works)); /* too hot */
    assert_false(works);
    assert_true(catalase_at(25, "salt", 1, &works)); /* too cold */
    assert_false(works);
    assert_true(catalase_at(50, "soda", 1, &works)); /* too alkaline */
    assert_false(works);
    assert_true(catalase_at(50, "acid", 1, &works)); /* too acid */
    assert_false(works);
}

static void peroxide_before_dye(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        /* 5 mg/L are allowed: 16 mg/L thinned by 2.5/8; at 20 degC it hardly decays */
        BATH(&b, kit_fill(20), pure("peroxide", due == 1 ? 0.0162 : 0.0159), kit_drain());
        BATH(&b, kit_fill(20), dye(), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_PEROXIDE_DYE, 2), due);
    }
    kit_bench b; /* and it is no matter where nothing is dyed */
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(20), pure("peroxide", 2), kit_drain());
    BATH(&b, kit_fill(20), kit_drain());
    assert_false(says(&b, MDR_WARN_PEROXIDE_DYE, 2));
}

static void hardness_speaks(void **state)
{
    (void)state;
    const struct {
        double dh;
        bool near, over;
    } rows[] = {{2.9, false, false}, {3.1, true, false}, {4.9, true, false}, {5.1, false, true}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        for (int which = 0; which < 3; which++) {
            kit_bench b;
            READY(b, which == 2 ? MDR_CLASS_NONE : MDR_CLASS_REACTIVE);
            b.lot.article.calcium_mg_per_kg = b.lot.article.magnesium_mg_per_kg = 1e-6;
            b.site.hardness_dh = rows[i].dh;
            BATH(&b, kit_fill(40), which == 2 ? kit_hold(1) : dye(), kit_drain());
            const mdr_warn_id id = which == 0 ? MDR_WARN_HARDNESS_NEAR : MDR_WARN_HARDNESS_OVER;
            const bool due = which == 0 ? rows[i].near : which == 1 && rows[i].over;
            assert_int_equal(says(&b, id, 1), due);
        }
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.lot.article.calcium_mg_per_kg = b.lot.article.magnesium_mg_per_kg = 1e-6;
        b.site.hardness_dh = rows[i].dh;
        BATH(&b, kit_fill(40), kit_check(MDR_CHECK_HARDNESS, -1, 4), pure("seq", 9), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_HARDNESS_CHECK, 1), rows[i].dh > 4); /* held or not */
    }
}

/* Salt 60 and soda 15 g/L, then a soap after so many rinses, neutralised or not. */
static bool soap(int rinses, bool acid, double soap_c, mdr_stage_kind stage, mdr_warn_id id)
{
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    BATH(&b, kit_fill(60), dye(), pure("salt", 60), pure("soda", 15), kit_drain());
    kit_bench_stage(&b, stage);
    for (int i = 0; i < rinses; i++) {
        BATH(&b, kit_fill(40), acid && i == rinses - 1 ? acid_to("acid", 5.5) : kit_hold(1),
             kit_drain());
    }
    BATH(&b, kit_fill(50), give("soap", MDR_BASIS_G_PER_L, 1), kit_heat(soap_c, 2), kit_hold(10),
         kit_drain());
    return says(&b, id, rinses + 2);
}

static void soap_speaks(void **state)
{
    (void)state;
    assert_true(soap(1, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_false(soap(3, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT)); /* 0.7 g/L */
    assert_false(soap(1, true, 84, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_true(soap(1, true, 85, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_false(soap(1, true, 95, MDR_STAGE_DYEING, MDR_WARN_SOAP_SALT));
    assert_true(soap(3, false, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
    assert_false(soap(3, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
    assert_false(soap(3, false, 84, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
}

/* 1 % of the usual dye: two hot soaps are usual; of a black as many as of the deepest. */
static bool soaps_say(mdr_nature nature, double depth, int soaps, double soap_c, mdr_warn_id id)
{
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    mdr_material mine = *kit_material("dye");
    mine.nature = (int)nature;
    b.dyes[0] = (mdr_recipe_dye){&mine, depth};
    BATH(&b, kit_fill(60), dye(), kit_hold(10), kit_heat(95, 2), kit_drain()); /* no soap */
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    for (int i = 0; i < soaps; i++) {
        BATH(&b, kit_fill(soap_c), kit_hold(10), kit_drain());
    }
    BATH(&b, kit_fill(40), kit_drain());
    return says(&b, id, 0);
}

static void soaps_counted(void **state)
{
    (void)state;
    static const double DEPTHS[] = {0.3, 1, 3, 6};
    for (size_t i = 0; i < N_OF(DEPTHS); i++) {
        const mdr_washoff_usual_baths usual = mdr_washoff_usual(DEPTHS[i]);
        const int least = usual.hot_soaps_least, most = usual.hot_soaps_most;
        const mdr_nature plain = MDR_NATURE_USUAL;
        assert_false(soaps_say(plain, DEPTHS[i], least, 95, MDR_WARN_SOAPS_FEW));
        assert_int_equal(soaps_say(plain, DEPTHS[i], least - 1, 95, MDR_WARN_SOAPS_FEW), least > 0);
        assert_false(soaps_say(plain, DEPTHS[i], most, 95, MDR_WARN_SOAPS_MANY));
        assert_true(soaps_say(plain, DEPTHS[i], most + 1, 95, MDR_WARN_SOAPS_MANY));
        assert_int_equal(soaps_say(plain, DEPTHS[i], least, 80, MDR_WARN_SOAPS_FEW), least > 0);
    }
    const int deep = mdr_washoff_usual(6).hot_soaps_least;
    assert_true(deep > mdr_washoff_usual(1).hot_soaps_least);
    const int most = mdr_washoff_usual(6).hot_soaps_most;
    assert_true(most > mdr_washoff_usual(3).hot_soaps_most);
    assert_false(soaps_say(MDR_NATURE_BLACK, 3, most, 95, MDR_WARN_SOAPS_MANY));
    assert_true(soaps_say(MDR_NATURE_BLACK, 1, most, 95, MDR_WARN_SOAPS_MANY)); /* a grey */
    assert_true(soaps_say(MDR_NATURE_PHTHALOCYANINE, 1, deep - 1, 95, MDR_WARN_SOAPS_FEW));
    assert_false(soaps_say(MDR_NATURE_PHTHALOCYANINE, 1, most, 95, MDR_WARN_SOAPS_MANY));
}

static void loose_dye(void **state)
{
    (void)state;
    for (int soaps = 3; soaps <= 4; soaps++) { /* 2000 mg/kg: 1000, 500, 250, 125; 150 may stay */
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        BATH(&b, kit_fill(60), dye(), kit_drain());
        for (int i = 0; i < soaps; i++) {
            BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
        }
        run(&b);
        const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_LOOSE_DYE);
        assert_int_equal(w != NULL, soaps == 3);
        if (w != NULL) {
            CHECK_NEAR(w->args[0].number, 250, 0.01, "P: halved each time");
            CHECK_NEAR(w->args[2].number, 1, 1e-9, "D: one more leaves 125");
        }
        assert_int_equal(says(&b, MDR_WARN_LOOSE_DYE, 0), soaps == 3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(needs_speak),     cmocka_unit_test(overshoot_by_a_quarter),
        cmocka_unit_test(hot_need),        cmocka_unit_test(ph_window),
        cmocka_unit_test(catalase_window), cmocka_unit_test(peroxide_before_dye),
        cmocka_unit_test(hardness_speaks), cmocka_unit_test(soap_speaks),
        cmocka_unit_test(soaps_counted),   cmocka_unit_test(loose_dye)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
