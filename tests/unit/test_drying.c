#include "t.h"

#include <string.h>

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_psychro.h"

static const mdr_drying_in WORKED = {.dry_gsm = 165.9,
                                     .moisture_in_kg_per_kg = 0.70,
                                     .moisture_out_kg_per_kg = 0.07,
                                     .critical_kg_per_kg = 0.25,
                                     .equilibrium_kg_per_kg = 0.01,
                                     .air_c = 150,
                                     .air_kg_per_kg = 0.10,
                                     .pressure_pa = MDR_PSYCHRO_ATM_PA,
                                     .h_w_per_m2_k = 30};

static mdr_drying time_of(const mdr_drying_in *in)
{
    mdr_drying out;
    mdr_err err;
    assert_int_equal(mdr_drying_time(in, &out, &err), MDR_OK);
    return out;
}

static void worked_table(void **state)
{
    (void)state;
    static const struct {
        double h, rate, s, speed;
    } ROWS[] = {{30, 8.3, 56.3, 25.6}, {60, 16.6, 28.1, 51}, {110, 30.5, 15.3, 94}};
    const char *src = "D: computed apart with 2.36 MJ/kg, here 2.363 at the wet bulb";
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_drying_in in = WORKED;
        in.h_w_per_m2_k = ROWS[i].h;
        const mdr_drying d = time_of(&in);
        CHECK_NEAR(d.rate_kg_per_m2_h, ROWS[i].rate, 0.05 + 0.002 * ROWS[i].rate, src);
        CHECK_NEAR(d.total_s, ROWS[i].s, 0.11, src);
        const mdr_oven oven = {.length_m = 24,
                               .speed_min_m_per_min = 5,
                               .speed_max_m_per_min = 120,
                               .drying_s = d.total_s};
        mdr_speed v;
        assert_int_equal(mdr_drying_speed(&oven, &v, NULL), MDR_OK);
        CHECK_NEAR(v.evaporation_m_per_min, ROWS[i].speed, 0.3, src);
    }
    const mdr_drying d = time_of(&WORKED);
    CHECK_NEAR(d.rate_kg_per_m2_h, 8.31, 0.02, src);
    CHECK_NEAR(d.constant_s, 32.3, 0.1, src);
    CHECK_NEAR(d.falling_s, 23.9, 0.1, src);
    CHECK_NEAR(d.wet_bulb_c, 59.2, 0.051, "D");
    CHECK_NEAR(d.latent_kj_per_kg, 2501 - 2.326 * d.wet_bulb_c, 1e-9, "D");
    CHECK_NEAR(d.rate_kg_per_m2_h, 60 * (150 - d.wet_bulb_c) / d.latent_kj_per_kg * 3.6, 1e-9,
               "D: two faces, W over kJ/kg");
    CHECK_NEAR(d.constant_s, 0.1659 * 0.45 / d.rate_kg_per_m2_h * 3600, 1e-9, "D");
    CHECK_NEAR(d.falling_s, 0.1659 * 0.24 / d.rate_kg_per_m2_h * 3600 * log(4), 1e-9,
               "D: ln(0.24/0.06)");
}

/* The two periods integrated step by step, second order. */
static void against_integration(void **state)
{
    (void)state;
    const mdr_drying d = time_of(&WORKED);
    const double per_s = d.rate_kg_per_m2_h / 3600 / 0.1659, dt = d.total_s / 200000;
    double x = 0.70;
    for (int i = 0; i < 200000; i++) {
        const double k1 = per_s * fmin(1, (x - 0.01) / 0.24);
        const double k2 = per_s * fmin(1, (x - 0.5 * dt * k1 - 0.01) / 0.24);
        x -= dt * k2;
    }
    CHECK_NEAR(x, 0.07, 1e-8, "D: dX/dt = -N/Ls min(1, (X - Xe)/(Xc - Xe))");
}

static void one_period_only(void **state)
{
    (void)state;
    mdr_drying_in in = WORKED;
    in.moisture_out_kg_per_kg = 0.30;
    const mdr_drying wet = time_of(&in);
    const double per = 0.1659 / wet.rate_kg_per_m2_h * 3600;
    CHECK_NEAR(wet.falling_s, 0, 0, "D: never below the critical moisture");
    CHECK_NEAR(wet.constant_s, per * 0.40, 1e-9, "D");
    in = WORKED;
    in.moisture_in_kg_per_kg = 0.20;
    const mdr_drying damp = time_of(&in);
    CHECK_NEAR(damp.constant_s, 0, 0, "D: never above the critical moisture");
    CHECK_NEAR(damp.falling_s, per * 0.24 * log(0.19 / 0.06), 1e-9, "D");
    in = WORKED; /* two ovens in a row take as long as one */
    in.moisture_out_kg_per_kg = 0.18;
    const double first = time_of(&in).total_s;
    in.moisture_in_kg_per_kg = 0.18;
    in.moisture_out_kg_per_kg = 0.07;
    CHECK_NEAR(first + time_of(&in).total_s, time_of(&WORKED).total_s, 1e-10, "D");
}

static void moisture_after_some_time(void **state)
{
    (void)state;
    mdr_drying_in in = WORKED;
    for (double x = 0.015; x < 0.69; x += 0.015) {
        in.moisture_out_kg_per_kg = x;
        double back = 0;
        assert_int_equal(mdr_drying_moisture_after(&in, time_of(&in).total_s, &back, NULL), MDR_OK);
        CHECK_NEAR(back, x, 1e-13, "D: inverse");
    }
    double x = 0;
    assert_int_equal(mdr_drying_moisture_after(&in, 0, &x, NULL), MDR_OK);
    CHECK_NEAR(x, 0.70, 0, "D: no time, nothing gone");
    in.moisture_in_kg_per_kg = 0.2;
    assert_int_equal(mdr_drying_moisture_after(&in, 0, &x, NULL), MDR_OK);
    CHECK_NEAR(x, 0.20, 1e-15, "D: also below the critical moisture");
    assert_int_equal(mdr_drying_moisture_after(&in, 1e5, &x, NULL), MDR_OK);
    CHECK_NEAR(x, 0.01, 1e-15, "D: and never below the equilibrium");
}

static void fitted(void **state)
{
    (void)state;
    for (double h = 10; h < 200; h *= 1.37) {
        mdr_drying_in in = WORKED;
        in.h_w_per_m2_k = h;
        const double entry_s = 3, speed = 60 * 24 / (time_of(&in).total_s + entry_s);
        double got = 0;
        in.h_w_per_m2_k = (double)NAN; /* contract: not looked at */
        assert_int_equal(mdr_drying_fit_h(&in, 24, speed, entry_s, &got, NULL), MDR_OK);
        CHECK_NEAR(got, h, 1e-11 * h, "D: the run that this h gives");
    }
    double got = 4711;
    mdr_err err;
    /* 24 m at 480 m/min are 3 s */
    assert_int_equal(mdr_drying_fit_h(&WORKED, 24, 480, 3, &got, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "speed_m_per_min");
    assert_int_equal(mdr_drying_fit_h(&WORKED, 24, 400, 3, &got, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "h_w_per_m2_k");
    assert_true(err.value[0] != '\0' && err.allowed[0] != '\0');
    assert_int_equal(mdr_drying_fit_h(&WORKED, 100, 5, 3, &got, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "h_w_per_m2_k");
    assert_int_equal(mdr_drying_fit_h(&WORKED, 0, 20, 3, &got, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "oven_m");
    assert_int_equal(mdr_drying_fit_h(&WORKED, 24, 0, 3, &got, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "speed_m_per_min");
    assert_int_equal(mdr_drying_fit_h(&WORKED, 24, 20, 61, &got, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "entry_s");
    mdr_drying_in in = WORKED;
    in.moisture_out_kg_per_kg = 0.01;
    assert_int_equal(mdr_drying_fit_h(&in, 24, 20, 3, &got, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "moisture_out_kg_per_kg");
    CHECK_NEAR(got, 4711, 0, "contract: untouched");
}

static void warming(void **state)
{
    (void)state;
    mdr_drying_in in = WORKED;
    in.air_c = 195;
    double s = 0;
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 60, 185, &s, NULL), MDR_OK);
    CHECK_NEAR(s, 0.1659 * 1340 / 60 * log(13.5), 1e-10, "D: tau ln(135/10), dry");
    double wet = 0, half = 0, rest = 0;
    assert_int_equal(mdr_drying_warm_up_s(&in, 0.7, 60, 185, &wet, NULL), MDR_OK);
    CHECK_NEAR(wet / s, (1.34 + 4.19 * 0.7) / 1.34, 1e-12, "D: water is warmed too");
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 60, 120, &half, NULL), MDR_OK);
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 120, 185, &rest, NULL), MDR_OK);
    CHECK_NEAR(half + rest, s, 1e-12, "D: in two steps as long as in one");
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 190, 185, &s, NULL), MDR_OK);
    CHECK_NEAR(s, 0, 0, "D: warm already");
    mdr_err err;
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 60, 195, &s, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "to_c");
    assert_int_equal(mdr_drying_warm_up_s(&in, -1, 60, 185, &s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "moisture_kg_per_kg");
    in.h_w_per_m2_k = 0;
    assert_int_equal(mdr_drying_warm_up_s(&in, 0, 60, 185, &s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "h_w_per_m2_k");
}

static mdr_speed speed_of(mdr_oven oven)
{
    mdr_speed out;
    assert_int_equal(mdr_drying_speed(&oven, &out, NULL), MDR_OK);
    return out;
}

static void which_limit_binds(void **state)
{
    (void)state;
    const mdr_oven oven = {.length_m = 24,
                           .speed_min_m_per_min = 8,
                           .speed_max_m_per_min = 60,
                           .entry_s = 4,
                           .drying_s = 36};
    mdr_speed v = speed_of(oven);
    assert_int_equal(v.binding, MDR_SPEED_EVAPORATION);
    CHECK_NEAR(v.speed_m_per_min, 36, 1e-12, "D: 24 m in 40 s");
    CHECK_NEAR(v.dwell_m_per_min, 0, 0, "contract: nothing to set");
    CHECK_NEAR(v.dwell_s, 0, 0, "contract: nothing to set");

    mdr_oven set = oven; /* comes in dry: 185 .. 195 C for 30 .. 45 s, common practice */
    set.drying_s = 0;
    set.set_warm_up_s = 10;
    set.set_dwell_s = 30;
    v = speed_of(set);
    assert_int_equal(v.binding, MDR_SPEED_DWELL);
    CHECK_NEAR(v.speed_m_per_min, 36, 1e-12, "D: 24 m in 10 + 30 s");
    CHECK_NEAR(v.evaporation_m_per_min, 0, 0, "contract: nothing to dry");
    CHECK_NEAR(v.warm_up_m, 6, 1e-12, "D: 10 s at 36 m/min");
    CHECK_NEAR(v.dwell_s, 30, 1e-12, "D: (24 - 6) m at 36 m/min");

    set.drying_s = 36; /* dried and set in one go */
    v = speed_of(set);
    assert_int_equal(v.binding, MDR_SPEED_DWELL);
    CHECK_NEAR(v.speed_m_per_min, 18, 1e-12, "D: 24 m in 80 s");
    CHECK_NEAR(v.evaporation_m_per_min, 36, 1e-12, "D");
    CHECK_NEAR(v.warm_up_m, 15, 1e-12, "D: 50 s at 18 m/min");
    CHECK_NEAR(v.dwell_s, 30, 1e-12, "D");

    set.speed_max_m_per_min = 12;
    v = speed_of(set);
    assert_int_equal(v.binding, MDR_SPEED_MACHINE);
    CHECK_NEAR(v.speed_m_per_min, 12, 0, "D");
    CHECK_NEAR(v.dwell_s, 70, 1e-12, "D: 120 s in the oven, 50 of them warming");
    assert_false(v.below_slowest);

    set = oven;
    set.speed_min_m_per_min = 36.001;
    assert_true(speed_of(set).below_slowest);
    set.speed_min_m_per_min = 35.999;
    assert_false(speed_of(set).below_slowest);
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        const char *place;
        size_t at;
        double value;
        mdr_code code;
    } ROWS[] = {
        {"dry_gsm", offsetof(mdr_drying_in, dry_gsm), 9, MDR_E_RANGE},
        {"moisture_in_kg_per_kg", offsetof(mdr_drying_in, moisture_in_kg_per_kg), 70, MDR_E_RANGE},
        {"moisture_in_kg_per_kg", offsetof(mdr_drying_in, moisture_in_kg_per_kg), 0.01,
         MDR_E_INFEAS},
        {"moisture_out_kg_per_kg", offsetof(mdr_drying_in, moisture_out_kg_per_kg), (double)NAN,
         MDR_E_RANGE},
        {"moisture_out_kg_per_kg", offsetof(mdr_drying_in, moisture_out_kg_per_kg), 0.01,
         MDR_E_INFEAS},
        {"moisture_out_kg_per_kg", offsetof(mdr_drying_in, moisture_out_kg_per_kg), 0.70,
         MDR_E_INFEAS},
        {"critical_kg_per_kg", offsetof(mdr_drying_in, critical_kg_per_kg), 0.01, MDR_E_RANGE},
        {"equilibrium_kg_per_kg", offsetof(mdr_drying_in, equilibrium_kg_per_kg), -0.01,
         MDR_E_RANGE},
        {"air_c", offsetof(mdr_drying_in, air_c), 39, MDR_E_RANGE},
        {"air_c", offsetof(mdr_drying_in, air_c), 201, MDR_E_RANGE},
        {"air_kg_per_kg", offsetof(mdr_drying_in, air_kg_per_kg), -0.1, MDR_E_RANGE},
        {"kg_per_kg", offsetof(mdr_drying_in, air_c), 50, MDR_E_INFEAS}, /* over saturation */
        {"pressure_pa", offsetof(mdr_drying_in, pressure_pa), 1.013, MDR_E_RANGE},
        {"h_w_per_m2_k", offsetof(mdr_drying_in, h_w_per_m2_k), 0, MDR_E_RANGE},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_drying_in in = WORKED;
        mdr_drying out = {.total_s = 4711};
        mdr_err err;
        memcpy((char *)&in + ROWS[i].at, &ROWS[i].value, sizeof(double));
        assert_int_equal(mdr_drying_time(&in, &out, &err), ROWS[i].code);
        assert_string_equal(err.place, ROWS[i].place);
        assert_true(err.remedy[0] != '\0');
        CHECK_NEAR(out.total_s, 4711, 0, "contract: untouched");
    }
    double x = 4711;
    mdr_err err;
    assert_int_equal(mdr_drying_moisture_after(&WORKED, -1, &x, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "seconds");
    const mdr_oven back = {.length_m = 24, .speed_min_m_per_min = 40, .speed_max_m_per_min = 30};
    mdr_speed v = {.speed_m_per_min = 4711};
    assert_int_equal(mdr_drying_speed(&back, &v, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "speed_max_m_per_min");
    CHECK_NEAR(v.speed_m_per_min, 4711, 0, "contract: untouched");
    CHECK_NEAR(x, 4711, 0, "contract: untouched");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_table),
        cmocka_unit_test(against_integration),
        cmocka_unit_test(one_period_only),
        cmocka_unit_test(moisture_after_some_time),
        cmocka_unit_test(fitted),
        cmocka_unit_test(warming),
        cmocka_unit_test(which_limit_binds),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
