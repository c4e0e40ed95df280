/*
 * mdr_shade_group.h - as few groups of rolls as possible in which any two rolls are alike.
 *
 * Without a grid: no roll is torn from its like by the edge of a block. Two rolls whose difference
 * is above the limit must not share a group; to do with the fewest groups is to colour a graph with
 * the fewest colours. Rolls that are pairwise unlike each need a group of their own: the largest such
 * set found is the least number of groups there can be. When the answer has no more than that, or
 * the search came to its end, it is proven; else it says how many might do.
 *
 *   greedy    the roll with the fewest groups open to it goes first (DSATUR)
 *   search    the same, going back on each choice, until the end or until `effort` steps are used
 *
 * Layer: core/colour (pure). Methods: docs/methods/shade.md#groups-without-a-grid
 * Source (key of docs/sources.md): [brelaz-dsatur]
 */
#ifndef MDR_SHADE_GROUP_H
#define MDR_SHADE_GROUP_H

#include <stdbool.h>

#include "core/colour/mdr_shade_matrix.h"

enum { MDR_GROUP_EFFORT = 200000 }; /* steps; under a second for 200 rolls */

typedef struct mdr_shade_groups {
    int n, n_groups;
    const int *group;        /* of each roll, 0 .. n_groups - 1, numbered as the rolls come */
    const int *size;         /* rolls of each group */
    const double *widest_de; /* largest difference within each group */
    double worst_de;         /* the largest of these */
    int least_groups;        /* no grouping has fewer */
    bool proven;             /* n_groups is the fewest possible */
} mdr_shade_groups;

/* most_de: above 0, the largest difference within a group (itself allowed, to 1e-9).
 *   errors  MDR_E_RANGE "most_de", or as mdr_shade_matrix_of; MDR_E_NOMEM */
mdr_code mdr_shade_group(const mdr_shade_matrix *m, double most_de, int effort, mdr_arena *arena,
                         const mdr_shade_groups **out, mdr_err *err) MDR_MUST_CHECK;

#endif
