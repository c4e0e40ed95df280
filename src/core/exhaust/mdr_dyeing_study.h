/*
 * mdr_dyeing_study.h - a dyeing and what happens when something is not as planned: the same
 * programme run again a little warmer, with more salt, with late alkali, with a slow reel, and with
 * the rates of the dyes at the ends of what is known of them.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-answers.md#sensitivity, #margin
 *
 * Ropes that are alike are run as one: nothing tells them apart.
 *
 * Sources (keys of docs/sources.md)
 *   [common-practice]  what is varied by how much (5 degC, 10 %, 15 min, a fifth)
 *   [gum-propagation]  effects of causes that have nothing to do with one another add in squares
 */
#ifndef MDR_DYEING_STUDY_H
#define MDR_DYEING_STUDY_H

#include "core/exhaust/mdr_dyeing_answers.h"

typedef struct mdr_dyeing_case {
    mdr_dye_programme programme;
    mdr_dyeing_rope rope;       /* cycle_min is reckoned from rope_m and the programme's speed */
    double rope_m;              /* of a tube with the mean share */
    double uneven_pct;          /* rate of uptake +- so much, one wave a rope */
    const mdr_dye_rates *rates; /* of the programme's dyes */
    double limit_pct_per_contact;
    double sample_min;
    int slices;    /* of each tube */
    bool reactive; /* the alkali parts the dyeing in two */
} mdr_dyeing_case;

typedef struct mdr_dyeing_result {
    mdr_dye_course course;
    const mdr_dyeing *dyeing;
    mdr_dyeing_rope rope; /* as it was run */
    bool one_for_all;     /* rope.tubes is 1 for several that are alike */
    mdr_dyeing_answers answers;
} mdr_dyeing_result;

/* errors: MDR_E_RANGE "uneven_pct" (0..90); those of the course and of mdr_dyeing_run */
mdr_code mdr_dyeing_case_run(const mdr_dyeing_case *c, mdr_ph_table *table, mdr_arena *arena,
                             mdr_dyeing_result *out, mdr_err *err) MDR_MUST_CHECK;

/* What goes wrong: X(enumerator, text id, words) */
#define MDR_MISHAPS(X)                                                  \
    X(MDR_MISHAP_WARM, "temp_up", "5 °C warmer")                        \
    X(MDR_MISHAP_COLD, "temp_down", "5 °C colder")                      \
    X(MDR_MISHAP_SALT_MORE, "salt_more", "10 % more salt")              \
    X(MDR_MISHAP_SALT_LESS, "salt_less", "10 % less salt")              \
    X(MDR_MISHAP_ALKALI_LATE, "alkali_late", "alkali 15 min late")      \
    X(MDR_MISHAP_ALKALI_FAST, "alkali_fast", "alkali in half the time") \
    X(MDR_MISHAP_SLOW_REEL, "slow_reel", "rope a fifth slower")         \
    X(MDR_MISHAP_LOW_FLOW, "low_flow", "a third less flow")
#define MDR_MISHAP_OF(name, ...) name,
typedef enum mdr_mishap { MDR_MISHAPS(MDR_MISHAP_OF) MDR_MISHAP_COUNT } mdr_mishap;
#undef MDR_MISHAP_OF
const char *mdr_mishap_id(mdr_mishap m);
const char *mdr_mishap_words(mdr_mishap m);
/* Makes it happen. False: it cannot (no salt, no alkali, no room for another step, too hot). */
bool mdr_dyeing_mishap(mdr_dyeing_case *c, mdr_mishap m);

/* Which rates are in doubt, as a group over all dyes of the shade. X(enumerator, text id, words) */
#define MDR_DOUBTS(X)                                     \
    X(MDR_DOUBT_AFFINITY, "affinity", "affinity")         \
    X(MDR_DOUBT_DIFFUSION, "diffusion", "diffusion")      \
    X(MDR_DOUBT_FIXATION, "fixation", "rate of fixation") \
    X(MDR_DOUBT_HYDROLYSIS, "hydrolysis", "rate of hydrolysis")
#define MDR_DOUBT_OF(name, ...) name,
typedef enum mdr_doubt { MDR_DOUBTS(MDR_DOUBT_OF) MDR_DOUBT_COUNT } mdr_doubt;
#undef MDR_DOUBT_OF
const char *mdr_doubt_id(mdr_doubt k);
const char *mdr_doubt_words(mdr_doubt k);

/* Ends of what is known of a dye: affinities kJ/mol, rates as they stand. */
typedef struct mdr_dye_range {
    double least[MDR_DOUBT_COUNT], most[MDR_DOUBT_COUNT];
} mdr_dye_range;
/* The rates with this doubt at its least (end 0) or most (end 1). */
mdr_dye_rates mdr_dye_rates_at_end(const mdr_dye_rates *rates, const mdr_dye_range *range,
                                   mdr_doubt k, int end);

#endif
