/* Worked examples E01 to E28 of published recipe arithmetic, through the functions that the plan
 * uses. S: printed by the page named; D: constructed, the arithmetic is in the line.
 * Four of the pages slip; the corrected number is tested, and that the slip is not met. */
#include "t.h"

#include "core/bath/mdr_dosing.h"
#include "core/bath/mdr_liquor.h"
#include "core/plan/mdr_records.h"
#include "core/plan/mdr_rules.h"
#include "core/units/mdr_strength.h"

/* kg for kg, or g for g; all of it in one dose */
static double owf(double load, double pct)
{
    return mdr_rule_mass_owf((const double[]){pct, load, 100}, 3);
}

/* g of substance for a bath of so many mL (or kg for m3): g/L x mL / 1000 */
static double per_l(double g_per_l, double liquor)
{
    return mdr_rule_mass_per_l((const double[]){g_per_l, liquor, 100}, 3);
}

/* mL of a laboratory stock that holds `pct` g in 100 mL */
static double stock(double g, double pct)
{
    return mdr_strength_delivered(g, pct);
}

static void laboratory_recipes(void **state)
{
    (void)state;
    CHECK_NEAR(stock(owf(5, 2), 0.5), 20, 1e-12, "S: E01, textilecalculation 2014/12");
    const double liquor = mdr_liquor_wanted_l(5, 10);
    CHECK_NEAR(stock(per_l(20, liquor), 25), 4, 1e-12, "S: E02, textilecalculation 2014/12");

    const char *e03 = "S: E03a to E03h, textilecalculation 2015/01";
    const double wetting = stock(per_l(0.5, liquor), 1), sequestrant = stock(per_l(2, liquor), 1);
    const double auxiliary = stock(per_l(1, liquor), 1), glauber = stock(per_l(40, liquor), 20);
    const double soda = stock(per_l(10, liquor), 20), dye = stock(owf(5, 1.5), 1);
    CHECK_NEAR(liquor, 50, 0, e03);
    CHECK_NEAR(wetting, 2.5, 1e-12, e03);
    CHECK_NEAR(sequestrant, 10, 1e-12, e03);
    CHECK_NEAR(auxiliary, 5, 1e-12, e03);
    CHECK_NEAR(glauber, 10, 1e-12, e03);
    CHECK_NEAR(soda, 2.5, 1e-12, e03);
    CHECK_NEAR(dye, 7.5, 1e-12, e03);
    CHECK_NEAR(mdr_liquor_fresh_fill_l(liquor, 0,
                                       wetting + sequestrant + auxiliary + glauber + soda + dye),
               12.5, 1e-12, e03);

    const char *e08 = "S: E08, student notes, scribd 615971845";
    CHECK_NEAR(per_l(1, liquor), 0.05, 1e-15, e08);
    CHECK_NEAR(per_l(2, liquor), 0.1, 1e-15, e08);
    CHECK_NEAR(per_l(0.5, liquor), 0.025, 1e-15, e08);
}

static void pages_that_slip(void **state)
{
    (void)state;
    /* E04 prints 5 mg of fabric for 5 g: only with grams do its own results come out */
    const char *e04 = "S: E04, textilecalculation 2015/04, with 5 g for its misprint of 5 mg";
    const double dye = stock(owf(5, 0.5), 1), salt = stock(per_l(25, 50), 20);
    const double soda = stock(per_l(10, 50), 20);
    CHECK_NEAR(dye, 2.5, 1e-12, e04);
    CHECK_NEAR(salt, 6.25, 1e-12, e04);
    CHECK_NEAR(soda, 2.5, 1e-12, e04);
    CHECK_NEAR(mdr_liquor_fresh_fill_l(50, 0, dye + salt + soda), 38.75, 1e-12, e04);

    /* E05 labels its mL as g/L, and writes 70 % for 70 g/L */
    const char *e05 = "S: E05, textilelearner 2012/12, in mL for its label g/L";
    CHECK_NEAR(stock(owf(5, 1.122), 1), 5.61, 1e-12, e05);
    CHECK_NEAR(stock(owf(5, 2.014), 1), 10.07, 1e-12, e05);
    CHECK_NEAR(stock(owf(5, 1.486), 1), 7.43, 1e-12, e05);
    CHECK_NEAR(per_l(70, mdr_liquor_wanted_l(5, 8)), 2.8, 1e-12, "D: E05b, 70 g/L x 0.04 L");
    CHECK_NEAR(stock(per_l(5, 40), 20), 1.0, 1e-12, "D: E05c, 0.2 g from 20 %");

    /* E06 forgets one dye (0.5 mL) in its sum: 97.3 printed, 97.8 right */
    const double red = stock(owf(5, 0.2), 1), other = stock(owf(5, 0.1), 1);
    CHECK_NEAR(red, 1, 1e-12, "S: E06a, textilepad 2022/02");
    CHECK_NEAR(other, 0.5, 1e-12, "S: E06a, textilepad 2022/02");
    CHECK_NEAR(per_l(20, 100), 2, 1e-12, "S: E06a, textilepad 2022/02");
    CHECK_NEAR(per_l(8, 100), 0.8, 1e-12, "S: E06a, textilepad 2022/02");
    const double auxiliaries = 0.1 + 0.1;
    const double water = mdr_liquor_fresh_fill_l(100, 0, red + 2 * other + auxiliaries);
    CHECK_NEAR(water, 97.8, 1e-12, "D: E06a corrected, 100 - (1 + 0.5 + 0.5 + 0.1 + 0.1)");
    assert_true(fabs(water - 97.3) > 0.4);
    const double second = stock(owf(5, 0.4), 1) + stock(owf(5, 0.2), 1) + stock(owf(5, 0.4), 1);
    CHECK_NEAR(mdr_liquor_fresh_fill_l(100, 0, second + auxiliaries), 94.8, 1e-12,
               "S: E06b, textilepad 2022/02");
    CHECK_NEAR(per_l(40, 100), 4, 1e-12, "S: E06b");
    CHECK_NEAR(per_l(14, 100), 1.4, 1e-12, "S: E06b");
}

/* E07 prints 7.112 for 7.712 and rounds 0.964 to 1: water 67.454 printed, 66.998 right */
static void bleach_that_slips(void **state)
{
    (void)state;
    const char *e07 = "S: E07, textilecalculations.com bleaching recipe";
    const double liquor = mdr_liquor_wanted_l(9.64, 10);
    static const struct {
        double g_per_l, ml;
    } DOSES[] = {{9, 8.676}, {4.5, 4.338}, {8, 7.712}, {5, 4.82},
                 {1, 0.964}, {1, 0.964},   {1, 0.964}, {1, 0.964}};
    double total = 0;
    for (size_t i = 0; i < N_OF(DOSES); i++) {
        const double ml = stock(per_l(DOSES[i].g_per_l, liquor), 10);
        CHECK_NEAR(ml, DOSES[i].ml, 1e-12, e07);
        total += ml;
    }
    const double water = mdr_liquor_fresh_fill_l(liquor, 0, total);
    CHECK_NEAR(water, 66.998, 1e-12, "D: E07 corrected, 96.4 - 29.402");
    assert_true(fabs(water - 67.454) > 0.4);
}

static void bulk_recipes(void **state)
{
    (void)state;
    const char *e10 = "D: E10, inputs of fibre2fashion 3528";
    CHECK_NEAR(mdr_liquor_ratio_l_per_kg(2400, 160), 15, 0, e10);
    CHECK_NEAR(owf(160, 0.66), 1.056, 1e-12, e10);
    CHECK_NEAR(owf(160, 0.143), 0.2288, 1e-12, e10);
    CHECK_NEAR(owf(160, 0.128), 0.2048, 1e-12, e10);
    CHECK_NEAR(per_l(60, 2400), 144, 1e-12, e10);
    CHECK_NEAR(per_l(15, 2400), 36, 1e-12, e10);
    CHECK_NEAR(owf(100, 4), 4, 1e-12, "S: E11, VFSTR lecture");

    const char *e16 = "D: E16, 1000 kg at ratio 8";
    const double liquor = mdr_liquor_wanted_l(1000, 8);
    CHECK_NEAR(owf(1000, 2), 20, 1e-12, e16);
    CHECK_NEAR(per_l(60, liquor), 480, 1e-12, e16);
    CHECK_NEAR(per_l(15, liquor), 120, 1e-12, e16);
    CHECK_NEAR(per_l(60, liquor) * mdr_strength_decahydrate_factor(), 1088.8, 0.05, e16);

    const double caustic = mdr_strength_delivered(per_l(2, liquor), 50);
    CHECK_NEAR(caustic, 32, 1e-12, "D: E26");
    CHECK_NEAR(mdr_strength_volume_l(caustic, 1.5253), 20.98, 0.005, "D: E26, Perry's density");

    const double peroxide = per_l(3, liquor);
    CHECK_NEAR(peroxide, 24, 1e-12, "D: E27, 3 g/L of the product");
    CHECK_NEAR(mdr_strength_active(peroxide, 50), 12, 1e-12, "D: E27");
    CHECK_NEAR(mdr_strength_volume_l(peroxide, mdr_strength_h2o2_density_kg_per_l(50)), 20.07,
               0.005, "D: E27");
    /* half a mole of oxygen a mole of peroxide, 31.998 g/mol */
    CHECK_NEAR(12 / mdr_substance_molar_g_per_mol(MDR_SUB_H2O2) / 2 * 31.998, 5.645, 0.001,
               "D: E27, kg of oxygen");
    CHECK_NEAR(120 * mdr_dosing_power(0.5, 2), 30, 1e-12, "D: E25, progressive dose");
}

/* Three hydrogen peroxide titres that only need molar masses: g = mL x N x 17.007 / 1000. */
static void peroxide_titration(void **state)
{
    (void)state;
    const double g_per_eq = mdr_substance_molar_g_per_mol(MDR_SUB_H2O2) / 2;
    CHECK_NEAR(g_per_eq, 17.007, 5e-4, "S: 5 H2O2 : 2 MnO4-, two electrons each");
    CHECK_NEAR(0.588 * g_per_eq, 10.0, 0.005, "D: E13, 1 mL of 0.588 N of AATCC 102, mg");
    CHECK_NEAR(21.75 * 0.1 * g_per_eq / 1000 / 0.125 * 100, 29.6, 0.05,
               "D: E09, inputs of textilelearner 2015/02, g in 100 mL");
    CHECK_NEAR(30.3 / mdr_substance_molar_g_per_mol(MDR_SUB_H2O2), 0.89, 0.005, "S: E12, molar");
    CHECK_NEAR(30.3 / g_per_eq, 1.79, 0.01, "S: E12, normal");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(laboratory_recipes), cmocka_unit_test(pages_that_slip),
        cmocka_unit_test(bleach_that_slips),  cmocka_unit_test(bulk_recipes),
        cmocka_unit_test(peroxide_titration),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
