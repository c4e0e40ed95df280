#include "t.h"

#include "core/bath/mdr_rope.h"

static const struct {
    double kg, gsm, width_m, tubes, m_per_min;
    double fabric_m, rope_m, cycle_min;
    double tol_m, tol_rope_m, tol_min;
    const char *src;
} LOADS[] = {
    {500, 180, 1.80, 4, 250, 1543.2, 385.8, 1.54, 0.05, 0.05, 0.005,
     "D: 500 000/(180 x 1.80) = 1543.2; /4; /250"},
    {1000, 160, 1.80, 4, 300, 3472.2, 868.1, 2.894, 0.05, 0.05, 5e-4, "D: E17"},
    {1, 1000, 1, 1, 1, 1, 1, 1, 0, 0, 0, "D: 1 kg of 1 kg/m2, 1 m wide, is 1 m"},
};

static void printed_examples(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(LOADS); i++) {
        const double fabric_m = mdr_rope_fabric_m(LOADS[i].kg, LOADS[i].gsm, LOADS[i].width_m);
        const double rope_m = mdr_rope_per_tube_m(fabric_m, LOADS[i].tubes);
        CHECK_NEAR(fabric_m, LOADS[i].fabric_m, LOADS[i].tol_m, LOADS[i].src);
        CHECK_NEAR(rope_m, LOADS[i].rope_m, LOADS[i].tol_rope_m, LOADS[i].src);
        CHECK_NEAR(mdr_rope_cycle_min(rope_m, LOADS[i].m_per_min), LOADS[i].cycle_min,
                   LOADS[i].tol_min, LOADS[i].src);
    }
}

static void inverses(void **state)
{
    (void)state;
    for (double kg = 5; kg < 3000; kg *= 1.7) {
        for (double tubes = 1; tubes <= 8; tubes++) {
            const double rope_m = mdr_rope_per_tube_m(mdr_rope_fabric_m(kg, 210, 1.7), tubes);
            CHECK_NEAR(mdr_rope_load_kg(rope_m, tubes, 210, 1.7) / kg, 1, 1e-15, "D: inverse");
            const double min = mdr_rope_cycle_min(rope_m, 280);
            CHECK_NEAR(mdr_rope_speed_m_per_min(rope_m, min) / 280, 1, 1e-15, "D: inverse");
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(printed_examples),
                                       cmocka_unit_test(inverses)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
