/* What the measuring programs share: medians, what time grows with. */
#ifndef BENCH_KIT_H
#define BENCH_KIT_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static inline int bench_rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Prints NAME_SIZE with median, least and most; gives the median. Sorts. */
static inline double bench_say(const char *name, int size, double *ms, int n)
{
    qsort(ms, (size_t)n, sizeof *ms, bench_rising);
    (void)printf("%s_%d_ms %.3f\n%s_%d_least_ms %.3f\n%s_%d_most_ms %.3f\n", name, size, ms[n / 2],
                 name, size, ms[0], name, size, ms[n - 1]);
    return ms[n / 2];
}

/* Slope of ln time over ln size. */
static inline double bench_exponent(const double *size, const double *ms, int n)
{
    double x = 0, y = 0, xx = 0, xy = 0;
    for (int i = 0; i < n; i++) {
        x += log(size[i]) / n;
        y += log(ms[i]) / n;
    }
    for (int i = 0; i < n; i++) {
        xx += (log(size[i]) - x) * (log(size[i]) - x);
        xy += (log(size[i]) - x) * (log(ms[i]) - y);
    }
    return xy / xx;
}

#endif
