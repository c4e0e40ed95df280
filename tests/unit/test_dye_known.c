/* From known numbers to rates: what cannot be, what is met, what is found again, what is known. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dye_known.h"

#define SRC_SELF "D: the numbers were made with known rates"

static mdr_arena *arena;

static int make_room(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)1 << 26);
    return arena == NULL;
}

static int clear_room(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_dye_known reactive(mdr_dye_group g, double s, double e, double r, double f)
{
    mdr_dye_known k = mdr_dye_known_of("D", g, MDR_WAY_REACTIVE);
    k.number[MDR_NUMBER_PRIMARY] = s;
    k.number[MDR_NUMBER_EXHAUSTION] = e;
    k.number[MDR_NUMBER_FIRST] = r;
    k.number[MDR_NUMBER_FIXATION] = f;
    return k;
}

static const mdr_dye_fit *fit_of(const mdr_dye_known *k)
{
    const mdr_dye_fit *fit = NULL;
    mdr_err err;
    if (mdr_dye_known_rates(k, arena, &fit, &err) != MDR_OK) {
        fail_msg("%s: %s (%s)", err.place, err.msg, err.value);
    }
    return fit;
}

static void numbers_of(const mdr_dye_rates *rates, const mdr_dye_known *k, double *n)
{
    const mdr_dyeing *run = NULL;
    mdr_arena *own = mdr_arena_new((size_t)1 << 22);
    assert_int_equal(mdr_dye_standard_run(rates, &k->standard, k->way, 0.5, own, &run, NULL),
                     MDR_OK);
    mdr_dye_standard_numbers(run, &k->standard, k->way, n);
    mdr_arena_free(own);
}

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
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(what_cannot_be),
        cmocka_unit_test(what_else_cannot_be),
        cmocka_unit_test(no_memory),
        cmocka_unit_test(nothing_known),
        cmocka_unit_test(one_number_frees_one_rate),
        cmocka_unit_test(given_is_given),
        cmocka_unit_test(rates_are_found_again),
        cmocka_unit_test(five_numbers),
        cmocka_unit_test(ranges_hold),
        cmocka_unit_test(numbers_that_disagree),
        cmocka_unit_test(reading_error_counts),
        cmocka_unit_test(ranges_are_those_of_refitting),
        cmocka_unit_test(names),
    };
    return cmocka_run_group_tests(TESTS, make_room, clear_room);
}
