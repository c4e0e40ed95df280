/* From known numbers to rates: what cannot be, and what one number alone does. */
#include "dye_known_kit.h"

/* -- what cannot be --------------------------------------------------------------------------- */

static void expect_refused(const mdr_dye_known *k, mdr_code code, const char *place)
{
    mdr_err err;
    const mdr_dye_fit *fit = NULL;
    assert_int_equal(mdr_dye_known_rates(k, arena, &fit, &err), code);
    assert_string_equal(err.place, place);
    assert_true(strlen(err.value) > 0 && strlen(err.allowed) > 0 && strlen(err.remedy) > 0);
    assert_null(fit);
}

static void what_cannot_be(void **state)
{
    (void)state;
    const mdr_dye_group g = MDR_GROUP_VINYL_SULPHONE;
    mdr_dye_known k = reactive(g, 30, 80, 36, 81);
    expect_refused(&k, MDR_E_RANGE, "fixation_pct");
    k = reactive(g, 81, 80, 36, 68);
    expect_refused(&k, MDR_E_RANGE, "primary_exhaustion_pct");
    k = reactive(g, 30, 80, 69, 68);
    expect_refused(&k, MDR_E_RANGE, "fix_first_pct");
    k = reactive(g, 30, 80, 81, 0);
    expect_refused(&k, MDR_E_RANGE, "fix_first_pct");
    static const double BAD[] = {-1, 100, 100.5, (double)NAN, (double)INFINITY};
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        for (size_t i = 0; i < N_OF(BAD); i++) {
            k = reactive(g, 0, 0, 0, 0);
            k.number[n] = BAD[i];
            expect_refused(&k, MDR_E_RANGE, mdr_dye_number_id((mdr_dye_number)n));
        }
    }
    k = reactive(g, 30, 80, 36, 68);
    k.number[MDR_NUMBER_HALF] = 60;
    expect_refused(&k, MDR_E_RANGE, "half_dyeing_min"); /* as long as the dyeing */
    k = mdr_dye_known_of("D", MDR_GROUP_DIRECT_B, MDR_WAY_DIRECT);
    k.number[MDR_NUMBER_PRIMARY] = 50;
    expect_refused(&k, MDR_E_ARG, "primary_exhaustion_pct");
    k = mdr_dye_known_of("D", MDR_GROUP_VAT_IN, MDR_WAY_VAT);
    k.number[MDR_NUMBER_FIXATION] = 50;
    expect_refused(&k, MDR_E_ARG, "fixation_pct");
}

static void what_else_cannot_be(void **state)
{
    (void)state;
    const mdr_dye_group g = MDR_GROUP_VINYL_SULPHONE;
    mdr_dye_known k = mdr_dye_known_of("D", MDR_GROUP_VAT_IN, MDR_WAY_DIRECT);
    expect_refused(&k, MDR_E_ARG, "dyeing_group");
    k = mdr_dye_known_of("D", g, MDR_WAY_REACTIVE);
    k.group = MDR_GROUP_COUNT;
    expect_refused(&k, MDR_E_ARG, "dyeing_group");
    k = reactive(g, 30, 80, 36, 68);
    k.standard.temp_c = 5;
    expect_refused(&k, MDR_E_RANGE, "standard.temp_c");
#define FIELD(f, low, high)                           \
    {                                                 \
#f, offsetof(mdr_dye_known, f), (low), (high) \
    }
    static const struct {
        const char *place;
        size_t offset;
        double low, high;
    } ROWS[] = {FIELD(molar_g_per_mol, 100, 5000), FIELD(charge, 1, 12), FIELD(error_pct, 0.01, 20),
                FIELD(error_min, 0.01, 60)};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double tries[] = {ROWS[i].low - 1e-3, ROWS[i].high + 1e-3, (double)NAN,
                                ROWS[i].low,        ROWS[i].high,        0};
        for (size_t n = 0; n < N_OF(tries); n++) {
            k = reactive(g, 30, 80, 36, 68);
            memcpy((char *)&k + ROWS[i].offset, &tries[n], sizeof tries[n]);
            if (n < 3) {
                expect_refused(&k, MDR_E_RANGE, ROWS[i].place);
            } else {
                assert_int_equal(mdr_dye_known_check(&k, NULL), MDR_OK);
            }
        }
    }
}

/* Every allocation fails once. */
static void no_memory(void **state)
{
    (void)state;
    const mdr_dye_known k = mdr_dye_known_of("D", MDR_GROUP_DIRECT_A, MDR_WAY_DIRECT);
    int failed = 0;
    for (unsigned n = 1; n < 12; n++) {
        const mdr_dye_fit *fit = NULL;
        mdr_err err;
        mdr_arena *own = mdr_arena_new((size_t)1 << 20);
        mdr_arena_fail_at(n);
        const mdr_code rc = mdr_dye_known_rates(&k, own, &fit, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        assert_true((fit == NULL) == (rc != MDR_OK));
        failed += rc == MDR_E_NOMEM;
        mdr_arena_free(own);
    }
    assert_int_equal(failed, 11);
}

/* -- nothing known, one thing known ----------------------------------------------------------- */

static void nothing_known(void **state)
{
    (void)state;
    for (int g = 0; g < MDR_GROUP_COUNT; g++) {
        const mdr_dye_way way = mdr_dye_group_way((mdr_dye_group)g);
        const mdr_dye_known k = mdr_dye_known_of("D7", (mdr_dye_group)g, way);
        const mdr_dye_fit *fit = fit_of(&k);
        mdr_dye_rates group = mdr_dye_group_rates((mdr_dye_group)g);
        assert_string_equal(fit->rates.dye_id, "D7");
        assert_int_equal(fit->verdict, MDR_FIT_MET);
        assert_int_equal(fit->worst, -1);
        assert_int_equal(fit->group_assumed, g == MDR_GROUP_UNSTATED);
        assert_true(fit->group != MDR_GROUP_UNSTATED);
        for (int r = 0; r < MDR_RATE_COUNT; r++) {
            const double v = mdr_rate_of(&group, (mdr_rate)r);
            CHECK_NEAR(mdr_rate_of(&fit->rates, (mdr_rate)r), v, 1e-9 * fabs(v),
                       "contract: the group's");
            assert_int_equal(fit->standing[r].basis, MDR_BASIS_PLACEHOLDER);
            assert_false(fit->standing[r].determined);
            assert_true(fit->standing[r].least <= v * (1 + 1e-9) || v < 0);
        }
        /* 95 % of the group: 1.96 standard deviations either way */
        CHECK_NEAR(fit->standing[MDR_RATE_AFFINITY].most - group.affinity_kj_per_mol,
                   1.959964 * MDR_GROUP_SPREAD.affinity_kj_per_mol, 1e-6, "D: spread of the group");
        CHECK_NEAR(log(group.diffusion_per_min / fit->standing[MDR_RATE_DIFFUSION].least),
                   1.959964 * MDR_GROUP_SPREAD.ln_diffusion, 1e-6, "D: spread of the group");
    }
    const mdr_dye_known k = mdr_dye_known_of("D", MDR_GROUP_UNSTATED, MDR_WAY_VAT);
    assert_int_equal(fit_of(&k)->group, MDR_GROUP_VAT_IN);
}

/* Each number alone moves its own rate and nothing else; all the rest stays the placeholder. */
static void one_number_frees_one_rate(void **state)
{
    (void)state;
    static const struct {
        mdr_dye_group group;
        mdr_dye_number number;
        double value;
        mdr_rate rate;
    } ROWS[] = {
        {MDR_GROUP_VINYL_SULPHONE, MDR_NUMBER_PRIMARY, 40, MDR_RATE_AFFINITY},
        {MDR_GROUP_VINYL_SULPHONE, MDR_NUMBER_EXHAUSTION, 87, MDR_RATE_AFFINITY},
        {MDR_GROUP_BIFUNCTIONAL, MDR_NUMBER_FIRST, 30, MDR_RATE_FIX},
        {MDR_GROUP_BIFUNCTIONAL, MDR_NUMBER_HALF, 14, MDR_RATE_FIX},
        {MDR_GROUP_BIS_TRIAZINE, MDR_NUMBER_FIXATION, 62, MDR_RATE_HYDROLYSIS},
        {MDR_GROUP_DIRECT_A, MDR_NUMBER_HALF, 2.5, MDR_RATE_DIFFUSION},
        {MDR_GROUP_VAT_IK, MDR_NUMBER_EXHAUSTION, 80, MDR_RATE_AFFINITY},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_dye_known k = mdr_dye_known_of("D", ROWS[i].group, mdr_dye_group_way(ROWS[i].group));
        k.number[ROWS[i].number] = ROWS[i].value;
        const mdr_dye_fit *fit = fit_of(&k);
        assert_int_equal(fit->verdict, MDR_FIT_MET);
        assert_int_equal(fit->worst, ROWS[i].number);
        CHECK_NEAR(fit->number[ROWS[i].number], ROWS[i].value, 0.1, "contract: met");
        double again[MDR_NUMBER_COUNT];
        numbers_of(&fit->rates, &k, again);
        CHECK_NEAR(again[ROWS[i].number], fit->number[ROWS[i].number], 1e-9,
                   "contract: the number is that of the rates");
        const mdr_dye_rates group = mdr_dye_group_rates(ROWS[i].group);
        for (int r = 0; r < MDR_RATE_COUNT; r++) {
            const double v = mdr_rate_of(&fit->rates, (mdr_rate)r);
            const double was = mdr_rate_of(&group, (mdr_rate)r);
            /* the hydrolysed dye keeps its distance to the other, hydrolysis its ratio to fixation */
            const bool follows =
                (r == MDR_RATE_HYDROLYSED_AFFINITY && ROWS[i].rate == MDR_RATE_AFFINITY) ||
                (r == MDR_RATE_HYDROLYSIS && ROWS[i].rate == MDR_RATE_FIX);
            if (r == (int)ROWS[i].rate) {
                assert_int_equal(fit->standing[r].basis, MDR_BASIS_FITTED);
                assert_true(fabs(v - was) > 1e-3 * fabs(was));
            } else {
                assert_int_equal(fit->standing[r].basis, MDR_BASIS_PLACEHOLDER);
                assert_true(follows || fabs(v - was) <= 1e-9 * fabs(was));
            }
        }
    }
}

static void given_is_given(void **state)
{
    (void)state;
    mdr_dye_known k = reactive(MDR_GROUP_BIFUNCTIONAL, 45, 88, 44, 80);
    k.molar_g_per_mol = 1234;
    k.charge = 6;
    const mdr_dye_fit *fit = fit_of(&k);
    CHECK_NEAR(fit->rates.molar_kg_per_mol, 1.234, 1e-12, "D: in kg");
    CHECK_NEAR(fit->rates.charge, 6, 0, "contract: as given");
    for (int r = MDR_RATE_MOLAR; r <= MDR_RATE_CHARGE; r++) {
        assert_int_equal(fit->standing[r].basis, MDR_BASIS_GIVEN);
        assert_true(fit->standing[r].determined);
        CHECK_NEAR(fit->standing[r].most, fit->standing[r].least, 0, "contract: no range");
    }
    assert_int_equal(fit->verdict, MDR_FIT_MET);
}

static void names(void **state)
{
    (void)state;
    const mdr_dye_rates r = {.molar_kg_per_mol = 1,
                             .charge = 2,
                             .affinity_kj_per_mol = 3,
                             .enthalpy_kj_per_mol = 4,
                             .diffusion_per_min = 5,
                             .diffusion_ea_kj_per_mol = 6,
                             .fix_per_min = 7,
                             .fix_ea_kj_per_mol = 8,
                             .hydrolysis_per_min = 9,
                             .hydrolysis_ea_kj_per_mol = 10,
                             .fibre_hydrolysis = 11,
                             .hydrolysed_affinity_kj_per_mol = 12};
    for (int i = 0; i < MDR_RATE_COUNT; i++) {
        CHECK_NEAR(mdr_rate_of(&r, (mdr_rate)i), i + 1, 0, "D: in the order of the list");
        assert_int_equal(mdr_rate_applies((mdr_rate)i, MDR_WAY_DIRECT), i <= MDR_RATE_DIFFUSION_EA);
        assert_true(mdr_rate_applies((mdr_rate)i, MDR_WAY_REACTIVE));
    }
    assert_string_equal(mdr_rate_id(MDR_RATE_FIX), "fix_per_min");
    assert_null(mdr_rate_id(MDR_RATE_COUNT));
    assert_string_equal(mdr_rate_basis_id(MDR_BASIS_GIVEN), "given");
    assert_string_equal(mdr_rate_basis_id(MDR_BASIS_PLACEHOLDER), "placeholder");
    assert_null(mdr_rate_basis_id((mdr_rate_basis)3));
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {cmocka_unit_test(what_cannot_be),
                                              cmocka_unit_test(what_else_cannot_be),
                                              cmocka_unit_test(no_memory),
                                              cmocka_unit_test(nothing_known),
                                              cmocka_unit_test(one_number_frees_one_rate),
                                              cmocka_unit_test(given_is_given),
                                              cmocka_unit_test(names)};
    return cmocka_run_group_tests(TESTS, make_room, clear_room);
}
