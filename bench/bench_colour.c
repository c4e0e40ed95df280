/* CIEDE2000 of a million pairs on one core: many at once, one after the other, and by Little CMS 2,
 * turn about. Processor time, which other work on the machine disturbs least. Prints "NAME VALUE"
 * lines; fails when the three do not agree.
 *   usage: bench_colour */
#define _POSIX_C_SOURCE 200809L
#include <lcms2.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "core/colour/mdr_difference.h"
#include "core/colour/mdr_difference_many.h"

enum { PAIRS = 1000000, ROUNDS = 7 };
static const double AGREE_WITHIN = 1e-6;

static mdr_lab from[PAIRS], to[PAIRS];
static double many[PAIRS], one[PAIRS], peer[PAIRS];

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static int rising(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return x < y ? -1 : x > y ? 1 : 0;
}

/* xorshift64*, a fixed seed: the same pairs on every machine */
static double uniform(double low, double high)
{
    static uint64_t seed = 88172645463325252u;
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return low +
           (high - low) * ((double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0);
}

/* Half of them far apart, half within a few units, all hues. */
static void make_pairs(void)
{
    for (int i = 0; i < PAIRS; i++) {
        const double apart = i % 2 == 0 ? 60.0 : 2.0;
        from[i] = (mdr_lab){uniform(5, 95), uniform(-80, 80), uniform(-80, 80)};
        to[i] = (mdr_lab){from[i].l, from[i].a + uniform(-1, 1) * apart,
                          from[i].b + uniform(-1, 1) * apart};
    }
}

static void one_by_one(void)
{
    for (int i = 0; i < PAIRS; i++) {
        one[i] = mdr_difference_2000(from[i], to[i], 1.0, 1.0, 1.0);
    }
}

static void by_peer(void)
{
    for (int i = 0; i < PAIRS; i++) {
        const cmsCIELab p = {from[i].l, from[i].a, from[i].b};
        const cmsCIELab q = {to[i].l, to[i].a, to[i].b};
        peer[i] = cmsCIE2000DeltaE(&p, &q, 1.0, 1.0, 1.0);
    }
}

static double print_rates(const char *name, double *seconds)
{
    qsort(seconds, ROUNDS, sizeof *seconds, rising);
    (void)printf("%s_m_per_s %.2f\n", name, PAIRS / seconds[ROUNDS / 2] / 1e6);
    (void)printf("%s_least_m_per_s %.2f\n", name, PAIRS / seconds[ROUNDS - 1] / 1e6);
    (void)printf("%s_most_m_per_s %.2f\n", name, PAIRS / seconds[0] / 1e6);
    return seconds[ROUNDS / 2];
}

int main(void)
{
    double many_s[ROUNDS], one_s[ROUNDS], peer_s[ROUNDS], worst = 0.0;
    make_pairs();
    for (int r = 0; r < ROUNDS; r++) {
        const double a = now_s();
        mdr_difference_2000_many(from, to, PAIRS, 1.0, 1.0, 1.0, many);
        const double b = now_s();
        one_by_one();
        const double c = now_s();
        by_peer();
        many_s[r] = b - a;
        one_s[r] = c - b;
        peer_s[r] = now_s() - c;
    }
    const double many_median_s = print_rates("de2000_many", many_s);
    (void)print_rates("de2000_one", one_s);
    (void)printf("de2000_ratio %.2f\n", print_rates("de2000_peer", peer_s) / many_median_s);
    for (int i = 0; i < PAIRS; i++) {
        worst = fmax(worst, fmax(fabs(many[i] - peer[i]), fabs(many[i] - one[i])));
    }
    (void)printf("de2000_most_difference %.2g\n", worst);
    if (!(worst < AGREE_WITHIN)) {
        (void)fprintf(stderr, "bench_colour: the three differ by %g\n", worst);
        return 1;
    }
    return 0;
}
