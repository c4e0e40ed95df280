/*
 * mdr_spec.h - can this specification be met from this fabric: which shrinkage is left at a wanted
 * width and g/m2, whether all demands hold at once, which of them clash and by how much, and what
 * would cure it.
 *
 * Layer: core/knit (pure). Methods: docs/methods/specification.md
 *
 * A finished fabric that still shrinks by sL in length and sW in width (fractions of its own length
 * and width; positive: it gets smaller in washing) ends at the fully relaxed one:
 *   width = width_r / (1 - sW)      gsm = gsm_r (1 - sL)(1 - sW)
 * Two numbers can be chosen, four are asked for. In logarithms, a = ln(1 - sW), b = ln(1 - sL),
 * every demand is an interval of a, of b or of a + b, so that all answers below are closed forms
 * and exact.
 *
 * Symbols: gsm g/m2 conditioned, width full open width cm, _r fully relaxed.
 * A demand missed by less than MDR_SPEC_MET_FRAC of its value counts as met: rounding, no tolerance.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]      the two relations
 *   [definition]        the rest
 *   [finish-tolerances] usual tolerances: common practice, the buyer's own replace them
 *   [knit-arithmetic]   spirality from feeder drop
 */
#ifndef MDR_SPEC_H
#define MDR_SPEC_H

#include <stdbool.h>

#include "core/knit/mdr_knit.h"

#define MDR_SPEC_MET_FRAC 1e-12

typedef struct mdr_spec_relaxed {
    double gsm, width_cm;
} mdr_spec_relaxed;

typedef struct mdr_spec_demand {
    double gsm, gsm_tol_pct; /* +- per cent */
    double width_cm, width_tol_cm;
    double length_shrink_max_frac, width_shrink_max_frac;
    double length_shrink_min_frac, width_shrink_min_frac; /* negative: growth that is accepted */
} mdr_spec_demand;

typedef struct mdr_spec_in {
    mdr_spec_relaxed relaxed;
    mdr_spec_demand demand;
} mdr_spec_in;

typedef struct mdr_spec_point {
    double width_cm, gsm; /* finished */
    double width_shrink_frac, length_shrink_frac;
} mdr_spec_point;

typedef struct mdr_spec_range {
    double low, high;
} mdr_spec_range;

/* The demands, and what of each can be met. */
typedef enum mdr_spec_which {
    MDR_SPEC_GSM,
    MDR_SPEC_WIDTH,
    MDR_SPEC_LENGTH_SHRINK,
    MDR_SPEC_WIDTH_SHRINK,
    MDR_SPEC_DEMANDS
} mdr_spec_which;

/* The smallest sets of demands that can clash. */
typedef enum mdr_spec_clash {
    MDR_SPEC_WIDTH_AGAINST_SHRINK,  /* width and its own shrinkage */
    MDR_SPEC_GSM_AGAINST_WIDTH,     /* g/m2 and width leave no allowed length shrinkage */
    MDR_SPEC_GSM_AGAINST_SHRINKAGE, /* g/m2 and both shrinkages, at whatever width */
    MDR_SPEC_CLASHES
} mdr_spec_clash;

/* One demand gives way, all others are kept. */
typedef struct mdr_spec_give {
    bool cures;   /* false: the others clash among themselves; the rest is 0 */
    bool upper;   /* the upper limit has to go up; false: the lower one down */
    double limit; /* what it has to be: g/m2, cm, or a fraction; when nothing has to move, the limit
                     as it is on the side of `upper` */
    double by;    /* how far it moves, >= 0; 0: met as it is */
} mdr_spec_give;

/* What knitting can change. Loop length: width_r as l, gsm_r as 1/l. Yarn: gsm_r as tex. Needles
 * (or diameter at the same gauge): width_r as N. */
typedef enum mdr_spec_change {
    MDR_SPEC_LOOP,
    MDR_SPEC_YARN,
    MDR_SPEC_NEEDLES,
    MDR_SPEC_CHANGES
} mdr_spec_change;

/* The smallest change of one thing that makes everything asked for possible. */
typedef struct mdr_spec_cure {
    bool cures;        /* false: this alone does not help; the rest is 0 */
    double factor;     /* on loop length, tex or needles; 1: nothing to cure */
    double change_pct; /* 100 (factor - 1) */
} mdr_spec_cure;

enum { MDR_SPEC_CORNERS_MAX = 6 };

typedef struct mdr_spec_answer {
    bool feasible;
    /* Farthest from all limits: the largest part that any demand takes of its tolerance, from its
     * middle (0) to its limit (1), is as small as it can be. `strain` is that part; above 1 nothing
     * meets them all, and `best` is the fairest miss. */
    mdr_spec_point best;
    double strain;
    /* Feasible only, else all are those of `best`: what each may be while the others can follow. */
    mdr_spec_range width_shrink_frac, length_shrink_frac, width_cm, gsm;
    /* Feasible only, else none: corners of the feasible set, in turn; one or two when a tolerance is
     * 0. Its sides are lines of equal
     * width, of equal length shrinkage and of equal g/m2. */
    mdr_spec_point corners[MDR_SPEC_CORNERS_MAX];
    int n_corners;
    /* Part by which width, or g/m2, would have to differ; 0: no clash. All 0: feasible. */
    double clash_frac[MDR_SPEC_CLASHES];
    mdr_spec_give give[MDR_SPEC_DEMANDS];
    mdr_spec_cure cure[MDR_SPEC_CHANGES];
} mdr_spec_answer;

/* Growth accepted when nobody has said: -0.02, invented. */
double mdr_spec_usual_min_frac(void);
/* +- 5 % of g/m2 and +- 1 inch of width, growth as above: [finish-tolerances]. */
mdr_spec_demand mdr_spec_usual_demand(double gsm, double width_cm, double length_shrink_max_frac,
                                      double width_shrink_max_frac);
/* A width tolerance given in per cent. */
double mdr_spec_tol_cm_of_pct(double width_cm, double tol_pct);

mdr_spec_relaxed mdr_spec_relaxed_of_knit(const mdr_knit *k, const mdr_knit_constants *full);
mdr_spec_point mdr_spec_at_shrink(mdr_spec_relaxed r, double width_shrink_frac,
                                  double length_shrink_frac);
/* width_cm, gsm > 0 */
mdr_spec_point mdr_spec_at(mdr_spec_relaxed r, double width_cm, double gsm);
/* The line of equal length shrinkage on the map: g/m2 at this width. */
double mdr_spec_gsm_on_line(mdr_spec_relaxed r, double length_shrink_frac, double width_cm);
/* All demands met, each within `slack` of its value (of 1 for shrinkages). */
bool mdr_spec_meets(const mdr_spec_demand *d, const mdr_spec_point *p, double slack);

/*
 * Whether the question makes sense; the functions below ask for one that does.
 *   errors  MDR_E_RANGE, place = the field: g/m2 10 to 2000, width 1 to 1000 cm, gsm_tol_pct 0 to
 *           50, width_tol_cm 0 to half the width, shrinkages -0.5 to 0.5 and each maximum above
 *           its minimum
 */
mdr_code mdr_spec_check(const mdr_spec_in *in, mdr_err *err) MDR_MUST_CHECK;

mdr_spec_answer mdr_spec_answer_of(const mdr_spec_in *in);
/* The question after one thing was changed by this factor, > 0. */
mdr_spec_in mdr_spec_changed(const mdr_spec_in *in, mdr_spec_change what, double factor);
/* The question after one demand has given way. */
mdr_spec_in mdr_spec_given_way(const mdr_spec_in *in, mdr_spec_which which,
                               const mdr_spec_give *give);

/* The cures in the mill's own words; 0 where the cure does not help. */
typedef struct mdr_spec_cured_knit {
    double loop_cm, tex, ne;
    double needles, diameter_inch; /* needles as exact as the factor */
    int needles_whole;             /* the next even number on the far side */
    bool whole_cures;              /* and whether that number still does */
} mdr_spec_cured_knit;
mdr_spec_cured_knit mdr_spec_cure_knit(const mdr_spec_in *in, const mdr_spec_answer *answer,
                                       const mdr_knit *k, double gauge_per_inch);

typedef struct mdr_spec_window {
    mdr_spec_range width_cm, gsm; /* low > 0 */
    int n_width, n_gsm;           /* points each way, >= 1; one point: `low` */
} mdr_spec_window;

/* The box of the customer's tolerance on the map, n_width and n_gsm 0. */
mdr_spec_window mdr_spec_box(const mdr_spec_demand *d);
/* n_width x n_gsm points, width running fastest; meets[] (may be NULL): all demands hold there. */
void mdr_spec_map(const mdr_spec_in *in, const mdr_spec_window *w, mdr_spec_point *points,
                  bool *meets);

typedef struct mdr_spec_spirality {
    double feeder_pct, torque_pct, total_pct; /* added: both lean the same way, the worst case */
    bool met;
    double over_pct; /* 0 when met */
} mdr_spec_spirality;
/* torque_pct: what the twist of the yarn adds, from the mill's own washed samples; 0 when unknown,
 * and then the answer is about feeder drop alone and must be said to be so. */
mdr_spec_spirality mdr_spec_spirality_of(const mdr_knit *k, const mdr_knit_constants *full,
                                         double torque_pct, double max_pct);

#endif
