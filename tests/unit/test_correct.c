#include "search_kit.h"

#include <string.h>

#include "core/recipe/mdr_correct.h"

static mdr_arena *arena;
static mdr_target shade;
static mdr_part parts[MDR_COMBO_MAX];
static const int IDS[] = {0, 1, 5};
static const double DEPTH[] = {0.8, 0.3, 1.1};

static int setup(void **state)
{
    return kit_setup(state);
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

/* What the model makes of these dyes with these strengths, on cloth with this factor. */
static mdr_curve dyed(const int *ids, const double *depth, const double *strength, double cloth,
                      int n)
{
    mdr_part p[MDR_COMBO_MAX];
    mdr_mixture m;
    mdr_cloth c = kit_bare;
    for (int b = 0; b < MDR_BANDS; b++) {
        c.ks.v[b] *= cloth;
    }
    for (int i = 0; i < n; i++) {
        p[i] = (mdr_part){&kit_ladders[ids[i]], depth[i], strength[i]};
    }
    assert_int_equal(mdr_mixture_of(&c, p, n, &m, NULL), MDR_OK);
    return m.curve;
}

/* The recipe of IDS and DEPTH, as it came out with these strengths; standard: as it should have. */
static mdr_correct_in ask(const double *strength, double cloth)
{
    static const double ONE[] = {1, 1, 1};
    mdr_correct_in in = mdr_correct_usual();
    mdr_arena_free(arena);
    arena = mdr_arena_new(16u << 20);
    assert_non_null(arena);
    shade = kit_shade(dyed(IDS, DEPTH, ONE, 1, 3), MDR_DE_CMC, MDR_TIE_LIGHTS);
    for (int i = 0; i < 3; i++) {
        parts[i] = (mdr_part){&kit_ladders[IDS[i]], DEPTH[i], 1};
    }
    in.cloth = &kit_bare;
    in.parts = parts;
    in.n = 3;
    in.sample = dyed(IDS, DEPTH, strength, cloth, 3);
    in.shade = &shade;
    in.tolerance = 0.5;
    return in;
}

static mdr_correct correct(const mdr_correct_in *in)
{
    mdr_correct c;
    mdr_err err = {0};
    if (mdr_correct_bath(in, arena, &c, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return c;
}

static void nothing_to_correct(void **state)
{
    (void)state;
    const double strength[] = {1, 1, 1};
    const mdr_correct_in in = ask(strength, 1);
    const mdr_correct c = correct(&in);
    assert_int_equal(c.way, MDR_WAY_ACCEPT);
    assert_string_equal(mdr_way_id(c.way), "accept");
    CHECK_NEAR(c.before.de, 0, 1e-9, "D: the sample is the standard");
    CHECK_NEAR(c.expected_de, 0, 1e-9, "D: as planned");
    CHECK_NEAR(c.unexplained, 0, 1e-9, "D: nothing is left");
    CHECK_NEAR(c.add_total_pct, 0, 0.01, "D: nothing to add");
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(c.dye[i].strength, 1, 1e-9, "D: as thought");
        CHECK_NEAR(c.next_pct_owf[i], DEPTH[i], 0.01, "D: the same again");
        assert_true(c.dye[i].known && c.dye[i].low < 1 && c.dye[i].high > 1);
    }
}

static void weak_dye_is_added(void **state)
{
    (void)state;
    const double strength[] = {1, 0.8, 0.9};
    const mdr_correct_in in = ask(strength, 1);
    const mdr_correct c = correct(&in);
    assert_int_equal(c.way, MDR_WAY_ADD);
    assert_true(c.before.de > 0.5 && c.after.de < 0.05);
    CHECK_NEAR(c.dye[0].strength, 1, 0.02, "I: the strengths of the invented bath");
    CHECK_NEAR(c.dye[1].strength, 0.8, 0.02, "I: the strengths of the invented bath");
    CHECK_NEAR(c.dye[2].strength, 0.9, 0.02, "I: the strengths of the invented bath");
    CHECK_NEAR(c.add_pct_owf[0], 0, 0.01, "D: it was not weak");
    CHECK_NEAR(c.add_pct_owf[1], 0.3 / 0.8 - 0.3, 0.01, "D: 0.8 (c + a) = c");
    CHECK_NEAR(c.add_pct_owf[2], 1.1 / 0.9 - 1.1, 0.01, "D: 0.9 (c + a) = c");
    CHECK_NEAR(c.add_total_pct, 100 * (0.075 + 0.12222) / 2.2, 0.7, "D: of 2.2 % owf");
    CHECK_NEAR(c.next_pct_owf[1], 0.3 / 0.8, 0.01, "D: c / 0.8");
    assert_true(c.add_low_pct_owf[1] < c.add_pct_owf[1] &&
                c.add_pct_owf[1] < c.add_high_pct_owf[1]);
    mdr_correct_in again = in;
    again.wise_pct = 5;
    assert_int_equal(correct(&again).way, MDR_WAY_ADD_LARGE);
    again = in;
    again.done_count = 2;
    assert_int_equal(correct(&again).way, MDR_WAY_ADD_LARGE);
    again = in;
    again.addition_yield = 0.5;
    CHECK_NEAR(correct(&again).add_pct_owf[1], 2 * c.add_pct_owf[1], 1e-3, "D: half as good");
}

static void strong_dye_cannot_be_added_away(void **state)
{
    (void)state;
    const double one[] = {1, 1.35, 1}, all[] = {1.3, 1.3, 1.3};
    mdr_correct_in in = ask(one, 1);
    mdr_correct c = correct(&in);
    assert_true(c.way == MDR_WAY_STRIP || c.way == MDR_WAY_OVER_DYE);
    CHECK_NEAR(c.next_pct_owf[1], 0.3 / 1.35, 0.01, "D: c / 1.35");
    assert_true(c.next_de < 0.05 && c.after.de > 0.5);
    in = ask(all, 1);
    c = correct(&in);
    assert_true(c.after.dl < 0 && c.after.de <= c.before.de + 1e-6);
    assert_true(c.way == MDR_WAY_STRIP || c.way == MDR_WAY_OVER_DYE);
    assert_string_equal(mdr_way_id(MDR_WAY_OVER_DYE), "over_dye_darker");
    assert_null(mdr_way_id(MDR_WAY_COUNT));
}

/* Over-dye: what is left after the addition is darkness alone; else it is stripped. */
static void over_dye_or_strip(void **state)
{
    (void)state;
    uint64_t seed = 71;
    int over = 0, strip = 0;
    for (int trial = 0; trial < 60; trial++) {
        double strength[3];
        for (int i = 0; i < 3; i++) {
            strength[i] = 0.9 + 0.5 * kit_uniform(&seed);
        }
        const mdr_correct_in in = ask(strength, 1);
        const mdr_correct c = correct(&in);
        over += c.way == MDR_WAY_OVER_DYE;
        strip += c.way == MDR_WAY_STRIP;
        if (c.way == MDR_WAY_OVER_DYE) {
            assert_true(c.after.dl < 0 && fabs(c.after.wl) >= 0.8 * c.after.de);
        }
        if (c.way == MDR_WAY_ADD) {
            assert_true(c.after.de <= 0.5 && c.add_total_pct <= 15);
        }
    }
    assert_true(over > 0 && strip > 0);
}

/* In a pale shade the cloth shows; in a dark one it does not, and that is said. */
static void cloth_is_told_from_dye(void **state)
{
    (void)state;
    const double strength[] = {1, 1, 1}, pale[] = {0.02, 0.0075, 0.0275};
    mdr_correct_in in = ask(strength, 1.5);
    mdr_correct c = correct(&in);
    assert_false(c.cloth.known);
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(c.dye[i].strength, 1, 0.04, "I: the dyes had no part in it");
        parts[i].depth_pct_owf = pale[i];
    }
    in.sample = dyed(IDS, pale, strength, 1.3, 3);
    c = correct(&in);
    assert_true(c.cloth.known);
    CHECK_NEAR(c.cloth.strength, 1.3, 0.07, "I: the cloth of the invented bath");
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(c.dye[i].strength, 1, 0.08, "I: the dyes had no part in it");
    }
}

/* Something no strength explains (here a yellowing that goes with the depth) is kept for next time. */
static void the_unexplained_is_kept(void **state)
{
    (void)state;
    const double strength[] = {0.9, 1.1, 1};
    mdr_correct_in in = ask(strength, 1);
    mdr_curve ks;
    double factor[MDR_BANDS];
    for (int b = 0; b < MDR_BANDS; b++) {
        factor[b] =
            1 + 0.35 * exp(-(b - 3) * (b - 3) / 8.0) - 0.2 * exp(-(b - 17) * (b - 17) / 6.0);
        ks.v[b] = kit_bare.ks.v[b];
        for (int i = 0; i < 3; i++) {
            double added[MDR_BANDS];
            mdr_ladder_ks(&kit_ladders[IDS[i]], DEPTH[i] * strength[i], added, NULL);
            ks.v[b] += added[b];
        }
        ks.v[b] *= factor[b];
    }
    mdr_km_measured(&ks, &kit_bare.surface, &in.sample);
    const mdr_correct c = correct(&in);
    assert_true(c.unexplained > 0.5 && c.next_de < 0.05);
    for (int b = 0; b < MDR_BANDS; b++) {
        ks.v[b] = kit_bare.ks.v[b];
        for (int i = 0; i < 3; i++) {
            double added[MDR_BANDS];
            mdr_ladder_ks(&kit_ladders[IDS[i]], c.next_pct_owf[i] * strength[i], added, NULL);
            ks.v[b] += added[b];
        }
        ks.v[b] *= factor[b];
    }
    mdr_curve again;
    mdr_km_measured(&ks, &kit_bare.surface, &again);
    CHECK_NEAR(mdr_difference_cmc(mdr_lab_of_curve(&shade.standard, &kit_d65),
                                  mdr_lab_of_curve(&again, &kit_d65), 2, 1),
               0, 0.2, "I: the same bath once more");
}

static void what_cannot_be_known(void **state)
{
    (void)state;
    const double strength[] = {1, 1, 1};
    mdr_correct_in in = ask(strength, 1);
    parts[1].depth_pct_owf = 0.002; /* a trace */
    const double depth[] = {0.8, 0.002, 1.1};
    in.sample = dyed(IDS, depth, strength, 1, 3);
    mdr_correct c = correct(&in);
    assert_true(!c.dye[1].known && c.dye[0].known && c.dye[2].known);
    const double twice[] = {1, 2, 1}; /* a trace of double strength is not believed in */
    in.sample = dyed(IDS, depth, twice, 1, 3);
    c = correct(&in);
    assert_true(c.dye[1].strength >= 1 && c.dye[1].strength < 1.2);
    /* one dye under two names */
    static mdr_ladder twin;
    twin = kit_ladders[IDS[0]];
    const int ids[] = {IDS[0], IDS[0], IDS[2]};
    in = ask(strength, 1);
    parts[1].ladder = &twin;
    in.measure_sd_pct = 0.1; /* a careful laboratory: the sum is known well, the two are not */
    in.measure_sd_part = 0.01;
    const double halves[] = {0.55, 0.55, 1.1};
    parts[0].depth_pct_owf = parts[1].depth_pct_owf = 0.55;
    in.sample = dyed(ids, halves, strength, 1, 3);
    c = correct(&in);
    assert_true(c.dye[0].mixed_with == 1 && c.dye[1].mixed_with == 0 && c.dye[2].mixed_with == -1);
}

static void other_dyes_are_needed(void **state)
{
    (void)state;
    const double strength[] = {1, 1, 1};
    mdr_correct_in in = ask(strength, 1);
    for (int b = 0; b < MDR_BANDS; b++) {
        shade.standard.v[b] = 0.05 + 0.7 * exp(-(b - 12) * (b - 12) / 20.0);
    }
    const mdr_correct c = correct(&in);
    assert_int_equal(c.way, MDR_WAY_OTHER_DYES);
    assert_true(c.next_de > 0.5);
}

static void bad(const mdr_correct_in *in, mdr_code code, const char *place)
{
    mdr_err err = {0};
    mdr_correct c = {.n = -7};
    assert_int_equal(mdr_correct_bath(in, arena, &c, &err), code);
    assert_string_equal(err.place, place);
    assert_int_equal(c.n, -7);
}

static void refused(void **state)
{
    (void)state;
    const double strength[] = {1, 1, 1};
    mdr_correct_in in = ask(strength, 1);
    in.n = 0;
    bad(&in, MDR_E_ARG, "parts");
    in.n = 5;
    bad(&in, MDR_E_ARG, "parts");
    in = ask(strength, 1);
    parts[1].depth_pct_owf = 0;
    bad(&in, MDR_E_RANGE, "parts[1].depth_pct_owf");
    in = ask(strength, 1);
    parts[2].ladder = NULL;
    bad(&in, MDR_E_ARG, "parts[2].ladder");
    in = ask(strength, 1);
    in.sample.v[3] = 0.01;
    bad(&in, MDR_E_RANGE, "sample.430nm");
    in = ask(strength, 1);
    in.tolerance = (double)NAN;
    bad(&in, MDR_E_RANGE, "tolerance");
    in = ask(strength, 1);
    in.strength_sd = 0;
    bad(&in, MDR_E_RANGE, "strength_sd");
    in = ask(strength, 1);
    in.addition_yield = 1.1;
    bad(&in, MDR_E_RANGE, "addition_yield");
    in = ask(strength, 1);
    in.done_count = -1;
    bad(&in, MDR_E_RANGE, "done_count");
    in = ask(strength, 1);
    shade.lights = 0;
    mdr_err err = {0};
    mdr_correct c;
    shade.lights = MDR_LIGHTS_MAX + 1;
    assert_int_equal(mdr_correct_bath(&in, arena, &c, &err), MDR_E_ARG);
    assert_string_equal(err.place, "lights");
    in = ask(strength, 1);
    mdr_arena *small = mdr_arena_new(20000);
    assert_int_equal(mdr_correct_bath(&in, small, &c, &err), MDR_E_NOMEM);
    mdr_arena_free(small);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_to_correct),
                                       cmocka_unit_test(weak_dye_is_added),
                                       cmocka_unit_test(strong_dye_cannot_be_added_away),
                                       cmocka_unit_test(over_dye_or_strip),
                                       cmocka_unit_test(cloth_is_told_from_dye),
                                       cmocka_unit_test(the_unexplained_is_kept),
                                       cmocka_unit_test(what_cannot_be_known),
                                       cmocka_unit_test(other_dyes_are_needed),
                                       cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, setup, teardown);
}
