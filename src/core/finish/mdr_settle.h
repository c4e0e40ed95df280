/*
 * mdr_settle.h - how to set the line so that the fabric ends with the residual shrinkage, and so
 * the width and weight, that was promised; or how near the machines can come.
 *
 * Layer: core/finish (pure).
 * Methods: docs/methods/finishing.md#settings-backwards
 *
 * A relaxed fabric and two residuals fix everything: C = Cr(1 - sL), W = Wr(1 - sW), width =
 * needles/W, g/m2 by mass. Width and length do not know of each other, so each is solved alone:
 * the width on the last machine that grips it, with the change that later passes make taken off;
 * the length on that machine's overfeed and the compactor's together. The compactor takes the
 * share it was asked for and the gripping machine the rest; where that breaks a limit, the limit
 * is set and the other machine takes the rest. When both stand at their limit the fabric is as
 * near as this line can bring it, and the miss says which limit and by how much.
 *
 * Asked again after any pass, with the fabric as it was read (mdr_web_read) and the passes that
 * remain, it corrects the rest of the line.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]
 *   [finishing-steps]  width from the relaxed fabric, stenter overfeed from what the compactor
 *                      will add; set narrower where the compactor will widen
 */
#ifndef MDR_SETTLE_H
#define MDR_SETTLE_H

#include "core/finish/mdr_pass.h"

enum { MDR_LINE_MAX = 8 };

typedef struct mdr_line {
    int n; /* 1 .. MDR_LINE_MAX */
    mdr_pass passes[MDR_LINE_MAX];
} mdr_line;

/* Usual lines with usual settings: dewater, pad, stenter, compact; balloon, pad, spread, relax
 * dryer, tubular compactor. width_cm (of the finished fabric) is what the gripping pass starts
 * from. */
mdr_line mdr_line_open(double width_cm);
mdr_line mdr_line_tubular(double width_cm);
/* The line without its first `done` passes; 0 <= done < line->n. */
mdr_line mdr_line_rest(const mdr_line *line, int done);

/* What the machines can be set to. */
typedef struct mdr_line_limits {
    double width_min_cm, width_max_cm; /* of the pass that grips */
    double overfeed_min_fraction, overfeed_max_fraction;
    double compact_min_fraction, compact_max_fraction; /* overfeed of the compactor */
} mdr_line_limits;

typedef struct mdr_goal {
    mdr_relaxed relaxed;
    mdr_residual residual;
    double compact_fraction; /* overfeed wanted of the compactor, within its limits */
} mdr_goal;

typedef enum mdr_line_limit {
    MDR_LIMIT_NONE,
    MDR_LIMIT_WIDTH_MIN,
    MDR_LIMIT_WIDTH_MAX,
    MDR_LIMIT_WIDTH_UNSET,  /* no pass left that grips: the width comes as it comes */
    MDR_LIMIT_OVERFEED_MIN, /* of the gripping pass; there is no compactor left */
    MDR_LIMIT_OVERFEED_MAX,
    MDR_LIMIT_COMPACT_MIN, /* and the overfeed before it, if any, stands at its own limit */
    MDR_LIMIT_COMPACT_MAX,
    MDR_LIMIT_LENGTH_UNSET /* neither is left */
} mdr_line_limit;

/* One direction that could not be met. */
typedef struct mdr_miss {
    mdr_line_limit limit;   /* MDR_LIMIT_NONE: met, and the rest is 0 */
    double wanted, allowed; /* the setting, cm or fraction; UNSET: finished cm or courses/cm */
    double off_fraction;    /* residual reached - residual asked: above 0 it shrinks more */
} mdr_miss;

typedef struct mdr_settled {
    mdr_line line;               /* as asked, with width and overfeeds filled in */
    mdr_web after[MDR_LINE_MAX]; /* the fabric behind each pass: what to check */
    mdr_web goal;                /* the fabric that was asked for, dry as the last pass leaves it */
    mdr_residual reached;
    mdr_miss width, length;
    bool met;
    double compact_entry_kg_per_kg; /* moisture going into the compactor; -1: there is none */
} mdr_settled;

/*
 *   start   the fabric now: dewatered, or as read after any pass
 *   line    the passes still to come; moisture, speed, width changes and the overfeed of the
 *           passes that are not solved for are kept as they stand
 *   out     when met, out->after[n - 1] has the courses, wales, width and g/m2 of out->goal to
 *           1e-12; else the nearest
 *   errors  MDR_E_RANGE   a number outside its range, residuals outside -0.3 .. 0.6, a minimum
 *                         above its maximum, compact_fraction outside its limits
 *           MDR_E_INFEAS  moisture going the wrong way, as mdr_pass_apply
 *   cost    O(n)
 */
mdr_code mdr_line_settle(const mdr_web *start, const mdr_line *line, const mdr_goal *goal,
                         const mdr_line_limits *limits, mdr_settled *out,
                         mdr_err *err) MDR_MUST_CHECK;

#endif
