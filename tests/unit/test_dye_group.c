/* Groups of dyes: the lists, and that the placeholders give the typical numbers. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dye_standard.h"

#define SRC_TYPICAL "M: dye-group-numbers, the placeholders were made to give them"

static void lists_are_whole(void **state)
{
    (void)state;
    static const mdr_dye_way WAYS[MDR_GROUP_COUNT] = {
        [MDR_GROUP_DIRECT_A] = MDR_WAY_DIRECT, [MDR_GROUP_DIRECT_B] = MDR_WAY_DIRECT,
        [MDR_GROUP_DIRECT_C] = MDR_WAY_DIRECT, [MDR_GROUP_VAT_IN] = MDR_WAY_VAT,
        [MDR_GROUP_VAT_IW] = MDR_WAY_VAT,      [MDR_GROUP_VAT_IK] = MDR_WAY_VAT};
    for (int g = 0; g < MDR_GROUP_COUNT; g++) {
        assert_non_null(mdr_dye_group_id((mdr_dye_group)g));
        assert_true(strlen(mdr_dye_group_words((mdr_dye_group)g)) > 3);
        assert_int_equal(mdr_dye_group_way((mdr_dye_group)g), WAYS[g]);
        for (int h = 0; h < g; h++) {
            assert_string_not_equal(mdr_dye_group_id((mdr_dye_group)g),
                                    mdr_dye_group_id((mdr_dye_group)h));
        }
    }
    assert_null(mdr_dye_group_id(MDR_GROUP_COUNT));
    assert_null(mdr_dye_group_words((mdr_dye_group)-1));
    for (int w = 0; w < 3; w++) {
        assert_int_equal(mdr_dye_group_way(mdr_dye_group_usual((mdr_dye_way)w)), w);
    }
}

static void rates_can_be_used(void **state)
{
    (void)state;
    mdr_err err;
    for (int g = 0; g < MDR_GROUP_COUNT; g++) {
        const mdr_dye_rates r = mdr_dye_group_rates((mdr_dye_group)g);
        if (mdr_dye_rates_check(&r, &err) != MDR_OK) {
            fail_msg("%s: %s", mdr_dye_group_id((mdr_dye_group)g), err.place);
        }
        assert_string_equal(r.dye_id, mdr_dye_group_id((mdr_dye_group)g));
        const bool reactive = mdr_dye_group_way((mdr_dye_group)g) == MDR_WAY_REACTIVE;
        assert_true((r.fix_per_min > 0.0) == reactive);
        assert_true((r.hydrolysis_per_min > 0.0) == reactive);
    }
    const mdr_dye_rates unstated = mdr_dye_group_rates(MDR_GROUP_UNSTATED);
    CHECK_NEAR(unstated.affinity_kj_per_mol,
               mdr_dye_group_rates(MDR_GROUP_VINYL_SULPHONE).affinity_kj_per_mol, 0,
               "contract: those of vinyl sulphone");
}

/* Half a point and a quarter of a minute: the integrator may still be made better. */
static void placeholders_give_the_typical_numbers(void **state)
{
    (void)state;
    for (int i = MDR_GROUP_VINYL_SULPHONE; i < MDR_GROUP_COUNT; i++) {
        const mdr_dye_group g = (mdr_dye_group)i;
        const mdr_group_numbers n = mdr_dye_group_numbers(g);
        const double want[MDR_NUMBER_COUNT] = {n.primary_pct, n.exhaustion_pct, n.first_pct,
                                               n.fixation_pct, n.half_min};
        const mdr_dye_rates rates = mdr_dye_group_rates(g);
        const mdr_dye_standard s = mdr_dye_standard_of(g);
        const mdr_dyeing *run = NULL;
        double got[MDR_NUMBER_COUNT];
        mdr_arena *arena = mdr_arena_new((size_t)1 << 22);
        assert_int_equal(
            mdr_dye_standard_run(&rates, &s, mdr_dye_group_way(g), 0.5, arena, &run, NULL), MDR_OK);
        mdr_dye_standard_numbers(run, &s, mdr_dye_group_way(g), got);
        for (int k = 0; k < MDR_NUMBER_COUNT; k++) {
            if (want[k] > 0.0) {
                CHECK_NEAR(got[k], want[k], k == MDR_NUMBER_HALF ? 0.25 : 0.5, SRC_TYPICAL);
            }
        }
        mdr_arena_free(arena);
    }
}

/* From memory, weak: what the handbook pages say of groups and of heat. */
static void as_the_pages_say(void **state)
{
    (void)state;
    static const struct {
        mdr_dye_group g;
        double s_least, s_most, e_least, e_most, f_least, f_most;
    } ROWS[] = {{MDR_GROUP_VINYL_SULPHONE, 20, 40, 75, 85, 60, 75},
                {MDR_GROUP_BIFUNCTIONAL, 30, 60, 85, 92, 75, 85},
                {MDR_GROUP_BIS_TRIAZINE, 70, 85, 85, 92, 70, 80}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_group_numbers n = mdr_dye_group_numbers(ROWS[i].g);
        assert_true(n.primary_pct >= ROWS[i].s_least && n.primary_pct <= ROWS[i].s_most);
        assert_true(n.exhaustion_pct >= ROWS[i].e_least && n.exhaustion_pct <= ROWS[i].e_most);
        assert_true(n.fixation_pct >= ROWS[i].f_least && n.fixation_pct <= ROWS[i].f_most);
    }
    for (int g = 0; g < MDR_GROUP_COUNT; g++) {
        const mdr_dye_rates r = mdr_dye_group_rates((mdr_dye_group)g);
        assert_true(r.enthalpy_kj_per_mol <= -20 && r.enthalpy_kj_per_mol >= -60);
        assert_true(r.diffusion_ea_kj_per_mol >= 50 && r.diffusion_ea_kj_per_mol <= 60);
        assert_true(r.fix_ea_kj_per_mol >= 60 && r.fix_ea_kj_per_mol <= 80);
        assert_true(r.hydrolysis_ea_kj_per_mol >= 75 && r.hydrolysis_ea_kj_per_mol <= 90);
    }
}

/* What of the dye is on the fibre before the alkali, or at the end where there is none. */
static double taken_up_pct(mdr_dye_group g, const mdr_dye_standard *s)
{
    const mdr_dye_way way = mdr_dye_group_way(g);
    const mdr_dye_rates rates = mdr_dye_group_rates(g);
    const mdr_dyeing *run = NULL;
    double n[MDR_NUMBER_COUNT];
    mdr_arena *arena = mdr_arena_new((size_t)1 << 22);
    assert_int_equal(mdr_dye_standard_run(&rates, s, way, 0.5, arena, &run, NULL), MDR_OK);
    mdr_dye_standard_numbers(run, s, way, n);
    mdr_arena_free(arena);
    return n[way == MDR_WAY_REACTIVE ? MDR_NUMBER_PRIMARY : MDR_NUMBER_EXHAUSTION];
}

static const double DEPTHS_PCT_OWF[] = {0.02, 0.1, 1, 6}; /* a trace, pale, medium, deep */

/* D: with the fibre's own charge in it salt has something to work against at any depth. */
static void salt_brings_every_dye_on(void **state)
{
    (void)state;
    for (int i = MDR_GROUP_VINYL_SULPHONE; i < MDR_GROUP_COUNT; i++) {
        const mdr_dye_group g = (mdr_dye_group)i;
        for (size_t d = 0; d < N_OF(DEPTHS_PCT_OWF); d++) {
            mdr_dye_standard s = mdr_dye_standard_of(g);
            double before = -1;
            s.depth_pct_owf = DEPTHS_PCT_OWF[d];
            for (int step = 0; step <= 10; step++) {
                s.salt_g_per_l = 10.0 * step;
                const double now = taken_up_pct(g, &s);
                if (!(now > before + 0.005)) {
                    fail_msg("%s at %g %%: %g at %g g/L, %g before", mdr_dye_group_id(g),
                             s.depth_pct_owf, now, s.salt_g_per_l, before);
                }
                before = now;
            }
            const double half_salt = 25.0;
            s.salt_g_per_l = 50.0;
            const double whole = taken_up_pct(g, &s);
            s.salt_g_per_l = half_salt;
            if (mdr_dye_group_way(g) == MDR_WAY_REACTIVE) {
                /* P: half the salt is seen in a pale shade too: some points of primary exhaustion */
                assert_true(whole - taken_up_pct(g, &s) > 3.0);
            }
        }
    }
}

/* D: at equilibrium heat drives dye off; given time, so that slow diffusion does not hide it. */
static void heat_drives_every_dye_off(void **state)
{
    (void)state;
    for (int i = MDR_GROUP_VINYL_SULPHONE; i < MDR_GROUP_COUNT; i++) {
        const mdr_dye_group g = (mdr_dye_group)i;
        for (size_t d = 0; d < N_OF(DEPTHS_PCT_OWF); d++) {
            mdr_dye_standard s = mdr_dye_standard_of(g);
            double before = 100;
            s.depth_pct_owf = DEPTHS_PCT_OWF[d];
            s.salt_g_per_l = 40;
            s.before_min = s.before_min > 0 ? 240 : 0;
            s.after_min = s.before_min > 0 ? 60 : 480;
            const double from_c = s.temp_c - 10;
            for (int step = 0; step <= 3; step++) {
                s.temp_c = from_c + 5 * step;
                const double now = taken_up_pct(g, &s);
                if (!(now < before)) {
                    fail_msg("%s at %g %%: %g at %g C, %g before", mdr_dye_group_id(g),
                             s.depth_pct_owf, now, s.temp_c, before);
                }
                before = now;
            }
        }
    }
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(lists_are_whole),
        cmocka_unit_test(rates_can_be_used),
        cmocka_unit_test(placeholders_give_the_typical_numbers),
        cmocka_unit_test(as_the_pages_say),
        cmocka_unit_test(salt_brings_every_dye_on),
        cmocka_unit_test(heat_drives_every_dye_off),
    };
    return cmocka_run_group_tests(TESTS, NULL, NULL);
}
