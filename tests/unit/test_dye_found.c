/* Rates found again from numbers, with their ranges; numbers that no rates can meet. */
#include "dye_known_kit.h"

/* Sum of twelve less six, near enough to normal; the same sequence everywhere. */
static double normal(uint64_t *seed)
{
    double sum = -6.0;
    for (int i = 0; i < 12; i++) {
        *seed ^= *seed << 13;
        *seed ^= *seed >> 7;
        *seed ^= *seed << 17;
        sum += (double)(*seed >> 11) / 9007199254740992.0;
    }
    return sum;
}

/* -- found again ------------------------------------------------------------------------------ */

/* A dye of the group, drawn `part` of its spread around the placeholder. */
static mdr_dye_rates draw(mdr_dye_group g, double part, bool diffusion_too, uint64_t *seed)
{
    const mdr_group_spread *w = &MDR_GROUP_SPREAD;
    mdr_dye_rates r = mdr_dye_group_rates(g);
    const double shift = part * w->affinity_kj_per_mol * normal(seed);
    r.affinity_kj_per_mol += shift;
    r.hydrolysed_affinity_kj_per_mol += shift + part * w->hydrolysed_kj_per_mol * normal(seed);
    const double faster = exp(part * w->ln_fix * normal(seed));
    r.fix_per_min *= faster;
    r.hydrolysis_per_min *= faster * exp(part * w->ln_hydrolysis * normal(seed));
    if (diffusion_too) {
        r.diffusion_per_min *= exp(part * w->ln_diffusion * normal(seed));
    }
    return r;
}

/* 500 dyes that differ in what S, E, R and F tell: the very rates come back. */
static void rates_are_found_again(void **state)
{
    (void)state;
    uint64_t seed = 88172645463325252u;
    int tried = 0;
    for (int i = 0; i < 500; i++) {
        const mdr_dye_group g = (mdr_dye_group)(MDR_GROUP_VINYL_SULPHONE + i % 4);
        const mdr_dye_rates truth = draw(g, 0.7, false, &seed);
        mdr_dye_known k = reactive(g, 0, 0, 0, 0);
        numbers_of(&truth, &k, k.number);
        k.number[MDR_NUMBER_HALF] = 0;
        if (k.number[MDR_NUMBER_PRIMARY] > k.number[MDR_NUMBER_EXHAUSTION]) {
            continue; /* so hydrolysable that it comes off again: refused, see above */
        }
        const mdr_dye_fit *fit = fit_of(&k);
        tried++;
        assert_int_equal(fit->verdict, MDR_FIT_MET);
        assert_true(fit->worst_gap <= 0.1);
        for (int r = 0; r < MDR_RATE_COUNT; r++) {
            const double v = mdr_rate_of(&fit->rates, (mdr_rate)r);
            const double t = mdr_rate_of(&truth, (mdr_rate)r);
            assert_true(fit->standing[r].least <= t && t <= fit->standing[r].most);
            if (fit->standing[r].determined && fabs(v - t) > 0.01 * fabs(t)) {
                fail_msg("dye %d, %s: got %g, made with %g", i, mdr_rate_id((mdr_rate)r), v, t);
            }
        }
    }
    assert_true(tried > 480);
}

/* Five numbers, five rates: the numbers are met and the truth lies within the range. */
static void five_numbers(void **state)
{
    (void)state;
    uint64_t seed = 1234567u;
    for (int i = 0; i < 40; i++) {
        const mdr_dye_group g = (mdr_dye_group)(MDR_GROUP_VINYL_SULPHONE + i % 4);
        const mdr_dye_rates truth = draw(g, 0.5, true, &seed);
        mdr_dye_known k = reactive(g, 0, 0, 0, 0);
        numbers_of(&truth, &k, k.number);
        if (k.number[MDR_NUMBER_PRIMARY] > k.number[MDR_NUMBER_EXHAUSTION]) {
            continue;
        }
        const mdr_dye_fit *fit = fit_of(&k);
        assert_int_equal(fit->verdict, MDR_FIT_MET);
        for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
            CHECK_NEAR(fit->number[n], k.number[n], 0.1, "contract: met");
        }
        assert_int_equal(fit->standing[MDR_RATE_DIFFUSION].basis, MDR_BASIS_FITTED);
        assert_false(fit->standing[MDR_RATE_DIFFUSION].determined); /* says next to nothing of it */
        for (int r = 0; r < MDR_RATE_COUNT; r++) {
            const double t = mdr_rate_of(&truth, (mdr_rate)r);
            assert_true(fit->standing[r].least <= t && t <= fit->standing[r].most);
        }
    }
}

/* The ranges are worth what they say: of dyes that differ in everything, read with errors, about
 * 95 % lie within. */
static void ranges_hold(void **state)
{
    (void)state;
    static const mdr_rate LOOKED_AT[] = {MDR_RATE_AFFINITY, MDR_RATE_DIFFUSION, MDR_RATE_FIX,
                                         MDR_RATE_HYDROLYSIS, MDR_RATE_HYDROLYSED_AFFINITY};
    uint64_t seed = 362436069u;
    int within[N_OF(LOOKED_AT)] = {0}, tried = 0, not_met = 0;
    for (int i = 0; i < 160; i++) {
        const mdr_dye_group g = (mdr_dye_group)(MDR_GROUP_VINYL_SULPHONE + i % 4);
        const mdr_dye_rates truth = draw(g, 1.0, true, &seed);
        mdr_dye_known k = reactive(g, 0, 0, 0, 0);
        numbers_of(&truth, &k, k.number);
        k.number[MDR_NUMBER_HALF] = 0;
        for (int n = 0; n < MDR_NUMBER_HALF; n++) {
            k.number[n] += MDR_KNOWN_ERROR_PCT * normal(&seed);
        }
        if (mdr_dye_known_check(&k, NULL) != MDR_OK) {
            continue;
        }
        const mdr_dye_fit *fit = fit_of(&k);
        tried++;
        not_met += fit->verdict != MDR_FIT_MET;
        for (size_t r = 0; r < N_OF(LOOKED_AT); r++) {
            const double t = mdr_rate_of(&truth, LOOKED_AT[r]);
            const mdr_rate_standing *s = &fit->standing[LOOKED_AT[r]];
            within[r] += s->least <= t && t <= s->most;
        }
    }
    assert_true(tried > 130);
    assert_true(not_met < tried / 4);
    for (size_t r = 0; r < N_OF(LOOKED_AT); r++) {
        if (within[r] < 0.87 * tried) {
            fail_msg("%s: %d of %d within the 95 %% range", mdr_rate_id(LOOKED_AT[r]), within[r],
                     tried);
        }
    }
}

/* -- what no rates can meet ------------------------------------------------------------------- */

/* A little apart: within the errors of reading. Half fixed at 20 min when more than half of it is
 * fixed at 10: no rates do that. */
static void numbers_that_disagree(void **state)
{
    (void)state;
    mdr_dye_known k = reactive(MDR_GROUP_BIFUNCTIONAL, 45, 88, 44, 80);
    k.number[MDR_NUMBER_HALF] = 9.6;
    const mdr_dye_fit *fit = fit_of(&k);
    assert_int_equal(fit->verdict, MDR_FIT_NEAR);
    assert_true(fit->worst_gap > MDR_KNOWN_MET && fit->worst_gap < 2.0);
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        const double gap = fabs(fit->number[n] - k.number[n]);
        assert_true(gap <= fit->worst_gap && (gap == fit->worst_gap) == (n == fit->worst));
    }
    CHECK_NEAR(fit->number[MDR_NUMBER_PRIMARY], 45, 1, "contract: within the error of reading");
    k.number[MDR_NUMBER_HALF] = 20;
    fit = fit_of(&k);
    assert_int_equal(fit->verdict, MDR_FIT_APART);
    assert_true(fit->worst_gap > 2.0);
    assert_true(fit->runs < 600);
    assert_int_equal(fit->standing[MDR_RATE_DIFFUSION].basis, MDR_BASIS_FITTED);
    assert_int_equal(fit->standing[MDR_RATE_ENTHALPY].basis, MDR_BASIS_PLACEHOLDER);
    double again[MDR_NUMBER_COUNT];
    numbers_of(&fit->rates, &k, again);
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        CHECK_NEAR(again[n], fit->number[n], 1e-9, "contract: the numbers are those of the rates");
    }
    /* whoever reads as badly as that has nothing to complain of */
    k.error_pct = 10;
    k.error_min = 10;
    assert_int_equal(fit_of(&k)->verdict, MDR_FIT_NEAR);
    for (int v = 0; v < MDR_FIT_VERDICT_COUNT; v++) {
        assert_non_null(mdr_fit_verdict_id((mdr_fit_verdict)v));
        assert_non_null(mdr_fit_verdict_words((mdr_fit_verdict)v));
    }
    assert_null(mdr_fit_verdict_id(MDR_FIT_VERDICT_COUNT));
    assert_null(mdr_fit_verdict_words(MDR_FIT_VERDICT_COUNT));
}

/* The better the reading, the narrower the range; what nobody read stays open. */
static void reading_error_counts(void **state)
{
    (void)state;
    mdr_dye_known k = reactive(MDR_GROUP_BIFUNCTIONAL, 45, 88, 44, 80);
    const mdr_rate_standing usual = fit_of(&k)->standing[MDR_RATE_FIX];
    k.error_pct = 4;
    const mdr_rate_standing badly = fit_of(&k)->standing[MDR_RATE_FIX];
    assert_true(badly.most > 1.15 * usual.most && badly.least < 0.9 * usual.least);
    k.error_pct = MDR_KNOWN_ERROR_PCT;
    const mdr_rate_standing same = fit_of(&k)->standing[MDR_RATE_FIX];
    CHECK_NEAR(same.most, usual.most, 1e-12, "contract: 0 is the usual error");
    assert_true(usual.determined);
    /* nothing but E and F: fixation against hydrolysis, but neither of the two */
    k = reactive(MDR_GROUP_BIFUNCTIONAL, 0, 88, 0, 80);
    const mdr_dye_fit *fit = fit_of(&k);
    assert_int_equal(fit->verdict, MDR_FIT_MET);
    assert_int_equal(fit->standing[MDR_RATE_FIX].basis, MDR_BASIS_PLACEHOLDER);
    assert_false(fit->standing[MDR_RATE_FIX].determined);
    assert_int_equal(fit->standing[MDR_RATE_HYDROLYSIS].basis, MDR_BASIS_FITTED);
    assert_false(fit->standing[MDR_RATE_HYDROLYSIS].determined);
}

/* What a point more or less of each number does to the rates is what their ranges are made of; only
 * the diffusion, which none of these numbers tells, comes on top. */
static void ranges_are_those_of_refitting(void **state)
{
    (void)state;
    static const mdr_rate LOOKED_AT[] = {MDR_RATE_FIX, MDR_RATE_HYDROLYSIS,
                                         MDR_RATE_HYDROLYSED_AFFINITY};
    static const double AT_MOST[] = {1.02, 1.35, 1.2}; /* times as much, for the diffusion */
    mdr_dye_known k = reactive(MDR_GROUP_BIS_TRIAZINE, 77, 88, 30, 75);
    k.standard.temp_c = 60; /* at the reference, so that no heat of activation plays in */
    const mdr_dye_fit *fit = fit_of(&k);
    double square[N_OF(LOOKED_AT)] = {0};
    for (int n = 0; n < MDR_NUMBER_HALF; n++) {
        const mdr_dye_fit *side[2];
        for (int up = 0; up < 2; up++) {
            mdr_dye_known moved = k;
            moved.number[n] += up ? 0.25 : -0.25;
            side[up] = fit_of(&moved);
            assert_int_equal(side[up]->verdict, MDR_FIT_MET);
        }
        for (size_t r = 0; r < N_OF(LOOKED_AT); r++) {
            const double low = mdr_rate_of(&side[0]->rates, LOOKED_AT[r]);
            const double high = mdr_rate_of(&side[1]->rates, LOOKED_AT[r]);
            const bool ln = LOOKED_AT[r] != MDR_RATE_HYDROLYSED_AFFINITY;
            const double per_point = (ln ? log(high / low) : high - low) / 0.5;
            square[r] += per_point * per_point * MDR_KNOWN_ERROR_PCT * MDR_KNOWN_ERROR_PCT;
        }
    }
    for (size_t r = 0; r < N_OF(LOOKED_AT); r++) {
        const mdr_rate_standing *s = &fit->standing[LOOKED_AT[r]];
        const bool ln = LOOKED_AT[r] != MDR_RATE_HYDROLYSED_AFFINITY;
        const double reach = (ln ? log(s->most / s->least) : s->most - s->least) / 2.0;
        const double want = 1.959964 * sqrt(square[r]);
        if (!(reach > 0.99 * want && reach < AT_MOST[r] * want)) {
            fail_msg("%s: range %g, by refitting %g", mdr_rate_id(LOOKED_AT[r]), reach, want);
        }
    }
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(rates_are_found_again), cmocka_unit_test(five_numbers),
        cmocka_unit_test(ranges_hold),           cmocka_unit_test(numbers_that_disagree),
        cmocka_unit_test(reading_error_counts),  cmocka_unit_test(ranges_are_those_of_refitting)};
    return cmocka_run_group_tests(TESTS, make_room, clear_room);
}
