/*
 * mdr_app_line.h - questions of the finisher that need no mill: settings of the line and what to
 * measure behind each pass, drying, padding, results, inspection, grey need.
 *
 * Layer: app. The command line and HTTP ask with the same JSON document (docs/api.md, POST
 * /api/line). Pure. The numbers come from core/finish, core/knit and core/quality; every answer says
 * by which rules.
 */
#ifndef MDR_APP_LINE_H
#define MDR_APP_LINE_H

#include "app/mdr_answer.h"

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document.
 *   errors  MDR_E_PARSE   not the document that is expected
 *           MDR_E_RANGE   a number, or what numbers give together, outside what is known
 *           MDR_E_INFEAS  no machine does this: drier than its air, wetter than it came
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_line(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_line_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_line_whys(int *n);

#endif
