/*
 * mdr_app_hold.h - a reading at a hold point: what to do now.
 *
 * Layer: app. Without a batch it is a question like those about a bath: command line and HTTP ask with
 * the same JSON document (docs/api.md, POST /api/hold); pure, no mill. With a batch the bath, the
 * machine and what is at hand come from its control recipe and the mill's records. Both ways the
 * numbers are those of core/run/mdr_hold.h.
 */
#ifndef MDR_APP_HOLD_H
#define MDR_APP_HOLD_H

#include "app/mdr_answer.h"

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document.
 *   errors  MDR_E_PARSE   not the document that is expected
 *           MDR_E_RANGE   a number, or what numbers give together, outside what is known
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_hold(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_hold_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;

#endif
