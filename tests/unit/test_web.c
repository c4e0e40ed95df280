#include "t.h"

#include <string.h>

#include "core/finish/mdr_web.h"

/* Single jersey Ne 30, wet relaxed, 2262 needles, 500 kg. */
static const mdr_web PLAIN = {.width_cm = 154.5,
                              .courses_per_cm = 18.93,
                              .wales_per_cm = 14.64,
                              .dry_gsm = 152.8 / 1.085,
                              .moisture_kg_per_kg = 0.7,
                              .speed_m_per_min = 30,
                              .length_m = 2000,
                              .temp_c = 25};

static void what_it_weighs(void **state)
{
    (void)state;
    CHECK_NEAR(MDR_WEB_REGAIN_KG_PER_KG, 0.085, 0, "S: commercial regain of cotton 8.5 %");
    CHECK_NEAR(mdr_web_conditioned_gsm(&PLAIN, 0.085), 152.8, 1e-12, "D: as it was made");
    CHECK_NEAR(mdr_web_wet_gsm(&PLAIN), 152.8 / 1.085 * 1.7, 1e-12, "D: 0.7 kg of water a kg");
    CHECK_NEAR(mdr_web_dry_gsm_of(10236.0, 0.085), 10000.0 / 1.06, 1.0,
               "D: 10 000 kg at 6 % are 10 236 kg at 8.5 %");
    CHECK_NEAR(mdr_web_needles(&PLAIN), 2262, 0.2, "D: 30 in x 24 gg");
    CHECK_NEAR(mdr_web_courses(&PLAIN), 18.93 * 200000, 1e-6, "D: per cm x cm");
    CHECK_NEAR(mdr_web_dry_kg(&PLAIN), 152.8 / 1.085 * 1.545 * 2, 1e-10, "D: g/m2 x m2 / 1000");
    CHECK_NEAR(mdr_web_dry_kg_per_h(&PLAIN), 152.8 / 1.085 * 1.545 * 1.8, 1e-10, "D: 1800 m/h");
}

static void what_is_measured(void **state)
{
    (void)state;
    const mdr_web_measure m = mdr_web_measured(&PLAIN, 0.07);
    CHECK_NEAR(m.width_cm, 154.5, 0, "D");
    CHECK_NEAR(m.layflat_cm, 77.25, 0, "D: half of it, as a tube");
    CHECK_NEAR(m.courses_per_cm, 18.93, 0, "D");
    CHECK_NEAR(m.wales_per_cm, 14.64, 0, "D");
    CHECK_NEAR(m.moisture_kg_per_kg, 0.7, 0, "D");
    CHECK_NEAR(m.conditioned_gsm, 152.8 / 1.085 * 1.07, 1e-12, "D: at the regain asked for");
    CHECK_NEAR(m.wet_gsm, 152.8 / 1.085 * 1.7, 1e-12, "D");
}

static void pick_up_and_moisture(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_web_moisture_of_pickup(0.70, 0.085), 0.8445, 1e-12, "D: 1.085 x 1.70 - 1");
    CHECK_NEAR(mdr_web_moisture_of_pickup(0.70, 0.0), 0.70, 1e-15, "D: on bone dry the same");
    CHECK_NEAR(mdr_web_pickup_of_moisture(0.8445, 0.085), 0.70, 1e-12, "D: inverse");
}

static void overfeed_said_in_two_ways(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_web_loss_of_overfeed(0.08), 0.0740741, 5e-8, "D: 8 % overfeed = 7.41 %");
    CHECK_NEAR(mdr_web_overfeed_of_loss(0.0740741), 0.08, 5e-8, "D: and back");
    CHECK_NEAR(mdr_web_loss_of_overfeed(-0.05), -0.0526316, 5e-8, "D: stretch");
    for (double of = -0.4; of < 0.9; of += 0.05) {
        CHECK_NEAR(mdr_web_overfeed_of_loss(mdr_web_loss_of_overfeed(of)), of, 1e-14, "D: inverse");
        const mdr_web out = mdr_web_overfed(&PLAIN, of, PLAIN.width_cm);
        CHECK_NEAR(1 - out.length_m / PLAIN.length_m, mdr_web_loss_of_overfeed(of), 1e-14,
                   "D: it is the length lost");
    }
}

static void overfed(void **state)
{
    (void)state;
    const mdr_web out = mdr_web_overfed(&PLAIN, 0.25, 309.0);
    CHECK_NEAR(out.length_m, 1600, 1e-10, "D: 2000/1.25");
    CHECK_NEAR(out.speed_m_per_min, 24, 1e-12, "D: 30/1.25");
    CHECK_NEAR(out.courses_per_cm, 18.93 * 1.25, 1e-12, "D");
    CHECK_NEAR(out.wales_per_cm, 7.32, 1e-12, "D: twice as wide");
    CHECK_NEAR(out.dry_gsm, PLAIN.dry_gsm * 0.625, 1e-12, "D: 1.25/2");
    CHECK_NEAR(out.width_cm, 309, 0, "D");
    CHECK_NEAR(out.moisture_kg_per_kg, 0.7, 0, "D: water goes with the fabric");
    CHECK_NEAR(out.temp_c, 25, 0, "D");
    CHECK_NEAR(mdr_web_dry_kg_per_h(&out), mdr_web_dry_kg_per_h(&PLAIN), 1e-10,
               "D: what goes in comes out");
}

/* textilelearner 2013/06: 70 in, 170 g/m2, L -10 %, W -3 %; 2 % wider, 8 % overfeed. */
static void published_overfeed_example(void **state)
{
    (void)state;
    const mdr_web in = {.width_cm = 70 * 2.54,
                        .courses_per_cm = 18,
                        .wales_per_cm = 14,
                        .dry_gsm = 170,
                        .moisture_kg_per_kg = 0,
                        .speed_m_per_min = 20,
                        .length_m = 1000,
                        .temp_c = 25};
    const mdr_relaxed relaxed = {18 / 0.90, 14 / 0.97};
    const mdr_web out = mdr_web_overfed(&in, 0.08, in.width_cm * 1.02);
    CHECK_NEAR(out.width_cm / 2.54, 71.4, 1e-9, "S: printed");
    CHECK_NEAR(out.dry_gsm, 180.0, 0.01, "S: printed");
    const mdr_residual left = mdr_web_residual(&out, &relaxed);
    CHECK_NEAR(left.length_fraction, 0.028, 1e-12, "D: 1 - 0.9 x 1.08; the page rounds to 2 %");
    CHECK_NEAR(left.width_fraction, 0.0490196, 1e-7, "D: 1 - 0.97/1.02; the page leaves 3 %");
}

static void residual_after_a_change(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_web_residual_after(0.06, 151.02 / 148), 0.0788, 5e-5,
               "D: 148 cm with 6 % set at 151.02; the rule of thumb says 8.0");
    CHECK_NEAR(mdr_web_residual_after(0.12, 0.95), 0.0737, 5e-5,
               "D: 12 % less 5 % on the machine; the rule of thumb says 7");
    CHECK_NEAR(mdr_web_residual_after(0.10, 1 / 1.08), 0.028, 1e-12, "D: 10 %, overfeed 8 %");
    const mdr_relaxed relaxed = {20, 15};
    const mdr_web out = mdr_web_overfed(&PLAIN, 0.07, 150);
    const mdr_residual before = mdr_web_residual(&PLAIN, &relaxed);
    const mdr_residual after = mdr_web_residual(&out, &relaxed);
    CHECK_NEAR(after.length_fraction, mdr_web_residual_after(before.length_fraction, 1 / 1.07),
               1e-14, "D: the same by loops");
    CHECK_NEAR(after.width_fraction, mdr_web_residual_after(before.width_fraction, 150 / 154.5),
               1e-14, "D: the same by loops");
}

static void brought_to_a_residual(void **state)
{
    (void)state;
    const mdr_relaxed relaxed = {19.64, 15.0}; /* fully relaxed, kc 5.5 and kw 4.2 */
    const mdr_web out = mdr_web_with_residual(&PLAIN, &relaxed, (mdr_residual){0.05, 0.04});
    CHECK_NEAR(out.courses_per_cm, 19.64 * 0.95, 1e-12, "D: Cr(1 - sL)");
    CHECK_NEAR(out.wales_per_cm, 15.0 * 0.96, 1e-12, "D: Wr(1 - sW)");
    CHECK_NEAR(out.width_cm, 154.5 * 14.64 / 14.4, 1e-12, "D: needles/W");
    const mdr_web full = mdr_web_with_residual(&PLAIN, &relaxed, (mdr_residual){0, 0});
    CHECK_NEAR(out.dry_gsm, full.dry_gsm * 0.95 * 0.96, 1e-11, "D: GSMr(1 - sL)(1 - sW)");
    CHECK_NEAR(full.dry_gsm * 1.085, 162.4, 0.5, "D: 162.4, the constants rounded");
}

static void read_off(void **state)
{
    (void)state;
    mdr_err err;
    mdr_web out;
    double off = 7;
    const mdr_web_reading reading = {
        .width_cm = 160, .courses_per_cm = 18.0, .moisture_kg_per_kg = 0.8, .wet_gsm = 240};
    assert_int_equal(mdr_web_read(&PLAIN, &reading, &out, &off, &err), MDR_OK);
    CHECK_NEAR(out.courses_per_cm, 18.0, 1e-13, "D: as read");
    CHECK_NEAR(out.width_cm, 160, 0, "D: as read");
    CHECK_NEAR(out.moisture_kg_per_kg, 0.8, 0, "D: as read");
    CHECK_NEAR(mdr_web_needles(&out), mdr_web_needles(&PLAIN), 1e-10, "D: needles stay");
    CHECK_NEAR(mdr_web_courses(&out), mdr_web_courses(&PLAIN), 1e-7, "D: courses stay");
    CHECK_NEAR(mdr_web_dry_kg(&out), mdr_web_dry_kg(&PLAIN), 1e-11, "D: mass stays");
    const double expected = PLAIN.dry_gsm * 18.0 / 18.93 * 154.5 / 160 * 1.8;
    CHECK_NEAR(off, 240 / expected - 1, 1e-13, "D: the scale against loops and mass");

    mdr_web_reading bad = reading;
    bad.wet_gsm = 0;
    assert_int_equal(mdr_web_read(&PLAIN, &bad, &out, &off, &err), MDR_OK);
    CHECK_NEAR(off, 0, 0, "contract: not weighed");
    bad.width_cm = 0;
    out.width_cm = 4711;
    assert_int_equal(mdr_web_read(&PLAIN, &bad, &out, &off, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "width_cm");
    CHECK_NEAR(out.width_cm, 4711, 0, "contract: untouched");
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        const char *field;
        size_t at;
        double low, high; /* the nearest that must be refused */
    } ROWS[] = {
        {"width_cm", offsetof(mdr_web, width_cm), 0.99, 1001},
        {"courses_per_cm", offsetof(mdr_web, courses_per_cm), 0.49, 101},
        {"wales_per_cm", offsetof(mdr_web, wales_per_cm), 0.49, 101},
        {"dry_gsm", offsetof(mdr_web, dry_gsm), 9.9, 2001},
        {"moisture_kg_per_kg", offsetof(mdr_web, moisture_kg_per_kg), -0.01, 5.01},
        {"speed_m_per_min", offsetof(mdr_web, speed_m_per_min), -0.1, 501},
        {"length_m", offsetof(mdr_web, length_m), 0.001, 1.1e6},
        {"temp_c", offsetof(mdr_web, temp_c), -21, 301},
    };
    mdr_err err;
    assert_int_equal(mdr_web_check(&PLAIN, &err), MDR_OK);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double bad[] = {ROWS[i].low, ROWS[i].high, (double)NAN, (double)INFINITY};
        for (size_t k = 0; k < N_OF(bad); k++) {
            mdr_web web = PLAIN;
            memcpy((char *)&web + ROWS[i].at, &bad[k], sizeof bad[k]);
            assert_int_equal(mdr_web_check(&web, &err), MDR_E_RANGE);
            assert_string_equal(err.place, ROWS[i].field);
            assert_true(err.value[0] != '\0' && err.allowed[0] != '\0' && err.remedy[0] != '\0');
            assert_int_equal(mdr_web_check(&web, NULL), MDR_E_RANGE);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_it_weighs),
        cmocka_unit_test(what_is_measured),
        cmocka_unit_test(pick_up_and_moisture),
        cmocka_unit_test(overfeed_said_in_two_ways),
        cmocka_unit_test(overfed),
        cmocka_unit_test(published_overfeed_example),
        cmocka_unit_test(residual_after_a_change),
        cmocka_unit_test(brought_to_a_residual),
        cmocka_unit_test(read_off),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
