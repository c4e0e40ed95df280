/*
 * mdr_spec_draw.h - the map of a specification as it is drawn: lines of equal length shrinkage, the
 * outline of what can be had and of what the shrinkages allow, and how far apart two demands are.
 *
 * Layer: core/knit (pure). Total functions; the question is one that mdr_spec_check took.
 * Methods: docs/methods/specification.md#map
 *
 * Sides of equal width and of equal g/m2 are straight on the map; those of equal length shrinkage
 * are hyperbolas and get points in between: straight in logarithms, so these lie on the line itself.
 *
 * Symbols: gsm g/m2 conditioned, width full open width cm, sL length shrinkage as a part of 1.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]  the lines
 *   [definition]    the rest
 */
#ifndef MDR_SPEC_DRAW_H
#define MDR_SPEC_DRAW_H

#include "core/knit/mdr_spec.h"

enum {
    MDR_SPEC_SIDE_POINTS = 4, /* of a curved side, its first end counted */
    MDR_SPEC_LINE_POINTS = 25,
    MDR_SPEC_OUTLINE_MAX = MDR_SPEC_CORNERS_MAX * MDR_SPEC_SIDE_POINTS
};

typedef struct mdr_spec_outline {
    mdr_spec_point points[MDR_SPEC_OUTLINE_MAX];
    int n; /* 0: there is nothing */
} mdr_spec_outline;

typedef struct mdr_spec_line {
    mdr_spec_point points[MDR_SPEC_LINE_POINTS];
    int n; /* 0: it does not cross the window */
} mdr_spec_line;

/* The line of this sL through the window, by rising width. */
mdr_spec_line mdr_spec_line_in(mdr_spec_relaxed r, double length_shrink_frac,
                               const mdr_spec_window *window);
/* Around the feasible set, from corner to corner; empty when it is not feasible. */
mdr_spec_outline mdr_spec_outline_of(mdr_spec_relaxed r, const mdr_spec_answer *answer);
/* Around all that the limits of the two shrinkages allow, whatever width and g/m2 are asked for. */
mdr_spec_outline mdr_spec_allowed(const mdr_spec_in *in);

/* How far apart the demands of a clash are. */
typedef struct mdr_spec_apart {
    double by;  /* from what is asked for to the nearest that can be had, cm for
                  MDR_SPEC_WIDTH_AGAINST_SHRINK, else g/m2; >= 0, 0: no clash */
    bool above; /* what is asked for is more than can be had */
} mdr_spec_apart;
mdr_spec_apart mdr_spec_apart_of(const mdr_spec_in *in, mdr_spec_clash which);

#endif
