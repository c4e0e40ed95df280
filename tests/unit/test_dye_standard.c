/* The standard dyeing: conditions, and the numbers read off it. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dye_standard.h"

static mdr_dye_standard reactive(void)
{
    return mdr_dye_standard_of(MDR_GROUP_VINYL_SULPHONE);
}

static void conditions(void **state)
{
    (void)state;
    mdr_dye_standard s = reactive();
    CHECK_NEAR(mdr_dye_standard_sodium_mol_per_l(&s, MDR_WAY_REACTIVE, false), 2 * 50 / 142.04,
               1e-6, "D: two sodium in 50 g/L Na2SO4");
    CHECK_NEAR(mdr_dye_standard_sodium_mol_per_l(&s, MDR_WAY_REACTIVE, true),
               2 * 50 / 142.04 + 2 * 15 / 105.988, 1e-6, "D: and in 15 g/L Na2CO3");
    const mdr_dye_standard v = mdr_dye_standard_of(MDR_GROUP_VAT_IN);
    CHECK_NEAR(mdr_dye_standard_sodium_mol_per_l(&v, MDR_WAY_VAT, false), 8 / 39.997, 1e-6,
               "contract: the caustic of a vat is there from the start");
    s.soda_g_per_l = 20;
    CHECK_NEAR(mdr_dye_standard_ph(&s, MDR_WAY_REACTIVE), 10.75, 0.05,
               "O: PHREEQC 3, pitzer.dat, soda 20 + Na2SO4 50 at 60 C");
    s.soda_g_per_l = 5;
    s.caustic_g_per_l = 0.5;
    CHECK_NEAR(mdr_dye_standard_ph(&s, MDR_WAY_REACTIVE), 10.94, 0.05,
               "O: PHREEQC 3, pitzer.dat, soda 5 + NaOH 0.5 + Na2SO4 50 at 60 C");
    CHECK_NEAR(mdr_dye_standard_ph(&s, MDR_WAY_DIRECT), 7, 0, "contract: no alkali");
    s.soda_g_per_l = s.caustic_g_per_l = 0;
    CHECK_NEAR(mdr_dye_standard_ph(&s, MDR_WAY_REACTIVE), 7, 0, "contract: no alkali");
    for (int g = 0; g < MDR_GROUP_COUNT; g++) {
        const mdr_dye_standard each = mdr_dye_standard_of((mdr_dye_group)g);
        assert_int_equal(mdr_dye_standard_check(&each, mdr_dye_group_way((mdr_dye_group)g), NULL),
                         MDR_OK);
    }
}

static void expect_refused(const mdr_dye_standard *s, mdr_dye_way way, mdr_code code,
                           const char *place)
{
    mdr_err err;
    const mdr_dyeing *run = NULL;
    const mdr_dye_rates rates = mdr_dye_group_rates(MDR_GROUP_VINYL_SULPHONE);
    assert_int_equal(mdr_dye_standard_check(s, way, &err), code);
    assert_string_equal(err.place, place);
    assert_true(strlen(err.allowed) > 0 && strlen(err.remedy) > 0 && strlen(err.value) > 0);
    assert_int_equal(mdr_dye_standard_run(&rates, s, way, 0.5, NULL, &run, &err), code);
    assert_null(run);
}

static void refuses(void **state)
{
    (void)state;
#define FIELD(f, low, high)                              \
    {                                                    \
#f, offsetof(mdr_dye_standard, f), (low), (high) \
    }
    static const struct {
        const char *place;
        size_t offset;
        double low, high;
    } ROWS[] = {FIELD(ratio_l_per_kg, 3, 100), FIELD(depth_pct_owf, 0.01, 15),
                FIELD(temp_c, 10, 100),        FIELD(salt_g_per_l, 0, 150),
                FIELD(soda_g_per_l, 0, 40),    FIELD(caustic_g_per_l, 0, 40),
                FIELD(before_min, 1, 240),     FIELD(after_min, 1, 480)};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double bad[] = {ROWS[i].low - 1e-6, ROWS[i].high + 1e-6, (double)NAN};
        const double good[] = {ROWS[i].low, ROWS[i].high};
        for (size_t k = 0; k < 5; k++) {
            mdr_dye_standard s = reactive();
            const double v = k < 3 ? bad[k] : good[k - 3];
            s.caustic_g_per_l = 1;
            s.first_min = 0.5;
            memcpy((char *)&s + ROWS[i].offset, &v, sizeof v);
            if (k < 3) {
                expect_refused(&s, MDR_WAY_REACTIVE, MDR_E_RANGE, ROWS[i].place);
            } else {
                assert_int_equal(mdr_dye_standard_check(&s, MDR_WAY_REACTIVE, NULL), MDR_OK);
            }
        }
    }
    mdr_dye_standard s = reactive();
    s.soda_g_per_l = 0;
    expect_refused(&s, MDR_WAY_REACTIVE, MDR_E_ARG, "soda_g_per_l");
    assert_int_equal(mdr_dye_standard_check(&s, MDR_WAY_DIRECT, NULL), MDR_OK);
    static const double FIRST[] = {0, -1, 60, (double)NAN};
    for (size_t i = 0; i < N_OF(FIRST); i++) {
        s = reactive();
        s.first_min = FIRST[i];
        expect_refused(&s, MDR_WAY_REACTIVE, MDR_E_RANGE, "first_min");
    }
}

/* A course made up of straight lines, so that every number can be read by eye. */
static void numbers_by_hand(void **state)
{
    (void)state;
    static const double T[] = {0, 10, 20, 30, 40, 50};
    static const double ON[] = {0, 0.2, 0.3, 0.5, 0.6, 0.7}, FIXED[] = {0, 0, 0, 0.2, 0.36, 0.4};
    const mdr_dyeing run = {
        .t_min = T, .on_fibre = ON, .fixed = FIXED, .n_samples = 6, .n_slices = 1, .n_dyes = 1};
    mdr_dye_standard s = reactive();
    double n[MDR_NUMBER_COUNT];
    s.before_min = 18;
    s.after_min = 32;
    s.first_min = 7;
    mdr_dye_standard_numbers(&run, &s, MDR_WAY_REACTIVE, n);
    CHECK_NEAR(n[MDR_NUMBER_PRIMARY], 28, 1e-12, "D: 20 + 0.8 x 10, at 18 min");
    CHECK_NEAR(n[MDR_NUMBER_EXHAUSTION], 70, 1e-12, "D: the last");
    CHECK_NEAR(n[MDR_NUMBER_FIRST], 10, 1e-12, "D: half of 20, at 25 min");
    CHECK_NEAR(n[MDR_NUMBER_FIXATION], 40, 1e-12, "D: the last");
    CHECK_NEAR(n[MDR_NUMBER_HALF], 12, 1e-12, "D: 20 % at 30 min, 12 after the alkali");
    mdr_dye_standard_numbers(&run, &s, MDR_WAY_DIRECT, n);
    CHECK_NEAR(n[MDR_NUMBER_EXHAUSTION], 70, 1e-12, "D: the last");
    CHECK_NEAR(n[MDR_NUMBER_HALF], 22.5, 1e-12, "D: 35 % a quarter of the way from 20 to 30 min");
    CHECK_NEAR(n[MDR_NUMBER_PRIMARY] + n[MDR_NUMBER_FIRST] + n[MDR_NUMBER_FIXATION], 0, 0,
               "contract: 0 what does not apply");
    static const char *const IDS[] = {"primary_exhaustion_pct", "exhaustion_pct", "fix_first_pct",
                                      "fixation_pct", "half_dyeing_min"};
    for (int k = 0; k < MDR_NUMBER_COUNT; k++) {
        assert_string_equal(mdr_dye_number_id((mdr_dye_number)k), IDS[k]);
        assert_true(mdr_dye_number_applies((mdr_dye_number)k, MDR_WAY_REACTIVE));
        assert_int_equal(mdr_dye_number_applies((mdr_dye_number)k, MDR_WAY_VAT),
                         k == MDR_NUMBER_EXHAUSTION || k == MDR_NUMBER_HALF);
    }
    assert_null(mdr_dye_number_id(MDR_NUMBER_COUNT));
}

/* Given time, a dye that does not react stands at its equilibrium; what hydrolyses at once stands at
 * that of the hydrolysed dye. */
static void ends_at_equilibrium(void **state)
{
    (void)state;
    mdr_dye_rates rates = mdr_dye_group_rates(MDR_GROUP_DIRECT_A);
    mdr_dye_standard s = mdr_dye_standard_of(MDR_GROUP_DIRECT_A);
    const mdr_dyeing *run = NULL;
    double n[MDR_NUMBER_COUNT];
    mdr_arena *arena = mdr_arena_new((size_t)1 << 24);
    rates.diffusion_per_min = 1;
    s.temp_c = 60;
    s.after_min = 240;
    assert_int_equal(mdr_dye_standard_run(&rates, &s, MDR_WAY_DIRECT, 1, arena, &run, NULL),
                     MDR_OK);
    mdr_dye_standard_numbers(run, &s, MDR_WAY_DIRECT, n);
    const double dye = 0.02 / rates.molar_kg_per_mol;
    const double sodium = mdr_dye_standard_sodium_mol_per_l(&s, MDR_WAY_DIRECT, true);
    CHECK_NEAR(n[MDR_NUMBER_EXHAUSTION],
               100 * mdr_donnan_exhaustion(mdr_donnan_affinity(rates.affinity_kj_per_mol, 60),
                                           rates.charge, MDR_DONNAN_COTTON_L_PER_KG,
                                           MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG, sodium, dye,
                                           s.ratio_l_per_kg),
               0.01, "D: equilibrium of 2 % in 10 L/kg");
    mdr_dye_rates gone = mdr_dye_group_rates(MDR_GROUP_BIFUNCTIONAL);
    gone.hydrolysis_per_min = 0.5;
    gone.fix_per_min = 0;
    gone.diffusion_per_min = 1;
    s = mdr_dye_standard_of(MDR_GROUP_BIFUNCTIONAL);
    s.after_min = 400;
    assert_int_equal(mdr_dye_standard_run(&gone, &s, MDR_WAY_REACTIVE, 1, arena, &run, NULL),
                     MDR_OK);
    mdr_dye_standard_numbers(run, &s, MDR_WAY_REACTIVE, n);
    CHECK_NEAR(n[MDR_NUMBER_FIXATION], 0, 0, "D: nothing fixes");
    CHECK_NEAR(n[MDR_NUMBER_EXHAUSTION],
               100 * mdr_donnan_exhaustion(
                         mdr_donnan_affinity(gone.hydrolysed_affinity_kj_per_mol, 60), gone.charge,
                         MDR_DONNAN_COTTON_L_PER_KG, MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG,
                         mdr_dye_standard_sodium_mol_per_l(&s, MDR_WAY_REACTIVE, true),
                         0.02 / gone.molar_kg_per_mol, s.ratio_l_per_kg),
               0.01, "D: equilibrium of the hydrolysed dye");
    CHECK_NEAR(
        n[MDR_NUMBER_PRIMARY],
        100 * mdr_donnan_exhaustion(mdr_donnan_affinity(gone.affinity_kj_per_mol, 60), gone.charge,
                                    MDR_DONNAN_COTTON_L_PER_KG,
                                    MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG,
                                    mdr_dye_standard_sodium_mol_per_l(&s, MDR_WAY_REACTIVE, false),
                                    0.02 / gone.molar_kg_per_mol, s.ratio_l_per_kg),
        0.1,
        "D: before the alkali equilibrium with the salt alone; at pH 7 next to nothing reacts");
    mdr_arena_free(arena);
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(conditions),
        cmocka_unit_test(refuses),
        cmocka_unit_test(numbers_by_hand),
        cmocka_unit_test(ends_at_equilibrium),
    };
    return cmocka_run_group_tests(TESTS, NULL, NULL);
}
