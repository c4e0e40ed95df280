#include "t.h"

#include <string.h>

#include "core/finish/mdr_psychro.h"
#include "core/finish/mdr_stenter.h"
#include "core/finish/mdr_web.h"

/* 20 m/min, 1.80 m, 180 g/m2 at 8.5 % regain */
static mdr_stenter_in worked(double exhaust)
{
    const mdr_web web = {.width_cm = 180, .dry_gsm = 180 / 1.085, .speed_m_per_min = 20};
    return (mdr_stenter_in){.dry_kg_per_h = mdr_web_dry_kg_per_h(&web),
                            .moisture_in_kg_per_kg = 0.70,
                            .moisture_out_kg_per_kg = 0.07,
                            .fresh_kg_per_kg = 0.012,
                            .fresh_c = 30,
                            .exhaust_kg_per_kg = exhaust,
                            .exhaust_c = 130,
                            .fabric_in_c = 30,
                            .fabric_out_c = 120,
                            .loss_fraction = 0.10,
                            .pressure_pa = MDR_PSYCHRO_ATM_PA};
}

static mdr_stenter balance(mdr_stenter_in in)
{
    mdr_stenter out;
    mdr_err err;
    assert_int_equal(mdr_stenter_balance(&in, &out, &err), MDR_OK);
    return out;
}

/* The table of a balance made apart; its last row prints 1200.9 of air, 225.76/0.188 is 1200.8. */
static void worked_table(void **state)
{
    (void)state;
    static const struct {
        double y, air, evap_mj, air_mj, fabric_mj, total_mj, mj_per_kg, kwh_per_kg;
    } ROWS[] = {
        {0.03, 12541.9, 590.8, 1289.7, 52.7, 2148.0, 9.515, 2.643},
        {0.05, 5940.9, 590.8, 610.9, 52.7, 1393.8, 6.174, 1.715},
        {0.08, 3319.9, 590.8, 341.4, 52.7, 1094.3, 4.847, 1.347},
        {0.10, 2565.4, 590.8, 263.8, 52.7, 1008.1, 4.466, 1.240},
        {0.15, 1635.9, 590.8, 168.2, 52.7, 901.9, 3.995, 1.110},
        {0.20, 1200.8, 590.8, 123.5, 52.7, 852.2, 3.775, 1.049},
    };
    const char *src = "D: the same balance computed apart";
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_stenter s = balance(worked(ROWS[i].y));
        CHECK_NEAR(s.evaporated_kg_per_h, 225.76, 0.006, src);
        CHECK_NEAR(s.air_kg_per_h, ROWS[i].air, 0.06, src);
        CHECK_NEAR(s.evaporation_mj_per_h, ROWS[i].evap_mj, 0.06, src);
        CHECK_NEAR(s.air_mj_per_h, ROWS[i].air_mj, 0.06, src);
        CHECK_NEAR(s.fabric_mj_per_h, ROWS[i].fabric_mj, 0.06, src);
        CHECK_NEAR(s.heat_mj_per_h, ROWS[i].total_mj, 0.06, src);
        CHECK_NEAR(s.mj_per_kg_evaporated, ROWS[i].mj_per_kg, 6e-4, src);
        CHECK_NEAR(s.kwh_per_kg_evaporated, ROWS[i].kwh_per_kg, 6e-4, src);
        CHECK_NEAR(s.mj_per_kg_dry, ROWS[i].total_mj / 358.34, 6e-4, src);
        CHECK_NEAR(s.loss_mj_per_h, ROWS[i].total_mj * 0.1, 0.01, src);
        CHECK_NEAR(s.evaporation_mj_per_h + s.air_mj_per_h + s.fabric_mj_per_h + s.loss_mj_per_h,
                   s.heat_mj_per_h, 1e-9, "D: the parts make the whole");
        CHECK_NEAR(s.air_kg_per_h * (ROWS[i].y - 0.012), s.evaporated_kg_per_h, 1e-9,
                   "D: the water is in the air");
    }
}

static void what_is_saved(void **state)
{
    (void)state;
    const mdr_stenter poor = balance(worked(MDR_STENTER_EXHAUST_POOR_KG_PER_KG));
    const mdr_stenter good = balance(worked(MDR_STENTER_EXHAUST_GOOD_KG_PER_KG));
    const mdr_stenter best = balance(worked(MDR_STENTER_EXHAUST_MOST_KG_PER_KG));
    CHECK_NEAR(mdr_stenter_saving_fraction(&poor, &good), 0.277, 5e-4, "D: 1 - 1008.1/1393.8");
    CHECK_NEAR(mdr_stenter_saving_fraction(&good, &poor), -0.3826, 5e-4, "D: the other way");
    CHECK_NEAR(mdr_stenter_saving_fraction(&good, &best), 1 - 901.9 / 1008.1, 5e-4, "D");
    mdr_stenter_in wet = worked(0.10), squeezed = worked(0.10);
    wet.moisture_in_kg_per_kg = 0.60;
    squeezed.moisture_in_kg_per_kg = 0.50;
    const mdr_stenter a = balance(wet), b = balance(squeezed);
    CHECK_NEAR(mdr_stenter_saving_fraction(&a, &b), 0.176, 5e-4,
               "D: entry 60 to 50 %; S: the European reference document says up to 15 %");
}

/* The heat counted apart, by enthalpies: what enters and leaves as air and water. */
static void closes_by_enthalpy(void **state)
{
    (void)state;
    mdr_stenter_in in = worked(0.12);
    in.fabric_in_c = 0; /* both sides then count water from 0 C */
    in.fabric_out_c = 0;
    in.loss_fraction = 0;
    const mdr_stenter s = balance(in);
    const double rise =
        mdr_psychro_enthalpy_kj_per_kg(130, 0.12) - mdr_psychro_enthalpy_kj_per_kg(30, 0.012);
    CHECK_NEAR(s.heat_mj_per_h, s.air_kg_per_h * rise / 1000, 1e-9, "D: first law");
}

static void more_water_more_heat(void **state)
{
    (void)state;
    double before = 0;
    for (double x = 0.3; x < 1.2; x += 0.05) {
        mdr_stenter_in in = worked(0.10);
        in.moisture_in_kg_per_kg = x;
        const mdr_stenter s = balance(in);
        assert_true(s.mj_per_kg_dry > before);
        before = s.mj_per_kg_dry;
    }
    mdr_stenter_in twice = worked(0.10);
    twice.dry_kg_per_h *= 2;
    CHECK_NEAR(balance(twice).mj_per_kg_dry, balance(worked(0.10)).mj_per_kg_dry, 1e-12,
               "D: per kg it does not matter how many");
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
        {"dry_kg_per_h", offsetof(mdr_stenter_in, dry_kg_per_h), 0, MDR_E_RANGE},
        {"moisture_in_kg_per_kg", offsetof(mdr_stenter_in, moisture_in_kg_per_kg), 70, MDR_E_RANGE},
        {"moisture_out_kg_per_kg", offsetof(mdr_stenter_in, moisture_out_kg_per_kg), -0.1,
         MDR_E_RANGE},
        {"fresh_kg_per_kg", offsetof(mdr_stenter_in, fresh_kg_per_kg), 0.2, MDR_E_RANGE},
        {"fresh_c", offsetof(mdr_stenter_in, fresh_c), 61, MDR_E_RANGE},
        {"exhaust_kg_per_kg", offsetof(mdr_stenter_in, exhaust_kg_per_kg), (double)NAN,
         MDR_E_RANGE},
        {"exhaust_c", offsetof(mdr_stenter_in, exhaust_c), 201, MDR_E_RANGE},
        {"fabric_in_c", offsetof(mdr_stenter_in, fabric_in_c), 301, MDR_E_RANGE},
        {"fabric_out_c", offsetof(mdr_stenter_in, fabric_out_c), -21, MDR_E_RANGE},
        {"loss_fraction", offsetof(mdr_stenter_in, loss_fraction), 10, MDR_E_RANGE},
        {"pressure_pa", offsetof(mdr_stenter_in, pressure_pa), 1.013, MDR_E_RANGE},
        {"moisture_out_kg_per_kg", offsetof(mdr_stenter_in, moisture_out_kg_per_kg), 0.70,
         MDR_E_INFEAS},
        {"exhaust_kg_per_kg", offsetof(mdr_stenter_in, exhaust_kg_per_kg), 0.012, MDR_E_INFEAS},
        {"exhaust_c", offsetof(mdr_stenter_in, exhaust_c), 29, MDR_E_INFEAS},
        {"exhaust_kg_per_kg", offsetof(mdr_stenter_in, exhaust_c), 50, MDR_E_INFEAS}, /* drips */
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_stenter_in in = worked(0.10);
        mdr_stenter out = {.heat_mj_per_h = 4711};
        mdr_err err;
        memcpy((char *)&in + ROWS[i].at, &ROWS[i].value, sizeof(double));
        assert_int_equal(mdr_stenter_balance(&in, &out, &err), ROWS[i].code);
        assert_string_equal(err.place, ROWS[i].place);
        assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
        CHECK_NEAR(out.heat_mj_per_h, 4711, 0, "contract: untouched");
    }
    mdr_stenter_in damp = worked(0.08);
    damp.exhaust_c = 50; /* 50 C holds 0.0863 */
    assert_true(balance(damp).heat_mj_per_h > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_table),
        cmocka_unit_test(what_is_saved),
        cmocka_unit_test(closes_by_enthalpy),
        cmocka_unit_test(more_water_more_heat),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
