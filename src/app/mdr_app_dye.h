/*
 * mdr_app_dye.h - what a dye does in the bath: what the mill knows of it, the rates that follow, how
 * well they are known, and the course of its standard dyeing.
 *
 * Layer: app. Methods: docs/methods/exhaust-rates.md; as JSON docs/api.md, GET /api/dyes/{id}/rates.
 */
#ifndef MDR_APP_DYE_H
#define MDR_APP_DYE_H

#include "app/mdr_sheet.h"

/*
 *   errors  MDR_E_NOTFOUND  no such dye (place "dye_id")
 *           those of mdr_dye_known_rates; MDR_E_NOMEM
 */
mdr_code mdr_app_dye(mdr_app *app, const char *dye_id, mdr_arena *arena, const mdr_sheet **out,
                     mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_dye_json(mdr_app *app, const char *dye_id, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_dye_whys(int *n);

#endif
