#include "t.h"

#include "core/finish/mdr_padding.h"

static void dry_on_wet(void **state)
{
    (void)state;
    mdr_padding p;
    assert_int_equal(mdr_padding_make(0.03, 0.0, 0.80, 500, &p, NULL), MDR_OK);
    CHECK_NEAR(p.trough_kg_per_kg, 0.0375, 1e-15, "S: GATE-TF 2017 Q54, 3.75 %");
    CHECK_NEAR(p.feed_kg_per_kg, 0.0375, 1e-15, "D: onto dry fabric feed and trough are one");
    CHECK_NEAR(mdr_padding_add_on_kg_per_kg(0.06, 0.80), 0.048, 1e-15, "S: CUET-PG, 4.8 %");
}

static void wet_on_wet(void **state)
{
    (void)state;
    mdr_padding p;
    assert_int_equal(mdr_padding_make(0.02, 0.60, 0.80, 500, &p, NULL), MDR_OK);
    CHECK_NEAR(p.feed_kg_per_kg, 0.10, 1e-15, "D: 2 % over 80 - 60 %");
    CHECK_NEAR(p.trough_kg_per_kg, 0.025, 1e-15, "D: 2 % over 80 %");
    CHECK_NEAR(p.feed_kg, 100, 1e-10, "D: 500 kg x 0.20");
    CHECK_NEAR(p.product_kg, 10, 1e-13, "D: 500 kg x 2 %");
    CHECK_NEAR(p.feed_kg * p.feed_kg_per_kg, p.product_kg, 1e-13, "D: all of it is in the feed");
}

/* The trough, followed metre by metre: begun at its strength it stays there; begun with feed it
 * falls towards it, and the fabric's load with it (tailing). */
static void trough_stays(void **state)
{
    (void)state;
    mdr_padding p;
    assert_int_equal(mdr_padding_make(0.02, 0.60, 0.80, 1, &p, NULL), MDR_OK);
    const double trough_kg = 30, fabric_kg = 0.5;
    double right = p.trough_kg_per_kg, wrong = p.feed_kg_per_kg;
    for (int i = 0; i < 1000; i++) {
        /* out goes liquor of the trough's strength, in come plain water and feed */
        right += fabric_kg / trough_kg * (0.2 * p.feed_kg_per_kg - 0.8 * right);
        wrong += fabric_kg / trough_kg * (0.2 * p.feed_kg_per_kg - 0.8 * wrong);
        CHECK_NEAR(right, 0.025, 1e-14, "D: equilibrium from the first metre");
    }
    CHECK_NEAR(wrong, 0.025, 1e-6, "D: in the end it gets there as well");
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        double add_on, in, out, kg;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {-0.01, 0.6, 0.8, 1, MDR_E_RANGE, "add_on_kg_per_kg"},
        {1.01, 0.6, 0.8, 1, MDR_E_RANGE, "add_on_kg_per_kg"},
        {0.02, -0.1, 0.8, 1, MDR_E_RANGE, "pickup_in_kg_per_kg"},
        {0.02, 60, 80, 1, MDR_E_RANGE, "pickup_in_kg_per_kg"},
        {0.02, 0.6, 80, 1, MDR_E_RANGE, "pickup_out_kg_per_kg"},
        {0.02, 0.6, 0.8, -1, MDR_E_RANGE, "fabric_kg"},
        {0.02, 0.8, 0.8, 1, MDR_E_INFEAS, "pickup_out_kg_per_kg"},
        {0.02, 0.9, 0.8, 1, MDR_E_INFEAS, "pickup_out_kg_per_kg"},
        {0.21, 0.6, 0.8, 1, MDR_E_INFEAS, "add_on_kg_per_kg"},
        {(double)NAN, 0.6, 0.8, 1, MDR_E_RANGE, "add_on_kg_per_kg"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_padding p = {.feed_kg = 4711};
        mdr_err err;
        assert_int_equal(
            mdr_padding_make(ROWS[i].add_on, ROWS[i].in, ROWS[i].out, ROWS[i].kg, &p, &err),
            ROWS[i].code);
        assert_string_equal(err.place, ROWS[i].place);
        assert_true(err.remedy[0] != '\0' && err.allowed[0] != '\0');
        CHECK_NEAR(p.feed_kg, 4711, 0, "contract: untouched");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dry_on_wet),
        cmocka_unit_test(wet_on_wet),
        cmocka_unit_test(trough_stays),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
