/*
 * mdr_record.h - the record of what was run: batches and their events as they are stored, appended
 * and never changed, every event chained to the one before by SHA-256.
 *
 * Layer: mill. Bodies are texts to it; what they say is read by wire and folded by core/run.
 * The chain: hash(n) = SHA-256(hash(n-1) | fields of n, each ended by a line feed), hash(0) 32 zero
 * bytes. It shows that an event was changed, taken out or put in; not that the end of the record was
 * cut off, which is why the newest hash is printed on every lot report. docs/methods/record.md
 * Sources: [fips-180-4]
 */
#ifndef MDR_RECORD_H
#define MDR_RECORD_H

#include "lock/mdr_digest.h"
#include "mill/mdr_mill.h"

typedef struct mdr_batch_row {
    const char *batch_id, *lot_id;
    int number; /* 1.. of the lot */
    const char *machine_id;
    int64_t made_utc_ms;
    const char *recipe; /* control recipe, JSON */
    size_t recipe_len;
    char recipe_sha256[MDR_SHA256_TEXT];
} mdr_batch_row;

typedef struct mdr_event_row {
    int64_t seq; /* 1.. */
    const char *batch_id, *kind;
    int64_t at_utc_ms, device_utc_ms, happened_utc_ms;
    const char *by, *entry_id, *body;
    uint8_t hash[MDR_SHA256_BYTES];
} mdr_event_row;

/* The newest event; 0 and zero bytes while there is none. */
typedef struct mdr_record_head {
    int64_t seq;
    uint8_t hash[MDR_SHA256_BYTES];
} mdr_record_head;
mdr_code mdr_record_head_get(mdr_mill *mill, mdr_record_head *out, mdr_err *err) MDR_MUST_CHECK;

/* recipe_sha256 is filled. errors: MDR_E_CONFLICT the number is taken */
mdr_code mdr_record_batch_add(mdr_mill *mill, mdr_batch_row *row, mdr_err *err) MDR_MUST_CHECK;
/* errors: MDR_E_NOTFOUND (the remedy names the newest batches) */
mdr_code mdr_record_batch(mdr_mill *mill, const char *batch_id, mdr_arena *arena,
                          mdr_batch_row *out, mdr_err *err) MDR_MUST_CHECK;
/* How many batches a lot has had. */
mdr_code mdr_record_batches_of_lot(mdr_mill *mill, const char *lot_id, int *out,
                                   mdr_err *err) MDR_MUST_CHECK;

/* Which ones. */
typedef enum mdr_record_which { MDR_RECORD_OPEN, MDR_RECORD_ALL } mdr_record_which;
/* Without their recipes; oldest first. */
mdr_code mdr_record_batches(mdr_mill *mill, mdr_record_which which, mdr_arena *arena,
                            mdr_batch_row **out, int *n_out, mdr_err *err) MDR_MUST_CHECK;

/*
 * Appends: seq and hash are filled. Call it within mdr_mill_begin, after reading the head there.
 *   errors  MDR_E_CONFLICT the entry is there already; what the store gives
 */
mdr_code mdr_record_append(mdr_mill *mill, mdr_event_row *row, mdr_err *err) MDR_MUST_CHECK;

/* The event of an entry; *there false: none. */
mdr_code mdr_record_entry(mdr_mill *mill, const char *entry_id, mdr_arena *arena,
                          mdr_event_row *out, bool *there, mdr_err *err) MDR_MUST_CHECK;

/* Called once an event in their order; texts live until it returns. Not MDR_OK: ends the walk. */
typedef mdr_code mdr_event_visit(void *ctx, const mdr_event_row *row, mdr_err *err);
/* Which events. */
typedef struct mdr_event_query {
    const char *batch_id; /* NULL: of all */
    int64_t after_seq;    /* 0: from the first */
    int64_t most;         /* 0: all of them */
} mdr_event_query;
mdr_code mdr_record_events(mdr_mill *mill, const mdr_event_query *which, mdr_event_visit *visit,
                           void *ctx, mdr_err *err) MDR_MUST_CHECK;

/* What is wrong with the chain: X(enumerator, id, words) */
#define MDR_CHAIN_ENUM(name, ...) name,
#define MDR_CHAIN_FAULTS(X)                                                      \
    X(MDR_CHAIN_WHOLE, "whole", "every event is as it was written")              \
    X(MDR_CHAIN_GAP, "gap", "an event is missing before this one")               \
    X(MDR_CHAIN_CHANGED, "changed", "this event, or one before it, was changed") \
    X(MDR_CHAIN_RECIPE, "recipe", "the frozen plan of this batch was changed")
typedef enum mdr_chain_fault { MDR_CHAIN_FAULTS(MDR_CHAIN_ENUM) } mdr_chain_fault;
const char *mdr_chain_fault_id(mdr_chain_fault k);
const char *mdr_chain_fault_words(mdr_chain_fault k);

typedef struct mdr_chain_report {
    mdr_chain_fault fault;
    int64_t seq;          /* of the first event at fault; else the newest */
    char batch_id[64];    /* "" when whole */
    int64_t checked;      /* events */
    mdr_record_head head; /* up to where the chain is whole */
} mdr_chain_report;
/* From the event after `from` on (NULL: from the first), at most so many (0: all). A broken chain is a
 * report, not an error. Some hundred at a time, so that whoever writes meanwhile waits for no more. */
mdr_code mdr_record_verify(mdr_mill *mill, const mdr_record_head *from, int64_t most,
                           mdr_chain_report *out, mdr_err *err) MDR_MUST_CHECK;

#endif
