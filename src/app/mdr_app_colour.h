/*
 * mdr_app_colour.h - questions about measured cloth that need no mill: what colour it has, how far it
 * is from its standard, how white, how strong, how fast, which rolls go together, whether a lot is
 * level.
 *
 * Layer: app. Pure: what files hold is given. The numbers come from core/colour; every answer says
 * under which light, for which eye and by which formula. Answers as JSON: docs/formats.md#colour-as-json.
 */
#ifndef MDR_APP_COLOUR_H
#define MDR_APP_COLOUR_H

#include "app/mdr_sheet.h"
#include "core/colour/mdr_verdict.h"
#include "wire/mdr_colour_ask.h"

typedef struct mdr_colour_file {
    const char *name; /* for messages */
    mdr_blob text;
} mdr_colour_file;

typedef struct mdr_colour_ask {
    mdr_colour_file file[MDR_COLOUR_FILES_MAX]; /* one: standard and samples are in it */
    const char *word[MDR_COLOUR_WORD_COUNT];    /* NULL: not given */
    mdr_colour_list number[MDR_COLOUR_NUMBER_COUNT];
    bool is[MDR_COLOUR_SWITCH_COUNT];
    mdr_colour_question question;
    int n_files;
} mdr_colour_ask;

/* "read"; members that a question does not know are not looked at. */
const char *mdr_colour_question_id(mdr_colour_question question);

/*
 * Answers one question. `found` (may be NULL) takes every fault of the files.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_CONFLICT of a file: place FILE:LINE:COLUMN
 *           MDR_E_ARG, MDR_E_RANGE, MDR_E_NOTFOUND, MDR_E_CONFLICT of the question: place the key
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_colour(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                        const mdr_sheet **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_colour_json(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* The same, asked with one document that holds the files too (docs/api.md, POST /api/colour). */
mdr_code mdr_app_colour_post(mdr_blob body, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_colour_whys(int *n);

#endif
