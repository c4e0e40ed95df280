#include "dye_kit.h"
#include "t.h"

#include <string.h>

#include "core/recipe/mdr_dispense.h"

static mdr_arena *arena;
static mdr_lab_dye dyes[MDR_LAB_DYES_MAX];
static mdr_lab_aux aux[MDR_LAB_AUX_MAX];
static mdr_lab_pot pots[MDR_LAB_POTS_MAX + 1];

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new(16u << 20);
    return arena != NULL ? 0 : 1;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

/* 5 g at 10 L/kg in 150 mL pots; two dyes from 10 g/L, salt from 200 g/L, soda from 100 g/L. */
static mdr_lab_in ask(double depth0, double depth1)
{
    memset(pots, 0, sizeof pots);
    for (int i = 0; i < MDR_LAB_DYES_MAX; i++) {
        dyes[i].stock_g_per_l = 10;
    }
    aux[0].stock_g_per_l = 200;
    aux[1].stock_g_per_l = 100;
    for (size_t i = 0; i < N_OF(pots); i++) {
        pots[i] = (mdr_lab_pot){.sample_g = 5,
                                .ratio_l_per_kg = 10,
                                .vessel_ml = 150,
                                .depth_pct_owf = {depth0, depth1},
                                .aux_g_per_l = {40, 10}};
    }
    return (mdr_lab_in){.tools = mdr_lab_tools_usual(),
                        .dyes = dyes,
                        .aux = aux,
                        .pots = pots,
                        .n_dyes = 2,
                        .n_aux = 2,
                        .n_pots = 1};
}

static mdr_lab_sheet sheet(const mdr_lab_in *in)
{
    mdr_lab_sheet s;
    mdr_err err = {0};
    if (mdr_lab_dispense(in, arena, &s, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return s;
}

static void one_pot_by_hand(void **state)
{
    (void)state;
    const mdr_lab_in in = ask(1, 0.005);
    const mdr_lab_sheet s = sheet(&in);
    const mdr_lab_pot_sheet *p = &s.pot[0];
    CHECK_NEAR(p->liquor_ml, 50, 1e-12, "D: 5 x 10");
    CHECK_NEAR(p->dye[0].ml, 5, 1e-12, "D: 0.05 g of 10 g/L");
    assert_int_equal(p->dye[0].level, 0);
    CHECK_NEAR(p->dye[1].g, 0.00025, 1e-15, "D: 5 x 0.005 / 100");
    CHECK_NEAR(p->dye[1].ml, 2.5, 1e-12, "D: of 0.1 g/L; 0.025 and 0.25 mL are too little");
    assert_int_equal(p->dye[1].level, 2);
    CHECK_NEAR(p->aux[0].ml, 10, 1e-12, "D: 2 g of 200 g/L");
    CHECK_NEAR(p->aux[1].ml, 5, 1e-12, "D: 0.5 g of 100 g/L");
    CHECK_NEAR(p->water_ml, 27.5, 1e-12, "D: 50 - 5 - 2.5 - 10 - 5");
    /* 5 mL of the first stock; of the second 2.5 mL of level 2, its 10 mL of level 1, and so on */
    assert_int_equal(s.solutions, 4);
    assert_true(s.solution[0].dye == 0 && s.solution[0].level == 0);
    CHECK_NEAR(s.solution[0].weigh_g, 1, 1e-12, "D: 100 mL of 10 g/L");
    for (int level = 0; level < 3; level++) {
        const mdr_lab_solution *q = &s.solution[1 + level];
        assert_true(q->dye == 1 && q->level == level && q->flasks == 1);
        CHECK_NEAR(q->flask_ml, 100, 0, "D: the smallest that holds it");
        CHECK_NEAR(q->g_per_l, 10 / pow(10, level), 1e-12, "D");
        CHECK_NEAR(q->take_ml, level == 0 ? 0 : 10, 1e-12, "D: a tenth of 100 mL");
        CHECK_NEAR(q->needed_ml, level == 2 ? 2.5 : 10, 1e-12, "D: for doses or the next weaker");
    }
}

static const struct {
    double depth, ml, error_pct;
    int level;
} ROUNDED[] = {{0.1, 0.5, 0, 0},     {0.102, 0.5, -1.9608, 0},   {0.103, 5.15, 0, 1},
               {0.0123, 6.15, 0, 2}, {0.0999, 0.5, 0.1001, 0},   {3, 15, 0, 0},
               {0.001, 0.5, 0, 2},   {1.2345, 6.15, -0.3645, 0}, {0.013, 0.65, 0, 1}};

static void rounding_to_the_pipette(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROUNDED); i++) {
        const mdr_lab_in in = ask(ROUNDED[i].depth, 0);
        const mdr_lab_dose d = sheet(&in).pot[0].dye[0];
        assert_int_equal(d.level, ROUNDED[i].level);
        CHECK_NEAR(d.ml, ROUNDED[i].ml, 1e-12, "D: by hand, 0.05 mL steps, 2 %");
        CHECK_NEAR(d.error_pct, ROUNDED[i].error_pct, 1e-4, "D: by hand");
    }
}

static void weighed_salt(void **state)
{
    (void)state;
    mdr_lab_in in = ask(1, 0);
    aux[0].stock_g_per_l = 0;
    pots[0].aux_g_per_l[0] = 40.123;
    const mdr_lab_pot_sheet p = sheet(&in).pot[0];
    CHECK_NEAR(p.aux[0].g, 2.01, 1e-12, "D: 2.00615 g to 0.01 g");
    CHECK_NEAR(p.aux[0].ml, 0, 0, "D: no volume");
    CHECK_NEAR(p.aux[0].error_pct, 100 * (2.01 / 2.00615 - 1), 1e-9, "D");
    CHECK_NEAR(p.water_ml, 40, 1e-12, "D: 50 - 5 - 5");
}

static void flasks(void **state)
{
    (void)state;
    mdr_lab_in in = ask(4, 0); /* 20 mL each */
    in.n_pots = 30;            /* 600 mL, 720 with what is spare */
    mdr_lab_sheet s = sheet(&in);
    assert_int_equal(s.solutions, 1);
    CHECK_NEAR(s.solution[0].flask_ml, 1000, 0, "D");
    CHECK_NEAR(s.solution[0].weigh_g, 10, 1e-12, "D");
    in.n_pots = 64; /* 1280 mL, 1536 with what is spare */
    s = sheet(&in);
    assert_int_equal(s.solution[0].flasks, 2);
    in.n_pots = 11; /* 220 mL fit 250, not with what is spare */
    s = sheet(&in);
    CHECK_NEAR(s.solution[0].flask_ml, 500, 0, "D: 264 mL");
    in = ask(0.28, 0); /* 1.4 mL of the stock is too little here: 14 mL of its tenth */
    in.tools.pipette_least_ml = 5;
    in.n_pots = 64; /* 896 mL, 1075 with what is spare: two flasks, 100 mL of stock into each */
    s = sheet(&in);
    assert_true(s.solutions == 2 && s.solution[1].flasks == 2);
    CHECK_NEAR(s.solution[0].needed_ml, 200, 1e-9, "D: into both");
    dyes[0].stock_g_per_l = 1.5; /* 0.15 g in 100 mL is below what the balance weighs */
    in = ask(0.2, 0);
    dyes[0].stock_g_per_l = 1.5;
    s = sheet(&in);
    CHECK_NEAR(s.solution[0].flask_ml, 250, 0, "D: 0.375 g");
    CHECK_NEAR(s.solution[0].weigh_g, 0.38, 1e-12, "D: to 0.01 g");
    CHECK_NEAR(s.solution[0].error_pct, 100 * (0.38 / 0.375 - 1), 1e-9, "D");
}

/* Whatever is asked for: what is taken adds up, and every dose is as near as was promised. */
static void sheets_at_random(void **state)
{
    (void)state;
    uint64_t seed = 91;
    for (int trial = 0; trial < 300; trial++) {
        mdr_lab_in in = ask(0, 0);
        in.n_dyes = 1 + trial % 4;
        in.n_pots = 1 + trial % 10;
        for (int i = 0; i < in.n_pots; i++) {
            for (int j = 0; j < in.n_dyes; j++) {
                pots[i].depth_pct_owf[j] =
                    kit_uniform(&seed) < 0.2 ? 0 : exp(-5.5 + 6 * kit_uniform(&seed));
            }
        }
        const mdr_lab_sheet s = sheet(&in);
        double used[MDR_LAB_DYES_MAX][MDR_LAB_LEVELS_MAX] = {{0}};
        for (int i = 0; i < in.n_pots; i++) {
            double sum = s.pot[i].water_ml;
            for (int j = 0; j < in.n_dyes; j++) {
                const mdr_lab_dose *d = &s.pot[i].dye[j];
                const double g = d->ml * 10 / pow(10, d->level) / 1000;
                const double want = 5 * pots[i].depth_pct_owf[j] / 100;
                CHECK_NEAR(g, want, 0.02001 * want, "contract: 2 %");
                assert_true(want <= 0 ? d->ml <= 0 : d->ml >= 0.5 - 1e-9);
                used[j][d->level] += d->ml;
                sum += d->ml;
            }
            CHECK_NEAR(sum + s.pot[i].aux[0].ml + s.pot[i].aux[1].ml, 50, 1e-9, "D: the liquor");
        }
        for (int q = 0; q < s.solutions; q++) {
            const mdr_lab_solution *a = &s.solution[q];
            const mdr_lab_solution *next =
                q + 1 < s.solutions && s.solution[q + 1].dye == a->dye ? a + 1 : NULL;
            const double given =
                used[a->dye][a->level] + (next != NULL ? next->take_ml * next->flasks : 0);
            CHECK_NEAR(a->needed_ml, given, 1e-9, "D: doses and the next weaker");
            assert_true(a->flask_ml * a->flasks >= 1.2 * given - 1e-9);
            used[a->dye][a->level] = 0;
        }
        for (int k = 0; k < MDR_LAB_DYES_MAX * MDR_LAB_LEVELS_MAX; k++) {
            CHECK_NEAR(used[k / MDR_LAB_LEVELS_MAX][k % MDR_LAB_LEVELS_MAX], 0, 0,
                       "contract: every solution that is used is made");
        }
    }
}

static void bad(const mdr_lab_in *in, mdr_code code, const char *place)
{
    mdr_err err = {0};
    mdr_lab_sheet s = {.pots = -7};
    assert_int_equal(mdr_lab_dispense(in, arena, &s, &err), code);
    assert_string_equal(err.place, place);
    assert_true(strlen(err.msg) > 0);
    assert_int_equal(s.pots, -7);
}

static void refused(void **state)
{
    (void)state;
    mdr_lab_in in = ask(1, 1);
    in.n_dyes = 0;
    bad(&in, MDR_E_ARG, "dyes");
    in = ask(1, 1);
    in.n_pots = MDR_LAB_POTS_MAX + 1;
    bad(&in, MDR_E_ARG, "pots");
    in = ask(1, 1);
    in.tools.levels = 5;
    bad(&in, MDR_E_ARG, "tools.levels");
    in = ask(1, 1);
    in.tools.pipette_least_ml = 0;
    bad(&in, MDR_E_RANGE, "tools.pipette_least_ml");
    in = ask(1, 1);
    in.tools.flask_ml[1] = 50;
    bad(&in, MDR_E_RANGE, "tools.flask_ml");
    in = ask(1, 1);
    dyes[1].stock_g_per_l = 0;
    bad(&in, MDR_E_RANGE, "dyes.stock_g_per_l");
    in = ask(1, 1);
    pots[0].sample_g = 0;
    bad(&in, MDR_E_RANGE, "pots[0].sample_g");
    in = ask(1, 1);
    pots[0].depth_pct_owf[1] = (double)NAN;
    bad(&in, MDR_E_RANGE, "pots[0].depth_pct_owf");
    in = ask(1, 1);
    pots[0].aux_g_per_l[0] = -1;
    bad(&in, MDR_E_RANGE, "pots[0].aux_g_per_l");
    in = ask(1, 1);
    pots[0].vessel_ml = 49;
    bad(&in, MDR_E_RANGE, "pots[0].vessel_ml");
    in = ask(1, 0.0005); /* 0.25 mL of the weakest */
    in.n_pots = 3;
    bad(&in, MDR_E_INFEAS, "pots[0].depth_pct_owf[1]");
    in = ask(8, 1); /* 40 + 5 + 10 + 5 mL in 50 */
    bad(&in, MDR_E_INFEAS, "pots[0]");
    in = ask(0.02, 0);
    dyes[0].stock_g_per_l = 0.1; /* 0.1 g in the largest flask */
    bad(&in, MDR_E_INFEAS, "dyes[0]");
    in = ask(0.04, 0); /* 20 mL of a hundredth; a hundredth of the largest flask is 10 mL */
    in.tools.dilution = 100;
    in.tools.pipette_least_ml = 20;
    pots[0].aux_g_per_l[0] = pots[0].aux_g_per_l[1] = 0;
    bad(&in, MDR_E_INFEAS, "dyes[0]");
    mdr_arena *small = mdr_arena_new(128);
    mdr_err err = {0};
    mdr_lab_sheet s;
    in = ask(1, 1);
    assert_int_equal(mdr_lab_dispense(&in, small, &s, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_pot_by_hand),  cmocka_unit_test(rounding_to_the_pipette),
        cmocka_unit_test(weighed_salt),     cmocka_unit_test(flasks),
        cmocka_unit_test(sheets_at_random), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
