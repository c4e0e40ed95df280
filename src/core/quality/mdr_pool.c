#include "core/quality/mdr_pool.h"

#include <math.h>

mdr_pool_mean mdr_pool_mean_of(const mdr_pool_in *groups, int n, double tau2)
{
    double weights = 0.0, sum = 0.0;
    for (int i = 0; i < n; i++) {
        const double weight = 1.0 / (groups[i].variance + tau2);
        weights += weight;
        sum += weight * groups[i].mean;
    }
    return (mdr_pool_mean){sum / weights, 1.0 / weights};
}

mdr_pool_q mdr_pool_q_of(const mdr_pool_in *groups, int n)
{
    const mdr_pool_mean common = mdr_pool_mean_of(groups, n, 0.0);
    mdr_pool_q q = {.df = n - 1};
    double weights = 0.0, squares = 0.0;
    for (int i = 0; i < n; i++) {
        const double weight = 1.0 / groups[i].variance, off = groups[i].mean - common.mean;
        q.q += weight * off * off;
        weights += weight;
        squares += weight * weight;
    }
    q.room = weights - squares / weights;
    return q;
}

double mdr_pool_tau2(mdr_pool_q q)
{
    return q.df > 0 && q.room > 0.0 ? fmax((q.q - q.df) / q.room, 0.0) : 0.0;
}
