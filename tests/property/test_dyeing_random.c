/* Any dyeing: no dye is lost or made, nothing falls below nothing, what is fixed stays. */
#include "../unit/t.h"

#include "core/exhaust/mdr_dyeing.h"

static uint64_t seed = 20240229;

static double uniform(double low, double high)
{
    seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

static int whole(int low, int high)
{
    return low + (int)uniform(0, high - low + 0.999999);
}

enum { DYES = 4, MOMENTS = 6, DOSES = 8, SLICES = 12, TUBES = 3 };
static mdr_dye_rates dyes[DYES];
static mdr_dyeing_moment course[MOMENTS];
static mdr_dyeing_dose doses[DOSES];
static double pace[SLICES * TUBES];

static mdr_dye_rates any_dye(void)
{
    const bool reactive = uniform(0, 1) < 0.7;
    return (mdr_dye_rates){.molar_kg_per_mol = uniform(0.3, 1.5),
                           .charge = whole(0, 6),
                           .affinity_kj_per_mol = uniform(-5, 35),
                           .enthalpy_kj_per_mol = uniform(-80, 20),
                           .diffusion_per_min = pow(10, uniform(-5, 1)),
                           .diffusion_ea_kj_per_mol = uniform(0, 90),
                           .fix_per_min = reactive ? pow(10, uniform(-4, 2)) : 0,
                           .fix_ea_kj_per_mol = uniform(40, 100),
                           .hydrolysis_per_min = reactive ? pow(10, uniform(-4, 1)) : 0,
                           .hydrolysis_ea_kj_per_mol = uniform(40, 100),
                           .fibre_hydrolysis = uniform(0, 1) < 0.5 ? 0 : uniform(0, 1),
                           .hydrolysed_affinity_kj_per_mol = uniform(-5, 35)};
}

static mdr_dyeing_in any(void)
{
    mdr_dyeing_in in = {.dyes = dyes,
                        .course = course,
                        .doses = doses,
                        .sample_min = uniform(1, 10),
                        .n_dyes = whole(1, DYES),
                        .n_moments = whole(2, MOMENTS),
                        .slices = whole(1, SLICES),
                        .modes = whole(0, MDR_CYLINDER_MODES_MAX),
                        .steps_per_turn = whole(0, 40)};
    mdr_dyeing_rope *rope = &in.rope;
    rope->load_kg = pow(10, uniform(-2, 3));
    rope->held_l_per_kg = uniform(0.5, 4);
    rope->cycle_min = uniform(0.5, 5);
    rope->zone_fraction = uniform(0, 1) < 0.2 ? 1 : pow(10, uniform(-3, 0));
    rope->exchange_per_min = uniform(0, 1) < 0.1 ? 0 : pow(10, uniform(-2, 4));
    rope->flow_l_per_min = uniform(0, 1000);
    rope->tubes = whole(1, TUBES);
    double rest = 1;
    for (int k = 0; k + 1 < rope->tubes; k++) {
        rope->tube_share[k] = rest * uniform(0.2, 0.6);
        rest -= rope->tube_share[k];
    }
    rope->tube_share[rope->tubes - 1] = rest;
    for (int i = 0; i < SLICES * TUBES; i++) {
        pace[i] = pow(10, uniform(-1, 1));
    }
    rope->slice_uptake = uniform(0, 1) < 0.3 ? pace : NULL;
    for (int i = 0; i < in.n_dyes; i++) {
        dyes[i] = any_dye();
    }
    const bool vat = uniform(0, 1) < 0.2;
    for (int i = 0; i < in.n_moments; i++) {
        const bool jump = i > 1 && uniform(0, 1) < 0.2;
        course[i] = (mdr_dyeing_moment){
            .t_min = i == 0 ? uniform(-5, 5) : course[i - 1].t_min + (jump ? 0 : uniform(0.1, 15)),
            .temp_c = uniform(0, 100),
            .liquor_l = i == 0 ? rope->load_kg * rope->held_l_per_kg * uniform(1.05, 8)
                               : course[i - 1].liquor_l * uniform(1, 1.2),
            .sodium_mol_per_l = uniform(0, 1) < 0.2 ? 0 : pow(10, uniform(-4, 0.3)),
            .ph = uniform(4, 13),
            .oxidises = vat && i + 2 > in.n_moments};
    }
    const double begin = course[0].t_min, end = course[in.n_moments - 1].t_min;
    in.n_doses = whole(in.n_dyes, DOSES);
    for (int k = 0; k < in.n_doses; k++) {
        const double start = uniform(begin, end);
        doses[k] = (mdr_dyeing_dose){.start_min = start,
                                     .minutes = uniform(0, 1) < 0.3 ? 0 : uniform(0, end - start),
                                     .kg = rope->load_kg * pow(10, uniform(-5, -1)),
                                     .exponent = uniform(0.3, 4),
                                     .portions = whole(-3, 4) > 0 ? whole(1, 4) : 0,
                                     .dye = k < in.n_dyes ? k : whole(0, in.n_dyes - 1)};
    }
    return in;
}

static void check(const mdr_dyeing_in *in, const mdr_dyeing *d)
{
    /* a look between two visits of the zone takes other steps than the way to the next visit */
    const bool oxidised = in->course[in->n_moments - 1].oxidises;
    const double seen = in->steps_per_turn == 0 || in->steps_per_turn >= 24 ? 2e-3 : 2e-2;
    assert_true(d->mass_error < 1e-9);
    for (int s = 0; s < d->n_samples; s++) {
        for (int i = 0; i < d->n_dyes; i++) {
            const int k = s * d->n_dyes + i;
            const double all =
                d->bath_active[k] + d->bath_hydrolysed[k] + d->held[k] + d->on_fibre[k];
            CHECK_NEAR(all, d->given[k], 1e-9, "D: mass balance");
            const double v[] = {d->bath_active[k], d->bath_hydrolysed[k], d->held[k],
                                d->on_fibre[k],    d->fixed[k],           d->hydrolysed[k]};
            for (size_t j = 0; j < N_OF(v); j++) {
                assert_true(v[j] >= 0 && v[j] <= 1 + 1e-9); /* false for NaN */
            }
            assert_true(d->fixed[k] <= d->on_fibre[k] + 1e-12);
            assert_true(d->spread[k] >= 0 && d->spread[k] <= in->slices * in->rope.tubes * 50);
            if (s > 0) {
                assert_true(d->fixed[k] >= d->fixed[k - d->n_dyes] - seen);
                assert_true(d->given[k] >= d->given[k - d->n_dyes]);
                /* the oxidation counts it as fixed */
                assert_true(oxidised || d->hydrolysed[k] >= d->hydrolysed[k - d->n_dyes] - 1e-2);
            }
        }
        for (int j = 0; j < d->n_slices * d->n_dyes; j++) {
            assert_true(d->map[s * d->n_slices * d->n_dyes + j] >= 0);
        }
    }
    for (int i = 0; i < d->n_dyes; i++) {
        CHECK_NEAR(mdr_dyeing_last(d, d->given, i), 1, 1e-12, "D: the whole programme");
    }
}

static void any_dyeing(void **state)
{
    (void)state;
    for (int i = 0; i < 600; i++) {
        mdr_err err = {0};
        const mdr_dyeing *d = NULL;
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_dyeing_in in = any();
        if (mdr_dyeing_run(&in, arena, &d, &err) != MDR_OK) {
            fail_msg("%d: %s: %s (%s)", i, err.place, err.msg, err.value);
        }
        check(&in, d);
        mdr_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(any_dyeing)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
