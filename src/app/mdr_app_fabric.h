/*
 * mdr_app_fabric.h - can a fabric meet a specification: a question that needs no mill.
 *
 * Layer: app. The command line and HTTP ask with the same JSON document (docs/api.md, POST
 * /api/fabric). Pure. The numbers come from core/knit; every answer says by which rules.
 */
#ifndef MDR_APP_FABRIC_H
#define MDR_APP_FABRIC_H

#include "app/mdr_answer.h"

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document.
 *   errors  MDR_E_PARSE   not the document that is expected
 *           MDR_E_RANGE   a number outside what is known
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_fabric(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                        const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_fabric_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_fabric_whys(int *n);

#endif
