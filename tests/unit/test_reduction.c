#include "t.h"

#include "core/bath/mdr_reduction.h"
#include "core/plan/mdr_records.h"

static double oxygen(double temp_c)
{
    double got = -1;
    assert_int_equal(mdr_reduction_oxygen_mg_per_l(temp_c, &got, NULL), MDR_OK);
    return got;
}

/* APHA Standard Methods (1985), valid 0 .. 40 degC, 1 atm moist air. */
static double apha_mg_per_l(double temp_c)
{
    const double t = temp_c + 273.15;
    return exp(-139.34410 + 1.575701e5 / t - 6.642308e7 / (t * t) + 1.243800e10 / (t * t * t) -
               8.621949e11 / (t * t * t * t));
}

static void oxygen_in_water(void **state)
{
    (void)state;
    static const double ROWS_C[] = {0, 5, 10, 15, 20, 25, 30, 35, 40};
    for (size_t i = 0; i < N_OF(ROWS_C); i++) {
        CHECK_NEAR(oxygen(ROWS_C[i]), apha_mg_per_l(ROWS_C[i]), 0.006, "S: equation of APHA 1985");
    }
    CHECK_NEAR(oxygen(50), apha_mg_per_l(50), 0.02, "M: equation of APHA beyond its range");
    for (int temp_c = 0; temp_c <= 40; temp_c++) {
        CHECK_NEAR(oxygen(temp_c), apha_mg_per_l(temp_c), 0.1, "S: between rows, APHA 1985");
    }
    CHECK_NEAR(oxygen(60), 4.7, 0, "M: standard tables");
    CHECK_NEAR(oxygen(80), 2.8, 0, "M: standard tables");
    CHECK_NEAR(oxygen(100), 0, 0, "D: boiling water holds no air");
    for (int temp_c = 1; temp_c <= 100; temp_c++) {
        assert_true(oxygen(temp_c) < oxygen(temp_c - 1));
    }
    static const double BAD[] = {-0.1, 100.1, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        double got = -7;
        mdr_err err = {0};
        assert_int_equal(mdr_reduction_oxygen_mg_per_l(BAD[i], &got, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "temp_c");
        assert_string_equal(err.allowed, "0 to 100 degC");
        CHECK_NEAR(got, -7, 0, "contract: untouched on error");
    }
}

static void stoichiometry(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_reduction_dithionite_per_oxygen_g_per_g(), 5.44, 0.005, "D: 174.11/31.998");
    CHECK_NEAR(mdr_reduction_naoh_per_oxygen_g_per_g(), 2.50, 0.005, "D: 2 x 39.997/31.998");
    CHECK_NEAR(8 * mdr_reduction_dithionite_per_oxygen_g_per_g(), 44, 0.5,
               "D: water with 8 mg/L takes 44 mg/L");
    CHECK_NEAR(mdr_reduction_dithionite_per_dye_g_per_g(497), 0.35, 5e-4, "D: 174.11/497");
    CHECK_NEAR(mdr_reduction_usual_per_dye_g_per_g(), 0.105, 1e-15, "M: 0.35 x 30 %");
    CHECK_NEAR(mdr_reduction_naoh_per_dithionite_g_per_g(), 0.91889, 1e-5, "D: 4 x 39.997/174.11");
    CHECK_NEAR(mdr_reduction_h2o2_per_dithionite_g_per_g(), 0.58609, 1e-5, "D: 3 x 34.0147/174.11");
    CHECK_NEAR(mdr_reduction_h2o2_per_dye_g_per_g(0.35), 0.06838, 1e-5, "D: 0.35 x 34.0147/174.11");
    /* the same electrons: an oxygen molecule takes four, a dithionite gives two to a quinone */
    CHECK_NEAR(mdr_reduction_h2o2_per_dye_g_per_g(174.11 / 500) * 500, 34.0147, 1e-9,
               "D: one peroxide a quinone");
}

static void air_by_machine(void **state)
{
    (void)state;
    static const struct {
        int kind;
        double g_o2_per_kg_h;
    } ROWS[] = {{MDR_MACHINE_WINCH, 7},
                {MDR_MACHINE_OVERFLOW, 4},
                {MDR_MACHINE_JET, 3.5},
                {MDR_MACHINE_AIRFLOW, 12},
                {MDR_MACHINE_SAMPLE, 6},
                {-1, 0},
                {99, 0}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(mdr_reduction_air_g_o2_per_kg_h(ROWS[i].kind), ROWS[i].g_o2_per_kg_h, 0,
                   "I: to be calibrated");
    }
    CHECK_NEAR(mdr_reduction_air_loss_g_per_l_min(7, 100, 1000) * 60, 3.809, 1e-3,
               "D: 0.7 g O2 in a litre and hour x 5.441");
    CHECK_NEAR(mdr_reduction_heat_per_min(60) * 60, 0.05, 1e-15, "M: 0.05/h at 60 degC");
    CHECK_NEAR(mdr_reduction_heat_per_min(80) * 60, 0.20, 1e-15, "D: doubled twice");
}

/* Fourth-order Runge-Kutta over dD/dt = -a - k D. */
static double by_steps(double d, double a, double k, double minutes)
{
    enum { STEPS = 1000 };
    const double h = minutes / STEPS;
    for (int i = 0; i < STEPS; i++) {
        const double k1 = -a - k * d, k2 = -a - k * (d + h / 2 * k1);
        const double k3 = -a - k * (d + h / 2 * k2), k4 = -a - k * (d + h * k3);
        d += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    return d;
}

static void reserve_over_time(void **state)
{
    (void)state;
    static const double ROWS[][4] = {{5, 0.04, 0.001, 60}, {8, 0.06, 0.004, 90}, {5, 0.04, 0, 60},
                                     {5, 0.04, 1e-12, 60}, {5, 0, 0.01, 120},    {5, 0, 0, 60}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double *r = ROWS[i];
        const double left = mdr_reduction_left_g_per_l(r[0], r[1], r[2], r[3]);
        CHECK_NEAR(left, by_steps(r[0], r[1], r[2], r[3]), 1e-9, "D: Runge-Kutta");
        CHECK_NEAR(mdr_reduction_start_g_per_l(left, r[1], r[2], r[3]), r[0], 1e-12,
                   "D: there and back");
    }
    CHECK_NEAR(mdr_reduction_left_g_per_l(5, 0.04, 0, 60), 2.6, 1e-12, "D: 5 - 0.04 x 60");
    CHECK_NEAR(mdr_reduction_left_g_per_l(5, 0, 0.01, 100), 5 / exp(1), 1e-12, "D: decay alone");
    CHECK_NEAR(mdr_reduction_left_g_per_l(5, 0.04, 0, 126), 0, 0, "contract: never below nothing");
}

static void time_until_spent(void **state)
{
    (void)state;
    static const double ROWS[][3] = {
        {5, 0.04, 0.001}, {5, 0.04, 0}, {5, 0.04, 1e-14}, {8, 0.2, 0.02}, {0, 0.04, 0.001}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        double spent_min = -1;
        assert_true(mdr_reduction_spent_min(ROWS[i][0], ROWS[i][1], ROWS[i][2], &spent_min));
        CHECK_NEAR(by_steps(ROWS[i][0], ROWS[i][1], ROWS[i][2], spent_min), 0, 1e-9,
                   "D: Runge-Kutta up to this minute");
        CHECK_NEAR(mdr_reduction_left_g_per_l(ROWS[i][0], ROWS[i][1], ROWS[i][2], spent_min), 0,
                   1e-12, "D: nothing left then");
    }
    double spent_min = -1;
    assert_true(mdr_reduction_spent_min(5, 0.04, 0, &spent_min));
    CHECK_NEAR(spent_min, 125, 1e-12, "D: 5/0.04");
    spent_min = -7;
    assert_false(mdr_reduction_spent_min(5, 0, 0.01, &spent_min));
    CHECK_NEAR(spent_min, -7, 0, "contract: untouched, never spent");
}

static void budget(void **state)
{
    (void)state;
    /* an overflow machine at 10 L/kg, 1.5 % owf, 60 degC, one hour */
    const mdr_reduction_in in = {
        .dye_g_per_l = 1.5,
        .dithionite_per_dye_g_per_g = mdr_reduction_usual_per_dye_g_per_g(),
        .oxygen_mg_per_l = oxygen(60),
        .air_loss_g_per_l_min = mdr_reduction_air_loss_g_per_l_min(4, 100, 1000),
        .heat_per_min = mdr_reduction_heat_per_min(60),
        .minutes = 60,
        .reserve_g_per_l = MDR_REDUCTION_RESERVE_G_PER_L};
    const mdr_reduction_need got = mdr_reduction_budget(&in);
    CHECK_NEAR(got.water_g_per_l, 0.02557, 1e-5, "D: 4.7 mg x 5.441");
    CHECK_NEAR(got.dye_g_per_l, 0.1575, 1e-12, "D: 1.5 x 0.105");
    CHECK_NEAR(got.air_g_per_l, 2.1765, 1e-4, "D: 0.4 g O2 in a litre and hour x 5.441");
    CHECK_NEAR(got.heat_g_per_l, 0.05127 + 2.1765 * 0.025422, 1e-4,
               "D: (e^0.05 - 1) of the reserve, (e^0.05 - 1)/0.05 - 1 of the air's");
    CHECK_NEAR(got.reserve_g_per_l, 1, 0, "P: 1 g/L");
    CHECK_NEAR(got.total_g_per_l, 3.4662, 1e-3, "D: the five together; 5 g/L are usual (P)");
    CHECK_NEAR(got.water_g_per_l + got.dye_g_per_l + got.air_g_per_l + got.heat_g_per_l +
                   got.reserve_g_per_l,
               got.total_g_per_l, 1e-12, "D: parts add up");
    CHECK_NEAR(mdr_reduction_left_g_per_l(got.total_g_per_l - got.water_g_per_l - got.dye_g_per_l,
                                          in.air_loss_g_per_l_min, in.heat_per_min, 60),
               1, 1e-12, "D: the reserve is left");
    CHECK_NEAR(got.naoh_g_per_l, 39.997 / 174.11 * (2 * (0.02557 + 2.1765) + 4 * 0.1575 + 0.1066),
               1e-4, "D: moles by hand");
    const mdr_reduction_need none = mdr_reduction_budget(&(mdr_reduction_in){0});
    CHECK_NEAR(none.total_g_per_l + none.naoh_g_per_l, 0, 0, "D: nothing asked, nothing given");
}

static void oxidation(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_reduction_oxidant_kg(15, 0.105, 2.5, MDR_REDUCTION_OXIDANT_EXCESS), 3.5458, 1e-4,
               "D: 2 x (15 x 0.020513 + 2.5 x 0.58609)");
    CHECK_NEAR(mdr_reduction_oxidant_kg(0, 0.105, 1, 1), 0.58609, 1e-5, "D: dithionite alone");
    CHECK_NEAR(mdr_reduction_oxidant_kg(10, 0.35, 0, 1), 0.6838, 1e-4, "D: dye alone");
}

static void groups_of_vat_dyes(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double temp_min_c, temp_max_c;
        bool salt, low_caustic;
    } ROWS[] = {
        {"IN", 50, 60, false, false}, {"IW", 45, 50, true, false}, {"IK", 20, 30, true, true}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_vat_group group = MDR_VAT_IN;
        assert_true(mdr_vat_group_of(ROWS[i].text, &group));
        const mdr_vat_window got = mdr_vat_window_of(group);
        CHECK_NEAR(got.temp_min_c, ROWS[i].temp_min_c, 0, "M: window of the group");
        CHECK_NEAR(got.temp_max_c, ROWS[i].temp_max_c, 0, "M: window of the group");
        assert_int_equal(got.salt, ROWS[i].salt);
        assert_int_equal(got.low_caustic, ROWS[i].low_caustic);
    }
    mdr_vat_group group = MDR_VAT_IK;
    static const char *const BAD[] = {"", "in", "IN ", "I", "A", NULL};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_false(mdr_vat_group_of(BAD[i], &group));
        assert_int_equal(group, MDR_VAT_IK);
    }
}

static void groups_of_direct_dyes(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        mdr_direct_salt salt;
        double heat_max_c_per_min;
    } ROWS[] = {{"A", MDR_DIRECT_SALT_ANY, 0},
                {"B", MDR_DIRECT_SALT_PORTIONS, 0},
                {"C", MDR_DIRECT_SALT_PORTIONS, 1}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_direct_group group = MDR_DIRECT_A;
        assert_true(mdr_direct_group_of(ROWS[i].text, &group));
        const mdr_direct_way got = mdr_direct_way_of(group);
        assert_int_equal(got.salt, ROWS[i].salt);
        CHECK_NEAR(got.heat_max_c_per_min, ROWS[i].heat_max_c_per_min, 0, "P: slowest for class C");
    }
    mdr_direct_group group = MDR_DIRECT_C;
    static const char *const BAD[] = {"", "a", "D", "AB", "IN", NULL};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_false(mdr_direct_group_of(BAD[i], &group));
        assert_int_equal(group, MDR_DIRECT_C);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(oxygen_in_water),
        cmocka_unit_test(stoichiometry),
        cmocka_unit_test(air_by_machine),
        cmocka_unit_test(reserve_over_time),
        cmocka_unit_test(time_until_spent),
        cmocka_unit_test(budget),
        cmocka_unit_test(oxidation),
        cmocka_unit_test(groups_of_vat_dyes),
        cmocka_unit_test(groups_of_direct_dyes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
