#include "core/quality/mdr_tail.h"

#include <limits.h>
#include <math.h>

static const double DEVIATE_MOST = 38.0; /* beyond it the tail is no normal double */

/* Terms this much smaller than their sum add nothing to it. */
static const double NOTHING = 1e-18;

/* Sum of the probabilities from `first` to `last`, by the quotient of neighbours; logarithms, because
 * that of 0 itself may be too small to write. */
typedef double ratio_of(int k, int of, double p);

typedef struct series {
    ratio_of *ratio;
    int of;
    double p;
} series;

static double sum_of(const series *s, double log_first, int first, int last)
{
    double log_p = log_first, sum = 0.0;
    for (int k = 0; k <= last; k++) {
        const double ratio = k > 0 ? s->ratio(k, s->of, s->p) : 1.0;
        log_p += log(ratio);
        if (k >= first) {
            const double term = exp(log_p);
            sum += term;
            if (ratio < 1.0 && term <= NOTHING * sum) {
                break;
            }
        }
    }
    return fmin(sum, 1.0);
}

static double binomial_ratio(int k, int of, double p)
{
    return (double)(of - k + 1) / k * p / (1.0 - p);
}

double mdr_tail_binomial(int hits, int of, double p, bool upper)
{
    if (p > 0.5) { /* the misses: fewer terms */
        hits = of - hits;
        p = 1.0 - p;
        upper = !upper;
    }
    const series s = {binomial_ratio, of, p};
    const double log_none = of * log1p(-p);
    return upper ? sum_of(&s, log_none, hits, of) : sum_of(&s, log_none, 0, hits);
}

static double poisson_ratio(int k, int of, double mean)
{
    (void)of;
    return mean / k;
}

double mdr_tail_poisson(int hits, double mean, bool upper)
{
    const series s = {poisson_ratio, 0, mean};
    return upper ? sum_of(&s, -mean, hits, INT_MAX - 1) : sum_of(&s, -mean, 0, hits);
}

double mdr_tail_normal(double z)
{
    return 0.5 * erfc(z / sqrt(2.0));
}

/* The tail falls with z, so the interval is halved until it cannot be any more. */
double mdr_tail_deviate(double tail)
{
    if (tail >= 0.5) {
        return 0.0;
    }
    double low = 0.0, high = DEVIATE_MOST;
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (mdr_tail_normal(middle) > tail) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}
