/* Times of the dyebath: six hours of three invented dyes on 100 slices of rope, the same on 30, and a
 * shorter dyeing beside CVODE, both held against CVODE at 1e-9. Processor time, least of some rounds. Prints
 * "NAME VALUE" lines; fails when the core is further off than 0.2 % of the dye.
 *   usage: bench_dyeing */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <time.h>

#include "dyeing_kit.h"  /* of tests/unit: dyes and rope */
#include "dyeing_peer.h" /* of tests/oracle: the same for CVODE */

enum { DYES = 3, ROUNDS = 7, SLICES = 10 };
static const double ALLOWED = 2e-3;

static mdr_dye_rates dyes[DYES];
static const mdr_dyeing_moment LONG[] = {{0, 30, 1600, 0.01, 7, false},
                                         {40, 60, 1600, 0.7, 7, false},
                                         {80, 60, 1600, 0.7, 7, false},
                                         {120, 60, 1600, 0.95, 10.8, false},
                                         {360, 60, 1600, 0.95, 10.8, false}};
static const mdr_dyeing_moment SHORT[] = {{0, 45, 1600, 0.1, 7, false},
                                          {20, 60, 1600, 0.6, 7, false},
                                          {30, 60, 1600, 0.6, 9, false},
                                          {45, 60, 1600, 0.8, 11, false},
                                          {60.3, 60, 1600, 0.8, 11, false}};
static const mdr_dyeing_dose DOSES[] = {
    {.start_min = 2, .minutes = 15, .kg = 2, .exponent = 1},
    {.start_min = 2, .minutes = 15, .kg = 1, .exponent = 1, .dye = 1},
    {.start_min = 2, .minutes = 15, .kg = 1, .exponent = 2, .dye = 2}};

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static mdr_dyeing_in dyeing(const mdr_dyeing_moment *course, int slices, double sample_min)
{
    return (mdr_dyeing_in){.dyes = dyes,
                           .course = course,
                           .doses = DOSES,
                           .rope = kit_rope(),
                           .sample_min = sample_min,
                           .n_dyes = DYES,
                           .n_moments = 5,
                           .n_doses = DYES,
                           .slices = slices};
}

/* Least time of the rounds, ms; the ends of the last one. */
static double core_ms(const mdr_dyeing_in *in, double *on, double *fixed)
{
    double least = 1e9;
    for (int r = 0; r < ROUNDS; r++) {
        mdr_err err = {0};
        const mdr_dyeing *d = NULL;
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const double begun = now_s();
        if (mdr_dyeing_run(in, arena, &d, &err) != MDR_OK) {
            (void)fprintf(stderr, "bench_dyeing: %s: %s\n", err.place, err.msg);
            exit(1);
        }
        least = fmin(least, 1e3 * (now_s() - begun));
        for (int i = 0; i < DYES; i++) {
            on[i] = mdr_dyeing_last(d, d->on_fibre, i);
            fixed[i] = mdr_dyeing_last(d, d->fixed, i);
        }
        mdr_arena_free(arena);
    }
    return least;
}

static double peer_ms(const mdr_dyeing_in *in, double tolerance, double *on, double *fixed)
{
    double map[SLICES * DYES];
    long slopes = 0;
    const double begun = now_s();
    if (!peer_run(in, tolerance, on, fixed, map, &slopes)) {
        (void)fprintf(stderr, "bench_dyeing: CVODE gave up\n");
        exit(1);
    }
    return 1e3 * (now_s() - begun);
}

static double apart(const double *a, const double *b)
{
    double most = 0;
    for (int i = 0; i < DYES; i++) {
        most = fmax(most, fabs(a[i] - b[i]));
    }
    return most;
}

int main(void)
{
    double on[DYES], fixed[DYES], peer_on[DYES], peer_fixed[DYES], true_on[DYES], true_fixed[DYES];
    for (int i = 0; i < DYES; i++) {
        dyes[i] = kit_reactive();
    }
    dyes[1].affinity_kj_per_mol = 14;
    dyes[1].charge = 2;
    dyes[2].affinity_kj_per_mol = 20;
    dyes[2].charge = 4;
    dyes[2].diffusion_per_min = 0.006;
    mdr_dyeing_in in = dyeing(LONG, 100, 5);
    (void)printf("dyeing_100_ms %.2f\n", core_ms(&in, on, fixed));
    in = dyeing(LONG, 30, 5);
    (void)printf("dyeing_30_ms %.2f\n", core_ms(&in, on, fixed));
    in = dyeing(LONG, 1, 5);
    in.rope.zone_fraction = 1;
    in.rope.exchange_per_min = 100;
    (void)printf("dyeing_1_ms %.2f\n", core_ms(&in, on, fixed));

    in = dyeing(SHORT, SLICES, 61);
    const double core = core_ms(&in, on, fixed);
    (void)peer_ms(&in, 1e-9, true_on, true_fixed);
    const double core_error = fmax(apart(on, true_on), apart(fixed, true_fixed));
    /* the loosest tolerance at which CVODE is no worse */
    double tolerance = 1e-2, cvode = 0, peer_error = 1;
    while (peer_error > core_error && tolerance > 1e-8) {
        tolerance *= 0.3;
        cvode = peer_ms(&in, tolerance, peer_on, peer_fixed);
        peer_error = fmax(apart(peer_on, true_on), apart(peer_fixed, true_fixed));
    }
    (void)printf("dyeing_core_ms %.3f\ndyeing_core_error %.1e\n", core, core_error);
    (void)printf("dyeing_peer_ms %.1f\ndyeing_peer_error %.1e\ndyeing_peer_tolerance %.0e\n", cvode,
                 peer_error, tolerance);
    return core_error <= ALLOWED ? 0 : 1;
}
