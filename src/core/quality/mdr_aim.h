/*
 * mdr_aim.h - settings of a line for a specification with tolerances: where to aim, so that every
 * demand holds with what the machines can be set to, or the nearest there is and why no nearer.
 *
 * Layer: core/quality (pure).
 * Methods: docs/methods/fabric-results.md#aim-within-the-machines
 *
 * mdr_spec knows which widths and weights go together, mdr_settle what the machines reach for one
 * wanted residual. A specification leaves room: its best point is taken when the line reaches it;
 * else the best of those it reaches. Width and length are set apart from one another, so what the
 * line reaches is a range of each, found by asking it for the most and for the least.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]  relaxed fabric from the fabric as it is
 *   [definition]    the rest
 *
 * Symbols: g/m2 conditioned at regain_kg_per_kg, width full open (of a tube: its circumference).
 */
#ifndef MDR_AIM_H
#define MDR_AIM_H

#include <stdbool.h>

#include "core/finish/mdr_settle.h"
#include "core/knit/mdr_spec.h"

/* A demand of the specification counts as met when missed by less than this part: rounding. */
#define MDR_AIM_MET_FRAC 1e-8

typedef struct mdr_aim_in {
    mdr_web start;
    mdr_line line; /* the passes still to come */
    mdr_line_limits limits;
    mdr_relaxed relaxed;
    mdr_spec_demand demand;
    double compact_fraction; /* overfeed wanted of the compactor, within its limits */
    double regain_kg_per_kg; /* of the g/m2 demanded */
} mdr_aim_in;

typedef struct mdr_aim {
    mdr_spec_relaxed relaxed;
    mdr_spec_answer spec; /* of the specification alone, whatever the machines */
    /* What the line reaches, as far as residuals of -0.3 .. 0.6. */
    mdr_spec_range width_cm, length_shrink_frac;
    mdr_spec_point aimed, reached; /* reached: behind the last pass */
    mdr_settled settled;           /* for `aimed` */
    bool met;                      /* all demands, at `reached` */
} mdr_aim;

/* The fully relaxed fabric of this web: g/m2 and width by the loops that stay. */
mdr_spec_relaxed mdr_aim_relaxed(const mdr_web *web, const mdr_relaxed *relaxed,
                                 double regain_kg_per_kg);
/* Where a web stands on the map of its specification. */
mdr_spec_point mdr_aim_point(const mdr_web *web, const mdr_relaxed *relaxed,
                             double regain_kg_per_kg);

/*
 *   regain_kg_per_kg 0 .. 0.3; the rest as mdr_line_settle and mdr_spec_check, whose errors and
 *   places it hands on
 *   cost    O(passes)
 */
mdr_code mdr_aim_settle(const mdr_aim_in *in, mdr_aim *out, mdr_err *err) MDR_MUST_CHECK;

#endif
