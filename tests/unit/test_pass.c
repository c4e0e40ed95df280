#include "t.h"

#include "core/finish/mdr_pass.h"

static const mdr_web IN = {.width_cm = 180,
                           .courses_per_cm = 17,
                           .wales_per_cm = 13,
                           .dry_gsm = 140,
                           .moisture_kg_per_kg = 0.9,
                           .speed_m_per_min = 35,
                           .length_m = 1800,
                           .temp_c = 20};

static mdr_pass pass_of(mdr_pass_kind kind)
{
    return (mdr_pass){.kind = kind,
                      .width_cm = 190,
                      .width_change_fraction = -0.05,
                      .overfeed_fraction = 0.06,
                      .moisture_kg_per_kg = kind == MDR_PASS_PAD ? 1.0 : 0.08,
                      .temp_c = 90,
                      .speed_m_per_min = 22};
}

static void each_kind(void **state)
{
    (void)state;
    for (int k = 0; k < MDR_PASS_KINDS; k++) {
        const mdr_pass pass = pass_of((mdr_pass_kind)k);
        mdr_web out;
        assert_int_equal(mdr_pass_apply(&IN, &pass, &out, NULL), MDR_OK);
        const int grips = k == MDR_PASS_STENTER || k == MDR_PASS_SPREAD;
        CHECK_NEAR(out.width_cm, grips ? 190 : 171, 1e-12, "D: set, or 5 % less than 180");
        CHECK_NEAR(out.wales_per_cm, 13 * 180 / out.width_cm, 1e-12, "D: needles stay");
        CHECK_NEAR(out.courses_per_cm, 17 * 1.06, 1e-12, "D: overfeed 6 %");
        CHECK_NEAR(out.dry_gsm, 140 * 1.06 * 180 / out.width_cm, 1e-11, "D: mass stays");
        CHECK_NEAR(out.moisture_kg_per_kg, k == MDR_PASS_SPREAD ? 0.9 : pass.moisture_kg_per_kg, 0,
                   "contract: a spreader leaves the water where it is");
        CHECK_NEAR(out.temp_c, 90, 0, "D: as set");
        CHECK_NEAR(out.speed_m_per_min, 22, 0, "D: as set");
        CHECK_NEAR(mdr_pass_speed_in_m_per_min(&pass), 23.32, 1e-12, "D: 22 x 1.06");
        CHECK_NEAR(mdr_pass_length_loss(&pass), 0.06 / 1.06, 1e-15, "D");
    }
    assert_true(mdr_pass_compacts(MDR_PASS_COMPACT) && mdr_pass_compacts(MDR_PASS_TUBE_COMPACT));
    assert_false(mdr_pass_compacts(MDR_PASS_STENTER) || mdr_pass_compacts(MDR_PASS_SPREAD));
}

static void water_has_a_direction(void **state)
{
    (void)state;
    mdr_err err;
    for (int k = 0; k < MDR_PASS_KINDS; k++) {
        const int either =
            k == MDR_PASS_SPREAD || k == MDR_PASS_COMPACT || k == MDR_PASS_TUBE_COMPACT;
        mdr_pass pass = pass_of((mdr_pass_kind)k);
        mdr_web out = {.width_cm = 4711};
        pass.moisture_kg_per_kg = 0.9;
        assert_int_equal(mdr_pass_apply(&IN, &pass, &out, NULL), MDR_OK); /* as it came */
        out.width_cm = 4711;
        pass.moisture_kg_per_kg = k == MDR_PASS_PAD ? 0.89 : 0.91;
        const mdr_code rc = mdr_pass_apply(&IN, &pass, &out, &err);
        assert_int_equal(rc, either ? MDR_OK : MDR_E_INFEAS);
        if (!either) {
            assert_string_equal(err.place, "moisture_kg_per_kg");
            assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
            CHECK_NEAR(out.width_cm, 4711, 0, "contract: untouched");
        }
    }
}

static void refused(void **state)
{
    (void)state;
    mdr_err err;
    mdr_pass ok = pass_of(MDR_PASS_STENTER), pass = ok;
    pass.overfeed_fraction = 8; /* a per cent */
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "overfeed_fraction");
    pass = ok;
    pass.width_cm = 0;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "width_cm");
    pass.kind = MDR_PASS_COMPACT; /* does not look at width_cm */
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_OK);
    pass.width_change_fraction = -0.51;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "width_change_fraction");
    pass.kind = MDR_PASS_STENTER; /* does not look at the change */
    pass.width_cm = 180;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_OK);
    pass = ok;
    pass.temp_c = (double)NAN;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "temp_c");
    pass = ok;
    pass.speed_m_per_min = -1;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "speed_m_per_min");
    pass = ok;
    pass.moisture_kg_per_kg = -0.01;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "moisture_kg_per_kg");
    pass = ok;
    pass.kind = MDR_PASS_KINDS;
    assert_int_equal(mdr_pass_check(&pass, &err), MDR_E_ARG);
    assert_string_equal(err.place, "kind");
}

static void one_after_the_other(void **state)
{
    (void)state;
    mdr_pass line[3] = {pass_of(MDR_PASS_DEWATER), pass_of(MDR_PASS_STENTER),
                        pass_of(MDR_PASS_COMPACT)};
    line[0].moisture_kg_per_kg = 0.7;
    mdr_web after[3], one;
    mdr_err err;
    assert_int_equal(mdr_pass_run(&IN, line, 3, after, &err), MDR_OK);
    assert_int_equal(mdr_pass_apply(&after[1], &line[2], &one, &err), MDR_OK);
    CHECK_NEAR(after[2].dry_gsm, one.dry_gsm, 0, "D: the third stands on the second");
    CHECK_NEAR(after[2].courses_per_cm, 17 * 1.06 * 1.06 * 1.06, 1e-11, "D");
    CHECK_NEAR(after[2].width_cm, 190 * 0.95, 1e-11, "D: the stenter decides, then 5 % less");
    line[1].moisture_kg_per_kg = 0.75;
    assert_int_equal(mdr_pass_run(&IN, line, 3, after, &err), MDR_E_INFEAS);
    assert_string_equal(err.place, "passes[1].moisture_kg_per_kg");
}

/* The rows of the collected settings that a default stands on. */
static void usual_settings(void **state)
{
    (void)state;
    const mdr_pass_usual *s = mdr_pass_usual_of(MDR_PASS_STENTER);
    CHECK_NEAR(s->machine_c.low, 130, 0, "S: elastic fabric 130 .. 160 C");
    CHECK_NEAR(s->machine_c.high, 160, 0, "S: elastic fabric 130 .. 160 C");
    CHECK_NEAR(s->speed_m_per_min.low, 15, 0, "P: 15 .. 40 m/min");
    CHECK_NEAR(s->speed_m_per_min.high, 40, 0, "P: 15 .. 40 m/min");
    CHECK_NEAR(s->moisture_kg_per_kg.low, 0.05, 0, "P: 5 .. 8 % regain");
    CHECK_NEAR(s->moisture_kg_per_kg.high, 0.08, 0, "P: 5 .. 8 % regain");
    CHECK_NEAR(s->overfeed_fraction.high, 0.50, 0, "P: display 20 .. 50 %");
    const mdr_pass_usual *c = mdr_pass_usual_of(MDR_PASS_COMPACT);
    CHECK_NEAR(c->overfeed_fraction.low, 0.05, 0, "P: 5 .. 15 %");
    CHECK_NEAR(c->overfeed_fraction.high, 0.15, 0, "P: 5 .. 15 %");
    CHECK_NEAR(c->machine_c.low, 100, 0, "P: 100 .. 130 C");
    CHECK_NEAR(c->machine_c.high, 130, 0, "P: 100 .. 130 C");
    CHECK_NEAR(c->speed_m_per_min.low, 15, 0, "P: 15 .. 30 m/min");
    CHECK_NEAR(c->speed_m_per_min.high, 30, 0, "P: 15 .. 30 m/min");
    CHECK_NEAR(MDR_PASS_COMPACT_DRIEST_KG_PER_KG, 0.04, 0, "P: 4 .. 10 % regain");
    CHECK_NEAR(MDR_PASS_COMPACT_DAMPEST_KG_PER_KG, 0.10, 0, "P: 4 .. 10 % regain");
    const mdr_pass_usual *d = mdr_pass_usual_of(MDR_PASS_DEWATER);
    CHECK_NEAR(d->moisture_kg_per_kg.low, mdr_web_moisture_of_pickup(0.65, 0.085), 0.005,
               "P: pick-up 65 .. 80 %");
    CHECK_NEAR(d->moisture_kg_per_kg.high, mdr_web_moisture_of_pickup(0.80, 0.085), 0.005,
               "P: pick-up 65 .. 80 %");
    for (int k = 0; k < MDR_PASS_KINDS; k++) {
        const mdr_pass_usual *u = mdr_pass_usual_of((mdr_pass_kind)k);
        const mdr_pass_range all[] = {u->overfeed_fraction, u->width_change_fraction,
                                      u->moisture_kg_per_kg, u->machine_c, u->speed_m_per_min};
        for (size_t i = 0; i < N_OF(all); i++) {
            assert_true(all[i].low <= all[i].usual && all[i].usual <= all[i].high);
        }
        const mdr_pass pass = mdr_pass_with_usual((mdr_pass_kind)k, 175);
        assert_int_equal(mdr_pass_check(&pass, NULL), MDR_OK);
        assert_int_equal(pass.kind, k);
        CHECK_NEAR(pass.width_cm, mdr_pass_grips((mdr_pass_kind)k) ? 175 : 0, 0, "contract");
        CHECK_NEAR(pass.overfeed_fraction, u->overfeed_fraction.usual, 0, "contract");
        CHECK_NEAR(pass.moisture_kg_per_kg, u->moisture_kg_per_kg.usual, 0, "contract");
        CHECK_NEAR(pass.speed_m_per_min, u->speed_m_per_min.usual, 0, "contract");
    }
    CHECK_NEAR(mdr_pass_with_usual(MDR_PASS_STENTER, 175).temp_c, 130, 0, "I: 20 below its air");
    CHECK_NEAR(mdr_pass_with_usual(MDR_PASS_PAD, 175).temp_c, 25, 0, "I: cold");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind),      cmocka_unit_test(water_has_a_direction),
        cmocka_unit_test(refused),        cmocka_unit_test(one_after_the_other),
        cmocka_unit_test(usual_settings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
