/*
 * mdr_app_chain.h - the chain of events looked through while the mill is served.
 *
 * Layer: app. Begun at the start of a server and carried on beside it, by a thread and a connection of
 * its own that only reads: a few events at a time, and a pause as long as they took, so that whoever
 * writes waits for one piece at most. What it finds is kept until the program ends; a record that is
 * not as it was written can be read but not written to. docs/methods/record.md
 */
#ifndef MDR_APP_CHAIN_H
#define MDR_APP_CHAIN_H

#include "app/mdr_app.h"
#include "mill/mdr_record.h"

/* How far the look is: X(enumerator, id, words) */
#define MDR_CHAIN_STATES(X)                                              \
    X(MDR_CHAIN_UNSEEN, "unseen", "the record was not checked")          \
    X(MDR_CHAIN_CHECKING, "checking", "the record is being checked")     \
    X(MDR_CHAIN_SEEN, "whole", "every event is as it was written")       \
    X(MDR_CHAIN_BROKEN, "broken", "the record is not as it was written") \
    X(MDR_CHAIN_FAILED, "failed", "the record could not be checked")
typedef enum mdr_chain_state { MDR_CHAIN_STATES(MDR_CHAIN_ENUM) } mdr_chain_state;
const char *mdr_chain_state_id(mdr_chain_state s);
const char *mdr_chain_state_words(mdr_chain_state s);

typedef struct mdr_app_chain_seen {
    mdr_chain_state state;
    int64_t checked, of; /* events; `of` those that there were when it was last asked */
    mdr_chain_report
        report;  /* of the fault that weighs most: one of the chain before one of a plan */
    int plans;   /* batches whose frozen plan was changed */
    bool closed; /* nothing more is written into the record at all */
    mdr_err err; /* MDR_CHAIN_FAILED: why */
} mdr_app_chain_seen;

/* Begins; once an app, which must have been opened from a file. `pause` false: without pauses (tests).
 *   errors  MDR_E_NOMEM, MDR_E_IO no thread, MDR_E_CONFLICT it was begun already */
mdr_code mdr_app_chain_start(mdr_app *app, bool pause, mdr_err *err) MDR_MUST_CHECK;
/* Ends it, done or not; mdr_app_close does so too. */
void mdr_app_chain_stop(mdr_app *app);
/* As it stands now; MDR_CHAIN_UNSEEN when it was not begun. */
mdr_app_chain_seen mdr_app_chain_look(const mdr_app *app);
/* Whether an event may be written to this batch. errors: MDR_E_CONFLICT the record, or the plan of this
 * batch, is not as it was written (place: the event) */
mdr_code mdr_app_chain_may_write(const mdr_app *app, const char *batch_id,
                                 mdr_err *err) MDR_MUST_CHECK;
/* {"state", "words", "checked", "of", "seq", "batch_id", "remedy"}; see docs/api.md. */
mdr_code mdr_app_chain_json(mdr_app *app, mdr_arena *arena, mdr_blob *out,
                            mdr_err *err) MDR_MUST_CHECK;

#endif
