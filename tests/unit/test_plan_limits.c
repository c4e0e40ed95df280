/* From where on the plan remarks: each limit with a value on either side of it. A mill that judges
 * otherwise changes the limit in mdr_planner.h, the row here and docs/methods. */
#include "t.h"

#include "plan_kit.h"

enum { NONE = -1 };

/* Rope cycles of a dose; P: docs/methods/time.md#dose-cycles. */
static const struct {
    const char *material;
    double turns;
    int warning; /* NONE: none of the two */
} DOSES[] = {
    {"soda", 2.99, MDR_WARN_DOSE_CYCLES},
    {"soda", 3.01, MDR_WARN_DOSE_FEW},
    {"soda", 9.99, MDR_WARN_DOSE_FEW},
    {"soda", 10.01, NONE},
    {"salt", 9.99, MDR_WARN_DOSE_FEW},
    {"dye", 9.99, MDR_WARN_DOSE_FEW},
    {"soap", 1.0, NONE}, /* does not strike */
};

static void turns_of_a_dose(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(DOSES); i++) {
        kit_bench b;
        const mdr_route_item item = kit_item(DOSES[i].material, MDR_BASIS_G_PER_L, 1);
        mdr_route_step steps[] = {kit_fill(40), kit_dose(&item, 30), kit_drain()};
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
        kit_bench_bath(&b, steps, 3);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        const double turn_min = kit_bench_value(&b, b.plan->cycle_min);
        kit_bench_free(&b);

        steps[1] = kit_dose(&item, DOSES[i].turns * turn_min);
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
        kit_bench_bath(&b, steps, 3);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        const bool least = kit_bench_warned(&b, MDR_WARN_DOSE_CYCLES) != NULL;
        const bool few = kit_bench_warned(&b, MDR_WARN_DOSE_FEW) != NULL;
        if (least != (DOSES[i].warning == MDR_WARN_DOSE_CYCLES) ||
            few != (DOSES[i].warning == MDR_WARN_DOSE_FEW)) {
            fail_msg("%s over %g turns: too few %d, few %d. The limits stand in mdr_planner.h and "
                     "docs/methods/time.md#dose-cycles; when one is meant to change, all three do",
                     DOSES[i].material, DOSES[i].turns, least, few);
        }
        kit_bench_free(&b);
    }
}

/* Temperature of an open dose, C; P: splashes and boils up above. */
static void hot_doses(void **state)
{
    (void)state;
    static const struct {
        double temp_c;
        bool hot, scalds;
    } ROWS[] = {{59.9, false, false}, {60, false, true}, {85, false, true}, {85.1, true, true}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        kit_bench b;
        const mdr_route_item item = kit_item("soap", MDR_BASIS_G_PER_L, 1);
        const mdr_route_step steps[] = {kit_fill(40), kit_heat(ROWS[i].temp_c, 2),
                                        kit_dose(&item, 30), kit_cool(50, 1), kit_drain()};
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
        kit_bench_bath(&b, steps, 5);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        assert_int_equal(kit_bench_warned(&b, MDR_WARN_DOSE_HOT) != NULL, ROWS[i].hot);
        const uint32_t cautions = b.plan->baths[0].steps[2].cautions;
        assert_int_equal((cautions & 1u << MDR_CAUTION_HOT_LIQUOR) != 0, ROWS[i].scalds);
        kit_bench_free(&b);
    }
}

/* Cooling, C/min; P: faster than 2 above 70 C sets creases. */
static void quick_cooling(void **state)
{
    (void)state;
    static const struct {
        double from_c, rate_c_per_min;
        bool creases;
    } ROWS[] = {{80, 2.0, false}, {80, 2.1, true}, {70, 2.1, false}, {70.5, 2.1, true}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        kit_bench b;
        const mdr_route_step steps[] = {kit_fill(40), kit_heat(ROWS[i].from_c, 2),
                                        kit_cool(60, ROWS[i].rate_c_per_min), kit_drain()};
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
        b.machine.exchanger_kw_per_k = 100; /* reaches what is asked */
        kit_bench_bath(&b, steps, 4);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        if ((kit_bench_warned(&b, MDR_WARN_COOL_FAST) != NULL) != ROWS[i].creases) {
            fail_msg("from %g degC at %g degC/min", ROWS[i].from_c, ROWS[i].rate_c_per_min);
        }
        kit_bench_free(&b);
    }
}

/* Tank loads of one dose: 800 L each; P: more than six deserve a remark. */
static void many_tank_loads(void **state)
{
    (void)state;
    for (int loads = 6; loads <= 7; loads++) {
        kit_bench b;
        const mdr_route_item item = kit_item("soda", MDR_BASIS_KG_PER_LOAD, 0);
        mdr_route_item heavy = item;
        mdr_route_step steps[] = {kit_fill(40), kit_dose(&heavy, 240), kit_drain()};
        const mdr_material *soda = kit_material("soda");
        heavy.amount = (loads * 800.0 - 1.0) * soda->solubility_g_per_l / 1000.0;
        kit_bench_ready(&b, 1000, 11, MDR_CLASS_REACTIVE);
        kit_bench_bath(&b, steps, 3);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        assert_int_equal((int)kit_bench_value(&b, b.plan->baths[0].steps[1].tank_loads), loads);
        assert_int_equal(kit_bench_warned(&b, MDR_WARN_TANK_MANY) != NULL, loads > 6);
        kit_bench_free(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(turns_of_a_dose),
                                       cmocka_unit_test(hot_doses), cmocka_unit_test(quick_cooling),
                                       cmocka_unit_test(many_tank_loads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
