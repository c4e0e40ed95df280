/* Warnings of vat and direct dyeing: each once where it is due and once where it is not. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "plan_chem_kit.h"

/* A vat of this dye; then rinses, then peroxide or none. */
typedef struct vat {
    const char *dye;
    double salt, caustic, dithionite, hold_c;
    int rinses;
    double peroxide;
} vat;

static bool vat_says(const vat *v, mdr_warn_id id, int bath)
{
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.dyes[0].dye = kit_material(v->dye);
    b.machine.air_g_o2_per_kg_h = 1;
    BATH(&b, kit_fill(v->hold_c), dye(), pure("caustic", v->caustic),
         v->dithionite > 0 ? pure("dithionite", v->dithionite) : kit_hold(1),
         v->salt > 0 ? pure("nacl", v->salt) : kit_hold(2), kit_hold(30), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    for (int i = 0; i < v->rinses; i++) {
        BATH(&b, kit_fill(30), kit_hold(1), kit_drain());
    }
    BATH(&b, kit_fill(40), v->peroxide > 0 ? pure("peroxide", v->peroxide) : kit_hold(1),
         kit_drain());
    return says(&b, id, bath);
}

static void vat_speaks(void **state)
{
    (void)state;
    const vat good = {"vat-in", 0, 5, 6, 60, 4, 1};
    static const mdr_warn_id ALL[] = {MDR_WARN_NO_REDUCTION, MDR_WARN_RESERVE_SHORT,
                                      MDR_WARN_VAT_CAUSTIC,  MDR_WARN_REDUCER_LEFT,
                                      MDR_WARN_NOT_OXIDISED, MDR_WARN_VAT_TEMP,
                                      MDR_WARN_VAT_SALT,     MDR_WARN_VAT_SALT_MISSING};
    for (size_t i = 0; i < N_OF(ALL); i++) {
        assert_false(vat_says(&good, ALL[i], 0));
    }
    vat v = good;
    v.dithionite = 0;
    assert_true(vat_says(&v, MDR_WARN_NO_REDUCTION, 1));
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0)); /* peroxide does not act on a pigment */
    v.dithionite = 1.5;                                  /* water, dye, air and heat take 1.2 */
    assert_true(vat_says(&v, MDR_WARN_RESERVE_SHORT, 1));
    v = good;
    v.rinses = 0;
    assert_true(vat_says(&v, MDR_WARN_REDUCER_LEFT, 2));
    v = good;
    v.peroxide = 0;
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    /* 20 kg of dye take 0.41 kg of peroxide, 0.051 g/L */
    v.peroxide = 0.045;
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    v.peroxide = 0.055;
    assert_false(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    /* water, dye and air of 35 min take 0.44 g/L of caustic, heat a little; 1 g/L must stay */
    v = good;
    v.caustic = 1.4;
    assert_true(vat_says(&v, MDR_WARN_VAT_CAUSTIC, 1));
    v.caustic = 1.9;
    assert_false(vat_says(&v, MDR_WARN_VAT_CAUSTIC, 1));
    const struct {
        const char *dye;
        double temp_c;
        bool due;
    } temps[] = {{"vat-in", 62, false},  {"vat-in", 62.5, true}, {"vat-in", 48, false},
                 {"vat-in", 47.5, true}, {"vat-iw", 52, false},  {"vat-iw", 60, true}};
    for (size_t i = 0; i < N_OF(temps); i++) {
        v = good;
        v.dye = temps[i].dye;
        v.hold_c = temps[i].temp_c;
        assert_int_equal(vat_says(&v, MDR_WARN_VAT_TEMP, 1), temps[i].due);
    }
    v = good;
    v.salt = 5;
    assert_true(vat_says(&v, MDR_WARN_VAT_SALT, 1));
    v.dye = "vat-iw";
    v.hold_c = 48;
    assert_false(vat_says(&v, MDR_WARN_VAT_SALT, 1));
    v.salt = 0;
    assert_true(vat_says(&v, MDR_WARN_VAT_SALT_MISSING, 1));
}

/* The reserve is judged before the drain, at the last step that works with it. */
static void where_the_reserve_is_judged(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), pure("dithionite", 3), kit_hold(20),
         kit_drain());
    run(&b);
    const mdr_plan_step *s = b.plan->baths[0].steps;
    const double worked = val(&b, s[4].dithionite_g_per_l);
    assert_true(worked < 1);
    const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_RESERVE_SHORT);
    assert_non_null(w);
    assert_int_equal(w->at.step, 5);
    CHECK_NEAR(w->args[0].number, worked, 1e-12, "D: at the end of the hold");
    kit_bench_free(&b);
}

/* The vat's temperature is that of its longest hold after the dithionite. */
static void vat_temperature(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 1;
        BATH(&b, kit_fill(80), dye(), kit_hold(90), kit_cool(60, 2), pure("caustic", 5),
             pure("dithionite", 6), kit_hold(due == 1 ? 10 : 20), kit_cool(40, 2), kit_hold(15),
             kit_drain());
        assert_int_equal(says(&b, MDR_WARN_VAT_TEMP, 1), due);
    }
}

/* A little dithionite is no matter; acid is one like peroxide; soap is not. */
static void reducer(void **state)
{
    (void)state;
    const struct {
        const char *id;
        double dithionite;
        bool due;
    } rows[] = {{"acid", 6, true},     {"formic", 6, true}, {"sulphuric", 6, true},
                {"peroxide", 6, true}, {"soda", 6, false},  {"acid", 0.31, false},
                {"acid", 0.7, true}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 0.01;
        BATH(&b, kit_fill(20), pure("caustic", 5), pure("dithionite", rows[i].dithionite),
             kit_drain());
        BATH(&b, kit_fill(40), pure(rows[i].id, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_REDUCER_LEFT, 2), rows[i].due);
    }
}

static bool direct_says(const char *id, mdr_curve_kind curve, int doses, double rate,
                        mdr_warn_id warn)
{
    kit_bench b;
    READY(b, MDR_CLASS_DIRECT);
    b.dyes[0].dye = kit_material(id);
    mdr_route_step salt = pure("salt", 10);
    salt.curve = curve;
    salt.portions = 4;
    salt.exponent = 2;
    BATH(&b, kit_fill(40), dye(), kit_heat(95, rate), salt, doses > 1 ? salt : kit_hold(1),
         kit_hold(30), kit_cool(70, 2), kit_drain());
    return says(&b, warn, 1);
}

static void direct_speaks(void **state)
{
    (void)state;
    const mdr_warn_id salt = MDR_WARN_DIRECT_SALT, heat = MDR_WARN_DIRECT_HEAT;
    assert_false(direct_says("direct-a", MDR_CURVE_LINEAR, 1, 2, salt));
    assert_true(direct_says("direct-b", MDR_CURVE_LINEAR, 1, 2, salt));
    assert_true(direct_says("direct-b", MDR_CURVE_DEGRESSIVE, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_PORTIONS, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_PROGRESSIVE, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_LINEAR, 2, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_LINEAR, 1, 2, heat));
    assert_true(direct_says("direct-c", MDR_CURVE_PORTIONS, 1, 1.1, heat));
    assert_false(direct_says("direct-c", MDR_CURVE_PORTIONS, 1, 1, heat));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(vat_speaks),
                                       cmocka_unit_test(where_the_reserve_is_judged),
                                       cmocka_unit_test(vat_temperature), cmocka_unit_test(reducer),
                                       cmocka_unit_test(direct_speaks)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
