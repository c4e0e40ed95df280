#include "t.h"

#include "core/bath/mdr_sequester.h"

static const struct {
    const char *name;
    double molar_g_per_mol, mmol_per_g, mg_caco3_per_g, mg_ca_per_g, mg_mg_per_g;
} CHELANTS[] = {{"EDTA H4", 292.243, 3.422, 342.5, 137.1, 83.2},
                {"EDTA Na2H2.2H2O", 372.24, 2.686, 268.9, 107.7, 65.3},
                {"EDTA Na4", 380.17, 2.630, 263.3, 105.4, 63.9},
                {"DTPA Na5", 503.26, 1.987, 198.9, 79.6, 48.3},
                {"NTA Na3", 257.08, 3.890, 389.3, 155.9, 94.5},
                {"NTA Na3.H2O", 275.1, 3.635, 363.8, 145.7, 88.3}};

static void one_to_one(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(CHELANTS); i++) {
        const double capacity =
            mdr_sequester_capacity_1to1_mg_caco3_per_g(CHELANTS[i].molar_g_per_mol);
        const mdr_hardness held = mdr_sequester_bound(1, capacity);
        CHECK_NEAR(capacity, CHELANTS[i].mg_caco3_per_g, 0.051, CHELANTS[i].name);
        CHECK_NEAR(held.mmol_per_l, CHELANTS[i].mmol_per_g, 5.1e-4, CHELANTS[i].name);
        CHECK_NEAR(mdr_hardness_in(held, MDR_HARD_MG_CA_PER_L), CHELANTS[i].mg_ca_per_g, 0.051,
                   CHELANTS[i].name);
        CHECK_NEAR(mdr_hardness_in(held, MDR_HARD_MG_MG_PER_L), CHELANTS[i].mg_mg_per_g, 0.051,
                   CHELANTS[i].name);
    }
}

static void out_of_the_cotton(void **state)
{
    (void)state;
    const double fabric = mdr_sequester_fabric_mmol_per_kg(1000, 1000);
    CHECK_NEAR(fabric, 66.09514, 5e-6, "D: 1000/40.078 + 1000/24.305");
    CHECK_NEAR(mdr_sequester_fabric_mmol_per_kg(400, 0), 9.98054, 5e-6, "D: 400/40.078");
    CHECK_NEAR(mdr_sequester_fabric_mmol_per_kg(0, 400), 16.45752, 5e-6, "D: 400/24.305");
    const mdr_hardness all = mdr_sequester_released(fabric, 1, 10);
    CHECK_NEAR(mdr_hardness_in(all, MDR_HARD_PPM_CACO3), 661.5, 0.05,
               "D: 100 mg/L of each x (2.4973 + 4.1180); the handbook rounds to 660");
    CHECK_NEAR(mdr_hardness_in(all, MDR_HARD_DH), 37, 0.1, "D: handbook, 37 dH");
    const mdr_hardness acid = mdr_sequester_released(fabric, MDR_SEQUESTER_RELEASED_ACID, 8);
    CHECK_NEAR(acid.mmol_per_l, 5.78332, 6e-6, "D: 66.09514 x 0.7 / 8");
    CHECK_NEAR(mdr_sequester_fabric_left_mmol_per_kg(fabric, MDR_SEQUESTER_RELEASED_ACID), 19.82854,
               5e-6, "D: 66.09514 x 0.3");
}

/* Released in one bath after another, nothing is lost or made. */
static void metal_closes(void **state)
{
    (void)state;
    static const double PART[] = {MDR_SEQUESTER_RELEASED_ACID, MDR_SEQUESTER_RELEASED_HOT_ALKALI,
                                  MDR_SEQUESTER_RELEASED_OTHER};
    const double start = mdr_sequester_fabric_mmol_per_kg(800, 650), ratio = 7.3;
    double fabric = start, liquor = 0;
    for (size_t i = 0; i < N_OF(PART); i++) {
        liquor += mdr_sequester_released(fabric, PART[i], ratio).mmol_per_l * ratio;
        fabric = mdr_sequester_fabric_left_mmol_per_kg(fabric, PART[i]);
        CHECK_NEAR(fabric + liquor, start, 1e-12, "D: mass balance");
    }
    CHECK_NEAR(fabric, start * 0.3 * 0.7 * 0.95, 1e-12, "P: the parts of the three baths");
}

static void held_and_free(void **state)
{
    (void)state;
    const mdr_hardness water = mdr_hardness_of(4, MDR_HARD_DH);
    const mdr_hardness total = mdr_sequester_total(water, (mdr_hardness){2.0});
    CHECK_NEAR(total.mmol_per_l, 2.71330, 5e-6, "D: 40/56.0774 + 2");
    const mdr_hardness bound = mdr_sequester_bound(1.5, 120);
    CHECK_NEAR(mdr_hardness_in(bound, MDR_HARD_PPM_CACO3), 180, 1e-12, "D: 1.5 x 120");
    CHECK_NEAR(bound.mmol_per_l, 1.79844, 5e-6, "D: 180/100.0869");
    CHECK_NEAR(mdr_sequester_free(total, bound).mmol_per_l, 0.91486, 1e-5, "D: the difference");
    CHECK_NEAR(mdr_sequester_free(bound, total).mmol_per_l, 0, 0, "contract: never negative");
    CHECK_NEAR(mdr_sequester_need_g_per_l(total, water, 120), 1.668115, 5e-7,
               "D: 2 x 100.0869/120");
    CHECK_NEAR(mdr_sequester_need_g_per_l(water, total, 120), 0, 0, "contract: none needed");
    CHECK_NEAR(mdr_sequester_need_g_per_l(water, water, 120), 0, 0, "contract: none needed");
}

/* The need, dosed, leaves exactly what was allowed. */
static void need_is_inverse(void **state)
{
    (void)state;
    const mdr_hardness allowed = mdr_hardness_of(MDR_SEQUESTER_REMARK_DH, MDR_HARD_DH);
    for (double dh = 3.5; dh < 60; dh *= 1.4) {
        for (double capacity = 40; capacity < 500; capacity *= 1.7) {
            const mdr_hardness total = mdr_hardness_of(dh, MDR_HARD_DH);
            const double need = mdr_sequester_need_g_per_l(total, allowed, capacity);
            const mdr_hardness left =
                mdr_sequester_free(total, mdr_sequester_bound(need, capacity));
            CHECK_NEAR(mdr_hardness_in(left, MDR_HARD_DH), 3, 1e-12, "D: inverse");
        }
    }
    CHECK_NEAR(MDR_SEQUESTER_WARNING_DH, 5, 0, "P: free hardness of a bath below 3 to 5 dH");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_to_one), cmocka_unit_test(out_of_the_cotton),
        cmocka_unit_test(metal_closes), cmocka_unit_test(held_and_free),
        cmocka_unit_test(need_is_inverse)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
