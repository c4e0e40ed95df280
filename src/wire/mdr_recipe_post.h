/*
 * mdr_recipe_post.h - a question about recipes with its files in one document:
 * {"do": "find", "standard": "S-12", "files": {"spectra": {"name", "text"}, ...}}.
 *
 * Layer: wire. Parted into the question, which is read as every other (mdr_recipe_ask.h), and the
 * texts of the files. docs/api.md, POST /api/recipe.
 */
#ifndef MDR_RECIPE_POST_H
#define MDR_RECIPE_POST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "wire/mdr_file_text.h"

/* X(enumerator, key): in the order of mdr_recipe_file_kind (app/mdr_app_recipe.h) */
#define MDR_RECIPE_TEXTS(X)                         \
    X(MDR_RECIPE_TEXT_SPECTRA, spectra)             \
    X(MDR_RECIPE_TEXT_LADDER, ladder)               \
    X(MDR_RECIPE_TEXT_DYES, dyes)                   \
    X(MDR_RECIPE_TEXT_STANDARD_FILE, standard_file) \
    X(MDR_RECIPE_TEXT_SAMPLE_FILE, sample_file)     \
    X(MDR_RECIPE_TEXT_DOSE_TABLE, dose_table)       \
    X(MDR_RECIPE_TEXT_DOSE_BAND, dose_band)
#define MDR_RECIPE_TEXT_OF(name, key) name,
typedef enum mdr_recipe_text_kind {
    MDR_RECIPE_TEXTS(MDR_RECIPE_TEXT_OF) MDR_RECIPE_TEXT_COUNT
} mdr_recipe_text_kind;

/* "from": samples of the mill in place of files. */
typedef struct mdr_recipe_post_from {
    const char *substrate, *shade, *machine; /* shade, machine "": none */
    bool best_guess;
} mdr_recipe_post_from;

typedef struct mdr_recipe_post {
    const char *question; /* without the files */
    size_t question_len;
    mdr_file_text files[MDR_RECIPE_TEXT_COUNT];
    mdr_recipe_post_from from;
    bool has_from;
} mdr_recipe_post;

/* Every fault of "files" goes to `found` (may be NULL), the first one to err; the question itself is
 * not looked at.
 *   errors  MDR_E_PARSE  no JSON object, a file that is not {"name", "text"}, both files and from
 *           MDR_E_RANGE  a name of more than MDR_FILE_NAME_MAX bytes; MDR_E_NOMEM */
mdr_code mdr_wire_recipe_post_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_recipe_post *out,
                                   mdr_err *err) MDR_MUST_CHECK;

#endif
