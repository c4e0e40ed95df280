/* The dyebath on any processor and on one with wide registers: the same bits. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dyeing_parts.h"
#include "dyeing_kit.h"

enum { DYES = 3, SLICES = 7 };

static void same(const double *a, const double *b, int n)
{
    assert_memory_equal(a, b, (size_t)n * sizeof *a);
}

/* Ramp, salt, alkali, dyes that fix and one that does not; `modes` and whether the preparation is uneven. */
static void both(int modes, bool uneven, double fibre_hydrolysis)
{
    static const mdr_dyeing_moment COURSE[] = {{0, 40, 1600, 0.1, 7, false},
                                               {20, 60, 1600, 0.6, 7, false},
                                               {45, 60, 1700, 0.8, 11, false},
                                               {70.3, 60, 1700, 0.8, 11, false}};
    static const mdr_dyeing_dose DOSES[] = {
        {.start_min = 2, .minutes = 15, .kg = 2, .exponent = 1},
        {.start_min = 2, .minutes = 15, .kg = 1, .portions = 3, .dye = 1},
        {.start_min = 4, .minutes = 9, .kg = 1, .exponent = 2, .dye = 2}};
    const double uptake[SLICES] = {0.8, 1.1, 1, 1, 1.3, 0.7, 1};
    mdr_dye_rates dyes[DYES] = {kit_reactive(), kit_direct(), kit_reactive()};
    dyes[0].fibre_hydrolysis = fibre_hydrolysis;
    dyes[2].charge = 2.5;
    mdr_dyeing_in in = {.dyes = dyes,
                        .course = COURSE,
                        .doses = DOSES,
                        .rope = kit_rope(),
                        .sample_min = 1.7,
                        .n_dyes = DYES,
                        .n_moments = N_OF(COURSE),
                        .n_doses = DYES,
                        .slices = SLICES,
                        .modes = modes};
    in.rope.zone_fraction = 0.1;
    in.rope.slice_uptake = uneven ? uptake : NULL;
    const mdr_dyeing *base = NULL, *wide = NULL;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    assert_int_equal(mdr_dyeing_run_base(&in, arena, &base, NULL), MDR_OK);
    assert_int_equal(mdr_dyeing_run_wide(&in, arena, &wide, NULL), MDR_OK);
    const int n = base->n_samples * DYES;
    assert_int_equal(base->n_samples, wide->n_samples);
    assert_true(mdr_dyeing_last(base, base->on_fibre, 0) > 0.3);
    same(base->bath_active, wide->bath_active, n);
    same(base->held, wide->held, n);
    same(base->on_fibre, wide->on_fibre, n);
    same(base->fixed, wide->fixed, n);
    same(base->hydrolysed, wide->hydrolysed, n);
    same(base->spread, wide->spread, n);
    same(base->strike_per_contact_pct, wide->strike_per_contact_pct, n);
    assert_memory_equal(base->map, wide->map, (size_t)n * SLICES * sizeof *base->map);
    assert_true(base->mass_error < 1e-9 && wide->mass_error < 1e-9);
    mdr_arena_free(arena);
}

static void usual_modes(void **state)
{
    (void)state;
    if (!mdr_dyeing_has_wide()) {
        skip();
    }
    both(0, false, 0);
    both(0, true, 0.3);
}

static void other_modes(void **state)
{
    (void)state;
    if (!mdr_dyeing_has_wide()) {
        skip();
    }
    both(3, false, 0);
    both(7, true, 0.2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(usual_modes),
                                       cmocka_unit_test(other_modes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
