/*
 * mdr_fabric_ask.h - can this fabric meet a specification, as it is asked:
 * {"do": "knitted", "construction": "single-jersey", "ne": 30, "loop_cm": 0.29, ...}.
 *
 * Layer: wire. The command line and the HTTP server ask with the same document. Keys and ranges:
 * docs/api.md, POST /api/fabric. Every wrong key, type and range is reported.
 */
#ifndef MDR_FABRIC_ASK_H
#define MDR_FABRIC_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

/* X(enumerator, id, words) */
#define MDR_FABRIC_QUESTIONS(X)                                                 \
    X(MDR_FABRIC_KNITTED, "knitted", "Can this be met, from how it is knitted") \
    X(MDR_FABRIC_WASHED, "washed", "Can this be met, from a washed sample")     \
    X(MDR_FABRIC_CONSTANTS, "constants", "The mill's own constants, from washed samples")

#define MDR_FABRIC_MEMBER(name, ...) name,
typedef enum mdr_fabric_question {
    MDR_FABRIC_QUESTIONS(MDR_FABRIC_MEMBER) MDR_FABRIC_COUNT
} mdr_fabric_question;

typedef struct mdr_fabric_list {
    const double *values;
    int n;
} mdr_fabric_list;

/* Members that were not given hold their defaults. has_*: given. */
typedef struct mdr_fabric_ask {
    mdr_fabric_question question;
    int construction; /* mdr_construction */
    double ne, tex;   /* one of them */
    double loop_cm;
    int needles, feeders;
    double gauge_per_inch, diameter_inch;
    double elastane_pct;
    /* washed: as the mill's sample came out of wash and tumbler */
    double relaxed_gsm, relaxed_width_cm;
    /* constants: of each washed sample, in one order; sample_ne may be left out when ne or tex is
     * that of all of them */
    mdr_fabric_list sample_loop_cm, sample_courses_per_cm, sample_wales_per_cm, sample_gsm;
    mdr_fabric_list sample_ne;
    /* asked for */
    double gsm, gsm_tol_pct, width_cm, width_tol_cm;
    double length_shrink_pct, width_shrink_pct; /* at most */
    double growth_pct;                          /* accepted instead of shrinkage, both ways */
    double spirality_pct, torque_pct;
    /* a map with the answer: so many loop lengths, from this much below to this much above; what
     * it shows when that was given, all four together */
    int map_frames;
    double map_loop_pct;
    double map_width_low_cm, map_width_high_cm, map_gsm_low, map_gsm_high;
    bool has_ne, has_tex, has_needles, has_gauge, has_diameter, has_feeders, has_spirality,
        has_torque, has_map;
    bool has_window; /* the four were given */
    bool has_loop_pct, has_window_part[4];
} mdr_fabric_ask;

/* Reads a question. Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key); MDR_E_NOMEM */
mdr_code mdr_wire_fabric_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_fabric_ask *out,
                                  mdr_err *err) MDR_MUST_CHECK;

/* Whether a question may hold this number under this key. Keys of numbers only. */
bool mdr_wire_fabric_takes(const char *key, double value);

const char *mdr_fabric_question_id(mdr_fabric_question q);
const char *mdr_fabric_question_words(mdr_fabric_question q);

#endif
