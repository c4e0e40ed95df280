/*
 * mdr_hold_out.h - a hold point judged, as JSON.
 *
 * Layer: wire. Document: docs/api.md, GET /api/batches/{id}/remedies.
 */
#ifndef MDR_HOLD_OUT_H
#define MDR_HOLD_OUT_H

#include "core/run/mdr_hold.h"
#include "wire/mdr_json.h"

/* "verdict", "verdict_words", "words", "remedies", "missing": members of the object that is open. */
void mdr_hold_write(mdr_json *j, const mdr_hold *h, mdr_check_kind kind);
/* The whole document. errors: MDR_E_NOMEM */
mdr_code mdr_wire_hold(const mdr_hold *h, mdr_check_kind kind, mdr_arena *arena, char **text,
                       size_t *len, mdr_err *err) MDR_MUST_CHECK;

#endif
