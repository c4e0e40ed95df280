/*
 * mdr_app_recipe.h - from measured samples to recipes: can the samples be trusted, what colour a
 * recipe gives, which recipes reach a standard, what to add, and the laboratory dyeing.
 *
 * Layer: app. The samples come as files (docs/formats.md#spectra) and need no mill, or out of the
 * mill's laboratory (mill/mdr_bench.h); salt and alkali of a recipe come from files or the mill
 * likewise. The question is a document (docs/formats.md, Recipes at the command line). The numbers
 * come from core/recipe.
 */
#ifndef MDR_APP_RECIPE_H
#define MDR_APP_RECIPE_H

#include "app/mdr_answer.h"
#include "app/mdr_app_work.h"

/* X(enumerator, what it is) */
#define MDR_RECIPE_FILES(X)                                                                    \
    X(MDR_RECIPE_FILE_SPECTRA, "measured samples: dyed, the cloth, and what is not elsewhere") \
    X(MDR_RECIPE_FILE_LADDER, "which sample holds which dye at which depth")                   \
    X(MDR_RECIPE_FILE_DYES, "price, uptake, fastness, stock of the dyes")                      \
    X(MDR_RECIPE_FILE_STANDARD, "the standard, when it is in a file of its own")               \
    X(MDR_RECIPE_FILE_SAMPLE, "the sample, when it is in a file of its own")                   \
    X(MDR_RECIPE_FILE_DOSE_TABLE, "dose tables: salt and alkali by depth")                     \
    X(MDR_RECIPE_FILE_DOSE_BAND, "their bands")
#define MDR_RECIPE_FILE_OF(name, what) name,
typedef enum mdr_recipe_file_kind {
    MDR_RECIPE_FILES(MDR_RECIPE_FILE_OF) MDR_RECIPE_FILE_COUNT
} mdr_recipe_file_kind;

typedef struct mdr_recipe_file {
    const char *name; /* NULL: not given */
    mdr_blob text;
} mdr_recipe_file;

/* Salt and alkali of dyes as a mill knows them; used where no dose tables are given as files. */
typedef struct mdr_recipe_mill {
    const mdr_material *materials;
    const mdr_dose_table *tables;
    int n_materials, n_tables;
} mdr_recipe_mill;
struct mdr_recipe_stock;

typedef struct mdr_recipe_case {
    mdr_blob question;
    mdr_recipe_file files[MDR_RECIPE_FILE_COUNT];
    const struct mdr_recipe_stock *stock; /* samples of a mill in place of files, or NULL */
    mdr_recipe_mill mill;
} mdr_recipe_case;

/*
 * Answers one question. `found` (may be NULL) takes every fault of the document and of the files.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_CONFLICT  document or file, with its place
 *           MDR_E_NOTFOUND  a sample or a dye that is named is not there (the remedy names what is)
 *           MDR_E_INFEAS    no solution is weak enough for a laboratory dose
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_recipe(const mdr_recipe_case *asked, mdr_arena *arena, mdr_err_list *found,
                        const mdr_answer **out, mdr_err *err) MDR_MUST_CHECK;

/* Samples of the mill: those of a substrate, and of a shade ("": none) whose standard, class and
 * tolerance hold when the question does not say another. With a machine ("": none) `find` offers
 * what the lots taught of this shade on it (mdr_app_bulk.h); best_guess: unproven factors too. */
typedef struct mdr_recipe_from {
    const char *substrate, *shade_id, *machine_id;
    bool best_guess;
} mdr_recipe_from;
/*
 *   errors  as above; MDR_E_NOTFOUND "from.substrate", "from.shade", "from.machine"; "standard" the
 *           shade has none that was measured; MDR_E_CONFLICT "from.machine" without a shade
 */
mdr_code mdr_app_recipe_of_mill(mdr_app *app, const mdr_recipe_from *from, mdr_blob question,
                                mdr_arena *arena, mdr_err_list *found, const mdr_answer **out,
                                mdr_err *err) MDR_MUST_CHECK;

/*
 * A round of dips as the laboratory sheet (PDF): the question `dispense`, another is refused.
 * `place` names the laboratory, "" when it is not known; `invented` marks every page.
 */
typedef struct mdr_recipe_paper {
    const char *place;
    const char *printed_at; /* local time */
    bool invented;
} mdr_recipe_paper;
mdr_code mdr_app_recipe_sheet(const mdr_recipe_case *asked, const mdr_recipe_paper *paper,
                              mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                              mdr_err *err) MDR_MUST_CHECK;
/* The same, asked with one document as POST /api/recipe; place and `invented` are the mill's. */
mdr_code mdr_app_recipe_sheet_json(mdr_app *app, mdr_blob body, const char *printed_at,
                                   mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                                   mdr_err *err) MDR_MUST_CHECK;

/*
 * Either as JSON, asked with one document that holds the files too, or says from where in the mill
 * (docs/api.md, POST /api/recipe). The mill (NULL: none) tells salt and alkali of the dyes it has.
 */
mdr_code mdr_app_recipe_json(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* The same in two parts (mdr_app_work.h); `body` must last as long as the work. */
mdr_code mdr_app_recipe_begin(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                              mdr_app_work **out, mdr_err *err) MDR_MUST_CHECK;
/* Invented samples to try it with: {"files": {...}}, ready to be sent back with a question. */
mdr_code mdr_app_recipe_demo_json(mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_recipe_whys(int *n);

#endif
