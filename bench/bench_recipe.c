/* Times of the recipe search: 30 invented dyes, up to four in a recipe (31 930 sets), twelve
 * standards. On one core processor time, which other work on the machine disturbs least; on all cores
 * time by the clock. Prints
 * "NAME VALUE" lines and writes some sets of the first standards with their answers to OUT.csv, for
 * recipe_peer.py. How time grows with the dyes to choose from: 10 to 60 of them. With --once, one standard is
 * searched so often and nothing is told: for whoever counts the work.
 *   usage: bench_recipe OUT.csv
 *          bench_recipe --once TIMES */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app/mdr_search_threads.h"
#include "bench_kit.h"
#include "core/recipe/mdr_lattice.h"
#include "core/recipe/mdr_search.h"
#include "dye_kit.h" /* of tests/unit: the invented dyes */

enum { SHADES = 12, ROUNDS = 5, SHOWN = 40, WRITTEN_SHADES = 3, WRITTEN_SETS = 40, LIGHTS = 3 };
enum { DYES_MAX = 4, MANY_DYES = 60 };
static const double TOLERANCE = 0.5; /* CMC(2:1) */

static mdr_ladder ladders[MANY_DYES];
static mdr_choice choices[MANY_DYES];
static mdr_dye dyes[MANY_DYES];
static mdr_cloth cloth;
static mdr_weights lights[LIGHTS];
static mdr_target shades[SHADES];

static double now_s(int threads)
{
    struct timespec t;
    (void)clock_gettime(threads == 1 ? CLOCK_THREAD_CPUTIME_ID : CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static void give_up(const char *what, const mdr_err *err)
{
    (void)fprintf(stderr, "bench_recipe: %s: %s %s\n", what, err->place, err->msg);
    exit(1);
}

/* Mixtures of four of the dyes, bent a little so that none has their curve, and every third a
 * single bright band that few can reach. */
static mdr_curve any_standard(int i, uint64_t *seed)
{
    mdr_curve c;
    int d[4];
    double depth[4];
    if (i % 3 == 2) {
        const double peak_nm = 400 + 300 * kit_uniform(seed);
        const double spread_nm = 60 + 40 * kit_uniform(seed);
        for (int b = 0; b < MDR_BANDS; b++) {
            const double x = (mdr_km_band_nm(b) - peak_nm) / spread_nm;
            c.v[b] = fmin(0.04 + 0.75 * (1 - 0.97 * exp(-x * x)), 0.9);
        }
        return c;
    }
    for (int k = 0; k < 4; k++) {
        d[k] = (int)(kit_uniform(seed) * KIT_DYES);
        depth[k] = (i % 3 == 0 ? 0.6 : 2.0) * kit_uniform(seed);
    }
    c = kit_dyed(d, depth, 4);
    for (int b = 0; b < MDR_BANDS; b++) {
        c.v[b] *= 1 + 0.04 * sin(0.37 * b + i);
    }
    return c;
}

static void make_problem(void)
{
    mdr_err err = {0};
    uint64_t seed = 99;
    const mdr_curve bare = kit_cloth();
    lights[0] = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    lights[1] = mdr_weights_of(MDR_ILL_A, MDR_OBSERVER_10);
    lights[2] = mdr_weights_of(MDR_ILL_F11, MDR_OBSERVER_10);
    if (mdr_cloth_make(&bare, &KIT_SURFACE, &cloth, &err) != MDR_OK) {
        give_up("cloth", &err);
    }
    for (int d = 0; d < MANY_DYES; d++) {
        mdr_rung rungs[KIT_RUNGS];
        kit_rungs(d, rungs);
        const mdr_ladder_in in = kit_ladder_in(rungs, KIT_RUNGS);
        if (mdr_ladder_make(&in, &ladders[d], &err) != MDR_OK) {
            give_up("ladder", &err);
        }
        dyes[d] = mdr_dye_of(&ladders[d]);
        choices[d] = (mdr_choice){.dye = dyes[d], .facts = {{.price_per_kg = 5.0 + d}}};
    }
    for (int i = 0; i < SHADES; i++) {
        shades[i] = (mdr_target){.standard = any_standard(i, &seed),
                                 .light = {&lights[0], &lights[1], &lights[2]},
                                 .light_weight = {0, 1, 1},
                                 .lights = LIGHTS,
                                 .tie = MDR_TIE_LIGHTS,
                                 .tie_weight = MDR_TIE_WEIGHT,
                                 .formula = mdr_difference_usual(MDR_DE_CMC)};
    }
}

typedef struct result {
    double seconds;
    int sets, reached, unsettled;
} result;

/* All of it: tables, sets (31 930 of 30 dyes), ranking, 40 recipes shown. */
static result search(int shade, int n_dyes, int threads)
{
    mdr_err err = {0};
    mdr_search_out out;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    const mdr_search_in in = {.cloth = &cloth,
                              .shade = &shades[shade],
                              .choices = choices,
                              .n = n_dyes,
                              .dyes_max = DYES_MAX,
                              .tolerance = TOLERANCE,
                              .weights = mdr_rank_weights_usual()};
    const double begun = now_s(threads);
    if ((threads == 1 ? mdr_search_recipes(&in, SHOWN, arena, &out, &err)
                      : mdr_search_on_threads(&in, SHOWN, threads, arena, &out, &err)) != MDR_OK) {
        give_up("search", &err);
    }
    const result r = {now_s(threads) - begun, out.sets, out.reached, out.unsettled};
    mdr_arena_free(arena);
    return r;
}

static void row(FILE *out, const char *kind, const double *v, int n)
{
    (void)fprintf(out, "%s", kind);
    for (int i = 0; i < n; i++) {
        (void)fprintf(out, ",%.17g", v[i]);
    }
    (void)fputc('\n', out);
}

static void write_sets(FILE *out, int shade, uint64_t *seed)
{
    mdr_err err = {0};
    mdr_kernel *k;
    mdr_lattice *l;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    if (mdr_kernel_make(&cloth, &shades[shade], dyes, KIT_DYES, arena, &k, &err) != MDR_OK ||
        mdr_lattice_make(k, DYES_MAX, arena, &l, &err) != MDR_OK) {
        give_up("sets", &err);
        return;
    }
    mdr_lattice_solve(l, 0, l->first[DYES_MAX + 1]);
    row(out, "standard", shades[shade].standard.v, MDR_BANDS);
    for (int i = 0; i < WRITTEN_SETS; i++) {
        const mdr_set *s = &l->sets[(int)(kit_uniform(seed) * l->first[DYES_MAX + 1])];
        (void)fprintf(out, "set,%.17g", sqrt(s->square));
        for (int d = 0; d < s->size; d++) {
            (void)fprintf(out, ",%d", s->dye[d]);
        }
        (void)fputc('\n', out);
    }
    mdr_arena_free(arena);
}

/* Kinds of rows: weights (light by light: x, y, z), cloth (K/S), surface (k1, k2), knots (of one
 * dye: depths), ks (of one knot), limit, standard, set (F, dyes). */
static bool write_problem(const char *path)
{
    uint64_t seed = 7;
    FILE *out = fopen(path, "w");
    if (out == NULL) {
        return false;
    }
    for (int j = 0; j < LIGHTS; j++) {
        row(out, "weights", lights[j].x, MDR_BANDS);
        row(out, "weights", lights[j].y, MDR_BANDS);
        row(out, "weights", lights[j].z, MDR_BANDS);
    }
    row(out, "cloth", cloth.ks.v, MDR_BANDS);
    row(out, "surface", (double[]){KIT_SURFACE.k1, KIT_SURFACE.k2}, 2);
    for (int d = 0; d < KIT_DYES; d++) {
        row(out, "knots", ladders[d].depth_pct_owf, ladders[d].knots);
        for (int i = 0; i < ladders[d].knots; i++) {
            row(out, "ks", ladders[d].ks[i], MDR_BANDS);
        }
        row(out, "limit", &ladders[d].limit_pct_owf, 1);
    }
    for (int i = 0; i < WRITTEN_SHADES; i++) {
        write_sets(out, i, &seed);
    }
    const bool bad = ferror(out) != 0;
    return fclose(out) == 0 && !bad;
}

/* Median over the rounds of each shade, then over the shades. */
static void measure(const char *key, mdr_difference_formula formula, int threads)
{
    double middle_ms[SHADES];
    int sets = 0, unsettled = 0, reached = 0;
    for (int i = 0; i < SHADES; i++) {
        double ms[ROUNDS];
        shades[i].formula = mdr_difference_usual(formula);
        for (int r = 0; r < ROUNDS; r++) {
            const result got = search(i, KIT_DYES, threads);
            ms[r] = 1e3 * got.seconds;
            sets = got.sets;
            unsettled += r == 0 ? got.unsettled : 0;
            reached += r == 0 ? got.reached : 0;
        }
        qsort(ms, ROUNDS, sizeof *ms, bench_rising);
        middle_ms[i] = ms[ROUNDS / 2];
    }
    qsort(middle_ms, SHADES, sizeof *middle_ms, bench_rising);
    (void)printf("%s_sets %d\n", key, sets);
    (void)printf("%s_ms %.1f\n", key, middle_ms[SHADES / 2]);
    (void)printf("%s_least_ms %.1f\n", key, middle_ms[0]);
    (void)printf("%s_most_ms %.1f\n", key, middle_ms[SHADES - 1]);
    (void)printf("%s_us_per_set %.2f\n", key, 1e3 * middle_ms[SHADES / 2] / sets);
    (void)printf("%s_reached %d\n", key, reached / SHADES);
    (void)printf("%s_unsettled %d\n", key, unsettled / SHADES);
}

/* One standard of four dyes, for 10 to 60 dyes to choose from. */
static void growth(void)
{
    enum { POINTS = 6 };
    double n[POINTS], ms[POINTS];
    for (int p = 0; p < POINTS; p++) {
        double round_ms[ROUNDS];
        n[p] = 10.0 * (p + 1);
        for (int r = 0; r < ROUNDS; r++) {
            const result got = search(0, (int)n[p], 1);
            round_ms[r] = 1e3 * got.seconds;
            if (r == 0) {
                (void)printf("recipe_grow_%d_sets %d\n", (int)n[p], got.sets);
            }
        }
        ms[p] = bench_say("recipe_grow", (int)n[p], round_ms, ROUNDS);
    }
    (void)printf("recipe_grow_exponent %.2f\n", bench_exponent(n, ms, POINTS));
}

int main(int argc, char **argv)
{
    if (argc == 3 && strcmp(argv[1], "--once") == 0) {
        make_problem();
        for (long i = strtol(argv[2], NULL, 10); i > 0; i--) {
            (void)search(0, KIT_DYES, 1);
        }
        return 0;
    }
    if (argc != 2) {
        (void)fprintf(stderr, "usage: bench_recipe OUT.csv | --once TIMES\n");
        return 2;
    }
    make_problem();
    growth();
    const int cores = mdr_search_threads_usual();
    measure("recipe_2000", MDR_DE_2000, 1);
    measure("recipe_cores", MDR_DE_CMC, cores);
    measure("recipe", MDR_DE_CMC, 1);
    (void)printf("recipe_cores %d\n", cores);
    (void)printf("recipe_wide %d\n", mdr_kernel_has_wide());
    if (!write_problem(argv[1])) {
        (void)fprintf(stderr, "bench_recipe: %s could not be written\n", argv[1]);
        return 1;
    }
    return 0;
}
