/* Times of the pH of a bath: 200 000 different baths, one after the other, on one core. Processor
 * time, which other work on the machine disturbs least. Prints "NAME VALUE" lines and writes every
 * 400th bath with its pH to OUT.csv, for bath_ph_peer.py.
 *   usage: bench_bath OUT.csv */
#define _POSIX_C_SOURCE 200809L
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"

enum { BATHS = 200000, WRITTEN = 500, ROUNDS = 7 };

/* What a bath may hold, g per kg of water; the column's name is what bath_ph_peer.py knows it by.
 * `share`: part of the baths that have it at all. Ranges: common practice of dyeing and bleaching
 * cotton, wide; the shares are invented. */
static const struct {
    const char *name;
    int substance;
    double least_g_per_kg, most_g_per_kg, share;
} PARTS[] = {{"na2co3", MDR_SUB_NA2CO3, 2, 25, 1},    {"naoh", MDR_SUB_NAOH, 0, 2, 0.5},
             {"nahco3", MDR_SUB_NAHCO3, 0, 5, 0.25},  {"nacl", MDR_SUB_NACL, 0, 100, 0.5},
             {"na2so4", MDR_SUB_NA2SO4, 0, 100, 0.5}, {"acetic", MDR_SUB_HAC, 0, 5, 0.25},
             {"formic", MDR_SUB_FORMIC, 0, 2, 0.1},   {"citric", MDR_SUB_CITRIC, 0, 2, 0.1},
             {"h2o2", MDR_SUB_H2O2, 0, 5, 0.1}};
enum { N_PARTS = sizeof PARTS / sizeof PARTS[0] };
static const double LEAST_C = 20.0, MOST_C = 98.0;

typedef struct recipe {
    double temp_c, g_per_kg[N_PARTS];
} recipe;

static recipe recipes[BATHS];
static mdr_mix mixes[BATHS];
static double ph[BATHS];

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

/* xorshift64*, a fixed seed: the same baths on every machine */
static double uniform(void)
{
    static uint64_t seed = 88172645463325252u;
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return (double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static recipe any_recipe(void)
{
    recipe r = {.temp_c = LEAST_C + (MOST_C - LEAST_C) * uniform()};
    for (int i = 0; i < N_PARTS; i++) {
        const bool there = uniform() < PARTS[i].share;
        const double g = PARTS[i].least_g_per_kg +
                         (PARTS[i].most_g_per_kg - PARTS[i].least_g_per_kg) * uniform();
        r.g_per_kg[i] = there ? g : 0.0;
    }
    return r;
}

static mdr_mix mix_of(const recipe *r)
{
    mdr_mix mix = {.temp_c = r->temp_c};
    for (int i = 0; i < N_PARTS; i++) {
        mdr_mix_add(&mix, PARTS[i].substance, r->g_per_kg[i]);
    }
    return mix;
}

static void make_baths(void)
{
    for (int i = 0; i < BATHS; i++) {
        recipes[i] = any_recipe();
        mixes[i] = mix_of(&recipes[i]);
        if (!mdr_mix_valid(&mixes[i])) {
            (void)fprintf(stderr, "bench_bath: bath %d is beyond what the model is valid for\n", i);
            exit(1);
        }
    }
}

static void model_each_time(void)
{
    for (int i = 0; i < BATHS; i++) {
        ph[i] = mdr_equil_ph(&mixes[i]);
    }
}

/* The same mixes, all at 60 degC. The sum is asked for so that no solve can be left out. */
static double model_at_hand(void)
{
    const mdr_equil_model model = mdr_equil_model_at(60.0);
    double sum = 0.0;
    for (int i = 0; i < BATHS; i++) {
        mdr_equil e;
        mdr_equil_solve(&model, &mixes[i], -1.0, &e);
        sum += e.ph;
    }
    return sum;
}

static void print_rates(const char *name, double *seconds)
{
    qsort(seconds, ROUNDS, sizeof *seconds, rising);
    (void)printf("%s_per_s %.0f\n", name, BATHS / seconds[ROUNDS / 2]);
    (void)printf("%s_least_per_s %.0f\n", name, BATHS / seconds[ROUNDS - 1]);
    (void)printf("%s_most_per_s %.0f\n", name, BATHS / seconds[0]);
}

static bool write_some(const char *path)
{
    FILE *out = fopen(path, "w");
    if (out == NULL) {
        return false;
    }
    (void)fprintf(out, "temp_c");
    for (int i = 0; i < N_PARTS; i++) {
        (void)fprintf(out, ",%s", PARTS[i].name);
    }
    (void)fprintf(out, ",ph\n");
    for (int b = 0; b < BATHS; b += BATHS / WRITTEN) {
        (void)fprintf(out, "%.17g", recipes[b].temp_c);
        for (int i = 0; i < N_PARTS; i++) {
            (void)fprintf(out, ",%.17g", recipes[b].g_per_kg[i]);
        }
        (void)fprintf(out, ",%.17g\n", ph[b]);
    }
    const bool bad = ferror(out) != 0;
    return fclose(out) == 0 && !bad;
}

int main(int argc, char **argv)
{
    double anew_s[ROUNDS], held_s[ROUNDS], sum = 0.0;
    if (argc != 2) {
        (void)fprintf(stderr, "usage: bench_bath OUT.csv\n");
        return 2;
    }
    make_baths();
    for (int r = 0; r < ROUNDS; r++) {
        const double begun = now_s();
        model_each_time();
        const double between = now_s();
        sum += model_at_hand();
        anew_s[r] = between - begun;
        held_s[r] = now_s() - between;
    }
    print_rates("bath_anew", anew_s);
    print_rates("bath_held", held_s);
    (void)printf("bath_held_mean_ph %.4f\n", sum / ((double)BATHS * ROUNDS));
    if (!write_some(argv[1])) {
        (void)fprintf(stderr, "bench_bath: %s could not be written\n", argv[1]);
        return 1;
    }
    return 0;
}
