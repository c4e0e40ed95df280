/* The question and its files in one document; and invented files to try it with. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_recipe_in.h"
#include "base/mdr_embedded.h"
#include "wire/mdr_json.h"
#include "wire/mdr_recipe_post.h"

extern const mdr_embedded mdr_embed_demo[];

_Static_assert((int)MDR_RECIPE_TEXT_COUNT == (int)MDR_RECIPE_FILE_COUNT,
               "files in one order: read by place");

mdr_code mdr_recipe_case_read(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                              mdr_recipe_case *out, mdr_recipe_from *from, mdr_err *err)
{
    mdr_recipe_post post;
    MDR_TRY(mdr_wire_recipe_post_read(body.bytes, body.len, arena, found, &post, err));
    *from = post.has_from ? (mdr_recipe_from){.substrate = post.from.substrate,
                                              .shade_id = post.from.shade,
                                              .machine_id = post.from.machine,
                                              .best_guess = post.from.best_guess}
                          : (mdr_recipe_from){.substrate = NULL};
    mdr_recipe_case asked = {.question = {post.question, post.question_len}};
    for (int i = 0; i < MDR_RECIPE_FILE_COUNT; i++) {
        const mdr_file_text *f = &post.files[i];
        if (f->name != NULL) {
            asked.files[i] = (mdr_recipe_file){f->name, {f->text, strlen(f->text)}};
        }
    }
    if (app != NULL) {
        MDR_TRY(mdr_app_refresh(app, err));
        asked.mill = (mdr_recipe_mill){app->masters.materials, app->masters.dose_tables,
                                       app->masters.n_materials, app->masters.n_dose_tables};
    }
    *out = asked;
    return MDR_OK;
}

/* A question that has all it needs of the app. */
typedef struct question {
    const mdr_recipe_case *asked;
    mdr_arena *arena;
    mdr_err_list *found;
} question;

static mdr_code begin(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                      question **out, mdr_err *err)
{
    question *q = MDR_NEW(arena, question);
    mdr_recipe_case *asked = MDR_NEW(arena, mdr_recipe_case);
    mdr_recipe_from from;
    if (q == NULL || asked == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
    }
    MDR_TRY(mdr_recipe_case_read(app, body, arena, found, asked, &from, err));
    *q = (question){asked, arena, found};
    if (from.substrate != NULL && app != NULL) {
        MDR_TRY(mdr_recipe_case_of_mill(app, &from, asked->question, arena, &q->asked, err));
    }
    *out = q;
    return MDR_OK;
}

/* A quarter of a second: not worth to be asked in between whether it is wanted. */
static mdr_code answer(void *about, const mdr_go_on *go_on, mdr_blob *out, mdr_err *err)
{
    const question *q = about;
    const mdr_answer *a = NULL;
    (void)go_on;
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) the checker cannot see that it is set here */
    MDR_TRY(mdr_app_recipe(q->asked, q->arena, q->found, &a, err));
    return mdr_answer_json(a, q->arena, out, err);
}

static void keep(mdr_app *app, const void *about)
{
    const question *q = about;
    mdr_recipe_keep(app, q->asked);
}

mdr_code mdr_app_recipe_begin(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                              mdr_app_work **out, mdr_err *err)
{
    question *q = NULL;
    MDR_TRY(begin(app, body, arena, found, &q, err));
    const mdr_app_work_part part = {.run = answer, .keep = keep, .about = q};
    return mdr_app_work_make(app, arena, &part, out, err);
}

mdr_code mdr_app_recipe_json(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err)
{
    question *q = NULL;
    MDR_TRY(begin(app, body, arena, found, &q, err));
    const mdr_code rc = answer(q, NULL, out, err);
    if (app != NULL) {
        keep(app, q);
    }
    return rc;
}

mdr_code mdr_app_recipe_demo_json(mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    static const struct {
        const char *key, *path;
    } FILES[] = {{"spectra", "lab/samples.csv"},
                 {"standard_file", "lab/standards.csv"},
                 {"dyes", "lab/dyes.csv"}};
    enum { SIZE_HINT = 1 << 14 };
    char *text = NULL;
    size_t len = 0;
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_object(&j, "files");
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        for (const mdr_embedded *e = mdr_embed_demo; e->name != NULL; e++) {
            if (strcmp(e->name, FILES[i].path) == 0) {
                mdr_json_object(&j, FILES[i].key);
                mdr_json_text(&j, "name", strrchr(e->name, '/') + 1);
                mdr_json_text(&j, "text", (const char *)e->bytes);
                mdr_json_end_object(&j);
            }
        }
    }
    mdr_json_end_object(&j);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
