/*
 * mdr_lot_verdict.h - what becomes of a finished lot: released, finished once more and with which
 * settings, or at risk of a claim; and why.
 *
 * Layer: core/quality (pure).
 * Methods: docs/methods/fabric-results.md#verdict-on-the-lot
 *
 * Width, weight and the two shrinkages hang together: of the four two can be chosen. A pass that
 * brings one in moves another, so the four are settled together (mdr_aim), and what comes nearer to
 * its limit on the way is named. The relaxed fabric is the one the washing test left: finished
 * width and weight with the measured changes.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]  relaxed fabric, what a pass does
 *   [definition]    verdict
 */
#ifndef MDR_LOT_VERDICT_H
#define MDR_LOT_VERDICT_H

#include "core/quality/mdr_aim.h"
#include "core/quality/mdr_fabric_result.h"

/* X(enumerator, id, words) */
#define MDR_LOT_OUTCOMES(X)                                                     \
    X(MDR_LOT_RELEASE, "release", "release")                                    \
    X(MDR_LOT_REFINISH, "refinish", "finish once more")                         \
    X(MDR_LOT_CLAIM_RISK, "claim_risk", "risk of a claim: no setting cures it") \
    X(MDR_LOT_UNDECIDED, "undecided", "measure what is missing first")

/* X(enumerator, id, words, what `which` counts) */
#define MDR_LOT_REASONS(X)                                                                     \
    X(MDR_LOT_MISSED, "missed", "beyond its limit by") /* mdr_property */                      \
    X(MDR_LOT_NEAR, "near", "met, less far than its readings scatter from its limit")          \
    X(MDR_LOT_NOT_MEASURED, "not_measured", "asked for and not measured")                      \
    X(MDR_LOT_NOT_OF_FINISHING, "not_of_finishing", "no matter of finishing")                  \
    X(MDR_LOT_STRAIGHTEN, "straighten", "straightened on the stenter")                         \
    X(MDR_LOT_GIVES_WAY, "gives_way", "met, and brought nearer to its limit, by")              \
    X(MDR_LOT_CLASH, "clash", "demands that clash, by")                   /* mdr_spec_clash */ \
    X(MDR_LOT_MACHINE, "machine", "the machine's limit leaves it off by") /* mdr_line_limit */

#define MDR_LOT_MEMBER(name, ...) name,
typedef enum mdr_lot_outcome {
    MDR_LOT_OUTCOMES(MDR_LOT_MEMBER) MDR_LOT_OUTCOME_COUNT
} mdr_lot_outcome;
typedef enum mdr_lot_reason_id {
    MDR_LOT_REASONS(MDR_LOT_MEMBER) MDR_LOT_REASON_COUNT
} mdr_lot_reason_id;
#undef MDR_LOT_MEMBER

const char *mdr_lot_outcome_id(mdr_lot_outcome o);
const char *mdr_lot_outcome_words(mdr_lot_outcome o);
const char *mdr_lot_reason_id_of(mdr_lot_reason_id r);
const char *mdr_lot_reason_words(mdr_lot_reason_id r);

typedef struct mdr_lot_reason {
    mdr_lot_reason_id id;
    int which;    /* mdr_property; of CLASH mdr_spec_clash, of MACHINE mdr_line_limit */
    double value; /* in the unit of the property; CLASH and MACHINE: per cent; 0 for NOT_MEASURED */
} mdr_lot_reason;

enum { MDR_LOT_REASONS_MAX = 2 * MDR_PROPERTY_COUNT + 8 };

typedef struct mdr_lot_in {
    mdr_spec_demand demand;
    /* What can still be done to it. The line begins with the pass that takes dry fabric, so a padder
     * that wets it; n 0: not known, then only the aim is computed. */
    mdr_line line;
    mdr_line_limits limits;
    double compact_fraction; /* overfeed wanted of the compactor */
    double courses_per_cm;   /* as counted; with a line only */
    double moisture_kg_per_kg, regain_kg_per_kg;
} mdr_lot_in;

typedef struct mdr_lot_verdict {
    mdr_lot_outcome outcome;
    int n_reasons;
    mdr_lot_reason reasons[MDR_LOT_REASONS_MAX];
    /* Width, weight, shrinkages all measured and one of them missed: */
    bool has_spec;
    mdr_spec_relaxed relaxed;
    mdr_spec_point now;
    mdr_spec_answer spec;
    /* and there is a line: */
    bool has_aim;
    int first_pass; /* of in->line that is run; the compactor alone when that does */
    mdr_aim aim;
} mdr_lot_verdict;

/*
 *   result  as mdr_fabric_result_of made it, with the four limits of in->demand
 *   errors  MDR_E_RANGE: as mdr_spec_check and mdr_aim_settle, place their field; a fabric whose
 *           g/m2, width and changes do not give a possible relaxed one (place "relaxed.gsm",
 *           "relaxed.width_cm")
 */
mdr_code mdr_lot_judge(const mdr_fabric_result *result, const mdr_lot_in *in, mdr_lot_verdict *out,
                       mdr_err *err) MDR_MUST_CHECK;

#endif
