/*
 * mdr_batch.h - the present state of a batch, folded from its events; what may happen next.
 *
 * Layer: core/run (pure). Nothing but mdr_batch_apply changes a batch, and it takes only what
 * mdr_batch_may lets through (or did when it was recorded), so the state that is shown and the record
 * cannot differ.
 * Methods: docs/methods/record.md
 */
#ifndef MDR_BATCH_H
#define MDR_BATCH_H

#include "core/run/mdr_event.h"

#define MDR_TEMP_READ_MOST_C 160.0 /* highest temperature anybody can enter; invented */

/* ISA-88 states as a log that gives no commands needs them: X(enumerator, id, words) */
#define MDR_BATCH_STATES(X)                             \
    X(MDR_BATCH_IDLE, "idle", "Not begun")              \
    X(MDR_BATCH_RUNNING, "running", "Running")          \
    X(MDR_BATCH_PAUSED, "paused", "Interrupted")        \
    X(MDR_BATCH_HELD, "held", "Waiting for a decision") \
    X(MDR_BATCH_COMPLETE, "complete", "All steps done") \
    X(MDR_BATCH_RELEASED, "released", "Released")       \
    X(MDR_BATCH_STOPPED, "stopped", "Stopped")          \
    X(MDR_BATCH_REJECTED, "rejected", "Rejected")
typedef enum mdr_batch_state { MDR_BATCH_STATES(MDR_ENUM_MEMBER) } mdr_batch_state;
const char *mdr_batch_state_id(mdr_batch_state k);
const char *mdr_batch_state_words(mdr_batch_state k);

#define MDR_STEP_STATES(X)                  \
    X(MDR_STEP_WAITS, "waiting", "To come") \
    X(MDR_STEP_RUNS, "running", "Running")  \
    X(MDR_STEP_DONE, "done", "Done")        \
    X(MDR_STEP_LEFT_OUT, "left-out", "Left out")
typedef enum mdr_step_state { MDR_STEP_STATES(MDR_ENUM_MEMBER) } mdr_step_state;
const char *mdr_step_state_id(mdr_step_state k);
const char *mdr_step_state_words(mdr_step_state k);

/* One weighing of one item; the last one counts, all stay in the record. */
typedef struct mdr_batch_item {
    int64_t weighed_mg;  /* 0: not yet */
    int64_t weighed_seq; /* event; 0 */
    int64_t checked_seq; /* second person; 0 */
    const char *weighed_by, *checked_by, *stock_lot;
} mdr_batch_item;

typedef struct mdr_batch_step {
    const mdr_control_step *asked;
    int remedy;            /* 0: of the plan; else number of the remedy */
    const char *remedy_id; /* which remedy, or "" */
    mdr_step_state state;
    int64_t begun_utc_ms, ended_utc_ms; /* 0: not yet */
    int64_t reading_seq;                /* CHECK: newest reading; 0 */
    double reading;
    const mdr_measured *measured; /* CHECK: sample of the newest reading; NULL: not measured */
    bool in_limits;
    bool decided; /* CHECK: the newest reading was decided on */
    mdr_decision decision;
    bool dosed;
    mdr_batch_item *items; /* as many as asked->n_items */
} mdr_batch_step;

typedef struct mdr_batch {
    const char *batch_id;
    const mdr_control *control;
    mdr_batch_state state, before_pause;
    mdr_batch_step *steps; /* plan and remedies in the order they are run */
    int n_steps, room;
    int now;     /* index of the first step that is not done; n_steps: none */
    int running; /* steps that run */
    int n_remedies, n_corrections, n_interrupts, n_accepted;
    mdr_interrupt interrupt; /* PAUSED: why */
    int64_t begun_utc_ms, ended_utc_ms, paused_since_utc_ms, paused_ms;
    int64_t last_seq;
    const char *operator_id; /* who has the batch now */
    bool stop_asked;         /* a decision says stop: released or rejected by a person */
} mdr_batch;

/* A batch that was frozen, before any event. */
mdr_code mdr_batch_open(const char *batch_id, const mdr_control *control, mdr_arena *arena,
                        mdr_batch *out, mdr_err *err) MDR_MUST_CHECK;
/*
 * Whether this may happen now.
 *   errors  MDR_E_CONFLICT it does not fit the state (message: what the batch waits for);
 *           MDR_E_NOTFOUND no such step or item; MDR_E_RANGE a value that cannot be;
 *           MDR_E_ARG something the kind needs is missing; place: the field of the entry
 */
mdr_code mdr_batch_may(const mdr_batch *b, const mdr_event *e, mdr_err *err) MDR_MUST_CHECK;
/* The new state after an event that may happen, or that is recorded. After an error the batch is as it was;
 * errors as mdr_batch_may. */
mdr_code mdr_batch_apply(mdr_batch *b, const mdr_event *e, mdr_arena *arena,
                         mdr_err *err) MDR_MUST_CHECK;

/* All doses of the step are weighed (and checked where `two_persons` says so is for the caller). */
bool mdr_batch_weighed(const mdr_batch_step *s);
/* When the batch will be over if nothing else happens, UTC ms; 0: not begun. Remaining steps take
 * what the plan says, one that runs at least what is left of its time. */
int64_t mdr_batch_forecast_end_ms(const mdr_batch *b, int64_t now_utc_ms);
/* Index in steps, -1: none. */
int mdr_batch_find(const mdr_batch *b, const char *key);
/* Right first time: complete or released without a remedy, and nothing accepted outside. */
bool mdr_batch_right_first(const mdr_batch *b);

#endif
