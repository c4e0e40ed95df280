/* Whether a factor is applied, and the words for it. */
#include <stddef.h>

#include "core/quality/mdr_bulk_factor.h"

static const struct {
    const char *id, *words;
} USES[MDR_BULK_USE_COUNT] = {
#define X(name, id, words) {id, words},
    MDR_BULK_USES(X)
#undef X
};

const char *mdr_bulk_use_id(mdr_bulk_use_verdict v)
{
    return USES[v].id;
}

const char *mdr_bulk_use_words(mdr_bulk_use_verdict v)
{
    return USES[v].words;
}

mdr_bulk_use mdr_bulk_use_of(const mdr_bulk_known *known, bool asked, bool unproven_too)
{
    const bool beyond = known->factor < MDR_BULK_LEAST || known->factor > MDR_BULK_MOST;
    const bool holds_one = known->low <= 1.0 && known->high >= 1.0;
    if (beyond) {
        return (mdr_bulk_use){1.0, MDR_BULK_BEYOND};
    }
    if (!asked) {
        return (mdr_bulk_use){1.0, MDR_BULK_NOT_ASKED};
    }
    if (holds_one && !unproven_too) {
        return (mdr_bulk_use){1.0, MDR_BULK_UNPROVEN};
    }
    return (mdr_bulk_use){known->factor, MDR_BULK_APPLIED};
}

const char *mdr_bulk_say(const mdr_bulk_known *known, const mdr_bulk_use *use, mdr_arena *arena)
{
    return mdr_arena_printf(arena, "%.3f (%.3f to %.3f), %d %s %s weighing %.0f %%; %s",
                            known->factor, known->low, known->high, known->lots,
                            known->lots == 1 ? "lot" : "lots", mdr_bulk_level_words(known->level),
                            100.0 * known->own_weight, mdr_bulk_use_words(use->verdict));
}
