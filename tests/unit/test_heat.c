#include "t.h"

#include "core/bath/mdr_heat.h"
#include "core/units/mdr_steam.h"

static void heat_capacity(void **state)
{
    (void)state;
    const double c = mdr_heat_capacity_kj_per_k(1000, 8000, 0);
    CHECK_NEAR(c, 1340 + 33440, 1e-9, "D: E20, 1000 kg cotton and 8000 kg water");
    CHECK_NEAR(c * 40, 1391200, 1e-6, "D: E20, kJ from 20 to 60 degC");
    CHECK_NEAR(mdr_heat_steam_kg(c, 40, mdr_steam_hfg_kj_per_kg(4)), 660.1, 0.05, "D: E20");
    CHECK_NEAR(mdr_heat_steam_kg_per_h(c, 3, mdr_steam_hfg_kj_per_kg(4)), 2970, 1, "D: E21");
    CHECK_NEAR(mdr_heat_steam_kg_per_h(c, 3, mdr_steam_hfg_kj_per_kg(4)) / 60, 49.51, 0.005,
               "D: E21, a minute");
    CHECK_NEAR(mdr_heat_capacity_kj_per_k(0, 0, 2000), 1000, 0, "D: 2 t of steel");
    CHECK_NEAR(mdr_heat_steam_kw(3600, 2100), 2100, 0, "D: 1 kg/s");
}

static void mixing(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_heat_mixed_c(418, 20, 100, 60), 40, 1e-13, "D: equal heat, middle temperature");
    CHECK_NEAR(mdr_heat_mixed_c(0, 99, 100, 60), 60, 1e-13, "D: an empty vessel has no say");
    CHECK_NEAR(mdr_heat_mixed_c(500, 25, 0, 60), 25, 1e-13, "D: no water, no change");
    for (double wanted = 25; wanted < 95; wanted += 7) {
        for (double t0 = 15; t0 < 90; t0 += 11) {
            const double water_c = mdr_heat_water_c(2340, t0, 5500, wanted);
            CHECK_NEAR(mdr_heat_mixed_c(2340, t0, 5500, water_c), wanted, 1e-12, "D: inverse");
        }
    }
}

/* The heat that left one side has come to the other. */
static void mixing_keeps_the_heat(void **state)
{
    (void)state;
    const double c = mdr_heat_capacity_kj_per_k(850, 2100, 3000);
    const double mixed_c = mdr_heat_mixed_c(c, 78, 4900, 14);
    CHECK_NEAR(c * (78 - mixed_c), 4900 * 4.18 * (mixed_c - 14), 1e-7, "D: heat balance");
}

static void exchanger_with_pump(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_heat_effective_kw_per_k(20, 0), 20, 0, "contract: 0 is not limiting");
    CHECK_NEAR(mdr_heat_effective_kw_per_k(20, 1e9), 20, 1e-5, "D: endless flow");
    CHECK_NEAR(mdr_heat_effective_kw_per_k(1e6, 6000), 418, 1e-9, "D: endless area, all the flow");
    CHECK_NEAR(mdr_heat_effective_kw_per_k(418, 6000), 418 * 0.632120558828558, 1e-10,
               "D: NTU = 1: 1 - 1/e");
    double before = 0;
    for (double flow = 10; flow < 1e5; flow *= 1.5) {
        const double now = mdr_heat_effective_kw_per_k(35, flow);
        assert_true(now > before && now < 35);
        before = now;
    }
}

static mdr_heat_ramp ramp_of(mdr_heat_ramp_in in)
{
    return mdr_heat_ramp_make(&in);
}

static void closed_form(void **state)
{
    (void)state;
    const mdr_heat_ramp ramp = ramp_of((mdr_heat_ramp_in){.from_c = 20,
                                                          .to_c = 120,
                                                          .capacity_kj_per_k = 34780,
                                                          .ua_kw_per_k = 20,
                                                          .medium_c = 151.94});
    CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, 10), 58.50, 0.005,
               "D: 151.94 - 131.94 exp(-20 x 600/34780)");
    assert_int_equal(ramp.limit, MDR_HEAT_LIMIT_EXCHANGER);
    CHECK_NEAR(ramp.constant_min, 0, 0, "D: no rate asked for, none held");
    CHECK_NEAR(ramp.minutes, 28.98333333333333 * log(131.94 / 31.94), 1e-9,
               "D: C/UA ln((Ts - T0)/(Ts - T1))");
}

static void limits_one_by_one(void **state)
{
    (void)state;
    mdr_heat_ramp_in in = {.from_c = 40,
                           .to_c = 60,
                           .rate_c_per_min = 2,
                           .capacity_kj_per_k = 30000,
                           .ua_kw_per_k = 20,
                           .medium_c = 150};
    mdr_heat_ramp ramp = ramp_of(in);
    /* at 60 the exchanger could do 20*90/30000*60 = 3.6 degC/min */
    assert_int_equal(ramp.limit, MDR_HEAT_AS_ASKED);
    CHECK_NEAR(ramp.minutes, 10, 1e-12, "D: 20 degC at 2 degC/min");
    CHECK_NEAR(ramp.constant_min, 10, 1e-12, "D: all of it");
    CHECK_NEAR(ramp.takeover_c, 60, 0, "contract: end_c when it never takes over");

    in.medium_max_kw = 500; /* 500/30000*60 = 1 degC/min */
    ramp = ramp_of(in);
    assert_int_equal(ramp.limit, MDR_HEAT_LIMIT_VALVE);
    CHECK_NEAR(ramp.minutes, 20, 1e-12, "D: 20 degC at 1 degC/min");
    CHECK_NEAR(ramp.rate_c_per_min, 1, 1e-15, "D: 500 kW on 30 MJ/K");
    in.rate_c_per_min = 0;
    CHECK_NEAR(ramp_of(in).minutes, 20, 1e-12, "contract: 0 is as fast as can be");

    in.medium_max_kw = 0;
    in.rate_c_per_min = 3;
    in.to_c = 110; /* takes over where 20*gap/30000*60 = 3: gap 75, 75 degC */
    ramp = ramp_of(in);
    assert_int_equal(ramp.limit, MDR_HEAT_LIMIT_EXCHANGER);
    CHECK_NEAR(ramp.takeover_c, 75, 1e-12, "D: where both rates are equal");
    CHECK_NEAR(ramp.constant_min, 35.0 / 3, 1e-12, "D: 40 to 75 at 3");
    CHECK_NEAR(ramp.minutes, 35.0 / 3 + 25 * log(75.0 / 40), 1e-12, "D: then exponential");
}

static void out_of_reach(void **state)
{
    (void)state;
    mdr_heat_ramp_in in = {.from_c = 60,
                           .to_c = 130,
                           .rate_c_per_min = 3,
                           .capacity_kj_per_k = 30000,
                           .ua_kw_per_k = 20,
                           .medium_c = 120};
    mdr_heat_ramp ramp = ramp_of(in);
    assert_false(ramp.reachable);
    assert_int_equal(ramp.limit, MDR_HEAT_LIMIT_EXCHANGER);
    CHECK_NEAR(ramp.end_c, 119, 0, "contract: MDR_HEAT_APPROACH_K below the steam");
    assert_true(ramp.minutes > 0 && isfinite(ramp.minutes));
    in.to_c = 119.5;
    assert_false(ramp_of(in).reachable);
    in.to_c = 119;
    assert_true(ramp_of(in).reachable);
    CHECK_NEAR(ramp_of(in).minutes, ramp.minutes, 1e-12, "D: the same way");

    /* even when the valve alone sets the pace all the way, the exchanger is why it is not reached */
    in.to_c = 130;
    in.medium_max_kw = 5; /* 0.01 degC/min; the exchanger gives 0.04 at 1 degC */
    assert_false(ramp_of(in).reachable);
    assert_int_equal(ramp_of(in).limit, MDR_HEAT_LIMIT_EXCHANGER);
    CHECK_NEAR(ramp_of(in).minutes, 5900, 1e-8, "D: 59 degC at 5/30000*60 degC/min");
    in.medium_max_kw = 0;

    in.from_c = 125; /* already hotter than the steam: nothing happens */
    in.to_c = 128;
    ramp = ramp_of(in);
    assert_false(ramp.reachable);
    CHECK_NEAR(ramp.minutes, 0, 0, "D: no driving force");
    CHECK_NEAR(ramp.end_c, 125, 0, "D: stays where it is");
    CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, 5), 125, 0, "D: stays where it is");

    in.to_c = in.from_c = 125; /* asked to stay: no heat needed */
    assert_true(ramp_of(in).reachable);
    CHECK_NEAR(ramp_of(in).minutes, 0, 0, "D: nothing to do");

    /* cooling below the cooling water */
    in = (mdr_heat_ramp_in){.from_c = 98,
                            .to_c = 20,
                            .rate_c_per_min = 2,
                            .capacity_kj_per_k = 30000,
                            .ua_kw_per_k = 20,
                            .medium_c = 22};
    ramp = ramp_of(in);
    assert_false(ramp.reachable);
    CHECK_NEAR(ramp.end_c, 23, 0, "contract: MDR_HEAT_APPROACH_K above the water");
}

/* Heating from 40 and cooling from -40 through mirrored temperatures are the same ramp. */
static void cooling_mirrors_heating(void **state)
{
    (void)state;
    mdr_heat_ramp_in in = {.from_c = 40,
                           .to_c = 110,
                           .rate_c_per_min = 3,
                           .capacity_kj_per_k = 30000,
                           .ua_kw_per_k = 20,
                           .medium_c = 150,
                           .medium_max_kw = 1600};
    const mdr_heat_ramp up = ramp_of(in);
    in.from_c = -40;
    in.to_c = -110;
    in.medium_c = -150;
    const mdr_heat_ramp down = ramp_of(in);
    CHECK_NEAR(down.minutes, up.minutes, 0, "D: symmetry");
    CHECK_NEAR(down.takeover_c, -up.takeover_c, 0, "D: symmetry");
    for (double t = 0; t < up.minutes + 2; t += 0.7) {
        CHECK_NEAR(mdr_heat_ramp_temp_c(&down, t), -mdr_heat_ramp_temp_c(&up, t), 0, "D: symmetry");
    }
}

static void overflow_rinse_cools(void **state)
{
    (void)state;
    /* water only: the bath takes on the dilution of E19 */
    CHECK_NEAR(mdr_heat_rinse_end_c(8000 * 4.18, 80, 20, 200, 20), 20 + 60 * 0.60653, 3e-4,
               "D: E19, exp(-Q t/V) when only liquor holds heat");
    CHECK_NEAR(mdr_heat_rinse_end_c(40000, 80, 20, 0, 20), 80, 0, "D: no water, no change");
    CHECK_NEAR(mdr_heat_rinse_end_c(40000, 80, 20, 1e6, 1e3), 20, 1e-12, "D: for ever");
    const double half = mdr_heat_rinse_end_c(40000, 80, 20, 200, 10);
    CHECK_NEAR(mdr_heat_rinse_end_c(40000, half, 20, 200, 10),
               mdr_heat_rinse_end_c(40000, 80, 20, 200, 20), 1e-12, "D: one after the other");
}

/* cold water let in drop by drop, one drop out for each: many small mixings */
static void overflow_rinse_is_limit_of_mixings(void **state)
{
    (void)state;
    const double c = mdr_heat_capacity_kj_per_k(600, 4200, 2500);
    const int n = 200000;
    double temp_c = 75;
    for (int i = 0; i < n; i++) {
        const double drop_l = 150.0 * 12 / n;
        temp_c += drop_l * MDR_HEAT_WATER_KJ_PER_KG_K * (15 - temp_c) / c;
    }
    CHECK_NEAR(mdr_heat_rinse_end_c(c, 75, 15, 150, 12), temp_c, 1e-4, "D: limit of small steps");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heat_capacity),
        cmocka_unit_test(mixing),
        cmocka_unit_test(mixing_keeps_the_heat),
        cmocka_unit_test(exchanger_with_pump),
        cmocka_unit_test(closed_form),
        cmocka_unit_test(limits_one_by_one),
        cmocka_unit_test(out_of_reach),
        cmocka_unit_test(cooling_mirrors_heating),
        cmocka_unit_test(overflow_rinse_cools),
        cmocka_unit_test(overflow_rinse_is_limit_of_mixings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
