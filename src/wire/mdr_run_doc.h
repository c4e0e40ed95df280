/*
 * mdr_run_doc.h - the record of a batch as JSON: the control recipe and the bodies of events as they
 * are stored, entries as they come in, the batch as it goes out. docs/api.md, docs/formats.md.
 *
 * Layer: wire. What is stored is written in one canonical form (no blanks, fixed order of keys): its
 * bytes are what the chain is made of.
 */
#ifndef MDR_RUN_DOC_H
#define MDR_RUN_DOC_H

#include "base/mdr_list.h"
#include "core/run/mdr_batch.h"
#include "wire/mdr_json.h"
#include "wire/mdr_measured_doc.h"

enum {
    MDR_CONTROL_DOC_MAX = 4 << 20, /* bytes */
    MDR_EVENT_DOC_MAX = 1 << 20
};

mdr_code mdr_wire_control_write(const mdr_control *c, mdr_arena *arena, char **text, size_t *len,
                                mdr_err *err) MDR_MUST_CHECK;
/* Texts live in the arena. errors: MDR_E_PARSE, MDR_E_NOMEM */
mdr_code mdr_wire_control_read(const char *text, size_t len, mdr_arena *arena,
                               const mdr_control **out, mdr_err *err) MDR_MUST_CHECK;

/* What of an event is not a column of the store. */
mdr_code mdr_wire_event_write(const mdr_event *e, mdr_arena *arena, char **text, size_t *len,
                              mdr_err *err) MDR_MUST_CHECK;
/* Fills the members of e->kind that the body holds; the others become "" and 0. */
mdr_code mdr_wire_event_read(const char *text, size_t len, mdr_arena *arena, mdr_event *e,
                             mdr_err *err) MDR_MUST_CHECK;

/* Who signs an entry, and by what; NULL: not given. Never stored. */
typedef struct mdr_entry_signature {
    const char *person_id, *badge; /* neither: whoever is signed in */
    const char *password, *pin;    /* one of them */
} mdr_entry_signature;

/* An entry as a device sends it. */
typedef struct mdr_entry {
    mdr_event event;
    mdr_entry_signature signature;
    int64_t sent_utc_ms;      /* clock of the device when it was sent; 0: not told */
    mdr_entry_sample sample;  /* READING of a shade: what is to be measured by */
    mdr_measured_in measured; /* of a stored event */
    bool has_value, has_sample, has_measured;
    bool to_sign; /* it must be signed, and nobody did; never read */
} mdr_entry;
/* errors: MDR_E_PARSE, MDR_E_ARG (place: the member) */
mdr_code mdr_wire_entry_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             mdr_entry *out, mdr_err *err) MDR_MUST_CHECK;

/* As an object of an array. */
void mdr_wire_put_step(mdr_json *j, const mdr_control_step *s);
/* Member "batch": what it is and how it stands. */
void mdr_wire_put_batch_state(mdr_json *j, const mdr_batch *b, int64_t now_utc_ms,
                              const char *head_hex);
/* The whole batch as members of an object that is open: "batch", "baths", "steps", "now", "curve". `head` may be NULL. */
void mdr_wire_put_batch(mdr_json *j, const mdr_batch *b, int64_t now_utc_ms, const char *head_hex);
/* "cautions": their ids. */
void mdr_wire_put_cautions(mdr_json *j, uint32_t set);
void mdr_wire_put_event_body(mdr_json *j, const mdr_event *e);
/* An event with its body, as member `key`; `hash_hex` NULL: without. */
void mdr_wire_put_event(mdr_json *j, const char *key, const mdr_event *e, const char *hash_hex);

#endif
