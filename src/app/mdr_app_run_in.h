/*
 * mdr_app_run_in.h - batches that are not over, folded and kept in memory. Layer: app, inside only.
 */
#ifndef MDR_APP_RUN_IN_H
#define MDR_APP_RUN_IN_H

#include "app/mdr_app_chain.h"
#include "app/mdr_app_in.h"
#include "app/mdr_app_run.h"
#include "core/run/mdr_batch.h"
#include "wire/mdr_run_doc.h"

enum { MDR_APP_RUNS_MAX = 512, MDR_APP_RUN_BYTES = 64 << 20 };

/* One batch; everything it points at lives in its own arena. */
typedef struct mdr_app_run {
    mdr_arena *arena;
    mdr_batch batch;
    mdr_batch_row row; /* without the text of the recipe */
    mdr_err broken;    /* code MDR_OK: none; else why its record cannot be read */
} mdr_app_run;

struct mdr_app_runs {
    bool loaded;
    int64_t seq; /* newest event that is folded in */
    uint8_t head[MDR_SHA256_BYTES];
    int n;
    mdr_app_run *items[MDR_APP_RUNS_MAX]; /* oldest first */
};

/* Brings them up to date with the record. */
mdr_code mdr_app_runs_refresh(mdr_app *app, mdr_err *err) MDR_MUST_CHECK;
void mdr_app_runs_forget(mdr_app *app);
void mdr_app_taught_forget(mdr_app *app);
/* NULL: over, or none of this number. */
mdr_app_run *mdr_app_run_of(mdr_app *app, const char *batch_id);
/* The batch of this number, open or over (then folded into the arena). errors: MDR_E_NOTFOUND */
mdr_code mdr_app_run_find(mdr_app *app, const char *batch_id, mdr_arena *arena,
                          const mdr_batch **out, mdr_err *err) MDR_MUST_CHECK;
/* A row of the record as an event; texts live in the arena. */
mdr_code mdr_app_run_event(const mdr_event_row *row, mdr_arena *arena, mdr_event *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* The state of the record as a member of an answer. */
void mdr_app_chain_put(mdr_json *j, const char *key, const mdr_app_chain_seen *seen);

/* Whether the entry is for this person, or for whoever signs it; fills the members of the signature. Before
 * the transaction, so that a failed try stays counted.
 *   errors  MDR_E_DENIED, MDR_E_SIGN_IN, MDR_E_WAIT; MDR_E_ARG "signature" */
mdr_code mdr_app_run_sign(mdr_app *app, const mdr_app_run_ask *ask, mdr_entry *in, mdr_arena *arena,
                          mdr_err *err) MDR_MUST_CHECK;
/* Within it: what must be signed is, and by somebody who may be the second.
 *   errors  MDR_E_ARG, MDR_E_CONFLICT "signature" */
mdr_code mdr_app_run_signed(mdr_app *app, const mdr_entry *in, mdr_arena *arena,
                            mdr_err *err) MDR_MUST_CHECK;
/* Whether the entry is the one that is stored under its number.
 * errors: MDR_E_CONFLICT ("entry_id") it is another one */
mdr_code mdr_app_run_same(const mdr_event_row *there, const mdr_entry *in, mdr_arena *arena,
                          mdr_err *err) MDR_MUST_CHECK;
/* Fills the steps of the remedy that an entry names. errors: MDR_E_NOTFOUND */
mdr_code mdr_app_run_remedy(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                            mdr_err *err) MDR_MUST_CHECK;

#endif
