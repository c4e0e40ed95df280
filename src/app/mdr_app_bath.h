/*
 * mdr_app_bath.h - questions about a bath that need no mill: pH, doses of alkali, probe readings,
 * neutralising, titration, hardness, salts, vats, rinsing.
 *
 * Layer: app. For the technologist's desk and the laboratory: command line and HTTP ask with the
 * same JSON document (docs/api.md, POST /api/bath) and get the same answer. Pure: no mill, no file,
 * no clock. The numbers come from core/bath; every answer says by which rules.
 */
#ifndef MDR_APP_BATH_H
#define MDR_APP_BATH_H

#include "app/mdr_answer.h"

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document.
 *   errors  MDR_E_PARSE   not the document that is expected
 *           MDR_E_RANGE   a number, or what numbers give together, outside what is known
 *           MDR_E_INFEAS  no amount gives the pH asked for
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_bath(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_bath_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_bath_whys(int *n);

#endif
