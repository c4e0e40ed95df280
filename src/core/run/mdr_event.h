/*
 * mdr_event.h - what happens to a batch: one event, never changed, never taken away.
 *
 * Layer: core/run (pure). The present state of a batch is a fold over its events (mdr_batch.h).
 * Words after ISA-88 (batch, control recipe; states Idle, Running, Paused, Held, Complete, Stopped,
 * Aborted). Methods: docs/methods/record.md
 */
#ifndef MDR_EVENT_H
#define MDR_EVENT_H

#include "core/run/mdr_control.h"
#include "core/run/mdr_measured.h"

/* X(enumerator, id, words) */
#define MDR_EVENTS(X)                                                     \
    X(MDR_EVENT_MADE, "batch-made", "Plan fixed")                         \
    X(MDR_EVENT_BEGUN, "batch-begun", "Lot begun")                        \
    X(MDR_EVENT_STEP_BEGUN, "step-begun", "Step begun")                   \
    X(MDR_EVENT_STEP_ENDED, "step-ended", "Step ended")                   \
    X(MDR_EVENT_STEP_SKIPPED, "step-skipped", "Step left out")            \
    X(MDR_EVENT_WEIGHED, "weighed", "Weighed")                            \
    X(MDR_EVENT_WEIGHING_CHECKED, "weighing-checked", "Weighing checked") \
    X(MDR_EVENT_DOSED, "dosed", "Dose run")                               \
    X(MDR_EVENT_READING, "reading", "Reading entered")                    \
    X(MDR_EVENT_DECISION, "decision", "Decision")                         \
    X(MDR_EVENT_REMEDY, "remedy-approved", "Remedy approved")             \
    X(MDR_EVENT_INTERRUPTED, "interrupted", "Interrupted")                \
    X(MDR_EVENT_RESUMED, "resumed", "Resumed")                            \
    X(MDR_EVENT_TAKEN_OVER, "taken-over", "Taken over")                   \
    X(MDR_EVENT_REMARK, "remark", "Remark")                               \
    X(MDR_EVENT_CORRECTED, "corrected", "Entry corrected")                \
    X(MDR_EVENT_STOPPED, "batch-stopped", "Lot stopped")                  \
    X(MDR_EVENT_RELEASED, "batch-released", "Lot released")               \
    X(MDR_EVENT_REJECTED, "batch-rejected", "Lot rejected")
typedef enum mdr_event_kind { MDR_EVENTS(MDR_ENUM_MEMBER) MDR_EVENT_COUNT } mdr_event_kind;

/* What a decision on a reading says: X(enumerator, id, words) */
#define MDR_DECISIONS(X)                                            \
    X(MDR_DECISION_PASS, "pass", "Passed")                          \
    X(MDR_DECISION_ACCEPT, "accept", "Accepted outside the limits") \
    X(MDR_DECISION_REPEAT, "repeat", "Read again")                  \
    X(MDR_DECISION_CORRECT, "correct", "To be corrected")           \
    X(MDR_DECISION_STOP, "stop", "Stopped")
typedef enum mdr_decision { MDR_DECISIONS(MDR_ENUM_MEMBER) MDR_DECISION_COUNT } mdr_decision;

/* Why a batch waits: Held for a cause of its own, Suspended for one outside (no steam ...). */
#define MDR_INTERRUPTS(X)                                      \
    X(MDR_INTERRUPT_MACHINE, "machine", "Machine fault")       \
    X(MDR_INTERRUPT_TANGLE, "tangle", "Rope tangled or torn")  \
    X(MDR_INTERRUPT_MATERIAL, "material", "Material missing")  \
    X(MDR_INTERRUPT_CHECK, "check", "Waiting for a decision")  \
    X(MDR_INTERRUPT_STEAM, "steam", "No steam")                \
    X(MDR_INTERRUPT_WATER, "water", "No water")                \
    X(MDR_INTERRUPT_POWER, "power", "No power")                \
    X(MDR_INTERRUPT_PERSON, "person", "Nobody at the machine") \
    X(MDR_INTERRUPT_OTHER, "other", "Another reason")
typedef enum mdr_interrupt { MDR_INTERRUPTS(MDR_ENUM_MEMBER) MDR_INTERRUPT_COUNT } mdr_interrupt;

/* Texts are "" and numbers 0 where a kind has no use for them. */
typedef struct mdr_event {
    int64_t seq; /* 1.. over the whole mill, without gaps; 0: not yet stored */
    mdr_event_kind kind;
    const char *batch_id;
    int64_t at_utc_ms;     /* clock of the server when it was stored */
    int64_t device_utc_ms; /* clock of the device when it was entered; 0: not told */
    /* When it happened by the server's clock: the time of storing less the time the entry waited on
     * its device, both read from the device's own clock, so that a wrong clock does no harm. */
    int64_t happened_utc_ms;
    const char *by;       /* person_id */
    const char *entry_id; /* made by the device; the same twice is stored once */

    const char *step;                               /* key of the step */
    int item;                                       /* 1.. in the step; WEIGHED, WEIGHING_CHECKED */
    int64_t mass_mg;                                /* WEIGHED: net */
    const char *material_id, *stock_lot, *scale_id; /* WEIGHED */
    bool manual;   /* WEIGHED: typed, not read from the scale; READING: no instrument */
    bool observed; /* STEP_*: seen by an instrument, else declared by a person */
    bool has_temp;
    double temp_c; /* STEP_*: as read */
    double value;  /* READING; of a measured sample: its difference from the standard */
    const mdr_measured *measured; /* READING of a shade: the sample itself; NULL: a number only */
    const char *instrument;
    mdr_decision decision;
    mdr_interrupt interrupt;
    int64_t of_seq; /* DECISION, WEIGHING_CHECKED, REMEDY, CORRECTED: the event it is about */
    const char *field, *was, *is; /* CORRECTED */
    const char *text;             /* reason, remark */
    /* Of a signature; "" and 0 where nobody signed. The name and what the person was are as printed then. */
    const char *meaning; /* "approved", "accepted outside limits", "released", "checked" */
    const char *signed_by, *signed_name, *signed_as;
    int64_t signed_utc_ms;
    const char *recipe_sha256;     /* BEGUN: of the control recipe as stored, 64 hex digits */
    const char *remedy_id;         /* REMEDY: which of those that were offered; "" in old records */
    const mdr_control_step *steps; /* REMEDY: what is done now, before the check is read again */
    int n_steps;
} mdr_event;

/* An event with nothing said: texts "", words outside their lists. */
mdr_event mdr_event_none(mdr_event_kind kind);

/* Whose act it is: who signed it, else who entered it. */
const char *mdr_event_person(const mdr_event *e);

const char *mdr_event_id(mdr_event_kind k);
const char *mdr_event_words(mdr_event_kind k);
int mdr_event_of(const char *id); /* -1: none */
const char *mdr_decision_id(mdr_decision k);
const char *mdr_decision_words(mdr_decision k);
int mdr_decision_of(const char *id);
const char *mdr_interrupt_id(mdr_interrupt k);
const char *mdr_interrupt_words(mdr_interrupt k);
int mdr_interrupt_of(const char *id);
bool mdr_interrupt_outside(mdr_interrupt k); /* the cause lies outside the batch */

#endif
