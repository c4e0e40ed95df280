/*
 * mdr_plan_dyeing.h - the dyeing inside a plan: which bath dyes, its steps as a programme that can
 * be changed, and the rope that runs through it.
 *
 * Layer: core/plan (pure). Methods: docs/methods/exhaust-answers.md#from-the-plan, #rope-and-flow
 *
 * The programme begins behind the fill (or the last rinse before the dye) and ends at the first
 * rinse, drain or unloading behind the dye. Times, temperatures, litres and what is dissolved are
 * the plan's, to rounding.
 *
 * Sources (keys of docs/sources.md)
 *   [common-practice]  length of the zone by kind of machine, part of the flow that works: weak, to
 *                      be replaced by what a mill measures
 */
#ifndef MDR_PLAN_DYEING_H
#define MDR_PLAN_DYEING_H

#include "core/exhaust/mdr_dye_programme.h"
#include "core/plan/mdr_plan.h"

/* Why there is nothing to simulate: X(enumerator, text id); the sentence is "dyeing.<id>" of the
 * language catalogue. */
#define MDR_NO_DYEINGS(X)                         \
    X(MDR_DYEING_IS_THERE, "")                    \
    X(MDR_DYEING_NO_DYE, "no-dye")                \
    X(MDR_DYEING_NO_LIQUOR, "no-liquor")          \
    X(MDR_DYEING_BELOW_ROPE, "liquor-below-rope") \
    X(MDR_DYEING_TOO_HOT, "too-hot")              \
    X(MDR_DYEING_TOO_MANY, "too-many-dyes")       \
    X(MDR_DYEING_NOT_REDUCED, "not-reduced")
#define MDR_NO_DYEING_OF(name, ...) name,
typedef enum mdr_no_dyeing { MDR_NO_DYEINGS(MDR_NO_DYEING_OF) } mdr_no_dyeing;
#undef MDR_NO_DYEING_OF
const char *mdr_no_dyeing_id(mdr_no_dyeing why);
/* "" when there is something. */
const char *mdr_no_dyeing_words(mdr_no_dyeing why);

typedef struct mdr_plan_dyeing {
    mdr_no_dyeing missing; /* not IS_THERE: nothing below is set */
    const mdr_plan_bath *bath;
    int others[MDR_ROUTE_BATHS_MAX]; /* numbers of other baths that get dye */
    int n_others;
    bool cut;         /* dye that is given behind a rinse of the same bath is left out */
    int first_step;   /* index in the bath of the programme's first step */
    double start_min; /* of the lot */
    const mdr_material *dyes[MDR_DYE_DYES_MAX];
    double dye_kg[MDR_DYE_DYES_MAX]; /* of standard strength, in this bath */
    mdr_dye_programme programme;
} mdr_plan_dyeing;

/*
 * The dyeing of the plan. bath_number 0: the bath that gets most dye.
 *   errors  MDR_E_NOTFOUND  no such bath, or it gets no dye ("bath")
 *           MDR_E_NOMEM
 */
mdr_code mdr_plan_dyeing_make(const mdr_plan *plan, int bath_number, mdr_arena *arena,
                              const mdr_plan_dyeing **out, mdr_err *err) MDR_MUST_CHECK;

/* What of a turn is spent where liquor is exchanged, and what part of the flow past it works.
 * Invented, by kind of machine; docs/methods/exhaust-answers.md#rope-and-flow. */
typedef struct mdr_exchange_usual {
    double zone_fraction;
    double flow_part;       /* of the pump's litres that change places with the rope's */
    double soaking_per_min; /* in the zone, without a pump */
} mdr_exchange_usual;
mdr_exchange_usual mdr_exchange_usual_of(int machine_kind);

/* Rope of this plan at a speed; shares equal. Cycle = rope of a tube / speed. */
mdr_dyeing_rope mdr_plan_dyeing_rope(const mdr_plan *plan, double speed_m_per_min);

#endif
