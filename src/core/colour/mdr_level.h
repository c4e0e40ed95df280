/*
 * mdr_level.h - is a lot level: how far readings along and across it lie apart.
 *
 *   spread        the largest difference of a reading from the mean of all
 *   worst pair    the two readings furthest apart
 *   end to end    mean of the readings at the beginning against mean of those at the end
 *   side to side  the worst of left - right, left - centre, centre - right, each a mean
 * A formula that depends on which of two is the standard (CMC, CIE94) is taken both ways and averaged,
 * so that no reading is favoured; the mean of all is the standard of the spread.
 *
 * Layer: core/colour (pure). Methods: docs/methods/shade.md#level
 * Source: common practice; the limits are the mill's.
 */
#ifndef MDR_LEVEL_H
#define MDR_LEVEL_H

#include <stdbool.h>

#include "core/colour/mdr_difference.h"

enum { MDR_LEVEL_MAX = 2000 };

typedef enum mdr_side { MDR_SIDE_LEFT, MDR_SIDE_CENTRE, MDR_SIDE_RIGHT, MDR_SIDE_COUNT } mdr_side;

typedef struct mdr_level_reading {
    mdr_lab lab;
    double at_m;   /* along the lot, from its beginning; looked at when has_place */
    mdr_side side; /* looked at when has_side */
    bool has_place, has_side;
} mdr_level_reading;

typedef struct mdr_level_limits {
    double spread_de, pair_de, end_de, side_de; /* above 0; 0: not looked at */
} mdr_level_limits;

typedef struct mdr_level {
    int n;
    mdr_lab mean;
    double spread_de, mean_de; /* from the mean: largest, mean */
    int furthest;              /* the reading of the spread */
    double pair_de;
    int pair_first, pair_second;
    bool has_ends, has_sides;
    double end_de, side_de;
    mdr_side side_first, side_second;
    bool over_spread, over_pair, over_end, over_side;
    bool level; /* none of the four is over */
} mdr_level;

/* The difference without a standard: the mean of both ways. */
double mdr_difference_both_ways(mdr_lab one, mdr_lab other, const mdr_difference_spec *spec);

/* errors: MDR_E_RANGE "n" outside 2 .. 2000, "readings[i]" not finite, "limits.pair_de" and its like
 * not finite or below 0, or as mdr_difference_check.   cost: O(n^2) */
mdr_code mdr_level_of(const mdr_level_reading *readings, int n, const mdr_difference_spec *spec,
                      const mdr_level_limits *limits, mdr_level *out, mdr_err *err) MDR_MUST_CHECK;

#endif
