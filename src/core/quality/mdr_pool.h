/*
 * mdr_pool.h - group means that are known more or less well and scatter round a common one: how much
 * they scatter beyond that, and what the common mean is.
 *
 * Layer: core/quality (pure). Methods: docs/methods/laboratory-to-bulk.md#spread-between-groups
 *
 * Source (key of docs/sources.md): [dersimonian-laird]
 *
 * Symbols: q sum of squares round the weighted mean; tau2 variance between groups. Units those of
 * the means.
 */
#ifndef MDR_POOL_H
#define MDR_POOL_H

typedef struct mdr_pool_in {
    double mean;
    double variance; /* of that mean, > 0 */
} mdr_pool_in;

/* q, its degrees of freedom and its room: q has the mean df + room tau2. Those of several sets of
 * groups that share tau2 add up. */
typedef struct mdr_pool_q {
    double q, room;
    int df;
} mdr_pool_q;

/* n >= 1. */
mdr_pool_q mdr_pool_q_of(const mdr_pool_in *groups, int n);
/* Variance between groups, >= 0: what q is above its degrees of freedom; 0 where df is. */
double mdr_pool_tau2(mdr_pool_q q);

typedef struct mdr_pool_mean {
    double mean, variance; /* variance of that mean */
} mdr_pool_mean;

/* Common mean of groups that scatter by tau2; n >= 1. */
mdr_pool_mean mdr_pool_mean_of(const mdr_pool_in *groups, int n, double tau2);

#endif
