/* Times of the dyebath: six hours of three invented dyes on 100 slices of rope, the same on 30 and on one, how
 * time grows with slices and dyes, and a shorter dyeing turn about with CVODE, both held against CVODE at 1e-9.
 * Processor time; median, least and most of some rounds. Prints "NAME VALUE" lines; fails when the core is
 * further off than 0.2 % of the dye.
 * With --once, the six hours are run so often and nothing is told: for whoever counts the work.
 *   usage: bench_dyeing [--once TIMES] */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bench_kit.h"
#include "dyeing_kit.h"  /* of tests/unit: dyes and rope */
#include "dyeing_peer.h" /* of tests/oracle: the same for CVODE */

enum { DYES = 3, MORE_DYES = 12, ROUNDS = 9, SLICES = 10 };
static const double ALLOWED = 2e-3;

static mdr_dye_rates dyes[MORE_DYES];
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

/* One run, ms; its ends. */
static double core_ms(const mdr_dyeing_in *in, double *on, double *fixed)
{
    mdr_err err = {0};
    const mdr_dyeing *d = NULL;
    mdr_arena *arena = mdr_arena_new((size_t)128 << 20);
    const double begun = now_s();
    if (mdr_dyeing_run(in, arena, &d, &err) != MDR_OK) {
        (void)fprintf(stderr, "bench_dyeing: %s: %s\n", err.place, err.msg);
        exit(1);
    }
    const double ms = 1e3 * (now_s() - begun);
    for (int i = 0; i < DYES && i < in->n_dyes; i++) {
        on[i] = mdr_dyeing_last(d, d->on_fibre, i);
        fixed[i] = mdr_dyeing_last(d, d->fixed, i);
    }
    mdr_arena_free(arena);
    return ms;
}

/* The median; sorts. */
static double say(const char *name, double *ms, int n)
{
    qsort(ms, (size_t)n, sizeof *ms, bench_rising);
    (void)printf("%s_ms %.3f\n%s_least_ms %.3f\n%s_most_ms %.3f\n", name, ms[n / 2], name, ms[0],
                 name, ms[n - 1]);
    return ms[n / 2];
}

static double rounds(const char *name, const mdr_dyeing_in *in)
{
    double ms[ROUNDS], on[DYES], fixed[DYES];
    for (int r = 0; r < ROUNDS; r++) {
        ms[r] = core_ms(in, on, fixed);
    }
    return say(name, ms, ROUNDS);
}

static void growth(void)
{
    enum { POINTS = 4 };
    static const double SLICES_OF[POINTS] = {50, 100, 200, 400}, DYES_OF[POINTS] = {1, 3, 6, 12};
    mdr_dyeing_dose doses[MORE_DYES];
    double ms[POINTS];
    for (int i = 0; i < POINTS; i++) {
        char name[40];
        const mdr_dyeing_in in = dyeing(LONG, (int)SLICES_OF[i], 5);
        (void)snprintf(name, sizeof name, "dyeing_grow_%d_slices", (int)SLICES_OF[i]);
        ms[i] = rounds(name, &in);
    }
    (void)printf("dyeing_slices_exponent %.2f\n", bench_exponent(SLICES_OF, ms, POINTS));
    for (int i = 0; i < MORE_DYES; i++) {
        dyes[i] = dyes[i % DYES];
        doses[i] = DOSES[i % DYES];
        doses[i].dye = i;
        doses[i].kg *= 0.25;
    }
    for (int i = 0; i < POINTS; i++) {
        char name[40];
        mdr_dyeing_in in = dyeing(LONG, 100, 5);
        in.doses = doses;
        in.n_doses = in.n_dyes = (int)DYES_OF[i];
        (void)snprintf(name, sizeof name, "dyeing_grow_%d_dyes", (int)DYES_OF[i]);
        ms[i] = rounds(name, &in);
    }
    (void)printf("dyeing_dyes_exponent %.2f\n", bench_exponent(DYES_OF, ms, POINTS));
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

int main(int argc, char **argv)
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
    if (argc == 3 && strcmp(argv[1], "--once") == 0) {
        for (long i = strtol(argv[2], NULL, 10); i > 0; i--) {
            (void)core_ms(&in, on, fixed);
        }
        return 0;
    }
    (void)rounds("dyeing_100", &in);
    in = dyeing(LONG, 30, 5);
    (void)rounds("dyeing_30", &in);
    in = dyeing(LONG, 1, 5);
    in.rope.zone_fraction = 1;
    in.rope.exchange_per_min = 100;
    (void)rounds("dyeing_1", &in);
    growth();

    in = dyeing(SHORT, SLICES, 61);
    (void)core_ms(&in, on, fixed);
    (void)peer_ms(&in, 1e-9, true_on, true_fixed);
    const double core_error = fmax(apart(on, true_on), apart(fixed, true_fixed));
    /* the loosest tolerance at which CVODE is no worse */
    double tolerance = 1e-2, peer_error = 1;
    while (peer_error > core_error && tolerance > 1e-8) {
        tolerance *= 0.3;
        (void)peer_ms(&in, tolerance, peer_on, peer_fixed);
        peer_error = fmax(apart(peer_on, true_on), apart(peer_fixed, true_fixed));
    }
    double core[ROUNDS], other[ROUNDS], ratio[ROUNDS];
    for (int r = 0; r < ROUNDS;
         r++) { /* turn about, so that other work on the machine meets both */
        core[r] = core_ms(&in, on, fixed);
        other[r] = peer_ms(&in, tolerance, peer_on, peer_fixed);
        ratio[r] = other[r] / core[r];
    }
    (void)say("dyeing_core", core, ROUNDS);
    (void)say("dyeing_peer", other, ROUNDS);
    qsort(ratio, ROUNDS, sizeof *ratio, bench_rising);
    (void)printf("dyeing_ratio %.0f\ndyeing_ratio_least %.0f\ndyeing_ratio_most %.0f\n",
                 ratio[ROUNDS / 2], ratio[0], ratio[ROUNDS - 1]);
    (void)printf("dyeing_core_error %.1e\ndyeing_peer_error %.1e\ndyeing_peer_tolerance %.0e\n",
                 core_error, peer_error, tolerance);
    return core_error <= ALLOWED ? 0 : 1;
}
