/*
 * mdr_app_spectra.h - measured samples out of a file, by name: for the desks of colour and recipe.
 *
 * Layer: app. What a file may look like: docs/formats.md#spectra.
 */
#ifndef MDR_APP_SPECTRA_H
#define MDR_APP_SPECTRA_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "wire/mdr_spectra.h"

/* errors: as mdr_spectra_read */
mdr_code mdr_app_spectra_read(const mdr_spectra_file *file, const mdr_spectra_options *o,
                              mdr_arena *arena, mdr_spectra_report report, const mdr_spectra **out,
                              mdr_err *err) MDR_MUST_CHECK;

/*
 * The sample of this name, else of this id, else "#7" the seventh of the file. NULL: the only one.
 * It may have a colour only, and no spectrum.
 *   errors  MDR_E_NOTFOUND no such sample (remedy: the nearest name; allowed: what there is);
 *           MDR_E_CONFLICT several of this name, or several and none named. Place: the file
 */
mdr_code mdr_app_spectra_find(const mdr_spectra *s, const char *file_name, const char *sample,
                              const mdr_spectra_item **out, mdr_err *err) MDR_MUST_CHECK;

/* "specular included", "specular excluded", "45/0", "specular not said"; and as in documents:
 * "included", "excluded", "none", "unknown". */
const char *mdr_app_specular_words(mdr_specular specular);
const char *mdr_app_specular_id(mdr_specular specular);

#endif
