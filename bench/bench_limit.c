/* What this machine can do at most on one core: products and sums of doubles in the widest registers that the
 * kernels use (AVX2, without fused ones, as everything is built), and bytes from memory. Processor time; the
 * best of some rounds: a limit. Prints "NAME VALUE" lines.
 *   usage: bench_limit */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bench_kit.h"

enum { ROUNDS = 7, LANES = 4, CHAINS = 12, TURNS = 20000000, LONG_ROW = 1 << 24 };
typedef double lanes __attribute__((vector_size(8 * LANES)));

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* Twelve chains that do not wait for one another, half of products and half of sums: what hides the
 * delay of each. Gflop/s. */
static double flops(double *sink)
{
    lanes x[CHAINS];
    for (int c = 0; c < CHAINS; c++) {
        x[c] = (lanes){1.0, 1.1, 1.2, 1.3} + (double)c;
    }
    const lanes times = {1.0 - 1e-9, 1.0 - 1e-9, 1.0 - 1e-9, 1.0 - 1e-9};
    const lanes plus = {1e-9, 1e-9, 1e-9, 1e-9};
    const double begun = now_s();
    for (int i = 0; i < TURNS; i++) {
        for (int c = 0; c < CHAINS; c += 2) {
            x[c] *= times;
            x[c + 1] += plus;
        }
    }
    const double seconds = now_s() - begun;
    for (int c = 0; c < CHAINS; c++) {
        *sink += x[c][0] + x[c][LANES - 1];
    }
    return (double)TURNS * CHAINS * LANES / seconds / 1e9;
}

/* a = b + s c over rows that no cache holds: three rows moved. GB/s. */
static double bytes(double *a, const double *b, const double *c)
{
    const double begun = now_s();
    for (long i = 0; i < LONG_ROW; i++) {
        a[i] = b[i] + 3.0 * c[i];
    }
    return 3.0 * 8.0 * LONG_ROW / (now_s() - begun) / 1e9;
}

int main(void)
{
    double gflops[ROUNDS], gbytes[ROUNDS], sink = 0.0;
    double *a = calloc(LONG_ROW, sizeof *a), *b = calloc(LONG_ROW, sizeof *b),
           *c = calloc(LONG_ROW, sizeof *c);
    if (a == NULL || b == NULL || c == NULL) {
        (void)fprintf(stderr, "bench_limit: no memory\n");
        return 1;
    }
    for (long i = 0; i < LONG_ROW; i++) {
        b[i] = (double)i;
        c[i] = 1.0;
    }
    for (int r = 0; r < ROUNDS; r++) {
        gflops[r] = flops(&sink);
        gbytes[r] = bytes(a, b, c);
        sink += a[r];
    }
    qsort(gflops, ROUNDS, sizeof *gflops, bench_rising);
    qsort(gbytes, ROUNDS, sizeof *gbytes, bench_rising);
    (void)printf("limit_gflops %.1f\nlimit_gb_per_s %.1f\n", gflops[ROUNDS - 1],
                 gbytes[ROUNDS - 1]);
    (void)fprintf(stderr, "%g\n", sink); /* used, so that nothing is left out */
    free(a);
    free(b);
    free(c);
    return 0;
}
