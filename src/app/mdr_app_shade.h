/*
 * mdr_app_shade.h - the shade check of a batch: the sample measured, and what follows from it.
 *
 * Layer: app, inside only. Methods: docs/methods/hold-points.md#shade, docs/methods/recipe-correct.md
 */
#ifndef MDR_APP_SHADE_H
#define MDR_APP_SHADE_H

#include "app/mdr_app_in.h"
#include "core/run/mdr_batch.h"
#include "core/run/mdr_hold.h"
#include "wire/mdr_run_doc.h"

/* Measures the sample that an entry brings against the standard of the shade: fills value and
 * `measured` of its event. Faults of a file go to `found` too.
 *   errors  MDR_E_NOTFOUND  "sample": the standard of the shade was not measured; "sample.sample_id"
 *                           no such sample; the file has none of that name
 *           MDR_E_CONFLICT  "sample.sample_id" of another lot; "sample.specular" the gloss was treated
 *                           otherwise than with the standard, or is not said
 *           MDR_E_RANGE     "sample": so far off that it cannot be this lot's
 *           MDR_E_PARSE, MDR_E_NOMEM, MDR_E_IO */
mdr_code mdr_app_shade_measure(mdr_app *app, const mdr_batch *b, mdr_entry *in, mdr_arena *arena,
                               mdr_err_list *found, mdr_err *err) MDR_MUST_CHECK;
/* The entry, sent again, brings the sample that was measured when it was stored. */
bool mdr_app_shade_same(const mdr_entry *in, const mdr_measured *stored, mdr_arena *arena);

/* What the colour engine finds on the newest sample of a check. */
typedef struct mdr_app_shade {
    const mdr_measured *measured;
    const char *substrate; /* whose ladders it was reckoned by; "" none */
    mdr_correct correct;
    mdr_hold_shade hold; /* of the correction: n dyes */
    double load_kg, tolerance;
    mdr_err why_not;     /* code MDR_OK: reckoned; else why there is no correction */
    const char *unknown; /* that as one line, or NULL */
} mdr_app_shade;

/* *out NULL: nothing was measured. Only what stops the program is an error, all else is why_not.
 *   errors  MDR_E_NOMEM, MDR_E_IO */
mdr_code mdr_app_shade_correct(mdr_app *app, const mdr_batch *b, const mdr_batch_step *check,
                               mdr_arena *arena, const mdr_app_shade **out,
                               mdr_err *err) MDR_MUST_CHECK;

/* "measured", "correction", "correction_missing": members of the object that is open. */
void mdr_app_shade_write(mdr_json *j, const mdr_app_shade *s);

#endif
