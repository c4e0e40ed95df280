/*
 * mdr_dyeing_study.h - a dyeing and what happens when something is not as planned: the same
 * programme run again a little warmer, with more salt, with late alkali, with a slow reel.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-answers.md#sensitivity
 *
 * Ropes that are alike are run as one: nothing tells them apart.
 *
 * Sources (keys of docs/sources.md)
 *   [common-practice]  what is varied by how much (5 degC, 10 %, 15 min, a fifth)
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
    int slices;              /* of each tube */
    int modes;               /* of the fibre; 0: the usual number */
    int steps_per_turn;      /* 0: the usual number */
    bool reactive;           /* the alkali parts the dyeing in two */
    double strike_most_pct;  /* no further than where it strikes faster; 0: to the end */
    mdr_rope_trails *trails; /* of dyeings that begin alike; NULL: from the beginning */
} mdr_dyeing_case;

typedef struct mdr_dyeing_result {
    mdr_dye_course course; /* from its beginning; the dyeing begins with the dye */
    const mdr_dyeing *dyeing;
    mdr_dyeing_rope rope; /* as it was run */
    bool one_for_all;     /* rope.tubes is 1 for several that are alike */
    mdr_dyeing_answers answers;
} mdr_dyeing_result;

/* How far apart to sample a programme of so many minutes: close enough that no peak of a strike is missed, 0.5 to
 * 1 min. One for all who judge a dyeing, so that they see the same. */
double mdr_dyeing_sample_min(double minutes);

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

#endif
