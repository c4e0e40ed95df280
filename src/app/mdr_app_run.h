/*
 * mdr_app_run.h - lots being run: a plan frozen into a batch, what happens to it, how it stands.
 *
 * Layer: app. Each change is one transaction that only appends. Documents and answers: docs/api.md.
 */
#ifndef MDR_APP_RUN_H
#define MDR_APP_RUN_H

#include "app/mdr_app.h"
#include "app/mdr_app_people.h"
#include "mill/mdr_record.h"

/* Who asks, when, about which lot or batch ("" where there is none), and with what. */
typedef struct mdr_app_run_ask {
    const char *id; /* of the lot or the batch */
    mdr_blob body;
    const mdr_who *who;
    const mdr_from *from; /* where a signature comes from; NULL where none is taken */
    int64_t now_utc_ms;
    const char *step;  /* key of a step that is asked about, or "" */
    int64_t after_seq; /* the newest event that the asker knows; 0: none */
} mdr_app_run_ask;

/* Freezes the plan of a lot. Out: the batch.
 *   errors  MDR_E_CONFLICT the lot has a batch that is not over, or another revision;
 *           MDR_E_INFEAS the plan has a stop; MDR_E_NOTFOUND */
mdr_code mdr_app_batch_make(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Takes an entry, once however often it is sent. Out: the event and the batch.
 *   errors  MDR_E_DENIED the kind is not for this person;
 *           MDR_E_CONFLICT it does not fit what the batch waits for, or its entry_id stands for
 *           something else; MDR_E_NOTFOUND; MDR_E_RANGE; MDR_E_ARG; MDR_E_PARSE */
mdr_code mdr_app_batch_enter(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* Entries between the two are one transaction: all are on the disk when mdr_app_together_end says so,
 * or none is. What an entry is refused for undoes that entry alone.
 *   errors  what the store gives */
mdr_code mdr_app_together_begin(mdr_app *app, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_together_end(mdr_app *app, mdr_err *err) MDR_MUST_CHECK;

/* How the batch stands; nothing but "unchanged" when its newest event is after_seq. */
mdr_code mdr_app_batch_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_batch_events_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                                   mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* What can be done about the newest reading of the step. errors: MDR_E_NOTFOUND, MDR_E_CONFLICT */
mdr_code mdr_app_batch_remedies_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                                     mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Every machine and every batch that is not over; late and waiting ones first. */
mdr_code mdr_app_hall_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                           mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* One line a batch that is not over, for a terminal; oldest first. Texts live in the arena. */
typedef struct mdr_app_batch_line {
    const char *batch_id, *lot_id, *machine_id, *state, *step;
    double done_pct; /* of its steps */
} mdr_app_batch_line;
mdr_code mdr_app_batch_lines(mdr_app *app, mdr_arena *arena, mdr_app_batch_line **out, int *n_out,
                             mdr_err *err) MDR_MUST_CHECK;

/* Looks the whole chain of events through. */
mdr_code mdr_app_verify(mdr_app *app, mdr_chain_report *out, mdr_err *err) MDR_MUST_CHECK;

#endif
