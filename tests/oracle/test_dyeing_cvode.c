/* The whole rope against CVODE at tight tolerance. */
#include "t.h"

#include "dyeing_kit.h"
#include "dyeing_peer.h"

enum { SLICES = 6, DYES = 2 };

static const mdr_dyeing_moment COURSE[] = {{0, 45, 1600, 0.05, 7, false},
                                           {8, 55, 1600, 0.4, 7, false},
                                           {16, 60, 1650, 0.4, 9, false},
                                           {26, 60, 1700, 0.6, 11, false},
                                           {32, 60, 1700, 0.6, 11, false}};
static const mdr_dyeing_dose DOSES[] = {
    {.start_min = 1, .minutes = 10, .kg = 2, .exponent = 1},
    {.start_min = 2, .minutes = 9, .kg = 1.5, .exponent = 2, .dye = 1}};

static void compare(double zone, double exchange_per_min, double end_min, double tolerance)
{
    mdr_dye_rates dyes[DYES] = {kit_reactive(), kit_reactive()};
    mdr_dyeing_moment course[5];
    double on[DYES], fixed[DYES], map[SLICES * DYES];
    long slopes = 0;
    mdr_err err = {0};
    const mdr_dyeing *d = NULL;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    dyes[0].fibre_hydrolysis = 0.3;
    dyes[1].charge = 2;
    dyes[1].affinity_kj_per_mol = 13;
    dyes[1].diffusion_per_min = 0.03;
    memcpy(course, COURSE, sizeof course);
    course[4].t_min = end_min;
    mdr_dyeing_in in = {.dyes = dyes,
                        .course = course,
                        .doses = DOSES,
                        .rope = kit_rope(),
                        .sample_min = 50,
                        .n_dyes = DYES,
                        .n_moments = 5,
                        .n_doses = 2,
                        .slices = SLICES,
                        .modes = 3};
    in.rope.zone_fraction = zone;
    in.rope.exchange_per_min = exchange_per_min;
    assert_true(peer_run(&in, 1e-8, on, fixed, map, &slopes));
    for (int steps = 0; steps <= 480; steps += 480) { /* the usual ones, and fine ones */
        const double near = steps == 0 ? tolerance : 0.1 * tolerance;
        in.steps_per_turn = steps;
        assert_int_equal(mdr_dyeing_run(&in, arena, &d, &err), MDR_OK);
        for (int i = 0; i < DYES; i++) {
            CHECK_NEAR(mdr_dyeing_last(d, d->on_fibre, i), on[i], near, "O: CVODE");
            CHECK_NEAR(mdr_dyeing_last(d, d->fixed, i), fixed[i], near, "O: CVODE");
            const double mean = on[i] * DOSES[i].kg / in.rope.load_kg;
            for (int s = 0; s < SLICES; s++) {
                const double got = (double)d->map[((d->n_samples - 1) * SLICES + s) * DYES + i];
                CHECK_NEAR(got / mean, map[s * DYES + i] * dyes[i].molar_kg_per_mol / mean,
                           2 * near, "O: CVODE, slice by slice");
            }
        }
    }
    mdr_arena_free(arena);
}

static void nozzle(void **state)
{
    (void)state;
    compare(0.05, 60, 32.3, 1e-3);
}

static void winch(void **state)
{
    (void)state;
    compare(0.6, 1.5, 32.3, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nozzle), cmocka_unit_test(winch)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
