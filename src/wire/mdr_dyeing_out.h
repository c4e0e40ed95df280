/*
 * mdr_dyeing_out.h - a lot's dyeing as it is answered: everything the document shows, put together
 * by app.
 *
 * Layer: wire. Document: docs/api.md, GET /api/lots/{id}/dyeing.
 */
#ifndef MDR_DYEING_OUT_H
#define MDR_DYEING_OUT_H

#include "core/exhaust/mdr_dyeing_study.h"
#include "core/plan/mdr_plan_dyeing.h"
#include "core/recipe/mdr_rope_colour.h"

/* What a number rests on; `anchor` below docs/methods. X(enumerator, key in the document) */
#define MDR_DYEING_WHYS(X)                       \
    X(MDR_DYEING_WHY_RATES, "rates")             \
    X(MDR_DYEING_WHY_COURSE, "course")           \
    X(MDR_DYEING_WHY_PH, "ph")                   \
    X(MDR_DYEING_WHY_ROPE, "rope")               \
    X(MDR_DYEING_WHY_EXHAUSTION, "exhaustion")   \
    X(MDR_DYEING_WHY_FIXATION, "fixation")       \
    X(MDR_DYEING_WHY_STRIKE, "strike")           \
    X(MDR_DYEING_WHY_LEVEL, "level")             \
    X(MDR_DYEING_WHY_COLOUR, "colour")           \
    X(MDR_DYEING_WHY_TONE, "tone")               \
    X(MDR_DYEING_WHY_WASH_OFF, "wash_off")       \
    X(MDR_DYEING_WHY_SENSITIVITY, "sensitivity") \
    X(MDR_DYEING_WHY_MARGIN, "margin")
#define MDR_DYEING_WHY_OF(name, key) name,
typedef enum mdr_dyeing_why {
    MDR_DYEING_WHYS(MDR_DYEING_WHY_OF) MDR_DYEING_WHY_COUNT
} mdr_dyeing_why;
#undef MDR_DYEING_WHY_OF

typedef struct mdr_dyeing_reason {
    const char *label, *words, *source, *anchor;
} mdr_dyeing_reason;

/* A verdict with its id and its sentence. */
typedef struct mdr_dyeing_verdict {
    const char *id, *words;
} mdr_dyeing_verdict;

typedef struct mdr_dyeing_level {
    mdr_evenness even;
    double de_most, de_tubes; /* CMC(2:1): slice farthest from the mean; rope farthest from it */
    double at_min;
} mdr_dyeing_level;

/* What a mishap changes, as differences. */
typedef struct mdr_dyeing_effect {
    mdr_mishap mishap;
    double fixation_pct, de, dl, de_most, strike_pct, loose_mg_per_kg;
} mdr_dyeing_effect;

typedef struct mdr_dyeing_margin {
    double fixation_pct[2], de_most[2], strike_pct[2], de_shade;
    const char *words;
} mdr_dyeing_margin;

typedef struct mdr_dyeing_map {
    int times, slices, tubes;
    const double *t_min;
    const unsigned char *rgb; /* [time][slice][3] */
    const signed char *off;   /* [time][slice] */
    double off_pct_per_count;
} mdr_dyeing_map;

typedef struct mdr_dyeing_dye {
    const mdr_material *material;
    double depth_pct_owf;
    mdr_dyeing_verdict rates; /* "fitted", "partly", "placeholder" */
} mdr_dyeing_dye;

enum { MDR_DYEING_NOTES_MAX = 24 };

/* NOLINTNEXTLINE(clang-analyzer-optin.performance.Padding) in the order of the answer */
typedef struct mdr_dyeing_out {
    const mdr_plan *plan;
    int revision;
    const mdr_plan_dyeing *planned;
    /* everything below: unless planned->missing */
    const mdr_dyeing_case *study;
    const mdr_dye_time *times, *times_planned; /* [step] */
    const bool *changed;                       /* [step] */
    const char *const *step_words;             /* [step] */
    double minutes_planned;
    mdr_dyeing_result result;
    mdr_dyeing_rope rope; /* with all its tubes */
    mdr_dyeing_dye dyes[MDR_DYE_DYES_MAX];
    const double *spread_pct, *de; /* [sample]; below 0: bare */
    const double *strike_pct;      /* [sample] */
    mdr_dyeing_verdict strike;
    int strike_step; /* its number; 0: none */
    /* on the fibre as the alkali begins; of what stays, at the end; on the fibre, when worst: at all, and
     * while dye is being fixed */
    mdr_dyeing_level before, end, peak, fixing;
    double fixing_until_min;
    bool has_before, has_peak, has_fixing;
    double level_limit_de, fixing_limit_de;
    mdr_dyeing_verdict level;
    const char *judged_words; /* what of it is judged, and what is only shown */
    mdr_colour_from colour_from;
    const char *colour_words;
    mdr_dyeing_verdict tone;
    /* wash-off; reactive dyes alone */
    bool has_loose;
    double planned_loose_mg_per_kg; /* below 0: the plan does not say */
    double baths_needed;
    int baths_planned;
    double target_mg_per_kg;
    const char *wash_off_words;
    const mdr_dyeing_effect *effects;
    int n_effects;
    const mdr_dyeing_margin *margin; /* NULL: not asked for */
    const mdr_dyeing_map *map;       /* NULL: not asked for */
    const mdr_dyeing_reason *whys;   /* MDR_DYEING_WHY_COUNT */
    const char *notes[MDR_DYEING_NOTES_MAX];
    int n_notes;
} mdr_dyeing_out;

/* errors: MDR_E_NOMEM */
mdr_code mdr_wire_dyeing(const mdr_dyeing_out *out, mdr_arena *arena, char **text, size_t *len,
                         mdr_err *err) MDR_MUST_CHECK;

#endif
