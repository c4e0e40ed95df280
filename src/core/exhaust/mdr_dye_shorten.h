/*
 * mdr_dye_shorten.h - the shortest dyeing programme that stays safe, and what more minutes would buy.
 *
 * For the technologist who asks why a lot takes so long: changes the minutes and curves of the
 * doses, the ramps, the waiting times and the speed of the rope within what the machine can do, so
 * that the programme is as short as it can be while
 *   - no dye strikes faster than the limit per contact,
 *   - the fabric is no more uneven than the limits: as the alkali begins, while dye is being fixed,
 *     and in what stays at the end,
 *   - no dye is fixed less than by the programme as it is (but for a stated allowance),
 * each with a margin for what is not known of the dyes. Amounts, temperatures aimed at and the order
 * of the steps stay.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-shorten.md
 *
 * Method: the logarithms of minutes and rates are moved by sequential quadratic programming
 * (num/mdr_minimise.h) over a coarse rope; the answer is rounded to what is set on a machine
 * (minutes up, rates down), simulated again on a finer rope, and the limits drawn in until it keeps
 * them there too. A point is given only with what the finer rope says of it.
 *
 * Sources (keys of docs/sources.md)
 *   [strike-per-contact]  a limit of the strike per contact; turns of bath and rope count alike
 *   [common-practice]    least turns of the rope for a dose
 */
#ifndef MDR_DYE_SHORTEN_H
#define MDR_DYE_SHORTEN_H

#include "base/mdr_go_on.h"
#include "core/exhaust/mdr_dye_margin.h"

enum { MDR_SHORTEN_POINTS_MAX = 8 };

/* What a programme does to the lot, on the rope it was simulated with. Parts, not per cent, unless
 * the name says so. */
typedef struct mdr_dye_effect {
    double minutes;
    double strike_pct_per_contact; /* most, of any dye at any time */
    double strike_min;             /* when */
    /* (max - min) / mean of the colour along all ropes: of what is on the fibre as the alkali begins and,
     * at its worst, while dye is being fixed (0 without alkali); of what stays at the end */
    double spread_before, spread_fixing, spread_end;
    double fixed[MDR_DYE_DYES_MAX]; /* reactive and vat: fixed; direct: on the fibre */
} mdr_dye_effect;

/* The rates of all dyes, one way they may be. */
typedef struct mdr_dye_case {
    const mdr_dye_rates *dyes; /* as many as the programme has */
} mdr_dye_case;

typedef struct mdr_shorten_in {
    /* rope, preparation, kind of dye; how closely the rope is judged (0: usual), as when simulated */
    const mdr_dyeing_case *study;
    const mdr_dye_programme *base; /* = &study->programme */
    mdr_ph_table *table;           /* of base */
    mdr_dye_case usual;
    mdr_dye_away away;               /* what else is likely; none: no margin is kept */
    const double *weight;            /* [dye]: share in the colour, any scale, >= 0, not all 0 */
    bool fixes;                      /* false (direct dyes): what is on the fibre counts as fixed */
    double strike_limit_pct;         /* per contact; > 0 */
    double spread_limit;             /* as the alkali begins and at the end; > 0 */
    double spread_fixing_limit;      /* while dye is being fixed; > 0 */
    double fixation_allowance;       /* a dye may be fixed less by this part; >= 0 */
    double fixation_allowance_worst; /* the same with the margin of that difference; >= 0 */
    double run_least_min;            /* of steps that only run; >= 0 */
    double turns_least[MDR_GIVES_OTHER + 1]; /* of the rope in a dose of salt, dye, alkali */
    bool keep[MDR_DYE_STEPS_MAX];            /* the step stays as it is: a check, an auxiliary */
    bool keep_speed;
    int points;      /* of the trade-off, 1 .. MDR_SHORTEN_POINTS_MAX */
    int runs_max;    /* simulations; 0: usual */
    mdr_go_on go_on; /* asked before every simulation of the search */
} mdr_shorten_in;

/* What keeps a step from being shorter. X(enumerator, text id) */
#define MDR_SHORTEN_REASONS(X)                    \
    X(MDR_SHORTEN_KEPT, "kept")                   \
    X(MDR_SHORTEN_MACHINE, "machine")             \
    X(MDR_SHORTEN_TURNS, "least-turns")           \
    X(MDR_SHORTEN_WAIT, "least-wait")             \
    X(MDR_SHORTEN_STRIKE, "strike")               \
    X(MDR_SHORTEN_BEFORE, "uneven-before-alkali") \
    X(MDR_SHORTEN_FIXING, "uneven-while-fixing")  \
    X(MDR_SHORTEN_END, "uneven-at-end")           \
    X(MDR_SHORTEN_FIXATION, "fixation")           \
    X(MDR_SHORTEN_NOTHING, "nothing")
#define MDR_SHORTEN_REASON(name, id) name,
typedef enum mdr_shorten_reason { MDR_SHORTEN_REASONS(MDR_SHORTEN_REASON) } mdr_shorten_reason;
#undef MDR_SHORTEN_REASON
const char *mdr_shorten_reason_id(mdr_shorten_reason r);

typedef struct mdr_shorten_point {
    mdr_dye_programme programme;
    mdr_dye_effect effect; /* usual rates, fine rope */
    mdr_dye_effect worst;  /* each number with its margin (mdr_dye_margin.h) */
    double
        fixed_less; /* most that any dye is fixed less than by base; below 0: all are fixed more */
    double fixed_less_worst; /* the same with the margin of that difference */
    double factor;           /* on both limits it was looked for with */
    bool as_now;             /* looked for with the levelness of base for its limits */
    bool kept;               /* keeps the limits themselves, with the margin */
    bool less_level;         /* than base: strikes faster, or lies more unevenly */
    mdr_shorten_reason why[MDR_DYE_STEPS_MAX];
} mdr_shorten_point;

typedef struct mdr_shorten_out {
    mdr_dye_effect base, base_worst;
    bool base_kept;                                   /* the programme as it is keeps the limits */
    mdr_shorten_point points[MDR_SHORTEN_POINTS_MAX]; /* minutes rise, unevenness falls */
    int n_points;
    int wanted;   /* which point is the one for spread_limit itself; -1: none keeps it */
    int as_level; /* the shortest that is nowhere less level than base; -1: none is shorter */
    int runs;     /* simulations made */
    bool stopped; /* no longer wanted: the points found till then */
} mdr_shorten_out;

/*
 *   errors  MDR_E_ARG    counts, a rope without tubes ("points", ...); nothing can be moved ("base")
 *           MDR_E_RANGE  a limit that is not above 0 ("strike_limit_pct", ...)
 *           and those of mdr_dye_programme_course, mdr_dyeing_run, mdr_minimise
 */
mdr_code mdr_dye_shorten(const mdr_shorten_in *in, mdr_arena *arena, const mdr_shorten_out **out,
                         mdr_err *err) MDR_MUST_CHECK;

/* The effect of one programme: `fine` as it is judged, else as the search sees it. */
mdr_code mdr_dye_effect_of(const mdr_shorten_in *in, const mdr_dye_programme *p,
                           const mdr_dye_case *rates, bool fine, mdr_arena *arena,
                           mdr_dye_effect *out, mdr_err *err) MDR_MUST_CHECK;

/* What may be left out: limits and turns of the usual. */
void mdr_shorten_usual(mdr_shorten_in *in);

#endif
